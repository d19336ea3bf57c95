//! The school's outcomes, and where the course sees to each.

use super::link;
use super::view::{LinkView, OutcomeView};
use crate::course::{Course, Outline, coverage};

/// The list as its pages see it.
pub fn view(course: &Course) -> Vec<OutcomeView> {
    let links = |lessons: &[&Outline]| {
        lessons
            .iter()
            .map(|lesson| LinkView {
                title: format!("{}. {}", lesson.number, lesson.title),
                href: link::page_path(&lesson.address),
            })
            .collect()
    };
    coverage(course)
        .iter()
        .map(|covered| OutcomeView {
            // A name is not broken at its hyphen.
            name: covered.outcome.name.value.replace('-', "\u{2011}"),
            text: covered.outcome.text.clone(),
            priority: covered.outcome.priority,
            taught: links(&covered.taught),
            practised: links(&covered.practised),
            assessed: links(&covered.assessed),
        })
        .collect()
}
