//! What was read at the bench beside what is expected: crosses over the curves, differences and a word on them.

use crate::chart::{Mark, Series};
use crate::input::Inputs;
use crate::report::{Level, Report, show};
use crate::unit::Quantity;

/// What is expected at the moments that a person reads.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    /// When the meter shows its greatest number, and that number.
    pub peak: (f64, f64),
    /// Current at the end.
    pub settled: f64,
    /// Speed at the end, in turns in a minute.
    pub speed: f64,
    /// When the motor is switched off.
    pub end: f64,
}

/// A reading of which nothing is known may be off by this share. Common practice, no source.
const UNKNOWN_SHARE: f64 = 0.05;

struct Reading {
    field: &'static str,
    output: &'static str,
    name: &'static str,
    quantity: Quantity,
    expected: f64,
    time: f64,
}

/// Compares each reading, and gives the crosses of the chart of current and of that of speed.
pub(super) fn compare(report: &mut Report, inputs: &Inputs, expected: &Expected) -> [Option<Series>; 2] {
    let reading = |field, output, name, quantity, (time, expected)| Reading {
        field,
        output,
        name,
        quantity,
        expected,
        time,
    };
    let readings = [
        reading("read_peak_a", "read_peak_above_a", "peak", Quantity::Current, expected.peak),
        reading(
            "read_settled_a",
            "read_settled_above_a",
            "settled draw",
            Quantity::Current,
            (expected.end, expected.settled),
        ),
        reading(
            "read_speed_rpm",
            "read_speed_above_rpm",
            "settled speed",
            Quantity::Speed,
            (expected.end, expected.speed),
        ),
    ];
    let (mut currents, mut speeds) = (Vec::new(), Vec::new());
    let read = |reading: &Reading| inputs.optional(reading.field).map(|read| read.value);
    // Draw and speed, both low: they have one cause, and one sentence says so.
    let [_, draw, speed] = &readings;
    let both_low = match (read(draw), read(speed)) {
        (Some(amps), Some(rpm)) if draw.is_low(report, amps) && speed.is_low(report, rpm) => {
            Some((draw.words(amps), speed.words(rpm)))
        }
        _ => None,
    };
    for reading in &readings {
        let Some(read) = read(reading) else { continue };
        report.number(reading.output, read - reading.expected);
        if both_low.is_none() || reading.field == "read_peak_a" {
            reading.judge(report, read);
        }
        let points = if reading.quantity == Quantity::Speed { &mut speeds } else { &mut currents };
        points.push((reading.time, read));
    }
    if let Some((draw, speed)) = both_low {
        report.finding(
            Level::Next,
            format!(
                "Draw and speed are both low: {draw}, and {speed}. That is resistance in the circuit or the motor, or low volts at the motor: measure the volts at its terminals while it spins."
            ),
        );
    }
    if readings
        .iter()
        .any(|reading| read(reading).is_some() && report.inputs.uncertainty(reading.output).is_some())
    {
        report.finding(Level::Note, "What the meter may be off stands beside each difference above.");
    }
    [currents, speeds].map(|points| {
        let series = Series { name: "read at the bench".to_owned(), mark: Mark::Crosses, points };
        (!series.points.is_empty()).then_some(series)
    })
}

impl Reading {
    /// Below what is expected by more than it may be off; where that is not known, by more than 5 %.
    fn is_low(&self, report: &Report, read: f64) -> bool {
        let off = report
            .inputs
            .uncertainty(self.output)
            .map_or(UNKNOWN_SHARE * self.expected, |uncertainty| uncertainty.expanded);
        self.expected - read > off
    }

    /// `70.0 A where 80.0 A is expected`.
    fn words(&self, read: f64) -> String {
        format!(
            "{} where {} is expected",
            show(self.quantity, read, 3),
            show(self.quantity, self.expected, 3)
        )
    }

    fn judge(&self, report: &mut Report, read: f64) {
        let above = read - self.expected;
        let part = 100.0 * above / self.expected;
        let way = if above < 0.0 { "below" } else { "above" };
        let size = if part.is_finite() && part.abs() < 1e4 {
            format!(" ({} %)", crate::number::to_places(part.abs(), 0))
        } else {
            String::new()
        };
        let mut text = format!(
            "Your {} of {} is {}{size} {way} the expected curve, which has {} there.",
            self.name,
            show(self.quantity, read, 3),
            show(self.quantity, above.abs(), 3),
            show(self.quantity, self.expected, 3)
        );
        if self.field == "read_peak_a" && part.abs() > 20.0 {
            text.push_str(
                " A peak depends on the meter's averaging time more than on the motor: set that time first.",
            );
        }
        let level = if part.abs() > 20.0 { Level::Next } else { Level::Note };
        report.finding(level, text);
    }
}
