//! A calculated number as a page, a plain text and a formula show it.

use fieldcoil_calc::calculator::{Field, Kind, OutputKind};
use fieldcoil_calc::input::{Entry, Inputs};
use fieldcoil_calc::measurement::rounding::rounded;
use fieldcoil_calc::measurement::words::written;
use fieldcoil_calc::number::{figures, short};
use fieldcoil_calc::report::{Answer, Value};
use fieldcoil_calc::unit::{Quantity, Unit};
use fieldcoil_calc::view::escape;

/// How a reference wants its number.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted<'w> {
    /// In this unit.
    pub unit: Option<&'w str>,
    /// With so many figures.
    pub figures: Option<usize>,
    /// Without its unit.
    pub bare: bool,
}

/// What stands in the place of a reference.
#[derive(Debug, PartialEq)]
pub struct Number {
    /// `0.259`, `62 ± 4`, or words.
    words: String,
    /// Its unit, perhaps empty.
    unit: &'static str,
    /// In the base unit; nothing for words.
    value: Option<f64>,
}

/// Why there is no number.
#[derive(Debug, PartialEq)]
pub enum Lack {
    /// It has no such unit; these are the ones it has. None at all for words.
    Unit(&'static [Unit]),
    /// It is words, which have no figures.
    Words,
    /// The field is empty, or holds lines of text.
    Nothing,
}

impl Number {
    /// The answer to an output.
    pub fn of_answer(answer: &Answer, wanted: Wanted) -> Result<Number, Lack> {
        match (&answer.value, &answer.output.kind) {
            (Value::Number(value, uncertainty), OutputKind::Number(quantity, digits)) => {
                let unit = unit(*quantity, wanted, quantity.reading_unit(*value))?;
                let number = unit.of_base(*value);
                let words = match (uncertainty, wanted) {
                    (_, Wanted { figures: Some(count), .. }) => figures(number, count),
                    (None, _) => figures(number, *digits),
                    (Some(uncertainty), _) => {
                        let (number, part) = rounded(number, uncertainty.expanded / unit.factor);
                        if wanted.bare { number } else { format!("{number} ± {part}") }
                    }
                };
                Ok(Number::new(words, unit, *value, wanted))
            }
            (Value::Text(words), _) => Number::of_words(words, wanted),
            (Value::State(state), _) => Number::of_words(state.words(), wanted),
            (Value::Number(..), _) => Err(Lack::Nothing),
        }
    }

    /// What a field holds.
    pub fn of_field(field: &Field, inputs: &Inputs, wanted: Wanted) -> Result<Number, Lack> {
        match (inputs.entry(field.name), &field.kind) {
            (Entry::Number(measured), Kind::Number(kind)) => {
                let unit = unit(kind.quantity, wanted, inputs.shown_unit(field.name))?;
                let number = unit.of_base(measured.value);
                let mut words = wanted.figures.map_or_else(|| short(number), |count| figures(number, count));
                if let (Some(spread), None, false) = (measured.spread, wanted.figures, wanted.bare) {
                    words = format!("{words} ± {}", written(spread.scaled(1.0 / unit.factor)));
                }
                Ok(Number::new(words, unit, measured.value, wanted))
            }
            (Entry::Choice(key), Kind::Choice(choice)) => {
                let option = choice.options.iter().find(|option| option.key == *key);
                Number::of_words(option.map_or(key, |option| option.label), wanted)
            }
            (Entry::Other(value), Kind::Choice(choice)) => {
                let quantity = choice.other.as_ref().map_or(Quantity::Count, |other| other.number.quantity);
                let unit = unit(quantity, wanted, quantity.base())?;
                let number = unit.of_base(*value);
                let words = wanted.figures.map_or_else(|| short(number), |count| figures(number, count));
                Ok(Number::new(words, unit, *value, wanted))
            }
            _ => Err(Lack::Nothing),
        }
    }

    /// A number that a list has in this unit.
    pub fn said(value: f64, quantity: Quantity, own: &'static Unit, wanted: Wanted) -> Result<Number, Lack> {
        let base = own.to_base(value);
        // Without a word about its unit it stays as the list has it.
        let unit = if wanted.unit.is_some() { unit(quantity, wanted, own)? } else { own };
        let number = if unit == own { value } else { unit.of_base(base) };
        let words = wanted.figures.map_or_else(|| short(number), |count| figures(number, count));
        Ok(Number::new(words, unit, base, wanted))
    }

    fn new(words: String, unit: &'static Unit, value: f64, wanted: Wanted) -> Number {
        Number { words, unit: if wanted.bare { "" } else { unit.symbol }, value: Some(value) }
    }

    fn of_words(words: &str, wanted: Wanted) -> Result<Number, Lack> {
        match wanted {
            Wanted { unit: Some(_), .. } => Err(Lack::Unit(&[])),
            Wanted { figures: Some(_), .. } | Wanted { bare: true, .. } => Err(Lack::Words),
            _ => Ok(Number { words: words.to_owned(), unit: "", value: None }),
        }
    }

    /// As a plain text has it: number and unit do not part at the end of a line.
    pub fn plain(&self) -> String {
        match self.unit {
            "" => self.words.clone(),
            unit => format!("{}\u{a0}{unit}", self.words.replace(' ', "\u{a0}")),
        }
    }

    /// As a page has it.
    pub fn html(&self) -> String {
        let mut words = String::new();
        escape(&mut words, &self.plain());
        match self.value {
            Some(value) => {
                let value = short(value).replace('−', "-");
                format!("<data class=\"calculated\" value=\"{value}\">{words}</data>")
            }
            None => format!("<span class=\"calculated\">{words}</span>"),
        }
    }

    /// As a formula has it.
    pub fn latex(&self) -> String {
        if self.value.is_none() {
            return in_text(&self.words);
        }
        let number = self.words.replace('−', "-").replace('±', "\\pm ").replace('%', "\\%");
        match self.unit {
            "" => number,
            unit => format!("{number}\\ {}", in_text(unit)),
        }
    }
}

fn in_text(words: &str) -> String {
    let mut out = String::from("\\text{");
    for c in words.chars() {
        if matches!(c, '%' | '_' | '&' | '#' | '{' | '}' | '$') {
            out.push('\\');
        }
        out.push(c);
    }
    out.push('}');
    out
}

fn unit(quantity: Quantity, wanted: Wanted, usual: &'static Unit) -> Result<&'static Unit, Lack> {
    match wanted.unit {
        // A number without a unit is in the one that its name ends in, so that sums can be written.
        None if wanted.bare => Ok(quantity.base()),
        None => Ok(usual),
        Some(symbol) => quantity.unit(symbol).ok_or(Lack::Unit(quantity.units())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_reads_alike_in_page_text_and_formula() {
        let (milli, percent) = (&Quantity::Voltage.units()[1], Quantity::Percent.base());
        let twelve = |wanted| Number::new("12".to_owned(), percent, 12.0, wanted);
        let number = Number::new("−0.25".to_owned(), milli, -0.00025, Wanted::default());
        assert_eq!(number.plain(), "−0.25\u{a0}mV");
        assert_eq!(number.html(), "<data class=\"calculated\" value=\"-0.00025\">−0.25\u{a0}mV</data>");
        assert_eq!(number.latex(), "-0.25\\ \\text{mV}");
        assert_eq!(twelve(Wanted { bare: true, ..Wanted::default() }).plain(), "12");
        assert_eq!(twelve(Wanted::default()).latex(), "12\\ \\text{\\%}");
    }
}
