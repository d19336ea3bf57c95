//! Voltage drop: what a cable run and its joints take from the source at a given current.

use super::{
    Calculator, Choice, ChoiceField, Field, Kind, NumberField, OtherChoice, Output, TextField, on_form,
};
use crate::unit::Quantity;

mod crank;
mod excess;
mod guide;
mod measured;
mod parts;
mod run;
mod size;
mod steps;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "voltage-drop",
    title: "Voltage drop along a cable run",
    summary: "What a cable, there and back, and its joints take from the source while current flows.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

/// Gauges and metric sizes, each thin to thick; keys are what [`size_of`] reads.
const SIZES: &[Choice] = &[
    Choice::new("AWG 14", "AWG 14"),
    Choice::new("AWG 12", "AWG 12"),
    Choice::new("AWG 10", "AWG 10"),
    Choice::new("AWG 8", "AWG 8"),
    Choice::new("AWG 6", "AWG 6"),
    Choice::new("AWG 4", "AWG 4"),
    Choice::new("AWG 3", "AWG 3"),
    Choice::new("AWG 2", "AWG 2"),
    Choice::new("AWG 1", "AWG 1"),
    Choice::new("AWG 1/0", "AWG 1/0"),
    Choice::new("AWG 2/0", "AWG 2/0"),
    Choice::new("AWG 3/0", "AWG 3/0"),
    Choice::new("AWG 4/0", "AWG 4/0"),
    Choice::new("1.5 mm2", "1.5 mm²"),
    Choice::new("2.5 mm2", "2.5 mm²"),
    Choice::new("4 mm2", "4 mm²"),
    Choice::new("6 mm2", "6 mm²"),
    Choice::new("10 mm2", "10 mm²"),
    Choice::new("16 mm2", "16 mm²"),
    Choice::new("25 mm2", "25 mm²"),
    Choice::new("35 mm2", "35 mm²"),
    Choice::new("50 mm2", "50 mm²"),
    Choice::new("70 mm2", "70 mm²"),
    Choice::new("95 mm2", "95 mm²"),
    Choice::new("120 mm2", "120 mm²"),
];

