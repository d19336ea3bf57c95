//! Measured drops against calculated ones: which part has what it should not have.

use crate::calculator::voltage_drop::measured::{both, drop_as_measured, spread_of};
use crate::calculator::voltage_drop::parts::Part;
use crate::calculator::voltage_drop::run::Run;
use crate::measurement::propagation::Uncertainty;
use crate::measurement::rounding::rounded;
use crate::number::to_places;
use crate::quantity::{Ampere, Volt};
use crate::report::{Level, Report, Source, Table, Value, show};
use crate::unit::Quantity;

/// What a meter in a workshop hardly shows; less is no excess.
const SHOWN: Volt = Volt(0.02);
const SHOWN_SOURCE: Source =
    Source { fact: "An excess of 0.02 V or less is none", from: "common practice, no source" };

/// Compares where something was measured.
pub(super) fn compare(report: &mut Report, run: &Run) {
    report.tables.push(table(run));
    let excesses = || run.parts.iter().filter_map(|part| Some((part, excess_of(run, part)?)));
    let Some((worst, excess)) = excesses().max_by(|(_, one), (_, two)| one.0.total_cmp(&two.0)) else {
        return;
    };
    let milliohms = excess / run.current;
    let reading = spread_of(std::iter::once(worst));
    let known = |name: &str| report.inputs.uncertainty(name);
    let of_volts = both(known("excess_v"), reading);
    let of_ohms = both(known("excess_ohm"), reading.map(|reading| over(reading, run.current)));
    report.answer("excess_v", Value::Number(excess.0, of_volts));
    report.answer("excess_ohm", Value::Number(milliohms.0, of_ohms));
    report.step(
        "Greatest excess",
        "U_x = U_m − I · R; R_x = U_x / I",
        format!(
            "“{}”: U_x = {} − {}",
            worst.name,
            show(Quantity::Voltage, worst.measured.unwrap_or(Volt(0.0)).0, 4),
            show(Quantity::Voltage, (run.resistance_of(worst) * run.current).0, 4)
        ),
        format!("{}, {}", milli(excess.0, "mV", 0), milli(milliohms.0, "mΩ", 3)),
    );
    if excess.0 > SHOWN.0 {
        let amount = show(Quantity::Resistance, milliohms.0, 2);
        report.answer("excess_part", Value::Text(format!("{}, {amount} too much", worst.name)));
        let mut beyond: Vec<(&Part, Volt)> = excesses().filter(|(_, excess)| excess.0 > SHOWN.0).collect();
        beyond.sort_by(|(_, one), (_, two)| two.0.total_cmp(&one.0));
        report.finding(Level::Next, advice(run, &beyond));
    } else {
        report.answer("excess_part", Value::Text("none above 0.02 V".to_owned()));
    }
    let short: Vec<&str> =
        excesses().filter(|(_, excess)| excess.0 < -SHOWN.0).map(|(part, _)| part.name.as_str()).collect();
    if !short.is_empty() {
        report.finding(
            Level::Note,
            format!(
                "Less than calculated was measured across {}: the current may have been lower at that moment, a metric size may be better than its limit, or the probes left out a joint.",
                short.join(", ")
            ),
        );
    }
    if let Some(whole) = drop_as_measured(run) {
        let listed = spread_of(run.parts.iter());
        let uncertainty = both(report.inputs.uncertainty("measured_drop_v"), listed);
        report.answer("measured_drop_v", Value::Number(whole.0, uncertainty));
        if let (Some(_), Some(uncertainty)) = (listed, uncertainty) {
            let (drop, part) = rounded(whole.0, uncertainty.expanded);
            report.finding(
                Level::Note,
                format!("With the ± of the list, read with one meter, the circuit as measured drops {drop} ± {part} V; the verdict counts with it."),
            );
        }
        if whole.0 > run.system.0 {
            report.finding(
                Level::Warning,
                "The measured drops come to more than the source's voltage: at least one reading is wrong, or takes in the motor.",
            );
        }
    }
    report.sources.push(SHOWN_SOURCE);
}

/// The part that is furthest beyond its calculated drop, if one is by more than a meter hardly shows.
pub(super) fn worst(run: &Run) -> Option<usize> {
    let excess = |at: &usize| excess_of(run, &run.parts[*at]).map_or(f64::NEG_INFINITY, |excess| excess.0);
    (0..run.parts.len())
        .max_by(|one, two| excess(one).total_cmp(&excess(two)))
        .filter(|at| excess(at) > SHOWN.0)
}

