//! What students might type: drawn from a seed, the same on every run.

use std::collections::BTreeMap;

use fieldcoil_calc::calculator::{Calculator, Choice, Field, Kind, NumberField};
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::number::{figures, split_unit};
use fieldcoil_calc::refusal::{FieldRefusal, Refusal};
use fieldcoil_calc::report::Report;
use serde_json::{Value, json};

/// Numbers that look random; the same seed gives the same ones (SplitMix64).
pub struct Dice(pub u64);

impl Dice {
    /// A whole number below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.unit() * count as f64) as usize
    }

    /// One of a list.
    pub fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    /// True so many times in a hundred.
    pub fn percent(&mut self, share: usize) -> bool {
        self.below(100) < share
    }

    /// From 0 up to 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// What stands in the boxes of one field.
#[derive(Debug, Clone, PartialEq)]
pub enum Typed {
    /// The three boxes of a number.
    Number {
        /// The number as typed.
        number: String,
        /// What is typed after `±`.
        plus_minus: String,
        /// Symbol of the unit chosen.
        unit: &'static str,
    },
    /// An option of a list.
    Choice(&'static str),
    /// A number typed in place of an option.
    Other(String),
    /// In the box for lines.
    Text(String),
}

/// A filled-in form: each field with what stands in its boxes.
pub type Form = Vec<(&'static Field, Typed)>;

/// A form filled in at random: mostly what could be worked, now and then empty, out of range or no number at all.
pub fn form(calculator: &'static Calculator, dice: &mut Dice) -> Form {
    // What may be left out belongs together more often than not, such as the three figures of a sheet.
    let bare = dice.percent(25);
    let typed = |field: &'static Field| {
        let typed = match &field.kind {
            Kind::Number(number) => draw_number(number, bare, dice),
            Kind::Choice(choice) => match &choice.other {
                Some(other) if dice.percent(20) => Typed::Other(in_range(&other.number, dice)),
                _ => Typed::Choice(dice.one_of::<Choice>(choice.options).key),
            },
            Kind::Text(text) => Typed::Text(match dice.percent(30) {
                true => String::new(),
                false if text.start.is_empty() => text.example.to_owned(),
                false => text.start.to_owned(),
            }),
        };
        (field, typed)
    };
    calculator.fields.iter().map(typed).collect()
}

/// What the library makes of a form: what cannot be read is named first, then what else is wrong, as in a page.
pub fn work(calculator: &'static Calculator, form: &Form) -> Result<Report, Refusal> {
    let mut inputs = Inputs::starting(calculator);
    let unread = form.iter().filter_map(|(field, typed)| {
        match typed {
            Typed::Number { number, plus_minus, unit } => {
                inputs.set_parts(field.name, number, plus_minus, unit)
            }
            Typed::Choice(key) => inputs.set(field.name, key),
            Typed::Other(number) => inputs.set_other(field.name, number),
            Typed::Text(text) => inputs.set(field.name, text),
        }
        .err()
    });
    let mut problems: Vec<FieldRefusal> = unread.collect();
    if problems.is_empty() {
        return calculator.evaluate(&inputs);
    }
    if let Err(refusal) = inputs.check() {
        let named: Vec<&str> = problems.iter().map(|problem| problem.field.name).collect();
        problems.extend(refusal.problems.into_iter().filter(|problem| !named.contains(&problem.field.name)));
    }
    Err(Refusal { problems })
}

/// A fresh form in which these texts were typed, each as the command line takes it: `6 ft`, `AWG 2`, `62 ± 4 A`.
pub fn form_of(calculator: &'static Calculator, set: &BTreeMap<String, String>) -> Form {
    let typed = |field: &'static Field| {
        let text = set.get(field.name).map(String::as_str);
        let typed = match &field.kind {
            Kind::Choice(choice) => {
                let text = text.unwrap_or(choice.start);
                match choice.options.iter().find(|option| option.key == text) {
                    Some(option) => Typed::Choice(option.key),
                    // In the unit of the box.
                    None => Typed::Other(split_unit(text).0.to_owned()),
                }
            }
            Kind::Number(number) => typed_number(number, text),
            Kind::Text(field) => Typed::Text(text.unwrap_or(field.start).to_owned()),
        };
        (field, typed)
    };
    calculator.fields.iter().map(typed).collect()
}

