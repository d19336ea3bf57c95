//! The working of `source-load`.

use super::charge;
use crate::calculator::{show_a, show_ohm, show_v};
use crate::chart::{Axis, Chart, Mark, Series};
use crate::input::Inputs;
use crate::measurement::conformity::Limits;
use crate::number::{figures, short};
use crate::physics::battery::{Battery, LoadPoint};
use crate::quantity::{Ampere, Ohm, Volt};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::report::{Level, Report, Source, State, Value, show};
use crate::unit::Quantity;

/// More resistance than this is a flashlight cell at its end or a mistake.
const GREATEST_RESISTANCE: Ohm = Ohm(1000.0);

/// End voltage of the cold-cranking test of a 12 V battery: SAE J537.
const COLD_TEST_END: Volt = Volt(7.2);

/// The open-circuit voltage is at most so many times the volts under the light load (common practice, no source): a
/// light load takes less from any source that is fit for a motor.
const MOST_ABOVE_LIGHT: f64 = 1.3;

/// Sources like the one measured, in series and side by side.
struct Bank {
    in_series: f64,
    side_by_side: f64,
    whole: Battery,
}

impl Bank {
    /// The bank, when there is one.
    fn of(inputs: &Inputs, source: &Battery) -> Option<Bank> {
        let given = ["bank_in_series", "bank_side_by_side"].map(|name| inputs.optional(name));
        if given == [None, None] {
            return None;
        }
        let [in_series, side_by_side] = given.map(|count| count.map_or(1.0, |measured| measured.value));
        Some(Bank { in_series, side_by_side, whole: source.bank(in_series, side_by_side) })
    }
}

/// Works the source.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let light = point(inputs, "light_voltage_v", "light_current_a");
    let heavy = point(inputs, "heavy_voltage_v", "heavy_current_a");
    let source = source(inputs, light, heavy)?;
    let draw = Ampere(inputs.number("motor_current_a"));
    let mut report = Report::of(inputs);
    two_loads(&mut report, light, heavy, &source);
    let bank_of_these = Bank::of(inputs, &source);
    at_the_motor(&mut report, inputs, &source, draw, bank_of_these.is_some());
    short_circuit(&mut report, &source, bank_of_these.as_ref());
    charge::add(&mut report, inputs, &source);
    if let Some(several) = &bank_of_these {
        bank(&mut report, inputs, &source, several, draw);
    }
    say_how_sure(&mut report, light, heavy, draw);
    report.sense = sense(inputs, &source);
    report.charts.push(chart(&source, light, heavy, draw));
    cautions(&mut report);
    Ok(report)
}

fn point(inputs: &Inputs, volts: &str, amps: &str) -> LoadPoint {
    LoadPoint { voltage: Volt(inputs.number(volts)), current: Ampere(inputs.number(amps)) }
}

/// The source that has both points on its line, or what is wrong with them.
fn source(inputs: &Inputs, light: LoadPoint, heavy: LoadPoint) -> Result<Battery, Refusal> {
    let mut problems = Vec::new();
    let mut refuse = |field: &str, sentence: String| {
        problems.push(FieldRefusal { field: inputs.field(field), problem: Problem::Contradiction(sentence) });
    };
    if heavy.current <= light.current {
        refuse(
            "heavy_current_a",
            format!(
                "{} is not more than the light load's {}; type the larger of the two readings here, with its volts.",
                show_a(heavy.current),
                show_a(light.current)
            ),
        );
    }
    if heavy.voltage > light.voltage {
        refuse(
            "heavy_voltage_v",
            format!(
                "{} is more than the {} under the light load, and no source gains volts under load; look whether the two lines were exchanged or a charger was on.",
                show_v(heavy.voltage),
                show_v(light.voltage)
            ),
        );
    } else if heavy.voltage == light.voltage {
        refuse(
            "heavy_voltage_v",
            "the volts did not fall, so nothing can be worked; take a heavier load or a meter with finer steps."
                .to_owned(),
        );
    }
    if !problems.is_empty() {
        return Err(Refusal { problems });
    }
    match Battery::of_two_loads(light, heavy) {
        Some(source) if source.open_circuit.0 > MOST_ABOVE_LIGHT * light.voltage.0 => {
            Err(FieldRefusal::contradiction(
                inputs.field("heavy_current_a"),
                format!(
                    "these two loads give {} with nothing connected, far above the {} under the light load: the loads are too close together or a reading is wrong. Take a heavy load of several times the light one, and read volts and amps together.",
                    show_v(source.open_circuit),
                    show_v(light.voltage)
                ),
            ))
        }
        Some(source) if source.resistance <= GREATEST_RESISTANCE => Ok(source),
        _ => Err(FieldRefusal::contradiction(
            inputs.field("heavy_current_a"),
            format!(
                "only {} more than the light load made the volts fall by {}: more than {} inside is no source for a motor. Check the unit of the amps.",
                show_a(heavy.current - light.current),
                show_v(light.voltage - heavy.voltage),
                show_ohm(GREATEST_RESISTANCE)
            ),
        )),
    }
}

