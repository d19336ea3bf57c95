//! What a student typed and ticked, kept in this browser alone.

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

fn storage() -> Option<Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

/// Files opened from a stick share one storage, so the key names course, page and block.
fn key(section: &Element) -> Option<String> {
    let root = dom::document()?.document_element()?;
    let course = root.get_attribute("data-course")?;
    let page = root.get_attribute("data-page")?;
    Some(["fieldcoil:", &course, ":", &page, ":", &section.id()].concat())
}
