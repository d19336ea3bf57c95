//! `homework`: a problem whose numbers are drawn for each student.

use toml::de::DeValue;

use super::Block;
use crate::course::{DrawnFrom, Homework, HomeworkAsk, Reason, StartValue};
use crate::finding::{Finding, shown};
use crate::parse::keys::{Found, Keys, number_of};
use crate::source::Spanned;

/// Points of one ask; more than that is a slip.
const POINTS: (f64, f64) = (0.0, 1000.0);
const SHARE: (f64, f64) = (0.0, 1.0);
/// More of a class than this with one answer is too many, where a problem does not say otherwise.
const MOST_ALIKE: f64 = 0.2;
/// A problem's parts go from a to z; and each is worked with every draw.
const MOST_ASKS: usize = 26;
/// What rounding on the way costs, where an ask does not say otherwise.
const TOLERANCE: &str = "2 %";

/// Reads the block.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Homework {
    block
        .body
        .read("the `homework` block", block.fence, found, |keys, found| homework(keys, block, id, found))
}

fn homework(keys: &mut Keys, block: Block, id: String, found: &mut Vec<Finding>) -> Homework {
    let name = keys.needed_text("name", found);
    check_name(&name, found);
    let title = keys.needed_text("title", found).value;
    let calculator = keys.needed_text("use", found);
    let text = keys.needed_text("text", found);
    let hint = keys.text("hint", found).map_or_else(String::new, |hint| hint.value);
    let outcomes = keys.text_or_texts("assesses", found);
    let most_alike = keys.number("most_alike", SHARE, found).map_or(MOST_ALIKE, |share| share.value);
    let mut given = Vec::new();
    for (field, value) in keys.entries("given", found) {
        given.extend(start_value(&field, value, found).map(|value| (field, value)));
    }
    let mut drawn = Vec::new();
    for (field, value) in keys.entries("draw", found) {
        drawn.extend(drawn_from(keys, &field, value, found).map(|value| (field, value)));
    }
    let asks: Vec<_> =
        keys.tables("ask", "this ask", found).into_iter().map(|keys| ask(keys, found)).collect();
    if asks.len() > MOST_ASKS {
        let message = format!("this homework has {} asks; a problem holds {MOST_ASKS}", asks.len());
        found.push(
            Finding::error("many-asks", message, block.fence, "more than there are letters")
                .help("make several problems of it"),
        );
    }
    let reasons: Vec<_> =
        keys.tables("reason", "this reason", found).into_iter().map(|keys| reason(keys, found)).collect();
    if !keys.has("ask") {
        found.push(
            Finding::error("no-ask", "this homework asks for nothing", block.fence, "`[[ask]]` is missing")
                .help("add a line `[[ask]]`, then `name = \"a\"`, `text = …`, `output = …`, `unit = …`"),
        );
    }
    Homework {
        id,
        name,
        title,
        text,
        hint,
        outcomes,
        calculator,
        given,
        drawn,
        asks,
        reasons,
        most_alike,
        item: None,
        span: block.fence,
    }
}

/// Names stand in files of hand-ins and in gradebooks.
fn check_name(name: &Spanned<String>, found: &mut Vec<Finding>) {
    let fits =
        name.value.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    if !fits {
        let message = format!("`{}` cannot be a name here", shown(&name.value));
        found.push(
            Finding::error(
                "homework-name",
                message,
                name.span,
                "small letters, figures and hyphens are wanted",
            )
            .help("write it like \"drop-of-a-run\", and leave it as it is once a class has worked on it"),
        );
    }
}

/// A field's value as written.
pub fn start_value(
    field: &Spanned<String>,
    (value, span): Found,
    found: &mut Vec<Finding>,
) -> Option<Spanned<StartValue>> {
    let read = match value {
        DeValue::String(text) => Some(StartValue::Text(text.to_string())),
        other => number_of(other).map(StartValue::Number),
    };
    if read.is_none() {
        let message = format!("the value of `{}` is neither a number nor text", shown(&field.value));
        found.push(
            Finding::error("wrong-type", message, span, "of the wrong kind")
                .help("write a number in the unit of the field's name, or text with a unit: \"6 ft\""),
        );
    }
    Some(Spanned::new(read?, span))
}