fn two_loads(report: &mut Report, light: LoadPoint, heavy: LoadPoint, source: &Battery) {
    report.step(
        "Resistance inside",
        "R_i = (U₁ − U₂) / (I₂ − I₁)",
        format!(
            "R_i = ({} − {}) / ({} − {})",
            show_v(light.voltage),
            show_v(heavy.voltage),
            show_a(heavy.current),
            show_a(light.current)
        ),
        show_ohm(source.resistance),
    );
    report.step(
        "Open-circuit voltage",
        "U₀ = U₁ + R_i · I₁",
        format!(
            "U₀ = {} + {} · {}",
            show_v(light.voltage),
            show_ohm(source.resistance),
            show_a(light.current)
        ),
        show_v(source.open_circuit),
    );
    report.number("open_circuit_v", source.open_circuit.0);
    report.number("internal_resistance_ohm", source.resistance.0);
    report.sources.push(Source {
        fact: "Resistance inside and open-circuit voltage from two loads",
        from: "the two-point method of IEC 60896-21; the arithmetic is Ohm's law",
    });
}

fn at_the_motor(report: &mut Report, inputs: &Inputs, source: &Battery, draw: Ampere, in_bank: bool) {
    let terminal = source.terminal(draw);
    if terminal.0 < 0.0 {
        let (level, which) =
            if in_bank { (Level::Note, "One source alone") } else { (Level::Warning, "This source") };
        report.finding(
            level,
            format!(
                "{which} cannot give {}: even a short circuit draws no more than {}. Check the draw or take a stronger source.",
                show_a(draw),
                show_a(source.short_circuit())
            ),
        );
    } else {
        let lost = source.lost_power(draw);
        report.step(
            "Volts at the motor's draw",
            "U = U₀ − R_i · I",
            format!(
                "U = {} − {} · {}",
                show_v(source.open_circuit),
                show_ohm(source.resistance),
                show_a(draw)
            ),
            show_v(terminal),
        );
        report.step(
            "Heat inside the source",
            "P = I^2 · R_i",
            format!("P = ({})^2 · {}", show_a(draw), show_ohm(source.resistance)),
            show(Quantity::Power, lost.0, 3),
        );
        report.number("terminal_voltage_v", terminal.0);
        report.number("lost_power_w", lost.0);
        report.finding(
            Level::Note,
            "These volts stand on the posts. Leads and joints take their part on the way: work it with the voltage-drop calculator.",
        );
    }
    let Some(least) = least_volts(inputs) else {
        report.answer("least_voltage_state", Value::State(State::NotJudged));
        return;
    };
    let uncertainty = inputs.uncertainty("terminal_voltage_v");
    let state = report.judge("least_voltage_state", at_least(least), terminal.0, uncertainty);
    let (level, who, what) = if in_bank {
        (Level::Note, "Of one source alone the", "The bank is judged on its own line.")
    } else {
        (Level::Warning, "The", "Charge or replace the source, or put rows side by side.")
    };
    match state {
        State::Outside => report.finding(
            level,
            format!("{who} posts fall below {} at the motor's {}. {what}", show_v(least), show_a(draw)),
        ),
        State::TooClose => say_too_close(report, who, least, draw),
        _ => {}
    }
    let most = source.current_at(least);
    if most.0 < 0.0 {
        report.finding(
            Level::Warning,
            format!(
                "The source has {} even with nothing connected, less than the {} wanted: charge it, or take more sources in series.",
                show_v(source.open_circuit),
                show_v(least)
            ),
        );
        return;
    }
    report.step(
        "Most amps at the least volts wanted",
        "I_max = (U₀ − U_min) / R_i",
        format!(
            "I_max = ({} − {}) / {}",
            show_v(source.open_circuit),
            show_v(least),
            show_ohm(source.resistance)
        ),
        show_a(most),
    );
    report.number("largest_current_a", most.0);
}

