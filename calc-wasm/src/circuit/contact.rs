//! When the contacts of solenoids and relays close and open.

use super::Device;
use super::settle::Currents;

/// With the contact open the pull-in coil has to carry at least this share of what the voltage between 50 and 31 would
/// drive through it alone: the hold-in coil by itself does not pull the plunger in (common practice, no source).
const HELP: f64 = 0.5;

impl Device {
    /// Is the contact closed once these currents have flown for a while?
    ///
    /// # Formula
    /// An open solenoid closes when `U = R_h · I_h` reaches its pull-in voltage; a closed one stays while
    /// `R_h · (I_h + I_p)` is not below its drop-out voltage.
    ///
    /// # Assumptions
    /// Both coils have the same number of turns, so that a current backwards through the pull-in coil takes away what
    /// the same current through the hold-in coil gives: so the plunger goes back when the start switch opens.
    pub(super) fn wants_closed(&self, closed: bool, currents: &Currents) -> bool {
        match self {
            Device::Solenoid { pull_in, hold_in, closes_at, drops_at, .. } => {
                let across = hold_in.0 * currents.hold_in;
                if closed {
                    (hold_in.0 * (currents.hold_in + currents.pull_in)).abs() >= drops_at.0
                } else {
                    let helped = pull_in.0 * currents.pull_in * across.signum() >= HELP * across.abs();
                    helped && across.abs() >= closes_at.0
                }
            }
            Device::Relay { coil, closes_at, drops_at, .. } => {
                let across = (coil.0 * currents.coil).abs();
                across >= if closed { drops_at.0 } else { closes_at.0 }
            }
            Device::Source { .. } | Device::Resistance { .. } | Device::Motor { .. } => false,
        }
    }
}
