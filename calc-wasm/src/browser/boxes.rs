//! Boxes for answers and readings: what stands in them, kept for each code in this browser.

use web_sys::Element;

use super::memory::{self, Of};
use super::{clock, desk, dom};

/// Names of boxes and what stands in them.
pub(super) type Texts = Vec<(String, String)>;

/// Parts the boxes of a line that is kept, and a name from its text. What is typed cannot hold them.
const BOX: char = '\u{1e}';
const TEXT: char = '\u{1f}';

/// What stands in the boxes inside `root`, in order.
pub(super) fn texts(root: &Element) -> Texts {
    let boxes = dom::within(root, "[data-box]");
    boxes.iter().map(|one| (dom::attribute(one, "data-box"), dom::value(one))).collect()
}

/// Puts texts into the boxes inside `root`; a box without one is emptied.
pub(super) fn fill(root: &Element, texts: &Texts) {
    for one in dom::within(root, "[data-box]") {
        let name = dom::attribute(&one, "data-box");
        let text = texts.iter().find(|(other, _)| *other == name).map_or("", |(_, text)| text);
        // The same text again would move the cursor to its end.
        if dom::value(&one) != text {
            dom::set_value(&one, text);
        }
    }
}

/// Texts as one line to keep.
pub(super) fn write(texts: &Texts) -> String {
    let mut line = String::new();
    for (name, text) in texts.iter().filter(|(_, text)| !text.is_empty()) {
        line.push(BOX);
        line.push_str(name);
        line.push(TEXT);
        line.push_str(&text.replace([BOX, TEXT], " "));
    }
    line
}

/// The texts of a line.
pub(super) fn read(line: &str) -> Texts {
    let parts = line.split(BOX).filter_map(|part| part.split_once(TEXT));
    parts.map(|(name, text)| (name.to_owned(), text.to_owned())).collect()
}

/// What a problem or a sheet is called in hand-ins.
pub(super) fn own_name(section: &Element) -> String {
    section.get_attribute("data-homework").unwrap_or_else(|| section.id())
}

/// The name under which a problem's or a sheet's boxes are kept, for the code or for nobody yet.
pub(super) fn name(section: &Element, code: &str) -> String {
    let kind = if section.has_attribute("data-homework") { "homework/" } else { "sheet/" };
    [kind, &own_name(section), ":", code].concat()
}

/// The part of a problem or a sheet whose boxes are handed in: practice stands apart.
pub(super) fn graded(section: &Element) -> Element {
    dom::part(section, "problem").unwrap_or_else(|| section.clone())
}

/// Keeps what stands in a problem's or a sheet's boxes, and says so.
pub(super) fn keep(section: &Element) {
    let code = desk::plain();
    let started = ["started:", &code].concat();
    if memory::recall_named(&started, Of::Page).is_none() {
        memory::keep_named(&started, Of::Page, &clock::iso());
    }
    note_saved();
    let line = write(&texts(&graded(section)));
    say_kept(section, memory::keep_named(&name(section, &code), Of::Page, &line));
}

/// Notes when the code's work on this page was last kept.
pub(super) fn note_saved() {
    memory::keep_named(&["saved:", &desk::plain()].concat(), Of::Page, &clock::iso());
}

/// Puts back what was kept for the code. What was typed into a sheet before there was a code belongs to the first one.
pub(super) fn refresh(section: &Element) {
    let code = desk::plain();
    let mut line = memory::recall_named(&name(section, &code), Of::Page);
    let nobodys = name(section, "");
    if line.is_none() && !code.is_empty() {
        line = memory::recall_named(&nobodys, Of::Page);
        if let Some(line) = &line {
            memory::keep_named(&name(section, &code), Of::Page, line);
            memory::forget_named(&nobodys, Of::Page);
        }
    }
    fill(&graded(section), &line.map(|line| read(&line)).unwrap_or_default());
}

fn say_kept(section: &Element, is_kept: bool) {
    if let Some(saved) = dom::part(section, "saved") {
        let said = if is_kept {
            desk::tells("saved", &[("{time}", &clock::hours())])
        } else {
            desk::says("not-saved")
        };
        dom::set_text(&saved, &said);
    }
}
