//! Published facts: limits with where they come from, and the texts that a course refers to.

use memchr::memmem;

use fieldcoil_calc::unit::{Quantity, Unit};

use crate::source::{Span, Spanned};

/// A limit of `limits.toml`.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Its name in worksheets and texts: `fc-12-free-spin-current`.
    pub name: Spanned<String>,
    /// Which motor, circuit or source it is a limit of.
    pub of: String,
    /// What is limited.
    pub what: String,
    /// The unit of its numbers; nothing when it is no unit that is known, which is a finding.
    pub unit: Option<(Quantity, &'static Unit)>,
    /// Smallest value allowed, in that unit.
    pub minimum: Option<f64>,
    /// Greatest value allowed, in that unit.
    pub maximum: Option<f64>,
    /// Under which condition it holds, perhaps nothing.
    pub at: String,
    /// Where it comes from; nothing when that could not be read.
    pub origin: Option<Origin>,
    /// Where it stands.
    pub span: Span,
}

/// Where a limit comes from.
#[derive(Debug, Clone)]
pub enum Origin {
    /// A text of `references.toml`, by its key.
    Published(Spanned<String>),
    /// Invented, as the motors of a demo are.
    Demo,
    /// What the trade does, without a source.
    Practice,
    /// A source that was not read again.
    Memory,
}

/// A text that a course refers to.
#[derive(Debug, Clone)]
pub struct Reference {
    /// Its key.
    pub key: Spanned<String>,
    /// Its title.
    pub title: String,
    /// Its number, perhaps with a place in it: `NAVEDTRA 14050, p. 94`.
    pub number: String,
    /// How texts name it; its number when nothing else is said.
    pub cite: String,
    /// What it is used for.
    pub note: String,
    /// Filled in by the resolve stage: addresses of the lessons that name it.
    pub named_in: Vec<String>,
    /// Where it stands.
    pub span: Span,
}

impl Reference {
    /// Does this text name it? The place in it does not count.
    pub fn is_named_in(&self, text: &str) -> bool {
        let whole = |name: &str| name.split(", ").next().unwrap_or_default().to_owned();
        [whole(&self.number), whole(&self.cite)].iter().any(|name| has_number(text, name))
    }
}

/// Does a text have this number, and not only as the beginning of a longer one?
fn has_number(text: &str, number: &str) -> bool {
    !number.is_empty()
        && memmem::find_iter(text.as_bytes(), number).any(|at| {
            let mut after = text[at + number.len()..].chars();
            match after.next() {
                Some('-' | '.') => !after.next().is_some_and(char::is_alphanumeric),
                Some(next) => !next.is_alphanumeric(),
                None => true,
            }
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_number_is_another_text() {
        for (text, named) in [
            ("US Army TM 5-3805-262-20, p. 5-142", true),
            ("as TM 5-3805-262-20.", true),
            ("TM 5-3805-262-20-1", false),
            ("TM 5-3805-262-201", false),
            ("TM 5-3805-262", false),
        ] {
            assert_eq!(has_number(text, "TM 5-3805-262-20"), named, "{text}");
        }
        assert!(!has_number("anything", ""));
    }
}
