//! Trace reading: what a recorded current says about a motor on the bench or an engine that is cranked.

use super::{Calculator, Choice, ChoiceField, Field, Kind, NumberField, Output, TextField, on_form};
use crate::unit::Quantity;

mod account;
mod bench;
mod chart;
mod cranking;
#[cfg(test)]
mod round_trip;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "trace-reading",
    title: "What a recorded current says",
    summary: "From a file of times and amps: the kick, the settled current, charge, speed from the ripple, or the compressions of an engine.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

/// Invented, not measured: a small motor that settles at 62 A, its clamp 1.2 A off zero, with ripple at 390 Hz.
const EXAMPLE: &str = include_str!("trace_reading/example.csv");

const FILE: &str = "Recording";
const WINDOW: &str = "Settled stretch";
const RIPPLE: &str = "Speed from the ripple";
const ENGINE: &str = "Engine";

const fn moment() -> NumberField {
    NumberField::new(Quantity::Time, -1e6, 1e6, "recordings of starting motors last seconds").optional()
}

const fn choice(options: &'static [Choice], start: &'static str) -> Kind {
    Kind::Choice(ChoiceField { options, start, other: None })
}

const FIELDS: &[Field] = &[
    Field {
        name: "trace",
        label: "Recording",
        symbol: "",
        group: FILE,
        help: on_form(
            "Rows of time and current, then voltage and speed if recorded: 100 rows to 1,000,000. A heading may name columns and units.",
        ),
        kind: Kind::Text(TextField {
            start: EXAMPLE,
            example: "0.0125; 143.2",
            required: true,
            file: true,
            most_bytes: 64_000_000,
        }),
    },
    Field {
        name: "kind",
        label: "Recorded",
        symbol: "",
        group: FILE,
        help: on_form("A motor that spins free, or one that turns an engine."),
        kind: choice(
            &[
                Choice::new("bench", "on the bench, spinning free"),
                Choice::new("cranking", "in the vehicle, cranking"),
            ],
            "bench",
        ),
    },
    Field {
        name: "time_unit",
        label: "Unit of the times",
        symbol: "",
        group: FILE,
        help: on_form("Seconds, when neither the heading nor you say otherwise."),
        kind: choice(
            &[
                Choice::new("header", "from the heading"),
                Choice::new("s", "s"),
                Choice::new("ms", "ms"),
                Choice::new("us", "µs"),
            ],
            "header",
        ),
    },
    Field {
        name: "current_unit",
        label: "Unit of the currents",
        symbol: "",
        group: FILE,
        help: on_form(
            "Amps, when neither the heading nor you say otherwise. A clamp on a scope gives millivolts: choose its scale.",
        ),
        kind: choice(
            &[
                Choice::new("header", "from the heading"),
                Choice::new("A", "A"),
                Choice::new("mA", "mA"),
                Choice::new("kA", "kA"),
                Choice::new("mV 1", "mV, clamp of 1 mV/A"),
                Choice::new("mV 10", "mV, clamp of 10 mV/A"),
                Choice::new("mV 100", "mV, clamp of 100 mV/A"),
                Choice::new("V 1", "V, clamp of 1 mV/A"),
                Choice::new("V 10", "V, clamp of 10 mV/A"),
                Choice::new("V 100", "V, clamp of 100 mV/A"),
            ],
            "header",
        ),
    },
    Field {
        name: "settled_from_s",
        label: "Settled from",
        symbol: "t₁",
        group: WINDOW,
        help: on_form("In the recording's own time. Leave both empty and the stretch is found."),
        kind: Kind::Number(moment()),
    },
    Field {
        name: "settled_to_s",
        label: "Settled to",
        symbol: "t₂",
        group: WINDOW,
        help: on_form("The end of the stretch."),
        kind: Kind::Number(moment()),
    },
    Field {
        name: "bars",
        label: "Commutator bars",
        symbol: "b",
        group: RIPPLE,
        help: on_form(
            "Count them on the armature, or its slots in the parts list. Without them there is a frequency but no speed.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 3.0, 300.0, "commutators have no fewer and no more").optional(),
        ),
    },
    Field {
        name: "brushes",
        label: "Brushes round the commutator",
        symbol: "c",
        group: RIPPLE,
        help: on_form("Places where brushes stand, side by side counted once: two or four as a rule."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 2.0, 12.0, "starting motors have two to twelve").start(2.0),
        ),
    },
    Field {
        name: "ripples_per_turn",
        label: "Ripples in a turn",
        symbol: "N",
        group: RIPPLE,
        help: on_form("Only when you know better than bars and brushes do, from a run with a tachometer."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 1.0, 3600.0, "bars times brushes at most").optional(),
        ),
    },
    Field {
        name: "fastest_rpm",
        label: "Fastest it may turn",
        symbol: "n_max",
        group: RIPPLE,
        help: on_form(
            "The ripple is looked for between a twentieth of this speed and it. 6000 rpm: common practice, no source.",
        ),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Speed,
                60.0,
                100_000.0,
                "no starting motor turns faster and holds together",
            )
            .start(6000.0),
        ),
    },
    Field {
        name: "cylinders",
        label: "Cylinders",
        symbol: "z",
        group: ENGINE,
        help: on_form("Of a four-stroke engine, when it was cranked."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 1.0, 16.0, "engines with a starting motor of this kind")
                .start(4.0),
        ),
    },
];

