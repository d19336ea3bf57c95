//! What a school wants its students to be able to do: the list in `outcomes.toml`, and where the course sees to it.

use super::{Course, Outline};
use crate::source::Spanned;

/// One outcome.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Its name in lessons and records: `SS-04`.
    pub name: Spanned<String>,
    /// What a student can do, a sentence.
    pub text: String,
    /// How much it matters: 1 is the most.
    pub priority: u32,
}

/// An outcome with the lessons that see to it.
#[derive(Debug)]
pub struct Coverage<'c> {
    /// Which one.
    pub outcome: &'c Outcome,
    /// Lessons that teach it.
    pub taught: Vec<&'c Outline>,
    /// Lessons with a worksheet that practises it.
    pub practised: Vec<&'c Outline>,
    /// Lessons with homework that assesses it, or a worksheet whose sign-off does.
    pub assessed: Vec<&'c Outline>,
}

/// Every outcome of a course with the lessons that see to it, in the order of the list.
pub fn coverage(course: &Course) -> Vec<Coverage<'_>> {
    let with = |outcome: &Outcome, names: fn(&Outline) -> &[Spanned<String>]| {
        let has = |lesson: &&Outline| names(lesson).iter().any(|name| name.value == outcome.name.value);
        course.lessons.iter().filter(has).collect()
    };
    let covered = |outcome| Coverage {
        outcome,
        taught: with(outcome, |lesson| &lesson.teaches),
        practised: with(outcome, |lesson| &lesson.holds.practises),
        assessed: with(outcome, |lesson| &lesson.holds.assesses),
    };
    course.outcomes.iter().map(covered).collect()
}
