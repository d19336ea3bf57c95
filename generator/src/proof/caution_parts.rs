//! A safety note says what is dangerous, what happens, and how to avoid it.

use crate::course::{Lesson, Piece, Signal};
use crate::finding::Finding;

/// The two signal words for injury that cannot be undone need all three parts (ANSI Z535.6 asks for them).
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        let Piece::Caution(caution) = piece else { continue };
        let word = match caution.signal {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution | Signal::Notice => continue,
        };
        let parts = [("consequence", caution.consequence.is_empty()), ("avoid", caution.avoid.is_empty())];
        for (key, _) in parts.iter().filter(|(_, missing)| *missing) {
            found.push(
                Finding::error(
                    "caution-part",
                    format!("a {word} note without `{key}`"),
                    caution.span,
                    format!("`{key}` is missing"),
                )
                .help(match *key {
                    "consequence" => {
                        "say what happens to a person: `consequence = \"It can crush a finger.\"`"
                    }
                    _ => "say how to avoid it: `avoid = [\"Keep hands out of the drive opening.\"]`",
                }),
            );
        }
    }
}
