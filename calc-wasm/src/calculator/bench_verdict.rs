//! Bench verdict: what free-spin readings say about a starting motor.

use super::{Calculator, Choice, ChoiceField, Field, Kind, METERS, NumberField, Output, on_form};
use crate::unit::Quantity;

mod diagnosis;
mod judge;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "bench-verdict",
    title: "Verdict on a free-spin test",
    summary: "A state for every reading and for the motor, the reasons, and what to check next.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const READINGS: &str = "Readings";
const LIMITS: &str = "Limits from the motor's sheet";
const NO_SHEET: &str = "Leave it empty when the sheet does not say.";

const fn current(minimum: f64) -> NumberField {
    NumberField::new(Quantity::Current, minimum, 5000.0, "the range of clamp meters for starting motors")
}

const fn speed(minimum: f64) -> NumberField {
    NumberField::new(Quantity::Speed, minimum, 50_000.0, "no starting motor turns faster and holds together")
}

const fn voltage() -> NumberField {
    NumberField::new(Quantity::Voltage, 0.5, 100.0, "the test voltages of starting motors")
}

const FIELDS: &[Field] = &[
    Field {
        name: "peak_current_a",
        label: "Peak current",
        symbol: "",
        group: READINGS,
        help: on_form(
            "The highest value the meter held in the first moment. Leave it empty when the meter holds no peak.",
        ),
        kind: Kind::Number(current(0.0).start(240.0).optional().measured()),
    },
    Field {
        name: "settled_current_a",
        label: "Settled current",
        symbol: "",
        group: READINGS,
        help: on_form("When the needle or the figures stand still."),
        kind: Kind::Number(current(0.0).start(62.0).measured()),
    },
    Field {
        name: "terminal_voltage_v",
        label: "Volts at the motor",
        symbol: "",
        group: READINGS,
        help: on_form("Main terminal to case, at the same moment as the settled current."),
        kind: Kind::Number(voltage().start(11.4).measured()),
    },
    Field {
        name: "speed_rpm",
        label: "Speed",
        symbol: "",
        group: READINGS,
        help: on_form(
            "Tachometer or stroboscope. 0 when the motor stands still; empty when you could not read it.",
        ),
        kind: Kind::Number(speed(0.0).start(3200.0).optional().measured()),
    },
    Field {
        name: "energized_s",
        label: "Energized for",
        symbol: "",
        group: READINGS,
        help: on_form("From pressing to letting go."),
        kind: Kind::Number(
            NumberField::new(Quantity::Time, 0.0, 600.0, "a bench run takes seconds")
                .start(4.0)
                .optional()
                .measured(),
        ),
    },
    Field {
        name: "pinion",
        label: "Pinion",
        symbol: "",
        group: READINGS,
        help: on_form("Did it jump out when energized, and go back when released?"),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("out-and-back", "Out, and back in"),
                Choice::new("stays-in", "Stayed in"),
                Choice::new("stays-out", "Stayed out"),
                Choice::new("not-checked", "Not looked at"),
            ],
            start: "out-and-back",
            other: None,
        }),
    },
    METERS,
    Field {
        name: "limit_voltage_v",
        label: "Test voltage of the sheet",
        symbol: "",
        group: LIMITS,
        help: on_form("The limits hold at this voltage. Leave it empty without a sheet."),
        kind: Kind::Number(voltage().optional()),
    },
    Field {
        name: "limit_current_min_a",
        label: "Least current",
        symbol: "",
        group: LIMITS,
        help: NO_SHEET,
        kind: Kind::Number(current(0.0).optional()),
    },
    Field {
        name: "limit_current_max_a",
        label: "Greatest current",
        symbol: "",
        group: LIMITS,
        help: NO_SHEET,
        kind: Kind::Number(current(0.1).optional()),
    },
    Field {
        name: "limit_speed_min_rpm",
        label: "Least speed",
        symbol: "",
        group: LIMITS,
        help: NO_SHEET,
        kind: Kind::Number(speed(0.0).optional()),
    },
    Field {
        name: "limit_speed_max_rpm",
        label: "Greatest speed",
        symbol: "",
        group: LIMITS,
        help: NO_SHEET,
        kind: Kind::Number(speed(1.0).optional()),
    },
];

const OUTPUTS: &[Output] = &[
    Output::state("verdict", "Verdict").large(),
    Output::state("settled_current_state", "Settled current"),
    Output::state("speed_state", "Speed"),
    Output::state("terminal_voltage_state", "Volts at the motor"),
    Output::state("peak_current_state", "Peak current"),
    Output::state("energized_state", "Time energized"),
    Output::state("pinion_state", "Pinion"),
    Output::number("wrong_verdict_percent", "Chance that this verdict is wrong", Quantity::Percent, 2).sure(),
    Output::number(
        "speed_at_sheet_voltage_rpm",
        "Speed as it would be at the sheet's voltage",
        Quantity::Speed,
        4,
    ),
    Output::number("peak_ratio", "Peak over settled current", Quantity::Ratio, 2),
    Output::number("rest_s", "Rest owed before the next run", Quantity::Time, 3).sure(),
    Output::text("likely_cause", "Likely cause"),
    Output::text("next_check", "Check next"),
];
