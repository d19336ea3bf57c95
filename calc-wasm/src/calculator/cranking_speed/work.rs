//! The working of `cranking-speed`.

use crate::calculator::cranking_speed::report::{findings, picture, sense, sources, where_it_goes};
use crate::calculator::{show_a, show_ohm, show_v};
use crate::input::Inputs;
use crate::number::{figures, short};
use crate::physics::drive;
use crate::physics::motor::{self, FreeSpinPoint};
use crate::quantity::{Ampere, Metre, Newton, NewtonMetre, Ohm, Rpm, Volt, Watt};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::report::{Report, show};
use crate::unit::Quantity;

/// Above this no armature holds together, whatever its size (common practice, no source).
const FASTEST_ARMATURE: Rpm = Rpm(100_000.0);

/// Speeds through the gears.
pub(super) struct Train {
    /// Pinion turns for one turn of the engine.
    pub(super) ring: f64,
    pub(super) engine: Rpm,
    pub(super) pinion: Rpm,
    pub(super) armature: Rpm,
    /// Was the engine's speed typed, not the armature's?
    pub(super) engine_known: bool,
}

/// Volts and amps at the motor.
pub(super) struct Feed {
    pub(super) voltage: Volt,
    pub(super) current: Ampere,
    pub(super) brush_drop: Volt,
}

/// What the winding's resistance tells: what is left to turn the armature.
pub(super) struct Inside {
    pub(super) winding: Ohm,
    pub(super) emf: Volt,
    /// Turned into motion before friction.
    pub(super) gap: Watt,
}

/// Works speeds, power and torque.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let feed = Feed {
        voltage: Volt(inputs.number("motor_voltage_v")),
        current: Ampere(inputs.number("motor_current_a")),
        brush_drop: Volt(inputs.number("brush_drop_v")),
    };
    let power_in = feed.voltage * feed.current;
    let mut report = Report::of(inputs);
    let train = train(&mut report, inputs)?;
    report.number("power_in_w", power_in.0);
    report.step(
        "Electrical power at the motor",
        "P_e = U · I",
        format!("P_e = {} · {}", show_v(feed.voltage), show_a(feed.current)),
        show(Quantity::Power, power_in.0, 4),
    );
    let inside = inside(&mut report, inputs, &feed)?;
    let measured = measured_torque(&mut report, inputs)?;
    if let Some(inside) = &inside {
        armature(&mut report, &feed, &train, inside);
    }
    let shaft = match (measured, &inside) {
        (Some(torque), _) => {
            let power = by_torque(&mut report, inputs, &train, torque);
            refuse_more_out_than_in(inputs, power, power_in)?;
            Some(power)
        }
        (None, Some(inside)) => Some(by_balance(&mut report, inputs, &train, inside)),
        (None, None) => None,
    };
    if let Some(power) = shaft {
        out(&mut report, &train, power, power_in, inside.as_ref());
        report.tables.push(where_it_goes(&feed, power, inside.as_ref()));
    }
    findings(&mut report, &feed, &train, shaft, inside.as_ref(), measured.is_some());
    sources(&mut report);
    report.sense = sense(&train, &feed, shaft);
    report.charts.extend(inside.as_ref().and_then(|inside| picture(&feed, inside)));
    Ok(report)
}

