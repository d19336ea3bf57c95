//! The named calculators of a course, by lesson and name.

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil_calc::input::Inputs;

use crate::course::{Course, Lesson, Outline, Piece};
use crate::finding::{Finding, shown};
use crate::resolve::drawing::Drawings;
use crate::resolve::pictures::Pictures;
use crate::resolve::reader::parsed;
use crate::resolve::target::Targets;
use crate::resolve::{calculators, traces};
use crate::source::{FileId, Span};
use crate::threads;

/// All of them, and the lessons in which they can be.
#[derive(Debug, Default)]
pub struct Values {
    /// By the address of the lesson.
    lessons: BTreeMap<String, Runs>,
}

/// The named calculators of a lesson with what they work; nothing when one could not be bound, which is reported where
/// it stands.
pub type Runs = BTreeMap<String, Option<Inputs>>;

impl Values {
    /// Those of every lesson; a name that stands twice in a lesson is a finding.
    pub fn of<'s>(
        course: &Course,
        held: &BTreeMap<FileId, Vec<Piece<'s>>>,
        targets: &Targets<'s>,
        found: &mut Vec<Finding>,
    ) -> Self {
        let outlines: Vec<&Outline> = course.lessons.iter().chain(&course.pages).collect();
        let all = threads::each(outlines.len(), |index| {
            let outline = outlines[index];
            match (outline.holds.runs.is_empty(), held.get(&outline.file)) {
                (true, _) => Runs::new(),
                (false, Some(pieces)) => runs(outline, pieces, targets),
                (false, None) => runs(outline, &parsed(targets.sources, course, outline), targets),
            }
        });
        let mut lessons = BTreeMap::new();
        for (outline, runs) in outlines.into_iter().zip(all) {
            check_names(outline, found);
            // Two lessons with one address are a finding; the first has it.
            lessons.entry(outline.address.clone()).or_insert(runs);
        }
        Values { lessons }
    }

    /// What the calculator of this name in this lesson works.
    pub fn find(&self, lesson: &str, name: &str) -> Option<&Option<Inputs>> {
        self.lessons.get(lesson)?.get(name)
    }

    /// The named calculators of a lesson with what they work.
    pub fn runs_of(&self, lesson: &str) -> Option<&Runs> {
        self.lessons.get(lesson)
    }

    /// Has a lesson this address?
    pub fn has_lesson(&self, address: &str) -> bool {
        self.lessons.contains_key(address)
    }

    /// The addresses of all lessons.
    pub fn lessons(&self) -> impl Iterator<Item = &str> {
        self.lessons.keys().map(String::as_str)
    }

    /// The names of a lesson's calculators.
    pub fn names_in(&self, lesson: &str) -> impl Iterator<Item = &str> {
        self.lessons.get(lesson).into_iter().flatten().map(|(name, _)| name.as_str())
    }
}

fn check_names(outline: &Outline, found: &mut Vec<Finding>) {
    let mut known: BTreeMap<&str, Span> = BTreeMap::new();
    for name in &outline.holds.runs {
        let Some(first) = known.get(name.value.as_str()) else {
            known.insert(&name.value, name.span);
            continue;
        };
        let message = format!("two calculators of this lesson are named `{}`", shown(&name.value));
        found.push(
            Finding::error("second-calculator", message, name.span, "the second")
                .also(*first, "the first")
                .help("give each of them a name of its own"),
        );
    }
}

/// The named calculators among these pieces. They are bound here, and once more with the rest of their lesson, where
/// what is found on the way is told.
fn runs<'s>(outline: &Outline, pieces: &[Piece<'s>], targets: &Targets<'s>) -> Runs {
    let named = pieces.iter().filter_map(|piece| match piece {
        Piece::Calculator(block) if block.name.is_some() => Some(Piece::Calculator(block.clone())),
        Piece::Trace(trace) if trace.name.is_some() => Some(Piece::Trace(trace.clone())),
        _ => None,
    });
    let mut lesson = Lesson { outline: outline.clone(), pieces: named.collect() };
    let drawings = Drawings::default();
    let (mut pictures, mut told) = (Pictures::new(targets.sources, &drawings), Vec::new());
    traces::bind(&mut lesson, targets, &mut pictures, &mut told);
    calculators::bind(&mut lesson, &mut told);
    let mut runs = Runs::new();
    let mut seen = BTreeSet::new();
    for piece in lesson.pieces {
        let (name, inputs) = match piece {
            Piece::Calculator(block) => (block.name, block.bound.map(|(_, inputs)| inputs)),
            Piece::Trace(trace) => (trace.name, trace.bound.map(|bound| bound.inputs)),
            _ => continue,
        };
        // The first of two with one name has it.
        let Some(name) = name.filter(|name| seen.insert(name.value.clone())) else { continue };
        runs.insert(name.value, inputs);
    }
    runs
}
