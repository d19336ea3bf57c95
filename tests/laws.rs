//! What holds for every input: no panic, no number that is none, and the directions that physics gives.

use std::cell::Cell;
use std::panic::catch_unwind;

use fieldcoil_calc::calculator::{Calculator, Choice, Field, Kind, NumberField};
use fieldcoil_calc::catalog::{CATALOG, find};
use fieldcoil_calc::chart::Chart;
use fieldcoil_calc::input::{Entry, Inputs, Measured, entry_text};
use fieldcoil_calc::measurement::meter::{Repeated, Spread};
use fieldcoil_calc::refusal::range_words;
use fieldcoil_calc::report::{Report, Value};
use fieldcoil_calc::unit::Quantity;
use fieldcoil_calc::view;
use fieldcoil_tests::close::Tolerance;
use proptest::prelude::*;
use proptest::strategy::BoxedStrategy;
use proptest::test_runner::{RngAlgorithm, RngSeed, TestRunner};

/// Two ways to the same number may differ by the rounding of the steps between them.
const SAME: Tolerance = Tolerance::Relative(1e-12);

fn runner(cases: u32) -> TestRunner {
    // A fixed seed: what fails here fails everywhere.
    TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(7),
        // Every part of an input seeds a generator of its own: the usual one took longer than all calculations.
        rng_algorithm: RngAlgorithm::XorShift,
        ..ProptestConfig::default()
    })
}

/// No calculator gets fewer random inputs.
const FEWEST: u32 = 1500;

/// How many random inputs a calculator gets: a fixed number, so that the same inputs are tried everywhere.
///
/// Those that solve a motor's run or take a recording apart cost a hundred times what the others do, and each
/// uncertain reading works them twice more.
fn cases(calculator: &Calculator) -> u32 {
    match calculator.name {
        "expected-draw" | "trace-reading" => FEWEST,
        _ => 8000,
    }
}

/// Any bit pattern, and more often the ends of the range and what lies between them.
fn number(number: &NumberField) -> BoxedStrategy<f64> {
    let (low, high) = (number.minimum, number.maximum);
    let whole = number.quantity == Quantity::Count;
    let round = move |value: f64| if whole { value.floor() } else { value };
    prop_oneof![
        30 => (low..=high).prop_map(round),
        30 => (0.0..1.0f64).prop_map(move |part| round(low + part * part * part * part * part * (high - low))),
        1 => prop_oneof![Just(low), Just(high), Just(0.0), Just(-0.0), Just(f64::NAN), Just(f64::INFINITY)],
        1 => any::<u64>().prop_map(f64::from_bits),
    ]
    .boxed()
}

fn entry(field: &'static Field) -> BoxedStrategy<Entry> {
    match &field.kind {
        Kind::Number(kind) => {
            let spread = prop_oneof![
                30 => Just(None),
                10 => (0.0..kind.maximum / 10.0).prop_map(|band| Some(Spread::within(band))),
                10 => (0.0..10.0f64, 0.0..9.0f64).prop_map(|(percent, counts)| {
                    Some(Spread::meter(percent, counts, 0.01))
                }),
                5 => (0.0..kind.maximum / 10.0, 2.0..20.0f64).prop_map(|(deviation, count)| {
                    Some(Spread::scatter(Repeated { deviation, count: count.floor() }))
                }),
                1 => any::<u64>().prop_map(|bits| Some(Spread::within(f64::from_bits(bits)))),
                1 => any::<u64>().prop_map(|bits| Some(Spread::meter(f64::from_bits(bits), 1.0, 0.1))),
            ];
            let measured = kind.measured;
            prop_oneof![
                1 => Just(Entry::Empty),
                30 => (number(kind), spread).prop_map(move |(value, spread)| {
                    Entry::Number(Measured { value, spread: spread.filter(|_| measured) })
                }),
            ]
            .boxed()
        }
        Kind::Choice(choice) => {
            let keys: Vec<&'static str> = choice.options.iter().map(|option: &Choice| option.key).collect();
            let listed = proptest::sample::select(keys).prop_map(Entry::Choice);
            match &choice.other {
                Some(other) => {
                    prop_oneof![3 => listed, 1 => number(&other.number).prop_map(Entry::Other)].boxed()
                }
                None => listed.boxed(),
            }
        }
        Kind::Text(text) => {
            let whole = if text.start.is_empty() { text.example } else { text.start };
            let lines = proptest::collection::vec(
                prop_oneof![8 => Just(text.example.to_owned()), 1 => "\\PC{0,30}", 1 => "[0-9;,. ]{0,30}"],
                1..6,
            );
            prop_oneof![
                3 => Just(Entry::Empty),
                6 => Just(Entry::Text(whole.to_owned())),
                2 => lines.prop_map(|lines| lines.join("\n")).prop_map(|text| {
                    if text.trim().is_empty() { Entry::Empty } else { Entry::Text(text) }
                }),
            ]
            .boxed()
        }
    }
}

