//! What the uncertainty of the readings makes of the results: the function worked at shifted readings.

use super::{Calculator, Kind, OutputKind};
use crate::input::{Entry, Inputs, Measured};
use crate::measurement::meter::{Cause, Kind as Why};
use crate::measurement::propagation::{Combined, Effect, Uncertainty, combine};
use crate::number::{figures, short};
use crate::refusal::Refusal;
use crate::report::{Level, Report, Source, Table, Value};
use crate::unit::Quantity;

/// The option of [`METERS`](super::METERS) that says that every quantity was read with one meter.
pub(super) const ONE_METER: &str = "one-meter";

/// One cause of uncertainty and the field in which it stands.
struct Shift {
    field: usize,
    quantity: Quantity,
    cause: Cause,
    /// Causes of the same group move together.
    group: Option<usize>,
}

/// Works the inputs; where readings have an uncertainty, works them again with what that makes of the results.
pub(super) fn evaluate(calculator: &'static Calculator, inputs: &Inputs) -> Result<Report, Refusal> {
    let plain = (calculator.function)(inputs)?;
    let shifts = shifts(calculator, inputs);
    if shifts.is_empty() {
        return Ok(plain);
    }
    let shifted: Vec<(f64, [Option<Report>; 2])> =
        shifts.iter().map(|shift| shifted_reports(calculator, inputs, shift)).collect();
    let mut known = Vec::new();
    let mut effects_of = Vec::new();
    for answer in &plain.answers {
        let (Value::Number(value, _), true) = (&answer.value, answer.output.uncertain) else { continue };
        let name = answer.output.name;
        let effects: Option<Vec<Effect>> = shifts
            .iter()
            .zip(&shifted)
            .map(|(shift, (width, reports))| {
                let size = effect(*value, *width, shift.cause.standard, reports, name)?;
                let bounded = shift.cause.kind != Why::Scatter;
                Some(Effect { size, freedom: shift.cause.freedom, group: shift.group, bounded })
            })
            .collect();
        // A result that a shifted reading does not give has no uncertainty that could be told.
        let Some(effects) = effects else { continue };
        let combined: Combined = combine(&effects);
        if combined.standard > 0.0 && combined.standard.is_finite() {
            known.push((name, Uncertainty::of(combined)));
            effects_of.push((name, effects));
        }
    }
    let inputs = inputs.knowing(known);
    let mut report = (calculator.function)(&inputs)?;
    for answer in &mut report.answers {
        if let Value::Number(_, uncertainty) = &mut answer.value {
            // What the function itself gives holds this already: readings in a text are known to it alone.
            *uncertainty = uncertainty.or(inputs.uncertainty(answer.output.name));
        }
    }
    explain(&mut report, &inputs, &shifts, &effects_of);
    Ok(report)
}

/// Every cause of uncertainty in the inputs.
fn shifts(calculator: &'static Calculator, inputs: &Inputs) -> Vec<Shift> {
    let meters_differ =
        calculator.field(super::METERS.name).is_none() || inputs.choice(super::METERS.name) != ONE_METER;
    let mut shifts: Vec<Shift> = Vec::new();
    // Scales that one meter gives to several readings, told by what they measure and by their percentage.
    let mut scales: Vec<(Quantity, f64)> = Vec::new();
    for (index, (field, entry)) in inputs.entries().enumerate() {
        let (Kind::Number(number), Entry::Number(Measured { value, spread: Some(spread) })) =
            (&field.kind, entry)
        else {
            continue;
        };
        for cause in spread.causes(*value) {
            let group = (cause.kind == Why::Scale && !meters_differ).then(|| {
                let scale = (number.quantity, spread.percent);
                scales.iter().position(|known| *known == scale).unwrap_or_else(|| {
                    scales.push(scale);
                    scales.len() - 1
                })
            });
            shifts.push(Shift { field: index, quantity: number.quantity, cause, group });
        }
    }
    shifts
}

