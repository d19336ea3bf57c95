//! The worked steps of one lesson's problems, for every student: what the calculators' reports say.

use fieldcoil_calc::homework::item::Item;
use fieldcoil_calc::view;
use serde::Serialize;

use super::frame::{BlockView, FrameView, Place};
use super::key::{AnswerView, answer, by_code};
use super::{Settings, sheet, work};
use crate::course::Homework;
use crate::render::templates;
use crate::render::typeset::tied;
use crate::roster::{Roster, Student};

#[derive(Serialize)]
struct StepsPage {
    frame: FrameView,
    block: BlockView,
    students: Vec<StudentSteps>,
}

#[derive(Serialize)]
struct StudentSteps {
    code: String,
    name: String,
    problems: Vec<ProblemSteps>,
}

#[derive(Serialize)]
struct ProblemSteps {
    number: usize,
    title: String,
    /// HTML: the text with the student's numbers.
    text: String,
    asks: Vec<AskSteps>,
}

#[derive(Serialize)]
struct AskSteps {
    text: String,
    answer: AnswerView,
    /// HTML: the working; empty when it is that of the ask before.
    steps: String,
}

/// The worked steps of a lesson.
pub fn page(place: &Place<'_>, roster: &Roster) -> anyhow::Result<String> {
    let settings = Settings { double_sided: false, large_print: false, ..place.settings };
    let student = |student: &Student| {
        let code = student.code?;
        let problems = work::homework(place.lesson).enumerate();
        let problem = |(index, (homework, item)): (usize, (&Homework, &Item))| {
            problem(index + 1, homework, item, place, &code.plain())
        };
        Some(StudentSteps {
            code: code.to_string(),
            name: student.name.clone(),
            problems: problems.map(problem).collect(),
        })
    };
    let page = StepsPage {
        frame: place.frame("handout.steps", settings, true, false),
        block: place.block(),
        students: by_code(roster).into_iter().filter_map(student).collect(),
    };
    templates::page("handouts/steps.html", place.words, &page)
}

fn problem(number: usize, homework: &Homework, item: &Item, place: &Place<'_>, code: &str) -> ProblemSteps {
    let numbers = sheet::numbers(item, place.course.about.term.as_ref(), code);
    let right = item.answers(&numbers);
    let mut before = String::new();
    let mut asks = Vec::new();
    for (at, (ask, asked)) in item.asks.iter().zip(&homework.asks).enumerate() {
        let steps = match item.report(ask, &numbers, &right[..at]) {
            Ok(report) => view::parts(&report).steps,
            Err(refusal) => view::refused(&refusal).readings,
        };
        let is_new = steps != before;
        asks.push(AskSteps {
            text: tied(&asked.text).into_owned(),
            answer: answer(ask, right[at], place.words),
            steps: if is_new { steps.clone() } else { String::new() },
        });
        before = steps;
    }
    ProblemSteps { number, title: homework.title.clone(), text: sheet::text(homework, item, &numbers), asks }
}
