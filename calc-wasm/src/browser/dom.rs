//! The few things that are asked of the page's elements.

use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};

/// The page.
pub(super) fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// Every element of the page that matches.
pub(super) fn all(document: &Document, selector: &str) -> Vec<Element> {
    document.query_selector_all(selector).map(elements).unwrap_or_default()
}

/// Every element inside `root` that matches.
pub(super) fn within(root: &Element, selector: &str) -> Vec<Element> {
    root.query_selector_all(selector).map(elements).unwrap_or_default()
}

/// The first element inside `root` that matches.
pub(super) fn first(root: &Element, selector: &str) -> Option<Element> {
    root.query_selector(selector).ok().flatten()
}

/// The part of this name inside `root`.
pub(super) fn part(root: &Element, name: &str) -> Option<Element> {
    first(root, &["[data-part=\"", name, "\"]"].concat())
}

/// What stands in a box or is chosen in a list; the text of anything else.
pub(super) fn value(element: &Element) -> String {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        input.value()
    } else if let Some(select) = element.dyn_ref::<HtmlSelectElement>() {
        select.value()
    } else if let Some(lines) = element.dyn_ref::<HtmlTextAreaElement>() {
        lines.value()
    } else {
        element.text_content().unwrap_or_default()
    }
}

/// Puts a value into a box or a list; anything else stays.
pub(super) fn set_value(element: &Element, value: &str) {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        input.set_value(value);
    } else if let Some(select) = element.dyn_ref::<HtmlSelectElement>() {
        select.set_value(value);
    } else if let Some(lines) = element.dyn_ref::<HtmlTextAreaElement>() {
        lines.set_value(value);
    }
}

/// Replaces what stands inside `parent` by nodes that `view` made and escaped.
pub(super) fn replace(parent: &Element, html: &str) {
    parent.set_inner_html(html);
}

/// Puts a text into an element. The same text again is left alone: a live region would say it twice.
pub(super) fn set_text(element: &Element, text: &str) {
    if element.text_content().as_deref() != Some(text) {
        element.set_text_content(Some(text));
    }
}

/// A sentence of the interface that a block carries for the page.
pub(super) fn words(section: &Element, name: &str) -> String {
    section.get_attribute(&["data-words-", name].concat()).unwrap_or_default()
}

/// A sentence about how many of how many are done.
pub(super) fn counted(section: &Element, name: &str, done: usize, all: usize) -> String {
    words(section, name).replace("{done}", &done.to_string()).replace("{all}", &all.to_string())
}

/// The attribute's value, or nothing.
pub(super) fn attribute(element: &Element, name: &str) -> String {
    element.get_attribute(name).unwrap_or_default()
}

/// The element around this one that matches, itself counted.
pub(super) fn around(element: &Element, selector: &str) -> Option<Element> {
    element.closest(selector).ok().flatten()
}

/// Moves the focus to an element.
pub(super) fn focus(element: &Element) {
    if let Some(element) = element.dyn_ref::<HtmlElement>() {
        element.focus().ok();
    }
}

/// Is the focus inside an element?
pub(super) fn has_focus(element: &Element) -> bool {
    let focused = document().and_then(|document| document.active_element());
    focused.is_some_and(|focused| element.contains(Some(&focused)))
}

/// Shows or hides an element.
pub(super) fn set_hidden(element: &Element, hidden: bool) {
    if hidden {
        element.set_attribute("hidden", "").ok();
    } else {
        element.remove_attribute("hidden").ok();
    }
}

fn elements(list: web_sys::NodeList) -> Vec<Element> {
    (0..list.length()).filter_map(|index| list.item(index)?.dyn_into::<Element>().ok()).collect()
}
