//! A motor's constants from the lines of its data sheet: spinning free, and held.

use super::motor::{Drag, Excitation, Feed, FreeSpinPoint, Magnetization, Motor, back_emf, brush_voltage};
use super::steady::steady;
use crate::quantity::{
    Ampere, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Rpm, Volt,
};

/// What makes the field, before its constants are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Field {
    /// The armature's own current.
    Series,
    /// Magnets.
    PermanentMagnet,
    /// Coils across the terminals.
    Shunt {
        /// Their resistance.
        resistance: Ohm,
        /// Their inductance.
        inductance: Henry,
    },
}

/// The line of a data sheet with the shaft held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedPoint {
    /// Voltage at the terminals.
    pub voltage: Volt,
    /// Current.
    pub current: Ampere,
    /// Torque, where the sheet states it.
    pub torque: Option<NewtonMetre>,
}

/// What a data sheet says, and what is known of the motor besides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Spinning free.
    pub free: FreeSpinPoint,
    /// Held.
    pub locked: Option<LockedPoint>,
    /// What makes the field.
    pub field: Field,
    /// Armature, and field coils in series with it.
    pub winding: Ohm,
    /// Inductance of the same path.
    pub inductance: Henry,
    /// Inertia of everything that turns.
    pub inertia: KilogramSquareMetre,
    /// Drop at both brushes.
    pub brush_drop: Volt,
    /// Share of the free-spin drag that the air takes, from 0 to 1.
    pub windage_share: f64,
}

/// Where the saturation of a series motor comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saturation {
    /// A field by magnets does not follow the current.
    None,
    /// From the held torque.
    FromTorque,
    /// The held torque lies a little beyond what any saturation gives: the nearest one is taken.
    Nearest,
    /// Half at a quarter of the held current at the sheet's voltage (series), or at the sheet's field current (shunt).
    Assumed,
}

/// A motor whose constants follow from its sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// The motor.
    pub motor: Motor,
    /// Back-EMF at the free-spin point.
    pub emf: Volt,
    /// Armature current there.
    pub armature: Ampere,
    /// Torque of each ampere there.
    pub constant: NewtonMetrePerAmpere,
    /// Drag there.
    pub drag: NewtonMetre,
    /// How the saturation was found.
    pub saturation: Saturation,
}

/// Why no motor fits a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FitProblem {
    /// Winding and brushes take all of the free-spin voltage.
    NoBackEmf,
    /// The field coils alone draw more than the free-spin current; the current that they draw.
    FieldTakesAll(Ampere),
    /// Held, a motor draws more than spinning free.
    LockedBelowFree,
    /// The held current heats the winding with far more power than goes in; the current that the winding lets through.
    HeatAbovePower(Ampere),
    /// The winding lets through another held current by more than half of it; the current that it lets through.
    LockedOff(Ampere),
    /// More torque than any field gives at that current; the most.
    TorqueTooGreat(NewtonMetre),
    /// Less torque than the field of the free-spin point gives at that current; the least.
    TorqueTooSmall(NewtonMetre),
}

/// One value of a sheet beside what the fitted motor gives for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual<T> {
    /// What the sheet says.
    pub sheet: T,
    /// What the motor gives.
    pub model: T,
}

/// The sheet's values beside the fitted motor's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residuals {
    /// Free-spin current; nothing when the fitted motor does not turn.
    pub free_current: Option<Residual<Ampere>>,
    /// Free-spin speed.
    pub free_speed: Option<Residual<Rpm>>,
    /// Held current.
    pub locked_current: Option<Residual<Ampere>>,
    /// Held torque, at the sheet's held current.
    pub locked_torque: Option<Residual<NewtonMetre>>,
}

/// A held current may be so many times what the measured winding lets through: sheets are taken warm or cold, and meters
/// and leads differ. Common practice, no source.
const MOST_CURRENT: f64 = 1.5;
/// The winding lets through at least this share of a held current that can be true. Common practice, no source.
const LEAST_CURRENT: f64 = 0.5;
/// How far a held torque may lie beyond what a field can give before it contradicts the rest. Common practice.
const TORQUE_SLACK: f64 = 0.25;
/// Magnets lose part of their field to a locked armature's; from memory, up to a third in small machines.
const LEAST_MAGNET: f64 = 0.5;

