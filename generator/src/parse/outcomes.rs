//! `outcomes.toml`: what a school wants its students to be able to do.

use super::keys::{Body, Start};
use crate::course::Outcome;
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span};

/// Priorities that a list may have; 1 matters most.
const PRIORITIES: (u32, u32) = (1, 9);

/// Reads the file.
pub fn outcomes(file: FileId, text: &str, found: &mut Vec<Finding>) -> Vec<Outcome> {
    let body = Body { at: Start { file, offset: 0 }, text };
    let first_line = text.find('\n').unwrap_or(text.len());
    let list: Vec<Outcome> =
        body.read("`outcomes.toml`", Span::new(file, 0..first_line), found, |keys, found| {
            let tables = keys.tables("outcome", "this outcome", found);
            tables
                .into_iter()
                .map(|mut keys| {
                    let name = keys.needed_text("name", found);
                    let text = keys.needed_text("text", found).value;
                    let priority = keys.needed_whole("priority", PRIORITIES, found);
                    keys.finish(found);
                    Outcome { name, text, priority }
                })
                .collect()
        });
    for (at, outcome) in list.iter().enumerate() {
        if let Some(first) = list[..at].iter().find(|other| other.name.value == outcome.name.value) {
            let message = format!("two outcomes are named `{}`", shown(&outcome.name.value));
            found.push(
                Finding::error("second-outcome", message, outcome.name.span, "the second")
                    .also(first.name.span, "the first")
                    .help("give each outcome a name of its own"),
            );
        }
    }
    list
}
