//! The worked examples of the default course, each recomputed in another way: `worked_examples.toml` has the arithmetic and
//! its result, and `tests/reference/worked_examples.py` works that arithmetic out in Python.

use std::collections::BTreeMap;

use anyhow::{Context, Result, ensure};
use fieldcoil::course::{Lesson, Piece};
use fieldcoil::pipeline;
use fieldcoil::source::load;
use fieldcoil_calc::report::{Report, Value};
use fieldcoil_tests::repository;
use serde::Deserialize;

#[derive(Deserialize)]
struct Table {
    example: Vec<Example>,
}

/// One result of one named calculator.
#[derive(Deserialize)]
struct Example {
    lesson: String,
    name: String,
    output: String,
    /// In the base unit.
    value: f64,
    /// The arithmetic, as Python reads it.
    how: String,
}

/// A result has to agree to this share: lessons round in the end only, and the arithmetic does not round at all.
const AGREES: f64 = 2e-4;

/// The reports of a lesson's named calculators.
fn reports(lesson: &Lesson) -> Result<BTreeMap<String, Report>> {
    let mut reports = BTreeMap::new();
    for piece in &lesson.pieces {
        let Piece::Calculator(block) = piece else { continue };
        let (Some(name), Some((calculator, inputs))) = (&block.name, &block.bound) else { continue };
        let report = calculator.evaluate(inputs).map_err(|refusal| anyhow::anyhow!("{refusal}"))?;
        reports.insert(name.value.clone(), report);
    }
    Ok(reports)
}

#[test]
fn every_worked_example_agrees_with_its_arithmetic() -> Result<()> {
    let table: Table = toml::from_str(&repository::read("tests/worked_examples.toml"))?;
    let (sources, found) = load::course(&repository::root().join("content"))?;
    let (checked, found) = pipeline::check(&sources, found);
    ensure!(!pipeline::is_stopped(&found, false), "the course has mistakes");
    let mut wrong = Vec::new();
    let mut without = Vec::new();
    for lesson in checked.lessons().iter().map(|read| &read.lesson) {
        for (name, report) in reports(lesson)? {
            let of = |example: &&Example| example.lesson == lesson.address && example.name == name;
            let examples: Vec<_> = table.example.iter().filter(of).collect();
            // What recordings say is held against what they were made from in `recordings.rs`.
            if examples.is_empty() && report.inputs.calculator.name != "trace-reading" {
                without.push(format!("{}/{name}: {}", lesson.address, outputs(&report)));
            }
            for Example { output, value, how, .. } in examples {
                let got = report.number_of(output);
                if got.is_none_or(|got| (got - value).abs() > AGREES * value.abs()) {
                    wrong.push(format!(
                        "{}/{name}.{output}: {got:?}, by hand {value} = {how}",
                        lesson.address
                    ));
                }
            }
        }
    }
    let known =
        |example: &&Example| checked.course().lessons.iter().any(|lesson| lesson.address == example.lesson);
    for example in table.example.iter().filter(|example| !known(example)) {
        wrong.push(format!("there is no lesson `{}`", example.lesson));
    }
    ensure!(wrong.is_empty(), "{wrong:#?}");
    ensure!(without.is_empty(), "nothing recomputes these examples: {without:#?}");
    table.example.first().context("there are examples")?;
    Ok(())
}

fn outputs(report: &Report) -> String {
    let numbers = report.answers.iter().filter_map(|answer| match answer.value {
        Value::Number(value, _) => Some(format!("{} = {value}", answer.output.name)),
        _ => None,
    });
    numbers.collect::<Vec<_>>().join(", ")
}
