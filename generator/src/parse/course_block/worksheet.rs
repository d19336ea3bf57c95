//! `worksheet`: a sheet on which readings are written at the bench.

use super::Block;
use crate::course::{Question, Taken, Worksheet, WorksheetReading};
use crate::finding::{Finding, shown};
use crate::parse::keys::Keys;
use crate::source::Spanned;

/// Limits are readings of meters on a bench: beyond this a number is a slip.
const LARGEST: f64 = 1e9;

const TAKEN: [(&str, Taken); 3] =
    [("energized", Taken::Energized), ("after-release", Taken::AfterRelease), ("at-rest", Taken::AtRest)];

/// Reads the block.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Worksheet {
    block
        .body
        .read("the `worksheet` block", block.fence, found, |keys, found| worksheet(keys, block, id, found))
}

fn worksheet(keys: &mut Keys, block: Block, id: String, found: &mut Vec<Finding>) -> Worksheet {
    let plain = |texts: Vec<Spanned<String>>| texts.into_iter().map(|text| text.value).collect();
    let title = keys.needed_text("title", found).value;
    let practises = keys.text_or_texts("practises", found);
    let assesses = keys.text_or_texts("assesses", found);
    let blanks = plain(keys.texts("blanks", found));
    let sign_off = plain(keys.texts("sign_off", found));
    let readings =
        keys.tables("reading", "this reading", found).into_iter().map(|keys| reading(keys, found)).collect();
    let questions = keys
        .tables("question", "this question", found)
        .into_iter()
        .map(|keys| question(keys, found))
        .collect();
    Worksheet { id, title, practises, assesses, blanks, readings, questions, sign_off, span: block.fence }
}

fn reading(mut keys: Keys, found: &mut Vec<Finding>) -> WorksheetReading {
    let span = keys.span;
    let name = keys.needed_text("name", found);
    let label = keys.needed_text("label", found).value;
    let unit = keys.maybe_empty_text("unit", found).map_or_else(String::new, |unit| unit.value);
    let limit_from = keys.text("limit_from", found);
    if let Some(name) = &limit_from {
        check_alone(&keys, name, found);
    }
    let minimum = keys.number("minimum", (-LARGEST, LARGEST), found);
    let maximum = keys.number("maximum", (-LARGEST, LARGEST), found);
    let limit = keys.text("limit", found).map(|limit| limit.value);
    let source = keys.text("source", found).map_or_else(String::new, |source| source.value);
    let taken = keys.word("taken", TAKEN.into_iter(), found).map_or(Taken::Energized, |taken| taken.value);
    let during = keys.text("during", found).map(|during| during.value);
    if !name.value.is_empty() && !is_snake_case(&name.value) {
        let message = format!("`{}` cannot be the name of a reading", shown(&name.value));
        found.push(
            Finding::error(
                "reading-name",
                message,
                name.span,
                "small letters, figures and low lines are wanted",
            )
            .help("end it in the unit: \"settled_current_a\", \"terminal_voltage_v\""),
        );
    }
    if let (Some(minimum), Some(maximum)) = (&minimum, &maximum)
        && minimum.value > maximum.value
    {
        let message = format!("the minimum {} is above the maximum {}", minimum.value, maximum.value);
        found.push(
            Finding::error("limits-crossed", message, minimum.span, "no reading can be inside")
                .also(maximum.span, "the maximum")
                .help("exchange the two"),
        );
    }
    keys.finish(found);
    let (minimum, maximum) = (minimum.map(|number| number.value), maximum.map(|number| number.value));
    WorksheetReading { name, label, unit, minimum, maximum, limit_from, limit, source, taken, during, span }
}

/// A limit of the list brings its unit, numbers and source along.
fn check_alone(keys: &Keys, limit: &Spanned<String>, found: &mut Vec<Finding>) {
    for key in ["unit", "minimum", "maximum", "limit", "source"] {
        if keys.has(key) {
            let message = format!("`{key}` stands beside `limit_from`");
            found.push(
                Finding::error("limit-twice", message, keys.span_of(key), "said twice")
                    .also(limit.span, "this limit says it too")
                    .help(format!("take out `{key}`, or take out `limit_from`")),
            );
        }
    }
}

fn question(mut keys: Keys, found: &mut Vec<Finding>) -> Question {
    let ask = keys.needed_text("ask", found).value;
    let lines = keys.whole("lines", (1, 30), found).unwrap_or(2);
    keys.finish(found);
    Question { ask, lines }
}

fn is_snake_case(name: &str) -> bool {
    name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_')
}
