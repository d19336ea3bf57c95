//! The working of `voltage-drop`.

use crate::calculator::voltage_drop::run::Run;
use crate::calculator::voltage_drop::size::{look_up, smallest_size};
use crate::calculator::voltage_drop::{crank, excess, guide, measured, steps};
use crate::calculator::{show_a, show_ohm, show_v};
use crate::input::Inputs;
use crate::measurement::conformity::Limits;
use crate::physics::conductor::{self, Size};
use crate::quantity::{Ohm, OhmPerMetre, Volt};
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, State, Value, show};
use crate::unit::Quantity;

const IEC_60228: Source =
    Source { fact: "Greatest resistance of metric conductors at 20 °C", from: "IEC 60228, tables 2 and 3" };
const ASTM_B258: Source = Source { fact: "Diameters of wire gauges", from: "ASTM B258" };

/// Works the run.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let (run, per_metre) = circuit(inputs)?;
    let cable = per_metre.map_or(Ohm(0.0), |each| conductor::run_resistance(each, run.length()));
    let loop_resistance = if run.listed() {
        Ohm(run.parts.iter().map(|part| run.resistance_of(part).0).sum())
    } else {
        cable + run.joints()
    };
    let drop = loop_resistance * run.current;
    let measured = measured::drop_as_measured(&run);
    let judged = measured.unwrap_or(drop);
    let smallest = smallest_size(&run);

    let mut report = Report::of(inputs);
    let limits = Limits { least: None, greatest: Some(run.allowed.0) };
    let uncertainty = match measured {
        Some(_) => {
            measured::both(inputs.uncertainty("measured_drop_v"), measured::spread_of(run.parts.iter()))
        }
        None => inputs.uncertainty("drop_v"),
    };
    let state = report.judge("verdict", limits, judged.0, uncertainty);
    // A circuit that fails as measured has a fault: no size answers that.
    let sizes_answer = measured.is_none() || state != State::Outside;
    report.number("loop_resistance_ohm", loop_resistance.0);
    if run.length().0 > 0.0 && sizes_answer {
        report.answer(
            "smallest_size",
            Value::Text(smallest.clone().unwrap_or_else(|| "none in the list".to_owned())),
        );
    }
    let alone = per_metre.filter(|_| !run.listed());
    if let Some(per_metre) = alone {
        report.number("resistance_per_metre_ohm", per_metre.0);
        steps::conductor_steps(&mut report, &run, per_metre);
        steps::run_steps(&mut report, &run, per_metre, cable, loop_resistance);
    } else {
        steps::part_steps(&mut report, &run, loop_resistance);
    }
    drop_and_heat(&mut report, &run, loop_resistance, drop);
    if let Some(per_metre) = alone {
        longest_run(&mut report, &run, per_metre);
    }
    report.tables.push(steps::shares(&run, per_metre, drop));
    remarks(&mut report, &run, judged, state, smallest.is_some() || !sizes_answer);
    sources(&mut report, &run);
    if run.listed() {
        excess::compare(&mut report, &run);
        report.tables.push(guide::printed_limits());
    }
    guide::judge(&mut report, &run, drop);
    crank::warm(&mut report, &run);
    look_up(&mut report, &run, sizes_answer);
    report.sense = guide::sense(&run, loop_resistance);
    report.charts.push(guide::chart(&run, loop_resistance));
    Ok(report)
}

/// The circuit, and what one metre of the chosen size resists; every contradiction is given at once.
fn circuit(inputs: &Inputs) -> Result<(Run, Option<OhmPerMetre>), Refusal> {
    let (mut run, mut problems) = (None, Vec::new());
    match Run::of(inputs) {
        Ok(read) => run = Some(read),
        Err(refusal) => problems.extend(refusal.problems),
    }
    let known = run.as_ref().and_then(|run| run.per_metre(run.size));
    // Listed parts have sizes of their own, and reading them looked theirs up.
    if known.is_none() && run.as_ref().is_some_and(|run| !run.listed()) {
        problems.extend(
            FieldRefusal::contradiction(
                inputs.field("conductor_material"),
                "IEC 60228 prints no resistance for this aluminium conductor; choose class 2 from 10 mm² up, a gauge, \
                 or type the area."
                    .to_owned(),
            )
            .problems,
        );
    }
    let (allowed, system) = (inputs.number("allowed_drop_v"), inputs.number("system_voltage_v"));
    if allowed >= system {
        problems.extend(
            FieldRefusal::contradiction(
                inputs.field("allowed_drop_v"),
                format!(
                    "an allowed drop of {} leaves nothing of a system voltage of {}; type less than the system voltage.",
                    show(Quantity::Voltage, allowed, 3),
                    show(Quantity::Voltage, system, 3)
                ),
            )
            .problems,
        );
    }
    match run {
        Some(run) if problems.is_empty() => Ok((run, known)),
        _ => Err(Refusal { problems }),
    }
}

