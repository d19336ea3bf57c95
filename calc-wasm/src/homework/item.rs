//! A homework problem: what is given, what is drawn, what is asked, and what the answers are.

use super::draw::Lot;
use crate::calculator::{Calculator, OutputKind};
use crate::input::Inputs;
use crate::measurement::meter::Spread;
use crate::number::to_places;
use crate::refusal::Refusal;
use crate::report::{Report, Value};
use crate::unit::Unit;

/// A problem.
#[derive(Debug, Clone)]
pub struct Item {
    /// Its name, which goes into the draw: it stays when the problem is moved or reworded.
    pub name: String,
    /// What is given to all: fields and their texts.
    pub given: Vec<(String, String)>,
    /// What is drawn.
    pub drawn: Vec<Drawn>,
    /// What is asked, in order.
    pub asks: Vec<Ask>,
}

/// A field whose value is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Which field.
    pub field: String,
    /// From what.
    pub choices: Choices,
}

/// What a value is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum Choices {
    /// Numbers with equal steps between them, as whole multiples of a power of ten: no choice depends on rounding.
    Steps {
        /// The first, in the last decimal place.
        from: i64,
        /// The step, in the last decimal place.
        step: i64,
        /// How many there are.
        count: u64,
        /// Decimal places.
        places: usize,
        /// Symbol of the unit; empty for the field's own.
        unit: String,
    },
    /// A list.
    Among(Vec<String>),
}

/// One thing that is asked.
#[derive(Debug, Clone)]
pub struct Ask {
    /// `a`, `b`, `c`.
    pub name: String,
    /// Whose output is asked for.
    pub calculator: &'static Calculator,
    /// Which output; it is a number.
    pub output: String,
    /// The unit in which the answer is wanted.
    pub unit: &'static Unit,
    /// How far an answer may be off.
    pub tolerance: Tolerance,
    /// What it is worth.
    pub points: f64,
    /// Share of the points for the right figures with the wrong power of ten.
    pub for_power: f64,
    /// Share of the points for the right number with a wrong unit or none.
    pub for_unit: f64,
    /// Fields that hold the answer to an earlier ask.
    pub uses: Vec<(String, String)>,
}

/// How far an answer may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// So much, in the base unit.
    Absolute(f64),
    /// So large a share of the right answer.
    Share(f64),
    /// As much as a meter with this data sheet, in the unit of the answer.
    Meter(Spread),
}

impl Tolerance {
    /// How far an answer in this unit may be off; all in the base unit.
    pub fn allowance(self, right: f64, unit: &Unit) -> f64 {
        match self {
            Tolerance::Absolute(band) => band,
            Tolerance::Share(share) => share * right.abs(),
            Tolerance::Meter(spread) => {
                let shown = unit.of_base(right);
                let band =
                    spread.within + spread.percent / 100.0 * shown.abs() + spread.counts * spread.resolution;
                unit.span_to_base(band)
            }
        }
    }
}

/// A student's numbers: fields and their texts, in the order of [`Item::drawn`].
pub type Numbers = Vec<(String, String)>;

impl Choices {
    /// How many there are.
    pub fn count(&self) -> u64 {
        match self {
            Choices::Steps { count, .. } => *count,
            Choices::Among(list) => list.len() as u64,
        }
    }

    /// The text of one, as a field takes it.
    pub fn text(&self, index: u64) -> String {
        match self {
            Choices::Steps { from, step, places, unit, .. } => {
                let number = decimal(from + step * index as i64, *places);
                if unit.is_empty() { number } else { [number.as_str(), " ", unit].concat() }
            }
            Choices::Among(list) => list.get(index as usize).cloned().unwrap_or_default(),
        }
    }
}

/// A whole number of the last decimal place, written out.
fn decimal(scaled: i64, places: usize) -> String {
    let digits = scaled.unsigned_abs().to_string();
    let padded = ["0".repeat((places + 1).saturating_sub(digits.len())), digits].concat();
    let (whole, rest) = padded.split_at(padded.len() - places);
    let sign = if scaled < 0 { "-" } else { "" };
    if places == 0 { [sign, whole].concat() } else { [sign, whole, ".", rest].concat() }
}

impl Item {
    /// The numbers of a student.
    pub fn numbers(&self, lot: &Lot) -> Numbers {
        self.drawn
            .iter()
            .map(|drawn| {
                let index = lot.draw(&self.name, &drawn.field, drawn.choices.count());
                (drawn.field.clone(), drawn.choices.text(index))
            })
            .collect()
    }

    /// How many different sets of numbers there are; saturates.
    pub fn combinations(&self) -> u64 {
        self.drawn.iter().fold(1, |all, drawn| all.saturating_mul(drawn.choices.count()))
    }

