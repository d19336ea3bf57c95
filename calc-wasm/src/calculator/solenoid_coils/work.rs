//! The working of `solenoid-coils`: resistances, currents and power.

use super::judge;
use crate::calculator::{show_a, show_ohm, show_v};
use crate::chart::{Axis, Chart, Mark, Series};
use crate::input::Inputs;
use crate::number::short;
use crate::physics::conductor::{Metal, temperature_ratio};
use crate::physics::solenoid::{Coils, resistance_by_drop};
use crate::quantity::{Ampere, Celsius, Ohm, Volt};
use crate::refusal::{FieldRefusal, Problem, Refusal};
use crate::report::{Level, Report, Source, Table, show};
use crate::unit::Quantity;

/// One coil's fields and words.
pub(super) struct Coil {
    /// How sentences call it.
    pub(super) name: &'static str,
    /// Letter behind the underscore in formulas.
    letter: char,
    ohms: &'static str,
    drop: &'static str,
    amps: &'static str,
}

pub(super) const PULL_IN: Coil = Coil {
    name: "pull-in coil",
    letter: 'p',
    ohms: "pull_in_resistance_ohm",
    drop: "pull_in_drop_v",
    amps: "pull_in_test_a",
};
pub(super) const HOLD_IN: Coil = Coil {
    name: "hold-in coil",
    letter: 'h',
    ohms: "hold_in_resistance_ohm",
    drop: "hold_in_drop_v",
    amps: "hold_in_test_a",
};

/// Works the coils.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let found = [PULL_IN.resistance(inputs), HOLD_IN.resistance(inputs)];
    let (pull_in, hold_in) = match found {
        [Ok(pull_in), Ok(hold_in)] => (pull_in, hold_in),
        both => {
            return Err(Refusal { problems: both.into_iter().filter_map(Result::err).flatten().collect() });
        }
    };
    let path = Ohm(inputs.optional("motor_path_ohm").map_or(0.0, |measured| measured.value));
    let coils = Coils { pull_in: pull_in.ohms, hold_in: hold_in.ohms, motor_path: path };
    let at_s = Volt(inputs.number("start_terminal_v"));
    let mut report = Report::of(inputs);
    for (coil, measured) in [(&PULL_IN, &pull_in), (&HOLD_IN, &hold_in)] {
        coil.say_where_it_came_from(&mut report, measured);
    }
    let hot = resistances(&mut report, inputs, &coils);
    currents(&mut report, at_s, &coils, &hot);
    judge::against_the_sheet(&mut report, inputs);
    judge::plausible(&mut report, at_s, &coils);
    judge::by_ohmmeter(&mut report, inputs, [&pull_in, &hold_in]);
    report.tables.push(stages(at_s, &coils, &hot));
    report.charts.push(chart(inputs, at_s, &coils));
    report.sense = judge::sense(at_s, &coils);
    judge::cautions(&mut report);
    Ok(report)
}

/// A coil's resistance and how it was found.
pub(super) struct Found {
    /// At the temperature while measured.
    pub(super) ohms: Ohm,
    /// Volts across and amps through, when it was measured so.
    by_drop: Option<(Volt, Ampere)>,
    /// Typed as ohms.
    typed: Option<Ohm>,
}

impl Found {
    /// Was it read by an ohmmeter alone?
    pub(super) fn by_ohmmeter(&self) -> bool {
        self.by_drop.is_none()
    }
}

impl Coil {
    /// By current and drop where both were read, else as typed.
    fn resistance(&self, inputs: &Inputs) -> Result<Found, Vec<FieldRefusal>> {
        let value = |name| inputs.optional(name).map(|measured| measured.value);
        let refuse = |field: &str, sentence: &str| {
            vec![FieldRefusal {
                field: inputs.field(field),
                problem: Problem::Contradiction(sentence.to_owned()),
            }]
        };
        let half = "volts across the coil and amps through it belong together; fill in both or neither.";
        let typed = value(self.ohms).map(Ohm);
        match (value(self.drop), value(self.amps), typed) {
            (Some(volts), Some(amps), typed) => {
                let by_drop = (Volt(volts), Ampere(amps));
                let ohms = resistance_by_drop(by_drop.0, by_drop.1);
                Ok(Found { ohms, by_drop: Some(by_drop), typed })
            }
            (Some(_), None, _) => Err(refuse(self.amps, half)),
            (None, Some(_), _) => Err(refuse(self.drop, half)),
            (None, None, Some(ohms)) => Ok(Found { ohms, by_drop: None, typed }),
            (None, None, None) => Err(refuse(
                self.ohms,
                "no reading of this coil; type its ohms, or volts across it and amps through it.",
            )),
        }
    }