fn least_volts(inputs: &Inputs) -> Option<Volt> {
    inputs.optional("least_voltage_v").map(|measured| Volt(measured.value))
}

fn at_least(least: Volt) -> Limits {
    Limits { least: Some(least.0), greatest: None }
}

fn say_too_close(report: &mut Report, who: &str, least: Volt, draw: Ampere) {
    report.finding(
        Level::Next,
        format!(
            "{who} posts come so close to {} at the motor's {} that these meters cannot tell whether it is enough. Do not count on it: repeat with better meters or a heavier load.",
            show_v(least),
            show_a(draw)
        ),
    );
}

fn short_circuit(report: &mut Report, source: &Battery, bank: Option<&Bank>) {
    let short = source.short_circuit();
    report.step(
        "Short-circuit current",
        "I_k = U₀ / R_i",
        format!("I_k = {} / {}", show_v(source.open_circuit), show_ohm(source.resistance)),
        show_a(short),
    );
    report.number("short_circuit_a", short.0);
    let (what, amps) = match bank {
        Some(bank) => ("a source or a bank", bank.whole.short_circuit()),
        None => ("a source", short),
    };
    let of_bank = if bank.is_some() { ", of the whole bank," } else { "" };
    report.finding(
        Level::Warning,
        format!(
            "Never short {what} to see this current. About {}{of_bank} through a spanner or a ring burns it red hot, can burst the battery and throws acid and molten metal: that is why tools are insulated, rings come off and the negative lead comes off first.",
            show(Quantity::Current, amps.0, if bank.is_some() { 3 } else { 2 })
        ),
    );
}

fn bank(report: &mut Report, inputs: &Inputs, source: &Battery, several: &Bank, draw: Ampere) {
    let Bank { in_series, side_by_side, whole: bank } = *several;
    report.step(
        "Bank: open-circuit voltage",
        "U_B = n_s · U₀",
        format!("U_B = {} · {}", short(in_series), show_v(source.open_circuit)),
        show_v(bank.open_circuit),
    );
    report.step(
        "Bank: resistance inside",
        "R_B = R_i · n_s / n_p",
        format!("R_B = {} · {} / {}", show_ohm(source.resistance), short(in_series), short(side_by_side)),
        show_ohm(bank.resistance),
    );
    report.number("bank_open_circuit_v", bank.open_circuit.0);
    report.number("bank_resistance_ohm", bank.resistance.0);
    report.number("bank_short_circuit_a", bank.short_circuit().0);
    let terminal = bank.terminal(draw);
    if terminal.0 >= 0.0 {
        report.step(
            "Bank: volts at the motor's draw",
            "U = U_B − R_B · I",
            format!("U = {} − {} · {}", show_v(bank.open_circuit), show_ohm(bank.resistance), show_a(draw)),
            show_v(terminal),
        );
        report.number("bank_terminal_v", terminal.0);
    } else {
        report.finding(Level::Warning, format!("Even the bank cannot give {}.", show_a(draw)));
    }
    if let Some(least) = least_volts(inputs) {
        let uncertainty = inputs.uncertainty("bank_terminal_v");
        match report.judge("bank_least_voltage_state", at_least(least), terminal.0, uncertainty) {
            State::Outside => report.finding(
                Level::Warning,
                format!(
                    "The bank's posts fall below {} at the motor's {}. Charge or replace its sources, or add rows.",
                    show_v(least),
                    show_a(draw)
                ),
            ),
            State::TooClose => say_too_close(report, "The bank's", least, draw),
            _ => {}
        }
    } else {
        report.answer("bank_least_voltage_state", Value::State(State::NotJudged));
    }
    report.finding(
        Level::Note,
        "The bank is worked as if all its sources were alike. They never are: a weak one in series holds all of them back, and a flat one side by side is charged by the others with a rush of current. Use the same kind, age and charge; the links between them add resistance of their own.",
    );
    if in_series > 1.0 {
        report.finding(
            Level::Warning,
            format!(
                "{} in series give {}: a motor or lamp made for one source burns out on that. Compare with the motor's plate first.",
                short(in_series),
                show_v(bank.open_circuit)
            ),
        );
    }
    report.sources.push(Source {
        fact: "In series volts and resistances add up; side by side the current is shared",
        from: "Kirchhoff's laws",
    });
}

