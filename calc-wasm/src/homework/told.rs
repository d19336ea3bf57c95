//! A drawn or given value as a reader sees it: a number with its unit, an option by its label.

use super::item::{Item, Numbers};
use crate::calculator::Kind;
use crate::number::split_unit;

impl Item {
    /// A field's text as a reader sees it: a number with the unit of its field when it has none, an option by its label.
    pub fn told(&self, field: &str, text: &str) -> String {
        let own = self.asks.iter().find_map(|ask| ask.calculator.field(field));
        match own.map(|field| &field.kind) {
            Some(Kind::Choice(choice)) => {
                let option = choice.options.iter().find(|option| option.key == text);
                option.map_or(text, |option| option.label).to_owned()
            }
            Some(Kind::Number(number)) => {
                let (figures, written) = split_unit(text);
                let unit = if written.is_empty() { number.quantity.base().symbol } else { written };
                let figures = figures.trim();
                if unit.is_empty() || figures.is_empty() {
                    text.to_owned()
                } else {
                    [figures, "\u{a0}", unit].concat()
                }
            }
            _ => text.to_owned(),
        }
    }

    /// All of a student's numbers as a reader sees them: fields and texts.
    pub fn told_all(&self, numbers: &Numbers) -> Numbers {
        numbers.iter().map(|(field, text)| (field.clone(), self.told(field, text))).collect()
    }
}
