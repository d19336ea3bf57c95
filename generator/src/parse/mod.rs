//! One text to one lesson. Never fails: what cannot be read becomes findings, and the rest is there.

mod about;
mod anchor;
pub mod asked;
mod course_block;
mod file_names;
mod glossary;
mod html;
mod keys;
mod lesson;
mod limits;
mod module;
mod outcomes;
mod prose;
mod references;
mod school_rule;
mod slip;
mod spelling;
mod tag;
mod term;

use std::collections::BTreeMap;

use crate::course::{About, Entry, Limit, Outcome, Outline, Piece, Reference};
use crate::finding::Finding;
use crate::source::{FileId, SourceSet};
use crate::threads;

pub use course_block::known_words;
pub use lesson::{PAGES, lesson};

/// What the texts of a course say, names not bound yet.
#[derive(Debug, Default)]
pub struct Texts<'s> {
    /// What it says of itself.
    pub about: About,
    /// Its outcomes.
    pub outcomes: Vec<Outcome>,
    /// The words that it explains.
    pub words: Vec<Entry>,
    /// Its limits.
    pub limits: Vec<Limit>,
    /// The texts that it refers to.
    pub references: Vec<Reference>,
    /// Its lessons and pages in the order of their paths.
    pub lessons: Vec<Outline>,
    /// The content of the first of them; that of all in a course that is not very large.
    pub held: BTreeMap<FileId, Vec<Piece<'s>>>,
}

/// So many lessons are held whole. The others are read once more when somebody wants to see into them, since what their
/// texts come to takes many times the room of the texts.
const MOST_HELD: usize = 200;

/// Reads every text of a course.
pub fn course(sources: &SourceSet) -> (Texts<'_>, Vec<Finding>) {
    let mut findings = Vec::new();
    file_names::check(sources, &mut findings);
    let about = match sources.find_text("course.toml") {
        Some((file, source)) => about::about(file, &source.text, &mut findings),
        None => {
            findings.push(
                Finding::of_course("no-course-file", "the course folder has no `course.toml`").help(
                    "add one with the lines `title`, `summary`, `school`, `author` and `edition`, each `key = \"text\"`",
                ),
            );
            About::default()
        }
    };
    let outcomes = sources
        .find_text("outcomes.toml")
        .map_or_else(Vec::new, |(file, source)| outcomes::outcomes(file, &source.text, &mut findings));
    let words = sources
        .find_text("glossary.toml")
        .map_or_else(Vec::new, |(file, source)| glossary::glossary(file, &source.text, &mut findings));
    let limits = sources
        .find_text("limits.toml")
        .map_or_else(Vec::new, |(file, source)| limits::limits(file, &source.text, &mut findings));
    let references = sources
        .find_text("references.toml")
        .map_or_else(Vec::new, |(file, source)| references::references(file, &source.text, &mut findings));
    let written: Vec<_> = sources.numbered().filter(|(_, source)| source.path.ends_with(".md")).collect();
    let read = threads::each(written.len(), |index| {
        let (file, source) = written[index];
        let (lesson, found) = lesson::lesson(file, &source.path, &source.text, about.allow_html);
        (lesson.outline, Some(lesson.pieces).filter(|_| index < MOST_HELD), found)
    });
    let mut lessons = Vec::with_capacity(read.len());
    let mut held = BTreeMap::new();
    for (outline, pieces, found) in read {
        held.extend(pieces.map(|pieces| (outline.file, pieces)));
        lessons.push(outline);
        findings.extend(found);
    }
    (Texts { about, outcomes, words, limits, references, lessons, held }, findings)
}
