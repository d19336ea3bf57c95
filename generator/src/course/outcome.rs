//! What a school wants its students to be able to do: the list in `outcomes.toml`.

use crate::source::Spanned;

/// One outcome.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Its name in lessons and records: `SS-04`.
    pub name: Spanned<String>,
    /// What a student can do, a sentence.
    pub text: String,
    /// How much it matters: 1 is the most.
    pub priority: u32,
}
