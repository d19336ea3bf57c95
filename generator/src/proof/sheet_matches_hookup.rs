//! The readings of a lesson's sheets and those of its hookups are the same set.

use std::collections::BTreeSet;

use crate::course::{Action, Lesson, Piece};
use crate::finding::{Finding, shown};

/// Reports readings on a sheet that no step of the lesson's hookups takes. The other way round, a step that reads what
/// no sheet has, is an error of `resolve`, which binds the names. A lesson without a hookup may read what it likes.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let hookups = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Hookup(hookup) => Some(hookup),
        _ => None,
    });
    let mut read = BTreeSet::new();
    let mut any = false;
    for hookup in hookups {
        any = true;
        let reads = hookup.steps.iter().filter(|step| step.action.value == Action::Read);
        read.extend(reads.filter_map(|step| Some(step.reading.as_ref()?.value.as_str())));
    }
    if !any {
        return;
    }
    for piece in &lesson.pieces {
        let Piece::Worksheet(worksheet) = piece else { continue };
        for reading in worksheet.readings.iter().filter(|reading| !read.contains(reading.name.value.as_str()))
        {
            let name = shown(&reading.name.value);
            found.push(
                Finding::error(
                    "idle-reading",
                    format!("no step of the hookup reads `{name}`"),
                    reading.name.span,
                    "on the sheet, but never taken",
                )
                .help(format!(
                    "add a step `do = \"read\"`, `reading = \"{name}\"`, or take the reading off the sheet"
                ))
                .help(
                    "why: a line that no step fills is filled from memory, and a verdict is built on it (common practice)",
                ),
            );
        }
    }
}