fn drop_and_heat(report: &mut Report, run: &Run, loop_resistance: Ohm, drop: Volt) {
    let percent = 100.0 * (drop / run.system);
    let loss = drop * run.current;
    report.number("drop_v", drop.0);
    report.number("drop_percent", percent);
    report.number("loss_w", loss.0);
    report.step(
        "Drop",
        "U = I · R",
        format!("U = {} · {}", show_a(run.current), show_ohm(loop_resistance)),
        show(Quantity::Voltage, drop.0, 4),
    );
    report.step(
        "Share of the system voltage",
        "p = 100 % · U / U₀",
        format!("p = 100 % · {} / {}", show_v(drop), show_v(run.system)),
        show(Quantity::Percent, percent, 3),
    );
    report.step(
        "Heat made in the run",
        "P = I² · R",
        format!("P = ({})² · {}", show_a(run.current), show_ohm(loop_resistance)),
        show(Quantity::Power, loss.0, 4),
    );
}

fn longest_run(report: &mut Report, run: &Run, per_metre: OhmPerMetre) {
    let room = run.room();
    if room.0 <= 0.0 {
        return;
    }
    let longest = room / per_metre;
    report.number("largest_run_m", longest.0);
    report.step(
        "Longest run that passes",
        "L = (U_a / I − n · R₁) / r",
        format!(
            "L = ({} / {} − {}) / {}",
            show_v(run.allowed),
            show_a(run.current),
            show_ohm(run.joints()),
            show(Quantity::ResistancePerLength, per_metre.0, 4)
        ),
        show(Quantity::Length, longest.0, 3),
    );
}

fn remarks(report: &mut Report, run: &Run, drop: Volt, state: State, some_size_passes: bool) {
    let whole = match measured::drop_as_measured(run) {
        Some(_) => "As far as it was measured, and calculated beyond that, the circuit",
        None if run.listed() => "The circuit",
        None => "The run",
    };
    let (dropped, allowed) = (show(Quantity::Voltage, drop.0, 3), show(Quantity::Voltage, run.allowed.0, 3));
    let gap = show(Quantity::Voltage, (run.allowed.0 - drop.0).abs(), 3);
    let joints = run.joints() * run.current;
    match state {
        State::Within => {
            report.finding(
                Level::Note,
                format!("{whole} drops {dropped} of the {allowed} allowed; {gap} are left."),
            );
        }
        State::Outside => report.finding(
            Level::Warning,
            format!("{whole} drops {dropped}; that is {gap} over the {allowed} allowed."),
        ),
        State::TooClose | State::NotJudged => report.finding(
            Level::Warning,
            format!("{whole} drops {dropped}, and {allowed} are allowed: the readings cannot tell which side it is on."),
        ),
    }
    if drop.0 >= run.system.0 {
        report.finding(
            Level::Warning,
            "The drop is greater than the source's voltage: this current cannot flow through this run.",
        );
    }
    if joints.0 >= run.allowed.0 {
        report.finding(
            Level::Next,
            "The joints alone use up the allowed drop. Clean and tighten them; no cable cures a joint.",
        );
    } else if joints.0 > drop.0 / 3.0 && joints.0 > 0.0 {
        report.finding(
            Level::Next,
            "More than a third of the drop is in the joints. Look at them before you choose a thicker cable.",
        );
    } else if !some_size_passes && run.length().0 > 0.0 {
        report.finding(
            Level::Next,
            "No size in the list passes. Shorten the run, or use two cables side by side.",
        );
    }
    if run.listed() {
        report.finding(
            Level::Note,
            "The listed parts take the place of run out, run back, joints and conductor size; metal, make-up and temperature hold for all of them.",
        );
    }
    kinds(report, run);
}

/// Every kind of size that the circuit is made of.
fn sizes(run: &Run) -> Vec<Size> {
    if run.listed() { run.parts.iter().filter_map(|part| part.size).collect() } else { vec![run.size] }
}

/// What the resistance of each kind of size stands for.
fn kinds(report: &mut Report, run: &Run) {
    let sizes = sizes(run);
    let mut note = |is: fn(&Size) -> bool, text: &str| {
        if sizes.iter().any(is) {
            report.finding(Level::Note, text);
        }
    };
    note(
        |size| matches!(size, Size::Gauge(_)),
        "A gauge is worked as solid wire of that area; a stranded cable resists about 2 % more (common practice, no source).",
    );
    note(
        |size| matches!(size, Size::Metric(_)),
        "A metric size is a name and no area: this is the greatest resistance the standard allows, so the real drop is this or less.",
    );
    note(
        |size| matches!(size, Size::Area(_)),
        "The resistance comes from resistivity and the area you typed. If that area is a printed size, choose the size: its resistance may be higher.",
    );
}

fn sources(report: &mut Report, run: &Run) {
    let sizes = sizes(run);
    let gauges = sizes.iter().any(|size| matches!(size, Size::Gauge(_)));
    if gauges {
        report.sources.push(ASTM_B258);
    }
    if gauges || sizes.iter().any(|size| matches!(size, Size::Area(_))) {
        report.sources.push(run.metal.resistivity_source());
    }
    if sizes.iter().any(|size| matches!(size, Size::Metric(_))) {
        report.sources.push(IEC_60228);
    }
    report.sources.push(run.metal.temperature_source());
    report.sources.push(Source { fact: "Allowed drop", from: "what you typed; the maker's data come first" });
}

