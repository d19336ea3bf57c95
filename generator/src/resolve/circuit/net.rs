//! A diagram as the calculation library sees it: devices between nodes.

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil_calc::circuit::{Device, Field, MotorLaw, MotorSheet, Node};
use fieldcoil_calc::physics::motor::FreeSpinPoint;
use fieldcoil_calc::physics::motor_fit::FitProblem;
use fieldcoil_calc::quantity::{Ampere, NewtonMetre, Ohm, Rpm, Volt};

use super::moments::{Moment, Position};
use crate::course::{Circuit, CircuitSymbol, Terminal};
use crate::finding::{Finding, shown};
use crate::symbol::Kind;

/// What hand-held voltmeters have at their sockets (common practice, no source).
const VOLTMETER_OHM: f64 = 10e6;

/// Stand-ins for what a diagram without numbers does not say: they tell where current flows, and nothing else of them is
/// shown.
mod stand_in {
    pub const SOURCE_V: f64 = 12.0;
    pub const SOURCE_OHM: f64 = 0.005;
    pub const PULL_IN_OHM: f64 = 0.3;
    pub const HOLD_IN_OHM: f64 = 1.0;
    pub const RELAY_OHM: f64 = 80.0;
    pub const CLOSES_AT_V: f64 = 6.0;
    pub const DROPS_AT_V: f64 = 2.0;
    pub const MOTOR_OHM: f64 = 0.05;
    pub const LOAD_OHM: f64 = 5.0;
}

/// The devices of a circuit at a moment.
#[derive(Debug)]
pub struct Net {
    /// The devices.
    pub devices: Vec<Device>,
    /// For each device, what it is in the diagram.
    pub of: Vec<Of>,
}

/// What a device is in the diagram.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// A symbol, or one of its contacts.
    Symbol(usize),
    /// A wire.
    Wire(usize),
}

/// The node of a terminal. All leads on an engine block are one, and all case grounds are.
pub fn node(circuit: &Circuit, (symbol, pin): Terminal) -> Node {
    const PINS: usize = 8;
    let first = |kind: Kind| circuit.symbols.iter().position(|symbol| symbol.kind() == kind);
    match circuit.symbols[symbol].kind() {
        Kind::EngineBlock => symbol * PINS,
        Kind::CaseGround => first(Kind::CaseGround).unwrap_or(symbol) * PINS,
        _ => symbol * PINS + pin,
    }
}

/// Does the circuit say volts and ohms, so that it can be worked?
pub fn has_numbers(circuit: &Circuit) -> bool {
    circuit.symbols.iter().any(|symbol| symbol.values.contains_key("source_voltage_v"))
}

/// The values that a circuit with numbers must have are there, and make a motor.
pub fn check_values(circuit: &Circuit, found: &mut Vec<Finding>) {
    if !has_numbers(circuit) {
        if let Some(stated) = circuit.stated.first() {
            found.push(
                Finding::error(
                    "missing-value",
                    "a reading is stated, and the circuit has no numbers to work it from",
                    stated.value.span,
                    "nothing to compare with",
                )
                .help("give the source a `source_voltage_v` and the others their values, or take the reading out"),
            );
        }
        return;
    }
    for symbol in &circuit.symbols {
        let needed: &[&str] = match symbol.kind() {
            Kind::Battery | Kind::BenchSupply => &["source_voltage_v", "source_resistance_ohm"],
            Kind::Solenoid => {
                &["pull_in_resistance_ohm", "hold_in_resistance_ohm", "closes_at_v", "drops_at_v"]
            }
            Kind::Relay => &["coil_resistance_ohm", "closes_at_v", "drops_at_v"],
            Kind::SeriesMotor | Kind::MagnetMotor => {
                &["winding_resistance_ohm", "sheet_voltage_v", "sheet_current_a", "sheet_speed_rpm"]
            }
            Kind::Resistor | Kind::CarbonPile | Kind::Lamp => &["resistance_ohm"],
            _ => &[],
        };
        let before = found.len();
        for key in needed.iter().filter(|key| !symbol.values.contains_key(*key)) {
            let message = format!("`{}` has no `{key}`", shown(&symbol.name.value));
            found.push(
                Finding::error("missing-value", message, symbol.span, "cannot be worked without")
                    .help(format!("add a line `{key} = …`, or take the numbers of the source out")),
            );
        }
        if found.len() == before
            && let Some(Err(problem)) = motor_law(symbol)
        {
            let message = format!("the values of `{}` make no motor: {problem}", shown(&symbol.name.value));
            found.push(
                Finding::error("motor-values", message, symbol.span, "no such motor")
                    .help("compare them with the sheet; `work expected-draw` takes the same values"),
            );
        }
    }
}

