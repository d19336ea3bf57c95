//! A course as plain data: what the parse stage fills in, the resolve stage completes and all later stages read.

mod hookup;
mod lesson;
mod worksheet;

pub use hookup::{Action, Bench, Hookup, HookupStep, Part, Phase};
pub use lesson::{CalculatorBlock, Caution, Heading, Lesson, Listing, Piece, Signal, StartValue};
pub use worksheet::{Question, Worksheet, WorksheetReading};

/// A whole course, its lessons in teaching order.
#[derive(Debug)]
pub struct Course<'s> {
    /// What `course.toml` says.
    pub about: About,
    /// The lessons.
    pub lessons: Vec<Lesson<'s>>,
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
}
