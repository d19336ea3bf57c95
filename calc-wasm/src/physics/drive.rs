//! From the armature to the crankshaft: gears, torque and power.

use crate::quantity::{
    Hertz, Metre, Newton, NewtonMetre, NewtonMetrePerAmpere, RadianPerSecond, Rpm, Volt, Watt,
};

/// How many times the driving gear turns while the driven one turns once.
///
/// # Formula
/// `i = z₂ / z₁`, teeth driven over teeth driving
pub fn gear_ratio(driving_teeth: f64, driven_teeth: f64) -> f64 {
    driven_teeth / driving_teeth
}

/// Mechanical power of a torque at a speed.
///
/// # Formula
/// `P = T · ω`, with `ω = 2 π n / 60`
pub fn shaft_power(torque: NewtonMetre, speed: Rpm) -> Watt {
    torque * RadianPerSecond::from(speed)
}

/// The torque that makes this power at this speed, which is not zero.
///
/// # Formula
/// `T = P / ω`
pub fn torque_of_power(power: Watt, speed: Rpm) -> NewtonMetre {
    power / RadianPerSecond::from(speed)
}

/// Torque of a force at the end of an arm, square to it.
///
/// # Formula
/// `T = F · a`
pub fn torque_of_arm(force: Newton, arm: Metre) -> NewtonMetre {
    force * arm
}

/// Constant of a motor from its back-EMF: volts of each radian in a second, and newton metres of each ampere.
///
/// # Formula
/// `k = E / ω`
pub fn motor_constant(emf: Volt, speed: Rpm) -> NewtonMetrePerAmpere {
    emf / RadianPerSecond::from(speed)
}

/// How often a cylinder of a four-stroke engine comes to compression while the engine is cranked.
///
/// # Formula
/// `f = N · n / 120`: each cylinder once in two turns
pub fn compression_frequency(cylinders: f64, engine: Rpm) -> Hertz {
    Hertz(cylinders * engine.0 / 120.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_and_torque_undo_each_other() {
        for (torque, speed) in [(3.0, 3000.0), (50.0, 200.0), (0.1, 1.0)] {
            let power = shaft_power(NewtonMetre(torque), Rpm(speed));
            assert!((torque_of_power(power, Rpm(speed)).0 / torque - 1.0).abs() < 1e-15);
        }
    }

    #[test]
    fn one_newton_metre_at_9549_turns_is_a_kilowatt() {
        // 60 000 / 2 π = 9549.3 rpm.
        assert!((shaft_power(NewtonMetre(1.0), Rpm(9549.297)).0 - 1000.0).abs() < 1e-4);
    }
}
