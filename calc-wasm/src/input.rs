//! The inputs of one calculation: what was typed, in base units, with its `±`.

use crate::calculator::{Calculator, ChoiceField, Field, Kind, NumberField, TextField};
use crate::measurement::meter::{self, Spread};
use crate::measurement::propagation::{Effect, Uncertainty, combine};
use crate::measurement::words;
use crate::number::{NumberProblem, parse, plain, short, split_unit};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::unit::{Quantity, Unit};

/// A number in the base unit of its field, and how far it may be off when that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The reading.
    pub value: f64,
    /// What is known about its uncertainty.
    pub spread: Option<Spread>,
}

impl Measured {
    /// A number that is taken as it is.
    pub const fn exact(value: f64) -> Self {
        Measured { value, spread: None }
    }
}

/// What one field holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// Nothing was typed.
    Empty,
    /// A number.
    Number(Measured),
    /// The key of an option.
    Choice(&'static str),
    /// A number typed in place of an option.
    Other(f64),
    /// Lines of text.
    Text(String),
}

/// The inputs of one calculator, one entry for each field.
#[derive(Debug, Clone)]
pub struct Inputs {
    /// Whose fields these are.
    pub calculator: &'static Calculator,
    entries: Vec<Entry>,
    /// The unit in which each number was typed, so that a form shows it as it was meant.
    units: Vec<&'static Unit>,
    /// What is known about the uncertainty of each output, by its name, once it was worked.
    known: Vec<(&'static str, Uncertainty)>,
}

impl Inputs {
    /// A fresh form: every field at its starting value.
    pub fn starting(calculator: &'static Calculator) -> Self {
        let entries = calculator.fields.iter().map(|field| match &field.kind {
            Kind::Number(number) => match number.start {
                Some(value) => Entry::Number(Measured::exact(value)),
                None => Entry::Empty,
            },
            Kind::Choice(choice) => Entry::Choice(choice.start),
            Kind::Text(text) => text_entry(text.start),
        });
        let units = calculator.fields.iter().map(|field| match &field.kind {
            Kind::Number(number) => {
                number.quantity.unit(number.form_unit).unwrap_or_else(|| number.quantity.base())
            }
            Kind::Choice(ChoiceField { other: Some(other), .. }) => other.number.quantity.base(),
            Kind::Choice(_) | Kind::Text(_) => Quantity::Count.base(),
        });
        Inputs { calculator, entries: entries.collect(), units: units.collect(), known: Vec::new() }
    }

    /// Sets a field from one text, as the command line and lessons give it: `180`, `6 ft`, `78 ± 2 A`, `AWG 2/0`.
    ///
    /// # Panics
    /// When the calculator has no field of this name: callers look the name up first.
    pub fn set(&mut self, name: &str, text: &str) -> Result<(), FieldRefusal> {
        let index = self.index(name);
        let field = &self.calculator.fields[index];
        let parsed = match &field.kind {
            Kind::Number(number) => parse_number(number, text),
            Kind::Choice(choice) => parse_choice(choice, text).map(|entry| (entry, None)),
            Kind::Text(_) => Ok((text_entry(text), None)),
        };
        self.take(index, parsed)
    }

    /// Sets a number field from the three boxes of a form: number, `±` and the symbol of the unit.
    ///
    /// # Panics
    /// As [`set`](Inputs::set).
    pub fn set_parts(
        &mut self,
        name: &str,
        number: &str,
        plus_minus: &str,
        unit: &str,
    ) -> Result<(), FieldRefusal> {
        let index = self.index(name);
        let field = &self.calculator.fields[index];
        let Kind::Number(kind) = &field.kind else { return self.set(name, number) };
        self.take(index, parse_parts(kind, number, plus_minus, unit))
    }

    /// Sets a choice field to a number typed in place of an option, even when an option has that number.
    ///
    /// # Panics
    /// As [`set`](Inputs::set), and when the field takes no such number.
    pub fn set_other(&mut self, name: &str, number: &str) -> Result<(), FieldRefusal> {
        let index = self.index(name);
        let field = &self.calculator.fields[index];
        let Kind::Choice(ChoiceField { other: Some(other), .. }) = &field.kind else {
            panic!("`{name}` takes no number in place of an option")
        };
        let (value, unit) = split_unit(number);
        let problem = match parse_parts(&other.number, value, "", unit) {
            Ok((Entry::Number(measured), _)) => {
                self.entries[index] = Entry::Other(measured.value);
                return Ok(());
            }
            Ok(_) if number.trim().is_empty() => Problem::Missing,
            Ok(_) => Problem::NotANumber(number.trim().to_owned()),
            Err(problem) => problem,
        };
        Err(FieldRefusal { field, problem })
    }

