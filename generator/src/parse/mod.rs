//! One text to one lesson. Never fails: what cannot be read becomes findings, and the rest is there.

mod about;
mod anchor;
mod course_block;
mod keys;
mod lesson;
mod outcomes;
mod prose;
mod school_rule;
mod slip;
mod term;

use crate::course::{About, Lesson, Outcome};
use crate::finding::Finding;
use crate::source::SourceSet;

pub use course_block::known_words;
pub use lesson::lesson;

/// Reads every text of a course: what it says of itself, its outcomes, and its lessons in the order of their paths.
pub fn course(sources: &SourceSet) -> (About, Vec<Outcome>, Vec<Lesson<'_>>, Vec<Finding>) {
    let mut findings = Vec::new();
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
    let mut lessons = Vec::new();
    for (file, source) in sources.numbered().filter(|(_, source)| source.path.ends_with(".md")) {
        let (lesson, found) = lesson::lesson(file, &source.path, &source.text);
        lessons.push(lesson);
        findings.extend(found);
    }
    (about, outcomes, lessons, findings)
}
