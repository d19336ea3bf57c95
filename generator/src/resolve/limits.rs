//! The course's limit for the time energized holds in every hookup that sets none.

use crate::course::{About, Lesson, Piece};

/// Fills in the limit of the course where a hookup has none of its own.
pub fn bind(lesson: &mut Lesson, about: &About) {
    let Some(limit) = about.energize_limit_s else { return };
    for piece in &mut lesson.pieces {
        if let Piece::Hookup(hookup) = piece
            && hookup.limit_span == hookup.span
        {
            hookup.limit_s = limit;
        }
    }
}
