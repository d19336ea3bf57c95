//! What rested volts, specific gravity and temperature say about a lead-acid source.

use crate::calculator::show_v;
use crate::input::Inputs;
use crate::number::{figures, short};
use crate::physics::battery::{
    Battery, charge_percent, charge_percent_by_gravity, charge_table_ends, cranking_power_percent,
    gravity_at_80f,
};
use crate::quantity::{Celsius, Volt};
use crate::report::{Level, Report, Source, show};
use crate::unit::Quantity;

/// Rested volts of a block below which a cell is dead and above which it is still charging: the table says nothing.
const TABLE_SPEAKS: (Volt, Volt) = (Volt(10.5), Volt(13.2));

/// Adds what was read of charge and temperature.
pub(super) fn add(report: &mut Report, inputs: &Inputs, source: &Battery) {
    let temperature = inputs.optional("battery_temperature_c").map(|measured| Celsius(measured.value));
    by_rested_volts(report, inputs, source);
    by_gravity(report, inputs, temperature);
    if let Some(temperature) = temperature {
        cold(report, temperature);
    }
    let both = [report.number_of("charge_percent"), report.number_of("gravity_charge_percent")];
    if let [Some(volts), Some(gravity)] = both
        && (volts - gravity).abs() > 25.0
    {
        report.finding(
            Level::Next,
            "Rested volts and specific gravity differ by more than a quarter of the charge: the battery has not rested, the acid is in layers, or it was not a plain lead-acid battery. Read every cell; cells that differ by more than 0.025 make the battery unserviceable (US Army TM 9-6140-200-14).",
        );
    }
}

fn by_rested_volts(report: &mut Report, inputs: &Inputs, source: &Battery) {
    let Some(rested) = inputs.optional("rested_voltage_v").map(|measured| Volt(measured.value)) else {
        return;
    };
    let blocks = inputs.number("blocks_in_series");
    let block = Volt(rested.0 / blocks);
    report.step(
        "Rested volts of one 12 V block",
        "U_12 = U_r / b",
        format!("U_12 = {} / {}", show_v(rested), short(blocks)),
        show_v(block),
    );
    let (empty, full) = charge_table_ends();
    if block < TABLE_SPEAKS.0 || block > TABLE_SPEAKS.1 {
        let why = if block < TABLE_SPEAKS.0 {
            "a dead cell, another number of blocks, or no lead-acid battery"
        } else {
            "it has not rested since it was charged, the charger is on, or it is no lead-acid battery"
        };
        report.finding(
            Level::Warning,
            format!("No charge is given: {} for a 12 V block is beyond the table ({why}).", show_v(block)),
        );
        return;
    }
    let charge = charge_percent(block);
    report.step(
        "Charge by rested volts",
        "",
        format!("{} lies in the table from {} to {}", show_v(block), show_v(empty), show_v(full)),
        format!("{} %", figures(charge, 2)),
    );
    report.number("charge_percent", charge);
    if block < empty {
        report.finding(
            Level::Warning,
            "Below the table: flat, and damaged if it stays so. Charge it slowly and test again before any motor is judged with it.",
        );
    } else if block > full {
        report.finding(
            Level::Note,
            "Above the table: full, or a surface charge still stands. Put a short load on, let it rest and read again.",
        );
    } else if charge < 75.0 {
        report.finding(
            Level::Next,
            "Less than three quarters: charge it before a starting motor is judged with it (common practice, no source).",
        );
    }
    report.finding(
        Level::Note,
        "The table is for 12 V lead-acid blocks that have rested: some hours with nothing connected (common practice, no source), at room temperature. Sealed batteries with the acid in mats stand a little higher; lithium batteries follow no such line.",
    );
    if (source.open_circuit - rested).0.abs() > 0.3 * blocks {
        report.finding(
            Level::Next,
            format!(
                "The two loads point to {} unloaded, but {} was read at rest: the chemistry is slower than the test, or the readings were not taken on the posts.",
                show_v(source.open_circuit),
                show_v(rested)
            ),
        );
    }
    report.sources.push(Source {
        fact: "Charge by rested volts of a 12 V lead-acid battery: 11.7 V empty, 12.0 V a quarter, 12.2 V half, 12.4 V three quarters, 12.6 V full",
        from: "US Army TM 5-3805-262-20; straight lines between the rows",
    });
}

