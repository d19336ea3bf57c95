//! The few things that are asked of the page's elements.

use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};

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