/// The motor that does what its sheet says when it spins free, and as near as its field allows when it is held.
///
/// # Formula
/// `E = U − I_a · R_w − U_b`, `k = E / ω`, drag `k · I_a`; with a held torque `k_L = M_L / I_L` and, for a series motor,
/// both points on `k(i) = K · i / (i + i_h)`: `K = (I_L − I) / (I_L / k_L − I / k)`, `i_h = K · I / k − I`.
///
/// # Assumptions
/// The held torque is that of the field: friction at standstill may act either way and is left out.
///
/// # Errors
/// What the points contradict each other in.
pub fn fit(sheet: &Sheet) -> Result<Fit, FitProblem> {
    let field_current = match sheet.field {
        Field::Shunt { resistance, .. } => sheet.free.voltage / resistance,
        _ => Ampere(0.0),
    };
    let armature = sheet.free.current - field_current;
    if armature.0 <= 0.0 {
        return Err(FitProblem::FieldTakesAll(field_current));
    }
    let at_armature = FreeSpinPoint { current: armature, ..sheet.free };
    if back_emf(&at_armature, sheet.winding, sheet.brush_drop).0 <= 0.0 {
        return Err(FitProblem::NoBackEmf);
    }
    let emf = back_emf(&at_armature, sheet.winding, brush_voltage(sheet.brush_drop, armature));
    let speed = RadianPerSecond::from(sheet.free.speed);
    let constant = emf / speed;
    if let Some(locked) = &sheet.locked {
        check_locked(sheet, locked)?;
    }
    let (excitation, saturation) = excitation(sheet, armature, constant)?;
    let drag = constant * armature;
    let motor = Motor {
        excitation,
        winding: sheet.winding,
        inductance: sheet.inductance,
        inertia: sheet.inertia,
        drag: Drag::split(drag, speed, sheet.windage_share),
    };
    Ok(Fit { motor, emf, armature, constant, drag, saturation })
}

fn check_locked(sheet: &Sheet, locked: &LockedPoint) -> Result<(), FitProblem> {
    // A held test is often taken at a lower voltage: both currents are held against their own voltages.
    if locked.current.0 / locked.voltage.0 <= sheet.free.current.0 / sheet.free.voltage.0 {
        return Err(FitProblem::LockedBelowFree);
    }
    let through = held_current(sheet, locked.voltage);
    if locked.current.0 > MOST_CURRENT * (locked.voltage / sheet.winding).0 {
        return Err(FitProblem::HeatAbovePower(through));
    }
    if through.0 > MOST_CURRENT * locked.current.0 || through.0 < LEAST_CURRENT * locked.current.0 {
        return Err(FitProblem::LockedOff(through));
    }
    Ok(())
}

/// The current at a voltage with the shaft held.
fn held_current(sheet: &Sheet, voltage: Volt) -> Ampere {
    let armature = (voltage.0 - sheet.brush_drop.0).max(0.0) / sheet.winding.0;
    let field = match sheet.field {
        Field::Shunt { resistance, .. } => voltage / resistance,
        _ => Ampere(0.0),
    };
    Ampere(armature) + field
}

fn excitation(
    sheet: &Sheet,
    armature: Ampere,
    constant: NewtonMetrePerAmpere,
) -> Result<(Excitation, Saturation), FitProblem> {
    let torque = sheet.locked.and_then(|locked| locked.torque.map(|torque| (locked.current, torque)));
    match sheet.field {
        Field::Series => series(sheet, armature, constant, torque),
        Field::PermanentMagnet => {
            if let Some((current, torque)) = torque {
                within(constant * current, torque, LEAST_MAGNET)?;
            }
            Ok((Excitation::PermanentMagnet { constant }, Saturation::None))
        }
        Field::Shunt { resistance, inductance } => {
            let half_at = sheet.free.voltage / resistance;
            let magnetization = Magnetization { full: constant * 2.0, half_at };
            if let (Some((current, torque)), Some(locked)) = (torque, sheet.locked) {
                let field = locked.voltage / resistance;
                within(magnetization.constant(field) * (current - field), torque, LEAST_MAGNET)?;
            }
            Ok((Excitation::Shunt { magnetization, resistance, inductance }, Saturation::Assumed))
        }
    }
}

