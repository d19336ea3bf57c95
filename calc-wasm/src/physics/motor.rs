//! A direct-current starting motor seen from its terminals: locked, and spinning free.

use crate::math::square_root;
use crate::quantity::{
    Ampere, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Rpm, Second,
    Volt,
};

/// What makes the magnetic field of a motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Excitation {
    /// Magnets: the constant stays.
    PermanentMagnet {
        /// Torque of each ampere.
        constant: NewtonMetrePerAmpere,
    },
    /// The armature's own current, through field coils in series.
    Series(Magnetization),
    /// Field coils across the terminals.
    Shunt {
        /// By the field's current.
        magnetization: Magnetization,
        /// Resistance of the field coils.
        resistance: Ohm,
        /// Inductance of the field coils.
        inductance: Henry,
    },
}

/// How iron answers to current: in step at first, then ever less.
///
/// # Formula
/// `k(i) = k_full · i / (i + i_half)`, the curve of Froelich.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Magnetization {
    /// The constant that no current exceeds.
    pub full: NewtonMetrePerAmpere,
    /// The current at which half of it is reached.
    pub half_at: Ampere,
}

/// What a motor's shaft has to overcome when it spins free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drag {
    /// Bearings and brushes: the same at every speed.
    pub steady: NewtonMetre,
    /// Grease: in step with speed, in newton metre seconds.
    pub viscous_nms: f64,
    /// Air: with the square of the speed, in newton metre seconds squared.
    pub windage_nms2: f64,
}

/// Everything of a motor that decides how it runs up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// What makes its field.
    pub excitation: Excitation,
    /// Resistance between the terminals: armature, and field coils in series with it.
    pub winding: Ohm,
    /// Inductance of the same path.
    pub inductance: Henry,
    /// Inertia of everything that turns.
    pub inertia: KilogramSquareMetre,
    /// Its drag.
    pub drag: Drag,
}

impl Magnetization {
    /// The motor's constant at a current; the field follows the current's direction.
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    pub fn constant(&self, current: Ampere) -> NewtonMetrePerAmpere {
        NewtonMetrePerAmpere(self.full.0 * current.0 / (current.0.abs() + self.half_at.0))
    }

    /// How much the constant grows with one more ampere, in newton metres for each square ampere.
    pub fn rise(&self, current: Ampere) -> f64 {
        let sum = current.0.abs() + self.half_at.0;
        self.full.0 * self.half_at.0 / (sum * sum)
    }
}

impl Drag {
    /// The same with a load that, like the steady part, is the same at every speed.
    pub fn and(self, load: NewtonMetre) -> Drag {
        Drag { steady: self.steady + load, ..self }
    }

    /// Torque against the motion at a speed.
    ///
    /// Steady drag turns its sign over a tenth of a radian in a second, so that a motor at rest is no jump.
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    pub fn torque(&self, speed: RadianPerSecond) -> NewtonMetre {
        let w = speed.0;
        let direction = w / square_root(w * w + 0.01);
        NewtonMetre(self.steady.0 * direction + self.viscous_nms * w + self.windage_nms2 * w * w.abs())
    }
}

impl Drag {
    /// The drag that takes `torque` at `speed`, `share` of it by the air and the rest by bearings and brushes.
    pub fn split(torque: NewtonMetre, speed: RadianPerSecond, share: f64) -> Drag {
        let whole = Drag { steady: NewtonMetre(1.0), viscous_nms: 0.0, windage_nms2: 0.0 };
        let steady = torque * ((1.0 - share) / whole.torque(speed).0);
        Drag { steady, viscous_nms: 0.0, windage_nms2: share * torque.0 / (speed.0 * speed.0) }
    }
}

/// How long a rotor takes for 63 % of its run-up while the field stays and inductance does not count.
///
/// # Formula
/// `τ_m = R · J / k²`
pub fn mechanical_time_constant(
    resistance: Ohm,
    inertia: KilogramSquareMetre,
    constant: NewtonMetrePerAmpere,
) -> Second {
    Second(resistance.0 * inertia.0 / (constant.0 * constant.0))
}

/// How fast rotor and inductance would swing against each other without resistance and drag.
///
/// # Formula
/// `ω₀ = k / √(L · J)`
pub fn natural_frequency(
    constant: NewtonMetrePerAmpere,
    inductance: Henry,
    inertia: KilogramSquareMetre,
) -> RadianPerSecond {
    RadianPerSecond(constant.0 / square_root(inductance.0 * inertia.0))
}

/// Below 1 the current swings to its end; from 1 up it creeps.
///
/// # Formula
/// `ζ = R / 2 · √(J / L) / k`
pub fn damping_ratio(
    resistance: Ohm,
    inductance: Henry,
    inertia: KilogramSquareMetre,
    constant: NewtonMetrePerAmpere,
) -> f64 {
    0.5 * resistance.0 * square_root(inertia.0 / inductance.0) / constant.0
}

/// Voltage at the brushes for a current: nearly all of it from a few amperes up, nothing without current.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn brush_voltage(full: Volt, current: Ampere) -> Volt {
    Volt(full.0 * current.0 / square_root(current.0 * current.0 + 1.0))
}

/// What feeds a motor: a source behind its own resistance and that of the leads, and the drop at the brushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Voltage of the source with nothing connected.
    pub source: Volt,
    /// Resistance inside the source.
    pub source_resistance: Ohm,
    /// Resistance of leads and joints, out and back.
    pub lead_resistance: Ohm,
    /// Voltage lost where brushes touch the commutator.
    pub brush_drop: Volt,
}

/// One free-spin point of a motor's data sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeSpinPoint {
    /// Voltage at the terminals.
    pub voltage: Volt,
    /// Settled current.
    pub current: Ampere,
    /// Settled speed.
    pub speed: Rpm,
}

/// Current at the first instant, or with the rotor held: nothing but resistance stands against the source.
///
/// # Formula
/// `I = (U₀ − U_b) / (R_s + R_l + R_w)`
pub fn locked_current(feed: &Feed, winding: Ohm) -> Ampere {
    (feed.source - feed.brush_drop) / (feed.source_resistance + feed.lead_resistance + winding)
}

/// Voltage at the motor's terminals while `current` flows.
pub fn terminal_voltage(feed: &Feed, current: Ampere) -> Volt {
    feed.source - (feed.source_resistance + feed.lead_resistance) * current
}

/// Back-EMF at a sheet's free-spin point: what of the terminal voltage the winding and the brushes do not take.
///
/// # Formula
/// `E = U − I · R_w − U_b`
pub fn back_emf(point: &FreeSpinPoint, winding: Ohm, brush_drop: Volt) -> Volt {
    point.voltage - winding * point.current - brush_drop
}