    fn say_where_it_came_from(&self, report: &mut Report, found: &Found) {
        let Some((volts, amps)) = found.by_drop else { return };
        let letter = self.letter;
        report.step(
            &format!("Resistance of the {} by current and drop", self.name),
            &format!("R_{letter} = U_{letter} / I_{letter}"),
            format!("R_{letter} = {} / {}", show_v(volts), show_a(amps)),
            show_ohm(found.ohms),
        );
        if let Some(typed) = found.typed
            && (typed / found.ohms - 1.0).abs() > 0.1
        {
            report.finding(
                Level::Note,
                format!(
                    "The {}: {} by current and drop, {} as typed in ohms. The first is used; the second holds the ohmmeter's leads and steps.",
                    self.name,
                    show_ohm(found.ohms),
                    show_ohm(typed)
                ),
            );
        }
    }
}

/// Resistances at 20 °C and at work, with their lines of working; gives the coils at work.
fn resistances(report: &mut Report, inputs: &Inputs, coils: &Coils) -> Coils {
    let cold = Celsius(inputs.number("coil_temperature_c"));
    let work = Celsius(inputs.number("working_temperature_c"));
    let hot = coils.heated(temperature_ratio(Metal::Copper, cold, work));
    let at_20 = coils.heated(temperature_ratio(Metal::Copper, cold, Celsius(20.0)));
    for (letter, name, now, hot) in
        [('p', PULL_IN.name, coils.pull_in, hot.pull_in), ('h', HOLD_IN.name, coils.hold_in, hot.hold_in)]
    {
        report.step(
            &format!("The {name} at work"),
            &format!("R_{letter}2 = R_{letter} · (234.5 + T₂) / (234.5 + T₁)"),
            format!(
                "R_{letter}2 = {} · (234.5 + {}) / (234.5 + {})",
                show_ohm(now),
                short(work.0),
                short(cold.0)
            ),
            show_ohm(hot),
        );
    }
    for (name, ohms) in [
        ("pull_in_ohm", coils.pull_in),
        ("hold_in_ohm", coils.hold_in),
        ("pull_in_20c_ohm", at_20.pull_in),
        ("hold_in_20c_ohm", at_20.hold_in),
        ("pull_in_hot_ohm", hot.pull_in),
        ("hold_in_hot_ohm", hot.hold_in),
    ] {
        report.number(name, ohms.0);
    }
    report.sources.push(Metal::Copper.temperature_source());
    hot
}

fn currents(report: &mut Report, at_s: Volt, cold: &Coils, hot: &Coils) {
    let (pull_in, hold_in) = (cold.pull_in_current(at_s), cold.hold_in_current(at_s));
    let both = pull_in + hold_in;
    let (formula, numbers) = if cold.motor_path.0 > 0.0 {
        let both = format!("({} + {})", show_ohm(cold.pull_in), show_ohm(cold.motor_path));
        ("I_p = U / (R_p + R_m)", format!("I_p = {} / {both}", show_v(at_s)))
    } else {
        ("I_p = U / R_p", format!("I_p = {} / {}", show_v(at_s), show_ohm(cold.pull_in)))
    };
    report.step("Pull-in coil, main contact open", formula, numbers, show_a(pull_in));
    report.step(
        "Hold-in coil",
        "I_h = U / R_h",
        format!("I_h = {} / {}", show_v(at_s), show_ohm(cold.hold_in)),
        show_a(hold_in),
    );
    report.step(
        "Both together at first",
        "I = I_p + I_h",
        format!("I = {} + {}", show_a(pull_in), show_a(hold_in)),
        show_a(both),
    );
    report.step(
        "Power of both",
        "P = U · I",
        format!("P = {} · {}", show_v(at_s), show_a(both)),
        show(Quantity::Power, (at_s * both).0, 3),
    );
    let (pull_in_hot, hold_in_hot) = (hot.pull_in_current(at_s), hot.hold_in_current(at_s));
    for (name, amps) in [
        ("both_cold_a", both),
        ("pull_in_cold_a", pull_in),
        ("hold_in_cold_a", hold_in),
        ("pull_in_hot_a", pull_in_hot),
        ("hold_in_hot_a", hold_in_hot),
        ("both_hot_a", pull_in_hot + hold_in_hot),
    ] {
        report.number(name, amps.0);
    }
    report.number("both_cold_w", (at_s * both).0);
    report.number("hold_in_cold_w", (at_s * hold_in).0);
    report.number("hold_in_hot_w", (at_s * hold_in_hot).0);
    report.finding(
        Level::Note,
        "The pull-in coil works for a moment only: when the main contact closes, terminal 45 (M) gets the battery's voltage, both ends of the coil are alike, and its current stops. The hold-in coil holds on alone.",
    );
    report.sources.push(Source {
        fact: "Pull-in coil from terminal 50 to terminal 45 and back through the motor, hold-in coil from terminal 50 to the case",
        from: "US Army TM 5-2420-230-24-2; Ohm's law",
    });
}

