//! A motor as a circuit sees it: for what feeds it, the current it settles at.

use crate::physics::motor::{Feed, FreeSpinPoint, Motor, locked_current};
use crate::physics::motor_fit::{self, FitProblem, LockedPoint, Sheet, fit};
use crate::physics::steady::steady;
use crate::quantity::{Henry, KilogramSquareMetre, NewtonMetre, Ohm, RadianPerSecond, Rpm, Volt};

/// What makes the field of a starting motor. Coils across its terminals would be one more resistance of the circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Coils that the armature's current runs through: the motor turns the same way with its terminals exchanged.
    Series,
    /// Magnets: it turns the other way then.
    PermanentMagnet,
}

/// What is known of a motor: lines of its data sheet, and what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorSheet {
    /// What makes its field.
    pub field: Field,
    /// Resistance between the terminals as the sheet was taken, at 20 °C.
    pub winding: Ohm,
    /// The same at work, when it is warmer than that.
    pub winding_at_work: Option<Ohm>,
    /// Voltage lost where brushes touch the commutator.
    pub brush_drop: Volt,
    /// The sheet's free-spin line.
    pub free: FreeSpinPoint,
    /// The sheet's locked line.
    pub locked: Option<LockedPoint>,
    /// Share of the free-spin drag that the air takes, from 0 to 1; half is common practice, no source.
    pub windage_share: f64,
    /// What the shaft carries besides its own drag: an engine that is cranked, through the gears.
    pub load: NewtonMetre,
}

/// A motor's current as a function of what feeds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorLaw {
    motor: Motor,
    field: Field,
    brush_drop: Volt,
    load: NewtonMetre,
    /// More slowly than this no drag stays what it is: the motor is taken to stand still.
    creep: RadianPerSecond,
}

/// Below this part of the sheet's speed a motor creeps, as in `expected-draw`.
const CREEP: f64 = 0.02;

/// What a motor settles at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Settled {
    pub current: f64,
    /// Volts that stand against the current besides those of the winding.
    pub opposing: f64,
    pub speed: Rpm,
}

impl MotorLaw {
    /// The motor that does what its sheet says, by the same fit as `expected-draw`.
    ///
    /// # Errors
    /// What the sheet's lines contradict each other in; a line that is no number as [`FitProblem::NoBackEmf`].
    pub fn of(sheet: &MotorSheet) -> Result<MotorLaw, FitProblem> {
        let motor_sheet = Sheet {
            free: sheet.free,
            locked: sheet.locked,
            field: match sheet.field {
                Field::Series => motor_fit::Field::Series,
                Field::PermanentMagnet => motor_fit::Field::PermanentMagnet,
            },
            winding: sheet.winding,
            // Neither decides where a motor settles.
            inductance: Henry(1e-4),
            inertia: KilogramSquareMetre(1e-3),
            brush_drop: sheet.brush_drop,
            windage_share: sheet.windage_share,
        };
        let winding = sheet.winding_at_work.unwrap_or(sheet.winding);
        let positive = [sheet.winding.0, winding.0, sheet.free.voltage.0, sheet.free.speed.0];
        let not_below = [sheet.brush_drop.0, sheet.load.0, sheet.windage_share];
        let real = positive.iter().all(|value| *value > 0.0 && value.is_finite())
            && not_below.iter().all(|value| *value >= 0.0 && value.is_finite())
            && sheet.windage_share <= 1.0
            && sheet.free.current.0.is_finite();
        if !real {
            return Err(FitProblem::NoBackEmf);
        }
        let motor = Motor { winding, ..fit(&motor_sheet)?.motor };
        Ok(MotorLaw {
            motor,
            field: sheet.field,
            brush_drop: sheet.brush_drop,
            load: sheet.load,
            creep: RadianPerSecond(CREEP * RadianPerSecond::from(sheet.free.speed).0),
        })
    }

    /// Resistance between the terminals.
    pub fn winding(&self) -> Ohm {
        self.motor.winding
    }

    /// Where it settles behind `total` ohms, its own winding among them, that would have `open` across the terminals
    /// without it; standing still where it cannot turn; nothing where the brushes let nothing through.
    pub(super) fn settled(&self, open: f64, total: f64) -> Option<Settled> {
        let feed = self.feed(open, total);
        let turning = (open.abs() > self.brush_drop.0)
            .then(|| steady(&feed, &self.motor, self.load))
            .flatten()
            .filter(|state| state.speed >= self.creep);
        let Some(state) = turning else { return self.held(open, total) };
        let current = state.current.0 * open.signum();
        let speed = match self.field {
            Field::Series => Rpm::from(state.speed),
            Field::PermanentMagnet => Rpm::from(state.speed) * open.signum(),
        };
        Some(Settled { current, opposing: open - total * current, speed })
    }

    /// The same with the shaft held.
    pub(super) fn held(&self, open: f64, total: f64) -> Option<Settled> {
        if open.abs() <= self.brush_drop.0 {
            return None;
        }
        let current = locked_current(&self.feed(open, total), self.motor.winding).0 * open.signum();
        Some(Settled { current, opposing: self.brush_drop.0 * open.signum(), speed: Rpm(0.0) })
    }

    fn feed(&self, open: f64, total: f64) -> Feed {
        Feed {
            source: Volt(open.abs()),
            source_resistance: Ohm((total - self.motor.winding.0).max(0.0)),
            lead_resistance: Ohm(0.0),
            brush_drop: self.brush_drop,
        }
    }
}
