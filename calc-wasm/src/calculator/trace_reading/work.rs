//! The working of `trace-reading`: what bench and cranking have in common.

use super::{account, bench, chart, cranking};
use crate::input::Inputs;
use crate::recording::read::{Account, Scales, read};
use crate::recording::settled::{Window, chosen, window};
use crate::recording::span::{Span, ZeroFrom, energized};
use crate::recording::{Recording, mean};
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, Value, show};
use crate::unit::Quantity;

/// A chosen stretch of fewer rows has no mean worth the name.
const FEWEST_CHOSEN: usize = 20;

/// A recording on its way through the working.
pub(super) struct Trace {
    /// Rows in order, with the clamp's zero taken off.
    pub(super) recording: Recording,
    /// When the motor was energized.
    pub(super) span: Span,
    /// The settled stretch.
    pub(super) window: Window,
    /// Was it chosen by the reader?
    pub(super) is_chosen: bool,
    /// The usual step from row to row, in seconds.
    pub(super) step_s: f64,
}

impl Trace {
    /// The times of the settled stretch.
    pub(super) fn settled_time(&self) -> &[f64] {
        &self.recording.time_s[self.window.from..self.window.to]
    }

    /// The currents of the settled stretch.
    pub(super) fn settled_current(&self) -> &[f64] {
        &self.recording.current_a[self.window.from..self.window.to]
    }

    /// The row of the greatest current in a range.
    pub(super) fn greatest(&self, from: usize, to: usize) -> usize {
        let current = &self.recording.current_a;
        (from..to).max_by(|a, b| current[*a].total_cmp(&current[*b]).then(b.cmp(a))).unwrap_or(from)
    }
}

/// Reads the trace.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let chosen_s =
        ["settled_from_s", "settled_to_s"].map(|name| inputs.optional(name).map(|found| found.value));
    if let [Some(from), Some(to)] = chosen_s
        && from >= to
    {
        return Err(FieldRefusal::contradiction(
            inputs.field("settled_to_s"),
            "the settled stretch ends before it begins; type a later end or leave both empty.".to_owned(),
        ));
    }
    let field = inputs.field("trace");
    let (mut recording, account) = read(inputs.text("trace"), &scales(inputs))
        .map_err(|why| FieldRefusal::contradiction(field, account::refusal(&why)))?;
    if recording.current_a.iter().all(|current| *current == 0.0) {
        return Err(FieldRefusal::contradiction(
            field,
            "the current is zero in every row; look whether the clamp was on and this column is the current's."
                .to_owned(),
        ));
    }
    let span = energized(&mut recording);
    let found = window(&recording.current_a, span.on, span.off);
    let step_s = account.order.step_s;
    let mut trace = Trace { recording, span, window: found, is_chosen: false, step_s };
    let mut report = Report::of(inputs);
    choose(&mut report, &mut trace, chosen_s);
    zero(&mut report, &trace.span);
    match inputs.choice("kind") {
        "cranking" => cranking::read(&mut report, inputs, &mut trace),
        _ => bench::read(&mut report, inputs, &trace),
    }
    common(&mut report, &trace, &account);
    account::tell(&mut report, &account);
    report.charts.insert(0, chart::current(&trace, &report));
    Ok(report)
}

/// What the reader says about units.
fn scales(inputs: &Inputs) -> Scales {
    let time_s = match inputs.choice("time_unit") {
        "s" => Some(1.0),
        "ms" => Some(1e-3),
        "us" => Some(1e-6),
        _ => None,
    };
    let current_a = match inputs.choice("current_unit") {
        "A" | "mV 1" => Some(1.0),
        "mA" => Some(1e-3),
        "kA" | "V 1" => Some(1e3),
        "mV 10" => Some(0.1),
        "mV 100" => Some(0.01),
        "V 10" => Some(100.0),
        "V 100" => Some(10.0),
        _ => None,
    };
    Scales { time_s, current_a }
}

