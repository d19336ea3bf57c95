//! Readings of a lesson: each name once, and what a hookup reads is on the sheet.

use std::collections::BTreeMap;

use crate::course::{Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// Checks the names of readings in a lesson.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let mut known: BTreeMap<&str, Span> = BTreeMap::new();
    let mut has_sheet = false;
    for piece in &lesson.pieces {
        let Piece::Worksheet(worksheet) = piece else { continue };
        has_sheet = true;
        for reading in worksheet.readings.iter().filter(|reading| !reading.name.value.is_empty()) {
            let name = reading.name.value.as_str();
            if let Some(first) = known.get(name) {
                found.push(
                    Finding::error(
                        "second-reading",
                        format!("two readings are named `{}`", shown(name)),
                        reading.name.span,
                        "the second",
                    )
                    .also(*first, "the first")
                    .help("give each reading a name of its own"),
                );
            } else {
                known.insert(name, reading.name.span);
            }
        }
    }
    for piece in &lesson.pieces {
        let Piece::Hookup(hookup) = piece else { continue };
        for reading in hookup.steps.iter().filter_map(|step| step.reading.as_ref()) {
            let name = reading.value.as_str();
            if known.contains_key(name) {
                continue;
            }
            let finding = Finding::error(
                "unknown-reading",
                format!("no worksheet of this lesson has a reading `{}`", shown(name)),
                reading.span,
                "nowhere to write it down",
            )
            .help("why: a reading kept in the head is another one when it is written down (common practice)");
            found.push(match has_sheet {
                true => finding
                    .near(name, known.keys().copied())
                    .help("add a `[[reading]]` with this name to the worksheet"),
                false => {
                    finding.help("add a `worksheet` block to this lesson, with a `[[reading]]` of this name")
                }
            });
        }
    }
}
