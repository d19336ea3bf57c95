//! What a calculator is: fields, outputs and one function from checked inputs to a report.

use crate::input::Inputs;
use crate::quantity::{Ampere, Ohm, Volt};
use crate::refusal::Refusal;
use crate::report::{Report, show};
use crate::unit::Quantity;

pub mod bench_verdict;
pub mod cranking_speed;
pub mod expected_draw;
pub mod solenoid_coils;
pub mod source_load;
pub mod trace_reading;
mod uncertain;
pub mod voltage_drop;
pub mod winding_temperature;

/// One calculator. Its form, its limits, `work`, pre-computed results and answer keys all follow from this value.
#[derive(Debug)]
pub struct Calculator {
    /// The name that lessons and the command line use: `voltage-drop`.
    pub name: &'static str,
    /// What stands above the form.
    pub title: &'static str,
    /// One sentence: what it works out.
    pub summary: &'static str,
    /// What is typed, in the order of the form.
    pub fields: &'static [Field],
    /// What is given, the most wanted first.
    pub outputs: &'static [Output],
    /// From inputs whose ranges have been checked to a report.
    pub function: fn(&Inputs) -> Result<Report, Refusal>,
}

/// One thing that is typed or chosen.
#[derive(Debug)]
pub struct Field {
    /// Snake case, ending in the base unit: `current_a`.
    pub name: &'static str,
    /// What stands before the box: `Current`.
    pub label: &'static str,
    /// The letter that formulas use for it, or nothing.
    pub symbol: &'static str,
    /// The heading under which the form groups it.
    pub group: &'static str,
    /// One sentence that helps to find the value.
    pub help: &'static str,
    /// Number or choice, with what is accepted.
    pub kind: Kind,
}

/// How a field is filled in.
#[derive(Debug)]
pub enum Kind {
    /// A number with a unit.
    Number(NumberField),
    /// One of a list.
    Choice(ChoiceField),
    /// Lines of text that the calculator reads itself.
    Text(TextField),
}

/// A field for lines of text: a list of things, or a recording.
#[derive(Debug)]
pub struct TextField {
    /// What stands in a fresh form; `""` for nothing.
    pub start: &'static str,
    /// An example of what is accepted, a line.
    pub example: &'static str,
    /// Can the calculation go without it?
    pub required: bool,
    /// May a file be chosen in its place?
    pub file: bool,
    /// Most bytes that are accepted.
    pub most_bytes: usize,
}

/// A number field: every number between the two bounds is accepted, the bounds with it.
#[derive(Debug)]
pub struct NumberField {
    /// What kind of quantity; its base unit is the one in the field's name.
    pub quantity: Quantity,
    /// Smallest accepted value, in the base unit.
    pub minimum: f64,
    /// Greatest accepted value, in the base unit.
    pub maximum: f64,
    /// Why the bounds are what they are.
    pub why: &'static str,
    /// Symbol of the unit in which a fresh form shows it; empty for the base unit.
    pub form_unit: &'static str,
    /// Value in a fresh form, in the base unit.
    pub start: Option<f64>,
    /// Can the calculation go without it?
    pub required: bool,
    /// Is it read from a meter, so that it may carry `±`?
    pub measured: bool,
}

/// A field in which one of a list is chosen.
#[derive(Debug)]
pub struct ChoiceField {
    /// The list, in order.
    pub options: &'static [Choice],
    /// Key of the option in a fresh form.
    pub start: &'static str,
    /// A number that may be typed in place of an option (`27 mm²`), or nothing.
    pub other: Option<OtherChoice>,
}

/// One option of a list.
#[derive(Debug, PartialEq)]
pub struct Choice {
    /// What is stored, linked and typed: `AWG 2/0`.
    pub key: &'static str,
    /// What is shown.
    pub label: &'static str,
}

/// A number in place of an option of a list.
#[derive(Debug)]
pub struct OtherChoice {
    /// The option that opens the box: `Another area`.
    pub label: &'static str,
    /// Unit, bounds and reason of the number; never measured.
    pub number: NumberField,
}

/// One thing that a calculator gives.
#[derive(Debug)]
pub struct Output {
    /// Snake case, ending in the base unit: `drop_v`; without a unit for words.
    pub name: &'static str,
    /// What stands before the value.
    pub label: &'static str,
    /// Number or words.
    pub kind: OutputKind,
    /// Is it shown large, as a meter shows it? The others stand in a table below.
    pub reading: bool,
    /// Does the uncertainty of the readings make it uncertain? Not so for a rule or a probability.
    pub uncertain: bool,
}

