//! A course as plain data: what the parse stage fills in, the resolve stage completes and all later stages read.

use std::collections::BTreeMap;

use fieldcoil_calc::report::Source;

mod circuit;
mod glossary;
mod homework;
pub mod hookup;
mod lesson;
mod library;
mod module;
mod outcome;
mod outline;
mod published;
mod school_rule;
pub mod selfcheck;
mod term;
mod trace;
mod worksheet;

pub use circuit::{
    Circuit, CircuitState, CircuitSymbol, CircuitWire, Drawn, LABEL_SIZE, LabelOf, Moments, PlacedLabel,
    STEP_MARK, Scenes, StatedReading, Terminal,
};
pub use glossary::{Entry, Glossary};
pub use homework::{DrawnFrom, Homework, HomeworkAsk, Reason};
pub use hookup::{Action, Bench, BenchState, Hookup, HookupStep, Part, Phase};
pub use lesson::{
    CalculatorBlock, Caution, Figure, Heading, LIMITS, Lesson, Listing, Picture, Piece, Signal, StartValue,
    VALUE_IN_FORMULA, plain_text,
};
pub use library::{Library, Show};
pub use module::Module;
pub use outcome::{Coverage, Outcome, coverage};
pub use outline::{Holds, Outline, Role};
pub use published::{Limit, Origin, Reference};
pub use school_rule::{Asks, SchoolRule, StepPattern, When};
pub use selfcheck::Selfcheck;
pub use term::{Term, iso};
pub use trace::{BoundTrace, Made, Trace};
pub use worksheet::{Question, Taken, Worksheet, WorksheetReading};

/// A whole course, its lessons in teaching order.
#[derive(Debug, Default)]
pub struct Course {
    /// What `course.toml` says.
    pub about: About,
    /// What students are to be able to do, as `outcomes.toml` lists it.
    pub outcomes: Vec<Outcome>,
    /// The words that it explains.
    pub glossary: Glossary,
    /// Limits with where they come from, as `limits.toml` lists them.
    pub limits: Vec<Limit>,
    /// The texts that it refers to, as `references.toml` lists them.
    pub references: Vec<Reference>,
    /// The lessons.
    pub lessons: Vec<Outline>,
    /// Pages that are no lessons, by the names of their files.
    pub pages: Vec<Outline>,
    /// What the calculators of each lesson say of their facts, by the number of the lesson.
    pub cited: BTreeMap<usize, Vec<Source>>,
}

/// What the prose of a course is held to; going over it is a hint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProseLimits {
    /// Most words of a sentence.
    pub longest_sentence: u32,
    /// Highest school grade at which a lesson may read.
    pub reading_grade: f64,
}

impl Default for ProseLimits {
    /// What a school leaver reads who may be reading in a second language (common practice, no source).
    fn default() -> Self {
        ProseLimits { longest_sentence: 20, reading_grade: 8.0 }
    }
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
    /// Address of the licence of the lessons, if it was said.
    pub license: Option<String>,
    /// For whom the course is, as catalogues of teaching material have it: "vocational school, first year".
    pub level: Option<String>,
    /// May a few elements of HTML stand in lessons?
    pub allow_html: bool,
    /// How long current may flow in a hookup that sets no limit of its own; common practice when there is none.
    pub energize_limit_s: Option<f64>,
    /// The rules on hookups that the school adds.
    pub rules: Vec<SchoolRule>,
    /// Its modules, in teaching order; none when lessons stand in one list.
    pub modules: Vec<Module>,
    /// How long its sentences may be, and how hard to read.
    pub prose: ProseLimits,
    /// The term in which it is given.
    pub term: Option<Term>,
}
