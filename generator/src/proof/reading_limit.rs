//! A sheet on which nothing has a limit leaves its reader without a verdict.

use crate::course::{Lesson, Piece};
use crate::finding::Finding;

/// Hints at sheets whose readings have no limit at all; some readings need none, such as a temperature.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        let Piece::Worksheet(sheet) = piece else { continue };
        let limited = |reading: &crate::course::WorksheetReading| {
            reading.minimum.is_some() || reading.maximum.is_some() || reading.limit.is_some()
        };
        if !sheet.readings.is_empty() && !sheet.readings.iter().any(limited) {
            found.push(
                Finding::hint("no-limits", "no reading of this sheet has a limit", sheet.span, "nothing to judge by")
                    .help("give one a `minimum`, a `maximum` or a `limit` in words, with its `source`; or let a question ask for the verdict"),
            );
        }
    }
}