    /// Sets what a field holds, already in the base unit.
    ///
    /// # Panics
    /// As [`set`](Inputs::set).
    pub fn set_entry(&mut self, name: &str, entry: Entry) {
        let index = self.index(name);
        self.entries[index] = entry;
    }

    /// The fields with what they hold, in the order of the form.
    pub fn entries(&self) -> impl Iterator<Item = (&'static Field, &Entry)> {
        self.calculator.fields.iter().zip(&self.entries)
    }

    /// What a field holds.
    ///
    /// # Panics
    /// As [`set`](Inputs::set).
    pub fn entry(&self, name: &str) -> &Entry {
        &self.entries[self.index(name)]
    }

    /// A number field's reading, if one was typed.
    pub fn optional(&self, name: &str) -> Option<Measured> {
        match self.entry(name) {
            Entry::Number(measured) => Some(*measured),
            _ => None,
        }
    }

    /// A required number field's value.
    ///
    /// # Panics
    /// When it is empty: `check` refuses that before any function runs.
    pub fn number(&self, name: &str) -> f64 {
        self.optional(name).expect("`check` refuses empty required fields").value
    }

    /// The key of the option chosen; the start option when a number was typed in its place.
    pub fn choice(&self, name: &str) -> &'static str {
        match (self.entry(name), &self.calculator.fields[self.index(name)].kind) {
            (Entry::Choice(key), _) => key,
            (_, Kind::Choice(choice)) => choice.start,
            (_, Kind::Number(_) | Kind::Text(_)) => "",
        }
    }

    /// The lines of a text field; empty when nothing was typed.
    pub fn text(&self, name: &str) -> &str {
        match self.entry(name) {
            Entry::Text(text) => text,
            _ => "",
        }
    }

    /// The field of this name, for refusals.
    ///
    /// # Panics
    /// As [`set`](Inputs::set).
    pub fn field(&self, name: &str) -> &'static Field {
        &self.calculator.fields[self.index(name)]
    }

    /// The unit in which a form shows a field: the one it was typed in, or the one of a fresh form.
    ///
    /// # Panics
    /// As [`set`](Inputs::set).
    pub fn shown_unit(&self, name: &str) -> &'static Unit {
        self.units[self.index(name)]
    }

    /// The same inputs, with what was found about the uncertainty of each output.
    pub(crate) fn knowing(&self, known: Vec<(&'static str, Uncertainty)>) -> Self {
        Inputs { known, ..self.clone() }
    }

    /// The uncertainty of an output, when some reading has one; the function is worked a second time with it.
    pub fn uncertainty(&self, output: &str) -> Option<Uncertainty> {
        self.known.iter().find(|(name, _)| *name == output).map(|(_, uncertainty)| *uncertainty)
    }

    /// The uncertainty of a reading itself.
    pub fn uncertainty_of_reading(&self, name: &str) -> Option<Uncertainty> {
        let reading = self.optional(name)?;
        let effects: Vec<Effect> = reading
            .spread?
            .causes(reading.value)
            .iter()
            .map(|cause| Effect {
                size: cause.standard,
                freedom: cause.freedom,
                group: None,
                bounded: cause.kind != meter::Kind::Scatter,
            })
            .collect();
        Some(Uncertainty::of(combine(&effects)))
    }

    /// Is every required field filled in, and every number in its range?
    pub fn check(&self) -> Result<(), Refusal> {
        let problems: Vec<_> = self
            .entries()
            .filter_map(|(field, entry)| {
                check_entry(field, entry).map(|problem| FieldRefusal { field, problem })
            })
            .collect();
        if problems.is_empty() { Ok(()) } else { Err(Refusal { problems }) }
    }

    /// Keeps what was read; a number typed without a unit is shown in the unit that the form had.
    fn take(&mut self, index: usize, parsed: Parsed) -> Result<(), FieldRefusal> {
        let field = &self.calculator.fields[index];
        let (entry, unit) = parsed.map_err(|problem| FieldRefusal { field, problem })?;
        self.entries[index] = entry;
        self.units[index] = unit.unwrap_or(self.units[index]);
        Ok(())
    }

    fn index(&self, name: &str) -> usize {
        self.calculator
            .fields
            .iter()
            .position(|field| field.name == name)
            .unwrap_or_else(|| panic!("`{}` has no field `{name}`", self.calculator.name))
    }
}

