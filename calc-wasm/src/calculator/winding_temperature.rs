//! Winding temperature: how hot a winding is, from how much its resistance has grown, and the way back.

use super::{
    Calculator, Choice, ChoiceField, Field, Kind, METERS, NumberField, OtherChoice, Output, on_form,
};
use crate::unit::Quantity;

mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "winding-temperature",
    title: "Temperature of a winding by its resistance",
    summary: "How hot a winding is inside, from its resistance cold and hot; or the resistance to expect at a temperature.",
    fields: FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const COLD: &str = "Cold";
const HOT: &str = "Hot";
const ASKED: &str = "What else to work";
const LIMIT: &str = "Insulation";

const fn resistance() -> NumberField {
    NumberField::new(
        Quantity::Resistance,
        0.000_01,
        10_000.0,
        "from a large starting motor's armature to a relay coil",
    )
}

const fn temperature(maximum: f64) -> NumberField {
    NumberField::new(Quantity::Temperature, -50.0, maximum, "beyond it no winding insulation works")
}

const FIELDS: &[Field] = &[
    Field {
        name: "metal_constant",
        label: "Wire",
        symbol: "k",
        group: "Wire",
        help: on_form(
            "Its constant says how far below 0 °C the line of resistance meets nothing. For another metal type 1 over its temperature coefficient at 0 °C.",
        ),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("copper-235", "Copper, 235 (IEC 60034-1, windings)"),
                Choice::new("copper-234.5", "Annealed copper, 234.5 (IEEE and conductor practice)"),
                Choice::new("aluminium-225", "Aluminium, 225 (IEC 60034-1, windings)"),
            ],
            start: "copper-235",
            other: Some(OtherChoice {
                label: "Another constant",
                number: NumberField::new(
                    Quantity::Temperature,
                    100.0,
                    1000.0,
                    "the constants of metals that wire is made of",
                ),
            }),
        }),
    },
    Field {
        name: "cold_resistance_ohm",
        label: "Resistance, cold",
        symbol: "R₁",
        group: COLD,
        help: on_form(
            "By current and voltage drop, motor stopped; a hand-held ohmmeter cannot show milliohms.",
        ),
        kind: Kind::Number(resistance().start(0.012).shown_in("mΩ").measured()),
    },
    Field {
        name: "cold_temperature_c",
        label: "Temperature, cold",
        symbol: "T₁",
        group: COLD,
        help: on_form("The room's, once the motor has stood in it for hours."),
        kind: Kind::Number(temperature(250.0).start(20.0).measured()),
    },
    Field {
        name: "hot_resistance_ohm",
        label: "Resistance, hot",
        symbol: "R₂",
        group: HOT,
        help: on_form(
            "Between the same two points with the same test current, as soon after switching off as you can.",
        ),
        kind: Kind::Number(resistance().start(0.015).shown_in("mΩ").measured()),
    },
    Field {
        name: "room_temperature_c",
        label: "Room while hot",
        symbol: "T_a",
        group: HOT,
        help: on_form(
            "Air around the motor when the hot reading was taken. Leave it empty when the rise is not wanted.",
        ),
        kind: Kind::Number(temperature(100.0).start(25.0).optional().measured()),
    },
    Field {
        name: "asked_temperature_c",
        label: "Expect the resistance at",
        symbol: "T₃",
        group: ASKED,
        help: on_form("The way back: the resistance that this winding should show at this temperature."),
        kind: Kind::Number(temperature(500.0).optional()),
    },
    Field {
        name: "insulation_class",
        label: "Thermal class of the insulation",
        symbol: "",
        group: LIMIT,
        help: on_form("Only from the motor's plate or its maker. Most starting motors do not say."),
        kind: Kind::Choice(ChoiceField {
            options: &[
                Choice::new("none", "Not known"),
                Choice::new("A", "Class A, 105 °C"),
                Choice::new("E", "Class E, 120 °C"),
                Choice::new("B", "Class B, 130 °C"),
                Choice::new("F", "Class F, 155 °C"),
                Choice::new("H", "Class H, 180 °C"),
            ],
            start: "none",
            other: None,
        }),
    },
    METERS,
];

const OUTPUTS: &[Output] = &[
    Output::number("hot_temperature_c", "Winding, mean temperature", Quantity::Temperature, 4).large(),
    Output::number("rise_k", "Rise over the room", Quantity::TemperatureRise, 3).large(),
    Output::state("class_state", "Mean against the limit of its class"),
    Output::number("mean_limit_c", "Limit of the mean by resistance", Quantity::Temperature, 3),
    Output::number("class_limit_c", "Class temperature, at the hottest spot", Quantity::Temperature, 3),
    Output::number("expected_resistance_ohm", "Resistance to expect", Quantity::Resistance, 4).large(),
    Output::number("change_percent", "Change of resistance", Quantity::Percent, 3),
];
