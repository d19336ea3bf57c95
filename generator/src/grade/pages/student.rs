//! A student's own page: numbers, answers, verdicts and points, and nothing of anybody else.

use fieldcoil_calc::homework::item::Item;
use fieldcoil_calc::homework::mark::Verdict;
use serde::Serialize;

use super::super::marked::{Marked, MarkedProblem};
use super::super::{Class, Entry, books};
use super::Around;
use crate::course::Homework;
use crate::render::{Words, drawn_text};

/// The page.
#[derive(Debug, Serialize)]
pub struct StudentPage {
    page: Around,
    code: String,
    name: String,
    points: String,
    lessons: Vec<Lesson>,
}

#[derive(Debug, Serialize)]
struct Lesson {
    title: String,
    /// Empty when nothing was handed in.
    how: String,
    time: String,
    points: String,
    problems: Vec<Problem>,
    readings: Vec<Reading>,
    remarks: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Problem {
    title: String,
    /// The problem with the student's numbers, as HTML.
    text: String,
    points: String,
    asks: Vec<Ask>,
    reasons: Vec<Reason>,
}

#[derive(Debug, Serialize)]
struct Ask {
    name: String,
    text: String,
    answer: String,
    /// The state whose mark and colour stand before the words.
    state: &'static str,
    says: &'static str,
    points: String,
}

#[derive(Debug, Serialize)]
struct Reason {
    text: String,
    answer: String,
    points: String,
}

#[derive(Debug, Serialize)]
struct Reading {
    label: String,
    written: String,
    unit: String,
}

/// The page of the student whose entries these are.
pub fn page(class: &Class, entries: &[Entry], page: Around, words: &Words) -> StudentPage {
    let (mut points, mut possible) = (0.0, 0.0);
    let lessons = entries.iter().map(|entry| {
        let lesson = class.lesson(entry);
        let own = entry
            .marked
            .as_ref()
            .map_or(0.0, |marked| marked.points_by_program() + marked.points_by_hand().0);
        let all = lesson.points_by_program() + lesson.points_by_hand();
        points += own;
        possible += all;
        let time = entry.submission.and_then(|submission| submission.handed_in.as_ref());
        Lesson {
            title: lesson.title.to_owned(),
            how: entry.submission.map_or("", |submission| submission.how()).to_owned(),
            time: time.map(|time| time.text().replace(['T', 'Z'], " ").trim().to_owned()).unwrap_or_default(),
            points: of(own, all, words),
            problems: entry
                .marked
                .as_ref()
                .map_or(Vec::new(), |marked| problems(class, entry, marked, words)),
            readings: entry.marked.as_ref().map_or(Vec::new(), |marked| readings(class, entry, marked)),
            remarks: entry.remarks.clone(),
        }
    });
    let lessons = lessons.collect();
    StudentPage {
        page,
        code: entries[0].code.to_string(),
        name: class.name_of(entries[0].student),
        points: of(points, possible, words),
        lessons,
    }
}

fn of(points: f64, possible: f64, words: &Words) -> String {
    let values = (books::points_words(points), books::points_words(possible));
    words.fill("grade.points_of", &[("points", &values.0), ("possible", &values.1)])
}

fn problems(class: &Class, entry: &Entry, marked: &Marked, words: &Words) -> Vec<Problem> {
    let all = class.lesson(entry).homework.iter().zip(&marked.problems);
    all.map(|((homework, item), problem)| view(homework, item, problem, words)).collect()
}

fn view(homework: &Homework, item: &Item, problem: &MarkedProblem, words: &Words) -> Problem {
    let asks = homework.asks.iter().zip(&item.asks).enumerate().map(|(at, (ask, own))| {
        let mark = &problem.marks[at];
        Ask {
            name: own.name.clone(),
            text: ask.text.clone(),
            answer: problem.written[at].clone(),
            state: state(mark.verdict),
            says: mark.verdict.says(),
            points: of(mark.points, own.points, words),
        }
    });
    let reasons = homework.reasons.iter().enumerate().map(|(at, reason)| Reason {
        text: reason.text.clone(),
        answer: problem.reasons[at].clone(),
        points: match problem.by_hand[at] {
            Some(points) => of(points, reason.points, words),
            None => words.get("grade.to_mark").to_owned(),
        },
    });
    Problem {
        title: homework.title.clone(),
        text: drawn_text(homework, item, &problem.numbers),
        points: of(problem.points(), homework.points(), words),
        asks: asks.collect(),
        reasons: reasons.collect(),
    }
}

fn state(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Right | Verdict::Follows | Verdict::NoAnswer => "within",
        Verdict::Power | Verdict::Unit => "too-close",
        Verdict::Wrong | Verdict::Unreadable => "outside",
        Verdict::Blank => "none",
    }
}

fn readings(class: &Class, entry: &Entry, marked: &Marked) -> Vec<Reading> {
    let lesson = class.lesson(entry);
    let taken = marked.readings.iter().filter(|reading| !reading.written.trim().is_empty());
    let view = taken.map(|reading| {
        let own = &lesson.sheets[reading.sheet].readings[reading.place];
        // A unit that was written along need not be said again.
        let is_bare = reading.written.ends_with(|c: char| c.is_ascii_digit());
        let unit = if is_bare { own.unit.clone() } else { String::new() };
        Reading { label: own.label.clone(), written: reading.written.clone(), unit }
    });
    view.collect()
}