const FIELDS: &[Field] = &[
    Field {
        name: "conductor_size",
        label: "Conductor size",
        symbol: "",
        group: "Conductor",
        help: on_form("Gauge or metric size as printed on the cable. Not printed? Choose another area."),
        kind: Kind::Choice(ChoiceField {
            options: SIZES,
            start: "AWG 2",
            other: Some(OtherChoice {
                label: "Another area",
                number: NumberField::new(
                    Quantity::Area,
                    0.2,
                    1000.0,
                    "the areas of cables in vehicles and benches",
                ),
            }),
        }),
    },
    Field {
        name: "conductor_class",
        label: "Make-up of a metric size",
        symbol: "",
        group: "Conductor",
        help: on_form(
            "Class 5 has fine strands, class 2 coarse ones. A gauge or a typed area does not use it.",
        ),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("class 5", "Class 5, flexible"),
                Choice::new("class 2", "Class 2, stranded"),
            ],
            start: "class 5",
            other: None,
        }),
    },
    Field {
        name: "conductor_material",
        label: "Metal",
        symbol: "",
        group: "Conductor",
        help: on_form("Starter cables are copper unless the maker says otherwise."),
        kind: Kind::Choice(ChoiceField {
            options: &[Choice::new("copper", "Copper"), Choice::new("aluminium", "Aluminium")],
            start: "copper",
            other: None,
        }),
    },
    Field {
        name: "conductor_temperature_c",
        label: "Temperature of the conductor",
        symbol: "T",
        group: "Conductor",
        help: on_form("A hot cable resists more."),
        kind: Kind::Number(
            NumberField::new(Quantity::Temperature, -50.0, 200.0, "beyond it no cable insulation works")
                .start(20.0)
                .measured(),
        ),
    },
    Field {
        name: "run_out_m",
        label: "Run out",
        symbol: "L₁",
        group: "Run",
        help: on_form("From the source's positive to the motor."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Length,
                0.01,
                100.0,
                "a run has a length, and no cranking circuit is longer",
            )
            .start(1.8),
        ),
    },
    Field {
        name: "run_return_m",
        label: "Run back",
        symbol: "L₂",
        group: "Run",
        help: on_form(
            "From the motor back to the source. Current comes back too; type 0 to look at one cable alone.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Length, 0.0, 100.0, "no cranking circuit is longer").start(1.8),
        ),
    },
    Field {
        name: "joint_count",
        label: "Joints",
        symbol: "n",
        group: "Run",
        help: on_form("Count lugs, clamps and studs, out and back."),
        kind: Kind::Number(
            NumberField::new(Quantity::Count, 0.0, 50.0, "more joints than any run has").start(4.0),
        ),
    },
    Field {
        name: "joint_resistance_ohm",
        label: "Resistance of one joint",
        symbol: "R₁",
        group: "Run",
        help: on_form("A clean, tight joint has a tenth of a milliohm or less."),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 0.0, 1.0, "more is a fault and not a joint")
                .start(0.000_1)
                .shown_in("mΩ")
                .measured(),
        ),
    },
    Field {
        name: "current_a",
        label: "Current",
        symbol: "I",
        group: "Load",
        help: on_form("The current that flows while you measure."),
        kind: Kind::Number(
            NumberField::new(Quantity::Current, 0.1, 5000.0, "no current, no drop").start(180.0).measured(),
        ),
    },
    Field {
        name: "system_voltage_v",
        label: "System voltage",
        symbol: "U₀",
        group: "Load",
        help: on_form("12 V or 24 V, or what the source holds under this load."),
        kind: Kind::Number(
            NumberField::new(Quantity::Voltage, 1.0, 100.0, "the systems of vehicles and benches")
                .start(12.0)
                .measured(),
        ),
    },
    Field {
        name: "allowed_drop_v",
        label: "Allowed drop",
        symbol: "U_a",
        group: "Load",
        help: on_form(
            "From the maker's data; without them, the limit that your school has chosen. Write its source beside it.",
        ),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Voltage,
                0.001,
                50.0,
                "a limit is more than nothing and less than the source",
            )
            .start(0.5),
        ),
    },
    Field {
        name: "circuit_duty",
        label: "Kind of circuit",
        symbol: "",
        group: "Load",
        help: on_form(
            "Chooses the guide for the whole circuit: cars and light trucks, or heavy trucks, buses and machines.",
        ),
        kind: Kind::Choice(ChoiceField {
            options: &[Choice::new("light", "Light and medium duty"), Choice::new("heavy", "Heavy duty")],
            start: "light",
            other: None,
        }),
    },
    Field {
        name: "crank_time_s",
        label: "Length of one crank",
        symbol: "t",
        group: "Load",
        help: on_form("How long this current flows; the conductor warms meanwhile."),
        kind: Kind::Number(
            NumberField::new(
                Quantity::Time,
                0.0,
                120.0,
                "manuals stop a crank at 30 s; a longer one is a short circuit",
            )
            .start(10.0)
            .measured(),
        ),
    },
    Field {
        name: "parts",
        label: "Parts",
        symbol: "",
        group: "Parts of the circuit",
        help: on_form(
            "One part a line: name; size, or the resistance of a switch; length; joints; drop measured. Parts listed here take the place of run out, run back and joints. A semicolon or a tab parts the cells, a comma is a decimal mark; the last cells may be left out. A drop may carry its ±, as 0.21 ± 0.01 V or 0.21 ± (0.5 % + 2) V.",
        ),
        kind: Kind::Text(TextField {
            start: "",
            example: "Battery to solenoid; AWG 2; 1.8 m; 2 joints; 0.21 V",
            required: false,
            file: false,
            most_bytes: 4000,
        }),
    },
    Field {
        name: "sought_resistance_per_metre_ohm",
        label: "Greatest resistance of one metre",
        symbol: "r_g",
        group: "Look up a size",
        help: on_form(
            "Names the thinnest sizes that resist no more, at the temperature above. Leave empty to look nothing up.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::ResistancePerLength, 1e-6, 1.0, "from a bus bar to a thin wire")
                .optional()
                .shown_in("mΩ/m"),
        ),
    },
    Field {
        name: "sought_loop_resistance_ohm",
        label: "Greatest resistance of the loop",
        symbol: "R_g",
        group: "Look up a size",
        help: on_form(
            "The same from the whole loop: joints and switches are taken off, the rest is shared by the length of cable.",
        ),
        kind: Kind::Number(
            NumberField::new(Quantity::Resistance, 1e-6, 10.0, "from a bus bar to a long thin wire")
                .optional()
                .shown_in("mΩ")
                .measured(),
        ),
    },
];

const OUTPUTS: &[Output] = &[
    Output::number("measured_drop_v", "Drop of the circuit as measured", Quantity::Voltage, 3).large(),
    Output::number("drop_v", "Drop, calculated", Quantity::Voltage, 3).large(),
    Output::number("drop_percent", "Share of system voltage, calculated", Quantity::Percent, 3).large(),
    Output::state("verdict", "Verdict").large(),
    Output::number("loop_resistance_ohm", "Resistance of the loop", Quantity::Resistance, 4),
    Output::number("resistance_per_metre_ohm", "Resistance of one metre", Quantity::ResistancePerLength, 4),
    Output::number("loss_w", "Heat made in the run, calculated", Quantity::Power, 3),
    Output::text("smallest_size", "Thinnest conductor that passes"),
    Output::text("smallest_other_size", "Thinnest that passes in the other list"),
    Output::number("largest_run_m", "Longest run that passes, out and back together", Quantity::Length, 3),
    Output::number(
        "temperature_rise_k",
        "Warming of the conductor in one crank",
        Quantity::TemperatureRise,
        3,
    ),
    Output::number("end_temperature_c", "Conductor at the end of the crank", Quantity::Temperature, 3),
    Output::number("drop_end_v", "Drop at the end of the crank", Quantity::Voltage, 3),
    Output::number("guide_drop_v", "Guide for cables and joints at this current", Quantity::Voltage, 3),
    Output::number("guide_left_v", "Left of the guide", Quantity::Voltage, 2),
    Output::state("guide_verdict", "Against the guide"),
    Output::text("excess_part", "Greatest excess over the calculated drop"),
    Output::number("excess_v", "Greatest excess, as a drop", Quantity::Voltage, 2),
    Output::number("excess_ohm", "Greatest excess, as a resistance", Quantity::Resistance, 2),
    Output::text("looked_up_size", "Thinnest sizes for the resistance sought"),
];
