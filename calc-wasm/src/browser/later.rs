//! What can wait until a keystroke has been painted: folded parts of a result, and what is kept of a form.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::Element;

use super::{dom, form};

/// After so many milliseconds it is done; a reader who unfolds the steps sees the new ones.
const DELAY: i32 = 50;

/// One thing to be done.
enum Task {
    /// New HTML for an element.
    Show(Element, String),
    /// A form to be kept and linked.
    Keep(Element),
}

thread_local! {
    static TASKS: RefCell<Vec<Task>> = const { RefCell::new(Vec::new()) };
}

/// Shows HTML in an element in a moment.
pub(super) fn show(element: &Element, html: &str) {
    put(element, Some(Task::Show(element.clone(), html.to_owned())));
}

/// Keeps a form in a moment.
pub(super) fn keep(section: &Element) {
    put(section, Some(Task::Keep(section.clone())));
}

/// Leaves undone what waits for an element.
pub(super) fn leave(element: &Element) {
    put(element, None);
}

/// Does everything that waits.
pub(super) fn now() {
    for task in TASKS.take() {
        match task {
            Task::Show(element, html) => dom::replace(&element, &html),
            Task::Keep(section) => form::keep(&section),
        }
    }
}

/// Puts a task in the place of what waits for the same element.
fn put(element: &Element, task: Option<Task>) {
    let wake = TASKS.with_borrow_mut(|tasks| {
        let was_idle = tasks.is_empty();
        tasks.retain(|task| {
            let (Task::Show(other, _) | Task::Keep(other)) = task;
            !other.is_same_node(Some(element))
        });
        tasks.extend(task);
        was_idle && !tasks.is_empty()
    });
    if let (true, Some(window)) = (wake, web_sys::window()) {
        let work = Closure::once_into_js(now);
        window.set_timeout_with_callback_and_timeout_and_arguments_0(work.unchecked_ref(), DELAY).ok();
    }
}
