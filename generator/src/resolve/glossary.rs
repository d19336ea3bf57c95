//! The words of the glossary: each once, each with a place on the page that shows them.

use std::collections::{BTreeMap, BTreeSet};

use crate::course::{Entry, Glossary, Outline, Show};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// Binds the words to the page that shows them.
pub fn bind<'l>(
    mut entries: Vec<Entry>,
    texts: impl Iterator<Item = &'l Outline>,
    found: &mut Vec<Finding>,
) -> Glossary {
    check(&entries, found);
    let mut page: Option<(&Outline, Span)> = None;
    for (text, span) in texts.flat_map(shown_at) {
        if let Some((_, first)) = page {
            found.push(
                Finding::error("second-glossary", "the glossary is shown twice", span, "the second")
                    .also(first, "the first")
                    .help("take one of the blocks out: a word has one place"),
            );
        } else {
            page = Some((text, span));
        }
    }
    match (page, entries.first()) {
        (Some((_, span)), None) => found.push(
            Finding::warning("empty-glossary", "there are no words to show", span, "shown with none")
                .help("add a file `glossary.toml` with a table `[[word]]` for each"),
        ),
        (None, Some(first)) => found.push(
            Finding::warning(
                "glossary-not-shown",
                "no page shows the glossary",
                first.word.span,
                "not linked",
            )
            .help("add a file `pages/glossary.md` with a block ```library that says `show = \"glossary\"`"),
        ),
        _ => {}
    }
    if let Some((text, _)) = page {
        part_from(&mut entries, &text.anchors());
    }
    Glossary { entries, page: page.map(|(text, _)| text.address.clone()) }
}

fn shown_at(text: &Outline) -> impl Iterator<Item = (&Outline, Span)> {
    let shown = text.holds.tables.iter().filter(|(table, _)| *table == Show::Glossary);
    shown.map(move |(_, span)| (text, *span))
}

/// A heading of the page may have the anchor of a word.
fn part_from(entries: &mut [Entry], taken: &BTreeSet<String>) {
    for entry in entries.iter_mut().filter(|entry| taken.contains(&entry.anchor)) {
        entry.anchor.push_str("-word");
    }
}

fn check(entries: &[Entry], found: &mut Vec<Finding>) {
    let mut known: BTreeMap<String, Span> = BTreeMap::new();
    for form in entries.iter().flat_map(Entry::forms).filter(|form| !form.value.is_empty()) {
        let message = format!("`{}` is in the glossary twice", shown(&form.value));
        if let Some(first) = known.insert(form.value.to_lowercase(), form.span) {
            found.push(
                Finding::error("second-word", message, form.span, "the second")
                    .also(first, "the first")
                    .help("make it one entry; other forms of a word stand in its `also`"),
            );
        }
    }
    for see in entries.iter().flat_map(|entry| &entry.see) {
        if entries.iter().any(|entry| entry.word.value == see.value) {
            continue;
        }
        let message = format!("the glossary has no word `{}`", shown(&see.value));
        found.push(
            Finding::error("unknown-word", message, see.span, "leads nowhere")
                .near(&see.value, entries.iter().map(|entry| entry.word.value.as_str()))
                .help("name a word as its own entry has it, or add one"),
        );
    }
}