fn by_gravity(report: &mut Report, inputs: &Inputs, temperature: Option<Celsius>) {
    let Some(read) = inputs.optional("specific_gravity").map(|measured| measured.value) else {
        return;
    };
    let gravity = match temperature {
        Some(temperature) => {
            let gravity = gravity_at_80f(read, temperature);
            report.step(
                "Specific gravity at 26.7 °C",
                "g_c = g + 0.00072 · (T − 26.7)",
                format!("g_c = {} + 0.00072 · ({} − 26.7)", figures(read, 4), short(temperature.0)),
                figures(gravity, 4),
            );
            report.sources.push(Source {
                fact: "Hydrometer: 0.004 for every 10 °F (0.00072 for every kelvin) from 80 °F",
                from: "common practice, no source",
            });
            gravity
        }
        None => read,
    };
    let charge = charge_percent_by_gravity(gravity);
    report.step(
        "Charge by specific gravity",
        "",
        format!("{} lies in the table from 1.120 to 1.265", figures(gravity, 4)),
        format!("{} %", figures(charge, 2)),
    );
    report.number("gravity_charge_percent", charge);
    report.finding(
        Level::Warning,
        "The hydrometer brings acid out of the cell: face shield, gloves and apron on, water at hand, and no drop on skin or cloth (29 CFR 1926.441).",
    );
    report.sources.push(Source {
        fact: "Charge by specific gravity at 80 °F (26.7 °C): 1.120 empty, 1.155, 1.190, 1.225, 1.265 full",
        from: "US Army TM 5-4210-230-14&P-1; straight lines between the rows",
    });
}

fn cold(report: &mut Report, temperature: Celsius) {
    let share = cranking_power_percent(temperature);
    report.number("cranking_power_percent", share);
    report.step(
        "Cranking power kept at this temperature",
        "",
        format!("table at {}", show(Quantity::Temperature, temperature.0, 3)),
        format!("{} %", figures(share, 2)),
    );
    if share < 90.0 {
        report.finding(
            Level::Note,
            "A cold battery gives less and a cold engine asks for more. The two loads above hold at the temperature at which they were read; do not take them to another season.",
        );
    }
    report.sources.push(Source {
        fact: "Cranking power of a charged lead-acid battery: 100 % at 80 °F (27 °C), 65 % at 32 °F (0 °C), 40 % at 0 °F (−18 °C), 20 % at −20 °F (−29 °C)",
        from: "US Army TM 5-4210-230-14&P-1; straight lines between the rows",
    });
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Report {
        CALCULATOR.work(settings).expect("worked")
    }

    fn says(report: &Report, words: &str) -> bool {
        report.findings.iter().any(|finding| finding.text.contains(words))
    }

    #[test]
    fn a_source_of_two_blocks_is_judged_by_the_block() {
        let report = work(&[("rested_voltage_v", "24.6"), ("blocks_in_series", "2")]);
        let charge = report.number_of("charge_percent").expect("given");
        assert!((charge - 62.5).abs() < 1e-9, "{charge}");
    }

    #[test]
    fn beyond_the_table_no_charge_is_made_up() {
        for (volts, words) in [("10.2", "a dead cell"), ("13.8", "charger is on"), ("24.8", "charger is on")]
        {
            let report = work(&[("rested_voltage_v", volts)]);
            assert_eq!(report.number_of("charge_percent"), None, "{volts}");
            assert!(says(&report, words), "{volts}");
        }
        for (volts, charge, words) in [("11.2", 0.0, "Below the table"), ("12.9", 100.0, "Above the table")] {
            let report = work(&[("rested_voltage_v", volts)]);
            assert_eq!(report.number_of("charge_percent"), Some(charge));
            assert!(says(&report, words), "{volts}");
        }
    }

    #[test]
    fn cold_acid_reads_too_high() {
        let warm = work(&[("specific_gravity", "1.225")]);
        let cold = work(&[("specific_gravity", "1.225"), ("battery_temperature_c", "0")]);
        let charge = |report: &Report| report.number_of("gravity_charge_percent").expect("given");
        assert!(charge(&cold) < charge(&warm));
        assert_eq!(cold.number_of("cranking_power_percent"), Some(65.0));
    }

    #[test]
    fn volts_and_gravity_that_disagree_are_not_passed_over() {
        let report = work(&[("rested_voltage_v", "12.6"), ("specific_gravity", "1.155")]);
        assert!(says(&report, "differ by more than a quarter"));
        let report = work(&[("rested_voltage_v", "12.6"), ("specific_gravity", "1.26")]);
        assert!(!says(&report, "differ by more than a quarter"));
    }
}
