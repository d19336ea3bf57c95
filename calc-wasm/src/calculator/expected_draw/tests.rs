//! What the calculator says: settled state, run, sheet and readings.

use super::CALCULATOR;
use crate::refusal::Refusal;
use crate::report::{Level, Report, show};
use crate::unit::Quantity;

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

fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    SHEET.iter().chain(more).copied().collect()
}

fn number(report: &Report, name: &str) -> f64 {
    report.number_of(name).unwrap_or_else(|| panic!("{name} is given"))
}

fn says(report: &Report, words: &str) -> bool {
    report.findings.iter().any(|finding| finding.text.contains(words))
}

const FIELDS: [&str; 3] = ["series", "permanent-magnet", "shunt"];

#[test]
fn every_kind_of_field_gives_the_sheets_point_back() {
    for field in FIELDS {
        let report = work(&with(&[
            ("field", field),
            ("source_voltage_v", "11"),
            ("source_resistance_ohm", "0"),
            ("lead_resistance_ohm", "0"),
            ("windage_share_percent", "30"),
        ]))
        .expect("worked");
        for (name, value) in [("settled_current_a", 62.0), ("settled_speed_rpm", 3200.0)] {
            let given = number(&report, name);
            assert!((given - value).abs() < 1e-9 * value, "{field} {name}: {given}");
        }
    }
}

#[test]
fn a_meter_shows_less_than_the_peak_and_the_peak_is_less_than_the_held_draw() {
    for field in FIELDS {
        let report = work(&with(&[("field", field)])).expect("worked");
        let [locked, peak, meter, settled] =
            ["locked_current_a", "first_peak_a", "meter_peak_a", "settled_current_a"]
                .map(|name| number(&report, name));
        // Shunt coils draw beside the armature, and the held draw is that of the armature.
        let most = if field == "shunt" { locked + 6.3 } else { locked };
        assert!(most > peak && peak > meter && meter > settled, "{field}: {most} {peak} {meter} {settled}");
        assert_eq!(report.charts.len(), 4);
        assert!(report.sense.contains("½·J·ω²"));
    }
}

#[test]
fn the_energy_table_makes_the_whole() {
    for field in FIELDS {
        let report = work(&with(&[("field", field), ("contact_resistance_ohm", "0.5 mΩ")])).expect("worked");
        let table = report.tables.iter().find(|table| table.title.starts_with("Where")).expect("a table");
        let share = |row: &Vec<String>| row[2].trim_end_matches(" %").parse::<f64>().expect("a number");
        let (whole, parts) = table.rows.split_last().expect("rows");
        let sum: f64 = parts.iter().map(share).sum();
        // Each share is rounded to a tenth.
        assert!((sum - 100.0).abs() < 0.5 && share(whole) == 100.0, "{field}: {sum}");
        assert!(parts.iter().any(|row| row[0].contains("main contact")));
    }
}

#[test]
fn a_main_contact_is_a_resistance_in_series() {
    let draw = |leads: &str, contact: &str| {
        let settings = [("lead_resistance_ohm", leads), ("contact_resistance_ohm", contact)];
        number(&work(&settings).expect("worked"), "locked_current_a")
    };
    assert!((draw("1.5 mΩ", "1 mΩ") / draw("2.5 mΩ", "0 mΩ") - 1.0).abs() < 1e-12);
}

#[test]
fn without_a_held_torque_the_assumption_is_named_and_with_one_it_is_not() {
    let assumed = work(&with(&[])).expect("worked");
    assert!(says(&assumed, "common practice, no source") && says(&assumed, "torque stays unknown"));
    let held = [
        ("sheet_locked_voltage_v", "8"),
        ("sheet_locked_current_a", "560"),
        ("sheet_locked_torque_nm", "30"),
    ];
    let known = work(&with(&held)).expect("worked");
    assert!(!says(&known, "torque stays unknown"));
    let table = known.tables.iter().find(|table| table.title.starts_with("The sheet")).expect("a table");
    assert_eq!(table.rows.len(), 4);
    assert_eq!(table.rows[3][3], "0.0 %");
}