/// What flows when, cold and hot.
fn stages(at_s: Volt, cold: &Coils, hot: &Coils) -> Table {
    let row = |stage: &str, current: fn(&Coils, Volt) -> Ampere| {
        let cell = |coils| show(Quantity::Current, current(coils, at_s).0, 3);
        vec![stage.to_owned(), cell(cold), cell(hot)]
    };
    Table {
        title: "What flows at terminal 50 (S), and in the coils".to_owned(),
        heads: vec!["Moment", "As measured", "At work"],
        rows: vec![
            row("Start switch on: pull-in coil", |coils, volts| coils.pull_in_current(volts)),
            row("Start switch on: hold-in coil", |coils, volts| coils.hold_in_current(volts)),
            row("Start switch on: both", |coils, volts| {
                coils.pull_in_current(volts) + coils.hold_in_current(volts)
            }),
            row("Main contact closed: hold-in coil alone", |coils, volts| coils.hold_in_current(volts)),
            row(
                "Start switch off, contact not yet open: both in series, against each other",
                |coils, volts| coils.release_current(volts),
            ),
        ],
    }
}

/// Currents against the coils' temperature.
fn chart(inputs: &Inputs, at_s: Volt, coils: &Coils) -> Chart {
    let measured = inputs.number("coil_temperature_c");
    let work = inputs.number("working_temperature_c");
    let (low, high) = (measured.min(work).min(20.0), measured.max(work).max(120.0));
    let line = |name: &str, mark, current: fn(&Coils, Volt) -> Ampere| {
        let points = (0..=20).map(|step| {
            let celsius = low + (high - low) * f64::from(step) / 20.0;
            let there = coils.heated(temperature_ratio(Metal::Copper, Celsius(measured), Celsius(celsius)));
            (celsius, current(&there, at_s).0)
        });
        Series { name: name.to_owned(), mark, points: points.collect() }
    };
    Chart {
        title: "Currents against the coils' temperature".to_owned(),
        x: Axis::new("Temperature of the coils", Quantity::Temperature, ""),
        y: Axis::new("Current", Quantity::Current, ""),
        series: vec![
            line("both coils", Mark::Line, |coils, volts| {
                coils.pull_in_current(volts) + coils.hold_in_current(volts)
            }),
            line("pull-in coil", Mark::Dashes, |coils, volts| coils.pull_in_current(volts)),
            line("hold-in coil", Mark::Dots, |coils, volts| coils.hold_in_current(volts)),
        ],
        bands: Vec::new(),
    }
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
        let hot = 314.5 / 254.5;
        report.near("pull_in_cold_a", 10.0 / 0.15);
        report.near("hold_in_cold_a", 10.0 / 0.62);
        report.near("both_cold_a", 10.0 / 0.15 + 10.0 / 0.62);
        report.near("pull_in_hot_a", 10.0 / (0.15 * hot));
        report.near("both_hot_a", (10.0 / 0.15 + 10.0 / 0.62) / hot);
        report.near("hold_in_hot_w", 100.0 / (0.62 * hot));
        report.near("pull_in_20c_ohm", 0.15);
    }

    #[test]
    fn volts_and_amps_are_believed_before_ohms() {
        let drop = [("pull_in_drop_v", "1.5"), ("pull_in_test_a", "10"), ("pull_in_resistance_ohm", "0.4")];
        let report = work(&drop).expect("worked");
        report.near("pull_in_ohm", 0.15);
        assert!(report.findings.iter().any(|finding| finding.text.contains("as typed in ohms")));
    }

    #[test]
    fn half_a_pair_and_no_reading_are_refused_together() {
        let settings = [("pull_in_drop_v", "1.5"), ("hold_in_resistance_ohm", "")];
        let refusal = work(&settings).expect_err("two problems");
        let fields: Vec<_> = refusal.problems.iter().map(|problem| problem.field.name).collect();
        assert_eq!(fields, ["pull_in_test_a", "hold_in_resistance_ohm"]);
    }

    #[test]
    fn the_way_through_the_motor_holds_the_pull_in_current_down_alone() {
        let report = work(&[("motor_path_ohm", "10 mΩ")]).expect("worked");
        report.near("pull_in_cold_a", 62.5);
        report.near("hold_in_cold_a", 10.0 / 0.62);
    }

    #[test]
    fn the_chart_passes_through_both_temperatures() {
        let report = work(&[("working_temperature_c", "120")]).expect("worked");
        let both = &report.charts[0].series[0].points;
        let (first, last) = (both[0], both[both.len() - 1]);
        assert_eq!((first.0, last.0), (20.0, 120.0));
        report.near("both_cold_a", first.1);
        report.near("both_hot_a", last.1);
    }
}
