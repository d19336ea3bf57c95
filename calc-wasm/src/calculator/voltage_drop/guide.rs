//! The whole circuit against a guide per 100 A, against a rough estimate, and as a chart.

use crate::calculator::show_a;
use crate::calculator::voltage_drop::excess::worst;
use crate::calculator::voltage_drop::measured::{both, drop_as_measured, spread_of};
use crate::calculator::voltage_drop::run::Run;
use crate::calculator::voltage_drop::size::area_of;
use crate::chart::{Axis, Band, Chart, Mark, Series};
use crate::measurement::conformity::Limits;
use crate::number::short;
use crate::physics::conductor::Metal;
use crate::quantity::{Ampere, Ohm, Volt};
use crate::report::{Level, Report, Source, State, Table, Value, show};
use crate::unit::Quantity;

/// A guide for all cables and joints between battery and motor: what each 100 A may drop at 20 °C.
struct Guide {
    system: &'static str,
    per_100_amps: Volt,
    source: Source,
}

const J541: &str = "SAE J541, table 1, as a later text gives it; the standard itself was not read";

const fn guide(system: &'static str, per_100_amps: f64, fact: &'static str, from: &'static str) -> Guide {
    Guide { system, per_100_amps: Volt(per_100_amps), source: Source { fact, from } }
}

const SIX: Guide = guide("6 V", 0.12, "Guide of 0.12 V each 100 A, 6 V, light and medium duty", J541);
const TWELVE: Guide = guide(
    "12 V",
    0.2,
    "Guide of 0.20 V each 100 A, 12 V, light and medium duty",
    "US Army TM 10-3930-671-24 prints it as a rule of thumb; SAE J541, table 1, as a later text gives it",
);
const TWELVE_HEAVY: Guide = guide("12 V", 0.1, "Guide of 0.10 V each 100 A, 12 V, heavy duty", J541);
const TWENTY_FOUR: Guide =
    guide("24 V", 0.4, "Guide of 0.40 V each 100 A, 24 V, light and medium duty", J541);
const TWENTY_FOUR_HEAVY: Guide = guide("24 V", 0.17, "Guide of 0.17 V each 100 A, 24 V, heavy duty", J541);

/// The guide for a system; a 12 V system may be down to 9 V while it cranks, a 24 V system to 18 V.
fn guide_for(system: Volt, heavy: bool) -> Option<&'static Guide> {
    match (system.0, heavy) {
        (4.5..9.0, false) => Some(&SIX),
        (9.0..18.0, false) => Some(&TWELVE),
        (9.0..18.0, true) => Some(&TWELVE_HEAVY),
        (18.0..=36.0, false) => Some(&TWENTY_FOUR),
        (18.0..=36.0, true) => Some(&TWENTY_FOUR_HEAVY),
        _ => None,
    }
}

/// Holds the drop, measured where it was measured, against the guide.
pub(super) fn judge(report: &mut Report, run: &Run, drop: Volt) {
    let Some(guide) = guide_for(run.system, run.heavy) else {
        report.answer("guide_verdict", Value::State(State::NotJudged));
        report.finding(Level::Note, "No guide for the whole circuit is known for this system voltage.");
        return;
    };
    let limit = Volt(guide.per_100_amps.0 / 100.0 * run.current.0);
    // The guide leaves switches and contacts out.
    let measured = drop_as_measured(run);
    let across = run.parts.iter().filter(|part| part.size.is_none());
    let across = across.map(|part| match part.measured {
        Some(measured) => measured.0,
        None => (part.fixed * run.current).0,
    });
    let judged = measured.unwrap_or(drop) - Volt(across.sum());
    report.number("guide_drop_v", limit.0);
    // The current moves the guide and a calculated drop alike, so what is left between them is judged.
    let left = limit - judged;
    let listed = spread_of(run.parts.iter().filter(|part| part.size.is_some()));
    let uncertainty = both(report.inputs.uncertainty("guide_left_v"), listed);
    report.answer("guide_left_v", Value::Number(left.0, uncertainty));
    let limits = Limits { least: Some(0.0), greatest: None };
    let state = report.judge("guide_verdict", limits, left.0, uncertainty);
    report.step(
        "Guide for cables and joints",
        "U_g = I · U₁₀₀ / 100",
        format!(
            "U_g = {} · {} / 100 A",
            show_a(run.current),
            show(Quantity::Voltage, guide.per_100_amps.0, 3)
        ),
        show(Quantity::Voltage, limit.0, 3),
    );
    let kind = if measured.is_some() { "as measured" } else { "as calculated" };
    let which = match state {
        State::Within => "keep within",
        State::Outside => "are beyond",
        State::TooClose | State::NotJudged => "are too close to call against",
    };
    report.finding(
        Level::Note,
        format!(
            "Cables and joints, {kind}, drop {} and {which} the guide of {} for a {} system. A guide is for design at 20 °C and leaves switches out; the maker's limit comes first.",
            show(Quantity::Voltage, judged.0, 3),
            show(Quantity::Voltage, limit.0, 3),
            guide.system
        ),
    );
    report.sources.push(guide.source);
}