/// Whether the two loads were far enough apart, and whether the line is used beyond them.
fn say_how_sure(report: &mut Report, light: LoadPoint, heavy: LoadPoint, draw: Ampere) {
    let fall = light.voltage - heavy.voltage;
    if fall.0 < 0.01 * light.voltage.0 {
        report.finding(
            Level::Next,
            format!(
                "The volts fell by only {}: one step of the meter changes the resistance by a large part. Take a heavier load.",
                show_v(fall)
            ),
        );
    }
    if heavy.current.0 < 2.0 * light.current.0 {
        report.finding(
            Level::Warning,
            format!(
                "The heavy load, {}, is less than twice the light one, {}: the line is then mostly the error of the meters. Take a heavier load before you rely on any of this.",
                show_a(heavy.current),
                show_a(light.current)
            ),
        );
    }
    if light.current.0 == 0.0 {
        report.finding(
            Level::Note,
            "With the light load at 0 A the surface charge and the slow chemistry of the battery are counted as resistance. A light load of a tenth of the heavy one gives a steadier figure (common practice, no source).",
        );
    }
    if draw.0 > 1.5 * heavy.current.0 {
        report.finding(
            Level::Next,
            format!(
                "The motor's {} lies far beyond the heaviest load measured, {}: the straight line is a guess there. Repeat with a heavier load.",
                show_a(draw),
                show_a(heavy.current)
            ),
        );
    }
    report.finding(
        Level::Note,
        "The line holds for this source as it was: at this charge, at this temperature, after these seconds of load. Cold, age and a long crank make it steeper.",
    );
}

/// The resistance held against what 12 V batteries have, and against the test on their labels.
fn sense(inputs: &Inputs, source: &Battery) -> String {
    let blocks = inputs.number("blocks_in_series");
    let block = source.bank(1.0 / blocks, 1.0);
    if block.open_circuit < Volt(10.0) || block.open_circuit > Volt(15.0) {
        return format!(
            "The most power that any source gives away is at half its voltage, here {}; a motor that needs more asks too much of this one.",
            show(Quantity::Power, (source.open_circuit * source.short_circuit()).0 / 4.0, 2)
        );
    }
    let each = if blocks > 1.0 { "each 12 V block" } else { "this battery" };
    let milliohms = block.resistance.0 * 1000.0;
    let judged = match milliohms {
        ..2.0 => "less than any but the largest batteries have: check the amps",
        2.0..4.0 => "as large healthy batteries have",
        4.0..=10.0 => "as healthy 12 V starter batteries have, 4 mΩ to 10 mΩ",
        _ => "more than the 4 mΩ to 10 mΩ of a healthy 12 V starter battery: small, cold, flat or worn",
    };
    let cold = match block.current_at(COLD_TEST_END) {
        amps if amps.0 > 0.0 => format!(
            " It would fall to 7.2 V at {} as it is now; the cold-cranking amps on its label (7.2 V after 30 s at −18 °C, SAE J537) should be fewer.",
            show(Quantity::Current, amps.0, 2)
        ),
        _ => String::new(),
    };
    format!(
        "{} inside {each} is {judged} (common practice, no source).{cold}",
        show(Quantity::Resistance, block.resistance.0, 2)
    )
}

