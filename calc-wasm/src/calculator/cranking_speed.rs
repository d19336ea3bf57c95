//! Cranking speed: gears between armature and engine, and what torque and power come through them.

use super::{Calculator, Choice, ChoiceField, Field, Kind, NumberField, Output, on_form};
use crate::unit::Quantity;

mod report;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "cranking-speed",
    title: "Cranking speed, torque and power",
    summary: "Speeds through the gears, and from volts and amps the power and torque that reach the engine.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const FIELDS: &[Field] = &[
    Field {
        name: "pinion_teeth",
        label: "Teeth of the pinion",
        symbol: "z₁",
        group: "Gears",
        help: on_form("Count them on the motor."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 5.0, 30.0, "the pinions of starting motors").start(10.0),
        ),
    },
    Field {
        name: "ring_teeth",
        label: "Teeth of the ring gear",
        symbol: "z₂",
        group: "Gears",
        help: on_form("From the maker's data, or counted with a chalk mark on the flywheel."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 40.0, 400.0, "the ring gears of engines").start(150.0),
        ),
    },
    Field {
        name: "internal_ratio",
        label: "Reduction inside the motor",
        symbol: "i_r",
        group: "Gears",
        help: on_form(
            "Turns of the armature for one turn of the pinion; 1 for a motor without gears inside.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Ratio, 1.0, 10.0, "direct drive to the greatest reduction in use")
                .start(1.0),
        ),
    },
    Field {
        name: "speed_known",
        label: "Speed known of",
        symbol: "",
        group: "Speed",
        help: on_form("A tachometer or a trace gives the engine's; commutator ripple gives the armature's."),
        kind: Kind::Choice(ChoiceField {
            options: &[Choice::new("engine", "Engine"), Choice::new("armature", "Armature")],
            start: "engine",
            other: None,
        }),
    },
    Field {
        name: "speed_rpm",
        label: "Speed",
        symbol: "n",
        group: "Speed",
        help: on_form("The mean while cranking, ignition or injection off."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Speed,
                1.0,
                30_000.0,
                "from a barely turning engine to a fast armature",
            )
            .start(200.0)
            .measured(),
        ),
    },
    Field {
        name: "cylinders",
        label: "Cylinders, four-stroke",
        symbol: "N",
        group: "Speed",
        help: on_form("Tells how often compression shows in the current. Leave empty to leave it out."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 1.0, 24.0, "the engines of vehicles and machines").optional(),
        ),
    },
    Field {
        name: "motor_voltage_v",
        label: "Volts at the motor",
        symbol: "U",
        group: "At the motor while cranking",
        help: on_form("Motor's stud to its case, not at the battery."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Voltage,
                0.5,
                600.0,
                "one cell to the direct-current motors of textbooks",
            )
            .start(10.0)
            .measured(),
        ),
    },
    Field {
        name: "motor_current_a",
        label: "Amps while cranking",
        symbol: "I",
        group: "At the motor while cranking",
        help: on_form("The mean after the first peak, by clamp or shunt."),
        kind: Kind::Number(
            NumberField::new(Quantity::Current, 0.5, 3000.0, "a motor that cranks draws something, and less")
                .start(180.0)
                .measured(),
        ),
    },
    Field {
        name: "winding_resistance_ohm",
        label: "Resistance of the winding",
        symbol: "R_w",
        group: "At the motor while cranking",
        help: on_form(
            "Armature and series field, warm as they are. Leave empty when it is not known: then only a measured torque gives power.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 2.0, "more is no starting motor")
                .optional()
                .start(0.012)
                .shown_in("mΩ")
                .measured(),
        ),
    },
    Field {
        name: "brush_drop_v",
        label: "Drop at the brushes",
        symbol: "U_b",
        group: "At the motor while cranking",
        help: on_form(
            "Both brushes together: 0.5 V to 1.5 V in low-voltage motors (common practice, no source). Type 0 when the resistance holds it already.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 0.0, 5.0, "more is a fault at the brushes").start(1.0),
        ),
    },
    Field {
        name: "friction_percent",
        label: "Lost in iron, bearings, air and gears",
        symbol: "v",
        group: "At the motor while cranking",
        help: on_form(
            "Share of what the winding and brushes leave; 5 % to 20 % (common practice, no source). Not used when a torque is measured.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Percent, 0.0, 90.0, "some of the power has to reach the engine")
                .start(10.0),
        ),
    },
    Field {
        name: "torque_from",
        label: "Torque measured",
        symbol: "",
        group: "Measured torque",
        help: on_form(
            "On a test bench: read from a torque meter, or as a force at the end of an arm. The speed above must belong to it.",
        ),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("not measured", "Not measured"),
                Choice::new("torque", "As a torque"),
                Choice::new("force and arm", "As a force at an arm"),
            ],
            start: "not measured",
            other: None,
        }),
    },
    Field {
        name: "torque_at",
        label: "Measured at",
        symbol: "",
        group: "Measured torque",
        help: on_form("Where the meter or the arm sits."),
        kind: Kind::Choice(ChoiceField {
            options: &[Choice::new("pinion", "Pinion"), Choice::new("crankshaft", "Crankshaft")],
            start: "pinion",
            other: None,
        }),
    },
    Field {
        name: "measured_torque_nm",
        label: "Torque",
        symbol: "T_m",
        group: "Measured torque",
        help: on_form("Needed when the torque is measured as a torque."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Torque,
                0.01,
                2000.0,
                "from a small motor to a large engine's crankshaft",
            )
            .optional()
            .measured(),
        ),
    },
    Field {
        name: "force_n",
        label: "Force",
        symbol: "F",
        group: "Measured torque",
        help: on_form("Square to the arm; needed with the arm."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Force,
                0.01,
                5000.0,
                "what spring scales and load cells of benches show",
            )
            .optional()
            .measured(),
        ),
    },
    Field {
        name: "arm_m",
        label: "Length of the arm",
        symbol: "a",
        group: "Measured torque",
        help: on_form("From the middle of the shaft to where the force pulls."),
        kind: Kind::Number(
            NumberField::new(Quantity::Length, 0.01, 3.0, "the torque arms of benches").optional().measured(),
        ),
    },
];

