//! From the lines of a motor's sheet to the motor: reading them, fitting, and what the fit leaves open.

use super::work::or_start;
use crate::calculator::{Field, show_a, show_ohm, show_v};
use crate::input::Inputs;
use crate::number::{figures, short};
use crate::physics::motor::{Excitation, Feed, FreeSpinPoint, Motor};
use crate::physics::motor_fit::{self, Fit, FitProblem, LockedPoint, Residual, Saturation, Sheet, fit};
use crate::quantity::{
    Ampere, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Rpm, Volt,
};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::report::{Level, Report, Source, Table, show};
use crate::unit::Quantity;

/// The lines of the sheet that were typed.
#[derive(Debug)]
pub(super) struct Points {
    pub free: Option<FreeSpinPoint>,
    pub locked: Option<LockedPoint>,
}

/// A motor with its sheet.
#[derive(Debug)]
pub(super) struct Fitted {
    /// With the winding at 20 °C, as a sheet is taken.
    pub sheet: Sheet,
    pub fit: Fit,
    /// The same motor with its winding at work.
    pub motor: Motor,
}

/// The winding's resistance, cold and at work.
#[derive(Debug, Clone, Copy)]
pub(super) struct Winding {
    pub at_20: Ohm,
    pub at_work: Ohm,
}

/// Each line of the sheet: all of it or nothing.
pub(super) fn points(inputs: &Inputs) -> Result<Points, Refusal> {
    let value = |name: &str| inputs.optional(name).map(|measured| measured.value);
    let mut problems = Vec::new();
    let mut missing = |names: &[&str], sentence: &str| {
        for name in names.iter().filter(|name| value(name).is_none()) {
            let problem = Problem::Contradiction(sentence.to_owned());
            problems.push(FieldRefusal { field: inputs.field(name), problem });
        }
    };
    let free_names = ["sheet_voltage_v", "sheet_current_a", "sheet_speed_rpm"];
    let free = match free_names.map(value) {
        [Some(volts), Some(amps), Some(rpm)] => {
            Some(FreeSpinPoint { voltage: Volt(volts), current: Ampere(amps), speed: Rpm(rpm) })
        }
        [None, None, None] => None,
        _ => {
            missing(
                &free_names,
                "the sheet's volts, amps and speed belong together; fill in all three or none.",
            );
            None
        }
    };
    let locked_names = ["sheet_locked_voltage_v", "sheet_locked_current_a"];
    let torque = value("sheet_locked_torque_nm").map(NewtonMetre);
    let locked = match (locked_names.map(value), torque) {
        ([Some(volts), Some(amps)], torque) => {
            Some(LockedPoint { voltage: Volt(volts), current: Ampere(amps), torque })
        }
        ([None, None], None) => None,
        _ => {
            missing(
                &locked_names,
                "volts and amps of the locked line belong together, the torque with them; fill in both or leave all three empty.",
            );
            None
        }
    };
    if problems.is_empty() { Ok(Points { free, locked }) } else { Err(Refusal { problems }) }
}

/// Fits the motor and shows how.
pub(super) fn fit_motor(
    report: &mut Report,
    inputs: &Inputs,
    feed: &Feed,
    winding: Winding,
    free: &FreeSpinPoint,
    locked: Option<LockedPoint>,
) -> Result<Fitted, Refusal> {
    let field = match inputs.choice("field") {
        "permanent-magnet" => motor_fit::Field::PermanentMagnet,
        "shunt" => motor_fit::Field::Shunt {
            resistance: Ohm(or_start(inputs, "shunt_resistance_ohm")),
            inductance: Henry(or_start(inputs, "shunt_inductance_h")),
        },
        _ => motor_fit::Field::Series,
    };
    let inertia = or_start(inputs, "rotor_inertia_kg_m2") + or_start(inputs, "drive_inertia_kg_m2");
    let sheet = Sheet {
        free: *free,
        locked,
        field,
        winding: winding.at_20,
        inductance: Henry(or_start(inputs, "winding_inductance_h")),
        inertia: KilogramSquareMetre(inertia),
        brush_drop: feed.brush_drop,
        windage_share: 0.01 * or_start(inputs, "windage_share_percent"),
    };
    let fit = fit(&sheet).map_err(|problem| refusal(inputs, &sheet, problem))?;
    let motor = Motor { winding: winding.at_work, ..fit.motor };
    let fitted = Fitted { sheet, fit, motor };
    fitted.show_constants(report);
    fitted.show_residuals(report);
    fitted.show_gaps(report);
    Ok(fitted)
}

