//! What stands beside things in a diagram with numbers.

use fieldcoil_calc::circuit::{Operating, Through};
use fieldcoil_calc::number::{figures, to_places};

use super::net::node;
use crate::course::{Circuit, Terminal};
use crate::symbol::Kind;

/// Less current than this is none: nothing is written beside what is idle.
const IDLE_A: f64 = 1e-4;

/// What a meter shows, in volts or amperes.
pub fn reading(
    circuit: &Circuit,
    symbol: usize,
    solved: &Operating,
    through: Option<&Through>,
) -> Option<f64> {
    match circuit.symbols[symbol].kind() {
        Kind::Voltmeter => {
            let at = |pin| node(circuit, (symbol, pin));
            Some(solved.between(at(0), at(1))?.0)
        }
        Kind::ClampMeter | Kind::Ammeter => Some(through?.current.0),
        _ => None,
    }
}

/// The words beside a symbol: what a meter shows, what a source gives, what a motor takes, what is lost in a joint.
pub fn of_symbol(
    circuit: &Circuit,
    symbol: usize,
    solved: &Operating,
    through: Option<&Through>,
) -> Option<String> {
    let across = || {
        let at = |pin| node(circuit, (symbol, pin));
        Some(volts(solved.between(at(0), at(1))?.0))
    };
    let kind = circuit.symbols[symbol].kind();
    Some(match kind {
        Kind::Voltmeter => volts(reading(circuit, symbol, solved, through)?),
        Kind::ClampMeter | Kind::Ammeter => amperes(reading(circuit, symbol, solved, through)?),
        Kind::Battery | Kind::BenchSupply => [across()?, amperes(through?.current.0)].join(", "),
        Kind::SeriesMotor | Kind::MagnetMotor => {
            let through = through.filter(|through| through.current.0.abs() > IDLE_A)?;
            let mut words = [across()?, amperes(through.current.0)].join(", ");
            // How fast a loaded motor turns hangs on how its field saturates, of which the free-spin line says nothing.
            let is_free = circuit.symbols[symbol].value("load_torque_nm").is_none();
            if let Some(speed) = through.speed.filter(|_| is_free) {
                words = format!("{words}, {}\u{a0}rpm", to_places(round_to_tens(speed.0), 0));
            }
            words
        }
        Kind::Resistor | Kind::Lamp | Kind::CarbonPile => [across()?, amperes(through?.current.0)].join(", "),
        Kind::Joint | Kind::Fuse | Kind::FusibleLink
            if circuit.symbols[symbol].value("resistance_ohm").is_some() =>
        {
            across()?
        }
        _ => return None,
    })
}

/// The words beside a wire that has a resistance: what flows in it, and what is lost along it.
pub fn of_wire(
    circuit: &Circuit,
    wire: usize,
    [from, to]: [Terminal; 2],
    solved: &Operating,
    through: &Through,
) -> Option<String> {
    circuit.wires[wire].resistance_ohm.filter(|_| through.current.0.abs() > IDLE_A)?;
    let lost = solved.between(node(circuit, from), node(circuit, to))?;
    Some([amperes(through.current.0.abs()), volts(lost.0.abs())].join(", "))
}

fn volts(value: f64) -> String {
    if value.abs() < 1e-6 {
        "0\u{a0}V".to_owned()
    } else if value.abs() < 0.9995 {
        format!("{}\u{a0}mV", minus(&figures(value * 1000.0, 3)))
    } else {
        format!("{}\u{a0}V", minus(&to_places(value, 2)))
    }
}

fn amperes(value: f64) -> String {
    if value.abs() < 1e-4 {
        "0\u{a0}A".to_owned()
    } else if value.abs() < 99.95 {
        format!("{}\u{a0}A", minus(&figures(value, 3)))
    } else {
        format!("{}\u{a0}A", minus(&to_places(value, 0)))
    }
}

fn minus(number: &str) -> String {
    number.replace('-', "−")
}

fn round_to_tens(value: f64) -> f64 {
    (value / 10.0).round() * 10.0
}