/// What manuals allow the parts of a 12 V circuit while it cranks.
pub(super) fn printed_limits() -> Table {
    let rows = [
        ("Cable shorter than 0.9 m (3 ft)", "0.1 V", "US Army TM 5-3820-256-24-4"),
        ("Cable of 0.9 m to 1.8 m (3 ft to 6 ft)", "0.2 V", "US Army TM 5-3820-256-24-4"),
        ("Mechanical switch", "0.1 V", "US Army TM 5-3820-256-24-4; US Navy training course 14050"),
        ("Contacts of the solenoid", "0.2 V; 0.4 V", "US Army TM 5-3820-256-24-4; TM 5-3895-382-24"),
        ("Each connection", "0 V", "US Army TM 5-3820-256-24-4; US Navy training course 14050"),
        ("Ground side, whole", "0.2 V; 0.7 V", "US Army TM 5-3820-256-24-4; TM 5-3895-382-24"),
        ("Positive side, whole", "0.5 V", "US Army TM 5-3820-256-24-4; TM 5-3895-382-24"),
    ];
    Table {
        title: "Drops that manuals allow at 12 V".to_owned(),
        heads: vec!["Part", "At most", "Printed in"],
        rows: rows
            .iter()
            .map(|(part, most, from)| [*part, *most, *from].map(str::to_owned).to_vec())
            .collect(),
    }
}

/// A rough estimate from area and length alone, and where such loops lie.
pub(super) fn sense(run: &Run, loop_resistance: Ohm) -> String {
    let rho = match run.metal {
        Metal::Copper => 0.0175,
        Metal::Aluminium => 0.0283,
    };
    let of = |size, length: f64| rho * length / area_of(size).0;
    let rough: f64 = if run.listed() {
        run.parts.iter().filter_map(|part| part.size.map(|size| of(size, part.length.0))).sum()
    } else {
        of(run.size, run.length().0)
    };
    let worked = show(Quantity::Resistance, loop_resistance.0, 2);
    let estimate = if rough > 0.0 {
        format!(
            "Length over area times {} Ω·mm²/m, cold and without joints, gives {} for the cable; worked, the whole is {worked}.",
            short(rho),
            show(Quantity::Resistance, rough, 2)
        )
    } else {
        format!("No cable is in it: all of the {worked} was typed.")
    };
    format!(
        "{estimate} Loops of cars and light trucks mostly lie between 1 mΩ and 4 mΩ, joints and all (common practice, no source)."
    )
}

/// The drop along the parts, if they have a length, or against the current.
pub(super) fn chart(run: &Run, loop_resistance: Ohm) -> Chart {
    let has_length = run.parts.iter().any(|part| part.length.0 > 0.0);
    if run.listed() && has_length { along(run) } else { by_current(run, loop_resistance) }
}

fn allowed(run: &Run) -> Vec<Band> {
    vec![Band { name: "allowed drop".to_owned(), low: None, high: Some(run.allowed.0) }]
}

fn by_current(run: &Run, loop_resistance: Ohm) -> Chart {
    let at = |current: f64| (current, (loop_resistance * Ampere(current)).0);
    let here = run.current.0;
    Chart {
        title: "Drop against current".to_owned(),
        x: Axis::new("Current", Quantity::Current, ""),
        y: Axis::new("Drop", Quantity::Voltage, ""),
        series: vec![
            Series {
                name: "this run".to_owned(),
                mark: Mark::Line,
                points: (0..=6).map(|part| at(here * f64::from(part) / 4.0)).collect(),
            },
            Series { name: "at your current".to_owned(), mark: Mark::Crosses, points: vec![at(here)] },
        ],
        bands: allowed(run),
    }
}