/// Which parts to look at, the worst first, and what helps; a contact cannot be cleaned as a cable's lug can.
fn advice(run: &Run, beyond: &[(&Part, Volt)]) -> String {
    let amount = |excess: Volt| show(Quantity::Resistance, (excess / run.current).0, 2);
    let mut text = match beyond {
        [(part, excess)] => {
            format!("“{}” has {} more than calculated: look there first.", part.name, amount(*excess))
        }
        _ => {
            let listed: Vec<String> =
                beyond.iter().map(|(part, excess)| format!("“{}” {}", part.name, amount(*excess))).collect();
            format!("More than calculated have {}: look there in this order.", listed.join(", "))
        }
    };
    text.push_str(" Before you touch it, disconnect the battery's negative cable.");
    if beyond.iter().any(|(part, _)| part.size.is_some()) {
        text.push_str(" Of a cable, clean and tighten the lugs and clamps.");
    }
    if beyond.iter().any(|(part, _)| part.size.is_none()) {
        text.push_str(" Of a switch or contact, renew the contacts or the whole switch.");
    }
    text.push_str(
        " Reconnect the negative cable last. Then measure again across each joint while somebody cranks: fuel and ignition disabled, brake on, neutral or park, hands and leads clear of all that turns.",
    );
    text
}

/// The uncertainty of a drop, as one of a resistance.
fn over(drop: Uncertainty, current: Ampere) -> Uncertainty {
    drop.scaled(1.0 / current.0)
}

/// `0.350 V`, or `0.350 ± 0.023 V` where the list says how far the reading may be off.
fn measured_words(part: &Part, measured: Volt) -> String {
    match spread_of(std::iter::once(part)) {
        Some(uncertainty) => {
            let (number, off) = rounded(measured.0, uncertainty.expanded);
            format!("{number} ± {off} V")
        }
        None => show(Quantity::Voltage, measured.0, 3),
    }
}

fn excess_of(run: &Run, part: &Part) -> Option<Volt> {
    part.measured.map(|measured| measured - run.resistance_of(part) * run.current)
}

fn table(run: &Run) -> Table {
    let row = |part: &Part| {
        let resistance = run.resistance_of(part);
        let excess = excess_of(run, part);
        let cell = |text: Option<String>| text.unwrap_or_else(|| "–".to_owned());
        vec![
            part.name.clone(),
            show(Quantity::Resistance, resistance.0, 3),
            show(Quantity::Voltage, (resistance * run.current).0, 3),
            cell(part.measured.map(|measured| measured_words(part, measured))),
            cell(excess.map(|excess| milli(excess.0, "mV", 0))),
            cell(excess.map(|excess| milli((excess / run.current).0, "mΩ", 2))),
        ]
    };
    Table {
        title: "Calculated and measured".to_owned(),
        heads: vec!["Part", "Resistance", "Calculated drop", "Measured drop", "Excess", "Excess in mΩ"],
        rows: run.parts.iter().map(row).collect(),
    }
}

