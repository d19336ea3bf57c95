//! The lines of working of `voltage-drop`: one metre, the cable, the joints, each part.

use crate::calculator::show_ohm;
use crate::calculator::voltage_drop::run::Run;
use crate::calculator::voltage_drop::size::size_words;
use crate::number::{figures, short};
use crate::physics::conductor::{self, Size, StrandClass, gauge_area, gauge_diameter_mm};
use crate::quantity::{Ohm, OhmPerMetre, SquareMillimetre, Volt};
use crate::report::{Report, Table, show};
use crate::unit::Quantity;

/// From the size to what one metre of it resists.
pub(super) fn conductor_steps(report: &mut Report, run: &Run, per_metre: OhmPerMetre) {
    let Some(at_20) = conductor::resistance_per_metre(run.size, run.metal, run.class) else { return };
    let at_20_words = show(Quantity::ResistancePerLength, at_20.0, 4);
    match run.size {
        Size::Gauge(gauge) => {
            report.step(
                "Cross-section of the gauge",
                "d = 0.127 mm · 92^((36 − n) / 39); A = π · d² / 4",
                format!("n = {gauge}: d = {} mm", figures(gauge_diameter_mm(gauge), 4)),
                format!("A = {} mm²", figures(gauge_area(gauge).0, 4)),
            );
            resistivity_step(report, run, gauge_area(gauge), at_20_words);
        }
        Size::Area(area) => resistivity_step(report, run, area, at_20_words),
        Size::Metric(_) => report.step(
            "Resistance of one metre at 20 °C",
            "r₂₀ from the table",
            format!("{}, {}, {}", size_words(run.size), class_words(run.class), run.metal.key()),
            at_20_words,
        ),
    }
    let zero = figures(run.metal.zero_intercept().0, 4);
    report.step(
        "Resistance of one metre at its temperature",
        "r = r₂₀ · (T₀ + T) / (T₀ + 20 °C)",
        format!(
            "r = {} · ({zero} + {}) / ({zero} + 20)",
            show(Quantity::ResistancePerLength, at_20.0, 4),
            short(run.temperature.0)
        ),
        show(Quantity::ResistancePerLength, per_metre.0, 4),
    );
}

fn resistivity_step(report: &mut Report, run: &Run, area: SquareMillimetre, result: String) {
    let rho = figures(run.metal.resistivity().0 * 1e6, 5);
    report.step(
        "Resistance of one metre at 20 °C",
        "r₂₀ = ρ / A",
        format!("r₂₀ = {rho} Ω·mm²/m / {} mm²", figures(area.0, 4)),
        result,
    );
}

/// A run there and back, and its joints.
pub(super) fn run_steps(
    report: &mut Report,
    run: &Run,
    per_metre: OhmPerMetre,
    cable: Ohm,
    loop_resistance: Ohm,
) {
    report.step(
        "Resistance of the cable, there and back",
        "R_c = r · (L₁ + L₂)",
        format!(
            "R_c = {} · ({} + {})",
            show(Quantity::ResistancePerLength, per_metre.0, 4),
            show(Quantity::Length, run.out.0, 3),
            show(Quantity::Length, run.back.0, 3)
        ),
        show_ohm(cable),
    );
    report.step(
        "Resistance of the joints",
        "R_j = n · R₁",
        format!("R_j = {} · {}", short(run.joint_count()), show_ohm(run.joint)),
        show_ohm(run.joints()),
    );
    report.step(
        "Resistance of the loop",
        "R = R_c + R_j",
        format!("R = {} + {}", show_ohm(cable), show_ohm(run.joints())),
        show_ohm(loop_resistance),
    );
}

/// One line for each listed part, and their sum.
pub(super) fn part_steps(report: &mut Report, run: &Run, loop_resistance: Ohm) {
    let letters = "abcdefghijklmnopqrst";
    let mut sum = String::from("R = ");
    let mut numbers = String::from("R = ");
    for (at, part) in run.parts.iter().enumerate() {
        let letter = &letters[at..=at];
        let plus = if at > 0 { " + " } else { "" };
        sum.push_str(&format!("{plus}R_{letter}"));
        numbers.push_str(&format!("{plus}{}", show_ohm(run.resistance_of(part))));
        let joints = format!("{} · {}", short(part.joints), show_ohm(run.joint));
        let (formula, put_in) = match part.size.and_then(|size| run.per_metre(size)) {
            Some(each) => (
                format!("R_{letter} = r · L + n · R₁"),
                format!(
                    "R_{letter} = {} · {} + {joints}",
                    show(Quantity::ResistancePerLength, each.0, 4),
                    show(Quantity::Length, part.length.0, 3)
                ),
            ),
            None => (
                format!("R_{letter} = R₀ + n · R₁"),
                format!("R_{letter} = {} + {joints}", show_ohm(part.fixed)),
            ),
        };
        let title = match part.size {
            Some(size) => format!("{}, {}", part.name, size_words(size)),
            None => part.name.clone(),
        };
        report.step(&title, &formula, put_in, show_ohm(run.resistance_of(part)));
    }
    report.step("Resistance of the loop", &sum, numbers, show_ohm(loop_resistance));
}

/// What each part takes of the drop.
pub(super) fn shares(run: &Run, per_metre: Option<OhmPerMetre>, drop: Volt) -> Table {
    let alone = |length| per_metre.map_or(Ohm(0.0), |each| conductor::run_resistance(each, length));
    let parts: Vec<(&str, Ohm)> = if run.listed() {
        run.parts.iter().map(|part| (part.name.as_str(), run.resistance_of(part))).collect()
    } else {
        vec![("Cable out", alone(run.out)), ("Cable back", alone(run.back)), ("Joints", run.joints())]
    };
    let row = |(name, resistance): (&str, Ohm)| {
        let part = resistance * run.current;
        let share = if drop.0 > 0.0 { 100.0 * (part / drop) } else { 0.0 };
        vec![
            name.to_owned(),
            show_ohm(resistance),
            show(Quantity::Voltage, part.0, 3),
            show(Quantity::Power, (part * run.current).0, 3),
            show(Quantity::Percent, share, 3),
        ]
    };
    Table {
        title: "Each part's share".to_owned(),
        heads: vec!["Part", "Resistance", "Drop", "Heat", "Share"],
        rows: parts.into_iter().map(row).collect(),
    }
}

fn class_words(class: StrandClass) -> &'static str {
    match class {
        StrandClass::Flexible => "class 5",
        StrandClass::Stranded => "class 2",
    }
}
