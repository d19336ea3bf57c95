//! Source under two loads: what a battery or bench supply is inside, and what it will give a motor.

use super::{Calculator, Field, Kind, METERS, NumberField, Output, on_form};
use crate::unit::Quantity;

mod charge;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "source-load",
    title: "A source under two loads",
    summary: "Open-circuit voltage and resistance inside from a light and a heavy load, and the volts left at the motor's draw.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const LIGHT: &str = "Light load";
const HEAVY: &str = "Heavy load";
const MOTOR: &str = "The motor";
const CHARGE: &str = "Charge, lead-acid only";
const BANK: &str = "Bank of sources like this one";

const fn voltage(minimum: f64) -> NumberField {
    NumberField::new(
        Quantity::Voltage,
        minimum,
        200.0,
        "from one cell to the highest that a bench class should meet",
    )
}

const fn current(minimum: f64) -> NumberField {
    NumberField::new(Quantity::Current, minimum, 5000.0, "the range of clamp meters for starting motors")
}

const fn count(why: &'static str) -> NumberField {
    NumberField::new(Quantity::Count, 1.0, 100.0, why)
}

const FIELDS: &[Field] = &[
    Field {
        name: "light_voltage_v",
        label: "Volts, light load",
        symbol: "U₁",
        group: LIGHT,
        help: on_form("On the posts themselves, not on the clamps, with the light load on."),
        kind: Kind::Number(voltage(0.1).start(12.3).measured()),
    },
    Field {
        name: "light_current_a",
        label: "Amps, light load",
        symbol: "I₁",
        group: LIGHT,
        help: on_form(
            "Type 0 for nothing connected; a small load is better, because it takes the surface charge off.",
        ),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Current,
                0.0,
                1000.0,
                "a light load is at most a fifth of the heaviest that can be typed",
            )
            .start(50.0)
            .measured(),
        ),
    },
    Field {
        name: "heavy_voltage_v",
        label: "Volts, heavy load",
        symbol: "U₂",
        group: HEAVY,
        help: on_form("On the posts, at the same moment as the amps, after the same few seconds of load."),
        kind: Kind::Number(voltage(0.0).start(11.4).measured()),
    },
    Field {
        name: "heavy_current_a",
        label: "Amps, heavy load",
        symbol: "I₂",
        group: HEAVY,
        help: on_form("From a load tester or a motor; several times the light load."),
        kind: Kind::Number(current(0.001).start(250.0).measured()),
    },
    Field {
        name: "motor_current_a",
        label: "Draw of the motor",
        symbol: "I",
        group: MOTOR,
        help: on_form("Measured, or from the calculator of the draw to expect."),
        kind: Kind::Number(current(0.0).start(180.0).measured()),
    },
    Field {
        name: "least_voltage_v",
        label: "Least volts wanted",
        symbol: "U_min",
        group: MOTOR,
        help: on_form(
            "Below this the motor or its control gives up; 9.6 V is a usual limit for a 12 V battery while cranking (US Army TM 10-3930-671-24).",
        ),
        kind: Kind::Number(voltage(0.0).start(9.6).optional()),
    },
    Field {
        name: "rested_voltage_v",
        label: "Volts, rested",
        symbol: "U_r",
        group: CHARGE,
        help: on_form(
            "Of the whole source, nothing connected, hours after the last charge or load. Leave it empty for anything but lead-acid.",
        ),
        kind: Kind::Number(voltage(0.1).optional().measured()),
    },
    Field {
        name: "blocks_in_series",
        label: "12 V blocks in this source",
        symbol: "b",
        group: CHARGE,
        help: on_form("1 for a 12 V battery, 2 for a 24 V source of two."),
        kind: Kind::Number(count("a source is made of whole blocks").start(1.0)),
    },
    Field {
        name: "specific_gravity",
        label: "Specific gravity of the acid",
        symbol: "g",
        group: CHARGE,
        help: on_form(
            "From a hydrometer, the lowest cell; only for cells with caps. Leave it empty otherwise.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Ratio, 1.0, 1.4, "from water to acid stronger than any battery's")
                .optional()
                .measured(),
        ),
    },
    Field {
        name: "battery_temperature_c",
        label: "Temperature of the battery",
        symbol: "T",
        group: CHARGE,
        help: on_form(
            "Of the acid, or of the room in which it has stood for a day. Cold takes cranking power away.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, -50.0, 80.0, "beyond it a battery freezes or boils")
                .optional()
                .measured(),
        ),
    },
    Field {
        name: "bank_in_series",
        label: "Sources in series",
        symbol: "n_s",
        group: BANK,
        help: on_form("Plus to minus, so that volts add up. Leave both empty when there is no bank."),
        kind: Kind::Number(count("a bank is made of whole sources").optional()),
    },
    Field {
        name: "bank_side_by_side",
        label: "Rows side by side",
        symbol: "n_p",
        group: BANK,
        help: on_form("Plus to plus and minus to minus, so that amps are shared."),
        kind: Kind::Number(count("a bank is made of whole sources").optional()),
    },
    METERS,
];

const OUTPUTS: &[Output] = &[
    Output::number("open_circuit_v", "Open-circuit voltage", Quantity::Voltage, 4).large(),
    Output::number("internal_resistance_ohm", "Resistance inside", Quantity::Resistance, 3).large(),
    Output::number("terminal_voltage_v", "Volts at the motor's draw", Quantity::Voltage, 3).large(),
    Output::state("least_voltage_state", "Against the least volts wanted"),
    Output::number("lost_power_w", "Heat inside the source", Quantity::Power, 3),
    Output::number("largest_current_a", "Most amps at the least volts wanted", Quantity::Current, 3),
    Output::number("short_circuit_a", "Short-circuit current", Quantity::Current, 3),
    Output::number("charge_percent", "Charge by rested volts", Quantity::Percent, 2),
    Output::number("gravity_charge_percent", "Charge by specific gravity", Quantity::Percent, 2),
    Output::number("cranking_power_percent", "Cranking power kept at this temperature", Quantity::Percent, 2),
    Output::number("bank_open_circuit_v", "Bank: open-circuit voltage", Quantity::Voltage, 4),
    Output::number("bank_resistance_ohm", "Bank: resistance inside", Quantity::Resistance, 3),
    Output::number("bank_terminal_v", "Bank: volts at the motor's draw", Quantity::Voltage, 3),
    Output::state("bank_least_voltage_state", "Bank: against the least volts wanted"),
    Output::number("bank_short_circuit_a", "Bank: short-circuit current", Quantity::Current, 3),
];
