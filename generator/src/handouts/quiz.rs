//! The self-checks of one lesson on paper: a quiz for each student, and for the instructor the key.

use serde::Serialize;

use super::frame::{BlockView, FrameView, Place};
use super::{Settings, work};
use crate::render::selfcheck::{self, KeyView, QuizView};
use crate::render::templates;

#[derive(Serialize)]
struct KeyPage {
    frame: FrameView,
    block: BlockView,
    quizzes: Vec<KeyView>,
}

/// The quizzes of a student. They stand in one page with those of the whole class, so that names inside carry the code.
pub fn of_student(place: &Place<'_>, code: &str) -> Vec<QuizView> {
    let prefix = format!("{code}-");
    work::selfchecks(place.lesson)
        .map(|block| selfcheck::quiz(block, place.lesson, &prefix, place.words))
        .collect()
}

/// The key: right answers, and what is said to wrong ones.
pub fn key(place: &Place<'_>) -> anyhow::Result<String> {
    let settings = Settings { double_sided: false, large_print: false, ..place.settings };
    let page = KeyPage {
        frame: place.frame("handout.quiz_key", settings, true, false),
        block: place.block(),
        quizzes: work::selfchecks(place.lesson).map(|block| selfcheck::key(block, place.words)).collect(),
    };
    templates::page("handouts/quiz_key.html", place.words, &page)
}