/// The devices at a moment.
pub fn net(circuit: &Circuit, ends: &[[Terminal; 2]], moment: &Moment) -> Net {
    let mut net = Net { devices: Vec::new(), of: Vec::new() };
    // What has a contact comes first, so that it keeps its place in the list from moment to moment.
    let mut order: Vec<usize> = (0..circuit.symbols.len()).collect();
    order.sort_by_key(|index| !matches!(circuit.symbols[*index].kind(), Kind::Solenoid | Kind::Relay));
    for index in order {
        let symbol = &circuit.symbols[index];
        for device in devices(circuit, index, symbol, moment.switches[index]) {
            net.devices.push(device);
            net.of.push(Of::Symbol(index));
        }
    }
    for (index, [from, to]) in ends.iter().enumerate().filter(|(index, _)| moment.wires[*index]) {
        net.devices.push(Device::Resistance {
            from: node(circuit, *from),
            to: node(circuit, *to),
            value: Ohm(circuit.wires[index].resistance_ohm.unwrap_or(0.0)),
        });
        net.of.push(Of::Wire(index));
    }
    net
}

fn devices(circuit: &Circuit, index: usize, symbol: &CircuitSymbol, position: Position) -> Vec<Device> {
    use stand_in as other;
    let at = |pin: usize| node(circuit, (index, pin));
    let or = |key: &str, other: f64| symbol.value(key).unwrap_or(other);
    let through = |from: usize, to: usize, value: f64| Device::Resistance {
        from: at(from),
        to: at(to),
        value: Ohm(value),
    };
    let closed = position != Position::Off;
    match symbol.kind() {
        Kind::Battery | Kind::BenchSupply => vec![Device::Source {
            plus: at(0),
            minus: at(1),
            open_circuit: Volt(or("source_voltage_v", other::SOURCE_V)),
            internal: Ohm(or("source_resistance_ohm", other::SOURCE_OHM)),
        }],
        Kind::ClampMeter => vec![through(0, 1, 0.0)],
        Kind::Voltmeter => vec![through(0, 1, or("resistance_ohm", VOLTMETER_OHM))],
        Kind::Ammeter | Kind::Fuse | Kind::FusibleLink | Kind::Joint => {
            vec![through(0, 1, or("resistance_ohm", 0.0))]
        }
        Kind::Resistor | Kind::Lamp => vec![through(0, 1, or("resistance_ohm", other::LOAD_OHM))],
        Kind::CarbonPile if closed => vec![through(0, 1, or("resistance_ohm", other::LOAD_OHM))],
        Kind::MainSwitch | Kind::PushSwitch | Kind::NeutralSwitch | Kind::ClutchSwitch if closed => {
            vec![through(0, 1, or("resistance_ohm", 0.0))]
        }
        Kind::KeySwitch if position == Position::On => vec![through(0, 1, or("resistance_ohm", 0.0))],
        Kind::KeySwitch if position == Position::Start => {
            vec![through(0, 1, or("resistance_ohm", 0.0)), through(0, 2, or("resistance_ohm", 0.0))]
        }
        Kind::Solenoid => vec![Device::Solenoid {
            main_in: at(0),
            start: at(1),
            main_out: at(2),
            case: at(3),
            pull_in: Ohm(or("pull_in_resistance_ohm", other::PULL_IN_OHM)),
            hold_in: Ohm(or("hold_in_resistance_ohm", other::HOLD_IN_OHM)),
            contact: Ohm(or("contact_resistance_ohm", 0.0)),
            closes_at: Volt(or("closes_at_v", other::CLOSES_AT_V)),
            drops_at: Volt(or("drops_at_v", other::DROPS_AT_V)),
        }],
        Kind::Relay => vec![Device::Relay {
            coil_in: at(2),
            coil_out: at(3),
            common: at(0),
            make: at(1),
            break_: None,
            coil: Ohm(or("coil_resistance_ohm", other::RELAY_OHM)),
            contact: Ohm(or("contact_resistance_ohm", 0.0)),
            closes_at: Volt(or("closes_at_v", other::CLOSES_AT_V)),
            drops_at: Volt(or("drops_at_v", other::DROPS_AT_V)),
        }],
        Kind::SeriesMotor | Kind::MagnetMotor => match motor_law(symbol) {
            Some(Ok(law)) => vec![Device::Motor { plus: at(0), minus: at(1), law }],
            _ => vec![through(0, 1, other::MOTOR_OHM)],
        },
        Kind::CarbonPile
        | Kind::MainSwitch
        | Kind::PushSwitch
        | Kind::NeutralSwitch
        | Kind::ClutchSwitch
        | Kind::KeySwitch
        | Kind::CaseGround
        | Kind::EngineBlock
        | Kind::Point => Vec::new(),
    }
}

