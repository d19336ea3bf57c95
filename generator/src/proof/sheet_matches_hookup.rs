//! What the sheet asks for, the hookup reads.

use std::collections::BTreeSet;

use crate::course::{Lesson, Piece};
use crate::finding::{Finding, shown};

/// Warns of readings on a sheet that no step of the lesson's hookups takes. The other way round, a step that reads what
/// no sheet has, is an error that `resolve` reports.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let hookups = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Hookup(hookup) => Some(hookup),
        _ => None,
    });
    let mut read = BTreeSet::new();
    let mut any = false;
    for hookup in hookups {
        any = true;
        read.extend(hookup.steps.iter().filter_map(|step| Some(step.reading.as_ref()?.value.as_str())));
    }
    // A lesson may read things without a hookup, and a dry run reads nothing.
    if !any || read.is_empty() {
        return;
    }
    for piece in &lesson.pieces {
        let Piece::Worksheet(worksheet) = piece else { continue };
        for reading in worksheet.readings.iter().filter(|reading| !read.contains(reading.name.value.as_str()))
        {
            let name = shown(&reading.name.value);
            found.push(
                Finding::warning(
                    "idle-reading",
                    format!("no step of the hookup reads `{name}`"),
                    reading.name.span,
                    "on the sheet, but never taken",
                )
                .help(format!(
                    "add a step `do = \"read\"`, `reading = \"{name}\"`, or take the reading off the sheet"
                )),
            );
        }
    }
}
