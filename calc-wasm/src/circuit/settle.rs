//! From devices to branches, and on until contacts and motors have settled.

use std::collections::BTreeSet;

use super::motor::{MotorLaw, Settled};
use super::network::{Branch, Fault, Flow, Network};
use super::{Device, MOST_NODES, Node, Operating, Through, Trouble};
use crate::quantity::{Ampere, Rpm, Volt};

/// Contacts change at most so often.
const MOST_CHANGES: usize = 200;
/// Motors are gone round at most so often.
const MOST_ROUNDS: usize = 500;
/// A motor has settled when its current moves by no more than this share.
const SAME: f64 = 1e-13;

/// Which part of a device a branch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Main,
    PullIn,
    HoldIn,
    Coil,
}

/// The currents of a device's parts; zero for what it has not got.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Currents {
    pub main: f64,
    pub pull_in: f64,
    pub hold_in: f64,
    pub coil: f64,
}

/// A circuit with its contacts as they are at the moment.
struct Circuit<'a> {
    devices: &'a [Device],
    nodes: usize,
    root: Option<Node>,
    closed: Vec<bool>,
}

/// What each device that is a motor does; nothing while its brushes let nothing through.
type Motors = Vec<Option<Settled>>;

/// The operating point; `closed` says for each device whether its contact starts closed.
pub(super) fn operating(devices: &[Device], closed: impl Fn(usize) -> bool) -> Result<Operating, Trouble> {
    let mut nodes = 0;
    for (device, what) in devices.iter().enumerate() {
        if !what.is_real() {
            return Err(Trouble::NotANumber { device });
        }
        let highest = what.nodes().max().unwrap_or(0);
        if highest > MOST_NODES {
            return Err(Trouble::NodeTooHigh { device });
        }
        nodes = nodes.max(highest + 1);
    }
    let root = devices.iter().find_map(|device| match device {
        Device::Source { minus, .. } => Some(*minus),
        _ => None,
    });
    let mut circuit = Circuit { devices, nodes, root, closed: (0..devices.len()).map(closed).collect() };
    let mut seen = BTreeSet::new();
    loop {
        let motors = circuit.motors()?;
        let (parts, flow) = circuit.flow(&motors, |_, _| true)?;
        let currents = by_device(devices.len(), &parts, &flow);
        let wanted: Vec<bool> = (0..devices.len())
            .map(|device| devices[device].wants_closed(circuit.closed[device], &currents[device]))
            .collect();
        if wanted == circuit.closed {
            return Ok(circuit.found(&currents, &motors, &flow));
        }
        let changing = (0..devices.len()).find(|device| wanted[*device] != circuit.closed[*device]);
        let again = !seen.insert(std::mem::replace(&mut circuit.closed, wanted));
        if again || seen.len() > MOST_CHANGES {
            return Err(Trouble::Chatters { device: changing.unwrap_or(0) });
        }
    }
}