const OUTPUTS: &[Output] = &[
    Output::number("engine_speed_rpm", "Engine speed", Quantity::Speed, 3).large(),
    Output::number("armature_speed_rpm", "Armature speed", Quantity::Speed, 3).large(),
    Output::number("shaft_power_w", "Power at the shaft", Quantity::Power, 3).large(),
    Output::number("crankshaft_torque_nm", "Torque at the crankshaft", Quantity::Torque, 3).large(),
    Output::number("efficiency_percent", "Efficiency", Quantity::Percent, 3).large(),
    Output::number("pinion_torque_nm", "Torque at the pinion", Quantity::Torque, 3),
    Output::number("armature_torque_nm", "Torque on the armature, before friction", Quantity::Torque, 3),
    Output::number("pinion_speed_rpm", "Pinion speed", Quantity::Speed, 3),
    Output::number("gear_ratio", "Ring gear to pinion", Quantity::Ratio, 4),
    Output::number("total_ratio", "Armature to engine", Quantity::Ratio, 4),
    Output::number("power_in_w", "Electrical power at the motor", Quantity::Power, 3),
    Output::number("back_emf_v", "Back-EMF", Quantity::Voltage, 3),
    Output::number("air_gap_power_w", "Power turned into motion", Quantity::Power, 3),
    Output::number("winding_loss_w", "Heat in the winding", Quantity::Power, 3),
    Output::number("brush_loss_w", "Heat at the brushes", Quantity::Power, 3),
    Output::number("friction_loss_w", "Lost in iron, bearings, air and gears", Quantity::Power, 3),
    Output::number("compression_hz", "Compressions in each second", Quantity::Frequency, 3),
];
