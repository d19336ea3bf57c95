//! `fieldcoil work`: one calculation at the terminal.

mod files;
mod json;
mod text;

use std::io::{self, Write};

use anyhow::Result;
use fieldcoil_calc::calculator::{Calculator, Kind};
use fieldcoil_calc::catalog::{CATALOG, find};
use fieldcoil_calc::input::Inputs;

use super::Outcome;
use crate::finding::nearest::nearest;
use crate::finding::shown;
use crate::options::WorkOptions;

/// Runs the command.
pub fn run(options: &WorkOptions) -> Result<Outcome> {
    let mut out = io::stdout().lock();
    let Some(name) = &options.name else {
        write!(out, "{}", text::catalog(CATALOG))?;
        return Ok(Outcome::Fine);
    };
    let Some(calculator) = find(name) else {
        let names: Vec<_> = CATALOG.iter().map(|calculator| calculator.name).collect();
        let hint = nearest(name, names.iter().copied())
            .map(|name| format!(" Did you mean `{name}`?"))
            .unwrap_or_default();
        return refuse(&[format!(
            "There is no calculator `{}`.{hint} There are {}.",
            shown(name),
            names.join(", ")
        )]);
    };
    if options.fields {
        write!(out, "{}", text::fields(calculator))?;
        return Ok(Outcome::Fine);
    }
    let report = match inputs(calculator, &options.set) {
        Ok(inputs) => calculator.evaluate(&inputs).map_err(|refusal| sentences(&refusal)),
        Err(problems) => Err(problems),
    };
    if let (Ok(report), Some(path)) = (&report, &options.chart) {
        files::write_charts(report, path)?;
    }
    match report {
        Ok(report) if options.json => writeln!(out, "{}", json::report(&report))?,
        Ok(report) => write!(out, "{}", text::report(&report))?,
        Err(problems) => return refuse(&problems),
    }
    Ok(Outcome::Fine)
}

/// The starting values with what was typed put in; otherwise every sentence about what was typed.
fn inputs(calculator: &'static Calculator, set: &[String]) -> Result<Inputs, Vec<String>> {
    let mut inputs = Inputs::starting(calculator);
    let mut problems = Vec::new();
    for assignment in set {
        let Some((name, value)) = assignment.split_once('=') else {
            problems.push(format!("“{}” is no setting; write --set field=value.", shown(assignment)));
            continue;
        };
        let name = name.trim();
        if calculator.field(name).is_none() {
            let names = calculator.fields.iter().map(|field| field.name);
            let hint =
                nearest(name, names).map(|name| format!(" Did you mean `{name}`?")).unwrap_or_default();
            problems.push(format!(
                "{} has no field `{}`.{hint} `fieldcoil work {} --fields` lists them.",
                calculator.title,
                shown(name),
                calculator.name
            ));
        } else if let Err(problem) = set_one(&mut inputs, name, value) {
            problems.push(problem);
        }
    }
    if problems.is_empty() {
        return Ok(inputs);
    }
    // The fields that could be set may be refused too: all is told at once.
    if let Err(refusal) = inputs.check() {
        problems.extend(sentences(&refusal));
    }
    Err(problems)
}

/// Sets one field; `@` and a path stand for the text of a file where a field takes one.
fn set_one(inputs: &mut Inputs, name: &str, value: &str) -> Result<(), String> {
    let takes_file = matches!(&inputs.field(name).kind, Kind::Text(text) if text.file);
    let read;
    let text = match value.strip_prefix('@').filter(|_| takes_file) {
        Some(path) => {
            read = files::read(path)?;
            &read
        }
        None => value,
    };
    inputs.set(name, text).map_err(|refusal| refusal.to_string())
}

fn sentences(refusal: &fieldcoil_calc::refusal::Refusal) -> Vec<String> {
    refusal.problems.iter().map(ToString::to_string).collect()
}

fn refuse(problems: &[String]) -> Result<Outcome> {
    let mut errors = io::stderr().lock();
    for problem in problems {
        writeln!(errors, "{problem}")?;
    }
    Ok(Outcome::BadCall)
}