impl Circuit<'_> {
    /// The branches of those parts that `keep` wants, and what each of them is of.
    fn branches(
        &self,
        motors: &Motors,
        keep: impl Fn(usize, Part) -> bool,
    ) -> (Vec<(usize, Part)>, Vec<Branch>) {
        let (mut parts, mut branches) = (Vec::new(), Vec::new());
        for (device, what) in self.devices.iter().enumerate() {
            let mut add = |part: Part, branch: Branch| {
                if keep(device, part) {
                    parts.push((device, part));
                    branches.push(branch);
                }
            };
            let plain = |from: Node, to: Node, ohm: f64| Branch {
                from,
                to,
                ohm,
                opposing: 0.0,
                carries: true,
                makes: false,
            };
            match *what {
                Device::Source { plus, minus, open_circuit, internal } => {
                    let branch = plain(minus, plus, internal.0);
                    add(Part::Main, Branch { opposing: -open_circuit.0, makes: true, ..branch });
                }
                Device::Resistance { from, to, value } => add(Part::Main, plain(from, to, value.0)),
                Device::Solenoid { main_in, start, main_out, case, pull_in, hold_in, contact, .. } => {
                    if self.closed[device] {
                        add(Part::Main, plain(main_in, main_out, contact.0));
                    }
                    add(Part::PullIn, plain(start, main_out, pull_in.0));
                    add(Part::HoldIn, plain(start, case, hold_in.0));
                }
                Device::Relay { coil_in, coil_out, common, make, break_, coil, contact, .. } => {
                    add(Part::Coil, plain(coil_in, coil_out, coil.0));
                    if let Some(touched) = if self.closed[device] { Some(make) } else { break_ } {
                        add(Part::Main, plain(common, touched, contact.0));
                    }
                }
                Device::Motor { plus, minus, ref law } => {
                    let branch = plain(plus, minus, law.winding().0);
                    let opposing = motors[device].map_or(0.0, |settled| settled.opposing);
                    add(Part::Main, Branch { opposing, carries: motors[device].is_some(), ..branch });
                }
            }
        }
        (parts, branches)
    }

    fn network(
        &self,
        motors: &Motors,
        keep: impl Fn(usize, Part) -> bool,
    ) -> Result<(Vec<(usize, Part)>, Network), Trouble> {
        let (parts, branches) = self.branches(motors, keep);
        let network = Network::of(self.nodes, self.root, branches).map_err(|fault| named(&parts, fault))?;
        Ok((parts, network))
    }

    fn flow(
        &self,
        motors: &Motors,
        keep: impl Fn(usize, Part) -> bool,
    ) -> Result<(Vec<(usize, Part)>, Flow), Trouble> {
        let (parts, network) = self.network(motors, keep)?;
        let flow = network.flow().map_err(|fault| named(&parts, fault))?;
        Ok((parts, flow))
    }

    /// What the motors do while the contacts stay as they are.
    ///
    /// Each sees the rest of the circuit as one voltage behind one resistance (Thévenin), with the others at the voltage
    /// that they had last; so it is gone round until none moves.
    fn motors(&self) -> Result<Motors, Trouble> {
        let laws: Vec<(usize, &MotorLaw)> = (self.devices.iter().enumerate())
            .filter_map(|(device, what)| match what {
                Device::Motor { law, .. } => Some((device, law)),
                _ => None,
            })
            .collect();
        let mut motors: Motors = vec![None; self.devices.len()];
        let turning = laws
            .iter()
            .map(|(device, law)| self.may_turn(*device, law))
            .collect::<Result<Vec<bool>, Trouble>>()?;
        let mut moving = None;
        for _ in 0..MOST_ROUNDS {
            moving = None;
            for ((device, law), may_turn) in laws.iter().zip(&turning) {
                let (open, total) = self.seen_by(*device, law, &motors, |_, _| true)?;
                let settled = if *may_turn { law.settled(open, total) } else { law.held(open, total) };
                if !same(settled, motors[*device]) {
                    moving = Some(*device);
                }
                motors[*device] = settled;
            }
            // One alone sees a circuit that does not answer to it.
            if moving.is_none() || laws.len() == 1 {
                return Ok(motors);
            }
        }
        Err(Trouble::NotSettled { device: moving.unwrap_or(0) })
    }

    /// Would the motor turn without what comes to it through the pull-in coil of a solenoid that is still open? Such a
    /// current flows for the moment until the contact closes, and the motor still stands.
    fn may_turn(&self, device: usize, law: &MotorLaw) -> Result<bool, Trouble> {
        let open = |at: usize| matches!(self.devices[at], Device::Solenoid { .. }) && !self.closed[at];
        if !(0..self.devices.len()).any(open) {
            return Ok(true);
        }
        let none: Motors = vec![None; self.devices.len()];
        let keep = |at: usize, part: Part| part != Part::PullIn || !open(at);
        let (voltage, total) = self.seen_by(device, law, &none, keep)?;
        Ok(law.settled(voltage, total).is_some_and(|settled| settled.speed != Rpm(0.0)))
    }

    /// The voltage that a motor would see if it carried nothing, and all the resistance of its loop, its winding's too.
    fn seen_by(
        &self,
        device: usize,
        law: &MotorLaw,
        motors: &Motors,
        keep: impl Fn(usize, Part) -> bool,
    ) -> Result<(f64, f64), Trouble> {
        let mut motors = motors.clone();
        // As its winding alone, and then with one volt in place of all sources: two currents say both.
        motors[device] = Some(Settled { current: 0.0, opposing: 0.0, speed: Rpm(0.0) });
        let (parts, network) = self.network(&motors, keep)?;
        let own = parts.iter().position(|part| *part == (device, Part::Main));
        let Some(own) = own else { return Ok((0.0, law.winding().0)) };
        let by_sources = network.flow().map_err(|fault| named(&parts, fault))?.current[own];
        let unit = |branch: usize| if branch == own { -1.0 } else { 0.0 };
        let by_one_volt = network.flow_with(unit).map_err(|fault| named(&parts, fault))?.current[own];
        if by_one_volt > 0.0 {
            Ok((by_sources / by_one_volt, 1.0 / by_one_volt))
        } else {
            // In no loop.
            Ok((0.0, law.winding().0))
        }
    }

    fn found(&self, currents: &[Currents], motors: &Motors, flow: &Flow) -> Operating {
        let levels: Vec<(f64, usize)> = flow.level.iter().copied().zip(flow.island.iter().copied()).collect();
        let node = levels
            .iter()
            .map(|(level, island)| (Some(*island) == self.root).then_some(Volt(*level)))
            .collect();
        let device = (self.devices.iter().zip(currents).enumerate())
            .map(|(at, (what, currents))| {
                let plain = Through {
                    current: Ampere(currents.main),
                    pull_in: None,
                    hold_in: None,
                    coil: None,
                    closed: None,
                    speed: None,
                };
                match what {
                    Device::Source { .. } | Device::Resistance { .. } => plain,
                    Device::Solenoid { .. } => Through {
                        pull_in: Some(Ampere(currents.pull_in)),
                        hold_in: Some(Ampere(currents.hold_in)),
                        closed: Some(self.closed[at]),
                        ..plain
                    },
                    Device::Relay { .. } => {
                        Through { coil: Some(Ampere(currents.coil)), closed: Some(self.closed[at]), ..plain }
                    }
                    Device::Motor { .. } => {
                        let speed = motors[at].map_or(Rpm(0.0), |settled| settled.speed);
                        Through { speed: Some(speed), ..plain }
                    }
                }
            })
            .collect();
        Operating { node, device, levels }
    }
}

