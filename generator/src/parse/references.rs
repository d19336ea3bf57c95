//! `references.toml`: the texts that a course refers to.

use super::keys::{Body, Start};
use crate::course::Reference;
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span};

/// Reads the file.
pub fn references(file: FileId, text: &str, found: &mut Vec<Finding>) -> Vec<Reference> {
    let body = Body { at: Start { file, offset: 0 }, text };
    let first_line = text.find('\n').unwrap_or(text.len());
    let list = body.read("`references.toml`", Span::new(file, 0..first_line), found, |keys, found| {
        let mut list = Vec::new();
        for mut keys in keys.tables("reference", "this reference", found) {
            let span = keys.span;
            let key = keys.needed_text("key", found);
            let title = keys.needed_text("title", found).value;
            let number = keys.needed_text("number", found).value;
            let cite = keys.text("cite", found).map_or_else(|| number.clone(), |cite| cite.value);
            let note = keys.needed_text("note", found).value;
            keys.finish(found);
            list.push(Reference { key, title, number, cite, note, named_in: Vec::new(), span });
        }
        list
    });
    for (at, reference) in list.iter().enumerate() {
        let same =
            |other: &&Reference| other.key.value == reference.key.value && !reference.key.value.is_empty();
        if let Some(first) = list[..at].iter().find(same) {
            let message = format!("two references have the key `{}`", shown(&reference.key.value));
            found.push(
                Finding::error("second-reference", message, reference.key.span, "the second")
                    .also(first.key.span, "the first")
                    .help("give each reference a key of its own"),
            );
        }
    }
    list
}