fn entries(calculator: &'static Calculator) -> BoxedStrategy<Vec<Entry>> {
    let entries: Vec<_> = calculator.fields.iter().map(entry).collect();
    // What may be left empty is left empty by whole groups, too: numbers that chance fills in seldom fit each other.
    (entries, any::<u64>())
        .prop_map(|(mut entries, empty)| {
            for (field, entry) in calculator.fields.iter().zip(&mut entries) {
                let group = calculator.fields.iter().position(|other| other.group == field.group);
                let left_out = group.is_some_and(|group| empty >> (group % 64) & 1 == 1);
                if left_out && matches!(&field.kind, Kind::Number(number) if !number.required) {
                    *entry = Entry::Empty;
                }
            }
            entries
        })
        .boxed()
}

fn filled(calculator: &'static Calculator, entries: &[Entry]) -> Inputs {
    let mut inputs = Inputs::starting(calculator);
    for (field, entry) in calculator.fields.iter().zip(entries) {
        inputs.set_entry(field.name, entry.clone());
    }
    inputs
}

/// Every text that a reader of the report sees.
fn words(report: &Report) -> String {
    let parts = view::parts(report);
    let charts: String = report.charts.iter().map(Chart::file).collect();
    [parts.readings, parts.findings, parts.steps, parts.sources, charts].concat()
}

#[test]
fn no_input_gives_a_number_that_is_none() {
    for calculator in CATALOG {
        let worked = Cell::new(0);
        let outcome = runner(cases(calculator)).run(&entries(calculator), |entries| {
            match calculator.evaluate(&filled(calculator, &entries)) {
                Ok(report) => {
                    worked.set(worked.get() + 1);
                    for answer in &report.answers {
                        if let Value::Number(value, uncertainty) = answer.value {
                            prop_assert!(value.is_finite(), "{} is {value}", answer.output.name);
                            let part = uncertainty.map_or(0.0, |uncertainty| uncertainty.expanded);
                            prop_assert!(
                                part.is_finite() && part >= 0.0,
                                "{} is ± {part}",
                                answer.output.name
                            );
                        }
                    }
                    let words = words(&report);
                    for bad in ["NaN", "inf ", "∞", "no finite"] {
                        prop_assert!(!words.contains(bad), "“{bad}” in {words}");
                    }
                }
                Err(refusal) => {
                    prop_assert!(!refusal.problems.is_empty() && !refusal.to_string().contains("NaN "));
                }
            }
            Ok(())
        });
        if let Err(failure) = outcome {
            panic!("{}: {failure}", calculator.name);
        }
        // The law says little when nearly everything is refused.
        let (worked, cases) = (worked.get(), cases(calculator));
        assert!(worked * 10 > cases, "{}: {worked} of {cases} inputs were worked", calculator.name);
    }
}

#[test]
fn a_fresh_form_is_worked_and_held_against_something_known() {
    for calculator in CATALOG {
        let report = calculator.evaluate(&Inputs::starting(calculator)).expect("a fresh form can be worked");
        assert!(report.sense.len() > 40, "{}: {:?}", calculator.name, report.sense);
        assert!(!report.steps.is_empty() && !report.sources.is_empty(), "{}", calculator.name);
        for chart in &report.charts {
            assert!(chart.says().len() > 40 && !chart.title.is_empty(), "{}: {chart:?}", calculator.name);
        }
    }
}

