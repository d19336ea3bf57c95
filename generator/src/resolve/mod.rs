//! Lessons to a course: every name that a lesson uses is bound to what it names, and nothing else is left to look up.

mod calculators;
mod circuit;
mod drawing;
mod homework;
mod limits;
mod links;
mod names;
mod order;
mod pictures;
mod published;
mod readings;
mod selfcheck;
mod size;
mod target;
mod values;

use crate::course::Course;
use crate::finding::Finding;
use crate::parse::Texts;
use crate::source::SourceSet;
use target::Targets;

/// Puts the lessons in order and binds links, pictures, calculators and readings.
///
/// A name that cannot be bound is a finding; what it stands in stays in the course as it was.
pub fn course<'s>(texts: Texts<'s>, sources: &'s SourceSet) -> (Course<'s>, Vec<Finding>) {
    let mut found = Vec::new();
    let Texts { about, outcomes, limits, mut references, mut lessons } = texts;
    order::order(&mut lessons, sources, &mut found);
    let targets = Targets::of(&lessons, sources);
    let mut pictures = pictures::Pictures::new(sources);
    for lesson in &mut lessons {
        calculators::bind(lesson, &mut found);
    }
    // Texts take numbers from the calculators of other lessons too; all later stages find them as they are read.
    values::bind(&mut lessons, &limits, sources, &mut found);
    published::bind(&mut lessons, &limits, &mut references, sources, &mut found);
    for lesson in &mut lessons {
        links::bind(lesson, &targets, &mut pictures, &mut found);
        readings::check(lesson, &mut found);
        limits::bind(lesson, &about);
        circuit::draw(lesson, &mut found);
        homework::bind(lesson, &mut found);
        selfcheck::bind(lesson, &mut found);
    }
    names::check(&about, &outcomes, &lessons, &mut found);
    let course = Course { about, outcomes, limits, references, lessons, files: pictures.into_files() };
    (course, found)
}