/// Volts against amps: the line, what was measured, and the motor.
fn chart(source: &Battery, light: LoadPoint, heavy: LoadPoint, draw: Ampere) -> Chart {
    let far = Ampere(heavy.current.0.max(draw.0).min(source.short_circuit().0) * 1.1);
    let end = Ampere(far.0.min(source.short_circuit().0));
    let mut series = vec![
        Series {
            name: "source".to_owned(),
            mark: Mark::Line,
            points: vec![(0.0, source.open_circuit.0), (end.0, source.terminal(end).0.max(0.0))],
        },
        Series {
            name: "measured".to_owned(),
            mark: Mark::Crosses,
            points: [light, heavy].map(|point| (point.current.0, point.voltage.0)).to_vec(),
        },
    ];
    let terminal = source.terminal(draw);
    if terminal.0 >= 0.0 {
        series.push(Series {
            name: format!("the motor's draw, {} A", figures(draw.0, 3)),
            mark: Mark::Dashes,
            points: vec![(draw.0, 0.0), (draw.0, terminal.0)],
        });
    }
    Chart {
        title: "Volts on the posts against current".to_owned(),
        x: Axis::new("Current", Quantity::Current, ""),
        y: Axis::new("Volts on the posts", Quantity::Voltage, ""),
        series,
        bands: Vec::new(),
    }
}