fn refusal(inputs: &Inputs, sheet: &Sheet, problem: FitProblem) -> Refusal {
    let held = sheet.locked.map_or(Ampere(0.0), |locked| locked.current);
    let torque = sheet.locked.and_then(|locked| locked.torque).unwrap_or(NewtonMetre(0.0));
    let (name, sentence) = match problem {
        FitProblem::NoBackEmf => (
            "sheet_current_a",
            format!(
                "{} through a winding of {} and {} at the brushes take all of the sheet's {}: no motor turns on that. Check the sheet and the resistance.",
                show_a(sheet.free.current),
                show_ohm(sheet.winding),
                show_v(sheet.brush_drop),
                show_v(sheet.free.voltage)
            ),
        ),
        FitProblem::FieldTakesAll(field) => (
            "shunt_resistance_ohm",
            format!(
                "the shunt coils alone would draw {} of the sheet's {}: nothing is left for the armature. Check the coils' resistance.",
                show_a(field),
                show_a(sheet.free.current)
            ),
        ),
        FitProblem::LockedBelowFree => (
            "sheet_locked_current_a",
            "a held motor draws more for each volt than one that spins free; the sheet's two lines say otherwise. Check both."
                .to_owned(),
        ),
        FitProblem::HeatAbovePower(through) => (
            "sheet_locked_current_a",
            format!(
                "{} would need more power in the winding's {} than the sheet's volts put in; they drive {}. Check the resistance measured and the locked line.",
                show_a(held),
                show_ohm(sheet.winding),
                show_a(through)
            ),
        ),
        FitProblem::LockedOff(through) => (
            "sheet_locked_current_a",
            format!(
                "the sheet has {} with the shaft held, but its volts drive {} through a winding of {} and the brushes: more than 50 % apart. Check the locked line, its units and the resistance measured.",
                show_a(held),
                show_a(through),
                show_ohm(sheet.winding)
            ),
        ),
        FitProblem::TorqueTooGreat(most) => (
            "sheet_locked_torque_nm",
            format!(
                "{} at {} is more than this kind of field gives: at most {} with the flux of the free-spin line. With that torque at speed the motor would give more power than it takes. Check both lines, the kind of field and the unit of the torque.",
                show_nm(torque),
                show_a(held),
                show_nm(most)
            ),
        ),
        FitProblem::TorqueTooSmall(least) => (
            "sheet_locked_torque_nm",
            format!(
                "{} at {} is less than the flux of the free-spin line gives: at least {}. Check both lines, the kind of field and the unit of the torque.",
                show_nm(torque),
                show_a(held),
                show_nm(least)
            ),
        ),
    };
    let field: &'static Field = inputs.field(name);
    FieldRefusal::contradiction(field, sentence)
}

