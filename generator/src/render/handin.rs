//! What a page knows of the course when a student works on it, and what is handed in of it.

use serde::Serialize;

use super::words::Words;
use crate::course::{Course, Lesson, Piece};

/// What the page needs to draw, to keep and to hand in.
#[derive(Debug, Serialize)]
pub struct DeskView {
    /// Title of the course.
    pub course: String,
    pub edition: String,
    /// The lesson's address.
    pub lesson: String,
    /// Version of this program.
    pub tool: &'static str,
    /// Without a term there is practice alone.
    pub term: Option<TermView>,
    /// What the page says while a student works, in order: templates walk over tables in none.
    pub words: Vec<SaidView>,
}

/// A sentence of a [`DeskView`].
#[derive(Debug, Serialize)]
pub struct SaidView {
    pub name: String,
    pub text: String,
}

/// The term of a [`DeskView`].
#[derive(Debug, Serialize)]
pub struct TermView {
    pub name: String,
    /// The key that draws; public by nature.
    pub key: String,
}

/// The desk of a lesson; nothing when there is nothing to answer, read or tick.
pub fn desk(course: &Course, lesson: &Lesson<'_>, words: &Words) -> Option<DeskView> {
    let is_work =
        |piece: &Piece<'_>| matches!(piece, Piece::Homework(_) | Piece::Worksheet(_) | Piece::Hookup(_));
    if !lesson.pieces.iter().any(is_work) {
        return None;
    }
    let about = &course.about;
    Some(DeskView {
        course: about.title.clone(),
        edition: about.edition.clone(),
        lesson: lesson.address.clone(),
        tool: env!("CARGO_PKG_VERSION"),
        term: about.term.as_ref().map(|term| TermView { name: term.name.clone(), key: term.key.clone() }),
        words: words.texts("desk").map(|(name, text)| SaidView { name, text }).collect(),
    })
}