fn cautions(report: &mut Report) {
    report.finding(
        Level::Warning,
        "A battery gives off hydrogen, which a spark explodes: eye protection on, no flame, charger off, air moving. Make and break the load with its switch, never with a clamp on the post.",
    );
    report.finding(
        Level::Next,
        "Keep the heavy load on for seconds only, read volts and amps together, and let the battery rest before the next reading. The maker's data for the battery and the load tester come first.",
    );
    report.sources.push(Source {
        fact: "Switch open before a connection is made or broken",
        from: "US Army TM 10-3930-671-24",
    });
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    #[test]
    fn the_fresh_form_is_the_hand_calculation() {
        let report = work(&[]).expect("worked");
        report.near("internal_resistance_ohm", 0.9 / 200.0);
        report.near("open_circuit_v", 12.525);
        report.near("terminal_voltage_v", 12.525 - 0.81);
        report.near("lost_power_w", 145.8);
        report.near("largest_current_a", 650.0);
        report.near("short_circuit_a", 12.525 / 0.0045);
        assert_eq!(report.number_of("bank_open_circuit_v"), None);
        assert_eq!(report.number_of("charge_percent"), None);
    }

    #[test]
    fn exchanged_loads_are_refused_at_both_fields() {
        let refusal = work(&[("light_current_a", "300"), ("light_voltage_v", "11")]).expect_err("exchanged");
        let fields: Vec<_> = refusal.problems.iter().map(|problem| problem.field.name).collect();
        assert_eq!(fields, ["heavy_current_a", "heavy_voltage_v"]);
    }

    #[test]
    fn volts_that_do_not_fall_and_amps_in_the_wrong_unit_are_refused() {
        let flat = work(&[("heavy_voltage_v", "12.3")]).expect_err("no fall").to_string();
        assert!(flat.contains("did not fall"), "{flat}");
        let small = [("light_current_a", "0"), ("heavy_current_a", "0.001"), ("heavy_voltage_v", "2")];
        assert!(work(&small).expect_err("too much inside").to_string().contains("unit of the amps"));
    }

    #[test]
    fn a_draw_beyond_the_short_circuit_has_no_volts_and_says_why() {
        let report = work(&[("motor_current_a", "3000")]).expect("worked");
        assert_eq!(report.number_of("terminal_voltage_v"), None);
        assert!(report.findings.iter().any(|finding| finding.text.contains("cannot give")));
    }

    #[test]
    fn more_volts_wanted_than_the_source_has_are_no_current() {
        let report = work(&[("least_voltage_v", "13")]).expect("worked");
        assert_eq!(report.number_of("largest_current_a"), None);
        assert!(report.findings.iter().any(|finding| finding.text.contains("even with nothing connected")));
    }

    #[test]
    fn one_count_of_a_bank_is_enough() {
        let report = work(&[("bank_in_series", "2")]).expect("worked");
        report.near("bank_open_circuit_v", 25.05);
        report.near("bank_resistance_ohm", 0.009);
        report.near("bank_terminal_v", 25.05 - 1.62);
        let report = work(&[("bank_side_by_side", "2")]).expect("worked");
        report.near("bank_open_circuit_v", 12.525);
        report.near("bank_resistance_ohm", 0.002_25);
        report.near("bank_short_circuit_a", 2.0 * 12.525 / 0.0045);
    }

    #[test]
    fn loads_too_close_together_are_refused_or_warned_of() {
        let refusal = work(&[("heavy_current_a", "51"), ("heavy_voltage_v", "5")]).expect_err("377 V");
        assert!(refusal.to_string().contains("with nothing connected"), "{refusal}");
        let warns = |amps: &str| {
            let report = work(&[("heavy_current_a", amps)]).expect("worked");
            report.findings.iter().any(|finding| finding.text.contains("less than twice the light one"))
        };
        assert!(warns("90") && !warns("100"));
    }

    #[test]
    fn the_volts_are_held_against_the_least_with_what_the_meters_leave_open() {
        let state =
            |settings: &[(&str, &str)], name: &str| work(settings).expect("worked").value(name).cloned();
        let least = "least_voltage_state";
        assert_eq!(state(&[], least), Some(Value::State(State::Within)));
        assert_eq!(state(&[("motor_current_a", "700")], least), Some(Value::State(State::Outside)));
        assert_eq!(state(&[("motor_current_a", "5000")], least), Some(Value::State(State::Outside)));
        assert_eq!(state(&[("least_voltage_v", "")], least), Some(Value::State(State::NotJudged)));
        let close = [
            ("motor_current_a", "640 ± 1 %"),
            ("light_voltage_v", "12.3 ± 1 %"),
            ("light_current_a", "50 ± 1 %"),
            ("heavy_voltage_v", "11.4 ± 1 %"),
            ("heavy_current_a", "250 ± 1 %"),
        ];
        assert_eq!(state(&close, least), Some(Value::State(State::TooClose)));
        let report = work(&close).expect("worked");
        assert!(report.findings.iter().any(|finding| finding.text.contains("cannot tell")));
    }

    #[test]
    fn a_bank_is_judged_and_its_own_danger_is_named() {
        let report = work(&[("bank_side_by_side", "3"), ("motor_current_a", "700")]).expect("worked");
        let state = |name| report.value(name).cloned();
        assert_eq!(state("least_voltage_state"), Some(Value::State(State::Outside)));
        assert_eq!(state("bank_least_voltage_state"), Some(Value::State(State::Within)));
        assert!(report.findings.iter().any(|finding| finding.text.contains("8350 A")));
        let below = |finding: &crate::report::Finding| {
            finding.level == Level::Warning && finding.text.contains("fall below")
        };
        assert!(!report.findings.iter().any(below));
    }

    #[test]
    fn the_chart_has_both_readings_on_its_line() {
        let report = work(&[]).expect("worked");
        let [line, measured, motor] = &report.charts[0].series[..] else { panic!("three series") };
        let [(x1, y1), (x2, y2)] = line.points[..] else { panic!("a line") };
        for (x, y) in measured.points.iter().chain([&motor.points[1]]) {
            assert!((y1 + (y2 - y1) * (x - x1) / (x2 - x1) - y).abs() < 1e-12, "{x} A, {y} V");
        }
    }
}
