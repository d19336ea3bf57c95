//! A sheet for each student on which the instructor signs the outcomes of the course, whenever one has been shown.

use serde::Serialize;

use super::Settings;
use super::frame::{BlockView, FrameView};
use crate::course::{Course, coverage};
use crate::render::templates;
use crate::render::typeset::tied;
use crate::render::words::Words;
use crate::roster::{Roster, Student};

#[derive(Serialize)]
struct SignOffPage {
    frame: FrameView,
    block: BlockView,
    outcomes: Vec<Row>,
    students: Vec<StudentView>,
}

#[derive(Serialize)]
struct Row {
    name: String,
    text: String,
    priority: u32,
    /// The lessons that assess it, by number and title.
    assessed: Vec<String>,
}

#[derive(Serialize)]
struct StudentView {
    code: String,
    name: String,
    group: String,
}

/// The page with a sheet for the whole class; nothing when the course has no list of outcomes.
pub fn page(
    course: &Course,
    roster: &Roster,
    settings: Settings,
    words: &Words,
) -> Option<anyhow::Result<String>> {
    if course.outcomes.is_empty() {
        return None;
    }
    let title = words.get("outcomes.sign_off");
    let row = |covered: &crate::course::Coverage<'_>| Row {
        // A name is not broken at its hyphen.
        name: covered.outcome.name.value.replace('-', "\u{2011}"),
        text: tied(&covered.outcome.text).into_owned(),
        priority: covered.outcome.priority,
        assessed: covered
            .assessed
            .iter()
            .map(|lesson| format!("{}. {}", lesson.number, lesson.title))
            .collect(),
    };
    let student = |student: &Student| {
        Some(StudentView {
            code: student.code?.to_string(),
            name: if settings.names { student.name.clone() } else { String::new() },
            group: student.group.clone(),
        })
    };
    let head = format!("{title} · {}", course.about.title);
    let page = SignOffPage {
        frame: FrameView::plain(&course.about.language, head, settings, false, words),
        block: BlockView::of_course(course, title),
        outcomes: coverage(course).iter().map(row).collect(),
        students: roster.students.iter().filter_map(student).collect(),
    };
    Some(templates::page("handouts/sign_off.html", words, &page))
}
