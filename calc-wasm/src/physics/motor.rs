//! A direct-current starting motor seen from its terminals: locked, and spinning free.

use crate::quantity::{Ampere, Ohm, Rpm, Volt};

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

/// The settled point at another feed, when the drag does not change with speed.
///
/// The same drag needs the same torque, the same torque the same current, and the same current makes the same flux,
/// in series and in permanent-magnet motors alike: so the speed follows the back-EMF alone.
pub fn settled_with_steady_drag(
    feed: &Feed,
    winding: Ohm,
    point: &FreeSpinPoint,
    sheet_emf: Volt,
) -> (Ampere, Rpm) {
    let emf = terminal_voltage(feed, point.current) - winding * point.current - feed.brush_drop;
    (point.current, point.speed * (emf / sheet_emf))
}

/// The settled point at another feed, when the drag grows in step with speed and the flux stays: the other extreme.
///
/// # Formula
/// With `x = n / n_sheet`: `E · x = U₀ − U_b − I_sheet · x · R`, so `x = (U₀ − U_b) / (E + I_sheet · R)`.
pub fn settled_with_growing_drag(
    feed: &Feed,
    winding: Ohm,
    point: &FreeSpinPoint,
    sheet_emf: Volt,
) -> (Ampere, Rpm) {
    let resistance = feed.source_resistance + feed.lead_resistance + winding;
    let ratio = (feed.source - feed.brush_drop) / (sheet_emf + resistance * point.current);
    (point.current * ratio, point.speed * ratio)
}
