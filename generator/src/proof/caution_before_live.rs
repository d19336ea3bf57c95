//! Where something is energized, the reader has been warned.

use crate::course::{Action, Lesson, Piece};
use crate::finding::Finding;

/// A hookup that energizes needs a safety note above it in the same lesson: who opens a lesson at the bench
/// does not leaf back through the course.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let mut warned = false;
    for piece in &lesson.pieces {
        match piece {
            Piece::Caution(_) => warned = true,
            Piece::Hookup(hookup) if !warned => {
                let Some(step) = hookup.steps.iter().find(|step| step.action.value == Action::Energize)
                else {
                    continue;
                };
                found.push(
                    Finding::error("no-caution", "this lesson energizes and has no safety note before", step.action.span,
                        "live from here")
                    .also(hookup.span, "in this hookup")
                    .help("put a `caution` block before the hookup: what is dangerous, what happens, how to avoid it"),
                );
            }
            _ => {}
        }
    }
}
