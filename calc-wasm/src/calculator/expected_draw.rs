//! Expected draw: the current to expect from a winding's resistance and what feeds it.

use super::{Calculator, Field, Kind, NumberField, Output};
use crate::unit::Quantity;

mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "expected-draw",
    title: "Draw to expect from a motor",
    summary: "The first kick from the winding's resistance, and the settled draw when the motor's sheet is known.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const SHEET_HELP: &str =
    "From the free-spin line of the motor's data sheet. Leave all three empty without a sheet.";

const FIELDS: &[Field] = &[
    Field {
        name: "winding_resistance_ohm",
        label: "Resistance measured",
        symbol: "R₁",
        group: "Winding",
        help: "Terminal to case, through brushes and windings: by current and voltage drop; a hand-held ohmmeter cannot show milliohms.",
        kind: Kind::Number(
            NumberField::new(
                Quantity::Resistance,
                0.000_1,
                100.0,
                "from the largest starting motor to a small solenoid",
            )
            .start(0.012)
            .shown_in("mΩ"),
        ),
    },
    Field {
        name: "winding_temperature_c",
        label: "Temperature while measured",
        symbol: "T₁",
        group: "Winding",
        help: "A motor that has stood for hours has the room's temperature.",
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, -50.0, 250.0, "beyond it no winding insulation works")
                .start(20.0),
        ),
    },
    Field {
        name: "working_temperature_c",
        label: "Temperature at work",
        symbol: "T₂",
        group: "Winding",
        help: "The same for a first run from cold; more after repeated runs.",
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, -50.0, 250.0, "beyond it no winding insulation works")
                .start(20.0),
        ),
    },
    Field {
        name: "source_voltage_v",
        label: "Source, nothing connected",
        symbol: "U₀",
        group: "Source and leads",
        help: "Open-circuit voltage of the battery or bench supply.",
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.5, 100.0, "the sources of vehicles and benches")
                .start(12.6),
        ),
    },
    Field {
        name: "source_resistance_ohm",
        label: "Resistance inside the source",
        symbol: "R_s",
        group: "Source and leads",
        help: "A healthy 12 V starter battery has 4 mΩ to 10 mΩ (common practice, no source).",
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 10.0, "more is no source for a starting motor")
                .start(0.006)
                .shown_in("mΩ"),
        ),
    },
    Field {
        name: "lead_resistance_ohm",
        label: "Leads and joints",
        symbol: "R_l",
        group: "Source and leads",
        help: "Out and back together; work it with the voltage-drop calculator.",
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 10.0, "more is a fault and not a lead")
                .start(0.001_5)
                .shown_in("mΩ"),
        ),
    },
    Field {
        name: "brush_drop_v",
        label: "Drop at the brushes",
        symbol: "U_b",
        group: "Source and leads",
        help: "Both brushes together: 0.5 V to 1.5 V in low-voltage motors (common practice, no source). Type 0 when the measured resistance holds it already.",
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.0, 5.0, "more is a fault at the brushes").start(1.0),
        ),
    },
    Field {
        name: "sheet_voltage_v",
        label: "Free spin: volts",
        symbol: "U",
        group: "Motor's data sheet",
        help: SHEET_HELP,
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.5, 100.0, "the test voltages of starting motors")
                .optional(),
        ),
    },
    Field {
        name: "sheet_current_a",
        label: "Free spin: amps",
        symbol: "I",
        group: "Motor's data sheet",
        help: SHEET_HELP,
        kind: Kind::Number(
            NumberField::new(
                Quantity::Current,
                0.1,
                1000.0,
                "a motor that spins free draws something, and less",
            )
            .optional(),
        ),
    },
    Field {
        name: "sheet_speed_rpm",
        label: "Free spin: speed",
        symbol: "n",
        group: "Motor's data sheet",
        help: SHEET_HELP,
        kind: Kind::Number(
            NumberField::new(Quantity::Speed, 10.0, 100_000.0, "a motor that spins free turns").optional(),
        ),
    },
];

const OUTPUTS: &[Output] = &[
    Output::number("locked_current_a", "First instant, not yet turning", Quantity::Current, 3).large(),
    Output::number("settled_current_a", "Settled, spinning free", Quantity::Current, 3).large(),
    Output::number("settled_speed_rpm", "Settled speed", Quantity::Speed, 3).large(),
    Output::number("locked_terminal_v", "Volts at the motor in the first instant", Quantity::Voltage, 3),
    Output::number("resistance_at_20c_ohm", "Winding at 20 °C", Quantity::Resistance, 4),
    Output::number("resistance_at_work_ohm", "Winding at work", Quantity::Resistance, 4),
];