fn train(report: &mut Report, inputs: &Inputs) -> Result<Train, Refusal> {
    let (pinion_teeth, ring_teeth) = (inputs.number("pinion_teeth"), inputs.number("ring_teeth"));
    let internal = inputs.number("internal_ratio");
    let ring = drive::gear_ratio(pinion_teeth, ring_teeth);
    let total = ring * internal;
    let known = Rpm(inputs.number("speed_rpm"));
    let engine_known = inputs.choice("speed_known") != "armature";
    let (engine, armature) =
        if engine_known { (known, known * total) } else { (known * (1.0 / total), known) };
    if armature > FASTEST_ARMATURE {
        return Err(FieldRefusal::contradiction(
            inputs.field("speed_rpm"),
            format!(
                "the armature would turn at {}, and none survives {}: check the teeth, the reduction, and whether this is the speed of the engine or of the armature.",
                show_rpm(armature),
                show_rpm(FASTEST_ARMATURE)
            ),
        ));
    }
    let train = Train { ring, engine, pinion: engine * ring, armature, engine_known };
    report.number("gear_ratio", ring);
    report.number("total_ratio", total);
    report.number("engine_speed_rpm", engine.0);
    report.number("armature_speed_rpm", armature.0);
    report.number("pinion_speed_rpm", train.pinion.0);
    report.step(
        "Ring gear to pinion",
        "i = z₂ / z₁",
        format!("i = {} / {}", short(ring_teeth), short(pinion_teeth)),
        figures(ring, 4),
    );
    report.step(
        "Armature to engine",
        "i_t = i · i_r",
        format!("i_t = {} · {}", figures(ring, 4), short(internal)),
        figures(total, 4),
    );
    if engine_known {
        report.step(
            "Armature speed",
            "n_a = n · i_t",
            format!("n_a = {} · {}", show_rpm(known), figures(total, 4)),
            show_rpm(armature),
        );
    } else {
        report.step(
            "Engine speed",
            "n_e = n / i_t",
            format!("n_e = {} / {}", show_rpm(known), figures(total, 4)),
            show_rpm(engine),
        );
    }
    if let Some(cylinders) = inputs.optional("cylinders") {
        let often = drive::compression_frequency(cylinders.value, engine);
        report.number("compression_hz", often.0);
        report.step(
            "Compressions in each second",
            "f = N · n_e / 120",
            format!("f = {} · {} / 120", short(cylinders.value), show_rpm(engine)),
            show(Quantity::Frequency, often.0, 4),
        );
    }
    Ok(train)
}

/// Back-EMF and what it turns into motion, when the winding's resistance is known.
fn inside(report: &mut Report, inputs: &Inputs, feed: &Feed) -> Result<Option<Inside>, Refusal> {
    let Some(winding) = inputs.optional("winding_resistance_ohm") else { return Ok(None) };
    let winding = Ohm(winding.value);
    let point = FreeSpinPoint { voltage: feed.voltage, current: feed.current, speed: Rpm(0.0) };
    let emf = motor::back_emf(&point, winding, feed.brush_drop);
    if emf.0 <= 0.0 {
        return Err(FieldRefusal::contradiction(
            inputs.field("winding_resistance_ohm"),
            format!(
                "{} through {} and {} at the brushes take all of the {} at the motor: it would stand still. Measure volts and amps at one moment, or check the resistance.",
                show_a(feed.current),
                show_ohm(winding),
                show_v(feed.brush_drop),
                show_v(feed.voltage)
            ),
        ));
    }
    report.step(
        "Back-EMF",
        "E = U − I · R_w − U_b",
        format!(
            "E = {} − {} · {} − {}",
            show_v(feed.voltage),
            show_a(feed.current),
            show_ohm(winding),
            show_v(feed.brush_drop)
        ),
        show_v(emf),
    );
    let gap = emf * feed.current;
    report.step(
        "Power turned into motion",
        "P_m = E · I",
        format!("P_m = {} · {}", show_v(emf), show_a(feed.current)),
        show(Quantity::Power, gap.0, 4),
    );
    report.number("back_emf_v", emf.0);
    report.number("air_gap_power_w", gap.0);
    report.number("winding_loss_w", (winding * feed.current * feed.current).0);
    report.number("brush_loss_w", (feed.brush_drop * feed.current).0);
    Ok(Some(Inside { winding, emf, gap }))
}

