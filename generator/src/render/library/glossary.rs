//! The words of the glossary in the order of the alphabet.

use fieldcoil_calc::view;

use crate::course::{Entry, Glossary};
use crate::render::view::{EntryView, LinkView};

/// Every word as its template sees it.
pub fn entries(glossary: &Glossary) -> Vec<EntryView> {
    let mut entries: Vec<&Entry> = glossary.entries.iter().collect();
    entries.sort_by_key(|entry| entry.word.value.to_lowercase());
    let link = |word: &str| {
        let entry = glossary.entries.iter().find(|entry| entry.word.value == word)?;
        Some(LinkView { title: word.to_owned(), href: format!("#{}", entry.anchor) })
    };
    entries
        .into_iter()
        .map(|entry| EntryView {
            anchor: entry.anchor.clone(),
            word: entry.word.value.clone(),
            symbol: entry.symbol.as_ref().map_or_else(String::new, |symbol| view::formula(symbol)),
            means: entry.means.clone(),
            also: entry.also.iter().map(|form| form.value.clone()).collect(),
            see: entry.see.iter().filter_map(|see| link(&see.value)).collect(),
        })
        .collect()
}