#[test]
fn lines_of_a_sheet_that_contradict_each_other_are_refused_with_the_reason() {
    for (amps, torque, field, words) in [
        ("560", "400", "sheet_locked_torque_nm", "more power than it takes"),
        ("560", "5", "sheet_locked_torque_nm", "less than the flux"),
        ("2000", "", "sheet_locked_current_a", "more power in the winding"),
        ("20", "", "sheet_locked_current_a", "draws more for each volt"),
        ("60", "", "sheet_locked_current_a", "more than 50 % apart"),
    ] {
        let held = [
            ("sheet_locked_voltage_v", "8"),
            ("sheet_locked_current_a", amps),
            ("sheet_locked_torque_nm", torque),
        ];
        let refusal = work(&with(&held)).expect_err("impossible");
        assert_eq!(refusal.problems[0].field.name, field);
        assert!(refusal.to_string().contains(words), "{refusal}");
    }
}

#[test]
fn a_doubtful_sheet_is_worked_with_a_warning() {
    let held = [("sheet_locked_voltage_v", "8"), ("sheet_locked_current_a", "450")];
    let report = work(&with(&held)).expect("worked");
    assert!(report.findings.iter().any(|f| f.level == Level::Warning && f.text.contains("doubtful")));
}

#[test]
fn half_a_held_line_is_refused_and_all_problems_come_at_once() {
    let settings = [
        ("sheet_voltage_v", "11"),
        ("sheet_locked_torque_nm", "20"),
        ("brush_drop_v", "5"),
        ("source_voltage_v", "4"),
    ];
    let refusal = work(&settings).expect_err("incomplete");
    let names: Vec<_> = refusal.problems.iter().map(|problem| problem.field.name).collect();
    let all = [
        "sheet_current_a",
        "sheet_speed_rpm",
        "sheet_locked_voltage_v",
        "sheet_locked_current_a",
        "brush_drop_v",
    ];
    assert_eq!(names, all);
}

#[test]
fn readings_are_laid_over_the_curve_and_compared() {
    let report = work(&with(&[("read_settled_a", "78"), ("read_speed_rpm", "3000")])).expect("worked");
    let above = number(&report, "read_settled_above_a");
    assert!((above - (78.0 - number(&report, "settled_current_a"))).abs() < 0.2, "{above}");
    assert!(says(&report, "Your settled draw of 78.0 A") && says(&report, "Your settled speed of 3000 rpm"));
    let crosses: Vec<usize> = report
        .charts
        .iter()
        .map(|chart| chart.series.iter().filter(|series| series.name == "read at the bench").count())
        .collect();
    assert_eq!(crosses, [1, 0, 1, 0]);
    assert_eq!(report.number_of("read_peak_above_a"), None);
}

#[test]
fn a_run_that_ends_too_early_says_so() {
    let report = work(&with(&[("energized_s", "0.02"), ("rotor_inertia_kg_m2", "0.01")])).expect("worked");
    assert_eq!(report.number_of("settle_time_s"), None);
    assert!(says(&report, "has not settled"));
}

#[test]
fn values_of_no_motor_are_worked_but_for_the_run() {
    // Without drag by the air a feather of a rotor swings against a large inductance for the whole minute.
    let report = work(&with(&[
        ("field", "permanent-magnet"),
        ("winding_inductance_h", "0.01"),
        ("rotor_inertia_kg_m2", "0.000001"),
        ("windage_share_percent", "0"),
        ("energized_s", "60"),
        ("sheet_speed_rpm", "7200"),
    ]))
    .expect("worked");
    assert!(number(&report, "settled_current_a") > 0.0);
    assert!(says(&report, "is not worked: it would take too many steps"));
    assert_eq!(report.number_of("first_peak_a"), None);
}

