//! A sign that a safety note names is one that the theme can draw.

use crate::asset::{sign, signs};
use crate::course::{Lesson, Piece};
use crate::finding::Finding;

/// A sign that is not drawn would be missing without anyone seeing it.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        let Piece::Caution(caution) = piece else { continue };
        let Some(number) = caution.sign.as_ref().filter(|number| sign(&number.value).is_none()) else {
            continue;
        };
        let known: Vec<_> = signs().map(|(number, sign)| format!("{number} ({})", sign.meaning)).collect();
        found.push(
            Finding::error(
                "unknown-sign",
                format!("there is no drawing of the sign `{}`", number.value),
                number.span,
                "not among the signs of the theme",
            )
            .help(format!("there are {}", known.join("; "))),
        );
    }
}