/// The measured torque, if one is; what is missing of it is refused.
fn measured_torque(report: &mut Report, inputs: &Inputs) -> Result<Option<NewtonMetre>, Refusal> {
    let value = |name: &str| inputs.optional(name).map(|measured| measured.value);
    let missing = |names: &[&str], words: &str| {
        let empty = names.iter().filter(|name| value(name).is_none());
        let problem = |name: &&str| FieldRefusal {
            field: inputs.field(name),
            problem: Problem::Contradiction(words.to_owned()),
        };
        Refusal { problems: empty.map(problem).collect() }
    };
    match inputs.choice("torque_from") {
        "torque" => match value("measured_torque_nm") {
            Some(torque) => Ok(Some(NewtonMetre(torque))),
            None => Err(missing(&["measured_torque_nm"], "type the torque, or choose “not measured”.")),
        },
        "force and arm" => match (value("force_n"), value("arm_m")) {
            (Some(force), Some(arm)) => {
                let torque = drive::torque_of_arm(Newton(force), Metre(arm));
                report.step(
                    "Torque of the arm",
                    "T_m = F · a",
                    format!("T_m = {} · {}", show(Quantity::Force, force, 4), show(Quantity::Length, arm, 4)),
                    show_nm(torque),
                );
                Ok(Some(torque))
            }
            _ => Err(missing(
                &["force_n", "arm_m"],
                "force and arm belong together; fill in both, or choose “not measured”.",
            )),
        },
        _ => Ok(None),
    }
}

/// Torque on the armature, from the motor's own constant.
fn armature(report: &mut Report, feed: &Feed, train: &Train, inside: &Inside) {
    let constant = drive::motor_constant(inside.emf, train.armature);
    let torque = constant * feed.current;
    report.number("armature_torque_nm", torque.0);
    report.step(
        "Torque on the armature, before friction",
        "ω = 2 · π · n_a / 60; k = E / ω; T_a = k · I",
        format!(
            "k = {} / ({} in rad/s) = {} N·m/A",
            show_v(inside.emf),
            show_rpm(train.armature),
            figures(constant.0, 4)
        ),
        show_nm(torque),
    );
}

/// Power at the shaft from a measured torque.
fn by_torque(report: &mut Report, inputs: &Inputs, train: &Train, torque: NewtonMetre) -> Watt {
    let at_engine = inputs.choice("torque_at") == "crankshaft";
    let speed = if at_engine { train.engine } else { train.pinion };
    let power = drive::shaft_power(torque, speed);
    report.step(
        "Power at the shaft, from the measured torque",
        "P = T_m · 2 · π · n / 60",
        format!("P = {} · 2 · π · {} / 60", show_nm(torque), show_rpm(speed)),
        show(Quantity::Power, power.0, 4),
    );
    power
}

/// Power at the shaft from what the winding leaves, less an assumed share.
fn by_balance(report: &mut Report, inputs: &Inputs, train: &Train, inside: &Inside) -> Watt {
    let share = inputs.number("friction_percent");
    let power = inside.gap * (1.0 - share / 100.0);
    report.step(
        "Power at the shaft",
        "P = P_m · (1 − v)",
        format!("P = {} · (1 − {} %)", show(Quantity::Power, inside.gap.0, 4), short(share)),
        show(Quantity::Power, power.0, 4),
    );
    report.step(
        "Torque at the pinion",
        "T_p = P / (2 · π · n_p / 60)",
        format!("T_p = {} / (2 · π · {} / 60)", show(Quantity::Power, power.0, 4), show_rpm(train.pinion)),
        show_nm(drive::torque_of_power(power, train.pinion)),
    );
    power
}

fn refuse_more_out_than_in(inputs: &Inputs, power: Watt, power_in: Watt) -> Result<(), Refusal> {
    if power <= power_in {
        return Ok(());
    }
    let name = if inputs.choice("torque_from") == "torque" { "measured_torque_nm" } else { "force_n" };
    Err(FieldRefusal::contradiction(
        inputs.field(name),
        format!(
            "at this speed it makes {}, more than the {} that volts and amps put in. No motor gives more than it takes: check where the torque was measured, its unit, and that speed, volts and amps belong to the same moment.",
            show(Quantity::Power, power.0, 3),
            show(Quantity::Power, power_in.0, 3)
        ),
    ))
}

