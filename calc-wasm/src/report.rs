//! What a calculation gives: outputs, the working, what to think of it and where the facts come from.

use crate::calculator::{Output, OutputKind};
use crate::chart::Chart;
use crate::input::Inputs;
use crate::measurement::conformity::{Decision, Limits};
use crate::measurement::propagation::Uncertainty;
use crate::measurement::rounding::rounded;
use crate::number::figures;
use crate::unit::Quantity;

/// The result of one calculation.
#[derive(Debug, Clone)]
pub struct Report {
    /// What was worked, in base units.
    pub inputs: Inputs,
    /// What was found; an output that these inputs do not give is left out.
    pub answers: Vec<Answer>,
    /// The working, in order.
    pub steps: Vec<Step>,
    /// Tables that belong to the working, such as each part's share.
    pub tables: Vec<Table>,
    /// What is better seen than read.
    pub charts: Vec<Chart>,
    /// One or two sentences that hold the result against something known otherwise: does it make sense?
    pub sense: String,
    /// What a careful colleague would say about the result.
    pub findings: Vec<Finding>,
    /// Where each fact used comes from.
    pub sources: Vec<Source>,
}

/// The value of one output.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Which output.
    pub output: &'static Output,
    /// Its value.
    pub value: Value,
}

/// The value of an output.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number in the base unit, and how far it may be off when that is known.
    Number(f64, Option<Uncertainty>),
    /// Words.
    Text(String),
    /// A state.
    State(State),
}

/// How a reading, or a whole, stands against its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Inside, by more than the reading may be off.
    Within,
    /// Outside, by more than the reading may be off.
    Outside,
    /// Nearer to a limit than the reading may be off.
    TooClose,
    /// No limit is known, or nothing was read.
    NotJudged,
}

impl State {
    /// The words that reports, stamps and JSON use.
    pub fn words(self) -> &'static str {
        match self {
            State::Within => "within limits",
            State::Outside => "outside limits",
            State::TooClose => "too close to call",
            State::NotJudged => "not judged",
        }
    }

    /// The name by which the page's styles know it.
    pub fn class(self) -> &'static str {
        match self {
            State::Within => "within",
            State::Outside => "outside",
            State::TooClose => "too-close",
            State::NotJudged => "not-judged",
        }
    }
}

/// One line of working.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is worked out: `Resistance of the loop`.
    pub title: String,
    /// The formula in symbols: `R = r · L`.
    pub formula: String,
    /// The formula with numbers put in.
    pub numbers: String,
    /// The result with its unit.
    pub result: String,
}

/// A small table of words and numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it shows.
    pub title: String,
    /// Column headings.
    pub heads: Vec<&'static str>,
    /// Rows, as long as the headings; the first cell heads its row.
    pub rows: Vec<Vec<String>>,
}

/// A remark on the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How much it matters.
    pub level: Level,
    /// One or two sentences.
    pub text: String,
}

/// How much a remark matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// Good to know.
    Note,
    /// What to do next.
    Next,
    /// Stop and think: a reading, an assumption or a danger.
    Warning,
}

impl Level {
    /// The word that stands before the remark, and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Level::Note => "note",
            Level::Next => "next",
            Level::Warning => "warning",
        }
    }
}

/// Where a fact comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// The fact: `Copper, 1/58 Ω·mm²/m at 20 °C`.
    pub fact: &'static str,
    /// Who says so; `common practice, no source` or `from memory: …` where that is how it stands.
    pub from: &'static str,
}

impl Report {
    /// A report without any content yet.
    pub fn of(inputs: &Inputs) -> Self {
        Report {
            inputs: inputs.clone(),
            answers: Vec::new(),
            steps: Vec::new(),
            tables: Vec::new(),
            charts: Vec::new(),
            sense: String::new(),
            findings: Vec::new(),
            sources: Vec::new(),
        }
    }

    /// Adds the answer to an output; answers stand in the order of the calculator's outputs.
    ///
    /// # Panics
    /// When the calculator has no such output.
    pub fn answer(&mut self, name: &str, value: Value) {
        let calculator = self.inputs.calculator;
        let place = |name: &str| calculator.outputs.iter().position(|output| output.name == name);
        let at = place(name).unwrap_or_else(|| panic!("`{}` has no output `{name}`", calculator.name));
        let before = self.answers.iter().take_while(|answer| place(answer.output.name) < Some(at)).count();
        self.answers.insert(before, Answer { output: &calculator.outputs[at], value });
    }

