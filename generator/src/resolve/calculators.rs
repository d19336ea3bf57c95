//! Calculators of a lesson: the calculator is there, its fields are there, and its starting values can be worked.

use fieldcoil_calc::calculator::{Calculator, Kind};
use fieldcoil_calc::catalog::{CATALOG, find};
use fieldcoil_calc::input::{Entry, Inputs, Measured};
use fieldcoil_calc::refusal::Refusal;

use crate::course::{CalculatorBlock, Lesson, Piece, StartValue, Trace};
use crate::finding::{Finding, shown};
use crate::source::{Span, Spanned};
use crate::worked::worked;

/// Binds the calculators of a lesson.
pub fn bind(lesson: &mut Lesson, found: &mut Vec<Finding>) {
    for piece in &mut lesson.pieces {
        if let Piece::Calculator(block) = piece {
            bind_one(block, found);
        }
    }
}

fn bind_one(block: &mut CalculatorBlock, found: &mut Vec<Finding>) {
    let name = block.calculator.value.as_str();
    let Some(calculator) = find(name) else {
        let all: Vec<_> = CATALOG.iter().map(|calculator| format!("`{}`", calculator.name)).collect();
        found.push(
            Finding::error(
                "unknown-calculator",
                format!("unknown calculator `{}`", shown(name)),
                block.calculator.span,
                "no calculator has this name",
            )
            .near(name, CATALOG.iter().map(|calculator| calculator.name))
            .help(format!("there are {}", all.join(", "))),
        );
        return;
    };
    let mut inputs = Inputs::starting(calculator);
    let mut fits = true;
    for (field, value) in &block.start {
        fits &= known_field(calculator, field, found) && set(&mut inputs, field, value, found);
    }
    for field in &block.locked {
        known_field(calculator, field, found);
    }
    // A field that kept its ordinary value would only make the whole look wrong: each value is checked on its own then.
    if !fits {
        if let Err(refusal) = inputs.check() {
            refuse(block, &refusal, found);
        }
        return;
    }
    match worked(&inputs).as_ref() {
        Err(refusal) => refuse(block, refusal, found),
        Ok(report) => {
            block.sources = report.sources.clone();
            block.bound = Some((calculator, inputs));
        }
    }
}

/// What `trace-reading` is given with a recording; nothing when it cannot be worked.
pub fn trace_reading(text: &str, trace: &Trace, found: &mut Vec<Finding>) -> Option<Inputs> {
    let calculator = find("trace-reading")?;
    let mut inputs = Inputs::starting(calculator);
    let mut fits = true;
    for (field, value) in &trace.start {
        fits &= known_field(calculator, field, found) && set(&mut inputs, field, value, found);
    }
    let worked = match inputs.set("trace", text) {
        Err(problem) => Err(problem.to_string()),
        Ok(()) if fits => worked(&inputs).as_ref().as_ref().map(|_| ()).map_err(ToString::to_string),
        Ok(()) => return None,
    };
    if let Err(why) = worked {
        let message = format!("`{}` cannot be read: {}", shown(&trace.file.value), why.trim_end_matches('.'));
        found.push(
            Finding::error("no-recording", message, trace.file.span, "not what `trace-reading` can work").help(
                "a recording has a heading such as `time (s),current (A)` and a row for each moment; `[start]` says what else the calculator has to know",
            ),
        );
        return None;
    }
    Some(inputs)
}

fn known_field(calculator: &Calculator, field: &Spanned<String>, found: &mut Vec<Finding>) -> bool {
    let name = field.value.as_str();
    let known = calculator.field(name).is_some();
    if !known {
        let fields = calculator.fields.iter().map(|field| field.name);
        let all: Vec<_> = fields.clone().map(|name| format!("`{name}`")).collect();
        let message = format!("`{}` has no field `{}`", calculator.name, shown(name));
        found.push(
            Finding::error("unknown-field", message, field.span, "not a field of this calculator")
                .near(name, fields)
                .help(format!("its fields are {}", all.join(", "))),
        );
    }
    known
}

fn set(
    inputs: &mut Inputs,
    field: &Spanned<String>,
    value: &Spanned<StartValue>,
    found: &mut Vec<Finding>,
) -> bool {
    let name = field.value.as_str();
    let result = match &value.value {
        // A number goes in as it is: printed and read back it could lose its last digits.
        StartValue::Number(number) if matches!(inputs.field(name).kind, Kind::Number(_)) => {
            inputs.set_entry(name, Entry::Number(Measured::exact(*number)));
            Ok(())
        }
        StartValue::Number(number) => inputs.set(name, &number.to_string()),
        StartValue::Text(text) => inputs.set(name, text),
    };
    if let Err(refusal) = &result {
        found.push(Finding::error(
            "unfit-value",
            refusal.to_string().trim_end_matches('.'),
            value.span,
            "not accepted",
        ));
    }
    result.is_ok()
}

/// Starting values that cannot be worked: each sentence at the value it speaks of.
fn refuse(block: &CalculatorBlock, refusal: &Refusal, found: &mut Vec<Finding>) {
    for problem in &refusal.problems {
        let start = block.start.iter().find(|(field, _)| field.value == problem.field.name);
        let span: Span = start.map_or(block.span, |(_, value)| value.span);
        let message = problem.to_string();
        let finding = Finding::error("unfit-value", message.trim_end_matches('.'), span, "not accepted");
        found.push(match start {
            Some(_) => finding,
            None => finding.help(format!("give `{}` a value under `[start]`", problem.field.name)),
        });
    }
}
