//! Expected draw: the current to expect from a winding's resistance and what feeds it, and how the motor runs up.

use super::{Calculator, Output};
use crate::unit::Quantity;

mod bench;
mod fields;
mod run;
mod sheet;
#[cfg(test)]
mod tests;
mod work;

/// The calculator.
pub static CALCULATOR: Calculator = Calculator {
    name: "expected-draw",
    title: "Draw to expect from a motor",
    summary: "The first kick from the winding's resistance; with the motor's sheet the whole run: peak, what a meter shows of it, settled draw and speed, heat.",
    fields: fields::FIELDS,
    outputs: OUTPUTS,
    function: work::evaluate,
};

const OUTPUTS: &[Output] = &[
    Output::number("locked_current_a", "First instant, not yet turning", Quantity::Current, 3).large(),
    Output::number("settled_current_a", "Settled, spinning free", Quantity::Current, 3).large(),
    Output::number("settled_speed_rpm", "Settled speed", Quantity::Speed, 3).large(),
    Output::number("locked_terminal_v", "Volts at the motor in the first instant", Quantity::Voltage, 3),
    Output::number("settled_terminal_v", "Volts at the motor, settled", Quantity::Voltage, 3),
    Output::number("first_peak_a", "First peak", Quantity::Current, 3),
    Output::number("first_peak_time_s", "First peak after", Quantity::Time, 3),
    Output::number("meter_peak_a", "Most that the meter shows", Quantity::Current, 3),
    Output::number("settle_time_s", "Settled within 5 % after", Quantity::Time, 3),
    Output::number("source_energy_j", "Energy from the source", Quantity::Energy, 3),
    Output::number("winding_heat_j", "Heat in the winding", Quantity::Energy, 3),
    Output::number("winding_rise_k", "Winding warmer by", Quantity::TemperatureRise, 3),
    Output::number(
        "longest_run_s",
        "Time until the winding's limit, if nothing cooled it",
        Quantity::Time,
        3,
    ),
    Output::number("read_peak_above_a", "Peak read, above the one expected", Quantity::Current, 3),
    Output::number("read_settled_above_a", "Settled draw read, above the one expected", Quantity::Current, 3),
    Output::number("read_speed_above_rpm", "Speed read, above the one expected", Quantity::Speed, 3),
    Output::number("resistance_at_20c_ohm", "Winding at 20 °C", Quantity::Resistance, 4),
    Output::number("resistance_at_work_ohm", "Winding at work", Quantity::Resistance, 4),
];