impl Fitted {
    fn show_constants(&self, report: &mut Report) {
        let (sheet, fit) = (&self.sheet, &self.fit);
        let shunt = matches!(sheet.field, motor_fit::Field::Shunt { .. });
        if let motor_fit::Field::Shunt { resistance, .. } = sheet.field {
            report.step(
                "Armature current at the sheet's point",
                "I_a = I − U / R_f",
                format!(
                    "I_a = {} − {} / {}",
                    show_a(sheet.free.current),
                    show_v(sheet.free.voltage),
                    show_ohm(resistance)
                ),
                show_a(fit.armature),
            );
        }
        let current = if shunt { "I_a" } else { "I" };
        report.step(
            "Back-EMF at the sheet's point, taken at 20 °C",
            &format!("E = U − {current} · R₂₀ − U_b"),
            format!(
                "E = {} − {} · {} − {}",
                show_v(sheet.free.voltage),
                show_a(fit.armature),
                show_ohm(sheet.winding),
                show_v(sheet.brush_drop)
            ),
            show_v(fit.emf),
        );
        let speed = RadianPerSecond::from(sheet.free.speed);
        report.step(
            "Motor constant at the sheet's point",
            "ω = 2 · π · n / 60; k = E / ω",
            format!(
                "ω = 2 · π · {} / 60 s = {} rad/s; k = {} / {} rad/s",
                short(sheet.free.speed.0),
                figures(speed.0, 4),
                show_v(fit.emf),
                figures(speed.0, 4)
            ),
            show_k(fit.constant),
        );
        self.show_saturation(report);
        report.step(
            "Drag at the sheet's speed",
            &format!("M = k · {current}"),
            format!("M = {} · {}", show_k(fit.constant), show_a(fit.armature)),
            show_nm(fit.drag),
        );
        let steady = fit.drag * (1.0 - sheet.windage_share);
        report.step(
            "Its two parts",
            "M_b = (1 − s) · M; c = s · M / ω^2",
            format!(
                "M_b = (1 − {}) · {}; c = {} · {} / ({} rad/s)²",
                figures(sheet.windage_share, 2),
                show_nm(fit.drag),
                figures(sheet.windage_share, 2),
                show_nm(fit.drag),
                figures(speed.0, 4)
            ),
            format!(
                "{} at every speed; {} by air at the sheet's speed",
                show_nm(steady),
                show_nm(fit.drag - steady)
            ),
        );
    }

    fn show_saturation(&self, report: &mut Report) {
        let (sheet, fit) = (&self.sheet, &self.fit);
        let Excitation::Series(magnetization) = fit.motor.excitation else { return };
        let result =
            format!("K = {}, half of it at {}", show_k(magnetization.full), show_a(magnetization.half_at));
        match (fit.saturation, sheet.locked) {
            (Saturation::FromTorque, Some(LockedPoint { current, torque: Some(torque), .. })) => report.step(
                "Saturation, from the held torque",
                "k_H = M_H / I_H; K = (I_H − I) / (I_H / k_H − I / k); i_h = K · I / k − I",
                format!(
                    "k_H = {} / {} = {}; K = ({} − {}) / ({} / {} − {} / {})",
                    show_nm(torque),
                    show_a(current),
                    show_k(torque / current),
                    show_a(current),
                    show_a(fit.armature),
                    show_a(current),
                    show_k(torque / current),
                    show_a(fit.armature),
                    show_k(fit.constant)
                ),
                result,
            ),
            (Saturation::Nearest, _) => report.step(
                "Saturation, the nearest that iron allows",
                "K = k · (I + i_h) / I",
                format!(
                    "K = {} · ({} + {}) / {}",
                    show_k(fit.constant),
                    show_a(fit.armature),
                    show_a(magnetization.half_at),
                    show_a(fit.armature)
                ),
                result,
            ),
            _ => report.step(
                "Saturation, assumed",
                "i_h = 1 / 4 · (U − U_b) / R₂₀; K = k · (I + i_h) / I",
                format!(
                    "i_h = 1 / 4 · ({} − {}) / {}; K = {} · ({} + {}) / {}",
                    show_v(sheet.free.voltage),
                    show_v(sheet.brush_drop),
                    show_ohm(sheet.winding),
                    show_k(fit.constant),
                    show_a(fit.armature),
                    show_a(magnetization.half_at),
                    show_a(fit.armature)
                ),
                result,
            ),
        }
        report.sources.push(Source {
            fact: "Flux of series coils: k = K · i / (i + i_h)",
            from: "Froelich's curve of magnetization, in textbooks of electrical machines (from memory)",
        });
    }

