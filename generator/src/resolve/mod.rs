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
mod published;
mod readings;
mod selfcheck;
mod size;
mod target;
mod terms;
mod traces;
mod values;

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
    let Texts { about, outcomes, words, limits, mut references, lessons } = texts;
    let (mut lessons, mut pages): (Vec<_>, Vec<_>) =
        lessons.into_iter().partition(|text| text.role == Role::Lesson);
    order::order(&mut lessons, &mut pages, sources, &mut found);
    let glossary = glossary::bind(words, lessons.iter().chain(&pages), &mut found);
    let targets = Targets::of(lessons.iter().chain(&pages), &glossary, sources);
    let mut pictures = pictures::Pictures::new(sources);
    // Lessons first, then the pages: texts take numbers from each other, whichever they are.
    let lesson_count = lessons.len();
    let mut texts = lessons;
    texts.append(&mut pages);
    for text in &mut texts {
        traces::bind(text, &targets, &mut pictures, &mut found);
        calculators::bind(text, &mut found);
    }
    values::bind(&mut texts, &limits, sources, &mut found);
    published::bind(&mut texts, &limits, &mut references, sources, &mut found);
    // All that follows finds the numbers in their places.
    for text in &mut texts {
        links::bind(text, &targets, &mut pictures, &mut found);
        readings::check(text, &mut found);
        limits::bind(text, &about);
        circuit::draw(text, &mut found);
        homework::bind(text, &mut found);
        selfcheck::bind(text, &mut found);
    }
    terms::link(&glossary, texts.iter_mut(), &mut found);
    let pages = texts.split_off(lesson_count);
    let mut lessons = texts;
    names::check(&about, &outcomes, &lessons, &pages, &mut found);
    modules::bind(&about, &mut lessons, &mut found);
    let course = Course {
        about,
        outcomes,
        limits,
        references,
        glossary,
        lessons,
        pages,
        files: pictures.into_files(),
    };
    (course, found)
}
