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
            also: other_names(entry),
            see: entry.see.iter().filter_map(|see| link(&see.value)).collect(),
        })
        .collect()
}

/// The forms that are other names of a word; a plural says nothing to who reads.
fn other_names(entry: &Entry) -> Vec<String> {
    let stem = entry.word.value.trim_end_matches(['e', 'y']);
    let forms = entry.also.iter().map(|form| &form.value);
    forms.filter(|form| !form.starts_with(stem)).cloned().collect()
}
