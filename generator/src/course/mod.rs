//! A course as plain data: what the parse stage fills in, the resolve stage completes and all later stages read.

use std::collections::BTreeMap;

mod circuit;
mod homework;
pub mod hookup;
mod lesson;
mod outcome;
mod published;
mod school_rule;
pub mod selfcheck;
mod term;
mod worksheet;

pub use circuit::{
    Circuit, CircuitState, CircuitSymbol, CircuitWire, Drawn, LABEL_SIZE, LabelOf, Moments, PlacedLabel,
    STEP_MARK, Scenes, StatedReading, Terminal,
};
pub use homework::{DrawnFrom, Homework, HomeworkAsk, Reason};
pub use hookup::{Action, Bench, BenchState, Hookup, HookupStep, Part, Phase};
pub use lesson::{
    CalculatorBlock, Caution, Figure, Heading, LIMITS, Lesson, Listing, Picture, Piece, Signal, StartValue,
    VALUE_IN_FORMULA, plain_text,
};
pub use outcome::{Coverage, Outcome, coverage};
pub use published::{Limit, Origin, Reference};
pub use school_rule::{Asks, SchoolRule, StepPattern, When};
pub use selfcheck::Selfcheck;
pub use term::{Term, iso};
pub use worksheet::{Question, Taken, Worksheet, WorksheetReading};

/// A whole course, its lessons in teaching order.
#[derive(Debug, Default)]
pub struct Course<'s> {
    /// What `course.toml` says.
    pub about: About,
    /// What students are to be able to do, as `outcomes.toml` lists it.
    pub outcomes: Vec<Outcome>,
    /// Limits with where they come from, as `limits.toml` lists them.
    pub limits: Vec<Limit>,
    /// The texts that it refers to, as `references.toml` lists them.
    pub references: Vec<Reference>,
    /// The lessons.
    pub lessons: Vec<Lesson<'s>>,
    /// Files that lessons show or link to: place in the site to path below the course folder. Drawings that stand in
    /// a page are not among them.
    pub files: BTreeMap<String, String>,
}

/// What a course says of itself.
#[derive(Debug, Clone, Default)]
pub struct About {
    /// Name of the course.
    pub title: String,
    /// One or two sentences for the first page.
    pub summary: String,
    /// The school that gives it.
    pub school: String,
    /// Who wrote it, as the title block shows it.
    pub author: String,
    /// Which edition; never taken from the clock.
    pub edition: String,
    /// Language of the lessons, as BCP 47 writes it.
    pub language: String,
    /// Where the site will stand, if that is known.
    pub address: Option<String>,
    /// How long current may flow in a hookup that sets no limit of its own; common practice when there is none.
    pub energize_limit_s: Option<f64>,
    /// The rules on hookups that the school adds.
    pub rules: Vec<SchoolRule>,
    /// The term in which it is given.
    pub term: Option<Term>,
}