/// The law of a motor that has its sheet's values.
fn motor_law(symbol: &CircuitSymbol) -> Option<Result<MotorLaw, &'static str>> {
    let field = match symbol.kind() {
        Kind::SeriesMotor => Field::Series,
        Kind::MagnetMotor => Field::PermanentMagnet,
        _ => return None,
    };
    let sheet = MotorSheet {
        field,
        winding: Ohm(symbol.value("winding_resistance_ohm")?),
        winding_at_work: None,
        brush_drop: Volt(symbol.value("brush_drop_v").unwrap_or(0.0)),
        free: FreeSpinPoint {
            voltage: Volt(symbol.value("sheet_voltage_v")?),
            current: Ampere(symbol.value("sheet_current_a")?),
            speed: Rpm(symbol.value("sheet_speed_rpm")?),
        },
        locked: None,
        windage_share: 0.5,
        load: NewtonMetre(symbol.value("load_torque_nm").unwrap_or(0.0)),
    };
    Some(MotorLaw::of(&sheet).map_err(problem_words))
}

fn problem_words(problem: FitProblem) -> &'static str {
    match problem {
        FitProblem::NoBackEmf => "winding and brushes take all of the sheet's voltage",
        // A sheet without its locked line meets none of these.
        FitProblem::FieldTakesAll(_)
        | FitProblem::LockedBelowFree
        | FitProblem::HeatAbovePower(_)
        | FitProblem::LockedOff(_)
        | FitProblem::TorqueTooGreat(_)
        | FitProblem::TorqueTooSmall(_) => "its sheet contradicts itself",
    }
}

/// Voltages that differ by less than this share even out through a battery and a charger; more is a short circuit.
const SAME_VOLTAGE: f64 = 0.25;

