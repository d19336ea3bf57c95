//! The working of `expected-draw`.

use crate::calculator::{show_a, show_ohm, show_v};
use crate::input::Inputs;
use crate::number::short;
use crate::physics::conductor::{Metal, temperature_ratio};
use crate::physics::motor::{self, Feed, FreeSpinPoint};
use crate::quantity::{Ampere, Celsius, Ohm, Rpm, Volt};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::report::{Level, Report, Source, show};
use crate::unit::Quantity;

/// Works the draw.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let feed = Feed {
        source: Volt(inputs.number("source_voltage_v")),
        source_resistance: Ohm(inputs.number("source_resistance_ohm")),
        lead_resistance: Ohm(inputs.number("lead_resistance_ohm")),
        brush_drop: Volt(inputs.number("brush_drop_v")),
    };
    let sheet = sheet_point(inputs)?;
    if feed.brush_drop >= feed.source {
        return Err(FieldRefusal::contradiction(
            inputs.field("brush_drop_v"),
            format!(
                "a drop of {} at the brushes leaves nothing of a source of {}; type less than the source.",
                show_v(feed.brush_drop),
                show_v(feed.source)
            ),
        ));
    }
    let mut report = Report::of(inputs);
    let winding = winding_resistance(&mut report, inputs);
    let locked = locked(&mut report, &feed, winding);
    if let Some(point) = sheet {
        settled(&mut report, inputs, &feed, winding, &point)?;
    } else {
        report.finding(
            Level::Note,
            "Without the free-spin line of the motor's sheet only the first instant can be worked: once the motor turns, its back-EMF holds the current down.",
        );
    }
    report.finding(
        Level::Warning,
        format!(
            "Never hold a motor to see this current: {} would turn to heat. A meter shows less than the first instant, because the current falls faster than it reads.",
            show(Quantity::Power, (motor::terminal_voltage(&feed, locked) * locked).0, 3)
        ),
    );
    report.sources.push(Metal::Copper.temperature_source());
    report.sources.push(Source {
        fact: "Locked draw: source less brush drop, over all resistances in series",
        from: "Ohm's law and Kirchhoff's voltage law",
    });
    Ok(report)
}

/// The sheet's point: all of it or nothing.
fn sheet_point(inputs: &Inputs) -> Result<Option<FreeSpinPoint>, Refusal> {
    let names = ["sheet_voltage_v", "sheet_current_a", "sheet_speed_rpm"];
    match names.map(|name| inputs.optional(name).map(|measured| measured.value)) {
        [Some(volts), Some(amps), Some(rpm)] => {
            Ok(Some(FreeSpinPoint { voltage: Volt(volts), current: Ampere(amps), speed: Rpm(rpm) }))
        }
        [None, None, None] => Ok(None),
        given => {
            let missing = names.iter().zip(given).filter(|(_, value)| value.is_none());
            let problems = missing.map(|(name, _)| FieldRefusal {
                field: inputs.field(name),
                problem: Problem::Contradiction(
                    "the sheet's volts, amps and speed belong together; fill in all three or none."
                        .to_owned(),
                ),
            });
            Err(Refusal { problems: problems.collect() })
        }
    }
}

/// The winding's resistance at work, with its two lines of working.
fn winding_resistance(report: &mut Report, inputs: &Inputs) -> Ohm {
    let measured = Ohm(inputs.number("winding_resistance_ohm"));
    let cold = Celsius(inputs.number("winding_temperature_c"));
    let hot = Celsius(inputs.number("working_temperature_c"));
    let at_20 = measured * temperature_ratio(Metal::Copper, cold, Celsius(20.0));
    let at_work = measured * temperature_ratio(Metal::Copper, cold, hot);
    report.step(
        "Winding at 20 °C",
        "R₂₀ = R₁ · (234.5 + 20) / (234.5 + T₁)",
        format!("R₂₀ = {} · 254.5 / (234.5 + {})", show_ohm(measured), short(cold.0)),
        show_ohm(at_20),
    );
    report.step(
        "Winding at work",
        "R_w = R₁ · (234.5 + T₂) / (234.5 + T₁)",
        format!("R_w = {} · (234.5 + {}) / (234.5 + {})", show_ohm(measured), short(hot.0), short(cold.0)),
        show_ohm(at_work),
    );
    report.number("resistance_at_20c_ohm", at_20.0);
    report.number("resistance_at_work_ohm", at_work.0);
    at_work
}

fn locked(report: &mut Report, feed: &Feed, winding: Ohm) -> Ampere {
    let current = motor::locked_current(feed, winding);
    let terminal = motor::terminal_voltage(feed, current);
    report.step(
        "First instant",
        "I_L = (U₀ − U_b) / (R_s + R_l + R_w)",
        format!(
            "I_L = ({} − {}) / ({} + {} + {})",
            show_v(feed.source),
            show_v(feed.brush_drop),
            show_ohm(feed.source_resistance),
            show_ohm(feed.lead_resistance),
            show_ohm(winding)
        ),
        show_a(current),
    );
    report.step(
        "Volts at the motor in the first instant",
        "U_L = U₀ − I_L · (R_s + R_l)",
        format!(
            "U_L = {} − {} · ({} + {})",
            show_v(feed.source),
            show_a(current),
            show_ohm(feed.source_resistance),
            show_ohm(feed.lead_resistance)
        ),
        show_v(terminal),
    );
    report.number("locked_current_a", current.0);
    report.number("locked_terminal_v", terminal.0);
    current
}