/// What reaches the engine.
fn out(report: &mut Report, train: &Train, power: Watt, power_in: Watt, inside: Option<&Inside>) {
    let crankshaft = drive::torque_of_power(power, train.engine);
    let efficiency = 100.0 * (power / power_in);
    report.number("shaft_power_w", power.0);
    report.number("pinion_torque_nm", drive::torque_of_power(power, train.pinion).0);
    report.number("crankshaft_torque_nm", crankshaft.0);
    report.number("efficiency_percent", efficiency);
    if let Some(inside) = inside {
        // Less than nothing is a contradiction that a finding tells; a loss it is not.
        report.number("friction_loss_w", (inside.gap.0 - power.0).max(0.0));
    }
    report.step(
        "Torque at the crankshaft",
        "T_c = P / (2 · π · n_e / 60)",
        format!("T_c = {} / (2 · π · {} / 60)", show(Quantity::Power, power.0, 4), show_rpm(train.engine)),
        show_nm(crankshaft),
    );
    report.step(
        "Efficiency",
        "η = 100 % · P / P_e",
        format!(
            "η = 100 % · {} / {}",
            show(Quantity::Power, power.0, 4),
            show(Quantity::Power, power_in.0, 4)
        ),
        show(Quantity::Percent, efficiency, 3),
    );
}

/// A torque in both units.
pub(super) fn show_nm(torque: NewtonMetre) -> String {
    let foot_pounds = Quantity::Torque.unit("lb·ft").map_or(0.0, |unit| unit.of_base(torque.0));
    format!("{} ({} lb·ft)", show(Quantity::Torque, torque.0, 4), figures(foot_pounds, 4))
}