    /// Adds a number in its base unit, with nothing said about how far it may be off.
    pub fn number(&mut self, name: &str, value: f64) {
        self.answer(name, Value::Number(value, None));
    }

    /// Answers a state by holding a value against its limits, and says how sure that is where the value is uncertain.
    pub fn judge(
        &mut self,
        name: &str,
        limits: Limits,
        value: f64,
        uncertainty: Option<Uncertainty>,
    ) -> State {
        let Decision { state, conformance } = limits.decide(value, uncertainty);
        self.answer(name, Value::State(state));
        if uncertainty.is_some() && limits.known() {
            let (words, chance) = match state {
                State::Within => ("the chance that it is outside all the same is", 1.0 - conformance),
                State::Outside => ("the chance that it is inside all the same is", conformance),
                _ => ("the chance that it is inside is", conformance),
            };
            let percent = chance_words(chance);
            let label = self.inputs.calculator.output(name).map_or("", |output| output.label);
            self.finding(Level::Note, format!("{label}: {}; {words} {percent}.", state.words()));
        }
        state
    }

    /// Adds a line of working.
    pub fn step(&mut self, title: &str, formula: &str, numbers: String, result: String) {
        self.steps.push(Step { title: title.to_owned(), formula: formula.to_owned(), numbers, result });
    }

    /// Adds a remark.
    pub fn finding(&mut self, level: Level, text: impl Into<String>) {
        self.findings.push(Finding { level, text: text.into() });
    }

    /// The value of an output, if it was found.
    pub fn value(&self, name: &str) -> Option<&Value> {
        self.answers.iter().find(|answer| answer.output.name == name).map(|answer| &answer.value)
    }

    /// Fails unless an output is this number, but for rounding.
    #[cfg(test)]
    pub(crate) fn near(&self, name: &str, expected: f64) {
        let got = self.number_of(name).unwrap_or_else(|| panic!("{name} is given"));
        assert!((got - expected).abs() <= 1e-9 * expected.abs(), "{name}: {got} is not {expected}");
    }

    /// The number of an output, if it was found.
    pub fn number_of(&self, name: &str) -> Option<f64> {
        match self.value(name) {
            Some(Value::Number(value, _)) => Some(*value),
            _ => None,
        }
    }
}

/// A number and a unit as a reader sees them.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// `0.274`
    pub number: String,
    /// `V`; empty for counts.
    pub unit: &'static str,
    /// How far it may be off, in the same unit, when known.
    pub plus_minus: Option<String>,
}

impl Answer {
    /// The number as a reader sees it, if the answer is one.
    pub fn shown(&self) -> Option<Shown> {
        match (&self.value, &self.output.kind) {
            (Value::Number(value, plus_minus), OutputKind::Number(quantity, digits)) => {
                let unit = quantity.reading_unit(*value);
                let value = unit.of_base(*value);
                let (number, plus_minus) = match plus_minus {
                    Some(uncertainty) => {
                        let (number, part) = rounded(value, uncertainty.expanded / unit.factor);
                        (number, Some(part))
                    }
                    None => (figures(value, *digits), None),
                };
                Some(Shown { number, unit: unit.symbol, plus_minus })
            }
            _ => None,
        }
    }
}

/// A chance as text: `56 %`, `below 0.1 %`.
pub fn chance_words(chance: f64) -> String {
    match chance {
        _ if chance < 0.001 => "below 0.1 %".to_owned(),
        _ if chance > 0.999 => "above 99.9 %".to_owned(),
        _ => show(Quantity::Percent, 100.0 * chance, 2),
    }
}

/// `value` of a quantity, in its base unit, as text with the unit in which it is easily read: `1.52 mΩ`.
pub fn show(quantity: Quantity, value: f64, digits: usize) -> String {
    let unit = quantity.reading_unit(value);
    let number = figures(unit.of_base(value), digits);
    match unit.symbol {
        "" => number,
        symbol => format!("{number} {symbol}"),
    }
}