fn settled(
    report: &mut Report,
    inputs: &Inputs,
    feed: &Feed,
    winding: Ohm,
    point: &FreeSpinPoint,
) -> Result<(), Refusal> {
    let sheet_emf = motor::back_emf(point, winding, feed.brush_drop);
    if sheet_emf.0 <= 0.0 {
        return Err(FieldRefusal::contradiction(
            inputs.field("sheet_current_a"),
            format!(
                "{} through a winding of {} and {} at the brushes take all of the sheet's {}: no motor turns on that. Check the sheet and the resistance.",
                show_a(point.current),
                show_ohm(winding),
                show_v(feed.brush_drop),
                show_v(point.voltage)
            ),
        ));
    }
    let (current, speed) = motor::settled_with_steady_drag(feed, winding, point, sheet_emf);
    let (other_current, other_speed) = motor::settled_with_growing_drag(feed, winding, point, sheet_emf);
    let terminal = motor::terminal_voltage(feed, current);
    let emf = terminal - winding * current - feed.brush_drop;
    report.step(
        "Back-EMF at the sheet's point",
        "E = U − I · R_w − U_b",
        format!(
            "E = {} − {} · {} − {}",
            show_v(point.voltage),
            show_a(point.current),
            show_ohm(winding),
            show_v(feed.brush_drop)
        ),
        show_v(sheet_emf),
    );
    if emf.0 <= 0.0 {
        report.finding(
            Level::Warning,
            format!(
                "This feed cannot carry the {} that the motor needs to spin free: it would stand still or creep. Look at the source and the leads.",
                show_a(current)
            ),
        );
        return Ok(());
    }
    report.step(
        "Settled draw at this bench",
        "I = I_sheet, while the drag stays the same",
        String::new(),
        show_a(current),
    );
    report.step(
        "Back-EMF at this bench",
        "E₂ = U₀ − I · (R_s + R_l + R_w) − U_b",
        format!(
            "E₂ = {} − {} · {} − {}",
            show_v(feed.source),
            show_a(current),
            show_ohm(feed.source_resistance + feed.lead_resistance + winding),
            show_v(feed.brush_drop)
        ),
        show_v(emf),
    );
    report.step(
        "Settled speed at this bench",
        "n₂ = n · E₂ / E",
        format!("n₂ = {} · {} / {}", show_rpm(point.speed), show_v(emf), show_v(sheet_emf)),
        show_rpm(speed),
    );
    report.number("settled_current_a", current.0);
    report.number("settled_speed_rpm", speed.0);
    report.finding(
        Level::Note,
        format!(
            "The ± is the other extreme: if bearing and air drag grew in step with speed, the motor would settle at {} and {}.",
            show_a(other_current),
            show_rpm(other_speed)
        ),
    );
    report.sources.push(Source {
        fact: "Settled draw: the same drag needs the same torque and so the same current",
        from: "torque of a direct-current motor follows flux times current; drag taken as steady, an assumption",
    });
    Ok(())
}

fn show_rpm(value: Rpm) -> String {
    show(Quantity::Speed, value.0, 3)
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    const SHEET: [(&str, &str); 3] =
        [("sheet_voltage_v", "11"), ("sheet_current_a", "62"), ("sheet_speed_rpm", "3200")];

    #[test]
    fn at_the_sheets_own_voltage_the_motor_does_what_the_sheet_says() {
        let mut settings = SHEET.to_vec();
        settings.extend([
            ("source_voltage_v", "11"),
            ("source_resistance_ohm", "0"),
            ("lead_resistance_ohm", "0"),
        ]);
        let report = work(&settings).expect("worked");
        for (name, value) in [("settled_current_a", 62.0), ("settled_speed_rpm", 3200.0)] {
            let given = report.number_of(name).expect("given");
            assert!((given - value).abs() < 1e-9 * value, "{name}: {given}");
        }
    }

    #[test]
    fn half_a_sheet_is_refused_for_each_missing_field() {
        let refusal = work(&SHEET[..1]).expect_err("two are missing");
        let missing: Vec<_> = refusal.problems.iter().map(|problem| problem.field.name).collect();
        assert_eq!(missing, ["sheet_current_a", "sheet_speed_rpm"]);
    }

    #[test]
    fn a_sheet_that_leaves_no_back_emf_is_refused() {
        let mut settings = SHEET.to_vec();
        settings.push(("winding_resistance_ohm", "0.2"));
        assert!(work(&settings).expect_err("impossible").to_string().contains("no motor turns"));
    }

    #[test]
    fn a_feed_too_weak_to_spin_gives_no_settled_point_and_says_why() {
        let mut settings = SHEET.to_vec();
        settings.push(("lead_resistance_ohm", "0.5"));
        let report = work(&settings).expect("worked");
        assert_eq!(report.number_of("settled_speed_rpm"), None);
        assert!(report.findings.iter().any(|finding| finding.text.contains("stand still")));
    }
}
