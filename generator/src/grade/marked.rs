//! Answers marked by the library, and readings as numbers: what one student has for one lesson.

use std::collections::BTreeMap;

use fieldcoil_calc::calculator::OutputKind;
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_calc::homework::item::{Ask, Item, Numbers};
use fieldcoil_calc::homework::mark::{Mark, Typed, Verdict, mark, read};
use fieldcoil_calc::number::split_unit;
use fieldcoil_calc::unit::{Quantity, Unit};

use super::gather::Submission;
use super::plan::{GradedLesson, Plan};
use crate::course::WorksheetReading;

/// What one student has for one lesson.
#[derive(Debug, Default)]
pub struct Marked {
    /// Its problems, in the lesson's order.
    pub problems: Vec<MarkedProblem>,
    /// The readings of its sheets.
    pub readings: Vec<MarkedReading>,
}

/// One problem, marked.
#[derive(Debug)]
pub struct MarkedProblem {
    /// The student's numbers.
    pub numbers: Numbers,
    /// What was answered, as written.
    pub written: Vec<String>,
    /// The marks.
    pub marks: Vec<Mark>,
    /// Points by hand for its reasons; nothing for those that are still to be marked.
    pub by_hand: Vec<Option<f64>>,
    /// What was answered in words.
    pub reasons: Vec<String>,
}

/// One reading.
#[derive(Debug)]
pub struct MarkedReading {
    /// The place of its sheet in the lesson.
    pub sheet: usize,
    /// Its place on the sheet.
    pub place: usize,
    /// As written.
    pub written: String,
    /// As a number in the sheet's unit, where it is one.
    pub value: Option<f64>,
}

/// Marks what a student handed in for a lesson.
pub fn marked(plan: &Plan, lesson: &GradedLesson, code: Code, submission: &Submission) -> Marked {
    let plain = code.plain();
    let lot = Lot { key: &plan.term.key, code: &plain, attempt: 0 };
    let problems = lesson.homework.iter().enumerate().map(|(at, (homework, item))| {
        let numbers = item.numbers(&lot);
        let written: Vec<String> = (0..item.asks.len())
            .map(|ask| submission.answers.get(&(at, ask)).cloned().unwrap_or_default())
            .collect();
        let typed: Vec<Typed> = item.asks.iter().zip(&written).map(|(ask, text)| typed(ask, text)).collect();
        let marks = mark(item, &numbers, &typed);
        let reasons = 0..homework.reasons.len();
        MarkedProblem {
            numbers,
            marks,
            by_hand: reasons.clone().map(|place| submission.by_hand.get(&(at, place)).copied()).collect(),
            reasons: reasons
                .map(|place| submission.reasons.get(&(at, place)).cloned().unwrap_or_default())
                .collect(),
            written,
        }
    });
    let mut readings = Vec::new();
    for (sheet, own) in lesson.sheets.iter().enumerate() {
        for (place, reading) in own.readings.iter().enumerate() {
            let written = submission.readings.get(&(sheet, place)).cloned().unwrap_or_default();
            readings.push(MarkedReading { sheet, place, value: value_of(reading, &written), written });
        }
    }
    Marked { problems: problems.collect(), readings }
}

/// What was written for an ask.
fn typed<'t>(ask: &Ask, text: &'t str) -> Typed<'t> {
    match ask.calculator.output(&ask.output).map(|output| &output.kind) {
        Some(OutputKind::Number(quantity, _)) => read(text, *quantity, ask.unit),
        // `resolve` lets only asks for numbers through.
        _ => Typed::Unreadable(text),
    }
}

