//! From a reference to its number: every name is looked up, and what is not there is a finding.

use std::ops::Range;

use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::refusal::Refusal;
use fieldcoil_calc::report::Report;

use super::number::{Lack, Number, Wanted};
use super::runs::Values;
use super::written::{Part, Read, Reference, read};
use crate::course::{LIMITS, Limit};
use crate::finding::{Finding, shown};
use crate::resolve::homework::{accepted, of_any};
use crate::resolve::published;
use crate::source::{Span, Spanned};
use crate::worked::worked;

/// What references can name.
#[derive(Clone, Copy)]
pub struct Named<'v> {
    /// Calculators.
    pub values: &'v Values,
    /// Limits.
    pub limits: &'v [Limit],
}

/// What came of a stretch of code.
pub enum Asked {
    /// It is no reference.
    Nothing,
    /// It is one, and what is wrong with it has been reported.
    Lost,
    /// The number.
    Number(Number),
}

/// Where a stretch of code stands.
pub struct Spot {
    /// The whole of it, with its marks.
    pub whole: Span,
    /// Its first byte in the file, unless the file has it otherwise: broken over two lines, or with other marks.
    pub start: Option<usize>,
}

impl Spot {
    fn span(&self, part: &Range<usize>) -> Span {
        match self.start {
            Some(start) => Span::new(self.whole.file, start + part.start..start + part.end),
            None => self.whole,
        }
    }

    fn of(&self, part: &Part) -> Spanned<String> {
        Spanned::new(part.text.to_owned(), self.span(&part.place))
    }
}

/// A text that should name a number and names none.
pub fn no_name(text: &str, place: Span, found: &mut Vec<Finding>) {
    let message = format!("`{}` names no calculated number", shown(text));
    found.push(
        Finding::error("value-syntax", message, place, "not understood").help(
            "write `value run.drop_v`: the `name` of a calculator, a dot, and an output or a field; in a formula `\\value{run.drop_v}`",
        ),
    );
}

