//! Published facts: sources of limits are there, worksheets take their limits from the list, and each reference knows
//! the lessons that name it.

use crate::course::{Lesson, Limit, Origin, Outline, Piece, Reference, WorksheetReading};
use crate::finding::{Finding, shown};
use crate::source::{SourceSet, Span};

/// Checks the sources of limits, and tells references by which lessons they are named.
pub fn bind<'l>(
    texts: impl Iterator<Item = &'l Outline> + Clone,
    limits: &[Limit],
    references: &mut [Reference],
    sources: &SourceSet,
    found: &mut Vec<Finding>,
) {
    check_sources(limits, references, found);
    for reference in references.iter_mut() {
        let names = |lesson: &&Outline| {
            sources.text(lesson.file).is_some_and(|source| reference.is_named_in(&source.text))
        };
        let named = texts.clone().filter(names);
        reference.named_in = named.map(|lesson| lesson.address.clone()).collect();
    }
}

/// Fills in what the worksheets of a lesson take from the list.
pub fn take_limits(
    lesson: &mut Lesson,
    limits: &[Limit],
    references: &[Reference],
    found: &mut Vec<Finding>,
) {
    for piece in &mut lesson.pieces {
        let Piece::Worksheet(sheet) = piece else { continue };
        for reading in &mut sheet.readings {
            take_limit(reading, limits, references, found);
        }
    }
}

fn check_sources(limits: &[Limit], references: &[Reference], found: &mut Vec<Finding>) {
    for limit in limits {
        let Some(Origin::Published(key)) = &limit.origin else { continue };
        if references.iter().any(|reference| reference.key.value == key.value) {
            continue;
        }
        let message = format!("no reference has the key `{}`", shown(&key.value));
        found.push(
            Finding::error("unknown-source", message, key.span, "not in `references.toml`")
                .near(&key.value, references.iter().map(|reference| reference.key.value.as_str()))
                .help("write the text into `references.toml` as a `[[reference]]` with this `key`"),
        );
    }
}

/// Fills in what a reading takes from the list.
fn take_limit(
    reading: &mut WorksheetReading,
    limits: &[Limit],
    references: &[Reference],
    found: &mut Vec<Finding>,
) {
    let Some(name) = &reading.limit_from else { return };
    let Some(limit) = find(limits, &name.value) else {
        found.push(unknown(limits, &name.value, name.span));
        return;
    };
    reading.minimum = limit.minimum;
    reading.maximum = limit.maximum;
    reading.unit = limit.unit.map_or_else(String::new, |(_, unit)| unit.symbol.to_owned());
    reading.source = source_words(limit, references);
}

/// The limit of this name.
pub fn find<'l>(limits: &'l [Limit], name: &str) -> Option<&'l Limit> {
    limits.iter().find(|limit| limit.name.value == name)
}

/// What is said of a limit that is not in the list.
pub fn unknown(limits: &[Limit], name: &str, place: Span) -> Finding {
    let message = format!("no limit is named `{}`", shown(name));
    Finding::error("unknown-limit", message, place, "not in `limits.toml`")
        .near(name, limits.iter().map(|limit| limit.name.value.as_str()))
        .help("write it into `limits.toml` as a `[[limit]]` with this `name`")
}

/// Where a limit comes from, as a sheet says it beside the limit.
fn source_words(limit: &Limit, references: &[Reference]) -> String {
    let from = match &limit.origin {
        Some(Origin::Published(key)) => references
            .iter()
            .find(|reference| reference.key.value == key.value)
            .map_or_else(|| key.value.clone(), |reference| reference.cite.clone()),
        Some(Origin::Demo) => format!("{} (invented)", limit.of),
        Some(Origin::Practice) => "common practice, no source".to_owned(),
        Some(Origin::Memory) => "from memory".to_owned(),
        None => String::new(),
    };
    match limit.at.as_str() {
        "" => from,
        at => format!("{from}: {at}"),
    }
}