/// A cable is a slope, its joints and a switch are a step. What was measured is added up, as far as all was; crosses
/// stand at its end and behind the worst part, where they do not cover each other.
fn along(run: &Run) -> Chart {
    let (mut place, mut drop, mut measured) = (0.0, 0.0, Some(0.0));
    let mut line = vec![(0.0, 0.0)];
    let mut sums = vec![(0.0, 0.0)];
    for part in &run.parts {
        place += part.length.0;
        drop += (run.conductor_of(part) * run.current).0;
        line.push((place, drop));
        let joints = (run.joint * part.joints * run.current).0;
        if joints > 0.0 {
            drop += joints;
            line.push((place, drop));
        }
        measured = measured.and_then(|sum: f64| Some(sum + part.measured?.0));
        sums.extend(measured.map(|sum| (place, sum)));
    }
    let mut series = vec![Series { name: "calculated".to_owned(), mark: Mark::Line, points: line }];
    if let [_, .., end] = sums[..] {
        let highest = end.1.max(drop).max(run.allowed.0);
        let apart = |point: (f64, f64)| end.0 - point.0 > 0.2 * place || end.1 - point.1 > 0.15 * highest;
        let behind_worst = worst(run).and_then(|at| sums.get(at + 1)).copied().filter(|point| apart(*point));
        let crosses = behind_worst.into_iter().chain([end]).collect();
        series.push(Series { name: "measured, added up".to_owned(), mark: Mark::Dashes, points: sums });
        let name = if behind_worst.is_some() { "worst part and end" } else { "end" };
        series.push(Series { name: name.to_owned(), mark: Mark::Crosses, points: crosses });
    }
    Chart {
        title: "Drop along the circuit".to_owned(),
        x: Axis::new("Length along the circuit", Quantity::Length, ""),
        y: Axis::new("Drop from the start", Quantity::Voltage, ""),
        series,
        bands: allowed(run),
    }
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn worked(settings: &[(&str, &str)]) -> Report {
        CALCULATOR.work(settings).expect("worked")
    }

    #[test]
    fn the_guide_scales_with_the_current_and_knows_the_system() {
        for (system, duty, current, expected) in [
            ("12", "light", "100", 0.2),
            ("9.6", "light", "200", 0.4),
            ("12", "heavy", "300", 0.3),
            ("24", "light", "100", 0.4),
            ("18", "heavy", "200", 0.34),
            ("6", "light", "100", 0.12),
        ] {
            let report =
                worked(&[("system_voltage_v", system), ("circuit_duty", duty), ("current_a", current)]);
            let given = report.number_of("guide_drop_v").expect("given");
            assert!((given - expected).abs() < 1e-12, "{system} {duty}: {given}");
        }
        let none = worked(&[("system_voltage_v", "48")]);
        assert_eq!(none.value("guide_verdict"), Some(&Value::State(State::NotJudged)));
    }

    #[test]
    fn the_guide_is_met_or_not_and_leaves_switches_out() {
        let verdict =
            |parts: &str| worked(&[("parts", parts), ("current_a", "100")]).value("guide_verdict").cloned();
        assert_eq!(verdict("Cable; 35 mm2; 3 m"), Some(Value::State(State::Within)));
        assert_eq!(verdict("Cable; 35 mm2; 3 m\nSwitch; 5 mΩ"), Some(Value::State(State::Within)));
        assert_eq!(verdict("Cable; 35 mm2; 4 m"), Some(Value::State(State::Outside)));
        // What was measured is judged.
        assert_eq!(verdict("Cable; 35 mm2; 3 m; ; 0.3 V"), Some(Value::State(State::Outside)));
        let both = "Cable; 35 mm2; 3 m; ; 0.15 V\nSwitch; 1 mΩ; ; ; 0.4 V";
        assert_eq!(verdict(both), Some(Value::State(State::Within)));
    }

    #[test]
    fn parts_without_a_length_are_drawn_against_the_current() {
        let report = worked(&[("parts", "Contact; 4 mΩ")]);
        assert_eq!(report.charts[0].title, "Drop against current");
        assert!(report.tables.iter().all(|table| !table.rows.is_empty()), "no table without a row");
    }

    #[test]
    fn the_chart_ends_at_the_whole_drop() {
        let report = worked(&[("parts", "A; 35 mm2; 2 m; 2; 0.3 V\nB; 1 mΩ; ; ; 0.2 V\nC; 35 mm2; 1 m; 1")]);
        let chart = &report.charts[0];
        let (length, drop) = *chart.series[0].points.last().expect("points");
        assert!((length - 3.0).abs() < 1e-12);
        assert!((drop - report.number_of("drop_v").expect("given")).abs() < 1e-12);
        assert!(chart.series[0].points.is_sorted_by(|one, two| one.0 <= two.0 && one.1 <= two.1));
        // C was not measured. A is the worst, 0.3 V against 0.235 V.
        assert_eq!(chart.series[1].points, [(0.0, 0.0), (2.0, 0.3), (2.0, 0.5)]);
        assert_eq!(chart.series[2].points, [(2.0, 0.3), (2.0, 0.5)]);
        // Crosses that would cover each other are one.
        let near = worked(&[("parts", "A; 35 mm2; 2 m; 2; 0.56 V\nB; 35 mm2; 0.3 m; 2; 0.06 V")]);
        assert_eq!(near.charts[0].series[2].points, [(2.3, 0.56 + 0.06)]);
        let alone = worked(&[]);
        let point = alone.charts[0].series[1].points[0];
        assert_eq!(point, (180.0, alone.number_of("drop_v").expect("given")));
    }
}
