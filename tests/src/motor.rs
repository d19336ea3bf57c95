//! The demo motor of the course (invented), as circuits in tests and benches are given it.

use fieldcoil_calc::circuit::{Field, MotorSheet};
use fieldcoil_calc::physics::motor::FreeSpinPoint;
use fieldcoil_calc::quantity::{Ampere, NewtonMetre, Ohm, Rpm, Volt};

/// Its sheet, with a field of this kind and so much to turn.
pub fn demo_sheet(field: Field, load: NewtonMetre) -> MotorSheet {
    MotorSheet {
        field,
        winding: Ohm(0.012),
        winding_at_work: None,
        brush_drop: Volt(1.0),
        free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
        locked: None,
        windage_share: 0.5,
        load,
    }
}
