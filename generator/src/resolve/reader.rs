//! The lessons of a course, one at a time: each is read, and its names are bound, when somebody wants to see into it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::drawing::Drawings;
use super::pictures::Pictures;
use super::target::Targets;
use super::terms::Forms;
use super::values::Values;
use super::{
    calculators, circuit, homework, limits, links, published, readings, selfcheck, terms, traces, values,
};
#[cfg(test)]
use crate::course::{About, Glossary};
use crate::course::{Course, Lesson, Outline, Piece};
use crate::finding::Finding;
use crate::parse;
use crate::source::{FileId, SourceSet};

/// A course whose lessons can be read.
#[derive(Debug)]
pub struct Reader<'s> {
    /// The course.
    pub course: Course,
    /// Its files.
    pub sources: &'s SourceSet,
    pub(super) targets: Targets<'s>,
    pub(super) values: Values,
    pub(super) forms: Forms,
    pub(super) drawings: Drawings,
    pub(super) held: BTreeMap<FileId, Held<'s>>,
}

/// A lesson with its names bound, and what was seen on the way.
#[derive(Debug)]
pub struct Read<'s> {
    /// The lesson.
    pub lesson: Lesson<'s>,
    /// What was found.
    pub found: Vec<Finding>,
    /// Words of the glossary that it uses, by their places there.
    pub words: BTreeSet<usize>,
    /// Files that it shows or links to: place in the site to path below the course folder. Drawings that stand in its
    /// page are not among them.
    pub files: BTreeMap<String, String>,
}

/// A lesson of a course that is small enough to be held whole.
#[derive(Debug)]
pub(super) struct Held<'s> {
    /// As it was parsed, until it is read.
    parsed: Mutex<Option<Vec<Piece<'s>>>>,
    read: OnceLock<Arc<Read<'s>>>,
}

impl<'s> Held<'s> {
    pub fn new(pieces: Vec<Piece<'s>>) -> Self {
        Held { parsed: Mutex::new(Some(pieces)), read: OnceLock::new() }
    }
}

impl<'s> Reader<'s> {
    /// Every lesson, and then every page that is none.
    pub fn texts(&self) -> Vec<&Outline> {
        self.course.lessons.iter().chain(&self.course.pages).collect()
    }

    /// Reads one of them. Reading twice gives the same.
    pub fn read(&self, outline: &Outline) -> Arc<Read<'s>> {
        let Some(held) = self.held.get(&outline.file) else {
            return Arc::new(self.bound(outline, parsed(self.sources, &self.course, outline)));
        };
        let read = held.read.get_or_init(|| {
            // A thread that fell over has left either all pieces or none.
            let pieces = held.parsed.lock().unwrap_or_else(PoisonError::into_inner).take();
            let pieces = pieces.unwrap_or_else(|| parsed(self.sources, &self.course, outline));
            Arc::new(self.bound(outline, pieces))
        });
        Arc::clone(read)
    }

    /// Binds the names of a lesson.
    ///
    /// A name that cannot be bound is a finding; what it stands in stays in the lesson as it was.
    fn bound(&self, outline: &Outline, pieces: Vec<Piece<'s>>) -> Read<'s> {
        let mut found = Vec::new();
        let mut pictures = Pictures::new(self.sources, &self.drawings);
        let mut lesson = Lesson { outline: outline.clone(), pieces };
        let (course, targets) = (&self.course, &self.targets);
        traces::bind(&mut lesson, targets, &mut pictures, &mut found);
        calculators::bind(&mut lesson, &mut found);
        values::bind(&mut lesson, &self.values, &course.limits, self.sources, &mut found);
        published::take_limits(&mut lesson, &course.limits, &course.references, &mut found);
        // All that follows finds the numbers in their places.
        links::bind(&mut lesson, targets, &mut pictures, &mut found);
        readings::check(&lesson, &mut found);
        limits::bind(&mut lesson, &course.about);
        circuit::draw(&mut lesson, &mut found);
        homework::bind(&mut lesson, &mut found);
        selfcheck::bind(&mut lesson, &mut found);
        let words = terms::link(&course.glossary, &self.forms, &mut lesson);
        Read { lesson, found, words, files: pictures.into_files() }
    }
}

#[cfg(test)]
impl<'s> Reader<'s> {
    /// A course of these lessons, in which nothing is left to bind.
    pub fn of(about: About, lessons: Vec<Lesson<'s>>, sources: &'s SourceSet) -> Self {
        let outlines = lessons.iter().map(|lesson| lesson.outline.clone()).collect();
        let course = Course { about, lessons: outlines, ..Course::default() };
        let held = lessons.into_iter().map(|lesson| {
            let (file, held) = (lesson.file, Held::new(Vec::new()));
            let read = Read { lesson, found: Vec::new(), words: BTreeSet::new(), files: BTreeMap::new() };
            assert!(held.read.set(Arc::new(read)).is_ok());
            (file, held)
        });
        Reader {
            course,
            sources,
            targets: Targets { sources, lessons: BTreeMap::new() },
            values: Values::default(),
            forms: Forms::of(&Glossary::default()),
            drawings: Drawings::default(),
            held: held.collect(),
        }
    }
}

/// The pieces of a lesson, from its text.
pub(super) fn parsed<'s>(sources: &'s SourceSet, course: &Course, outline: &Outline) -> Vec<Piece<'s>> {
    let Some(source) = sources.text(outline.file) else { return Vec::new() };
    // What is found here was found when the course was read.
    parse::lesson(outline.file, &source.path, &source.text, course.about.allow_html).0.pieces
}
