//! Why inputs are not worked, in the reader's words.

use std::fmt;

use crate::calculator::{Field, Kind, NumberField};
use crate::number::short;

/// Everything that is wrong with a set of inputs, in the order of the form.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Never empty.
    pub problems: Vec<FieldRefusal>,
}

/// One field and what is wrong with it.
#[derive(Debug, Clone)]
pub struct FieldRefusal {
    /// The field.
    pub field: &'static Field,
    /// What is wrong.
    pub problem: Problem,
}

impl PartialEq for FieldRefusal {
    fn eq(&self, other: &Self) -> bool {
        self.field.name == other.field.name && self.problem == other.problem
    }
}

/// What can be wrong with a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Problem {
    /// It must be filled in.
    Missing,
    /// The text is not a number.
    NotANumber(String),
    /// The text has marks between thousands.
    Thousands(String),
    /// The number, in the base unit, is outside the accepted range.
    OutOfRange(f64),
    /// Things are counted in whole numbers.
    NotWhole(f64),
    /// The part after `±` is not a number from zero up, or the field takes none.
    PlusMinus(String),
    /// The unit is not one of the field's.
    Unit(String),
    /// The text is not in the list.
    NotListed(String),
    /// The text has more bytes than this.
    TooLong(usize),
    /// It contradicts other inputs; the sentence says how, and what to do.
    Contradiction(String),
}

impl FieldRefusal {
    /// A refusal of several fields that cannot be true together, shown at this one.
    pub fn contradiction(field: &'static Field, sentence: String) -> Refusal {
        Refusal { problems: vec![FieldRefusal { field, problem: Problem::Contradiction(sentence) }] }
    }

    /// The number field behind the refusal: the field itself, or the number that may replace an option.
    fn number(&self) -> Option<&'static NumberField> {
        match &self.field.kind {
            Kind::Number(number) => Some(number),
            Kind::Choice(choice) => choice.other.as_ref().map(|other| &other.number),
            Kind::Text(_) => None,
        }
    }
}

/// The accepted range in words: `0 A to 2000 A`.
pub fn range_words(number: &NumberField) -> String {
    let unit = number.quantity.base().symbol;
    let bound = |value: f64| {
        let space = if unit.is_empty() || unit == "%" { "" } else { " " };
        format!("{}{space}{unit}", short(value))
    };
    format!("{} to {}", bound(number.minimum), bound(number.maximum))
}

impl fmt::Display for FieldRefusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let label = self.field.label;
        let range = self.number().map(range_words).unwrap_or_default();
        let unit = self.number().map_or("", |number| number.quantity.base().symbol);
        match &self.problem {
            Problem::Missing if range.is_empty() => write!(out, "{label} is empty; fill it in."),
            Problem::TooLong(most) => write!(out, "{label} is too long; accepted are {most} bytes."),
            Problem::Missing => write!(out, "{label} is empty; accepted are {range}."),
            Problem::NotANumber(text) => {
                write!(out, "{label}: “{text}” is not a number; type digits with one decimal point or comma.")
            }
            Problem::Thousands(text) => write!(
                out,
                "{label}: “{text}” has a mark that may part thousands or decimals; leave out thousands marks, \
                 as in 1250 or 1.25."
            ),
            Problem::OutOfRange(value) if !value.is_finite() => {
                write!(out, "{label} is not a number that can be worked; accepted are {range}.")
            }
            Problem::OutOfRange(value) => {
                let why = self.number().map_or("", |number| number.why);
                let value = short(*value);
                let space = if unit.is_empty() { "" } else { " " };
                write!(out, "{label} is {value}{space}{unit}; accepted are {range}")?;
                if why.is_empty() { write!(out, ".") } else { write!(out, " ({why}).") }
            }
            Problem::NotWhole(value) => {
                write!(out, "{label} is {}; accepted are whole numbers, {range}.", short(*value))
            }
            Problem::PlusMinus(text) => {
                write!(
                    out,
                    "{label}: “± {text}” is not accepted; after ± comes a band from 0 to 1e12 such as 2, or what a meter's data sheet says, such as 2 % + 5."
                )
            }
            Problem::Unit(text) => {
                let symbols: Vec<&str> = self
                    .number()
                    .map(|number| number.quantity.units().iter().map(|unit| unit.symbol).collect())
                    .unwrap_or_default();
                match symbols.as_slice() {
                    [one] => write!(out, "{label}: “{text}” is not its unit; write it in {one}."),
                    _ => write!(
                        out,
                        "{label}: “{text}” is not one of its units; they are {}.",
                        symbols.join(", ")
                    ),
                }
            }
            Problem::NotListed(text) => {
                write!(out, "{label}: “{text}” is not in the list; choose ")?;
                let Kind::Choice(choice) = &self.field.kind else { return write!(out, "a number.") };
                let keys: Vec<&str> = choice.options.iter().map(|option| option.key).collect();
                write!(out, "{}", keys.join(", "))?;
                match &choice.other {
                    Some(other) => {
                        let range = range_words(&other.number);
                        write!(
                            out,
                            ", or type a number of {} from {range}.",
                            other.number.quantity.base().symbol
                        )
                    }
                    None => write!(out, "."),
                }
            }
            Problem::Contradiction(sentence) => write!(out, "{label}: {sentence}"),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.problems.iter().enumerate() {
            if index > 0 {
                writeln!(out)?;
            }
            write!(out, "{problem}")?;
        }
        Ok(())
    }
}
