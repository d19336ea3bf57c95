//! The two coils of a starter solenoid as circuits, and what a meter can tell about them.

use crate::quantity::{Ampere, Ohm, Volt};

/// The resistances that decide the coils' currents.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coils {
    /// Pull-in coil, from terminal S to terminal M.
    pub pull_in: Ohm,
    /// Hold-in coil, from terminal S to the case.
    pub hold_in: Ohm,
    /// From terminal M through the motor to the case: the way back of the pull-in coil's current.
    pub motor_path: Ohm,
}

impl Coils {
    /// Both coils so many times their resistance; the motor's path stays as it is.
    pub fn heated(&self, times: f64) -> Coils {
        Coils { pull_in: self.pull_in * times, hold_in: self.hold_in * times, ..*self }
    }

    /// Current of the pull-in coil while the main contact is open.
    ///
    /// # Formula
    /// `I_p = U / (R_p + R_m)`
    pub fn pull_in_current(&self, at_s: Volt) -> Ampere {
        at_s / (self.pull_in + self.motor_path)
    }

    /// Current of the hold-in coil.
    ///
    /// # Formula
    /// `I_h = U / R_h`
    pub fn hold_in_current(&self, at_s: Volt) -> Ampere {
        at_s / self.hold_in
    }

    /// Current in the moment of release: the start switch is open and the main contact still holds terminal M at the
    /// battery's voltage, so that the coils lie in series, one of them the wrong way round.
    ///
    /// # Formula
    /// `I_r = U / (R_p + R_h)`
    pub fn release_current(&self, at_m: Volt) -> Ampere {
        at_m / (self.pull_in + self.hold_in)
    }
}

/// Resistance from the volts across a part and the amps through it.
///
/// # Formula
/// `R = U / I`
pub fn resistance_by_drop(across: Volt, through: Ampere) -> Ohm {
    across / through
}

/// How far an ohmmeter with two leads may be off, as a part of the true resistance: leads and one count of its display.
///
/// # Formula
/// `e = (R_leads + r) / R`
pub fn ohmmeter_error(true_resistance: Ohm, leads: Ohm, resolution: Ohm) -> f64 {
    (leads + resolution) / true_resistance
}

/// The part of a coil's turns that may be shorted without a change of more than one count in the display, leads
/// already taken off.
///
/// # Formula
/// `x = r / R`, at most all of them.
///
/// # Assumptions
/// Every turn has the same length, so that resistance goes with the number of turns.
pub fn hidden_turns(true_resistance: Ohm, resolution: Ohm) -> f64 {
    (resolution / true_resistance).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COILS: Coils = Coils { pull_in: Ohm(0.15), hold_in: Ohm(0.62), motor_path: Ohm(0.01) };

    #[test]
    fn the_currents_leave_no_voltage_over() {
        let at_s = Volt(10.2);
        let pull_in = COILS.pull_in_current(at_s);
        let drops = COILS.pull_in * pull_in + COILS.motor_path * pull_in;
        assert!((drops - at_s).0.abs() < 1e-12);
        assert!((resistance_by_drop(at_s, COILS.hold_in_current(at_s)) - COILS.hold_in).0.abs() < 1e-15);
    }

    #[test]
    fn heat_lowers_both_currents_and_the_motor_path_stays() {
        let hot = COILS.heated(1.2357);
        assert_eq!(hot.motor_path, COILS.motor_path);
        assert!(hot.pull_in_current(Volt(10.0)) < COILS.pull_in_current(Volt(10.0)));
        assert!(hot.hold_in_current(Volt(10.0)) < COILS.hold_in_current(Volt(10.0)));
    }

    #[test]
    fn in_the_moment_of_release_less_flows_than_in_the_hold_in_coil_alone() {
        assert!(COILS.release_current(Volt(12.0)) < COILS.hold_in_current(Volt(12.0)));
    }

    #[test]
    fn no_more_than_all_turns_can_hide() {
        assert_eq!(hidden_turns(Ohm(0.05), Ohm(0.1)), 1.0);
        assert!((hidden_turns(Ohm(0.2), Ohm(0.1)) - 0.5).abs() < 1e-15);
        assert!((ohmmeter_error(Ohm(0.2), Ohm(0.2), Ohm(0.1)) - 1.5).abs() < 1e-15);
    }
}