#[test]
fn no_text_in_any_box_makes_a_panic() {
    let text = prop_oneof![
        2 => "\\PC{0,12}",
        3 => "[-+−]?[0-9]{0,5}[.,]?[0-9]{0,4}(e[-+]?[0-9]{1,4})?( ?± ?[0-9.]{0,4})?( ?[a-zA-ZΩµ°²]{0,4})?",
        1 => "(AWG|awg)? ?[0-9]{1,3}(/0)?( ?mm[2²])?",
    ];
    for calculator in CATALOG {
        let fields = calculator.fields;
        let typed = (0..fields.len(), text.clone(), text.clone(), text.clone());
        // Half as many: each is three texts.
        let cases = (cases(calculator) / 2).max(FEWEST);
        let outcome = runner(cases).run(&typed, |(index, number, plus_minus, unit)| {
            let field = &fields[index];
            let mut inputs = Inputs::starting(calculator);
            let one = inputs.set(field.name, &number).is_ok();
            let three = inputs.set_parts(field.name, &number, &plus_minus, &unit).is_ok();
            let other = match &field.kind {
                Kind::Choice(choice) if choice.other.is_some() => {
                    inputs.set_other(field.name, &number).is_ok()
                }
                _ => false,
            };
            match calculator.evaluate(&inputs) {
                Ok(report) => prop_assert!(!words(&report).contains("no finite")),
                Err(refusal) => {
                    prop_assert!(one || three || other, "the fresh form is refused: {refusal}");
                }
            }
            Ok(())
        });
        if let Err(failure) = outcome {
            panic!("{}: {failure}", calculator.name);
        }
    }
}

#[test]
fn a_refusal_names_the_field_and_the_accepted_range() {
    for calculator in CATALOG {
        for field in calculator.fields {
            let number = match &field.kind {
                Kind::Number(number) => number,
                Kind::Choice(choice) => match &choice.other {
                    Some(other) => &other.number,
                    None => continue,
                },
                Kind::Text(_) => continue,
            };
            let outside = [
                number.minimum - 1.0,
                -1e-300 + number.minimum.min(0.0) - number.minimum.abs() * 1e-9,
                number.maximum * 1.000_001,
                f64::MAX,
                -f64::MAX,
                f64::NAN,
                f64::INFINITY,
                f64::NEG_INFINITY,
            ];
            for value in outside {
                let mut inputs = Inputs::starting(calculator);
                let entry = match field.kind {
                    Kind::Number(_) => Entry::Number(Measured::exact(value)),
                    Kind::Choice(_) | Kind::Text(_) => Entry::Other(value),
                };
                inputs.set_entry(field.name, entry);
                let refusal = calculator.evaluate(&inputs).expect_err("outside the range").to_string();
                assert!(refusal.contains(field.label), "{value}: {refusal}");
                assert!(refusal.contains(&range_words(number)), "{value}: {refusal}");
            }
        }
    }
}

#[test]
fn an_empty_box_is_refused_where_a_number_is_needed_and_nowhere_else() {
    for calculator in CATALOG {
        for field in calculator.fields {
            let Kind::Number(number) = &field.kind else { continue };
            let mut inputs = Inputs::starting(calculator);
            inputs.set(field.name, "").expect("nothing is readable");
            let refused = inputs.check().is_err();
            assert_eq!(refused, number.required, "{}: {}", calculator.name, field.name);
        }
    }
}

fn drop_of(settings: &[(&str, String)]) -> Report {
    let calculator = find("voltage-drop").expect("a calculator");
    let mut inputs = Inputs::starting(calculator);
    for (name, text) in settings {
        inputs.set(name, text).expect("readable");
    }
    calculator.evaluate(&inputs).expect("worked")
}

fn drop_v(settings: &[(&str, String)]) -> f64 {
    drop_of(settings).number_of("drop_v").expect("given")
}

#[test]
fn longer_hotter_thinner_and_more_current_drop_more() {
    let growing = |name: &'static str, low: f64, high: f64| {
        runner(2000)
            .run(&(low..high, 1e-6..1.0f64), |(value, step)| {
                let more = (value + step * (high - low)).min(high);
                prop_assume!(more - value > 1e-6 * high.abs());
                let at = |value: f64| drop_v(&[(name, format!("{value}"))]);
                prop_assert!(at(value) < at(more), "{name}: {value} and {more}");
                Ok(())
            })
            .expect("more means more");
    };
    growing("run_out_m", 0.01, 100.0);
    growing("run_return_m", 0.0, 100.0);
    growing("conductor_temperature_c", -50.0, 200.0);
    growing("current_a", 0.1, 5000.0);
    growing("joint_resistance_ohm", 0.0, 1.0);
    let falling = |sizes: &[&str], class: &str| {
        let drops: Vec<f64> = sizes
            .iter()
            .map(|size| {
                drop_v(&[("conductor_size", (*size).to_owned()), ("conductor_class", class.to_owned())])
            })
            .collect();
        assert!(drops.is_sorted_by(|thin, thick| thin > thick), "{class}: {drops:?}");
    };
    let calculator = find("voltage-drop").expect("a calculator");
    let Some(Kind::Choice(sizes)) = calculator.field("conductor_size").map(|field| &field.kind) else {
        panic!("sizes are a list")
    };
    let keys: Vec<&str> = sizes.options.iter().map(|option| option.key).collect();
    let (gauges, metric): (Vec<&str>, Vec<&str>) = keys.into_iter().partition(|key| key.starts_with("AWG"));
    assert!(gauges.len() == 13 && metric.len() == 12);
    falling(&gauges, "class 5");
    falling(&metric, "class 5");
    falling(&metric, "class 2");
}

