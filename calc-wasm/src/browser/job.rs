//! One calculation as texts: what was typed and what came of it, so that a worker can do it as well as the page.

use crate::calculator::{Calculator, Field};
use crate::catalog;
use crate::input::Inputs;
use crate::refusal::{FieldRefusal, Refusal};
use crate::view::{self, Parts};

/// The option that opens the box for a number in place of an option.
pub(super) const OTHER: &str = "other";

/// What stands in a job in place of a file's text; nothing that is typed holds it.
pub(super) const FILE: &str = "\u{1a}";

/// Parts the pieces of a message, and the texts in a piece. What is typed cannot hold them.
const PIECE: char = '\u{1e}';
const TEXT: char = '\u{1f}';

/// A job of more bytes than this is left to a worker where there is one.
const HEAVY: usize = 200_000;

/// What was typed into a form.
pub(super) struct Job {
    /// The calculator's name.
    pub(super) calculator: String,
    /// Each field's name and the texts of its boxes and lists.
    pub(super) fields: Vec<(String, Vec<String>)>,
}

/// What came of it, as HTML and sentences.
pub(super) struct Outcome {
    /// `live` or `refused`, for the styles.
    pub(super) state: String,
    /// The parts of the result.
    pub(super) parts: Parts,
    /// Each refused field with its sentence.
    pub(super) refused: Vec<(String, String)>,
}

impl Job {
    /// Is it too much for the page's own thread?
    pub(super) fn is_heavy(&self) -> bool {
        self.fields.iter().flat_map(|(_, texts)| texts).map(String::len).sum::<usize>() > HEAVY
    }

    /// Works it.
    pub(super) fn worked(&self) -> Outcome {
        let Some(calculator) = catalog::find(&self.calculator) else { return Outcome::nothing() };
        match self.read(calculator).and_then(|inputs| calculator.evaluate(&inputs)) {
            Ok(report) => {
                Outcome { state: "live".to_owned(), parts: view::parts(&report), refused: Vec::new() }
            }
            Err(refusal) => Outcome {
                state: "refused".to_owned(),
                parts: view::refused(&refusal),
                refused: refusal
                    .problems
                    .iter()
                    .map(|problem| (problem.field.name.to_owned(), problem.to_string()))
                    .collect(),
            },
        }
    }

    /// The inputs, or everything that cannot be read, together with what else is wrong.
    fn read(&self, calculator: &'static Calculator) -> Result<Inputs, Refusal> {
        let mut inputs = Inputs::starting(calculator);
        let mut problems = Vec::new();
        for (name, texts) in &self.fields {
            let Some(field) = calculator.field(name) else { continue };
            if let Err(problem) = read_field(&mut inputs, field, texts) {
                problems.push(problem);
            }
        }
        if problems.is_empty() {
            return Ok(inputs);
        }
        if let Err(refusal) = inputs.check() {
            let unread: Vec<&str> = problems.iter().map(|problem| problem.field.name).collect();
            problems
                .extend(refusal.problems.into_iter().filter(|problem| !unread.contains(&problem.field.name)));
        }
        Err(Refusal { problems })
    }

    /// The job with the text of its file.
    pub(super) fn with_file(mut self, text: &str) -> Self {
        for one in self.fields.iter_mut().flat_map(|(_, texts)| texts) {
            if one == FILE {
                text.clone_into(one);
            }
        }
        self
    }

    /// The job as one message.
    pub(super) fn packed(&self) -> String {
        let fields = self.fields.iter().map(|(name, texts)| {
            let texts: Vec<String> = texts.iter().map(|text| text.replace([PIECE, TEXT], " ")).collect();
            [name, texts.join(&TEXT.to_string()).as_str()].join(&TEXT.to_string())
        });
        let pieces: Vec<String> = std::iter::once(self.calculator.clone()).chain(fields).collect();
        pieces.join(&PIECE.to_string())
    }

    /// The job of a message.
    pub(super) fn unpacked(message: &str) -> Self {
        let mut pieces = message.split(PIECE);
        let calculator = pieces.next().unwrap_or_default().to_owned();
        let fields = pieces.filter_map(|piece| {
            let mut texts = piece.split(TEXT).map(str::to_owned);
            Some((texts.next()?, texts.collect()))
        });
        Job { calculator, fields: fields.collect() }
    }
}

fn read_field(inputs: &mut Inputs, field: &'static Field, texts: &[String]) -> Result<(), FieldRefusal> {
    match texts {
        [number, plus_minus, unit] => inputs.set_parts(field.name, number, plus_minus, unit),
        [chosen, other] if chosen == OTHER => inputs.set_other(field.name, other),
        [text, ..] => inputs.set(field.name, text),
        [] => Ok(()),
    }
}

impl Outcome {
    fn nothing() -> Self {
        Outcome { state: String::new(), parts: Parts::default(), refused: Vec::new() }
    }

    /// The outcome as one message.
    pub(super) fn packed(&self) -> String {
        let refused = self.refused.iter().map(|(name, sentence)| format!("{name}{TEXT}{sentence}"));
        let Parts { readings, findings, steps, sources } = &self.parts;
        let mut pieces = [&self.state, readings, findings, steps, sources].map(String::clone).to_vec();
        pieces.extend(refused);
        pieces.join(&PIECE.to_string())
    }

    /// The outcome of a message.
    pub(super) fn unpacked(message: &str) -> Self {
        let mut pieces = message.split(PIECE).map(str::to_owned);
        let mut next = || pieces.next().unwrap_or_default();
        let state = next();
        let parts = Parts { readings: next(), findings: next(), steps: next(), sources: next() };
        let refused = pieces.filter_map(|piece| {
            let (name, sentence) = piece.split_once(TEXT)?;
            Some((name.to_owned(), sentence.to_owned()))
        });
        Outcome { state, parts, refused: refused.collect() }
    }
}
