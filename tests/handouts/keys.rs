//! What the keys and the worked steps of the problems say: what the library says.

use anyhow::{Context, Result, ensure};
use fieldcoil::handouts::Settings;
use fieldcoil_calc::calculator::OutputKind;
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::item::Ask;
use fieldcoil_calc::homework::mark::{Verdict, mark, read as typed};
use fieldcoil_tests::browser::{A4, shared};
use fieldcoil_tests::pdf::{read, squeezed};
use serde::Deserialize;

use super::{CLASS, LESSON, WARNING, open, said, told};

/// A line of a key as the page has it.
#[derive(Debug, Deserialize)]
struct KeyRow {
    code: String,
    name: String,
    given: Vec<String>,
    right: Vec<String>,
    band: Vec<String>,
}

const KEY: &str = r#"
const text = node => node.textContent;
return [...document.querySelectorAll("table.answers")].map(table => [...table.tBodies[0].rows].map(row => ({
    code: row.dataset.code, name: text(row.querySelector(".name")),
    given: [...row.querySelectorAll(".given")].map(text),
    right: [...row.querySelectorAll(".right")].map(text),
    band: [...row.querySelectorAll(".band")].map(text),
})));
"#;

/// A printed number and half a unit of its last digit.
fn number(text: &str) -> Result<(f64, f64)> {
    let plain = text.replace('−', "-");
    let decimals = plain.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let half = (0..decimals).fold(0.5, |half, _| half / 10.0);
    Ok((plain.parse().with_context(|| format!("“{text}” is no number"))?, half * 1.0001))
}

#[test]
fn the_keys_are_the_librarys() -> Result<()> {
    let (_, folder) = CLASS.made("keys", Settings::default())?;
    let mut browser = shared();
    open(&mut browser, &folder, &format!("instructor/{LESSON}-key.html"))?;
    let tables: Vec<Vec<KeyRow>> = serde_json::from_value(browser.run(KEY, &[])?)?;
    ensure!(tables.len() == CLASS.problems().count() && tables.len() == 2);
    for ((_, item), rows) in CLASS.problems().zip(&tables) {
        ensure!(rows.len() == 30 && rows.is_sorted_by_key(|row| &row.code), "a line a student, by code");
        for row in rows {
            let own = Code::read(&row.code).map_err(|problem| anyhow::anyhow!(problem.words()))?;
            let student = CLASS.roster.find(own).context("a student")?;
            ensure!(student.name == row.name, "{row:?}");
            let numbers = CLASS.numbers(item, own);
            let wanted: Vec<String> =
                numbers.iter().map(|(field, text)| squeezed(&said(item, field, text))).collect();
            let given: Vec<String> = row.given.iter().map(|text| squeezed(text)).collect();
            ensure!(given == wanted, "{row:?}: {wanted:?}");
            let right = item.answers(&numbers);
            ensure!(row.right.len() == right.len() && row.band.len() == right.len());
            for (at, ask) in item.asks.iter().enumerate() {
                let value = right[at].context("an answer")?;
                holds(ask, value, &row.right[at], &row.band[at]).with_context(|| format!("{row:?}"))?;
            }
            // What the key says is what a marker gives all points for.
            let answers: Vec<String> = row.right.iter().map(|text| text.replace('\u{a0}', " ")).collect();
            let typed: Vec<_> = item
                .asks
                .iter()
                .zip(&answers)
                .map(|(ask, text)| typed(text, quantity(ask), ask.unit))
                .collect();
            for mark in mark(item, &numbers, &typed) {
                ensure!(mark.verdict == Verdict::Right, "{row:?}: {mark:?}");
            }
        }
    }
    Ok(())
}

fn quantity(ask: &Ask) -> fieldcoil_calc::unit::Quantity {
    match ask.calculator.output(&ask.output).map(|output| &output.kind) {
        Some(OutputKind::Number(quantity, _)) => *quantity,
        _ => unreachable!("an ask asks for a number"),
    }
}

/// Is this answer, with its band, the one of the library?
fn holds(ask: &Ask, value: f64, right: &str, band: &str) -> Result<()> {
    let (shown, unit) = right.split_once('\u{a0}').context("a unit")?;
    ensure!(unit == ask.unit.symbol, "{unit} for {}", ask.unit.symbol);
    let (shown, half) = number(shown)?;
    ensure!((shown - ask.unit.of_base(value)).abs() <= half, "{right} for {value}");
    let (_, ends) = band.split_once("from ").context("a band")?;
    let (low, high) = ends.split_once(" to ").context("two ends")?;
    let allowed = ask.allowance(value);
    for (end, wanted) in [(low, value - allowed), (high, value + allowed)] {
        let (end, half) = number(end)?;
        ensure!((end - ask.unit.of_base(wanted)).abs() <= half, "{band} for {value} ± {allowed}");
    }
    Ok(())
}

const STEPS: &str = r#"
const text = node => node.textContent;
return [...document.querySelectorAll(".worked")].map(student => [student.dataset.code,
    [...student.querySelectorAll(".step-title")].map(text), [...student.querySelectorAll(".right")].map(text),
    [...student.querySelectorAll(".text")].map(text)]);
"#;

#[test]
fn the_worked_steps_are_the_reports_and_every_secret_page_warns() -> Result<()> {
    let (_, folder) = CLASS.made("keys", Settings::default())?;
    let mut browser = shared();
    open(&mut browser, &folder, &format!("instructor/{LESSON}-steps.html"))?;
    type Worked = (String, Vec<String>, Vec<String>, Vec<String>);
    let students: Vec<Worked> = serde_json::from_value(browser.run(STEPS, &[])?)?;
    ensure!(students.len() == 30);
    for (written, titles, right, texts) in &students {
        let own = Code::read(written).map_err(|problem| anyhow::anyhow!(problem.words()))?;
        let (mut all_titles, mut all_right, mut all_texts) = (Vec::new(), Vec::new(), Vec::new());
        for (homework, item) in CLASS.problems() {
            let numbers = CLASS.numbers(item, own);
            let answers = item.answers(&numbers);
            all_texts.push(squeezed(&told(homework, item, &numbers)));
            for (ask, answer) in item.asks.iter().zip(&answers) {
                all_right.push(ask.shown(answer.context("an answer")?));
            }
            // Both asks of the first problem have the same working, which stands there once.
            let report = item
                .report(&item.asks[0], &numbers, &[])
                .map_err(|refusal| anyhow::anyhow!("{refusal:?}"))?;
            all_titles.extend(report.steps.iter().map(|step| step.title.clone()));
        }
        ensure!(*titles == all_titles && all_titles.len() > 8, "{written}: {titles:?}, not {all_titles:?}");
        ensure!(*right == all_right, "{written}: {right:?}, not {all_right:?}");
        ensure!(texts.iter().map(|text| squeezed(text)).eq(all_texts), "{written}: {texts:?}");
    }
    for page in ["key", "steps"] {
        open(&mut browser, &folder, &format!("instructor/{LESSON}-{page}.html"))?;
        let file = folder.join(format!("{page}.pdf"));
        for (index, sheet) in read(&browser.print(A4)?, &file)?.iter().enumerate() {
            let warns = sheet.squeezed().contains(&squeezed(WARNING));
            ensure!(warns, "page {} of the {page} does not warn: {}", index + 1, sheet.text());
        }
    }
    Ok(())
}