/// Is a torque near enough to what the field gives?
fn within(model: NewtonMetre, torque: NewtonMetre, least: f64) -> Result<(), FitProblem> {
    if torque.0 > model.0 * (1.0 + TORQUE_SLACK) {
        Err(FitProblem::TorqueTooGreat(model))
    } else if torque.0 < model.0 * least {
        Err(FitProblem::TorqueTooSmall(model * least))
    } else {
        Ok(())
    }
}

fn series(
    sheet: &Sheet,
    armature: Ampere,
    constant: NewtonMetrePerAmpere,
    torque: Option<(Ampere, NewtonMetre)>,
) -> Result<(Excitation, Saturation), FitProblem> {
    let through =
        |half_at: Ampere| Magnetization { full: constant * ((armature.0 + half_at.0) / armature.0), half_at };
    let held = held_current(sheet, sheet.free.voltage);
    let assumed = through(held * 0.25);
    let Some((locked, torque)) = torque else {
        return Ok((Excitation::Series(assumed), Saturation::Assumed));
    };
    if locked <= armature {
        // Held at a small voltage: the currents lie on the wrong side of each other, and the torque says nothing new.
        return Ok((Excitation::Series(assumed), Saturation::Assumed));
    }
    // Between iron that is full from the first ampere and iron that never fills.
    let (least_half, most_half) = (armature * 0.02, locked * 50.0);
    let least = through(least_half).constant(locked) * locked;
    let most = through(most_half).constant(locked) * locked;
    if torque.0 > most.0 * (1.0 + TORQUE_SLACK) {
        return Err(FitProblem::TorqueTooGreat(most));
    }
    if torque.0 < least.0 * (1.0 - TORQUE_SLACK) {
        return Err(FitProblem::TorqueTooSmall(least));
    }
    if torque >= most {
        return Ok((Excitation::Series(through(most_half)), Saturation::Nearest));
    }
    if torque <= least {
        return Ok((Excitation::Series(through(least_half)), Saturation::Nearest));
    }
    let locked_constant = torque / locked;
    let full = (locked - armature).0 / (locked.0 / locked_constant.0 - armature.0 / constant.0);
    let half_at = (armature * (full / constant.0) - armature).0.clamp(least_half.0, most_half.0);
    Ok((Excitation::Series(through(Ampere(half_at))), Saturation::FromTorque))
}

impl Fit {
    /// What the motor gives for each value of its sheet.
    pub fn residuals(&self, sheet: &Sheet) -> Residuals {
        let feed = |voltage: Volt| Feed {
            source: voltage,
            source_resistance: Ohm(0.0),
            lead_resistance: Ohm(0.0),
            brush_drop: sheet.brush_drop,
        };
        let free = steady(&feed(sheet.free.voltage), &self.motor, NewtonMetre(0.0));
        let locked = sheet.locked;
        Residuals {
            free_current: free.map(|state| Residual {
                sheet: sheet.free.current,
                model: state.current + state.field_current,
            }),
            free_speed: free.map(|state| Residual { sheet: sheet.free.speed, model: state.speed.into() }),
            locked_current: locked
                .map(|locked| Residual { sheet: locked.current, model: held_current(sheet, locked.voltage) }),
            locked_torque: locked.and_then(|locked| {
                let model = self.held_torque(locked.voltage, locked.current);
                locked.torque.map(|torque| Residual { sheet: torque, model })
            }),
        }
    }

    /// Torque with the shaft held, at a current from the source and the voltage at the terminals.
    pub fn held_torque(&self, voltage: Volt, current: Ampere) -> NewtonMetre {
        match self.motor.excitation {
            Excitation::PermanentMagnet { constant } => constant * current,
            Excitation::Series(magnetization) => magnetization.constant(current) * current,
            Excitation::Shunt { magnetization, resistance, .. } => {
                let field = voltage / resistance;
                magnetization.constant(field) * (current - field)
            }
        }
    }