#[test]
fn a_hotter_winding_and_a_longer_lead_draw_less() {
    let calculator = find("expected-draw").expect("a calculator");
    let locked = |name: &str, value: f64| {
        let mut inputs = Inputs::starting(calculator);
        inputs.set(name, &format!("{value}")).expect("readable");
        calculator.evaluate(&inputs).expect("worked").number_of("locked_current_a").expect("given")
    };
    for (name, values) in [
        ("working_temperature_c", [-20.0, 20.0, 60.0, 105.0, 155.0]),
        ("lead_resistance_ohm", [0.0, 0.001, 0.002, 0.01, 0.1]),
        ("source_resistance_ohm", [0.0, 0.001, 0.002, 0.01, 0.1]),
        ("winding_resistance_ohm", [0.001, 0.002, 0.01, 0.1, 1.0]),
    ] {
        let currents = values.map(|value| locked(name, value));
        assert!(currents.is_sorted_by(|less, more| less > more), "{name}: {currents:?}");
    }
}

#[test]
fn the_unit_in_which_a_value_is_typed_changes_nothing() {
    let feet = drop_of(&[("run_out_m", "6 ft".to_owned()), ("run_return_m", "72 in".to_owned())]);
    let metres = drop_of(&[("run_out_m", "1.8288 m".to_owned()), ("run_return_m", "182.88 cm".to_owned())]);
    for (left, right) in feet.answers.iter().zip(&metres.answers) {
        match (&left.value, &right.value) {
            (Value::Number(left, _), Value::Number(right, _)) => assert!(SAME.holds(*left, *right)),
            (left, right) => assert_eq!(left, right),
        }
    }
    for calculator in CATALOG {
        for field in calculator.fields {
            let Kind::Number(number) = &field.kind else { continue };
            // Somewhere inside the range, where it can be worked with the other starting values.
            let value = number.start.unwrap_or(number.minimum + 0.1 * (number.maximum - number.minimum));
            for unit in number.quantity.units() {
                let mut inputs = Inputs::starting(calculator);
                inputs
                    .set_parts(field.name, &format!("{}", unit.of_base(value)), "", unit.symbol)
                    .expect("readable");
                let Entry::Number(measured) = *inputs.entry(field.name) else { panic!("a number was typed") };
                let near = Tolerance::Absolute(1e-12 * value.abs().max(1.0));
                assert!(near.holds(measured.value, value), "{} in {}", field.name, unit.symbol);
            }
        }
    }
}

#[test]
fn what_a_link_carries_reads_back_as_the_same() {
    for calculator in CATALOG {
        let outcome = runner(2000).run(&entries(calculator), |entries| {
            let inputs = filled(calculator, &entries);
            if inputs.check().is_err() {
                return Ok(());
            }
            let mut back = Inputs::starting(calculator);
            for (field, entry) in inputs.entries() {
                back.set(field.name, &entry_text(field, entry))
                    .map_err(|e| TestCaseError::fail(e.to_string()))?;
            }
            for ((field, there), (_, here)) in inputs.entries().zip(back.entries()) {
                match (there, here) {
                    // Nine figures are carried.
                    (Entry::Number(there), Entry::Number(here)) => {
                        let near = Tolerance::Relative(1e-8).holds(here.value, there.value);
                        prop_assert!(near || there.value.abs() < 1e-15, "{}", field.name);
                    }
                    (Entry::Other(there), Entry::Other(here)) => {
                        prop_assert!(Tolerance::Relative(1e-8).holds(*here, *there), "{}", field.name);
                    }
                    (there, here) => prop_assert_eq!(there, here, "{}", field.name),
                }
            }
            Ok(())
        });
        if let Err(failure) = outcome {
            panic!("{}: {failure}", calculator.name);
        }
    }
}

#[test]
fn a_name_that_no_calculator_has_is_found_nowhere() {
    assert!(find("voltage-drp").is_none());
    let calculator = find("voltage-drop").expect("a calculator");
    assert!(catch_unwind(|| Inputs::starting(calculator).entry("no_such_field").clone()).is_err());
}
