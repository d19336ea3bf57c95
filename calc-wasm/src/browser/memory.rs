//! What a student typed and ticked, kept in this browser alone.

use std::cell::RefCell;

use web_sys::{Element, Storage};

use super::dom;

/// What was kept for this block of this page.
pub(super) fn recall(section: &Element) -> Option<String> {
    storage()?.get_item(&key(section)?).ok().flatten()
}

/// Keeps a text for this block of this page. Where storage is blocked, nothing is kept and nothing breaks.
pub(super) fn keep(section: &Element, text: &str) {
    if let (Some(storage), Some(key)) = (storage(), key(section)) {
        storage.set_item(&key, text).ok();
    }
}

/// Forgets what was kept for this block of this page.
pub(super) fn forget(section: &Element) {
    if let (Some(storage), Some(key)) = (storage(), key(section)) {
        storage.remove_item(&key).ok();
    }
}

/// What was kept under this name for this page, or for the whole course.
pub(super) fn recall_named(name: &str, of: Of) -> Option<String> {
    let key = named(name, of)?;
    let kept = storage().and_then(|storage| storage.get_item(&key).ok().flatten());
    kept.or_else(|| {
        LOOSE.with_borrow(|loose| loose.iter().find(|(other, _)| *other == key).map(|(_, text)| text.clone()))
    })
}

/// Keeps a text under this name for this page, or for the whole course; says whether it outlasts the page.
pub(super) fn keep_named(name: &str, of: Of, text: &str) -> bool {
    let Some(key) = named(name, of) else { return false };
    let storage = storage();
    if storage.as_ref().is_some_and(|storage| storage.set_item(&key, text).is_ok()) {
        return true;
    }
    // A full storage still has the text before this one.
    if let Some(storage) = storage {
        storage.remove_item(&key).ok();
    }
    LOOSE.with_borrow_mut(|loose| {
        loose.retain(|(other, _)| *other != key);
        loose.push((key, text.to_owned()));
    });
    false
}

/// Forgets what was kept under this name.
pub(super) fn forget_named(name: &str, of: Of) {
    let Some(key) = named(name, of) else { return };
    LOOSE.with_borrow_mut(|loose| loose.retain(|(other, _)| *other != key));
    if let Some(storage) = storage() {
        storage.remove_item(&key).ok();
    }
}

/// Forgets everything of this course.
pub(super) fn forget_course() {
    LOOSE.take();
    let (Some(storage), Some(mut start)) = (storage(), course()) else { return };
    start.push(':');
    let count = storage.length().unwrap_or_default();
    let keys: Vec<String> = (0..count).filter_map(|index| storage.key(index).ok().flatten()).collect();
    for key in keys.iter().filter(|key| key.starts_with(&start)) {
        storage.remove_item(key).ok();
    }
}

thread_local! {
    /// What stands for the browser's storage where that is blocked or full: it lasts as long as the page.
    static LOOSE: RefCell<Vec<(String, String)>> = const { RefCell::new(Vec::new()) };
}

/// What something that is kept belongs to.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Of {
    /// The whole course.
    Course,
    /// This page.
    Page,
}

fn storage() -> Option<Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

fn course() -> Option<String> {
    let course = dom::document()?.document_element()?.get_attribute("data-course")?;
    Some(["fieldcoil:", &course].concat())
}

fn named(name: &str, of: Of) -> Option<String> {
    let course = course()?;
    if of == Of::Course {
        return Some([&course, ":", name].concat());
    }
    let page = dom::document()?.document_element()?.get_attribute("data-page")?;
    Some([&course, ":", &page, ":", name].concat())
}

/// Files opened from a stick share one storage, so the key names course, page and block.
fn key(section: &Element) -> Option<String> {
    named(&section.id(), Of::Page)
}
