//! A lesson and the smaller blocks in it.

use std::ops::{Deref, DerefMut, Range};

use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::report::Source;
use pulldown_cmark::Event;

use super::{Circuit, Homework, Hookup, Library, Outline, Selfcheck, Trace, Worksheet};
use crate::source::{Span, Spanned};

/// One lesson of the course, or a page that is none: its outline with its content.
#[derive(Debug)]
pub struct Lesson<'s> {
    /// What the rest of the course sees of it.
    pub outline: Outline,
    /// Its content, in order.
    pub pieces: Vec<Piece<'s>>,
}

impl Deref for Lesson<'_> {
    type Target = Outline;

    fn deref(&self) -> &Outline {
        &self.outline
    }
}

impl DerefMut for Lesson<'_> {
    fn deref_mut(&mut self) -> &mut Outline {
        &mut self.outline
    }
}

/// A heading inside a lesson.
#[derive(Debug, Clone)]
pub struct Heading {
    /// 2 to 6; the title is the only one of level 1.
    pub level: u8,
    /// Its text without markup.
    pub text: String,
    /// The anchor.
    pub id: String,
    /// Where it stands.
    pub span: Span,
}

/// A stretch of a lesson.
#[derive(Debug)]
pub enum Piece<'s> {
    /// Ordinary Markdown. Links and pictures already lead to their place in the site, formulas are MathML, headings
    /// carry their anchors.
    Prose(Vec<(Event<'s>, Range<usize>)>),
    /// A safety note.
    Caution(Caution),
    /// A hookup-order checklist.
    Hookup(Hookup),
    /// A wiring diagram.
    Circuit(Box<Circuit>),
    /// A calculator.
    Calculator(CalculatorBlock),
    /// A problem with drawn numbers.
    Homework(Box<Homework>),
    /// Questions that answer at once.
    Selfcheck(Selfcheck),
    /// A sheet for readings.
    Worksheet(Worksheet),
    /// A recorded current.
    Trace(Trace),
    /// A table that the program makes.
    Library(Library),
    /// A code listing.
    Listing(Listing),
    /// A picture that has a paragraph to itself. Pictures elsewhere (in a list, in a line of text) stay events of
    /// the prose, leading to their place in the site.
    Figure(Figure),
}

/// A picture with its caption.
#[derive(Debug)]
pub struct Figure {
    /// Anchor: `figure-1`.
    pub id: String,
    /// What the picture shows, in words.
    pub alt: String,
    /// What stands under it, or nothing.
    pub caption: Option<String>,
    /// The file as the lesson names it.
    pub file: Spanned<String>,
    /// Filled in by the resolve stage; nothing when the file is missing or unfit, which is a finding.
    pub picture: Option<Picture>,
    /// Where it stands.
    pub span: Span,
}

/// A picture that has been checked.
#[derive(Debug, Clone)]
pub enum Picture {
    /// A drawing as an `svg` element to be put into the page as it is: nothing but shapes and text, its identifiers
    /// unique in the page, `role="img"` and the words of `alt` on it.
    Drawing(String),
    /// A file of the site.
    File {
        /// Its address, relative to the lesson's page.
        address: String,
        /// Width and height in pixels, when the file says so.
        size: Option<(u32, u32)>,
    },
}

/// The signal words of ANSI Z535, most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will cause death or serious injury.
    Danger,
    /// Could cause death or serious injury.
    Warning,
    /// Could cause minor or moderate injury.
    Caution,
    /// Could cause damage to things alone.
    Notice,
}

/// A safety note in three parts.
#[derive(Debug, Clone)]
pub struct Caution {
    /// How urgent.
    pub signal: Signal,
    /// What is dangerous.
    pub hazard: String,
    /// What happens.
    pub consequence: String,
    /// How to avoid it: one sentence an entry.
    pub avoid: Vec<String>,
    /// Number of the ISO 7010 sign whose meaning goes with it: `W012`.
    pub sign: Option<Spanned<String>>,
    /// Where it stands.
    pub span: Span,
}

/// Stands before a calculated number in a formula, which is closed by `}`: `\value{run.drop_v}`.
pub const VALUE_IN_FORMULA: &str = "\\value{";

/// Stands in a reference where other references have the name of a calculator: `limits.fc-12-current.maximum`.
pub const LIMITS: &str = "limits";

/// A calculator placed in a lesson.
#[derive(Debug, Clone)]
pub struct CalculatorBlock {
    /// Anchor and key of what a student types: `voltage-drop-1`.
    pub id: String,
    /// Which calculator: `voltage-drop`.
    pub calculator: Spanned<String>,
    /// Name under which texts refer to its numbers.
    pub name: Option<Spanned<String>>,
    /// A title in place of the calculator's own.
    pub title: Option<String>,
    /// Starting values as written, each with its field's name.
    pub start: Vec<(Spanned<String>, Spanned<StartValue>)>,
    /// Fields that start with the text of a file of the course; the resolve stage puts the texts into `start`.
    pub start_files: Vec<(Spanned<String>, Spanned<String>)>,
    /// Fields that the student cannot change.
    pub locked: Vec<Spanned<String>>,
    /// Filled in by the resolve stage: the calculator and its starting inputs.
    pub bound: Option<(&'static Calculator, Inputs)>,
    /// Filled in by the resolve stage: where the facts of its result come from.
    pub sources: Vec<Source>,
    /// Where it stands.
    pub span: Span,
}

/// A starting value as written in TOML.
#[derive(Debug, Clone, PartialEq)]
pub enum StartValue {
    /// A bare number, in the unit of the field's name.
    Number(f64),
    /// Text: an option, or a number with its unit.
    Text(String),
}

/// A code listing.
#[derive(Debug, Clone)]
pub struct Listing {
    /// The info word, perhaps empty.
    pub language: String,
    /// The code.
    pub code: String,
    /// Where it stands.
    pub span: Span,
}

/// The words of a stretch of prose without markup.
pub fn plain_text(events: &[(Event, Range<usize>)]) -> String {
    let mut text = String::new();
    for (event, _) in events {
        match event {
            Event::Text(words) | Event::Code(words) => text.push_str(words),
            Event::SoftBreak | Event::HardBreak => text.push(' '),
            _ => {}
        }
    }
    text.trim().to_owned()
}
