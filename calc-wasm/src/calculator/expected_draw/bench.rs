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
    for reading in readings {
        let Some(read) = inputs.optional(reading.field) else { continue };
        reading.judge(report, read.value);
        let points = if reading.quantity == Quantity::Speed { &mut speeds } else { &mut currents };
        points.push((reading.time, read.value));
    }
    [currents, speeds].map(|points| {
        let series = Series { name: "read at the bench".to_owned(), mark: Mark::Crosses, points };
        (!series.points.is_empty()).then_some(series)
    })
}

impl Reading {
    fn judge(&self, report: &mut Report, read: f64) {
        let above = read - self.expected;
        report.number(self.output, above);
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
        if report.inputs.uncertainty(self.output).is_some() {
            text.push_str(" What the meter may be off stands beside the difference above.");
        }
        if self.field == "read_peak_a" && part.abs() > 20.0 {
            text.push_str(
                " A peak depends on the meter's averaging time more than on the motor: set that time first.",
            );
        }
        let level = if part.abs() > 20.0 { Level::Next } else { Level::Note };
        report.finding(level, text);
    }
}