fn typed_number(number: &NumberField, text: Option<&str>) -> Typed {
    let Some(text) = text else {
        let start = number.start.map(|start| start.to_string()).unwrap_or_default();
        return Typed::Number {
            number: start,
            plus_minus: String::new(),
            unit: number.quantity.base().symbol,
        };
    };
    let (reading, part) = text.split_once('±').unwrap_or((text, ""));
    let ((value, unit), (part, part_unit)) = (split_unit(reading), split_unit(part));
    let unit = if unit.is_empty() { part_unit } else { unit };
    let unit =
        if unit.is_empty() { number.quantity.base() } else { number.quantity.unit(unit).expect("a unit") };
    Typed::Number { number: value.to_owned(), plus_minus: part.to_owned(), unit: unit.symbol }
}

/// A form as a page's script takes it.
pub fn as_json(form: &Form) -> Value {
    let field = |(field, typed): &(&Field, Typed)| match typed {
        Typed::Number { number, plus_minus, unit } => {
            json!({ "name": field.name, "number": number, "plus-minus": plus_minus, "unit": unit })
        }
        Typed::Choice(key) => json!({ "name": field.name, "choice": key }),
        Typed::Other(number) => json!({ "name": field.name, "choice": "other", "other": number }),
        Typed::Text(text) => json!({ "name": field.name, "text": text }),
    };
    form.iter().map(field).collect()
}

fn draw_number(number: &NumberField, bare: bool, dice: &mut Dice) -> Typed {
    let unit = dice.one_of(number.quantity.units());
    let text = match dice.below(100) {
        0 => "12,5,0".to_owned(),
        1 => format!("{}", unit.of_base(number.maximum * 1.5 + 1.0)),
        2 => "abc".to_owned(),
        3..6 if !number.required => String::new(),
        _ if bare && !number.required => String::new(),
        _ => digits(unit.of_base(base_value(number, dice)), dice),
    };
    let measured = number.measured && !text.is_empty();
    let plus_minus = match dice.below(6) {
        0 | 1 if measured => digits(unit.of_base(base_value(number, dice)).abs() / 50.0, dice),
        2 if measured => format!("{} % + {}", digits(3.0 * dice.unit(), dice), dice.below(6)),
        _ => String::new(),
    };
    let text = match measured && text.parse::<f64>().is_ok() && dice.percent(10) {
        true => format!("{text}; {text}; {}", digits(unit.of_base(base_value(number, dice)), dice)),
        false => text,
    };
    Typed::Number { number: text, plus_minus, unit: unit.symbol }
}

fn in_range(number: &NumberField, dice: &mut Dice) -> String {
    let value = base_value(number, dice);
    digits(value, dice)
}

/// A value in the field's range, in the base unit: near the starting value more often than anywhere.
fn base_value(number: &NumberField, dice: &mut Dice) -> f64 {
    let anywhere = number.minimum + dice.unit() * (number.maximum - number.minimum);
    let value = match number.start {
        Some(start) if start > 0.0 && dice.percent(70) => start * (0.25 + 2.0 * dice.unit()),
        _ if dice.percent(50) => {
            let part = dice.unit() * dice.unit() * dice.unit() * dice.unit();
            number.minimum + part * (number.maximum - number.minimum)
        }
        _ => anywhere,
    };
    let value = value.clamp(number.minimum, number.maximum);
    if number.quantity == fieldcoil_calc::unit::Quantity::Count { value.floor() } else { value }
}

/// Two to six figures, with a point or a comma.
fn digits(value: f64, dice: &mut Dice) -> String {
    let text = figures(value, 2 + dice.below(5));
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    // Three decimals after a comma could part thousands, which the library refuses and another test types.
    if dice.percent(15) && decimals != 3 { text.replace('.', ",") } else { text }
}
