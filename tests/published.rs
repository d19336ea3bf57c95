//! Values printed by others are met: tables of standards, textbook examples, limits of manuals.

use std::collections::BTreeSet;
use std::io::Write;

use fieldcoil_calc::catalog::CATALOG;
use fieldcoil_tests::case::{Standing, all};

#[test]
fn every_value_that_binds_is_met() {
    let cases = all().expect("readable cases");
    let mut bound = 0;
    let mut faults = Vec::new();
    for case in cases.iter().filter(|case| case.standing.binds()) {
        bound += 1;
        if let Err(fault) = case.check() {
            faults.push(format!("{} ({}; {}): {fault:#}", case.id, case.what, case.source));
        }
    }
    assert!(faults.is_empty(), "{} of {bound} values are not met:\n{}", faults.len(), faults.join("\n"));
    assert!(bound >= 150, "only {bound} cases bind");
}

/// What was not seen in print cannot fail a build alone; it is shown, so that a reader of the run can look it up.
#[test]
fn values_that_nobody_could_be_asked_about_are_shown() {
    let mut out = std::io::stderr().lock();
    for case in all().expect("readable cases").iter().filter(|case| !case.standing.binds()) {
        let standing = if case.standing == Standing::FromMemory { "from memory" } else { "common practice" };
        let outcome = match case.check() {
            Ok(()) => "met".to_owned(),
            Err(fault) => format!("not met, {fault:#}"),
        };
        // Straight to the stream: the test harness would keep the text of a test that passes to itself.
        writeln!(out, "{standing}, not asserted: {} ({}): {outcome}", case.id, case.what).expect("a stream");
    }
}

#[test]
fn every_case_has_a_name_and_a_source_and_every_calculator_has_cases() {
    let cases = all().expect("readable cases");
    let mut names = BTreeSet::new();
    for case in &cases {
        assert!(names.insert(&case.id), "{} stands twice", case.id);
        assert!(!case.source.is_empty(), "{} has no source", case.id);
        let text = format!("{} {}", case.source, case.note.as_deref().unwrap_or_default());
        let address = ["http", "www.", ".com", ".net", ".org", ".gov"].iter().any(|part| text.contains(part));
        assert!(!address, "{} names a page instead of a publication", case.id);
    }
    for calculator in CATALOG {
        let count = cases.iter().filter(|case| case.calculator.as_deref() == Some(calculator.name)).count();
        assert!(count >= 10, "{} has {count} published cases", calculator.name);
    }
}
