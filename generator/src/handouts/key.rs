//! The answer key of one lesson: for each problem a line a student, to mark a pile of paper by.

use fieldcoil_calc::homework::item::{Ask, Item};
use fieldcoil_calc::number::{figures, short};
use serde::Serialize;

use super::frame::{BlockView, FrameView, Place};
use super::{Settings, sheet, work};
use crate::course::Homework;
use crate::render::words::Words;
use crate::render::{homework, templates};
use crate::roster::{Roster, Student};

/// Figures that the ends of a band have beyond those of the answer, so that a band is not wider or narrower by rounding.
const MORE_FIGURES: usize = 1;

#[derive(Serialize)]
struct KeyPage {
    frame: FrameView,
    block: BlockView,
    problems: Vec<ProblemKey>,
}

#[derive(Serialize)]
struct ProblemKey {
    number: usize,
    title: String,
    points: String,
    /// Heads of the columns of drawn numbers.
    drawn: Vec<String>,
    asks: Vec<AskHead>,
    /// What is marked by hand.
    reasons: Vec<ReasonHead>,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct AskHead {
    name: String,
    text: String,
    points: String,
    /// What half-right answers are worth.
    part: String,
}

#[derive(Serialize)]
struct ReasonHead {
    text: String,
    points: String,
}

#[derive(Serialize)]
struct Row {
    code: String,
    name: String,
    numbers: Vec<String>,
    answers: Vec<AnswerView>,
}

/// A right answer and the band that is right too.
#[derive(Debug, PartialEq, Serialize)]
pub struct AnswerView {
    pub ask: String,
    /// With its unit; empty when these numbers give no answer.
    pub right: String,
    pub band: String,
}

/// The key of a lesson.
pub fn page(place: &Place<'_>, roster: &Roster) -> anyhow::Result<String> {
    let words = place.words;
    let settings = Settings { double_sided: false, large_print: false, ..place.settings };
    let problems = work::homework(place.lesson).enumerate();
    let page = KeyPage {
        frame: place.frame("handout.key", settings, true, true),
        block: place.block(),
        problems: problems
            .map(|(index, (homework, item))| problem(index + 1, homework, item, place, roster))
            .collect(),
    };
    templates::page("handouts/key.html", words, &page)
}

/// The students in the order of their codes, as a pile of sheets is sorted.
pub fn by_code(roster: &Roster) -> Vec<&Student> {
    let mut students: Vec<&Student> = roster.students.iter().filter(|one| one.code.is_some()).collect();
    students.sort_by_key(|student| student.code);
    students
}

fn problem(
    number: usize,
    homework: &Homework,
    item: &Item,
    place: &Place<'_>,
    roster: &Roster,
) -> ProblemKey {
    let words = place.words;
    let label = |field: &str| {
        let found = item.asks.iter().find_map(|ask| ask.calculator.field(field));
        found.map_or(field, |field| field.label).to_owned()
    };
    let row = |student: &Student| {
        let code = student.code?;
        let numbers = sheet::numbers(item, place.course.about.term.as_ref(), &code.plain());
        let answers = item.answers(&numbers);
        Some(Row {
            code: code.to_string(),
            name: student.name.clone(),
            numbers: numbers.iter().map(|(field, text)| homework::shown(item, field, text)).collect(),
            answers: item.asks.iter().zip(answers).map(|(ask, right)| answer(ask, right, words)).collect(),
        })
    };
    let ask = |ask: &Ask| AskHead {
        name: ask.name.clone(),
        text: ask.calculator.output(&ask.output).map_or("", |output| output.label).to_owned(),
        points: homework::points(ask.points, words),
        part: words.fill(
            "handout.part_credit",
            &[("power", &short(ask.for_power * ask.points)), ("unit", &short(ask.for_unit * ask.points))],
        ),
    };
    let reasons = homework.reasons.iter().map(|reason| ReasonHead {
        text: reason.text.clone(),
        points: homework::points(reason.points, words),
    });
    ProblemKey {
        number,
        title: homework.title.clone(),
        points: homework::points(homework.points(), words),
        drawn: item.drawn.iter().map(|drawn| label(&drawn.field)).collect(),
        asks: item.asks.iter().map(ask).collect(),
        reasons: reasons.collect(),
        rows: by_code(roster).into_iter().filter_map(row).collect(),
    }
}

/// A right answer in the unit wanted, and how far from it an answer is right too.
pub fn answer(ask: &Ask, right: Option<f64>, words: &Words) -> AnswerView {
    let name = ask.name.clone();
    let Some(right) = right else {
        return AnswerView {
            ask: name,
            right: String::new(),
            band: words.get("handout.no_answer").to_owned(),
        };
    };
    let allowance = ask.allowance(right);
    let end = |value: f64| match ask.unit.of_base(value) {
        0.0 => "0".to_owned(),
        value => figures(value, band_figures(ask)),
    };
    let (low, high) = (end(right - allowance), end(right + allowance));
    AnswerView {
        ask: name,
        right: ask.shown(right),
        band: words.fill("handout.band", &[("low", &low), ("high", &high)]),
    }
}

fn band_figures(ask: &Ask) -> usize {
    use fieldcoil_calc::calculator::OutputKind;
    match ask.calculator.output(&ask.output).map(|output| &output.kind) {
        Some(OutputKind::Number(_, figures)) => figures + MORE_FIGURES,
        _ => 4 + MORE_FIGURES,
    }
}