impl Named<'_> {
    /// The number that a stretch of code in the lesson `own` refers to.
    pub fn number(self, code: &str, own: &str, spot: &Spot, found: &mut Vec<Finding>) -> Asked {
        let reference = match read(code) {
            Read::Code => return Asked::Nothing,
            Read::Unclear(problem) => {
                let place = spot.span(&problem.place);
                found.push(
                    Finding::error("value-syntax", problem.message, place, "not understood")
                        .help(problem.help),
                );
                return Asked::Lost;
            }
            Read::Reference(reference) => reference,
        };
        match self.worked(&reference, own, spot, found) {
            Some(number) => Asked::Number(number),
            None => Asked::Lost,
        }
    }

    fn worked(
        self,
        reference: &Reference,
        own: &str,
        spot: &Spot,
        found: &mut Vec<Finding>,
    ) -> Option<Number> {
        let wanted = Wanted {
            unit: reference.unit.as_ref().map(|unit| unit.text),
            figures: reference.figures,
            bare: reference.bare,
        };
        if let [first, name, side] = reference.names.as_slice()
            && first.text == LIMITS
        {
            return self.limit(name, side, reference, wanted, spot, found);
        }
        let [name, what] = reference.names.as_slice() else {
            let all: Vec<&str> = reference.names.iter().map(|name| name.text).collect();
            no_name(&all.join("."), spot.whole, found);
            return None;
        };
        let lesson = match &reference.lesson {
            Some(lesson) => self.lesson(lesson, spot, found)?,
            None => own.to_owned(),
        };
        let Some(run) = self.values.find(&lesson, name.text) else {
            self.unknown_run(name, &lesson, lesson == own, spot, found);
            return None;
        };
        // One that could not be bound has been reported where it stands.
        let mut inputs = run.clone()?;
        let calculator = inputs.calculator;
        if !changed(calculator, &mut inputs, &reference.with, spot, found) {
            return None;
        }
        let number = if calculator.output(what.text).is_some() {
            let worked = worked(&inputs);
            let report = match worked.as_ref() {
                Ok(report) => report,
                Err(refusal) => {
                    refused(refusal, &reference.with, spot, found);
                    return None;
                }
            };
            let Some(answer) = report.answers.iter().find(|answer| answer.output.name == what.text) else {
                not_given(name, what, report, spot, found);
                return None;
            };
            Number::of_answer(answer, wanted)
        } else if let Some(field) = calculator.field(what.text) {
            Number::of_field(field, &inputs, wanted)
        } else {
            unknown_output(calculator, what, spot, found);
            return None;
        };
        number.map_err(|lack| lacking(lack, what, reference, spot, found)).ok()
    }

    /// One side of a limit of the list.
    fn limit(
        self,
        name: &Part,
        side: &Part,
        reference: &Reference,
        wanted: Wanted,
        spot: &Spot,
        found: &mut Vec<Finding>,
    ) -> Option<Number> {
        let lesson = reference.lesson.as_ref().map(|lesson| &lesson.place);
        if let Some(place) = lesson.or(reference.with.first().map(|(field, _)| &field.place)) {
            let message = "a limit is of no lesson, and nothing of it can be changed".to_owned();
            found.push(
                Finding::error("value-syntax", message, spot.span(place), "no use here")
                    .help("write `value limits.name.maximum`, with a unit after `in` where it is wanted"),
            );
            return None;
        }
        let Some(limit) = published::find(self.limits, name.text) else {
            found.push(published::unknown(self.limits, name.text, spot.span(&name.place)));
            return None;
        };
        let value = match side.text {
            "minimum" => limit.minimum,
            "maximum" => limit.maximum,
            _ => None,
        };
        let Some(value) = value else {
            let message = format!("the limit `{}` has no `{}`", name.text, shown(side.text));
            let sides = [("minimum", limit.minimum), ("maximum", limit.maximum)];
            let has: Vec<_> =
                sides.iter().filter(|(_, value)| value.is_some()).map(|(side, _)| *side).collect();
            found.push(
                Finding::error("no-value", message, spot.span(&side.place), "nothing to show")
                    .near(side.text, has.iter().copied())
                    .help(format!("it has `{}`", has.join("` and `"))),
            );
            return None;
        };
        // A limit without a known unit has been reported.
        let (quantity, unit) = limit.unit?;
        Number::said(value, quantity, unit, wanted)
            .map_err(|lack| lacking(lack, side, reference, spot, found))
            .ok()
    }

    /// The address of another lesson.
    fn lesson(self, lesson: &Part, spot: &Spot, found: &mut Vec<Finding>) -> Option<String> {
        if self.values.has_lesson(lesson.text) {
            return Some(lesson.text.to_owned());
        }
        let message = format!("no lesson has the address `{}`", shown(lesson.text));
        found.push(
            Finding::error("unknown-lesson", message, spot.span(&lesson.place), "no calculators to refer to")
                .near(lesson.text, self.values.lessons())
                .help("write the name of the lesson's file without its number and ending"),
        );
        None
    }

    fn unknown_run(self, name: &Part, lesson: &str, is_own: bool, spot: &Spot, found: &mut Vec<Finding>) {
        let place = if is_own { "of this lesson".to_owned() } else { format!("of `{lesson}`") };
        let message = format!("no calculator {place} is named `{}`", shown(name.text));
        let known: Vec<&str> = self.values.names_in(lesson).collect();
        let all: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
        found.push(
            Finding::error("unknown-run", message, spot.span(&name.place), "nothing to take a number from")
                .near(name.text, known.iter().copied())
                .help(match all.len() {
                    0 => format!("give the `calculator` block a line `name = \"{}\"`", shown(name.text)),
                    _ => format!("named are {}; others get a line `name = \"…\"`", all.join(", ")),
                }),
        );
    }
}