#[test]
fn an_emptied_heat_capacity_leaves_the_heat_out() {
    let report = work(&with(&[("winding_heat_capacity_j_per_k", "")])).expect("worked");
    assert_eq!(report.number_of("winding_rise_k"), None);
    assert!(number(&report, "winding_heat_j") > 0.0);
    let hot = work(&with(&[("working_temperature_c", "130")])).expect("worked");
    assert!(says(&hot, "let it cool") && hot.number_of("longest_run_s").is_none());
}

#[test]
fn what_the_meter_may_be_off_is_named_only_where_it_stands() {
    let words = "What the meter may be off stands beside";
    let plain = work(&with(&[("read_settled_a", "70")])).expect("worked");
    assert!(says(&plain, "Your settled draw") && !says(&plain, words));
    let known = work(&with(&[("read_settled_a", "70 ± 2")])).expect("worked");
    assert!(says(&known, words));
}

#[test]
fn the_time_to_settle_has_one_set_of_figures() {
    let report = work(&with(&[])).expect("worked");
    let time = show(Quantity::Time, number(&report, "settle_time_s"), 3);
    assert!(report.sense.contains(&format!("the run says {time}. ")), "{time}: {}", report.sense);
    assert!(report.sense.contains("The turning rotor holds"), "{}", report.sense);
}

#[test]
fn a_hot_motor_is_slower_and_peaks_lower() {
    let sheet = [("sheet_voltage_v", "11"), ("sheet_current_a", "65"), ("sheet_speed_rpm", "7200")];
    let names = ["settled_speed_rpm", "settled_current_a", "first_peak_a"];
    for field in FIELDS {
        let [cold, hot] = ["20", "80"].map(|degrees| {
            let more = [("working_temperature_c", degrees), ("field", field)];
            let report = work(&[&sheet[..], &more].concat()).expect("worked");
            names.map(|name| number(&report, name))
        });
        assert!(hot[0] < cold[0] && hot[2] < cold[2], "{field}: {cold:?} {hot:?}");
        if field == "series" {
            // Worked apart, by bisection, and the peak by Euler's method, with the constants of the cold sheet.
            for (value, known) in hot.iter().zip([7665.9, 67.434, 422.1]) {
                assert!((value / known - 1.0).abs() < 0.000_5, "{hot:?}");
            }
        }
    }
}

#[test]
fn an_armature_that_would_spin_too_fast_is_not_to_be_energized() {
    let warns = |volts: &str| {
        let report = work(&with(&[("source_voltage_v", volts)])).expect("worked");
        report.findings.iter().any(|f| f.level == Level::Warning && f.text.contains("do not energize"))
    };
    assert!(warns("24") && !warns("12.6"));
}

#[test]
fn the_time_to_the_windings_limit_warns_only_when_it_is_short() {
    let level = |capacity: &str| {
        let report = work(&with(&[("winding_heat_capacity_j_per_k", capacity)])).expect("worked");
        report.findings.iter().find(|f| f.text.starts_with("If nothing cooled it")).expect("told").level
    };
    assert_eq!((level("300"), level("1")), (Level::Note, Level::Warning));
}

#[test]
fn a_drop_at_the_brushes_has_one_set_of_figures() {
    let report = work(&with(&[])).expect("worked");
    assert!(report.steps.iter().any(|step| step.numbers.contains("1.000 V")));
    assert!(report.steps.iter().all(|step| !step.numbers.contains("0.9999 V")));
}

#[test]
fn a_low_draw_and_a_low_speed_have_one_cause() {
    let low = [("read_settled_a", "50 ± 2"), ("read_speed_rpm", "2500 ± 20")];
    let report = work(&with(&low)).expect("worked");
    assert!(says(&report, "Draw and speed are both low: 50.0 A where") && !says(&report, "Your settled"));
    let meter = report.findings.iter().filter(|f| f.text.contains("What the meter may be off")).count();
    assert_eq!((meter, report.number_of("read_speed_above_rpm").is_some()), (1, true));
    let doubtful =
        work(&with(&[("read_settled_a", "50 ± 40"), ("read_speed_rpm", "2500 ± 20")])).expect("worked");
    assert!(says(&doubtful, "Your settled draw") && !says(&doubtful, "both low"));
}