/// Sources from whose + nothing but wires, closed switches and the like lead back to their −: symbols. Other sources may lie
/// on the way, as long as their voltages do not cancel; `is_closed` tells which contacts of solenoids and relays are.
pub fn shorted(circuit: &Circuit, net: &Net, is_closed: impl Fn(usize) -> bool) -> Vec<usize> {
    let is_load = |of: &Of| match of {
        Of::Symbol(symbol) => matches!(
            circuit.symbols[*symbol].kind(),
            Kind::Voltmeter
                | Kind::Resistor
                | Kind::CarbonPile
                | Kind::Lamp
                | Kind::SeriesMotor
                | Kind::MagnetMotor
        ),
        Of::Wire(_) => false,
    };
    // Each way without a load: its device, its ends, and the volts by which the second is above the first.
    let joins: Vec<(usize, Node, Node, f64)> = net
        .devices
        .iter()
        .zip(&net.of)
        .enumerate()
        .filter(|(_, (_, of))| !is_load(of))
        .filter_map(|(index, (device, _))| match device {
            Device::Resistance { from, to, .. } => Some((index, *from, *to, 0.0)),
            Device::Source { plus, minus, open_circuit, .. } => Some((index, *minus, *plus, open_circuit.0)),
            Device::Solenoid { main_in, main_out, .. } if is_closed(index) => {
                Some((index, *main_in, *main_out, 0.0))
            }
            Device::Relay { common, make, .. } if is_closed(index) => Some((index, *common, *make, 0.0)),
            _ => None,
        })
        .collect();
    let mut shorted = Vec::new();
    for (own, (device, of)) in net.devices.iter().zip(&net.of).enumerate() {
        let (Device::Source { plus, minus, open_circuit, .. }, Of::Symbol(symbol)) = (device, of) else {
            continue;
        };
        // Volts of the nodes that are reached without a load and not through the source itself, from its minus on.
        let mut volts: BTreeMap<Node, f64> = BTreeMap::from([(*minus, 0.0)]);
        loop {
            let before = volts.len();
            for (_, from, to, rise) in joins.iter().filter(|(index, ..)| *index != own) {
                match (volts.get(from).copied(), volts.get(to).copied()) {
                    (Some(from), None) => drop(volts.insert(*to, from + rise)),
                    (None, Some(to)) => drop(volts.insert(*from, to - rise)),
                    _ => {}
                }
            }
            if volts.len() == before {
                break;
            }
        }
        let differs = |other: &f64| (other - open_circuit.0).abs() > SAME_VOLTAGE * open_circuit.0;
        if volts.get(plus).is_some_and(differs) {
            shorted.push(*symbol);
        }
    }
    shorted
}

/// Nodes that a source's + reaches by anything but a voltmeter: metal behind a voltmeter alone takes its voltage on, and
/// gives no current to a slipping clip. `is_closed` tells which contacts of solenoids and relays are.
pub fn fed(circuit: &Circuit, net: &Net, is_closed: impl Fn(usize) -> bool) -> BTreeSet<Node> {
    let is_voltmeter = |of: &Of| match of {
        Of::Symbol(symbol) => circuit.symbols[*symbol].kind() == Kind::Voltmeter,
        Of::Wire(_) => false,
    };
    let mut joins: Vec<(Node, Node)> = Vec::new();
    let mut fed = BTreeSet::new();
    for (index, (device, of)) in net.devices.iter().zip(&net.of).enumerate() {
        match device {
            Device::Resistance { from, to, .. } if !is_voltmeter(of) => joins.push((*from, *to)),
            Device::Resistance { .. } => {}
            Device::Source { plus, minus, .. } => {
                fed.insert(*plus);
                joins.push((*plus, *minus));
            }
            Device::Motor { plus, minus, .. } => joins.push((*plus, *minus)),
            Device::Solenoid { main_in, start, main_out, case, .. } => {
                joins.extend([(*start, *main_out), (*start, *case)]);
                joins.extend(is_closed(index).then_some((*main_in, *main_out)));
            }
            Device::Relay { coil_in, coil_out, common, make, .. } => {
                joins.push((*coil_in, *coil_out));
                joins.extend(is_closed(index).then_some((*common, *make)));
            }
        }
    }
    loop {
        let before = fed.len();
        for (from, to) in &joins {
            if fed.contains(from) || fed.contains(to) {
                fed.extend([*from, *to]);
            }
        }
        if fed.len() == before {
            return fed;
        }
    }
}
