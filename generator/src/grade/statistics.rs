//! What a class found hard: figures for each question, and charts.

use std::collections::BTreeMap;

use fieldcoil_calc::chart::{Axis, Band, Chart, Mark, Series};
use fieldcoil_calc::homework::item::Ask;
use fieldcoil_calc::homework::mark::{Mark as AnswerMark, Verdict};
use fieldcoil_calc::number::{figures, to_places};
use fieldcoil_calc::unit::Quantity;

use super::marked::{Marked, measured};
use super::plan::GradedLesson;

/// Fewer readings than these have no spread worth a drawing.
const FEWEST_READINGS: usize = 3;

/// One question and how it went.
#[derive(Debug)]
pub struct QuestionFigures {
    /// The problem's name and the ask's: `drop-of-a-run a`.
    pub name: String,
    /// How many handed something in for it.
    pub asked: usize,
    /// How many were right, by their own earlier answer too.
    pub right: usize,
    /// How many have a part of the points.
    pub partly: usize,
    /// How many were wrong or no number.
    pub wrong: usize,
    /// How many left it blank.
    pub blank: usize,
    /// The share of its points that the class got, in hundredths.
    pub share: f64,
    /// The commonest wrong answer, in words; empty when none stands out.
    pub commonest: String,
}

/// How each question of a lesson went, in the lesson's order.
pub fn questions(lesson: &GradedLesson, all: &[&Marked]) -> Vec<QuestionFigures> {
    let mut found = Vec::new();
    for (problem, (_, item)) in lesson.homework.iter().enumerate() {
        for (at, ask) in item.asks.iter().enumerate() {
            let marks: Vec<&AnswerMark> =
                all.iter().map(|marked| &marked.problems[problem].marks[at]).collect();
            let count =
                |verdicts: &[Verdict]| marks.iter().filter(|mark| verdicts.contains(&mark.verdict)).count();
            let points: f64 = marks.iter().map(|mark| mark.points).sum();
            let possible = ask.points * marks.len() as f64;
            found.push(QuestionFigures {
                name: format!("{} {}", item.name, ask.name),
                asked: marks.len(),
                right: count(&[Verdict::Right, Verdict::Follows, Verdict::NoAnswer]),
                partly: count(&[Verdict::Power, Verdict::Unit]),
                wrong: count(&[Verdict::Wrong, Verdict::Unreadable]),
                blank: count(&[Verdict::Blank]),
                share: if possible > 0.0 { 100.0 * points / possible } else { 0.0 },
                commonest: commonest(ask, &marks),
            });
        }
    }
    found
}

/// The commonest wrong answer. Everybody has other numbers, so it is told by what it is times the right one: who forgot the
/// way back has half of it with any numbers.
fn commonest(ask: &Ask, marks: &[&AnswerMark]) -> String {
    let mut groups: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for mark in marks.iter().filter(|mark| matches!(mark.verdict, Verdict::Wrong | Verdict::Power)) {
        let (Some(given), Some(right)) = (mark.given, mark.right) else { continue };
        let times = if right == 0.0 { 0.0 } else { given / right };
        if right == 0.0 || !times.is_finite() || times.abs() < 1e-9 || times.abs() > 1e9 {
            continue;
        }
        let group = groups.entry(figures(times, 2)).or_insert_with(|| (0, ask.shown(given)));
        group.0 += 1;
    }
    // Of groups of one size the first by its figures: any would do, and always the same.
    let best = groups.into_iter().rev().max_by_key(|(_, (count, _))| *count);
    match best {
        Some((times, (count, example))) if count > 1 => {
            format!("{times} times the right one: {count} students, such as {example}")
        }
        _ => String::new(),
    }
}

/// How hard each question was, as a chart; nothing for a lesson without questions.
pub fn difficulty(title: &str, questions: &[QuestionFigures]) -> Option<Chart> {
    let points: Vec<(f64, f64)> =
        questions.iter().zip(1u32..).map(|(question, number)| (f64::from(number), question.share)).collect();
    // It reaches past the first and the last question, so that neither stands on the frame.
    let half = vec![(0.0, 50.0), (points.len() as f64 + 1.0, 50.0)];
    (!points.is_empty()).then(|| Chart {
        title: title.to_owned(),
        x: Axis::new("Question, numbered as in the table", Quantity::Count, ""),
        y: Axis::new("Points got", Quantity::Percent, "%"),
        series: vec![
            Series { name: "points got of possible".to_owned(), mark: Mark::Crosses, points },
            Series { name: "half of them".to_owned(), mark: Mark::Dots, points: half },
        ],
        // From nothing to all, whatever the class did.
        bands: vec![Band { name: "none and all".to_owned(), low: Some(0.0), high: Some(100.0) }],
    })
}

/// The spread of each reading, the lowest first, beside the sheet's limits.
pub fn spreads(lesson: &GradedLesson, all: &[&Marked]) -> Vec<Chart> {
    let mut charts = Vec::new();
    for (sheet, own) in lesson.sheets.iter().enumerate() {
        for (place, reading) in own.readings.iter().enumerate() {
            let Some((quantity, unit)) = measured(reading) else { continue };
            let is_meant =
                |marked: &&super::marked::MarkedReading| marked.sheet == sheet && marked.place == place;
            let mut values: Vec<f64> = all
                .iter()
                .filter_map(|marked| marked.readings.iter().find(is_meant)?.value)
                .map(|value| unit.to_base(value))
                .collect();
            if values.len() < FEWEST_READINGS {
                continue;
            }
            values.sort_by(f64::total_cmp);
            let has_limits = reading.minimum.is_some() || reading.maximum.is_some();
            charts.push(Chart {
                title: format!("{}: {}", own.title, reading.label),
                x: Axis::new("Students, the lowest reading first", Quantity::Count, ""),
                y: Axis::new(&reading.label, quantity, unit.symbol),
                series: vec![Series {
                    name: "handed in".to_owned(),
                    mark: Mark::Crosses,
                    points: values
                        .into_iter()
                        .zip(1u32..)
                        .map(|(value, at)| (f64::from(at), value))
                        .collect(),
                }],
                bands: has_limits
                    .then(|| Band {
                        name: "limits of the sheet".to_owned(),
                        low: reading.minimum.map(|limit| unit.to_base(limit)),
                        high: reading.maximum.map(|limit| unit.to_base(limit)),
                    })
                    .into_iter()
                    .collect(),
            });
        }
    }
    charts
}

/// A share in hundredths as pages show it.
pub fn percent(share: f64) -> String {
    to_places(share, 0)
}
