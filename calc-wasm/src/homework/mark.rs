//! What an answer is worth: right, right but for the power of ten or the unit, right by the student's own earlier answer.

use super::item::{Ask, Item, Numbers};
use crate::number::{parse, split_unit};
use crate::unit::{Quantity, Unit};

/// What was typed for one ask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Typed<'t> {
    /// Nothing.
    Blank,
    /// A number, and a unit when one was written that belongs to the quantity.
    Number {
        /// In the base unit, when it has a unit of the quantity; else as it would be in the unit wanted.
        value: f64,
        /// Did it have such a unit?
        unit: bool,
    },
    /// Something that is no number.
    Unreadable(&'t str),
}

/// How an answer was judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Within the tolerance.
    Right,
    /// Within the tolerance of what follows from the student's own earlier answers.
    Follows,
    /// The right figures, and another power of ten.
    Power,
    /// The right number, with a wrong unit or none.
    Unit,
    /// None of these.
    Wrong,
    /// Nothing was answered.
    Blank,
    /// It is no number.
    Unreadable,
    /// The numbers of this problem give no answer: nothing is taken off.
    NoAnswer,
}

/// One answer, marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// How it was judged.
    pub verdict: Verdict,
    /// What it is worth.
    pub points: f64,
    /// What was answered, in the base unit, when it was a number.
    pub given: Option<f64>,
    /// What is right, in the base unit.
    pub right: Option<f64>,
}

/// Powers of ten by which a figure is off when a prefix was forgotten or a decimal mark slipped.
const SLIPS: [f64; 8] = [1e-6, 1e-3, 1e-2, 1e-1, 1e1, 1e2, 1e3, 1e6];

impl Verdict {
    /// The name that gradebooks use.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Right => "right",
            Verdict::Follows => "follows",
            Verdict::Power => "power-of-ten",
            Verdict::Unit => "unit",
            Verdict::Wrong => "wrong",
            Verdict::Blank => "blank",
            Verdict::Unreadable => "unreadable",
            Verdict::NoAnswer => "no-answer",
        }
    }

    /// What it means, for the student.
    pub fn says(self) -> &'static str {
        match self {
            Verdict::Right => "Right.",
            Verdict::Follows => "Right for what you found before.",
            Verdict::Power => {
                "The figures are right. The power of ten is not: look at the prefix of the unit."
            }
            Verdict::Unit => "The number is right. Its unit is missing or wrong.",
            Verdict::Wrong => "Not right yet.",
            Verdict::Blank => "Nothing was answered.",
            Verdict::Unreadable => "This is no number with a unit.",
            Verdict::NoAnswer => "This problem has no answer with these numbers. Tell your instructor.",
        }
    }
}

/// Reads an answer: a number with a decimal point or comma, and a unit of the quantity.
pub fn read<'t>(text: &'t str, quantity: Quantity, wanted: &Unit) -> Typed<'t> {
    let text = text.trim();
    if text.is_empty() {
        return Typed::Blank;
    }
    let (number, symbol) = split_unit(text);
    let Some(value) = parse(number).ok().filter(|value| value.is_finite()) else {
        return Typed::Unreadable(text);
    };
    let unit = quantity.unit(symbol);
    match unit {
        Some(unit) if !symbol.is_empty() || unit.symbol.is_empty() => {
            Typed::Number { value: unit.to_base(value), unit: true }
        }
        _ => Typed::Number {
            value: wanted.to_base(value),
            unit: wanted.symbol.is_empty() && symbol.is_empty(),
        },
    }
}

/// Marks the answers to all asks of an item, in their order.
pub fn mark(item: &Item, numbers: &Numbers, typed: &[Typed]) -> Vec<Mark> {
    let all_right = item.answers(numbers);
    let given: Vec<Option<f64>> = typed
        .iter()
        .map(|typed| match typed {
            Typed::Number { value, .. } => Some(*value),
            _ => None,
        })
        .collect();
    let mut marks = Vec::with_capacity(item.asks.len());
    for (at, ask) in item.asks.iter().enumerate() {
        let typed = typed.get(at).copied().unwrap_or(Typed::Blank);
        let verdict = match (all_right[at], typed) {
            (None, _) => Verdict::NoAnswer,
            (_, Typed::Blank) => Verdict::Blank,
            (_, Typed::Unreadable(_)) => Verdict::Unreadable,
            (Some(right), Typed::Number { value, unit }) => {
                // What follows from a wrong answer before is right in itself.
                let follows = || {
                    if ask.uses.is_empty() {
                        return None;
                    }
                    let earlier: Vec<Option<f64>> =
                        given.iter().zip(&all_right).map(|(given, right)| given.or(*right)).collect();
                    let report = item.report(ask, numbers, &earlier[..at]).ok()?;
                    ask.answer(&report)
                };
                judge(ask, value, unit, right, follows)
            }
        };
        let share = match verdict {
            Verdict::Right | Verdict::Follows | Verdict::NoAnswer => 1.0,
            Verdict::Power => ask.for_power,
            Verdict::Unit => ask.for_unit,
            Verdict::Wrong | Verdict::Blank | Verdict::Unreadable => 0.0,
        };
        let points = share * ask.points;
        marks.push(Mark { verdict, points, given: given.get(at).copied().flatten(), right: all_right[at] });
    }
    marks
}

/// Judges a number by itself: how it stands to the right one, of which `band` is how far it may be off.
pub fn against(value: f64, unit: bool, right: f64, band: f64) -> Verdict {
    let fits = |value: f64| (value - right).abs() <= band;
    if fits(value) {
        return if unit { Verdict::Right } else { Verdict::Unit };
    }
    let slipped = right != 0.0 && SLIPS.iter().any(|slip| fits(value * slip));
    if slipped { Verdict::Power } else { Verdict::Wrong }
}

fn judge(ask: &Ask, value: f64, unit: bool, right: f64, follows: impl FnOnce() -> Option<f64>) -> Verdict {
    let verdict = against(value, unit, right, ask.allowance(right));
    if matches!(verdict, Verdict::Right | Verdict::Unit) {
        return verdict;
    }
    let fits = |value: f64, right: f64| (value - right).abs() <= ask.allowance(right);
    if let Some(own) = follows().filter(|own| fits(value, *own)) {
        // The same answer with the unit left out is marked as such in its own right.
        return if unit || fits(own, right) { Verdict::Follows } else { Verdict::Unit };
    }
    verdict
}

#[cfg(test)]
mod tests;
