//! The page: forms that work as they are typed in, checklists that keep their order, and what survives a reload.
//!
//! The page is whole without this module. Controls that need it are hidden until [`start`] shows them. Nothing is
//! ever sent anywhere: what a student types stays in the browser's own storage and in the address bar.

mod address;
mod awake;
mod boxes;
mod checklist;
mod clock;
mod desk;
mod diagram;
mod dom;
mod folding;
mod form;
mod handin;
mod homework;
mod job;
mod later;
mod memory;
mod practice;
mod press;
mod selfcheck;
mod sound;
mod timer;
mod worker;

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use web_sys::{Document, Element, Event, EventTarget, HtmlInputElement};

#[wasm_bindgen]
extern "C" {
    /// The page's own number parser, which is already there and correct.
    #[wasm_bindgen(js_name = Number)]
    fn js_number(text: &str) -> f64;
}

/// The number behind a text that `number::plain` has passed.
pub(crate) fn parse_number(plain: &str) -> f64 {
    js_number(plain)
}

/// Brings the page to life.
#[wasm_bindgen(start)]
pub fn start() {
    let Some(document) = dom::document() else {
        worker::serve();
        return;
    };
    for button in dom::all(&document, "[data-do]") {
        button.remove_attribute("hidden").ok();
    }
    for section in dom::all(&document, "[data-calculator]") {
        form::wake(&section);
    }
    for section in dom::all(&document, "[data-hookup]") {
        checklist::wake(&section);
    }
    for section in dom::all(&document, "[data-selfcheck]") {
        selfcheck::wake(&section);
    }
    desk::wake();
    diagram::wake(&document);
    follow_address(&document);
    listen(&document, "input", |event| typed(&event));
    listen(&document, "change", |event| {
        if let Some(target) = target(&event) {
            desk::changed(&target);
        }
    });
    listen(&document, "click", |event| pressed(&event));
    listen(&document, "focusout", |event| left(&event));
    // Out of sight a page sleeps: what it shows is put right at once when it is back.
    listen(&document, "visibilitychange", |_| {
        timer::look();
        awake::settle();
    });
    // A form has nowhere to be sent: the Enter key must not load the page anew.
    listen(&document, "submit", |event| {
        event.prevent_default();
        if let Some(form) = target(&event).filter(|form| dom::around(form, "[data-code-line]").is_some()) {
            desk::entered(&form);
        }
    });
    if let Some(window) = web_sys::window() {
        for leaving in ["pagehide", "beforeprint"] {
            listen(&window, leaving, |_| later::now());
        }
        listen(&window, "storage", |_| desk::refresh());
        listen(&window, "afterprint", |_| handin::printed());
        listen(&window, "pageshow", |_| {
            for section in dom::document().iter().flat_map(|document| dom::all(document, "[data-hookup]")) {
                checklist::shown(&section);
            }
        });
        listen(&window, "hashchange", |_| {
            if let Some(document) = dom::document() {
                follow_address(&document);
            }
        });
    }
}

fn typed(event: &Event) {
    let Some(target) = target(event) else { return };
    if let Some(section) = target.closest("[data-calculator]").ok().flatten() {
        match target.dyn_ref::<HtmlInputElement>().filter(|input| input.type_() == "file") {
            Some(file) => form::take_file(&section, file),
            None => form::typed(&section),
        }
    } else if let Some(section) = target.closest("[data-hookup]").ok().flatten() {
        checklist::typed(&section, &target);
        handin::outdated();
    } else if let Some(section) = target.closest("[data-selfcheck]").ok().flatten() {
        selfcheck::typed(&section, &target);
    } else if dom::around(&target, "[data-homework], [data-worksheet], [data-handin]").is_some() {
        desk::typed(&target);
    } else {
        diagram::choose(&target);
    }
}

fn pressed(event: &Event) {
    let Some(button) = target(event).and_then(|target| target.closest("[data-do]").ok().flatten()) else {
        return;
    };
    let act = button.get_attribute("data-do").unwrap_or_default();
    let blocks = "[data-calculator], [data-hookup], [data-selfcheck]";
    let Some(section) = dom::around(&button, blocks) else {
        desk::pressed(&button, &act);
        return;
    };
    if section.has_attribute("data-hookup") {
        checklist::pressed(&section, &button, &act);
        handin::outdated();
    } else if section.has_attribute("data-selfcheck") {
        selfcheck::pressed(&section, &button, &act);
    } else if act == "reset" {
        form::reset(&section);
    }
}

/// The focus left something: a question that its button asked is taken back, and a check without initials is open again.
fn left(event: &Event) {
    let Some(target) = target(event) else { return };
    if target.matches("[data-do=change-code], [data-do=delete]").unwrap_or(false) {
        desk::left(&target);
    }
    let section = target.closest("[data-hookup]").ok().flatten();
    if let Some(section) = section.filter(|_| target.matches("[data-part=initials]").unwrap_or(false)) {
        checklist::initials_left(&section);
    }
    let button = Some(target).filter(|target| target.matches("[data-do=start-again]").unwrap_or(false));
    if let Some(section) = button.and_then(|button| button.closest("[data-hookup]").ok().flatten()) {
        checklist::left(&section);
    }
}

fn target(event: &Event) -> Option<Element> {
    event.target()?.dyn_into().ok()
}

/// Takes the inputs of a linked calculation from the address, and shows that calculation.
fn follow_address(document: &Document) {
    let Some((id, values)) = address::linked() else { return };
    let section = document.get_element_by_id(&id).filter(|section| section.has_attribute("data-calculator"));
    if let Some(section) = section {
        form::fill(&section, &values);
        form::typed(&section);
        section.scroll_into_view();
    }
}

/// Calls `act` on every event of this kind; one listener serves the whole page.
fn listen(on: &EventTarget, kind: &str, act: fn(Event)) {
    let closure = Closure::<dyn FnMut(Event)>::new(act);
    on.add_event_listener_with_callback(kind, closure.as_ref().unchecked_ref()).ok();
    closure.forget();
}
