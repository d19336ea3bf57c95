//! Every outcome of the school's list is taught and assessed, and every lesson teaches one.

use crate::course::{Course, coverage};
use crate::finding::{Finding, shown};

/// Looks at a whole course; one without a list has nothing to cover.
pub fn check(course: &Course, found: &mut Vec<Finding>) {
    if course.outcomes.is_empty() {
        return;
    }
    for covered in coverage(course) {
        let name = &covered.outcome.name;
        // That it has none was reported.
        if name.value.is_empty() {
            continue;
        }
        if covered.taught.is_empty() {
            let message = format!("no lesson teaches `{}`", shown(&name.value));
            found.push(
                Finding::warning("outcome-not-taught", message, name.span, "in the list, and in no lesson")
                    .help("name it in the `lesson` block of a lesson: `teaches = [\"…\"]`"),
            );
        } else if covered.assessed.is_empty() {
            let message = format!("nothing assesses `{}`", shown(&name.value));
            found.push(
                Finding::warning("outcome-not-assessed", message, name.span, "taught, and never shown").help(
                    "name it with `assesses = \"…\"` in homework, or in a worksheet that is signed at the bench",
                ),
            );
        }
    }
    for lesson in course.lessons.iter().filter(|lesson| lesson.teaches.is_empty() && !lesson.title.is_empty())
    {
        found.push(
            Finding::warning(
                "lesson-without-outcome",
                "this lesson teaches no outcome of the school's list",
                lesson.span,
                "`teaches` is missing or empty",
            )
            .help("name outcomes of `outcomes.toml`: `teaches = [\"…\"]`"),
        );
    }
}