/// Quantities that are read at a bench; where a symbol is a unit of two, the first counts.
const READ: [Quantity; 17] = [
    Quantity::Voltage,
    Quantity::Current,
    Quantity::Resistance,
    Quantity::Power,
    Quantity::Speed,
    Quantity::Time,
    Quantity::Temperature,
    Quantity::Torque,
    Quantity::Percent,
    Quantity::Length,
    Quantity::Area,
    Quantity::Force,
    Quantity::Energy,
    Quantity::Charge,
    Quantity::Frequency,
    Quantity::Inductance,
    Quantity::ResistancePerLength,
];

/// What is measured in a reading's unit, and the unit; nothing for words and for units of no quantity here.
pub fn measured(reading: &WorksheetReading) -> Option<(Quantity, &'static Unit)> {
    if reading.unit.is_empty() {
        return None;
    }
    READ.iter().find_map(|quantity| Some((*quantity, quantity.unit(&reading.unit)?)))
}

/// A reading as a number in the sheet's unit. What stands behind a `±` is its uncertainty.
fn value_of(reading: &WorksheetReading, written: &str) -> Option<f64> {
    let (quantity, unit) = measured(reading)?;
    let number = written.split(['±', ';']).next().unwrap_or_default();
    match read(number, quantity, unit) {
        // A bare number is in the sheet's unit; a unit of something else was meant otherwise.
        Typed::Number { unit: false, .. } if !split_unit(number).1.is_empty() => None,
        Typed::Number { value, .. } => Some(unit.of_base(value)),
        _ => None,
    }
}

impl Marked {
    /// Points that the program gave.
    pub fn points_by_program(&self) -> f64 {
        self.problems.iter().flat_map(|problem| &problem.marks).map(|mark| mark.points).sum()
    }

    /// Points that were given by hand so far, and how many reasons are still to be marked.
    pub fn points_by_hand(&self) -> (f64, usize) {
        let all = || self.problems.iter().flat_map(|problem| &problem.by_hand);
        (all().flatten().sum(), all().filter(|points| points.is_none()).count())
    }

    /// How many answers were judged so.
    pub fn count(&self, verdict: Verdict) -> usize {
        let marks = self.problems.iter().flat_map(|problem| &problem.marks);
        marks.filter(|mark| mark.verdict == verdict).count()
    }
}

impl Marked {
    /// How many readings were handed in.
    pub fn readings_taken(&self) -> usize {
        self.readings.iter().filter(|reading| !reading.written.trim().is_empty()).count()
    }

    /// Was anything of a sheet handed in?
    pub fn has_sheet(&self, sheet: usize) -> bool {
        self.readings.iter().any(|reading| reading.sheet == sheet && !reading.written.trim().is_empty())
    }
}

impl MarkedProblem {
    /// Points so far.
    pub fn points(&self) -> f64 {
        let by_hand: f64 = self.by_hand.iter().flatten().sum();
        self.marks.iter().map(|mark| mark.points).sum::<f64>() + by_hand
    }
}

/// The right answers of the whole class to one problem.
#[derive(Debug)]
pub struct RightAnswers {
    /// Each student's, by code.
    pub of: Vec<(Code, Vec<Option<f64>>)>,
}

impl RightAnswers {
    /// Of the problem at this place. What was marked has them already; for those who handed nothing in they are worked,
    /// once for each set of numbers that differs.
    pub fn gather<'m>(
        plan: &Plan,
        item: &Item,
        problem: usize,
        class: impl Iterator<Item = (Code, Option<&'m Marked>)>,
    ) -> RightAnswers {
        let mut known: BTreeMap<Numbers, Vec<Option<f64>>> = BTreeMap::new();
        let of = class.map(|(code, marked)| {
            if let Some(marked) = marked {
                return (code, marked.problems[problem].marks.iter().map(|mark| mark.right).collect());
            }
            let plain = code.plain();
            let numbers = item.numbers(&Lot { key: &plan.term.key, code: &plain, attempt: 0 });
            let answers = known.entry(numbers).or_insert_with_key(|numbers| item.answers(numbers));
            (code, answers.clone())
        });
        RightAnswers { of: of.collect() }
    }
}