/// The reports with one reading shifted up and down, and how far they lie apart; a field's bounds are kept.
fn shifted_reports(
    calculator: &'static Calculator,
    inputs: &Inputs,
    shift: &Shift,
) -> (f64, [Option<Report>; 2]) {
    let field = &calculator.fields[shift.field];
    let (Kind::Number(number), Some(reading)) = (&field.kind, inputs.optional(field.name)) else {
        return (0.0, [None, None]);
    };
    let at = |value: f64| {
        let mut inputs = inputs.clone();
        inputs.set_entry(field.name, Entry::Number(Measured { value, spread: reading.spread }));
        (calculator.function)(&inputs).ok()
    };
    let up = (reading.value + shift.cause.standard).min(number.maximum);
    let down = (reading.value - shift.cause.standard).max(number.minimum);
    (up - down, [at(up), at(down)])
}

/// What a shift by one standard uncertainty does to an output: from both sides, or from the one that can be worked.
fn effect(
    value: f64,
    width: f64,
    standard: f64,
    [up, down]: &[Option<Report>; 2],
    name: &str,
) -> Option<f64> {
    let number = |report: &Option<Report>| report.as_ref().and_then(|report| report.number_of(name));
    let size = match (number(up), number(down)) {
        (Some(up), Some(down)) if width > 0.0 => (up - down) / width * standard,
        (Some(up), None) => up - value,
        (None, Some(down)) => value - down,
        _ => return None,
    };
    size.is_finite().then_some(size)
}

/// Says how the `±` of the results came about.
fn explain(
    report: &mut Report,
    inputs: &Inputs,
    shifts: &[Shift],
    effects_of: &[(&'static str, Vec<Effect>)],
) {
    let calculator = inputs.calculator;
    let factors: Vec<f64> = report
        .answers
        .iter()
        .filter_map(|answer| inputs.uncertainty(answer.output.name))
        .map(|u| u.factor)
        .collect();
    let least = factors.iter().copied().fold(f64::INFINITY, f64::min);
    let most = factors.iter().copied().fold(0.0, f64::max);
    if factors.is_empty() {
        return;
    }
    let k = match figures(least, 3) == figures(most, 3) {
        true => figures(most, 3),
        false => format!("{} to {}", figures(least, 3), figures(most, 3)),
    };
    report.finding(
        Level::Note,
        format!("Each ± is the expanded uncertainty U = k · u with k = {k}: the true value lies inside with a confidence of about 95 % or more."),
    );
    for (name, effects) in effects_of {
        let Some(output) = calculator.output(name).filter(|output| output.reading) else { continue };
        let OutputKind::Number(quantity, _) = output.kind else { continue };
        let variance: f64 = combine(effects).standard * combine(effects).standard;
        let rows = shifts.iter().zip(effects).map(|(shift, effect)| {
            let field = &calculator.fields[shift.field];
            vec![
                format!("{}: {}", field.label, why(shift, inputs)),
                crate::report::show(shift.quantity, shift.cause.standard, 2),
                crate::report::show(quantity, effect.size, 2),
                match effect.group {
                    Some(group) => {
                        let members = effects.iter().filter(|other| other.group == Some(group));
                        let joint: f64 = members.map(|member| member.size).sum();
                        format!("{} % with its meter", figures(100.0 * joint * joint / variance, 2))
                    }
                    None => format!("{} %", figures(100.0 * effect.size * effect.size / variance, 2)),
                },
            ]
        });
        report.tables.push(Table {
            title: format!("Uncertainty of: {}", output.label),
            heads: vec!["Cause", "Standard uncertainty", "Effect on the result", "Share of the variance"],
            rows: rows.collect(),
        });
    }
    report.sources.push(Source {
        fact: "Uncertainty of results from that of readings",
        from: "JCGM 100:2008 (the GUM), 5.1, 5.2, 7.2 and annex G",
    });
}

fn why(shift: &Shift, inputs: &Inputs) -> String {
    let field = &inputs.calculator.fields[shift.field];
    let spread = inputs.optional(field.name).and_then(|measured| measured.spread);
    let Some(spread) = spread else { return String::new() };
    match shift.cause.kind {
        Why::Band => "the band typed".to_owned(),
        Why::Scale => match shift.group {
            Some(_) => format!("scale, {} % (one meter)", short(spread.percent)),
            None => format!("scale, {} %", short(spread.percent)),
        },
        Why::Digit => format!("{} of the last digit", short(spread.counts)),
        Why::Scatter => {
            format!("scatter of {} readings", short(spread.repeated.map_or(0.0, |repeated| repeated.count)))
        }
    }
}
