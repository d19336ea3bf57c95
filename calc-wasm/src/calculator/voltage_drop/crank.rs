//! How warm the conductor gets during one crank, and the drop at its end.

use crate::calculator::show_a;
use crate::calculator::voltage_drop::run::Run;
use crate::calculator::voltage_drop::size::{area_of, size_words};
use crate::number::{figures, short};
use crate::physics::adiabatic;
use crate::physics::conductor::{Size, temperature_ratio};
use crate::quantity::{Celsius, Ohm, Volt};
use crate::report::{Level, Report, Source, show};
use crate::unit::Quantity;

const THIRTY_SECONDS: Source = Source {
    fact: "One crank lasts 30 s at most, and 2 min of rest follow",
    from: "US Army TM 10-3930-671-24 and TM 5-3820-256-24-4",
};

/// A conductor that warms, and whose it is.
struct Warmed {
    size: Size,
    name: Option<String>,
    end: Celsius,
}

/// Adds the warming, the drop at the end and what to think of both.
pub(super) fn warm(report: &mut Report, run: &Run) {
    if run.length().0 > 0.0 {
        match hottest(run) {
            Some(warmed) => tell(report, run, &warmed),
            None => report.finding(
                Level::Warning,
                format!(
                    "Held for {}, this current would melt the conductor. Only a short circuit does that: fuse the test leads or stay well away.",
                    show(Quantity::Time, run.crank.0, 3)
                ),
            ),
        }
        report.sources.push(adiabatic::SOURCE);
    }
    if run.crank.0 > 30.0 {
        report.finding(
            Level::Warning,
            "No crank may last longer than 30 s, and 2 min of rest follow; the maker's data come first, many allow less.",
        );
    }
    report.sources.push(THIRTY_SECONDS);
}

/// The conductor that ends hottest; nothing when one of them melts.
fn hottest(run: &Run) -> Option<Warmed> {
    let listed = run.parts.iter().filter(|part| part.length.0 > 0.0);
    let listed = listed.filter_map(|part| Some((part.size?, Some(part.name.clone()))));
    let alone = (!run.listed()).then_some((run.size, None));
    let mut hottest: Option<Warmed> = None;
    for (size, name) in listed.chain(alone) {
        let end = end_of(run, size)?;
        if hottest.as_ref().is_none_or(|other| end > other.end) {
            hottest = Some(Warmed { size, name, end });
        }
    }
    hottest
}

fn end_of(run: &Run, size: Size) -> Option<Celsius> {
    adiabatic::end_temperature(run.metal, area_of(size), run.current, run.crank, run.temperature)
}

/// The drop when every cable is as warm as the crank makes it; joints and switches keep their resistance.
fn drop_at_end(run: &Run) -> Option<Volt> {
    let warm = |size: Size, length| {
        let ratio = temperature_ratio(run.metal, run.temperature, end_of(run, size)?);
        Some((run.per_metre(size)? * length) * ratio)
    };
    let mut resistance = run.joints().0 + run.switches().0;
    if run.listed() {
        for part in &run.parts {
            if let Some(size) = part.size {
                resistance += warm(size, part.length.0)?.0;
            }
        }
    } else {
        resistance += warm(run.size, run.length().0)?.0;
    }
    Some(Ohm(resistance) * run.current)
}

fn tell(report: &mut Report, run: &Run, warmed: &Warmed) {
    let rise = warmed.end.0 - run.temperature.0;
    report.number("temperature_rise_k", rise);
    report.number("end_temperature_c", warmed.end.0);
    let beta = short(adiabatic::beta(run.metal).0);
    report.step(
        "Conductor at the end of the crank",
        "T₂ = (T + β) · e^(I² · t / (K² · S²)) − β",
        format!(
            "T₂ = ({} + {beta}) · e^(({})² · {} / (({} A·√s/mm²)² · ({} mm²)²)) − {beta}",
            short(run.temperature.0),
            show_a(run.current),
            show(Quantity::Time, run.crank.0, 3),
            short(adiabatic::constant_as05_per_mm2(run.metal)),
            figures(area_of(warmed.size).0, 4)
        ),
        show(Quantity::Temperature, warmed.end.0, 4),
    );
    report.step(
        "Warming in one crank",
        "T_r = T₂ − T",
        format!(
            "T_r = {} − {}",
            show(Quantity::Temperature, warmed.end.0, 4),
            show(Quantity::Temperature, run.temperature.0, 4)
        ),
        show(Quantity::TemperatureRise, rise, 3),
    );
    if let Some(drop) = drop_at_end(run) {
        report.number("drop_end_v", drop.0);
        report.step(
            "Drop at the end of the crank",
            "U₂ = I · (R_c · (T₀ + T₂) / (T₀ + T) + R_j)",
            format!(
                "T₀ = {}; each cable by its own T₂, joints and switches as before",
                short(run.metal.zero_intercept().0)
            ),
            show(Quantity::Voltage, drop.0, 4),
        );
    }
    let whose = match &warmed.name {
        Some(name) => format!("“{name}”, {}, warms most: ", size_words(warmed.size)),
        None => String::new(),
    };
    report.finding(
        Level::Note,
        format!(
            "{whose}{} in {} at most, if no heat leaves the conductor, the current stays the same and all of it starts at one temperature. A joint warms more than its cable.",
            show(Quantity::TemperatureRise, rise, 2),
            show(Quantity::Time, run.crank.0, 3)
        ),
    );
    if warmed.end.0 > 60.0 {
        report.finding(
            Level::Warning,
            "A conductor above 60 °C burns skin and its insulation softens at 70 °C to 105 °C (common practice, no source). Shorten the crank, choose a thicker conductor, and touch nothing before it has cooled.",
        );
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
    fn a_longer_crank_and_more_current_warm_more_and_drop_more_at_the_end() {
        for (field, values) in [
            ("crank_time_s", ["0.5", "5", "10", "30", "60"]),
            ("current_a", ["100", "150", "200", "400", "600"]),
        ] {
            for name in ["temperature_rise_k", "end_temperature_c", "drop_end_v"] {
                let given = values.map(|value| worked(&[(field, value)]).number_of(name).expect("given"));
                assert!(given.is_sorted_by(|less, more| less < more), "{field} {name}: {given:?}");
            }
        }
    }

    #[test]
    fn without_time_nothing_warms_and_the_drop_stays() {
        let report = worked(&[("crank_time_s", "0")]);
        assert_eq!(report.number_of("temperature_rise_k"), Some(0.0));
        let drop = |name| report.number_of(name).expect("given");
        assert!((drop("drop_end_v") / drop("drop_v") - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_thinnest_part_is_the_hottest_and_is_named() {
        let report = worked(&[("parts", "Thick; 70 mm2; 2 m\nThin; 25 mm2; 1 m\nContact; 0.2 mΩ")]);
        let alone = worked(&[("conductor_size", "25 mm2")]);
        assert_eq!(report.number_of("end_temperature_c"), alone.number_of("end_temperature_c"));
        assert!(report.findings.iter().any(|finding| finding.text.contains("“Thin”")));
    }

    #[test]
    fn what_melts_has_no_temperature_but_a_warning() {
        let report = worked(&[("conductor_size", "AWG 14"), ("current_a", "5000")]);
        assert_eq!(report.number_of("end_temperature_c"), None);
        assert!(report.findings.iter().any(|finding| finding.text.contains("melt")));
    }
}