    /// One of all sets of numbers, by its place among them.
    pub fn combination(&self, mut index: u64) -> Numbers {
        self.drawn
            .iter()
            .map(|drawn| {
                let count = drawn.choices.count().max(1);
                let text = drawn.choices.text(index % count);
                index /= count;
                (drawn.field.clone(), text)
            })
            .collect()
    }

    /// The inputs of an ask: what is given and drawn, and the answers to earlier asks in base units.
    ///
    /// # Errors
    /// Values that a field refuses.
    pub fn inputs(&self, ask: &Ask, numbers: &Numbers, earlier: &[Option<f64>]) -> Result<Inputs, Refusal> {
        let mut inputs = Inputs::starting(ask.calculator);
        let mut problems = Vec::new();
        for (field, text) in self.given.iter().chain(numbers) {
            // What another ask's calculator takes says nothing to this one.
            if ask.calculator.field(field).is_some() {
                problems.extend(inputs.set(field, text).err());
            }
        }
        for (field, name) in &ask.uses {
            let at = self.asks.iter().position(|other| other.name == *name);
            let value = at.and_then(|at| *earlier.get(at)?);
            if let Some(value) = value.filter(|_| ask.calculator.field(field).is_some()) {
                inputs.set_entry(field, crate::input::Entry::Number(crate::input::Measured::exact(value)));
            }
        }
        if problems.is_empty() { Ok(inputs) } else { Err(Refusal { problems }) }
    }

    /// The report behind an ask.
    ///
    /// # Errors
    /// Why these numbers cannot be worked.
    pub fn report(&self, ask: &Ask, numbers: &Numbers, earlier: &[Option<f64>]) -> Result<Report, Refusal> {
        ask.calculator.evaluate(&self.inputs(ask, numbers, earlier)?)
    }

    /// The right answers to all asks, in base units; nothing where the numbers give none.
    ///
    /// Asks that use no earlier answer put the same inputs into the same calculator, which works them once for all.
    pub fn answers(&self, numbers: &Numbers) -> Vec<Option<f64>> {
        let mut answers = Vec::with_capacity(self.asks.len());
        let mut worked: Vec<(&'static str, Option<Report>)> = Vec::new();
        for ask in &self.asks {
            if !ask.uses.is_empty() {
                let report = self.report(ask, numbers, &answers).ok();
                answers.push(report.and_then(|report| ask.answer(&report)));
                continue;
            }
            let known =
                worked.iter().position(|(name, _)| *name == ask.calculator.name).unwrap_or_else(|| {
                    worked.push((ask.calculator.name, self.report(ask, numbers, &[]).ok()));
                    worked.len() - 1
                });
            answers.push(worked[known].1.as_ref().and_then(|report| ask.answer(report)));
        }
        answers
    }

    /// What it is worth.
    pub fn points(&self) -> f64 {
        self.asks.iter().map(|ask| ask.points).sum()
    }
}

impl Ask {
    /// The answer in a report, in the base unit.
    pub fn answer(&self, report: &Report) -> Option<f64> {
        report.answers.iter().find(|answer| answer.output.name == self.output).and_then(|answer| match answer
            .value
        {
            Value::Number(value, _) if value.is_finite() => Some(value),
            _ => None,
        })
    }

    /// How far an answer may be off, in the base unit.
    pub fn allowance(&self, right: f64) -> f64 {
        self.tolerance.allowance(right, self.unit)
    }

    /// A value as it is shown, in the unit wanted and with as many figures as the output has.
    pub fn shown(&self, value: f64) -> String {
        let figures = match self.calculator.output(&self.output).map(|output| &output.kind) {
            Some(OutputKind::Number(_, figures)) => *figures,
            _ => 4,
        };
        let number = crate::number::figures(self.unit.of_base(value), figures);
        // An answer of exactly nothing has no figures to count.
        let number = if value == 0.0 { to_places(0.0, 0) } else { number };
        if self.unit.symbol.is_empty() {
            number
        } else {
            [number.as_str(), "\u{a0}", self.unit.symbol].concat()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_written_without_rounding() {
        let steps = Choices::Steps { from: 10, step: 1, count: 7, places: 3, unit: String::new() };
        let all: Vec<String> = (0..steps.count()).map(|index| steps.text(index)).collect();
        assert_eq!(all, ["0.010", "0.011", "0.012", "0.013", "0.014", "0.015", "0.016"]);
        let cold = Choices::Steps { from: -20, step: 5, count: 3, places: 0, unit: "°C".to_owned() };
        assert_eq!((cold.text(0), cold.text(2)), ("-20 °C".to_owned(), "-10 °C".to_owned()));
        let tenths = Choices::Steps { from: -5, step: 5, count: 3, places: 1, unit: String::new() };
        assert_eq!([tenths.text(0), tenths.text(1), tenths.text(2)], ["-0.5", "0.0", "0.5"]);
    }
}
