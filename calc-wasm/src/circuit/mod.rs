//! Circuits of a starting system and their operating point: sources, resistances, solenoids, relays and motors.
//!
//! A caller lists devices between numbered nodes and leaves out what is open. [`solve`] gives the volts of each node and
//! the amperes of each device when nothing changes any more: contacts have closed or not (`contact.rs`), motors have
//! settled (`motor.rs`), and between them everything is linear (`network.rs`).

mod contact;
mod forest;
mod motor;
mod network;
mod settle;
#[cfg(test)]
mod tests;

use std::fmt::{self, Display, Formatter};

pub use self::motor::{Field, MotorLaw, MotorSheet};
use crate::quantity::{Ampere, Ohm, Rpm, Volt};

/// A point of a circuit, by its number; numbers need not follow on each other.
pub type Node = usize;

/// The greatest number of a node.
pub const MOST_NODES: usize = 100_000;

/// A thing between nodes. Resistances may be zero: an ideal connection.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Device {
    /// A battery or a bench supply.
    Source {
        /// Where its current leaves.
        plus: Node,
        /// Where it comes back.
        minus: Node,
        /// Voltage with nothing connected.
        open_circuit: Volt,
        /// Resistance inside.
        internal: Ohm,
    },
    /// Cable, joint, closed switch, coil, load or meter.
    Resistance {
        /// One end.
        from: Node,
        /// The other.
        to: Node,
        /// Its resistance.
        value: Ohm,
    },
    /// A starter's solenoid with both coils and the main contact.
    Solenoid {
        /// Terminal 30: the main contact's side at the battery.
        main_in: Node,
        /// Terminal 50: where both coils begin.
        start: Node,
        /// Terminal 45: the main contact's side at the motor, where the pull-in coil ends.
        main_out: Node,
        /// Terminal 31: where the hold-in coil ends.
        case: Node,
        /// Resistance of the pull-in coil.
        pull_in: Ohm,
        /// Resistance of the hold-in coil.
        hold_in: Ohm,
        /// Resistance of the main contact when closed.
        contact: Ohm,
        /// From this voltage between 50 and 31 up the open contact closes.
        closes_at: Volt,
        /// Below this voltage on the hold-in coil the closed contact opens; what flows backwards through the pull-in
        /// coil takes from it.
        drops_at: Volt,
    },
    /// A relay with a change-over contact, or with a make contact alone.
    Relay {
        /// One end of its coil.
        coil_in: Node,
        /// The other.
        coil_out: Node,
        /// The contact's moving side.
        common: Node,
        /// What it touches when the relay is energized.
        make: Node,
        /// What it touches when it is not.
        break_: Option<Node>,
        /// Resistance of the coil.
        coil: Ohm,
        /// Resistance of the contact, on either side.
        contact: Ohm,
        /// From this voltage on its coil up it switches over.
        closes_at: Volt,
        /// Below this voltage it goes back.
        drops_at: Volt,
    },
    /// A motor.
    Motor {
        /// Its insulated terminal.
        plus: Node,
        /// Its case.
        minus: Node,
        /// How it answers to what feeds it.
        law: MotorLaw,
    },
}

/// What flows through a device. What a device has not got is nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// From `from` to `to`, from plus to minus inside a motor, through the main contact from 30 to 45, through a relay's
    /// contact from its common side; for a source what it delivers, out of its plus.
    pub current: Ampere,
    /// From 50 to 45 through a solenoid's pull-in coil.
    pub pull_in: Option<Ampere>,
    /// From 50 to 31 through its hold-in coil.
    pub hold_in: Option<Ampere>,
    /// Through a relay's coil.
    pub coil: Option<Ampere>,
    /// Is the solenoid's contact closed, the relay energized?
    pub closed: Option<bool>,
    /// A motor's speed; zero when it stands still.
    pub speed: Option<Rpm>,
}

/// A circuit in which nothing changes any more.
#[derive(Debug, Clone, PartialEq)]
pub struct Operating {
    /// For each node, its voltage over the minus of the first source; nothing for a node that nothing joins to it. A
    /// motor's winding joins its terminals also while it carries no current; an open contact joins nothing.
    pub node: Vec<Option<Volt>>,
    /// For each device, in the order in which they were given.
    pub device: Vec<Through>,
    /// For each node, its voltage over some node of its island, and that node.
    levels: Vec<(f64, usize)>,
}

impl Operating {
    /// What an ideal voltmeter shows with its red lead at `red`; nothing where nothing joins the two.
    pub fn between(&self, red: Node, black: Node) -> Option<Volt> {
        let (red, black) = (self.levels.get(red)?, self.levels.get(black)?);
        (red.1 == black.1).then_some(Volt(red.0 - black.0))
    }
}

/// Why a circuit has no operating point. Devices are named by their place in the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// A value of the device is no number, endless, or a resistance less than nothing.
    NotANumber {
        /// Which device.
        device: usize,
    },
    /// A node of the device has a number above [`MOST_NODES`].
    NodeTooHigh {
        /// Which device.
        device: usize,
    },
    /// Ideal connections alone join plus and minus of the source.
    Shorted {
        /// Which source.
        device: usize,
    },
    /// Two sources without resistance of their own hold a loop without resistance at different voltages.
    Conflict {
        /// The one that was given first.
        first: usize,
        /// The other.
        second: usize,
    },
    /// The contact opens as soon as it has closed, and closes as soon as it has opened.
    Chatters {
        /// Which solenoid or relay.
        device: usize,
    },
    /// The motor finds no current to settle at.
    NotSettled {
        /// Which motor.
        device: usize,
    },
    /// Values so far apart that numbers overflow.
    OutOfRange,
}

impl Display for Trouble {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::NotANumber { device } => {
                write!(f, "device {device} has a value that is no number, or a resistance below zero")
            }
            Trouble::NodeTooHigh { device } => write!(f, "device {device} has a node above {MOST_NODES}"),
            Trouble::Shorted { device } => {
                write!(f, "connections without resistance short source {device}")
            }
            Trouble::Conflict { first, second } => {
                write!(f, "sources {first} and {second} have different volts and no resistance between them")
            }
            Trouble::Chatters { device } => {
                write!(
                    f,
                    "the contact of device {device} opens when it has closed and closes when it has opened"
                )
            }
            Trouble::NotSettled { device } => write!(f, "motor {device} settles at no current"),
            Trouble::OutOfRange => f.write_str("the values lie too far apart to be worked"),
        }
    }
}

/// The operating point of a circuit that was dead before: every contact starts open.
///
/// # Assumptions
/// A motor's first rush of current, and the dip of voltage with it, opens no contact: they are over before the
/// operating point.
///
/// # Errors
/// Why there is none.
pub fn solve(devices: &[Device]) -> Result<Operating, Trouble> {
    settle::operating(devices, |_| false)
}

/// The operating point of a circuit whose contacts were as in `before`: what is energized stays so down to its drop-out
/// voltage. Devices that `before` does not have start open.
///
/// # Errors
/// Why there is none.
pub fn solve_after(devices: &[Device], before: &Operating) -> Result<Operating, Trouble> {
    settle::operating(devices, |device| {
        before.device.get(device).and_then(|through| through.closed).unwrap_or(false)
    })
}
