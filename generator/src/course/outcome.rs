//! What a school wants its students to be able to do: the list in `outcomes.toml`, and where the course sees to it.

use super::{Course, Lesson, Piece};
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
pub struct Coverage<'c, 's> {
    /// Which one.
    pub outcome: &'c Outcome,
    /// Lessons that teach it.
    pub taught: Vec<&'c Lesson<'s>>,
    /// Lessons with a worksheet that practises it.
    pub practised: Vec<&'c Lesson<'s>>,
    /// Lessons with homework that assesses it, or a worksheet whose sign-off does.
    pub assessed: Vec<&'c Lesson<'s>>,
}

/// Every outcome of a course with the lessons that see to it, in the order of the list.
pub fn coverage<'c, 's>(course: &'c Course<'s>) -> Vec<Coverage<'c, 's>> {
    let with =
        |holds: &dyn Fn(&Lesson) -> bool| course.lessons.iter().filter(|lesson| holds(lesson)).collect();
    course
        .outcomes
        .iter()
        .map(|outcome| {
            let has = |names: &[Spanned<String>]| names.iter().any(|name| name.value == outcome.name.value);
            let any = |lesson: &Lesson, holds: &dyn Fn(&Piece) -> bool| lesson.pieces.iter().any(holds);
            Coverage {
                outcome,
                taught: with(&|lesson| has(&lesson.teaches)),
                practised: with(&|lesson| {
                    any(lesson, &|piece| matches!(piece, Piece::Worksheet(sheet) if has(&sheet.practises)))
                }),
                assessed: with(&|lesson| {
                    any(lesson, &|piece| match piece {
                        Piece::Homework(homework) => has(&homework.outcomes),
                        Piece::Worksheet(sheet) => has(&sheet.assesses),
                        _ => false,
                    })
                }),
            }
        })
        .collect()
}
