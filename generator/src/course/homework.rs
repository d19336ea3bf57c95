//! Homework: a problem whose numbers are drawn for each student.

use fieldcoil_calc::homework::item::Item;

use super::StartValue;
use crate::source::{Span, Spanned};

/// A problem.
#[derive(Debug)]
pub struct Homework {
    /// Anchor: `homework-1`.
    pub id: String,
    /// Its name in draws, hand-ins and gradebooks: once in a course, and never changed.
    pub name: Spanned<String>,
    /// Its title.
    pub title: String,
    /// What is told, with `{field}` where a drawn value stands.
    pub text: Spanned<String>,
    /// A word of help, in practice alone.
    pub hint: String,
    /// Outcomes that it assesses.
    pub outcomes: Vec<Spanned<String>>,
    /// The calculator that works it, where an ask names none of its own.
    pub calculator: Spanned<String>,
    /// Fields that are the same for all, and their values.
    pub given: Vec<(Spanned<String>, Spanned<StartValue>)>,
    /// Fields that are drawn.
    pub drawn: Vec<(Spanned<String>, Spanned<DrawnFrom>)>,
    /// What is asked.
    pub asks: Vec<HomeworkAsk>,
    /// What is answered in words and marked by hand.
    pub reasons: Vec<Reason>,
    /// The largest share of a class that may have the same answer.
    pub most_alike: f64,
    /// Filled in by the resolve stage: the problem as the library works it.
    pub item: Option<Item>,
    /// Where it stands.
    pub span: Span,
}

/// What a value is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum DrawnFrom {
    /// Numbers with equal steps between them.
    Steps {
        /// The first, as written.
        from: String,
        /// The last.
        to: String,
        /// From one to the next.
        step: String,
        /// Their unit; empty for the unit of the field's name.
        unit: String,
    },
    /// One of a list.
    Among(Vec<String>),
}

/// One thing that is asked.
#[derive(Debug, Clone)]
pub struct HomeworkAsk {
    /// `a`, `b`, `c`.
    pub name: Spanned<String>,
    /// The question.
    pub text: String,
    /// A word of help, in practice alone.
    pub hint: String,
    /// The calculator that answers, when it is not that of the problem.
    pub calculator: Option<Spanned<String>>,
    /// Its output.
    pub output: Spanned<String>,
    /// In which unit the answer is wanted.
    pub unit: Spanned<String>,
    /// How far it may be off: `2 %`, `0.01`, `± (0.5 % + 2)` as a meter's data sheet says it.
    pub tolerance: Spanned<String>,
    /// What it is worth.
    pub points: f64,
    /// Share of that for a wrong power of ten.
    pub for_power: f64,
    /// Share of that for a wrong or missing unit.
    pub for_unit: f64,
    /// Fields that hold the answer to an earlier ask.
    pub uses: Vec<(Spanned<String>, Spanned<String>)>,
    /// Smallest and greatest answer that make sense.
    pub sensible: Option<Spanned<(f64, f64)>>,
    /// Where it stands.
    pub span: Span,
}

/// Something that is answered in words.
#[derive(Debug, Clone)]
pub struct Reason {
    /// The question.
    pub text: String,
    /// What it is worth.
    pub points: f64,
    /// How many lines to leave on paper.
    pub lines: u32,
}

impl Homework {
    /// What it is worth, reasons counted.
    pub fn points(&self) -> f64 {
        self.asks.iter().map(|ask| ask.points).chain(self.reasons.iter().map(|reason| reason.points)).sum()
    }
}
