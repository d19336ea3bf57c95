//! A problem on the page: its numbers drawn for the code, and what cannot be read in an answer.

use web_sys::Element;

use super::{boxes, desk, dom, practice};
use crate::calculator::OutputKind;
use crate::homework::draw::Lot;
use crate::homework::item::{Ask, Item, Numbers};
use crate::homework::mark::{Typed, read};
use crate::homework::wire;
use crate::number::split_unit;
use crate::unit::Quantity;

/// What stands in place of a number before there is a code.
const BLANK: &str = "____";

/// The problem behind a section.
pub(super) fn item(section: &Element) -> Option<Item> {
    wire::read(&section.get_attribute("data-item")?)
}

/// Shows a problem with the student's numbers, or with empty places.
pub(super) fn show(section: &Element) {
    let Some(item) = item(section) else { return };
    let code = desk::plain();
    let key = desk::fact("data-term-key");
    let is_open = !code.is_empty();
    let numbers = is_open.then(|| item.numbers(&Lot { key: &key, code: &code, attempt: 0 }));
    let problem = boxes::graded(section);
    put(&problem, &item, numbers.as_ref());
    section.toggle_attribute_with_force("data-open", is_open).ok();
    for answer in dom::within(&problem, "[data-ask] [data-box]") {
        look(&answer, true);
    }
    practice::redraw(section);
}

/// Puts numbers into the places for them.
pub(super) fn put(problem: &Element, item: &Item, numbers: Option<&Numbers>) {
    for place in dom::within(problem, "[data-drawn]") {
        let field = dom::attribute(&place, "data-drawn");
        let text = numbers.and_then(|numbers| numbers.iter().find(|(name, _)| *name == field));
        match text {
            Some((field, text)) => dom::set_text(&place, &item.told(field, text)),
            None => dom::set_text(&place, BLANK),
        }
    }
}

/// The kind of quantity that an ask wants.
pub(super) fn quantity(ask: &Ask) -> Option<Quantity> {
    match ask.calculator.output(&ask.output)?.kind {
        OutputKind::Number(quantity, _) => Some(quantity),
        _ => None,
    }
}

/// The ask whose row this is.
pub(super) fn ask_of<'i>(item: &'i Item, row: &Element) -> Option<&'i Ask> {
    let name = row.get_attribute("data-ask")?;
    item.asks.iter().find(|ask| ask.name == name)
}

/// Says what cannot be read in an answer, and nothing about right and wrong. While somebody types, only what was said
/// before is taken back.
pub(super) fn look(answer: &Element, is_left: bool) {
    let Some(row) = dom::around(answer, "[data-ask]") else { return };
    let said = dom::part(&row, "said").and_then(|said| said.text_content()).unwrap_or_default();
    if !is_left && said.is_empty() {
        return;
    }
    let item = dom::around(&row, "[data-homework]").and_then(|section| item(&section));
    let ask = item.as_ref().and_then(|item| ask_of(item, &row));
    let text = dom::value(answer);
    let sentence = ask.and_then(|ask| unreadable(ask, &text)).unwrap_or_default();
    say(&row, answer, &sentence, if sentence.is_empty() { "" } else { "unread" });
}

/// What cannot be read in a text.
fn unreadable(ask: &Ask, text: &str) -> Option<String> {
    let quantity = quantity(ask)?;
    match read(text, quantity, ask.unit) {
        Typed::Unreadable(_) => Some(desk::says("no-number")),
        Typed::Number { unit: false, .. } => {
            let (_, symbol) = split_unit(text);
            Some(match symbol {
                "" => desk::says("no-unit"),
                symbol => desk::tells("no-such-unit", &[("{symbol}", symbol)]),
            })
        }
        _ => None,
    }
}

/// Says something at an answer.
pub(super) fn say(row: &Element, answer: &Element, sentence: &str, state: &str) {
    if let Some(said) = dom::part(row, "said") {
        dom::set_text(&said, sentence);
        said.set_attribute("data-said", state).ok();
    }
    match state {
        "unread" => answer.set_attribute("aria-invalid", "true").ok(),
        _ => answer.remove_attribute("aria-invalid").ok(),
    };
}