/// Takes the reader's stretch in place of the one found, where it has rows.
fn choose(report: &mut Report, trace: &mut Trace, chosen_s: [Option<f64>; 2]) {
    if chosen_s == [None, None] {
        return;
    }
    let time = &trace.recording.time_s;
    let from = chosen_s[0].map_or(trace.window.from, |from| time.partition_point(|time| *time < from));
    let to = chosen_s[1].map_or(trace.window.to, |to| time.partition_point(|time| *time <= to));
    if to >= from + FEWEST_CHOSEN {
        trace.window = chosen(&trace.recording.current_a, from, to);
        trace.is_chosen = true;
    } else {
        report.finding(
            Level::Warning,
            format!(
                "The stretch that you typed holds fewer than {FEWEST_CHOSEN} rows of the recording, which runs from {} to {}: the one found is used.",
                seconds(time[0]),
                seconds(time[time.len() - 1])
            ),
        );
    }
}

/// Answers and remarks that hold for every recording.
fn common(report: &mut Report, trace: &Trace, account: &Account) {
    let Trace { recording, span, window, .. } = trace;
    let time = &recording.time_s;
    report.answer("rows", Value::Text(recording.rows().to_string()));
    report.number("sampling_hz", 1.0 / account.order.step_s);
    report.number("window_from_s", time[window.from]);
    report.number("window_to_s", time[window.to - 1]);
    if span.begins() {
        report.number("energized_s", span.off_s - span.on_s);
    }
    let charge = recording.charge_c();
    report.number("charge_c", charge);
    report.step(
        "Charge",
        "Q = Q₁ + Q₂ + Q₃; Q₁ = (t₂ − t₁) · (I₁ + I₂) / 2",
        format!("summed over {} steps from row to row", recording.rows() - 1),
        format!(
            "{}, which is {} A·h",
            show(Quantity::Charge, charge, 4),
            crate::number::figures(charge / 3600.0, 3)
        ),
    );
    if let Some(energy) = recording.energy_j() {
        report.number("energy_j", energy);
        report.step(
            "Energy",
            "W = W₁ + W₂ + W₃; W₁ = (t₂ − t₁) · (U₁ · I₁ + U₂ · I₂) / 2",
            "the same steps with the volts of each row".to_owned(),
            show(Quantity::Energy, energy, 4),
        );
        let volts = &recording.voltage_v;
        report.number("settled_v", mean(&volts[window.from..window.to]));
        let lowest = volts[span.on..span.off].iter().copied().fold(f64::INFINITY, f64::min);
        report.number("lowest_v", lowest);
    }
    if !recording.speed_rpm.is_empty() {
        report.number("column_speed_rpm", mean(&recording.speed_rpm[window.from..window.to]));
    }
    if span.idle_share > 0.1 {
        report.finding(
            Level::Warning,
            "Between the first and the last current there is a long stretch without: this looks like more than one run. Cut the file so that one run is left.",
        );
    }
    report.sources.push(Source {
        fact: "Charge and energy: straight lines from row to row (trapezoids)",
        from: "the trapezoidal rule of any numerical analysis textbook",
    });
}

/// The clamp's zero.
fn zero(report: &mut Report, span: &Span) {
    if span.reversed {
        report.finding(
            Level::Note,
            "The current was negative: the clamp sat the wrong way round. It is taken the other way here.",
        );
    }
    let Some(zero) = span.zero else {
        report.finding(
            Level::Next,
            "The recording has no stretch without current, so the clamp's zero is not known and stands in every current here. Start the recorder half a second before the motor.",
        );
        return;
    };
    report.number("zero_offset_a", zero.offset_a);
    let place = match zero.from {
        ZeroFrom::Before => "before the current began",
        ZeroFrom::After => "after the current had ended",
    };
    report.step(
        "Zero of the clamp",
        "I = I_r − I₀",
        format!("I₀ is the mean of {} rows {place}; it is taken off every reading I_r", zero.rows),
        amps(zero.offset_a),
    );
}

/// A current in a sentence.
pub(super) fn amps(value: f64) -> String {
    show(Quantity::Current, value, 3)
}

/// A time in a sentence.
pub(super) fn seconds(value: f64) -> String {
    show(Quantity::Time, value, 3)
}

/// A frequency in a sentence.
pub(super) fn hertz(value: f64) -> String {
    show(Quantity::Frequency, value, 4)
}

/// A speed in a sentence.
pub(super) fn rpm(value: f64) -> String {
    show(Quantity::Speed, value, 4)
}
