//! The readings of a lesson's sheets and those of its hookups are the same set.

use std::collections::BTreeMap;

use crate::course::{Action, Hookup, Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// What a hookup reads, each with the first step that does.
type Reads<'l> = BTreeMap<&'l str, Span>;

/// Reports readings on a sheet that no step of the lesson's hookups takes. The other way round, a step that reads what
/// no sheet has, is an error of `resolve`, which binds the names. A lesson without a hookup may read what it likes.
///
/// Two hookups that share a reading are two ways to the same sheet, and then each takes all that the other takes.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let hookups: Vec<(&Hookup, Reads)> = lesson
        .pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Hookup(hookup) => Some((hookup, reads(hookup))),
            _ => None,
        })
        .collect();
    if hookups.is_empty() {
        return;
    }
    for piece in &lesson.pieces {
        let Piece::Worksheet(worksheet) = piece else { continue };
        let idle = |name: &str| hookups.iter().all(|(_, reads)| !reads.contains_key(name));
        for reading in worksheet.readings.iter().filter(|reading| idle(&reading.name.value)) {
            let name = shown(&reading.name.value);
            let message = format!("no step of the hookup reads `{name}`");
            let finding =
                Finding::error("idle-reading", message, reading.name.span, "on the sheet, but never taken");
            found.push(finding.help(mend(&name)).help(WHY));
        }
    }
    for (hookup, own) in &hookups {
        for (other, theirs) in &hookups {
            if own.keys().any(|name| theirs.contains_key(name)) {
                found.extend(
                    theirs
                        .iter()
                        .filter(|(name, _)| !own.contains_key(*name))
                        .map(|(name, span)| missing(hookup, other, name, *span)),
                );
            }
        }
    }
}

fn reads(hookup: &Hookup) -> Reads<'_> {
    let steps = hookup.steps.iter().rev().filter(|step| step.action.value == Action::Read);
    steps.filter_map(|step| step.reading.as_ref()).map(|name| (name.value.as_str(), name.span)).collect()
}

/// A reading that one of two lists for the same sheet leaves out.
fn missing(hookup: &Hookup, other: &Hookup, name: &str, there: Span) -> Finding {
    let name = shown(name);
    let message = format!("this hookup does not read `{name}`, and the other one for the same sheet does");
    let span = hookup.name.as_ref().map_or(hookup.span, |name| name.span);
    Finding::error("idle-reading", message, span, "its line on the sheet stays empty")
        .also(there, format!("read in “{}”", shown(&other.title)))
        .help(mend(&name))
        .help(WHY)
}

fn mend(name: &str) -> String {
    format!("add a step `do = \"read\"`, `reading = \"{name}\"`, or take the reading off the sheet")
}

const WHY: &str =
    "why: a line that no step fills is filled from memory, and a verdict is built on it (common practice)";