fn same(a: Option<Settled>, b: Option<Settled>) -> bool {
    match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => {
            (a.current - b.current).abs() <= SAME * a.current.abs().max(b.current.abs())
                && (a.speed == Rpm(0.0)) == (b.speed == Rpm(0.0))
        }
        _ => false,
    }
}

fn by_device(devices: usize, parts: &[(usize, Part)], flow: &Flow) -> Vec<Currents> {
    let mut all = vec![Currents::default(); devices];
    for ((device, part), current) in parts.iter().zip(&flow.current) {
        let own = &mut all[*device];
        match part {
            Part::Main => own.main = *current,
            Part::PullIn => own.pull_in = *current,
            Part::HoldIn => own.hold_in = *current,
            Part::Coil => own.coil = *current,
        }
    }
    all
}

fn named(parts: &[(usize, Part)], fault: Fault) -> Trouble {
    match fault {
        Fault::Shorted(branch) => Trouble::Shorted { device: parts[branch].0 },
        Fault::Conflict(first, second) => {
            Trouble::Conflict { first: parts[first].0, second: parts[second].0 }
        }
        Fault::OutOfRange => Trouble::OutOfRange,
    }
}

impl Device {
    /// The nodes it is at.
    fn nodes(&self) -> impl Iterator<Item = Node> {
        let nodes = match *self {
            Device::Source { plus, minus, .. } | Device::Motor { plus, minus, .. } => {
                [Some(plus), Some(minus), None, None, None]
            }
            Device::Resistance { from, to, .. } => [Some(from), Some(to), None, None, None],
            Device::Solenoid { main_in, start, main_out, case, .. } => {
                [Some(main_in), Some(start), Some(main_out), Some(case), None]
            }
            Device::Relay { coil_in, coil_out, common, make, break_, .. } => {
                [Some(coil_in), Some(coil_out), Some(common), Some(make), break_]
            }
        };
        nodes.into_iter().flatten()
    }

    /// Is every value of it a number, and no resistance less than nothing?
    fn is_real(&self) -> bool {
        let not_below = |values: &[f64]| values.iter().all(|value| *value >= 0.0 && value.is_finite());
        match self {
            Device::Source { open_circuit, internal, .. } => {
                open_circuit.0.is_finite() && not_below(&[internal.0])
            }
            Device::Resistance { value, .. } => not_below(&[value.0]),
            Device::Solenoid { pull_in, hold_in, contact, closes_at, drops_at, .. } => {
                not_below(&[pull_in.0, hold_in.0, contact.0, closes_at.0, drops_at.0])
            }
            Device::Relay { coil, contact, closes_at, drops_at, .. } => {
                not_below(&[coil.0, contact.0, closes_at.0, drops_at.0])
            }
            // Its law was made of numbers that were checked.
            Device::Motor { .. } => true,
        }
    }
}