/// Sets the fields after `with`; do they all fit?
fn changed(
    calculator: &'static Calculator,
    inputs: &mut Inputs,
    with: &[(Part, Part)],
    spot: &Spot,
    found: &mut Vec<Finding>,
) -> bool {
    let mut fits = true;
    for (field, value) in with {
        let (field, value) = (spot.of(field), spot.of(value));
        let known = of_any(&[calculator], &field, found).is_some();
        // `accepted` reports what `set` refuses.
        fits &= known
            && accepted(calculator, &field.value, &value, found)
            && inputs.set(&field.value, &value.value).is_ok();
    }
    fits
}

/// Each reason at the changed value that it speaks of.
fn refused(refusal: &Refusal, with: &[(Part, Part)], spot: &Spot, found: &mut Vec<Finding>) {
    for problem in &refusal.problems {
        let changed = with.iter().find(|(field, _)| field.text == problem.field.name);
        let place = changed.map_or(spot.whole, |(_, value)| spot.span(&value.place));
        let message = format!("this number cannot be worked: {}", problem.to_string().trim_end_matches('.'));
        found.push(
            Finding::error("value-refused", message, place, "no number comes of it")
                .help("change the values after `with`"),
        );
    }
}

fn unknown_output(calculator: &Calculator, what: &Part, spot: &Spot, found: &mut Vec<Finding>) {
    let outputs = || calculator.outputs.iter().map(|output| output.name);
    let fields = calculator.fields.iter().map(|field| field.name);
    let all: Vec<_> = outputs().map(|name| format!("`{name}`")).collect();
    let message = format!("`{}` has neither an output nor a field `{}`", calculator.name, shown(what.text));
    found.push(
        Finding::error("unknown-output", message, spot.span(&what.place), "no such number")
            .near(what.text, outputs().chain(fields))
            .help(format!("its outputs are {}", all.join(", "))),
    );
}

fn not_given(name: &Part, what: &Part, report: &Report, spot: &Spot, found: &mut Vec<Finding>) {
    let all: Vec<_> = report.answers.iter().map(|answer| format!("`{}`", answer.output.name)).collect();
    let message = format!("`{}` does not give `{}` with these inputs", name.text, what.text);
    found.push(
        Finding::error("no-value", message, spot.span(&what.place), "nothing comes out here")
            .help(format!("it gives {}", all.join(", ")))
            .help("give the inputs that it needs, under `[start]` or after `with`"),
    );
}

fn lacking(lack: Lack, what: &Part, reference: &Reference, spot: &Spot, found: &mut Vec<Finding>) {
    let name = shown(what.text);
    let unit = reference.unit.as_ref();
    found.push(match lack {
        Lack::Unit([]) => {
            let place = unit.map_or(spot.whole, |unit| spot.span(&unit.place));
            Finding::error("value-unit", format!("`{name}` is words and has no unit"), place, "no unit here")
                .help("take out `in` and the unit")
        }
        Lack::Unit(units) => {
            let typed = unit.map_or("", |unit| unit.text);
            let place = unit.map_or(spot.whole, |unit| spot.span(&unit.place));
            let all: Vec<_> = units.iter().map(|unit| format!("`{}`", unit.symbol)).collect();
            let message = format!("`{}` is no unit of `{name}`", shown(typed));
            let finding = Finding::error("value-unit", message, place, "not one of its units");
            match units {
                [unit] if unit.symbol.is_empty() => finding.help("it is a plain number: take out `in`"),
                _ => finding
                    .near(typed, units.iter().map(|unit| unit.symbol))
                    .help(format!("its units are {}", all.join(", "))),
            }
        }
        Lack::Words => {
            let message = format!("`{name}` is words and has no figures");
            Finding::error("value-unit", message, spot.whole, "no figures here")
                .help("take out `to` and `bare`")
        }
        Lack::Nothing => {
            let message = format!("`{name}` is not filled in, or is lines of text");
            Finding::error("no-value", message, spot.span(&what.place), "nothing to show")
                .help("give it a value under `[start]` or after `with`")
        }
    });
}