/// Thousandths with so many places, and no sign before nothing.
fn milli(value: f64, unit: &str, places: usize) -> String {
    let text = to_places(1000.0 * value, places);
    let nothing = text.bytes().all(|byte| !byte.is_ascii_digit() || byte == b'0');
    let text = if nothing { text.trim_start_matches('−') } else { &text };
    format!("{text} {unit}")
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;
    use crate::report::State;

    const CIRCUIT: &str = "Battery to solenoid; 50 mm²; 1.8 m; 2; MEASURED\n\
                           Contact; 0.2 mΩ; ; ; 40 mV\n\
                           Solenoid to motor; 50 mm²; 0.2 m; 2 joints; 0.06 V\n\
                           Motor to battery; 50 mm²; 1.2 m; 2 joints; 0.14 V";

    fn circuit(measured: &str) -> Report {
        let parts = CIRCUIT.replace("MEASURED", measured);
        CALCULATOR.work(&[("parts", &parts), ("current_a", "200")]).expect("worked")
    }

    fn text(report: &Report) -> String {
        match report.value("excess_part") {
            Some(Value::Text(text)) => text.clone(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_part_with_the_greatest_excess_is_named_with_its_milliohms() {
        // By hand: 1.8 m · 0.386 mΩ/m + 2 · 0.1 mΩ = 0.8948 mΩ; at 200 A 0.17896 V. 0.479 V is 0.30004 V more: 1.5 mΩ.
        let report = circuit("0.479 V");
        assert_eq!(text(&report), "Battery to solenoid, 1.5 mΩ too much");
        assert!((report.number_of("excess_v").expect("given") - 0.300_04).abs() < 1e-9);
        assert!((report.number_of("excess_ohm").expect("given") - 0.001_500_2).abs() < 1e-9);
        assert!((report.number_of("measured_drop_v").expect("given") - 0.719).abs() < 1e-12);
        let next = report.findings.iter().find(|finding| finding.level == Level::Next).expect("what to do");
        assert!(next.text.contains("“Battery to solenoid”") && next.text.contains("clean and tighten"));
        let table =
            &report.tables.iter().find(|table| table.title == "Calculated and measured").expect("there");
        assert_eq!(table.rows[0][4..], ["300 mV", "1.50 mΩ"]);
        assert_eq!(table.rows[1][4..], ["0 mV", "0.00 mΩ"]);
    }

    #[test]
    fn every_part_beyond_is_listed_and_a_contact_is_not_cleaned() {
        let next = |parts: &str| {
            let report = CALCULATOR.work(&[("parts", parts), ("current_a", "200")]).expect("worked");
            let next = report.findings.into_iter().find(|finding| finding.level == Level::Next);
            next.expect("what to do").text
        };
        let both = next("A; 50 mm²; 1 m; ; 0.2 V\nB; 50 mm²; 1 m; ; 0.08 V\nC; 0.2 mΩ; ; ; 0.34 V");
        assert!(both.contains("“C” 1.5 mΩ, “A” 0.61 mΩ:") && !both.contains("“B”"), "{both}");
        assert!(both.contains("clean") && both.contains("renew") && both.contains("Reconnect"), "{both}");
        let contact = next("A; 50 mm²; 1 m; ; 0.08 V\nC; 0.2 mΩ; ; ; 0.34 V");
        assert!(!contact.contains("clean") && contact.contains("renew the contacts"), "{contact}");
    }

    #[test]
    fn an_excess_is_as_uncertain_as_its_reading() {
        let report = circuit("0.479 ± 0.01 V");
        let off = |name: &str| match report.value(name) {
            Some(Value::Number(_, uncertainty)) => uncertainty.expect("given").expanded,
            other => panic!("{other:?}"),
        };
        // By hand: one band reaches no further than 0.01 V; at 200 A that is 0.05 mΩ.
        assert!((off("excess_v") - 0.01).abs() < 1e-9);
        assert!((off("excess_ohm") - 0.000_05).abs() < 1e-12);
        let table = report.tables.iter().find(|table| table.title == "Calculated and measured");
        assert_eq!(table.expect("there").rows[0][3], "0.479 ± 0.010 V");
    }

    #[test]
    fn what_the_meter_hardly_shows_is_no_excess() {
        for (measured, excess) in [("0.198 V", false), ("0.200 V", true)] {
            let report = circuit(measured);
            assert_eq!(text(&report) != "none above 0.02 V", excess, "{measured}");
        }
    }

    #[test]
    fn a_part_that_was_not_measured_is_not_judged() {
        let report = circuit("");
        // By hand: 0.17896 V calculated for the first, 0.04 V + 0.06 V + 0.14 V measured.
        assert!((report.number_of("measured_drop_v").expect("given") - 0.418_96).abs() < 1e-12);
        assert_eq!(text(&report), "none above 0.02 V");
        let none = CALCULATOR.work(&[("parts", "Cable; 35 mm²; 2 m")]).expect("worked");
        assert_eq!(none.value("excess_part"), None);
        assert_eq!(none.value("measured_drop_v"), None);
    }

    #[test]
    fn what_was_measured_decides_the_verdict() {
        for (measured, state) in [("0.2 V", State::Within), ("0.479 V", State::Outside)] {
            assert_eq!(circuit(measured).value("verdict"), Some(&Value::State(state)));
        }
    }

    #[test]
    fn more_measured_is_more_excess() {
        let excess = |measured| circuit(measured).number_of("excess_v").expect("given");
        let rising = ["0.25 V", "0.3 V", "0.5 V", "1 V", "5 V"].map(excess);
        assert!(rising.is_sorted_by(|less, more| less < more), "{rising:?}");
    }
}
