//! `glossary.toml`: the words that the course explains.

use super::anchor::Anchors;
use super::keys::{Body, Keys, Start};
use crate::course::Entry;
use crate::finding::Finding;
use crate::source::{FileId, Span};

/// Reads the file.
pub fn glossary(file: FileId, text: &str, found: &mut Vec<Finding>) -> Vec<Entry> {
    let body = Body { at: Start { file, offset: 0 }, text };
    let first_line = text.find('\n').unwrap_or(text.len());
    let mut anchors = Anchors::default();
    body.read("`glossary.toml`", Span::new(file, 0..first_line), found, |keys, found| {
        let tables = keys.tables("word", "this word", found);
        tables.into_iter().map(|keys| entry(keys, &mut anchors, found)).collect()
    })
}

fn entry(mut keys: Keys, anchors: &mut Anchors, found: &mut Vec<Finding>) -> Entry {
    let word = keys.needed_text("word", found);
    let means = keys.needed_text("means", found).value;
    let also = keys.text_or_texts("also", found);
    let see = keys.text_or_texts("see", found);
    let symbol = keys.text("symbol", found).map(|symbol| symbol.value);
    keys.finish(found);
    let anchor = anchors.of_heading(&word.value);
    Entry { word, means, also, see, symbol, anchor }
}