/// What an output holds.
#[derive(Debug)]
pub enum OutputKind {
    /// A number of this quantity, shown with so many significant figures.
    Number(Quantity, usize),
    /// Words.
    Text,
    /// The state of one reading or of the whole.
    State,
}

/// The choice that a calculator offers where one meter may have taken several readings of a quantity: then they are
/// off alike, and their difference or ratio is surer than each of them.
const METERS: Field = Field {
    name: "meters",
    label: "Meters",
    symbol: "",
    group: "How it was read",
    help: on_form(
        "With one meter for all readings of a quantity, its scale is off alike in all of them. Matters only where ± is given in %.",
    ),
    kind: Kind::Choice(ChoiceField {
        options: &[
            Choice::new(uncertain::ONE_METER, "One meter for each quantity"),
            Choice::new("several-meters", "A meter for each reading"),
        ],
        start: uncertain::ONE_METER,
        other: None,
    }),
};

/// A text that only the generator writes into forms: the module that works in the page does without it.
const fn on_form(text: &'static str) -> &'static str {
    if cfg!(target_arch = "wasm32") { "" } else { text }
}

impl Output {
    const fn number(name: &'static str, label: &'static str, quantity: Quantity, digits: usize) -> Self {
        Output { name, label, kind: OutputKind::Number(quantity, digits), reading: false, uncertain: true }
    }

    const fn text(name: &'static str, label: &'static str) -> Self {
        Output { name, label, kind: OutputKind::Text, reading: false, uncertain: false }
    }

    const fn state(name: &'static str, label: &'static str) -> Self {
        Output { name, label, kind: OutputKind::State, reading: false, uncertain: false }
    }

    /// The same, shown large.
    const fn large(mut self) -> Self {
        self.reading = true;
        self
    }

    /// The same for a rule or a probability, which carries no uncertainty of its own.
    const fn sure(mut self) -> Self {
        self.uncertain = false;
        self
    }
}

impl Choice {
    const fn new(key: &'static str, label: &'static str) -> Self {
        Choice { key, label }
    }
}

impl NumberField {
    /// A required number between two bounds, with the reason for them.
    const fn new(quantity: Quantity, minimum: f64, maximum: f64, why: &'static str) -> Self {
        NumberField {
            quantity,
            minimum,
            maximum,
            why,
            form_unit: "",
            start: None,
            required: true,
            measured: false,
        }
    }

    /// The same with a starting value, in the base unit.
    const fn start(mut self, value: f64) -> Self {
        self.start = Some(value);
        self
    }

    /// The same, shown in a fresh form in the unit with this symbol.
    const fn shown_in(mut self, symbol: &'static str) -> Self {
        self.form_unit = symbol;
        self
    }

    /// The same, but the calculation can go without it.
    const fn optional(mut self) -> Self {
        self.required = false;
        self
    }

    /// The same, read from a meter.
    const fn measured(mut self) -> Self {
        self.measured = true;
        self
    }
}

impl Calculator {
    /// The field of this name.
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// The output of this name.
    pub fn output(&self, name: &str) -> Option<&'static Output> {
        self.outputs.iter().find(|output| output.name == name)
    }

    /// Works the inputs: every range is checked first and all refusals are given together.
    pub fn evaluate(&'static self, inputs: &Inputs) -> Result<Report, Refusal> {
        inputs.check()?;
        let mut report = uncertain::evaluate(self, inputs)?;
        report
            .answers
            .sort_by_key(|answer| self.outputs.iter().position(|output| output.name == answer.output.name));
        Ok(report)
    }

    /// Works a fresh form with these fields set.
    #[cfg(test)]
    fn work(&'static self, settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        let mut inputs = Inputs::starting(self);
        for (name, text) in settings {
            inputs.set(name, text).expect("readable");
        }
        self.evaluate(&inputs)
    }
}

/// A resistance in a line of working.
fn show_ohm(value: Ohm) -> String {
    show(Quantity::Resistance, value.0, 4)
}

/// A voltage in a line of working.
fn show_v(value: Volt) -> String {
    show(Quantity::Voltage, value.0, 4)
}

/// A current in a line of working.
fn show_a(value: Ampere) -> String {
    show(Quantity::Current, value.0, 4)
}