const OUTPUTS: &[Output] = &[
    Output::number("peak_a", "First peak", Quantity::Current, 3).large(),
    Output::number("settled_a", "Settled current", Quantity::Current, 4).large(),
    Output::number("stretch_a", "Mean of the stretch used, not settled", Quantity::Current, 4).large(),
    Output::number("cranking_a", "Mean cranking current", Quantity::Current, 4).large(),
    Output::number("speed_rpm", "Speed from the ripple", Quantity::Speed, 4).large(),
    Output::number("cranking_rpm", "Cranking speed", Quantity::Speed, 3).large(),
    Output::number("weakest_percent", "Lowest compression hump, highest 100 %", Quantity::Percent, 3).large(),
    Output::text("humps", "Humps, from the first whole one"),
    Output::number("peak_after_s", "Peak after energizing", Quantity::Time, 3),
    Output::number("settle_time_s", "Time to settle", Quantity::Time, 3),
    Output::number("peak_ratio", "Peak over settled", Quantity::Ratio, 3),
    Output::number("spread_a", "Spread of single rows in the stretch used", Quantity::Current, 2),
    Output::number("settled_uncertainty_a", "Standard uncertainty of the settled mean", Quantity::Current, 2),
    Output::number("correlation_time_s", "Time between independent readings", Quantity::Time, 2),
    Output::number("window_from_s", "Stretch used from", Quantity::Time, 4),
    Output::number("window_to_s", "Stretch used to", Quantity::Time, 4),
    Output::number("settled_v", "Volts in the stretch used", Quantity::Voltage, 4),
    Output::number("lowest_v", "Lowest volts while energized", Quantity::Voltage, 4),
    Output::number("energized_s", "Energized for", Quantity::Time, 3),
    Output::number("charge_c", "Charge", Quantity::Charge, 4),
    Output::number("energy_j", "Energy", Quantity::Energy, 4),
    Output::number("zero_offset_a", "Clamp without current", Quantity::Current, 2),
    Output::number("ripple_hz", "Ripple", Quantity::Frequency, 5),
    Output::number("ripple_uncertainty_hz", "Standard uncertainty of the ripple", Quantity::Frequency, 2),
    Output::number("speed_uncertainty_rpm", "Standard uncertainty of the speed", Quantity::Speed, 2),
    Output::number("column_speed_rpm", "Speed as recorded, in the stretch used", Quantity::Speed, 4),
    Output::number("hump_hz", "Compressions", Quantity::Frequency, 4),
    Output::number("hump_uncertainty_hz", "Standard uncertainty of the compressions", Quantity::Frequency, 2),
    Output::number("cranking_uncertainty_rpm", "Standard uncertainty of the speed", Quantity::Speed, 2),
    Output::number("sampling_hz", "Rows in a second", Quantity::Frequency, 4),
    Output::text("rows", "Rows used"),
];