pub(super) fn show_rpm(value: Rpm) -> String {
    show(Quantity::Speed, value.0, 4)
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;
    use crate::report::Level;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    fn number(settings: &[(&str, &str)], name: &str) -> f64 {
        work(settings).expect("worked").number_of(name).expect("given")
    }

    #[test]
    fn the_fresh_form_by_hand() {
        // 10 V · 180 A = 1800 W; E = 10 − 180 · 0.012 − 1 = 6.84 V, so 1231.2 W, less 10 % 1108.08 W.
        // 200 rpm · 15 = 3000 rpm; T = 1108.08 / (2 π 200 / 60) = 52.907 N·m, a fifteenth of it 3.5271 N·m.
        for (name, value) in [
            ("power_in_w", 1800.0),
            ("back_emf_v", 6.84),
            ("air_gap_power_w", 1231.2),
            ("shaft_power_w", 1108.08),
            ("armature_speed_rpm", 3000.0),
            ("crankshaft_torque_nm", 52.907),
            ("pinion_torque_nm", 3.527_1),
            ("efficiency_percent", 61.56),
            ("winding_loss_w", 388.8),
            ("brush_loss_w", 180.0),
            ("friction_loss_w", 123.12),
        ] {
            let given = number(&[], name);
            assert!((given / value - 1.0).abs() < 1e-5, "{name}: {given}");
        }
    }

    #[test]
    fn there_and_back_through_the_gears() {
        let there = [("internal_ratio", "3.6"), ("speed_rpm", "220")];
        let armature = number(&there, "armature_speed_rpm");
        let text = format!("{armature}");
        let back = [("internal_ratio", "3.6"), ("speed_known", "armature"), ("speed_rpm", text.as_str())];
        assert!((number(&back, "engine_speed_rpm") - 220.0).abs() < 1e-9);
        assert!((number(&back, "pinion_torque_nm") - number(&there, "pinion_torque_nm")).abs() < 1e-9);
    }

    #[test]
    fn what_goes_in_comes_out_somewhere() {
        for settings in [
            &[][..],
            &[("torque_from", "torque"), ("measured_torque_nm", "3 N·m")],
            &[("friction_percent", "35"), ("motor_current_a", "310")],
        ] {
            let of = |name| number(settings, name);
            let sum = of("shaft_power_w") + of("winding_loss_w") + of("brush_loss_w") + of("friction_loss_w");
            assert!((sum / of("power_in_w") - 1.0).abs() < 1e-12, "{sum}");
        }
    }

    #[test]
    fn a_torque_and_a_force_at_an_arm_give_the_same() {
        let torque = [("torque_from", "torque"), ("measured_torque_nm", "2.5 N·m")];
        let arm = [("torque_from", "force and arm"), ("force_n", "10 N"), ("arm_m", "25 cm")];
        let pinion = number(&torque, "pinion_torque_nm");
        assert!((pinion - 2.5).abs() < 1e-12 && (number(&arm, "pinion_torque_nm") - pinion).abs() < 1e-12);
        let at_engine =
            [("torque_from", "torque"), ("torque_at", "crankshaft"), ("measured_torque_nm", "37.5 N·m")];
        assert!((number(&at_engine, "shaft_power_w") - number(&torque, "shaft_power_w")).abs() < 1e-9);
    }

    #[test]
    fn more_out_than_in_is_refused_with_a_reason() {
        // 1800 W at 3000 rpm are 5.73 N·m.
        assert!(work(&[("torque_from", "torque"), ("measured_torque_nm", "5.7 N·m")]).is_ok());
        let refusal =
            work(&[("torque_from", "torque"), ("measured_torque_nm", "5.8 N·m")]).expect_err("more");
        assert!(refusal.to_string().contains("more than it takes"));
        // Between what the winding leaves and what goes in, a resistance or a reading is wrong.
        let report = work(&[("torque_from", "torque"), ("measured_torque_nm", "5 N·m")]).expect("worked");
        let wrong = |finding: &crate::report::Finding| {
            finding.level == Level::Warning && finding.text.contains("the winding leaves")
        };
        assert!(report.findings.iter().any(wrong));
    }

    #[test]
    fn what_belongs_together_is_asked_for_together() {
        let refusal = work(&[("torque_from", "force and arm")]).expect_err("nothing typed");
        assert_eq!(refusal.problems.len(), 2);
        let refusal = work(&[("torque_from", "force and arm"), ("arm_m", "0.3")]).expect_err("no force");
        assert_eq!(refusal.problems.len(), 1);
        assert!(work(&[("torque_from", "torque")]).is_err());
    }

    #[test]
    fn a_winding_that_takes_everything_is_refused_and_none_gives_speeds_alone() {
        let refusal = work(&[("winding_resistance_ohm", "50 mΩ")]).expect_err("9 V and 1 V of 10 V");
        assert!(refusal.to_string().contains("stand still"));
        let report = work(&[("winding_resistance_ohm", "")]).expect("worked");
        assert_eq!(report.number_of("shaft_power_w"), None);
        assert_eq!(report.number_of("engine_speed_rpm"), Some(200.0));
    }

    #[test]
    fn a_motor_that_nearly_stands_still_is_named() {
        let says = |settings: &[(&str, &str)], words: &str| {
            let report = work(settings).expect("worked");
            let found = |finding: &crate::report::Finding| {
                finding.level == Level::Warning && finding.text.contains(words)
            };
            report.findings.iter().any(found)
        };
        let armature = [("speed_known", "armature"), ("internal_ratio", "3.6"), ("speed_rpm", "200")];
        assert!(says(&armature, "this is the engine's speed"));
        assert!(says(&[("speed_rpm", "20")], "nearly stands still"));
        let usual = [armature[0], armature[1], ("speed_rpm", "11000")];
        assert!(!says(&usual, "nearly stands still") && !says(&[], "nearly stands still"));
    }

    #[test]
    fn an_armature_that_none_survives_is_refused() {
        let refusal = work(&[("speed_rpm", "30000")]).expect_err("450 000 rpm");
        assert_eq!(refusal.problems[0].field.name, "speed_rpm");
        assert!(work(&[("speed_rpm", "6600")]).is_ok());
    }

    #[test]
    fn more_friction_less_torque_and_a_higher_ratio_more_torque() {
        let falling =
            ["0", "5", "20", "60"].map(|v| number(&[("friction_percent", v)], "crankshaft_torque_nm"));
        assert!(falling.is_sorted_by(|more, less| more > less));
        let armature = |teeth| {
            number(
                &[("speed_known", "armature"), ("speed_rpm", "3000"), ("ring_teeth", teeth)],
                "crankshaft_torque_nm",
            )
        };
        assert!(["100", "120", "150", "200"].map(armature).is_sorted_by(|less, more| less < more));
    }
}
