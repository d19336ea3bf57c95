//! Homework: problems whose numbers the page fills in.

use fieldcoil_calc::homework::item::{Item, Numbers};
use fieldcoil_calc::homework::wire;
use fieldcoil_calc::number::short;
use fieldcoil_calc::unit::Quantity;

use super::escape;
use super::typeset::tied;
use super::view::{HomeworkAskView, HomeworkReasonView, HomeworkView};
use super::words::Words;
use crate::course::{Course, Homework};

/// A problem as its component sees it; nothing while it cannot be worked, which `resolve` reports.
pub fn view(homework: &Homework, course: &Course, words: &Words) -> Option<HomeworkView> {
    let item = homework.item.as_ref()?;
    let asks = homework.asks.iter().map(|ask| HomeworkAskView {
        name: ask.name.value.clone(),
        text: tied(&ask.text).into_owned(),
        hint: tied(&ask.hint).into_owned(),
        wanted: wanted(&ask.unit.value, words),
        points: points(ask.points, words),
    });
    let reasons = homework.reasons.iter().enumerate().map(|(index, reason)| HomeworkReasonView {
        number: index + 1,
        text: tied(&reason.text).into_owned(),
        points: points(reason.points, words),
        lines: reason.lines,
    });
    let blank = |field: &str| match drawn(item, field) {
        true => format!("<b data-drawn=\"{field}\">____</b>"),
        false => escape::text(&shown(item, field, given(item, field))),
    };
    Some(HomeworkView {
        id: homework.id.clone(),
        name: homework.name.value.clone(),
        title: homework.title.clone(),
        text: filled(&homework.text.value, blank),
        hint: tied(&homework.hint).into_owned(),
        points: points(homework.points(), words),
        item: wire::write(item),
        has_term: course.about.term.is_some(),
        asks: asks.collect(),
        reasons: reasons.collect(),
    })
}

/// How an answer is written: a unit that keyboards of telephones lack with what they have in its place.
fn wanted(unit: &str, words: &Words) -> String {
    let known = Quantity::of_unit(unit).map(|(_, known)| known);
    let typed = known.and_then(|known| known.spellings.iter().find(|spelling| spelling.is_ascii()));
    match typed {
        _ if unit.is_empty() => words.get("homework.bare").to_owned(),
        Some(typed) if !unit.is_ascii() => {
            words.fill("homework.unit_typed", &[("unit", unit), ("typed", typed)])
        }
        _ => words.fill("homework.unit", &[("unit", unit)]),
    }
}

/// A number of points in words.
pub fn points(points: f64, words: &Words) -> String {
    if points == 1.0 {
        words.get("homework.point").to_owned()
    } else {
        words.fill("homework.points", &[("points", &short(points))])
    }
}

/// A text as HTML, with what `value` gives (HTML) in the place of each `{field}`.
pub fn filled(text: &str, value: impl Fn(&str) -> String) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        let Some((field, after)) = after.split_once('}') else { break };
        out.push_str(&escape::text(&tied(before)));
        out.push_str(&value(field));
        rest = after;
    }
    out.push_str(&escape::text(&tied(rest)));
    out
}

/// A problem's text with a student's numbers in it, as HTML.
pub fn drawn_text(homework: &Homework, item: &Item, numbers: &Numbers) -> String {
    filled(&homework.text.value, |field| {
        let own = numbers.iter().find(|(name, _)| name == field).map(|(_, text)| text.as_str());
        match own {
            Some(text) => format!("<b>{}</b>", escape::text(&shown(item, field, text))),
            None => escape::text(&shown(item, field, given(item, field))),
        }
    })
}

fn drawn(item: &Item, field: &str) -> bool {
    item.drawn.iter().any(|drawn| drawn.field == field)
}

/// The text of a field that is the same for all; empty when it is not given.
pub fn given<'i>(item: &'i Item, field: &str) -> &'i str {
    item.given.iter().find(|(name, _)| name == field).map_or("", |(_, text)| text)
}

/// A field's text as a reader sees it: a number with the unit of its field when it has none, an option by its label.
pub fn shown(item: &Item, field: &str, text: &str) -> String {
    item.told(field, text)
}