/// What a field holds as one text that [`Inputs::set`] reads back: in base units, without the unit of a number.
pub fn entry_text(field: &Field, entry: &Entry) -> String {
    match entry {
        Entry::Empty => String::new(),
        Entry::Number(Measured { value, spread: None }) => short(*value),
        Entry::Number(Measured { value, spread: Some(spread) }) => {
            format!("{} ± ({})", short(*value), words::written(*spread))
        }
        Entry::Choice(key) => (*key).to_owned(),
        Entry::Text(text) => text.clone(),
        Entry::Other(value) => match &field.kind {
            Kind::Choice(ChoiceField { other: Some(other), .. }) => {
                format!("{} {}", short(*value), other.number.quantity.base().symbol)
            }
            _ => short(*value),
        },
    }
}

fn check_entry(field: &Field, entry: &Entry) -> Option<Problem> {
    match (&field.kind, entry) {
        (Kind::Number(NumberField { required: true, .. }), Entry::Empty) => Some(Problem::Missing),
        (Kind::Text(TextField { required: true, .. }), Entry::Empty) => Some(Problem::Missing),
        (Kind::Text(field), Entry::Text(text)) if text.len() > field.most_bytes => {
            Some(Problem::TooLong(field.most_bytes))
        }
        (Kind::Number(number), Entry::Number(Measured { value, spread })) => check_number(number, *value)
            .or_else(|| {
                spread
                    .filter(|spread| !(number.measured && spread.is_sound()))
                    .map(|spread| Problem::PlusMinus(words::written(spread)))
            }),
        (Kind::Choice(ChoiceField { other: Some(other), .. }), Entry::Other(value)) => {
            check_number(&other.number, *value)
        }
        _ => None,
    }
}

fn text_entry(text: &str) -> Entry {
    if text.trim().is_empty() { Entry::Empty } else { Entry::Text(text.to_owned()) }
}

fn check_number(number: &NumberField, value: f64) -> Option<Problem> {
    if !(value >= number.minimum && value <= number.maximum) {
        Some(Problem::OutOfRange(value))
    } else if number.quantity == Quantity::Count && value.fract() != 0.0 {
        Some(Problem::NotWhole(value))
    } else {
        None
    }
}

