//! Lessons to a course: every name that a lesson uses is bound to what it names, and nothing else is left to look up.
//!
//! Names that hold for a whole course are bound here, from the outlines of its lessons. What a lesson names is bound by
//! the [`Reader`] when the lesson is read.

mod calculators;
mod circuit;
mod drawing;
mod glossary;
mod homework;
mod limits;
mod links;
mod modules;
mod names;
mod order;
mod origin;
mod pictures;
mod published;
mod reader;
mod readings;
mod selfcheck;
mod size;
mod target;
mod terms;
mod traces;
mod values;

use std::collections::BTreeMap;

use crate::course::{Course, Role};
use crate::finding::Finding;
use crate::parse::Texts;
use crate::source::SourceSet;
use drawing::Drawings;
pub use origin::Around;
use reader::Held;
pub use reader::{Read, Reader};
use target::Targets;
use terms::Forms;
pub use terms::idle as idle_words;
use values::Values;

/// Puts the lessons in order and binds what holds for the whole course.
pub fn course<'s>(texts: Texts<'s>, sources: &'s SourceSet) -> (Reader<'s>, Vec<Finding>) {
    let mut found = Vec::new();
    let Texts { about, outcomes, words, limits, mut references, lessons, held } = texts;
    let (mut lessons, mut pages): (Vec<_>, Vec<_>) =
        lessons.into_iter().partition(|text| text.role == Role::Lesson);
    order::order(&mut lessons, &mut pages, sources, &mut found);
    let glossary = glossary::bind(words, lessons.iter().chain(&pages), &mut found);
    let targets = Targets::of(lessons.iter().chain(&pages), &glossary, sources);
    published::bind(lessons.iter().chain(&pages), &limits, &mut references, sources, &mut found);
    names::check(&about, &outcomes, &lessons, &pages, &mut found);
    modules::bind(&about, &mut lessons, &mut found);
    let forms = Forms::of(&glossary);
    let cited = BTreeMap::new();
    let course = Course { about, outcomes, limits, references, glossary, lessons, pages, cited };
    let values = Values::of(&course, &held, &targets, &mut found);
    let held = held.into_iter().map(|(file, pieces)| (file, Held::new(pieces))).collect();
    let drawings = Drawings::default();
    (Reader { course, sources, targets, values, forms, drawings, held }, found)
}
