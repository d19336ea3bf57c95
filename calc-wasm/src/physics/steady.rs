//! Where a motor settles: torque equals drag, and the back-EMF leaves just the current for it.

use super::motor::{Excitation, Feed, Motor, brush_voltage, terminal_voltage};
use crate::quantity::{Ampere, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Volt};

/// A state that does not change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// Current of the armature.
    pub current: Ampere,
    /// Current of field coils across the terminals; zero in other motors.
    pub field_current: Ampere,
    /// Speed.
    pub speed: RadianPerSecond,
    /// Voltage at the terminals.
    pub terminal: Volt,
}

/// The settled state of a motor that carries `load` besides its own drag; nothing when it cannot turn.
pub fn steady(feed: &Feed, motor: &Motor, load: NewtonMetre) -> Option<Steady> {
    let outside = feed.source_resistance + feed.lead_resistance;
    let drag = motor.drag.and(load);
    let surplus = |current: Ampere| {
        let state = state_at(feed, motor, outside, current)?;
        let torque = constant(motor, &state) * current;
        Some((torque - drag.torque(state.speed)).0)
    };
    // More current, more torque and less speed: the surplus of torque only grows, so halving finds its zero.
    let (mut low, mut high) = (0.0, (feed.source / (outside + motor.winding)).0);
    if surplus(Ampere(high)).is_none_or(|surplus| surplus < 0.0) {
        return None;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if surplus(Ampere(middle)).is_none_or(|surplus| surplus < 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    state_at(feed, motor, outside, Ampere(high)).filter(|state| state.speed.0 > 0.0)
}

/// The state in which the armature draws `current`; nothing where no field is made.
fn state_at(feed: &Feed, motor: &Motor, outside: Ohm, current: Ampere) -> Option<Steady> {
    let field_current = match motor.excitation {
        // u = U₀ − R · (i + i_f) and u = R_f · i_f.
        Excitation::Shunt { resistance, .. } => {
            Ampere((feed.source - outside * current).0 / (resistance + outside).0)
        }
        _ => Ampere(0.0),
    };
    let terminal = terminal_voltage(feed, current + field_current);
    let mut state = Steady { current, field_current, speed: RadianPerSecond(0.0), terminal };
    let emf = terminal - motor.winding * current - brush_voltage(feed.brush_drop, current);
    let constant = constant(motor, &state);
    if constant.0 <= 0.0 {
        return None;
    }
    state.speed = emf / constant;
    Some(state)
}

fn constant(motor: &Motor, state: &Steady) -> NewtonMetrePerAmpere {
    match motor.excitation {
        Excitation::PermanentMagnet { constant } => constant,
        Excitation::Series(magnetization) => magnetization.constant(state.current),
        Excitation::Shunt { magnetization, .. } => magnetization.constant(state.field_current),
    }
}
