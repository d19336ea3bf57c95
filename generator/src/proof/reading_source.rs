//! Every limit that a student judges by has a source.

use crate::course::{Lesson, Piece};
use crate::finding::Finding;

/// A reading with a limit says where the limit comes from.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        let Piece::Worksheet(worksheet) = piece else { continue };
        for reading in &worksheet.readings {
            let limited = reading.minimum.is_some() || reading.maximum.is_some() || reading.limit.is_some();
            if limited && reading.source.is_empty() {
                found.push(
                    Finding::error("limit-without-source", "this reading has a limit and no source", reading.span,
                        "`source` is missing")
                    .help("say who sets the limit: a data sheet, a manual, \"common practice\", or \"invented\""),
                );
            }
        }
    }
}