    /// Torque of each ampere at an armature current; of a shunt motor that of its sheet's voltage.
    pub fn constant_at(&self, current: Ampere) -> NewtonMetrePerAmpere {
        match self.motor.excitation {
            Excitation::Series(magnetization) => magnetization.constant(current),
            _ => self.constant,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(field: Field) -> Sheet {
        Sheet {
            free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
            locked: None,
            field,
            winding: Ohm(0.012),
            inductance: Henry(0.000_05),
            inertia: KilogramSquareMetre(0.000_8),
            brush_drop: Volt(1.0),
            windage_share: 0.5,
        }
    }

    const SHUNT: Field = Field::Shunt { resistance: Ohm(2.0), inductance: Henry(0.05) };

    fn held(volts: f64, amps: f64, torque: f64) -> Option<LockedPoint> {
        Some(LockedPoint {
            voltage: Volt(volts),
            current: Ampere(amps),
            torque: (torque > 0.0).then_some(NewtonMetre(torque)),
        })
    }

    #[test]
    fn every_field_gives_the_free_spin_point_back() {
        for field in [Field::Series, Field::PermanentMagnet, SHUNT] {
            let sheet = sheet(field);
            let residuals = fit(&sheet).expect("fits").residuals(&sheet);
            let (current, speed) =
                (residuals.free_current.expect("turns"), residuals.free_speed.expect("turns"));
            assert!((current.model / current.sheet - 1.0).abs() < 1e-9, "{field:?}: {current:?}");
            assert!((speed.model / speed.sheet - 1.0).abs() < 1e-9, "{field:?}: {speed:?}");
        }
    }

    #[test]
    fn a_held_torque_decides_the_saturation() {
        let sheet = Sheet { locked: held(8.0, 560.0, 18.0), ..sheet(Field::Series) };
        let fit = fit(&sheet).expect("fits");
        assert_eq!(fit.saturation, Saturation::FromTorque);
        let torque = fit.residuals(&sheet).locked_torque.expect("stated");
        assert!((torque.model / torque.sheet - 1.0).abs() < 1e-9, "{torque:?}");
        let constant = fit.constant_at(Ampere(65.0));
        assert!((constant / fit.constant - 1.0).abs() < 1e-12, "the free-spin point stays");
    }

    #[test]
    fn torque_beyond_what_a_field_gives_is_refused() {
        let with = |field, torque| fit(&Sheet { locked: held(8.0, 560.0, torque), ..sheet(field) });
        // Unsaturated: (560/65)² times the free-spin torque 0.0122 · 65; full: 560/65 times.
        assert!(matches!(with(Field::Series, 90.0), Err(FitProblem::TorqueTooGreat(most)) if most.0 < 65.0));
        assert!(matches!(with(Field::Series, 4.0), Err(FitProblem::TorqueTooSmall(least)) if least.0 > 6.0));
        assert_eq!(with(Field::Series, 6.5).expect("nearly").saturation, Saturation::Nearest);
        assert!(matches!(with(Field::PermanentMagnet, 9.0), Err(FitProblem::TorqueTooGreat(_))));
        assert!(matches!(with(Field::PermanentMagnet, 3.0), Err(FitProblem::TorqueTooSmall(_))));
        assert!(with(Field::PermanentMagnet, 6.0).is_ok());
        assert!(matches!(with(SHUNT, 20.0), Err(FitProblem::TorqueTooGreat(_))));
    }

    #[test]
    fn points_that_cannot_be_true_together_are_refused() {
        let with = |locked| fit(&Sheet { locked, ..sheet(Field::Series) });
        assert_eq!(with(held(8.0, 40.0, 0.0)), Err(FitProblem::LockedBelowFree));
        assert!(matches!(with(held(8.0, 1200.0, 0.0)), Err(FitProblem::HeatAbovePower(_))));
        // 7 V over 12 mΩ are 583 A.
        assert!(matches!(with(held(8.0, 380.0, 0.0)), Err(FitProblem::LockedOff(_))));
        assert!(with(held(8.0, 400.0, 0.0)).is_ok());
        // 0.5 V over 12 mΩ are 42 A.
        assert!(matches!(with(held(1.5, 90.0, 0.0)), Err(FitProblem::LockedOff(_))));
        let hot = Sheet { winding: Ohm(0.2), ..sheet(Field::Series) };
        assert_eq!(fit(&hot), Err(FitProblem::NoBackEmf));
        let field = Field::Shunt { resistance: Ohm(0.1), inductance: Henry(0.05) };
        assert!(matches!(fit(&sheet(field)), Err(FitProblem::FieldTakesAll(_))));
    }
}