/// `{ from = 120, to = 220, step = 5 }`, or a list of numbers or texts.
fn drawn_from(
    keys: &Keys,
    field: &Spanned<String>,
    (value, span): Found,
    found: &mut Vec<Finding>,
) -> Option<Spanned<DrawnFrom>> {
    if let Some(mut keys) = keys.inner(value, "this draw", span) {
        let from = keys.needed_decimal("from", found);
        let to = keys.needed_decimal("to", found);
        let step = keys.needed_decimal("step", found);
        let unit = keys.text("unit", found).map_or_else(String::new, |unit| unit.value);
        keys.finish(found);
        return Some(Spanned::new(DrawnFrom::Steps { from: from?, to: to?, step: step?, unit }, span));
    }
    let list: Option<Vec<String>> = match value {
        DeValue::Array(array) => array
            .iter()
            .map(|item| match item.get_ref() {
                DeValue::String(text) => Some(text.to_string()),
                DeValue::Integer(number) => Some(number.as_str().to_owned()),
                DeValue::Float(number) => Some(number.as_str().to_owned()),
                _ => None,
            })
            .collect(),
        _ => None,
    };
    if list.as_ref().is_none_or(Vec::is_empty) {
        let message = format!("`{}` says nothing to draw from", shown(&field.value));
        found.push(
            Finding::error("wrong-type", message, span, "of the wrong kind")
                .help("write `{ from = 120, to = 220, step = 5 }`, or a list: `[\"25 mm2\", \"35 mm2\"]`"),
        );
        return None;
    }
    Some(Spanned::new(DrawnFrom::Among(list?), span))
}

fn ask(mut keys: Keys, found: &mut Vec<Finding>) -> HomeworkAsk {
    let span = keys.span;
    let name = keys.needed_text("name", found);
    check_name(&name, found);
    let text = keys.needed_text("text", found).value;
    let hint = keys.text("hint", found).map_or_else(String::new, |hint| hint.value);
    let calculator = keys.text("use", found);
    let output = keys.needed_text("output", found);
    let unit = keys.maybe_empty_text("unit", found).unwrap_or(Spanned::new(String::new(), span));
    let tolerance = keys.text("tolerance", found).unwrap_or(Spanned::new(TOLERANCE.to_owned(), span));
    let points = keys.number("points", POINTS, found).map_or(1.0, |points| points.value);
    let for_power = keys.number("for_power", SHARE, found).map_or(0.5, |share| share.value);
    let for_unit = keys.number("for_unit", SHARE, found).map_or(0.5, |share| share.value);
    let mut uses = Vec::new();
    for (field, (value, place)) in keys.entries("uses", found) {
        match value {
            DeValue::String(earlier) => uses.push((field, Spanned::new(earlier.to_string(), place))),
            _ => found.push(
                Finding::error(
                    "wrong-type",
                    "wanted is the name of an earlier ask",
                    place,
                    "of the wrong kind",
                )
                .help("write `uses = { current_a = \"a\" }`"),
            ),
        }
    }
    let sensible = keys.pair("sensible", found);
    keys.finish(found);
    HomeworkAsk {
        name,
        text,
        hint,
        calculator,
        output,
        unit,
        tolerance,
        points,
        for_power,
        for_unit,
        uses,
        sensible,
        span,
    }
}

fn reason(mut keys: Keys, found: &mut Vec<Finding>) -> Reason {
    let text = keys.needed_text("text", found).value;
    let points = keys.number("points", POINTS, found).map_or(1.0, |points| points.value);
    let lines = keys.whole("lines", (1, 20), found).unwrap_or(2);
    keys.finish(found);
    Reason { text, points, lines }
}