/// What was typed, and the unit that was typed with it.
type Parsed = Result<(Entry, Option<&'static Unit>), Problem>;

fn parse_number(number: &NumberField, text: &str) -> Parsed {
    let text = text.trim();
    let (reading, plus_minus) = match text.split_once('±').or_else(|| text.split_once("+-")) {
        Some((reading, part)) if part.trim().is_empty() => {
            return if reading.trim().is_empty() {
                Err(Problem::Missing)
            } else {
                Err(Problem::PlusMinus(String::new()))
            };
        }
        Some((reading, part)) => (reading, part),
        None => (text, ""),
    };
    // A unit may stand after the number, after the `±` part, or after both.
    let (values, unit) = readings_and_unit(reading)?;
    let (part, part_unit) = spread_and_unit(number.quantity, plus_minus);
    if values.is_empty() && !reading.trim().is_empty() {
        return Err(Problem::NotANumber(reading.trim().to_owned()));
    }
    let unit = if unit.is_empty() { part_unit } else { unit };
    // `1.5 % + 0.5 A` is a band of half an ampere; `(2 % + 5) A` is a meter's data sheet with counts.
    let is_band = !part_unit.is_empty() && !part.ends_with(')');
    let (entry, typed_unit) = parse_with(number, &values, part, unit, is_band)?;
    match (entry, number.quantity.span_factor(part_unit)) {
        // `180 A ± 500 mA`: the band has a unit of its own.
        (Entry::Number(Measured { value, spread: Some(spread) }), Some(factor)) if part_unit != unit => {
            let reading_unit = typed_unit.unwrap_or_else(|| number.quantity.base());
            let within = spread.within * factor / reading_unit.factor;
            Ok((Entry::Number(Measured { value, spread: Some(Spread { within, ..spread }) }), typed_unit))
        }
        (_, None) if !part_unit.is_empty() => Err(Problem::Unit(part_unit.to_owned())),
        (entry, _) => Ok((entry, typed_unit)),
    }
}

/// Splits `62.1; 61.8 A; 62.4 A` into the readings and their one unit; a mark at the end parts nothing.
fn readings_and_unit(text: &str) -> Result<(String, &str), Problem> {
    let (mut values, mut unit) = (Vec::new(), "");
    for part in text.split(';').filter(|part| !part.trim().is_empty()) {
        let (value, own) = split_unit(part);
        if !own.is_empty() {
            if !unit.is_empty() && own != unit {
                return Err(Problem::Unit(own.to_owned()));
            }
            unit = own;
        }
        if value.is_empty() {
            return Err(Problem::NotANumber(part.trim().to_owned()));
        }
        values.push(value);
    }
    Ok((values.join(";"), unit))
}

/// Splits `2 % + 5 A` into what is said and the unit that stands last, if one does.
fn spread_and_unit(quantity: Quantity, text: &str) -> (&str, &str) {
    let text = text.trim();
    let starts = text.char_indices().filter(|(_, c)| !c.is_ascii_digit() && !matches!(c, '.' | ',' | ' '));
    for (at, _) in starts {
        let tail = &text[at..];
        if tail != "%" && quantity.span_factor(tail).is_some() {
            return (text[..at].trim_end(), tail);
        }
    }
    // Nothing known: a bare number with a word behind it is a wrong unit, and is named as one.
    let (value, rest) = split_unit(text);
    let is_word =
        rest.chars().all(|c| c.is_alphabetic() || c == '°') && words::read(text, 1.0, false).is_none();
    if !rest.is_empty() && is_word { (value, rest) } else { (text, "") }
}

fn parse_parts(number: &NumberField, value: &str, plus_minus: &str, unit: &str) -> Parsed {
    parse_with(number, value, plus_minus, unit, false)
}

fn parse_with(
    number: &NumberField,
    value: &str,
    plus_minus: &str,
    unit: &str,
    spread_has_unit: bool,
) -> Parsed {
    let typed_unit = match unit.trim() {
        "" => None,
        text => Some(number.quantity.unit(text).ok_or_else(|| Problem::Unit(text.to_owned()))?),
    };
    let unit = typed_unit.unwrap_or_else(|| number.quantity.base());
    let plus_minus = plus_minus.trim();
    if value.trim().is_empty() {
        return if plus_minus.is_empty() { Ok((Entry::Empty, typed_unit)) } else { Err(Problem::Missing) };
    }
    let refused = || Problem::PlusMinus(plus_minus.to_owned());
    let (reading, repeated, resolution) = parse_readings(value)?;
    let mut spread = match plus_minus {
        "" => None,
        text => Some(words::read(text, resolution, spread_has_unit).ok_or_else(refused)?),
    };
    if repeated.is_some() {
        spread.get_or_insert(Spread::within(0.0)).repeated = repeated;
    }
    if spread.is_some() && !number.measured {
        return Err(match plus_minus {
            "" => Problem::NotANumber(value.trim().to_owned()),
            _ => refused(),
        });
    }
    let spread = spread.map(|spread| spread.scaled(unit.factor));
    Ok((Entry::Number(Measured { value: unit.to_base(reading), spread }), typed_unit))
}

/// One reading, or several of the same thing parted by `;`: their mean, what they say about it, and the last digit.
fn parse_readings(text: &str) -> Result<(f64, Option<meter::Repeated>, f64), Problem> {
    let mut readings = Vec::new();
    let mut resolution: f64 = 0.0;
    for part in text.split(';').filter(|part| !part.trim().is_empty()) {
        readings.push(parse(part).map_err(|problem| number_problem(problem, part))?);
        resolution = resolution.max(plain(part).map_or(0.0, |plain| words::last_digit(&plain)));
    }
    match meter::repeated(&readings) {
        Some((mean, repeated)) => Ok((mean, Some(repeated), resolution)),
        None => Ok((readings[0], None, resolution)),
    }
}

fn parse_choice(choice: &ChoiceField, text: &str) -> Result<Entry, Problem> {
    let wanted = squeezed(text);
    if let Some(option) = choice.options.iter().find(|option| squeezed(option.key) == wanted) {
        return Ok(Entry::Choice(option.key));
    }
    let Some(other) = &choice.other else { return Err(Problem::NotListed(text.trim().to_owned())) };
    let (value, unit) = split_unit(text);
    if value.is_empty() {
        return Err(Problem::NotListed(text.trim().to_owned()));
    }
    match parse_parts(&other.number, value, "", unit)? {
        (Entry::Number(measured), _) => Ok(Entry::Other(measured.value)),
        _ => Err(Problem::NotListed(text.trim().to_owned())),
    }
}

/// Lower case without spaces, so that `2/0 awg` and `35mm²` are found. Options are written in ASCII but for `²`.
fn squeezed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().filter(|c| !matches!(c, ' ' | '\t' | '\u{a0}' | '\u{202f}')) {
        out.push(if c == '²' { '2' } else { c.to_ascii_lowercase() });
    }
    match out.strip_suffix("awg") {
        Some(size) if !size.is_empty() => ["awg", size].concat(),
        _ => out,
    }
}

fn number_problem(problem: NumberProblem, text: &str) -> Problem {
    match problem {
        NumberProblem::NotANumber => Problem::NotANumber(text.trim().to_owned()),
        NumberProblem::Thousands => Problem::Thousands(text.trim().to_owned()),
    }
}
