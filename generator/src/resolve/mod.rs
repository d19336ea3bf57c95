//! Lessons to a course: every name that a lesson uses is bound to what it names, and nothing else is left to look up.

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
mod pictures;
mod readings;
mod selfcheck;
mod size;
mod target;
mod terms;

use crate::course::{Course, Role};
use crate::finding::Finding;
use crate::parse::Texts;
use crate::source::SourceSet;
use target::Targets;

/// Puts the lessons in order and binds links, pictures, calculators and readings.
///
/// A name that cannot be bound is a finding; what it stands in stays in the course as it was.
pub fn course<'s>(texts: Texts<'s>, sources: &'s SourceSet) -> (Course<'s>, Vec<Finding>) {
    let mut found = Vec::new();
    let Texts { about, outcomes, words, lessons } = texts;
    let (mut lessons, mut pages): (Vec<_>, Vec<_>) =
        lessons.into_iter().partition(|text| text.role == Role::Lesson);
    order::order(&mut lessons, &mut pages, sources, &mut found);
    let glossary = glossary::bind(words, lessons.iter().chain(&pages), &mut found);
    let targets = Targets::of(lessons.iter().chain(&pages), &glossary, sources);
    let mut pictures = pictures::Pictures::new(sources);
    for lesson in lessons.iter_mut().chain(&mut pages) {
        links::bind(lesson, &targets, &mut pictures, &mut found);
        calculators::bind(lesson, &mut found);
        readings::check(lesson, &mut found);
        limits::bind(lesson, &about);
        circuit::draw(lesson, &mut found);
        homework::bind(lesson, &mut found);
        selfcheck::bind(lesson, &mut found);
    }
    terms::link(&glossary, lessons.iter_mut().chain(&mut pages), &mut found);
    names::check(&about, &outcomes, &lessons, &pages, &mut found);
    modules::check(&about, &lessons, &mut found);
    let course = Course { about, outcomes, glossary, lessons, pages, files: pictures.into_files() };
    (course, found)
}
