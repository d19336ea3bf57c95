//! Names that hold for a whole course: homework once, outcomes of the school's list, lessons of the term.

use std::collections::BTreeMap;

use crate::course::{About, Outcome, Outline};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// Checks them all.
pub fn check(
    about: &About,
    outcomes: &[Outcome],
    lessons: &[Outline],
    pages: &[Outline],
    found: &mut Vec<Finding>,
) {
    check_homework(lessons, found);
    check_outcomes(outcomes, lessons.iter().chain(pages), found);
    if let Some(term) = &about.term {
        for (address, week) in &term.weeks {
            if !lessons.iter().any(|lesson| lesson.address == *address) {
                found.push(unknown_lesson(address, week.span, "taught in no week", lessons));
            }
        }
    }
}

/// An address that no lesson has.
pub fn unknown_lesson(address: &str, span: Span, label: &str, lessons: &[Outline]) -> Finding {
    let message = format!("no lesson has the address `{}`", shown(address));
    let finding = Finding::error("unknown-lesson", message, span, label);
    // Somebody wrote the name of the file, or the title.
    let file = address.strip_suffix(".md").unwrap_or(address);
    let file =
        file.trim_start_matches(|sign: char| sign.is_ascii_digit()).trim_start_matches(['-', '_', ' ']);
    let meant = lessons.iter().find(|lesson| lesson.address == file || lesson.title == address);
    let finding = match meant {
        Some(lesson) => finding.help(format!("did you mean `{}`?", lesson.address)),
        None => finding.near(address, lessons.iter().map(|lesson| lesson.address.as_str())),
    };
    finding.help("write the name of the lesson's file without its number and ending")
}

/// Homework is told apart by its name in hand-ins and gradebooks.
fn check_homework(lessons: &[Outline], found: &mut Vec<Finding>) {
    let mut known: BTreeMap<&str, Span> = BTreeMap::new();
    for name in lessons.iter().flat_map(|lesson| &lesson.holds.problems) {
        match known.get(name.value.as_str()) {
            Some(first) => found.push(
                Finding::error(
                    "second-homework",
                    format!("two problems are named `{}`", shown(&name.value)),
                    name.span,
                    "the second",
                )
                .also(*first, "the first")
                .help("give each problem of the course a name of its own"),
            ),
            None => {
                known.insert(&name.value, name.span);
            }
        }
    }
}

fn check_outcomes<'l>(
    outcomes: &[Outcome],
    texts: impl Iterator<Item = &'l Outline>,
    found: &mut Vec<Finding>,
) {
    for name in texts.flat_map(Outline::named_outcomes) {
        if outcomes.iter().any(|outcome| outcome.name.value == name.value) {
            continue;
        }
        let message = format!("no outcome has the name `{}`", shown(&name.value));
        let finding = Finding::error("unknown-outcome", message, name.span, "in no list");
        found.push(match outcomes.is_empty() {
            true => {
                finding.help("write the list: a file `outcomes.toml` with a table `[[outcome]]` for each")
            }
            false => finding
                .near(&name.value, outcomes.iter().map(|outcome| outcome.name.value.as_str()))
                .help("name an outcome of `outcomes.toml`, or add it there"),
        });
    }
}
