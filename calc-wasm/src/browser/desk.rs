//! The student's desk: the code that is theirs in this course, and what page and blocks do with it.

use web_sys::Element;

use super::memory::{self, Of};
use super::{boxes, dom, handin, homework, practice, press};
use crate::homework::code::Code;

/// Problems and sheets.
const WORK: &str = "[data-homework], [data-worksheet]";

/// Shows what needs the script, and puts back what was kept.
pub(super) fn wake() {
    let Some(document) = dom::document() else { return };
    for hidden in dom::all(&document, "[data-worksheet] [data-box], [data-code-line], [data-part=load]") {
        dom::set_hidden(&hidden, false);
    }
    refresh();
}

/// Puts back what was kept: at the start, and when another page of the course has changed it.
pub(super) fn refresh() {
    let Some(document) = dom::document() else { return };
    for section in dom::all(&document, WORK) {
        boxes::refresh(&section);
        homework::show(&section);
    }
    show_code();
}

/// The student's code in this course, when there is graded work.
pub(super) fn code() -> Option<Code> {
    let kept = memory::recall_named("code", Of::Course).filter(|_| has_term())?;
    Code::read(&kept).ok()
}

/// The code without its hyphen; nothing when there is none.
pub(super) fn plain() -> String {
    code().map(|code| code.plain()).unwrap_or_default()
}

/// What the page knows of the course.
pub(super) fn fact(name: &str) -> String {
    let desk = dom::document().and_then(|document| document.get_element_by_id("desk"));
    desk.map(|desk| dom::attribute(&desk, name)).unwrap_or_default()
}

/// A sentence of the page.
pub(super) fn says(name: &str) -> String {
    fact(&["data-words-", name].concat())
}

/// A sentence of the page, with what stands between its braces put in.
pub(super) fn tells(name: &str, values: &[(&str, &str)]) -> String {
    let mut text = says(name);
    for (place, value) in values {
        text = text.replace(place, value);
    }
    text
}

/// A sentence of the page about how many of how many.
pub(super) fn counts(name: &str, done: usize, all: usize) -> String {
    tells(name, &[("{done}", &done.to_string()), ("{all}", &all.to_string())])
}

/// Is there a term, and so graded work?
pub(super) fn has_term() -> bool {
    !fact("data-term").is_empty()
}

/// Makes a code the student's.
pub(super) fn set_code(code: Code) {
    memory::keep_named("code", Of::Course, &code.to_string());
}

/// Takes the code that was typed.
pub(super) fn entered(form: &Element) {
    let Some(line) = dom::around(form, "[data-code-line]") else { return };
    let Some(typed) = dom::part(&line, "code-typed") else { return };
    match Code::read(&dom::value(&typed)) {
        Ok(code) => {
            set_code(code);
            handin::outdated();
            refresh();
            if let Some(button) = dom::first(&line, "[data-do=change-code]") {
                dom::focus(&button);
            }
        }
        Err(problem) => {
            typed.set_attribute("aria-invalid", "true").ok();
            say(&line, &problem.words());
        }
    }
}

/// Answers a button of a problem, a sheet or the hand-in.
pub(super) fn pressed(button: &Element, act: &str) {
    let section = dom::around(button, "[data-homework], [data-handin]");
    let Some(section) = section else { return };
    if press::bounced(&[&section.id(), " ", act].concat()) {
        return;
    }
    match act {
        "change-code" => change(button),
        "hand-in" => handin::make(&section),
        "print-hand-in" => handin::print(&section),
        "delete" => handin::delete(&section, button),
        "replace" => handin::answered(&section, true),
        "keep" => handin::answered(&section, false),
        _ => practice::pressed(&section, button, act),
    }
}

/// Something was typed into a box.
pub(super) fn typed(target: &Element) {
    if dom::around(target, "[data-part=load]").is_some() {
        handin::chosen(target);
        return;
    }
    let Some(section) = dom::around(target, WORK).filter(|_| target.has_attribute("data-box")) else {
        return;
    };
    if dom::around(target, "[data-part=practice]").is_some() {
        practice::keep(&section);
    } else {
        handin::outdated();
        boxes::keep(&section);
        homework::look(target, false);
    }
}

/// A box was left after something was typed into it.
pub(super) fn changed(target: &Element) {
    let Some(section) = dom::around(target, "[data-homework]").filter(|_| target.has_attribute("data-box"))
    else {
        return;
    };
    if dom::around(target, "[data-part=practice]").is_some() {
        practice::mark(&section, false);
    } else {
        homework::look(target, true);
    }
}

/// Asks once, in the button's own place: does the answer stand?
pub(super) fn confirmed(button: &Element, question: &str) -> bool {
    if press::confirmed() {
        return true;
    }
    dom::set_text(button, &says(question));
    false
}

/// A button that asked was left without an answer.
pub(super) fn left(button: &Element) {
    press::disarm();
    dom::set_text(button, &says(&dom::attribute(button, "data-do")));
}

/// Asks for another code. What was answered stays kept under the one before.
fn change(button: &Element) {
    let Some(line) = dom::around(button, "[data-code-line]") else { return };
    if !confirmed(button, "change-again") {
        return;
    }
    dom::set_text(button, &says("change-code"));
    show_entry(&line, true);
    if let Some(typed) = dom::part(&line, "code-typed") {
        dom::focus(&typed);
    }
}

/// Shows the code at every problem, or the box for it.
fn show_code() {
    let Some(document) = dom::document() else { return };
    let code = code();
    for line in dom::all(&document, "[data-code-line]") {
        if let (Some(shown), Some(code)) = (dom::part(&line, "code"), code) {
            dom::set_text(&shown, &code.to_string());
        }
        if let Some(typed) = dom::part(&line, "code-typed") {
            dom::set_value(&typed, "");
            typed.remove_attribute("aria-invalid").ok();
        }
        say(&line, "");
        show_entry(&line, code.is_none());
    }
}

fn show_entry(line: &Element, is_open: bool) {
    for (part, hidden) in [("code-known", is_open), ("code-entry", !is_open)] {
        if let Some(part) = dom::part(line, part) {
            dom::set_hidden(&part, hidden);
        }
    }
}

fn say(line: &Element, sentence: &str) {
    if let Some(said) = dom::part(line, "code-said") {
        dom::set_text(&said, sentence);
    }
}
