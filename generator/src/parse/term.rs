//! The `[term]` of `course.toml`.

use std::collections::BTreeMap;

use time::{Date, Month};

use super::keys::Keys;
use crate::course::Term;
use crate::finding::{Finding, shown};
use crate::source::Spanned;

/// No term is longer.
const MOST_WEEKS: u32 = 60;

/// Reads the table, if there is one.
pub fn term(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<Term> {
    let mut keys = keys.table("term", "the `[term]` table", "[term]", found)?;
    let name = keys.needed_text("name", found).value;
    let starts = keys.needed_date("starts", found);
    let key = keys.needed_text("key", found);
    let mut weeks = BTreeMap::new();
    for (lesson, value) in keys.entries("weeks", found) {
        if let Some(week) = keys.whole_value(&lesson.value, value, (1, MOST_WEEKS), found) {
            weeks.insert(lesson.value, Spanned::new(week, lesson.span));
        }
    }
    keys.finish(found);
    if !key.value.is_empty() && key.value.chars().count() < 8 {
        let message = format!("the key `{}` is short", shown(&key.value));
        found.push(
            Finding::error("term-key", message, key.span, "fewer than 8 letters")
                .help("write a word or two that no other term has: the numbers of a class hang on it"),
        );
    }
    let (year, month, day) = starts?;
    let date = Month::try_from(month).ok().and_then(|month| Date::from_calendar_date(year, month, day).ok());
    Some(Term { name, starts: date?, key: key.value, weeks })
}
