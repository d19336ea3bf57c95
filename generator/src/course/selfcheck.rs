//! Self-checks: questions that answer at once, for nobody but the student.

use fieldcoil_calc::unit::{Quantity, Unit};

use super::{LabelOf, StartValue, Terminal};
use crate::source::{Span, Spanned};

/// A block of questions.
#[derive(Debug)]
pub struct Selfcheck {
    /// Anchor and key of the answers: `selfcheck-1`.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The questions, in order.
    pub questions: Vec<SelfcheckQuestion>,
    /// Where it stands.
    pub span: Span,
}

/// One question.
#[derive(Debug)]
pub struct SelfcheckQuestion {
    /// What is asked.
    pub ask: Spanned<String>,
    /// Why the right answer is right; shown after it, perhaps empty.
    pub why: String,
    /// How it is answered.
    pub task: Task,
    /// Where it stands.
    pub span: Span,
}

/// How a question is answered.
#[derive(Debug)]
pub enum Task {
    /// By choosing among texts.
    Choose(ChooseTask),
    /// By a number with its unit.
    Number(Box<NumberTask>),
    /// By putting things in order.
    Order(OrderTask),
    /// By naming places in a diagram.
    Label(LabelTask),
}

/// One text of several is right, or several are.
#[derive(Debug)]
pub struct ChooseTask {
    /// May more than one be right?
    pub several: bool,
    /// The texts.
    pub choices: Vec<Choice>,
}

/// A text to choose.
#[derive(Debug)]
pub struct Choice {
    /// What it says.
    pub text: Spanned<String>,
    /// Is it right?
    pub right: bool,
    /// Of a wrong one: what whoever chose it has mixed up. Empty where it is missing, which `proof` reports.
    pub says: String,
    /// Where it stands.
    pub span: Span,
}

/// A number is asked for.
#[derive(Debug)]
pub struct NumberTask {
    /// Where the right one comes from; nothing when that could not be read.
    pub from: Option<NumberFrom>,
    /// The unit in which the answer is wanted.
    pub unit: Spanned<String>,
    /// How far an answer may be off, as homework says it.
    pub tolerance: Spanned<String>,
    /// Wrong numbers that show what was mixed up.
    pub wrong: Vec<WrongNumber>,
    /// Filled in by the resolve stage.
    pub bound: Option<BoundNumber>,
}

/// Fields of a calculator with their values.
pub type Given = Vec<(Spanned<String>, Spanned<StartValue>)>;

/// Where a right number comes from.
#[derive(Debug)]
pub enum NumberFrom {
    /// The lesson says it, in the unit wanted.
    Said(Spanned<f64>),
    /// A calculator works it.
    Worked {
        /// Its name.
        calculator: Spanned<String>,
        /// Fields that differ from its starting values.
        given: Given,
        /// Its output.
        output: Spanned<String>,
    },
}

/// A wrong number and what it shows.
#[derive(Debug)]
pub struct WrongNumber {
    /// The number, in the unit wanted.
    pub value: Option<Spanned<f64>>,
    /// In its place the fields that the calculator gets when the mistake is made.
    pub given: Given,
    /// What was mixed up.
    pub says: String,
    /// Where it stands.
    pub span: Span,
}

/// A number question that can be answered.
#[derive(Debug)]
pub struct BoundNumber {
    /// What kind of number it is.
    pub quantity: Quantity,
    /// The unit wanted.
    pub unit: &'static Unit,
    /// The right number and how far an answer may be off, in the base unit.
    pub right: Band,
    /// The right number as it is shown.
    pub shown: String,
    /// Wrong numbers, in the order written, as far as they could be worked.
    pub wrong: Vec<BoundWrong>,
}

/// A number with how far another may be off and still be the same, in the base unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The number.
    pub value: f64,
    /// How far off.
    pub by: f64,
}

/// A wrong number that was worked.
#[derive(Debug)]
pub struct BoundWrong {
    /// The number.
    pub band: Band,
    /// As it is shown.
    pub shown: String,
    /// What was mixed up.
    pub says: String,
    /// Where it stands.
    pub span: Span,
}

/// Things are put in order.
#[derive(Debug)]
pub struct OrderTask {
    /// The hookup whose steps they are.
    pub hookup: Option<Spanned<String>>,
    /// Numbers of its steps.
    pub steps: Vec<Spanned<u32>>,
    /// Sentences of the lesson's own, in the right order.
    pub sentences: Vec<Spanned<String>>,
    /// Filled in by the resolve stage: what is put in order, in the right order.
    pub bound: Vec<OrderItem>,
}

/// One thing to be put in its place.
#[derive(Debug)]
pub struct OrderItem {
    /// What it says.
    pub text: String,
    /// Why it stands where it does, perhaps nothing.
    pub why: String,
    /// Where it is named.
    pub span: Span,
}

/// Places of a diagram are named.
#[derive(Debug)]
pub struct LabelTask {
    /// Name or title of a diagram of the lesson.
    pub circuit: Spanned<String>,
    /// The places.
    pub places: Vec<LabelPlace>,
    /// Filled in by the resolve stage: anchor of the diagram.
    pub circuit_id: Option<String>,
}

/// A place to be named.
#[derive(Debug)]
pub struct LabelPlace {
    /// A symbol `relay` or a terminal `solenoid.50`.
    pub at: Spanned<String>,
    /// How to tell it from the others, perhaps nothing.
    pub says: String,
    /// Filled in by the resolve stage.
    pub bound: Option<BoundPlace>,
}

/// A place that was found.
#[derive(Debug, Clone)]
pub struct BoundPlace {
    /// What it is.
    pub place: Place,
    /// What it is called.
    pub word: String,
}

/// What can be named in a diagram.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A symbol, by its place in the circuit.
    Symbol(usize),
    /// A terminal.
    Terminal(Terminal),
}

impl Place {
    /// Does this label of a diagram give the place away?
    pub fn is_named_by(self, label: LabelOf) -> bool {
        matches!((self, label), (Place::Symbol(own), LabelOf::Symbol(other)) if own == other)
    }
}

impl Task {
    /// The word that lessons use for it.
    pub fn word(&self) -> &'static str {
        match self {
            Task::Choose(task) if task.several => "several",
            Task::Choose(_) => "one",
            Task::Number(_) => "number",
            Task::Order(_) => "order",
            Task::Label(_) => "label",
        }
    }
}

impl Band {
    /// Is another number the same within this one's band?
    pub fn takes_in(self, value: f64) -> bool {
        (value - self.value).abs() <= self.by
    }
}
