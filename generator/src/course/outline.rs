//! What the rest of a course sees of a lesson: enough to list it, to lead to it and to ask it for numbers.

use std::collections::BTreeSet;

use super::{Heading, Piece, Show};
use crate::source::{FileId, Span, Spanned};

/// A lesson without its content. A course is held as outlines, so that it may be large; lessons are read again when
/// somebody wants to see into them.
#[derive(Debug, Clone)]
pub struct Outline {
    /// Lesson, or a page to look something up.
    pub role: Role,
    /// The text it was written in.
    pub file: FileId,
    /// Address below the site's root without its ending: `voltage-drop`, `cables/joints`. Number prefixes are gone.
    pub address: String,
    /// Place in the course, counted from 1; 0 on a page that is no lesson.
    pub number: usize,
    /// Number of its module, counted from 1; 0 in none.
    pub module: usize,
    /// Its title.
    pub title: String,
    /// One sentence for lists.
    pub summary: String,
    /// How long it takes in class.
    pub minutes: u32,
    /// What a student can do afterwards.
    pub outcomes: Vec<String>,
    /// Outcomes of the school's list that it teaches.
    pub teaches: Vec<Spanned<String>>,
    /// Addresses of lessons that come before.
    pub before: Vec<Spanned<String>>,
    /// Who wrote it, when not the author of the course.
    pub author: Option<String>,
    /// Where its `lesson` block stands; the start of the file when there is none.
    pub span: Span,
    /// Its headings, in order.
    pub headings: Vec<Heading>,
    /// What its blocks hold.
    pub holds: Holds,
}

/// What a text of the course is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A lesson.
    Lesson,
    /// A page to look something up: it has no number and no time.
    Page {
        /// Is it for who teaches?
        instructor: bool,
    },
}

/// What the blocks of a lesson hold, as far as others care.
#[derive(Debug, Clone, Default)]
pub struct Holds {
    /// Anchors of its blocks.
    pub anchors: Vec<String>,
    /// Names of calculators and recordings that texts take numbers from.
    pub runs: Vec<Spanned<String>>,
    /// Names of its problems.
    pub problems: Vec<Spanned<String>>,
    /// Outcomes that a worksheet practises.
    pub practises: Vec<Spanned<String>>,
    /// Outcomes that homework or a sign-off assesses.
    pub assesses: Vec<Spanned<String>>,
    /// Tables that the program makes, each with its block.
    pub tables: Vec<(Show, Span)>,
    /// Is there something to take to the bench?
    pub for_bench: bool,
    /// Is there something that the page's script works?
    pub for_script: bool,
    /// Is there homework?
    pub homework: bool,
    /// Is there a worksheet?
    pub worksheet: bool,
    /// Is there a self-check?
    pub selfcheck: bool,
}

impl Outline {
    /// The anchors of its headings and blocks.
    pub fn anchors(&self) -> BTreeSet<String> {
        let headings = self.headings.iter().map(|heading| &heading.id);
        headings.chain(&self.holds.anchors).cloned().collect()
    }

    /// Every outcome that it names, in its head or in its blocks.
    pub fn named_outcomes(&self) -> impl Iterator<Item = &Spanned<String>> {
        self.teaches.iter().chain(&self.holds.practises).chain(&self.holds.assesses)
    }
}

impl Holds {
    /// What these pieces hold.
    pub fn of(pieces: &[Piece]) -> Self {
        let mut holds = Holds::default();
        for piece in pieces {
            holds.add(piece);
        }
        holds
    }

    fn add(&mut self, piece: &Piece) {
        let scripted = match piece {
            Piece::Prose(_) | Piece::Caution(_) | Piece::Listing(_) => false,
            Piece::Figure(figure) => {
                self.anchors.push(figure.id.clone());
                false
            }
            Piece::Trace(trace) => {
                self.anchors.push(trace.id.clone());
                self.runs.extend(trace.name.clone());
                false
            }
            Piece::Library(library) => {
                self.tables.push((library.show.value, library.span));
                false
            }
            Piece::Hookup(hookup) => {
                self.anchors.push(hookup.id.clone());
                self.for_bench = true;
                true
            }
            Piece::Circuit(circuit) => {
                self.anchors.push(circuit.id.clone());
                true
            }
            Piece::Calculator(calculator) => {
                self.anchors.push(calculator.id.clone());
                self.runs.extend(calculator.name.clone());
                true
            }
            Piece::Homework(homework) => {
                self.anchors.push(homework.id.clone());
                self.problems.push(homework.name.clone());
                self.assesses.extend(homework.outcomes.iter().cloned());
                self.homework = true;
                true
            }
            Piece::Selfcheck(selfcheck) => {
                self.anchors.push(selfcheck.id.clone());
                self.selfcheck = true;
                true
            }
            Piece::Worksheet(worksheet) => {
                self.anchors.push(worksheet.id.clone());
                self.practises.extend(worksheet.practises.iter().cloned());
                self.assesses.extend(worksheet.assesses.iter().cloned());
                self.worksheet = true;
                self.for_bench = true;
                true
            }
        };
        self.for_script |= scripted;
    }
}