    fn show_residuals(&self, report: &mut Report) {
        let residuals = self.fit.residuals(&self.sheet);
        let mut rows = Vec::new();
        if let Some(part) = residuals.free_current {
            rows.push(row("Free spin: amps", &part, show_a));
        }
        if let Some(part) = residuals.free_speed {
            rows.push(row("Free spin: speed", &part, |speed| show(Quantity::Speed, speed.0, 4)));
        }
        if let Some(part) = residuals.locked_current {
            rows.push(row("Held: amps, from the winding's resistance", &part, show_a));
            let off = off_percent(part.sheet.0, part.model.0);
            if off.abs() > 10.0 {
                report.finding(
                    Level::Warning,
                    format!(
                        "At the sheet's held volts the winding as measured lets {} through, the sheet says {}: {}. A sheet's motor is warm or cold as it likes (here it is taken at 20 °C), but more than 10 % is doubtful: measure the resistance again, terminal to case and without leads.",
                        show_a(part.model),
                        show_a(part.sheet),
                        percent(off)
                    ),
                );
            }
        }
        if let Some(part) = residuals.locked_torque {
            rows.push(row("Held: torque, at the sheet's amps", &part, show_nm));
            let off = off_percent(part.sheet.0, part.model.0);
            if off.abs() > 5.0 {
                report.finding(
                    Level::Warning,
                    format!(
                        "The fitted motor gives {} where the sheet says {}: {}. The lines of the sheet and this kind of field fit each other badly; take the run below with care.",
                        show_nm(part.model),
                        show_nm(part.sheet),
                        percent(off)
                    ),
                );
            }
        }
        report.tables.push(Table {
            title: "The sheet beside the fitted motor".to_owned(),
            heads: vec!["Value", "Sheet", "Fitted motor", "Difference"],
            rows,
        });
    }

    /// Says what fills the gap where the sheet is silent.
    fn show_gaps(&self, report: &mut Report) {
        let fit = &self.fit;
        match (fit.motor.excitation, fit.saturation) {
            (Excitation::Series(_), Saturation::Assumed) => report.finding(
                Level::Note,
                "The sheet's held torque is not given, so how far the iron saturates is assumed: half of the field at a quarter of the held current (common practice, no source). It decides how fast the motor runs up, not where it settles at the sheet's voltage; its torque stays unknown.",
            ),
            (Excitation::Shunt { resistance, .. }, _) => report.finding(
                Level::Note,
                format!(
                    "The draw of the first instant is the armature's; the shunt coils come to {} at the sheet's voltage besides. Half of the full field is assumed there (common practice, no source); that matters where the bench's voltage is another.",
                    show_a(self.sheet.free.voltage / resistance)
                ),
            ),
            (Excitation::PermanentMagnet { .. }, _) if self.sheet.locked.is_none() => report.finding(
                Level::Note,
                "Magnets hold the motor's constant: the free-spin line alone gives it. A held motor weakens its magnets' field a little; a sheet's held torque would show by how much.",
            ),
            _ => {}
        }
    }
}

fn row<T: Copy + Into<f64>>(name: &str, part: &Residual<T>, text: impl Fn(T) -> String) -> Vec<String> {
    let off = off_percent(part.sheet.into(), part.model.into());
    vec![name.to_owned(), text(part.sheet), text(part.model), percent(off)]
}

/// How far the model is from the sheet, in percent of the sheet.
fn off_percent(sheet: f64, model: f64) -> f64 {
    100.0 * (model / sheet - 1.0)
}

fn percent(value: f64) -> String {
    let sign = if value > 0.05 { "+" } else { "" };
    // Less than half of the last place is none, whatever its sign.
    let value = if value.abs() < 0.05 { 0.0 } else { value };
    format!("{sign}{} %", crate::number::to_places(value, 1))
}

pub(super) fn show_nm(value: NewtonMetre) -> String {
    show(Quantity::Torque, value.0, 4)
}

pub(super) fn show_k(value: NewtonMetrePerAmpere) -> String {
    format!("{} N·m/A", figures(value.0, 4))
}