#[cfg(test)]
mod tests {
    use super::super::{CALCULATOR, SIZES};
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    #[test]
    fn every_option_is_a_conductor() {
        for option in SIZES {
            let report = work(&[("conductor_size", option.key)]).expect("copper is known for every size");
            assert!(report.number_of("drop_v").expect("given") > 0.0, "{}", option.key);
        }
    }

    #[test]
    fn the_thinnest_that_passes_passes_and_the_next_thinner_does_not() {
        for family in [&SIZES[..13], &SIZES[13..]] {
            let report = work(&[("conductor_size", family[0].key)]).expect("worked");
            let Some(Value::Text(thinnest)) = report.value("smallest_size") else { panic!("given") };
            let at = family.iter().position(|size| size.label == thinnest).expect("listed");
            let verdict =
                |key: &str| work(&[("conductor_size", key)]).expect("worked").value("verdict").cloned();
            assert_eq!(verdict(family[at].key), Some(Value::State(State::Within)));
            assert_eq!(verdict(family[at - 1].key), Some(Value::State(State::Outside)));
        }
    }

    #[test]
    fn a_free_area_is_worked_by_resistivity_and_says_so() {
        let report = work(&[("conductor_size", "27 mm2")]).expect("worked");
        let expected = 1e-6 / 58.0 / 27e-6;
        let given = report.number_of("resistance_per_metre_ohm").expect("given");
        assert!((given - expected).abs() < 1e-15);
        assert!(report.findings.iter().any(|finding| finding.text.contains("area you typed")));
        // By hand: 180 A, 3.6 m, 0.5 V allowed, 4 joints of 0.1 mΩ leave 2.378 mΩ, so A = 3.6 / 58 / 2.378e-3 = 26.1 mm².
        assert_eq!(report.value("smallest_size"), Some(&Value::Text("26.1 mm²".to_owned())));
    }

    #[test]
    fn aluminium_that_the_standard_does_not_print_is_refused() {
        let refusal =
            work(&[("conductor_material", "aluminium"), ("conductor_size", "35 mm2")]).expect_err("class 5");
        assert!(refusal.to_string().contains("IEC 60228"));
    }

    #[test]
    fn the_shares_make_the_whole() {
        for parts in ["", "A; 35 mm2; 1 m; 1\nB; 0.3 mΩ\nC; AWG 4; 2 m; 1"] {
            let report = work(&[("parts", parts)]).expect("worked");
            let table = report.tables.iter().find(|table| table.title == "Each part's share").expect("there");
            let total: f64 = table
                .rows
                .iter()
                .map(|row| row[4].trim_end_matches(" %").parse::<f64>().expect("a number"))
                .sum();
            assert!((total - 100.0).abs() < 0.2, "{total}");
        }
    }

    #[test]
    fn a_circuit_that_fails_as_measured_is_not_answered_with_a_size() {
        let parts = |measured: &str| format!("A; 35 mm2; 1.8 m; 3\nB; 35 mm2; 1.8 m; 1; {measured}");
        for (measured, given) in [("", true), ("0.2 V", true), ("0.6 V", false)] {
            let report = work(&[("parts", &parts(measured))]).expect("worked");
            for name in ["smallest_size", "smallest_other_size"] {
                assert_eq!(report.value(name).is_some(), given, "{name} {measured}");
            }
        }
    }

    #[test]
    fn the_same_circuit_listed_gives_the_same() {
        let alone = work(&[("conductor_size", "35 mm2")]).expect("worked");
        let parts = "Out; 35 mm²; 1.8 m; 3\nBack; 35 mm²; 180 cm; 1 joint";
        // The fields that the list takes the place of are not looked at.
        let listed =
            work(&[("parts", parts), ("run_out_m", "9"), ("joint_count", "50"), ("conductor_size", "AWG 8")]);
        let listed = listed.expect("worked");
        for name in
            ["drop_v", "drop_percent", "loop_resistance_ohm", "loss_w", "end_temperature_c", "drop_end_v"]
        {
            let (one, two) = (alone.number_of(name).expect("given"), listed.number_of(name).expect("given"));
            assert!((one / two - 1.0).abs() < 1e-12, "{name}: {one} {two}");
        }
        assert!(listed.number_of("largest_run_m").is_none(), "parts of several sizes have no one length");
        // A size that nobody uses is no reason to refuse.
        assert!(
            work(&[
                ("conductor_material", "aluminium"),
                ("conductor_size", "35 mm2"),
                ("parts", "A; AWG 2; 1 m")
            ])
            .is_ok()
        );
    }

    #[test]
    fn every_contradiction_is_given_at_once() {
        let refusal =
            work(&[("parts", "A; AWG 5; 1 m\nB; 35 mm2"), ("allowed_drop_v", "13")]).expect_err("three");
        assert_eq!(refusal.problems.len(), 3, "{refusal}");
    }
}
