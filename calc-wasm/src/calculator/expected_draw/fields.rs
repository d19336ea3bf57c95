//! What is typed into `expected-draw`.

use crate::calculator::{Choice, ChoiceField, Field, Kind, NumberField, on_form};
use crate::unit::Quantity;

const SHEET_LOCKED_HELP: &str = "From the locked line of the data sheet, with the shaft held; leave empty without one. Never try it yourself.";
const SHEET_HELP: &str = "From the free-spin line of the motor's data sheet, taken at 20 °C. Leave all three empty without a sheet.";

/// What is typed, in the order of the form.
pub(super) const FIELDS: &[Field] = &[
    Field {
        name: "winding_resistance_ohm",
        label: "Resistance measured",
        symbol: "R₁",
        group: "Winding",
        help: on_form(
            "Terminal to case, through brushes and windings: by current and voltage drop; a hand-held ohmmeter cannot show milliohms.",
        ),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Resistance,
                0.000_1,
                100.0,
                "from the largest starting motor to a small solenoid",
            )
            .start(0.012)
            .shown_in("mΩ")
            .measured(),
        ),
    },
    Field {
        name: "winding_temperature_c",
        label: "Temperature while measured",
        symbol: "T₁",
        group: "Winding",
        help: on_form("A motor that has stood for hours has the room's temperature."),
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, -50.0, 250.0, "beyond it no winding insulation works")
                .start(20.0)
                .measured(),
        ),
    },
    Field {
        name: "working_temperature_c",
        label: "Temperature at work",
        symbol: "T₂",
        group: "Winding",
        help: on_form("The same for a first run from cold; more after repeated runs."),
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
        help: on_form("Open-circuit voltage of the battery or bench supply."),
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.5, 100.0, "the sources of vehicles and benches")
                .start(12.6)
                .measured(),
        ),
    },
    Field {
        name: "source_resistance_ohm",
        label: "Resistance inside the source",
        symbol: "R_s",
        group: "Source and leads",
        help: on_form("A healthy 12 V starter battery has 4 mΩ to 10 mΩ (common practice, no source)."),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 10.0, "more is no source for a starting motor")
                .start(0.006)
                .shown_in("mΩ")
                .measured(),
        ),
    },
    Field {
        name: "lead_resistance_ohm",
        label: "Leads and joints",
        symbol: "R_l",
        group: "Source and leads",
        help: on_form("Out and back together; work it with the voltage-drop calculator."),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 10.0, "more is a fault and not a lead")
                .start(0.001_5)
                .shown_in("mΩ")
                .measured(),
        ),
    },
    Field {
        name: "contact_resistance_ohm",
        label: "Main contact",
        symbol: "R_c",
        group: "Source and leads",
        help: on_form(
            "The closed contact of the solenoid switch; 0 when the leads hold it already. A sound one has less than 0.5 mΩ (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 10.0, "more is a fault and not a contact")
                .start(0.0)
                .shown_in("mΩ")
                .measured()
                .optional(),
        ),
    },
    Field {
        name: "brush_drop_v",
        label: "Drop at the brushes",
        symbol: "U_b",
        group: "Source and leads",
        help: on_form(
            "Both brushes together: 0.5 V to 1.5 V in low-voltage motors (common practice, no source). Type 0 when the measured resistance holds it already.",
        ),
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
    Field {
        name: "sheet_locked_voltage_v",
        label: "Held: volts",
        symbol: "U_H",
        group: "Motor's data sheet, shaft held",
        help: SHEET_LOCKED_HELP,
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.1, 100.0, "the test voltages of starting motors")
                .optional(),
        ),
    },
    Field {
        name: "sheet_locked_current_a",
        label: "Held: amps",
        symbol: "I_H",
        group: "Motor's data sheet, shaft held",
        help: SHEET_LOCKED_HELP,
        kind: Kind::Number(
            NumberField::new(Quantity::Current, 0.1, 10_000.0, "from a small motor to the largest")
                .optional(),
        ),
    },
    Field {
        name: "sheet_locked_torque_nm",
        label: "Held: torque",
        symbol: "M_H",
        group: "Motor's data sheet, shaft held",
        help: SHEET_LOCKED_HELP,
        kind: Kind::Number(
            NumberField::new(Quantity::Torque, 0.001, 1000.0, "from a small motor to the largest").optional(),
        ),
    },
    Field {
        name: "field",
        label: "Field",
        symbol: "",
        group: "Motor",
        help: on_form(
            "What makes the magnetic field: coils in series with the armature, magnets, or coils across the terminals.",
        ),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("series", "series coils"),
                Choice::new("permanent-magnet", "permanent magnets"),
                Choice::new("shunt", "shunt coils"),
            ],
            start: "series",
            other: None,
        }),
    },
    Field {
        name: "shunt_resistance_ohm",
        label: "Shunt coils",
        symbol: "R_f",
        group: "Motor",
        help: on_form(
            "Only for shunt coils; then the resistance measured is that of the armature alone. 1 Ω to 3 Ω at 12 V (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.01, 1000.0, "coils across the terminals")
                .start(2.0)
                .optional(),
        ),
    },
    Field {
        name: "shunt_inductance_h",
        label: "Inductance of shunt coils",
        symbol: "L_f",
        group: "Motor",
        help: on_form("Only for shunt coils. The start value is common practice, no source."),
        kind: Kind::Number(
            NumberField::new(Quantity::Inductance, 0.000_1, 100.0, "coils of many turns")
                .start(0.05)
                .shown_in("mH")
                .optional(),
        ),
    },
    Field {
        name: "winding_inductance_h",
        label: "Inductance of the winding",
        symbol: "L",
        group: "Motor",
        help: on_form(
            "Armature and series coils together: 20 µH to 200 µH at 12 V (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Inductance, 1e-7, 1.0, "from nearly none to a large coil")
                .start(0.000_05)
                .shown_in("µH")
                .optional(),
        ),
    },
    Field {
        name: "rotor_inertia_kg_m2",
        label: "Inertia of the rotor",
        symbol: "J_r",
        group: "Motor",
        help: on_form(
            "3 kg·cm² to 20 kg·cm² for starting motors of cars and trucks (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Inertia, 0.000_001, 1.0, "from a toy to a machine")
                .start(0.000_8)
                .shown_in("kg·cm²")
                .optional(),
        ),
    },
    Field {
        name: "drive_inertia_kg_m2",
        label: "Inertia of what turns with it",
        symbol: "J_d",
        group: "Motor",
        help: on_form(
            "Gear, pinion and drive, as seen from the armature's shaft; often less than the rotor's (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Inertia, 0.0, 1.0, "from nothing to a machine")
                .start(0.0)
                .shown_in("kg·cm²")
                .optional(),
        ),
    },
    Field {
        name: "windage_share_percent",
        label: "Air's share of the drag",
        symbol: "s",
        group: "Motor",
        help: on_form(
            "Spinning free at the sheet's speed: the rest is bearings and brushes, the same at every speed. Half each is common practice, no source.",
        ),
        kind: Kind::Number(NumberField::new(Quantity::Percent, 0.0, 100.0, "a share").start(50.0).optional()),
    },
    Field {
        name: "winding_heat_capacity_j_per_k",
        label: "Heat capacity of the winding",
        symbol: "C",
        group: "Motor",
        help: on_form(
            "385 J/K for each kilogram of copper; the start value stands for 0.8 kg (common practice, no source).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::HeatCapacity, 1.0, 100_000.0, "from 3 g of copper to a large machine")
                .start(300.0)
                .optional(),
        ),
    },
    Field {
        name: "winding_limit_c",
        label: "Winding may reach",
        symbol: "T_m",
        group: "Motor",
        help: on_form("120 °C where nothing better is known (common practice, no source)."),
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, 30.0, 300.0, "limits of windings")
                .start(120.0)
                .optional(),
        ),
    },
    Field {
        name: "energized_s",
        label: "Energized for",
        symbol: "t",
        group: "Run",
        help: on_form("A bench run ends after a few seconds."),
        kind: Kind::Number(
            NumberField::new(Quantity::Time, 0.01, 60.0, "longer than any motor is energized")
                .start(3.0)
                .optional(),
        ),
    },
    Field {
        name: "meter_window_s",
        label: "Meter averages over",
        symbol: "w",
        group: "Run",
        help: on_form(
            "How long the meter gathers for one number: 100 ms to 400 ms for a hand-held meter, 1 ms to 100 ms with peak hold (common practice, no source; see its data sheet).",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Time, 0.000_01, 10.0, "from a fast recorder to a slow display")
                .start(0.1)
                .shown_in("ms")
                .optional(),
        ),
    },
    Field {
        name: "read_peak_a",
        label: "Peak read",
        symbol: "",
        group: "Read at the bench",
        help: on_form("The greatest number that the meter showed or held, with the window above."),
        kind: Kind::Number(
            NumberField::new(Quantity::Current, 0.0, 20_000.0, "what a clamp meter can show")
                .measured()
                .optional(),
        ),
    },
    Field {
        name: "read_settled_a",
        label: "Settled draw read",
        symbol: "",
        group: "Read at the bench",
        help: on_form("Once the number stands still."),
        kind: Kind::Number(
            NumberField::new(Quantity::Current, 0.0, 20_000.0, "what a clamp meter can show")
                .measured()
                .optional(),
        ),
    },
    Field {
        name: "read_speed_rpm",
        label: "Speed read",
        symbol: "",
        group: "Read at the bench",
        help: on_form("Once the speed stands still."),
        kind: Kind::Number(
            NumberField::new(Quantity::Speed, 0.0, 100_000.0, "what a tachometer can show")
                .measured()
                .optional(),
        ),
    },
];
