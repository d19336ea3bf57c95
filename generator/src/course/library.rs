//! Tables that the program makes from what it knows: of the calculations, of the course, of the rules.

use crate::source::{Span, Spanned};

/// A place where such a table stands.
#[derive(Debug, Clone)]
pub struct Library {
    /// Which one.
    pub show: Spanned<Show>,
    /// Where the block stands.
    pub span: Span,
}

/// Which table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Show {
    /// Sizes of conductors with what a metre of them resists.
    Conductors,
    /// The formulas of all calculators.
    Formulas,
    /// What the marks of terminals mean.
    Terminals,
    /// The words of the glossary.
    Glossary,
    /// The school's outcomes, and where each is taught, practised and assessed.
    Outcomes,
    /// The lessons week by week.
    Weeks,
    /// The rules that every hookup is held against.
    HookupRules,
}

impl Show {
    /// Every table by the word that lessons use.
    pub const ALL: [(&str, Show); 7] = [
        ("conductors", Show::Conductors),
        ("formulas", Show::Formulas),
        ("terminals", Show::Terminals),
        ("glossary", Show::Glossary),
        ("outcomes", Show::Outcomes),
        ("weeks", Show::Weeks),
        ("hookup-rules", Show::HookupRules),
    ];
}
