//! The words of a trade, each with what it means.

use crate::source::Spanned;

/// The list in `glossary.toml`.
#[derive(Debug, Clone, Default)]
pub struct Glossary {
    /// Its words, in the order of the file.
    pub entries: Vec<Entry>,
    /// Address of the page that shows them; filled in by the resolve stage, and nothing when no page does.
    pub page: Option<String>,
}

/// One word.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The word.
    pub word: Spanned<String>,
    /// One or two plain sentences.
    pub means: String,
    /// Other forms of it: plurals, short forms, what others call it.
    pub also: Vec<Spanned<String>>,
    /// Words that belong to it.
    pub see: Vec<Spanned<String>>,
    /// The letter that formulas use.
    pub symbol: Option<String>,
    /// Its anchor on the page that shows it.
    pub anchor: String,
}

impl Entry {
    /// Every form in which a text can have it.
    pub fn forms(&self) -> impl Iterator<Item = &Spanned<String>> {
        std::iter::once(&self.word).chain(&self.also)
    }
}
