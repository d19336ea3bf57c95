//! The students' sheets of one lesson: the whole class in one page, each student's numbers in the text.

use anyhow::Context as _;
use fieldcoil_calc::homework::item::{Item, Numbers};
use serde::Serialize;

use super::frame::{BlockView, FrameView, Place};
use super::{qr, quiz, work};
use crate::course::{Homework, Term};
use crate::render::selfcheck::QuizView;
use crate::render::typeset::tied;
use crate::render::view::WorksheetView;
use crate::render::words::Words;
use crate::render::{escape, homework, link, templates, worksheet};
use crate::roster::{Roster, Student};

/// Lines on which a student works an ask out: what a sum with its formula takes by hand.
const WORKING: u32 = 3;

#[derive(Serialize)]
struct SetPage {
    frame: FrameView,
    block: BlockView,
    lesson: LessonView,
    students: Vec<StudentView>,
}

/// What is the same for the whole class.
#[derive(Serialize)]
struct LessonView {
    /// Homework, self-check, worksheet, or what there is of them.
    heading: String,
    summary: String,
    /// SVG of the square with the page's address, and the address in words; empty without one.
    square: String,
    address: String,
    has_homework: bool,
    worksheets: Vec<WorksheetView>,
}

#[derive(Serialize)]
struct StudentView {
    code: String,
    name: String,
    group: String,
    problems: Vec<ProblemView>,
    quizzes: Vec<QuizView>,
}

#[derive(Serialize)]
struct ProblemView {
    number: usize,
    name: String,
    title: String,
    points: String,
    /// HTML: the text with the student's numbers.
    text: String,
    asks: Vec<AskView>,
    reasons: Vec<ReasonView>,
}

#[derive(Serialize)]
struct AskView {
    name: String,
    text: String,
    unit: String,
    points: String,
    lines: Vec<u32>,
}

#[derive(Serialize)]
struct ReasonView {
    text: String,
    points: String,
    lines: Vec<u32>,
}

/// The page with the whole class.
pub fn page(place: &Place<'_>, roster: &Roster) -> anyhow::Result<String> {
    let Place { course, lesson, words, settings } = *place;
    let address = course
        .about
        .address
        .as_ref()
        .map(|address| format!("{}/{}", address.trim_end_matches('/'), link::page_path(&lesson.address)));
    let square = address.as_ref().and_then(|address| qr::square(address, words.get("handout.square")));
    let has_homework = work::homework(lesson).next().is_some();
    let heading = work::heading(lesson).context("a lesson without anything to give out")?;
    let view = LessonView {
        heading: words.get(heading).to_owned(),
        summary: lesson.summary.clone(),
        square: square.unwrap_or_default(),
        address: address.unwrap_or_default(),
        has_homework,
        worksheets: work::worksheets(lesson)
            .map(|sheet| paper_worksheet(worksheet::view(sheet, words), words))
            .collect(),
    };
    let term = course.about.term.as_ref();
    let student = |student: &Student| {
        let code = student.code?;
        let problem = |(index, (homework, item)): (usize, (&Homework, &Item))| {
            let numbers = numbers(item, term, &code.plain());
            problem(index + 1, homework, item, &numbers, words)
        };
        Some(StudentView {
            code: code.to_string(),
            name: if settings.names { student.name.clone() } else { String::new() },
            group: student.group.clone(),
            problems: work::homework(lesson).enumerate().map(problem).collect(),
            quizzes: quiz::of_student(place, &code.to_string()),
        })
    };
    let page = SetPage {
        frame: place.frame(heading, settings, false, false),
        block: place.block(),
        lesson: view,
        students: roster.students.iter().filter_map(student).collect(),
    };
    templates::page("handouts/set.html", words, &page)
}

/// A student's numbers; none without a term, without which no class set is made.
pub fn numbers(item: &Item, term: Option<&Term>, code: &str) -> Numbers {
    term.map(|term| work::numbers(item, term, code)).unwrap_or_default()
}

/// A problem's text as HTML with these numbers in it, each in a place that says which it is.
pub fn text(homework: &Homework, item: &Item, numbers: &Numbers) -> String {
    homework::filled(&homework.text.value, |field| {
        let drawn = numbers.iter().find(|(name, _)| name == field);
        let value = |text: &str| escape::text(&homework::shown(item, field, text));
        match drawn {
            Some((_, text)) => format!("<b class=\"drawn\" data-drawn=\"{field}\">{}</b>", value(text)),
            None => value(homework::given(item, field)),
        }
    })
}

fn problem(number: usize, homework: &Homework, item: &Item, numbers: &Numbers, words: &Words) -> ProblemView {
    let asks = homework.asks.iter().map(|ask| AskView {
        name: ask.name.value.clone(),
        text: tied(&ask.text).into_owned(),
        unit: ask.unit.value.clone(),
        points: homework::points(ask.points, words),
        lines: (0..WORKING).collect(),
    });
    let reasons = homework.reasons.iter().map(|reason| ReasonView {
        text: tied(&reason.text).into_owned(),
        points: homework::points(reason.points, words),
        lines: (0..reason.lines.clamp(1, worksheet::MOST_LINES)).collect(),
    });
    ProblemView {
        number,
        name: homework.name.value.clone(),
        title: homework.title.clone(),
        points: homework::points(homework.points(), words),
        text: text(homework, item, numbers),
        asks: asks.collect(),
        reasons: reasons.collect(),
    }
}

/// A worksheet without what stands on every sheet already, name and date, and with no line ending before a unit.
fn paper_worksheet(mut sheet: WorksheetView, words: &Words) -> WorksheetView {
    let said = [words.get("worksheet.name"), words.get("worksheet.date")];
    sheet.blanks.retain(|blank| !said.contains(&blank.as_str()));
    let texts = sheet.readings.iter_mut().flat_map(|reading| [&mut reading.label, &mut reading.limit]);
    for text in texts.chain(sheet.questions.iter_mut().map(|question| &mut question.ask)) {
        *text = tied(text).into_owned();
    }
    sheet
}
