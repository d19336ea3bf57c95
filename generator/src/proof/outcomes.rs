//! A lesson says what a student can do afterwards.

use crate::course::{Lesson, Role};
use crate::finding::Finding;

/// Warns of lessons without outcomes.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    // A lesson without a title has no `lesson` block, which is an error of its own; one of no minutes has that of a page.
    if lesson.role == Role::Lesson
        && lesson.minutes > 0
        && lesson.outcomes.is_empty()
        && !lesson.title.is_empty()
    {
        found.push(
            Finding::warning(
                "no-outcomes",
                "this lesson has no outcomes",
                lesson.span,
                "`outcomes` is missing or empty",
            )
            .help(
                "say what a student can do afterwards: `outcomes = [\"Hook up a motor in a safe order.\"]`",
            ),
        );
    }
}
