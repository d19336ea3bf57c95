//! The table of part credit: each kind of answer once.

use super::*;
use crate::catalog;
use crate::homework::item::{Choices, Drawn, Tolerance};

/// A voltage drop, and the power that is lost with it by the student's own drop.
fn item() -> Item {
    let calculator = catalog::find("voltage-drop").expect("the catalog has it");
    let ask = |name: &str, output: &str, symbol: &str, tolerance, uses: &[(&str, &str)], points| Ask {
        name: name.to_owned(),
        calculator,
        output: output.to_owned(),
        unit: calculator
            .output(output)
            .and_then(|output| match output.kind {
                crate::calculator::OutputKind::Number(quantity, _) => quantity.unit(symbol),
                _ => None,
            })
            .expect("a unit"),
        tolerance,
        points,
        for_power: 0.5,
        for_unit: 0.25,
        uses: uses.iter().map(|(field, name)| ((*field).to_owned(), (*name).to_owned())).collect(),
    };
    Item {
        name: "drop".to_owned(),
        given: [
            ("conductor_size", "35 mm2"),
            ("run_out_m", "1.4"),
            ("run_return_m", "1.0"),
            ("current_a", "150"),
        ]
        .map(|(field, text)| (field.to_owned(), text.to_owned()))
        .to_vec(),
        drawn: vec![Drawn {
            field: "joint_count".to_owned(),
            choices: Choices::Steps { from: 2, step: 1, count: 4, places: 0, unit: String::new() },
        }],
        asks: vec![
            ask("a", "loop_resistance_ohm", "mΩ", Tolerance::Share(0.01), &[], 2.0),
            ask("b", "drop_v", "V", Tolerance::Share(0.02), &[], 2.0),
            ask("c", "drop_v", "V", Tolerance::Absolute(0.005), &[("current_a", "d")], 1.0),
        ],
    }
}

fn marks(answers: &[&str]) -> Vec<Verdict> {
    let mut item = item();
    // `c` uses no ask that is there: it is worked as it stands.
    item.asks[2].uses.clear();
    let numbers = vec![("joint_count".to_owned(), "4".to_owned())];
    let typed: Vec<Typed> = answers
        .iter()
        .zip(&item.asks)
        .map(|(answer, ask)| {
            let quantity = match ask.calculator.output(&ask.output).expect("an output").kind {
                crate::calculator::OutputKind::Number(quantity, _) => quantity,
                _ => unreachable!("asks are for numbers"),
            };
            read(answer, quantity, ask.unit)
        })
        .collect();
    mark(&item, &numbers, &typed).iter().map(|mark| mark.verdict).collect()
}

#[test]
fn the_table_of_part_credit() {
    // By hand (lesson 4 of the demo course): 2.4 m · 0.554 mΩ/m + 4 · 0.1 mΩ = 1.730 mΩ; times 150 A = 0.2595 V.
    let right = item().answers(&vec![("joint_count".to_owned(), "4".to_owned())]);
    assert!((right[0].expect("an answer") * 1000.0 - 1.7296).abs() < 1e-3, "{right:?}");
    assert!((right[1].expect("an answer") - 0.2594).abs() < 1e-3, "{right:?}");
    for (answer, verdict) in [
        ("1.73 mΩ", Verdict::Right),
        ("0.00173 Ω", Verdict::Right),
        ("1,73 mohm", Verdict::Right),
        ("1730 µΩ", Verdict::Right),
        ("1.73", Verdict::Unit),
        ("1.73 V", Verdict::Unit),
        ("1.73 Ω", Verdict::Power),
        ("17.3 mΩ", Verdict::Power),
        ("0.173 mΩ", Verdict::Power),
        ("2.73 mΩ", Verdict::Wrong),
        ("-1.73 mΩ", Verdict::Wrong),
        ("", Verdict::Blank),
        ("about two", Verdict::Unreadable),
        ("1,730 mΩ", Verdict::Unreadable),
    ] {
        assert_eq!(marks(&[answer, "", ""])[0], verdict, "{answer}");
    }
    for (answer, verdict) in [
        ("0.259 V", Verdict::Right),
        ("259 mV", Verdict::Right),
        // 2 % of 0.2594 V is 0.0052 V.
        ("0.264 V", Verdict::Right),
        ("0.265 V", Verdict::Wrong),
        ("0.259 mV", Verdict::Power),
        ("0.259 A", Verdict::Unit),
        ("0.259", Verdict::Unit),
    ] {
        assert_eq!(marks(&["", answer, ""])[1], verdict, "{answer}");
    }
}

#[test]
fn what_follows_from_a_wrong_answer_has_its_points() {
    // The current of ask `b` is answered in ask `a` of another item: here the drop is asked twice, the second time with
    // the student's own current.
    let calculator = catalog::find("source-load").expect("the catalog has it");
    let volts = catalog::find("voltage-drop").expect("the catalog has it");
    let mut item = item();
    item.given = vec![
        ("light_current_a".to_owned(), "50".to_owned()),
        ("light_voltage_v".to_owned(), "12.3".to_owned()),
        ("heavy_current_a".to_owned(), "250".to_owned()),
        ("heavy_voltage_v".to_owned(), "11.1".to_owned()),
    ];
    assert!(item.given.iter().all(|(field, _)| calculator.field(field).is_some()), "fields of source-load");
    item.given.extend(
        [("conductor_size", "35 mm2"), ("run_out_m", "1"), ("run_return_m", "1")]
            .map(|(field, text)| (field.to_owned(), text.to_owned())),
    );
    item.drawn.clear();
    item.asks[0].calculator = calculator;
    item.asks[0].output = "short_circuit_a".to_owned();
    item.asks[0].unit = Quantity::Current.base();
    item.asks[1].calculator = volts;
    item.asks[1].uses = vec![("current_a".to_owned(), "a".to_owned())];
    item.asks.truncate(2);
    let numbers = Vec::new();
    // 12.6 V ÷ 6 mΩ = 2100 A. A student finds 210 A, a tenth, and goes on with it.
    let right = item.answers(&numbers);
    assert!((right[0].expect("an answer") - 2100.0).abs() < 1.0, "{right:?}");
    let own = item.answers(&numbers)[1].expect("an answer") / 10.0;
    let typed = [Typed::Number { value: 210.0, unit: true }, Typed::Number { value: own, unit: true }];
    let marks = mark(&item, &numbers, &typed);
    assert_eq!((marks[0].verdict, marks[1].verdict), (Verdict::Power, Verdict::Follows));
    assert_eq!((marks[0].points, marks[1].points), (1.0, 2.0));
    // Without an own answer before, nothing follows.
    let marks = mark(&item, &numbers, &[Typed::Blank, typed[1]]);
    assert_eq!(marks[1].verdict, Verdict::Power);
}
