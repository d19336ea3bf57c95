//! What a course has to hand in: its lessons with their problems, sheets and checklists.

use std::collections::BTreeMap;
use std::sync::Arc;

use fieldcoil_calc::homework::item::Item;

use crate::course::{Course, Homework, Hookup, Piece, Term, Worksheet};
use crate::resolve::Read;

/// A lesson with something to hand in.
#[derive(Debug)]
pub struct GradedLesson<'c> {
    /// Its address.
    pub address: &'c str,
    /// Its title.
    pub title: &'c str,
    /// Its problems.
    pub homework: Vec<(&'c Homework, &'c Item)>,
    /// Its sheets.
    pub sheets: Vec<&'c Worksheet>,
    /// Its checklists.
    pub hookups: Vec<&'c Hookup>,
}

/// All that can be handed in.
#[derive(Debug)]
pub struct Plan<'c> {
    /// The course's title.
    pub course: &'c str,
    /// Its edition.
    pub edition: &'c str,
    /// Its term.
    pub term: &'c Term,
    /// Its lessons, in teaching order.
    pub lessons: Vec<GradedLesson<'c>>,
    /// Where a problem stands: lesson and place in it, by its name.
    homework: BTreeMap<&'c str, (usize, usize)>,
}

impl<'c> Plan<'c> {
    /// The plan of a course with these lessons; nothing when it has no term, without which no numbers are drawn.
    pub fn of(course: &'c Course, read: &'c [Arc<Read<'_>>]) -> Option<Plan<'c>> {
        let term = course.about.term.as_ref()?;
        let mut lessons = Vec::new();
        for lesson in read.iter().map(|read| &read.lesson) {
            let mut own = GradedLesson {
                address: &lesson.address,
                title: &lesson.title,
                homework: Vec::new(),
                sheets: Vec::new(),
                hookups: Vec::new(),
            };
            for piece in &lesson.pieces {
                match piece {
                    Piece::Homework(homework) => {
                        own.homework.extend(homework.item.as_ref().map(|item| (&**homework, item)));
                    }
                    Piece::Worksheet(sheet) => own.sheets.push(sheet),
                    Piece::Hookup(hookup) => own.hookups.push(hookup),
                    _ => {}
                }
            }
            if !own.homework.is_empty() || !own.sheets.is_empty() {
                lessons.push(own);
            }
        }
        let mut homework = BTreeMap::new();
        for (at, lesson) in lessons.iter().enumerate() {
            for (place, (problem, _)) in lesson.homework.iter().enumerate() {
                homework.insert(problem.name.value.as_str(), (at, place));
            }
        }
        Some(Plan { course: &course.about.title, edition: &course.about.edition, term, lessons, homework })
    }

    /// The lesson with this address.
    pub fn lesson(&self, address: &str) -> Option<usize> {
        self.lessons.iter().position(|lesson| lesson.address == address)
    }

    /// Where a problem stands: lesson and place in it.
    pub fn problem(&self, name: &str) -> Option<(usize, usize)> {
        self.homework.get(name).copied()
    }
}

impl<'c> GradedLesson<'c> {
    /// The hookup that a hand-in calls so.
    pub fn hookup(&self, name: &str) -> Option<&'c Hookup> {
        let is_called = |hookup: &&&Hookup| {
            hookup.id == name || hookup.name.as_ref().is_some_and(|own| own.value == name)
        };
        self.hookups.iter().find(is_called).copied()
    }

    /// Points that are given by the program.
    pub fn points_by_program(&self) -> f64 {
        self.homework.iter().map(|(_, item)| item.points()).sum()
    }

    /// Points that are given by hand.
    pub fn points_by_hand(&self) -> f64 {
        let reasons = self.homework.iter().flat_map(|(homework, _)| &homework.reasons);
        reasons.map(|reason| reason.points).sum()
    }
}
