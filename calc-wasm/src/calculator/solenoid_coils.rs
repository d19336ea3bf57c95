//! Solenoid coils: what the pull-in and the hold-in coil draw, cold and hot, and how their resistances can be measured.

use super::{Calculator, Field, Kind, NumberField, Output, on_form};
use crate::unit::Quantity;

mod judge;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "solenoid-coils",
    title: "The two coils of a solenoid",
    summary: "Currents of the pull-in and the hold-in coil, together and alone, cold and hot, and whether a meter can judge them.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const OHMS: &str = "Resistances, by the ohmmeter or known";
const DROP: &str = "By current and drop, better";
const WORK: &str = "At work";
const METER: &str = "Your ohmmeter";
const SHEET: &str = "From the maker's sheet";
const PAIR: &str =
    "Volts and amps belong together: fill in both or neither. They are used in place of the ohms above.";
const NO_SHEET: &str = "At 20 °C. Leave it empty when the sheet does not say.";

const fn coil() -> NumberField {
    NumberField::new(
        Quantity::Resistance,
        0.001,
        1000.0,
        "from the strongest pull-in coil to a coil that is nearly open",
    )
}

const fn drop() -> NumberField {
    NumberField::new(Quantity::Voltage, 0.001, 100.0, "the range of a voltmeter on a bench")
}

const fn current() -> NumberField {
    NumberField::new(Quantity::Current, 0.01, 1000.0, "the range of meters for solenoid coils")
}

const fn temperature() -> NumberField {
    NumberField::new(Quantity::Temperature, -50.0, 250.0, "beyond it no winding insulation works")
}

const fn meter(why: &'static str) -> NumberField {
    NumberField::new(Quantity::Resistance, 0.0, 10.0, why)
}

const FIELDS: &[Field] = &[
    Field {
        name: "pull_in_resistance_ohm",
        label: "Pull-in coil, ohms",
        symbol: "R_p",
        group: OHMS,
        help: on_form(
            "From terminal 50 (S) to terminal 45 (M), the motor's lead taken off: the reading less its leads.",
        ),
        kind: Kind::Number(coil().start(0.15).optional().measured()),
    },
    Field {
        name: "hold_in_resistance_ohm",
        label: "Hold-in coil, ohms",
        symbol: "R_h",
        group: OHMS,
        help: on_form("From terminal 50 (S) to bare metal of the case: the reading less its leads."),
        kind: Kind::Number(coil().start(0.62).optional().measured()),
    },
    Field {
        name: "pull_in_drop_v",
        label: "Pull-in coil, volts across",
        symbol: "U_p",
        group: DROP,
        help: PAIR,
        kind: Kind::Number(drop().optional().measured()),
    },
    Field {
        name: "pull_in_test_a",
        label: "Pull-in coil, test amps",
        symbol: "I_p",
        group: DROP,
        help: PAIR,
        kind: Kind::Number(current().optional().measured()),
    },
    Field {
        name: "hold_in_drop_v",
        label: "Hold-in coil, volts across",
        symbol: "U_h",
        group: DROP,
        help: PAIR,
        kind: Kind::Number(drop().optional().measured()),
    },
    Field {
        name: "hold_in_test_a",
        label: "Hold-in coil, test amps",
        symbol: "I_h",
        group: DROP,
        help: PAIR,
        kind: Kind::Number(current().optional().measured()),
    },
    Field {
        name: "coil_temperature_c",
        label: "Temperature while measured",
        symbol: "T₁",
        group: WORK,
        help: on_form("A solenoid that has lain for hours has the room's temperature."),
        kind: Kind::Number(temperature().start(20.0).measured()),
    },
    Field {
        name: "working_temperature_c",
        label: "Temperature at work",
        symbol: "T₂",
        group: WORK,
        help: on_form("In a hot engine bay or after repeated runs."),
        kind: Kind::Number(temperature().start(80.0)),
    },
    Field {
        name: "start_terminal_v",
        label: "Volts at terminal 50 (S)",
        symbol: "U",
        group: WORK,
        help: on_form("While the coils draw, to the case; or the test voltage of the sheet."),
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.5, 100.0, "the control voltages of vehicles and benches")
                .start(10.0)
                .measured(),
        ),
    },
    Field {
        name: "motor_path_ohm",
        label: "Way through the motor",
        symbol: "R_m",
        group: WORK,
        help: on_form(
            "From terminal 45 (M) through the motor to the case; the pull-in current returns there. Empty counts as nothing.",
        ),
        kind: Kind::Number(meter("more is an open motor").optional().shown_in("mΩ")),
    },
    Field {
        name: "meter_step_ohm",
        label: "Last figure of its display",
        symbol: "r",
        group: METER,
        help: on_form("0.1 Ω on most hand-held meters (common practice, no source)."),
        kind: Kind::Number(meter("more is no ohmmeter for coils").start(0.1)),
    },
    Field {
        name: "meter_leads_ohm",
        label: "Its leads, held together",
        symbol: "R_t",
        group: METER,
        help: on_form(
            "What it shows with the two tips pressed together, often 0.1 Ω to 0.5 Ω (common practice, no source).",
        ),
        kind: Kind::Number(meter("more is a broken lead").start(0.2).measured()),
    },
    Field {
        name: "sheet_pull_in_ohm",
        label: "Pull-in coil, sheet",
        symbol: "",
        group: SHEET,
        help: NO_SHEET,
        kind: Kind::Number(coil().optional()),
    },
    Field {
        name: "sheet_hold_in_ohm",
        label: "Hold-in coil, sheet",
        symbol: "",
        group: SHEET,
        help: NO_SHEET,
        kind: Kind::Number(coil().optional()),
    },
    Field {
        name: "sheet_tolerance_percent",
        label: "Allowed off the sheet, ±",
        symbol: "",
        group: SHEET,
        help: on_form("From the sheet; ± 10 % is common for coils (common practice, no source)."),
        kind: Kind::Number(
            NumberField::new(Quantity::Percent, 0.0, 50.0, "a wider limit judges nothing").start(10.0),
        ),
    },
];

const OUTPUTS: &[Output] = &[
    Output::number("both_cold_a", "Current of both coils, as measured", Quantity::Current, 3).large(),
    Output::number("hold_in_cold_a", "Current of the hold-in coil alone, as measured", Quantity::Current, 3)
        .large(),
    Output::state("pull_in_state", "Pull-in coil against the sheet"),
    Output::state("hold_in_state", "Hold-in coil against the sheet"),
    Output::number("pull_in_cold_a", "Current of the pull-in coil, as measured", Quantity::Current, 3),
    Output::number("pull_in_hot_a", "Current of the pull-in coil, at work", Quantity::Current, 3),
    Output::number("hold_in_hot_a", "Current of the hold-in coil, at work", Quantity::Current, 3),
    Output::number("both_hot_a", "Current of both coils, at work", Quantity::Current, 3),
    Output::number("both_cold_w", "Power of both, as measured", Quantity::Power, 3),
    Output::number("hold_in_cold_w", "Power of the hold-in coil, as measured", Quantity::Power, 3),
    Output::number("hold_in_hot_w", "Power of the hold-in coil, at work", Quantity::Power, 3),
    Output::number("pull_in_ohm", "Resistance of the pull-in coil, as measured", Quantity::Resistance, 3),
    Output::number("hold_in_ohm", "Resistance of the hold-in coil, as measured", Quantity::Resistance, 3),
    Output::number("pull_in_20c_ohm", "Resistance of the pull-in coil, at 20 °C", Quantity::Resistance, 3),
    Output::number("hold_in_20c_ohm", "Resistance of the hold-in coil, at 20 °C", Quantity::Resistance, 3),
    Output::number("pull_in_hot_ohm", "Resistance of the pull-in coil, at work", Quantity::Resistance, 3),
    Output::number("hold_in_hot_ohm", "Resistance of the hold-in coil, at work", Quantity::Resistance, 3),
    Output::number("meter_error_percent", "Ohmmeter off on the pull-in coil, up to", Quantity::Percent, 2),
    Output::number("hidden_turns_percent", "Pull-in turns that may be shorted unseen", Quantity::Percent, 2),
    Output::number(
        "hidden_hold_turns_percent",
        "Hold-in turns that may be shorted unseen",
        Quantity::Percent,
        2,
    ),
];
