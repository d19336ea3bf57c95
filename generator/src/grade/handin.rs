//! A hand-in file: JSON that anybody may have written, read without trust.

mod place;

use std::collections::BTreeMap;

use fieldcoil_calc::homework::code::Code;
use serde_json::Value;

use crate::complaint::Complaint;
use place::Place;

/// The version of the file that is read.
pub const VERSION: u64 = 1;
/// Bytes that a file may have.
pub const MOST_BYTES: usize = 256 * 1024;
/// How deep lists and tables may stand in each other; the file that the page writes needs five.
const MOST_DEEP: usize = 12;
/// Entries that a list or a table may have.
const MOST_ENTRIES: usize = 300;
/// Letters that a name, a code or a time may have.
const LONGEST_NAME: usize = 200;
/// Letters that an answer may have.
const LONGEST_TEXT: usize = 10_000;

/// Complaints that are told of one file.
const MOST_COMPLAINTS: usize = 20;

/// What one student hands in for one lesson.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct HandIn {
    /// The file as it was named.
    pub file: String,
    /// The course's title.
    pub course: String,
    /// Its edition.
    pub edition: String,
    /// The term's name.
    pub term: String,
    /// The term's key.
    pub key: String,
    /// The lesson's address.
    pub lesson: String,
    /// The code as it was written.
    pub code_text: String,
    /// The code, when it is one.
    pub code: Option<Code>,
    /// By which version of the rule the numbers were drawn.
    pub draw: u64,
    /// When work began, and when it was handed in, by the student's clock.
    pub started: Option<Moment>,
    /// See [`started`](HandIn::started).
    pub handed_in: Option<Moment>,
    /// Answers to problems.
    pub homework: Vec<Work>,
    /// Sheets for readings.
    pub sheets: Vec<Sheet>,
    /// Checklists.
    pub checklists: Vec<Checklist>,
}

/// Answers to one problem.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Work {
    /// The problem's name.
    pub name: String,
    /// What was typed, by the ask's name.
    pub answers: BTreeMap<String, String>,
    /// What was answered in words.
    pub reasons: Vec<String>,
}

/// One sheet for readings.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// The sheet's anchor.
    pub sheet: String,
    /// What was typed, by the reading's name.
    pub values: BTreeMap<String, String>,
    /// The answers to its questions.
    pub answers: Vec<String>,
}

/// One checklist.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Checklist {
    /// The hookup's name or anchor.
    pub list: String,
    /// Steps ticked, of how many.
    pub done: u64,
    /// See [`done`](Checklist::done).
    pub of: u64,
    /// How long current flowed, in ms, by the step's number.
    pub energized_ms: BTreeMap<String, u64>,
}

/// A time in UTC as `2026-11-26T15:48:00Z`: checked, so that later ones sort after earlier ones.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(String);

impl Moment {
    /// Reads a time; parts of a second are left out.
    pub fn read(text: &str) -> Option<Moment> {
        let (to_seconds, rest) = text.split_at_checked(19)?;
        let fraction = rest.strip_suffix('Z')?;
        let digits = fraction.strip_prefix('.').unwrap_or(if fraction.is_empty() { "0" } else { "" });
        if digits.is_empty() || digits.len() > 9 || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
            return None;
        }
        let fits = |(at, byte): (usize, u8)| match at {
            4 | 7 => byte == b'-',
            10 => byte == b'T',
            13 | 16 => byte == b':',
            _ => byte.is_ascii_digit(),
        };
        if !to_seconds.bytes().enumerate().all(fits) {
            return None;
        }
        let part = |from: usize, to: usize| to_seconds[from..to].parse::<u8>().ok();
        let year = to_seconds[..4].parse::<i32>().ok()?;
        let month = time::Month::try_from(part(5, 7)?).ok()?;
        time::Date::from_calendar_date(year, month, part(8, 10)?).ok()?;
        let is_time = part(11, 13)? < 24 && part(14, 16)? < 60 && part(17, 19)? < 60;
        is_time.then(|| Moment([to_seconds, "Z"].concat()))
    }

    /// The time as text.
    pub fn text(&self) -> &str {
        &self.0
    }
}

/// Reads a hand-in; all that is wrong with its form is said at once.
pub fn read(file: &str, bytes: &[u8]) -> Result<HandIn, Vec<Complaint>> {
    let refuse = |message: String, help: &str| Err(vec![Complaint::of_file(file, message, help)]);
    if bytes.len() > MOST_BYTES {
        return too_large(file);
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        return refuse("it is not UTF-8".to_owned(), "have the student hand in again from the page");
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if depth(text) > MOST_DEEP {
        let message = format!("lists and tables stand in each other more than {MOST_DEEP} deep");
        return refuse(message, "no page of a course writes such a file; ask the student where it is from");
    }
    let value: Value = match serde_json::from_str(text) {
        Ok(value) => value,
        Err(problem) => {
            let message = match problem.is_eof() {
                true => "the file is cut off: its end is missing".to_owned(),
                false => format!("the file was edited or damaged: {}", short_problem(&problem)),
            };
            let help = "have the student hand in again from the page";
            return Err(vec![Complaint::of_file(file, message, help).at(problem.line() as u64)]);
        }
    };
    let mut complaints = Vec::new();
    let hand_in = hand_in(file, &value, &mut complaints);
    if complaints.len() > MOST_COMPLAINTS {
        let message = format!("{} more of its form is wrong", complaints.len() - MOST_COMPLAINTS);
        complaints.truncate(MOST_COMPLAINTS);
        complaints.push(Complaint::of_file(
            file,
            message,
            "no page writes such a file; ask the student where it is from",
        ));
    }
    if complaints.is_empty() { Ok(hand_in) } else { Err(complaints) }
}

/// What is said of a file that is too large to be read at all.
pub fn too_large<T>(file: &str) -> Result<T, Vec<Complaint>> {
    let message = format!("it has more than {} kB", MOST_BYTES / 1024);
    Err(vec![Complaint::of_file(file, message, "hand-ins are a few kB; ask the student where it is from")])
}

/// The problem without its place, which stands before it.
fn short_problem(problem: &serde_json::Error) -> String {
    let words = problem.to_string();
    words.split(" at line ").next().unwrap_or_default().to_owned()
}

/// How deep lists and tables stand in each other, counted before anything is built of them.
fn depth(text: &str) -> usize {
    let (mut depth, mut most, mut quoted, mut escaped) = (0usize, 0, false, false);
    for byte in text.bytes() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'[' | b'{' if !quoted => {
                depth += 1;
                most = most.max(depth);
            }
            b']' | b'}' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    most
}

fn hand_in(file: &str, value: &Value, complaints: &mut Vec<Complaint>) -> HandIn {
    let mut top = Place::new(file, value, complaints);
    if !top.is_table() {
        return HandIn::default();
    }
    match top.whole("fieldcoil_hand_in") {
        Some(VERSION) | None => {}
        Some(other) => top.complain(
            "fieldcoil_hand_in",
            &format!("version {other} of the file is not known here, only {VERSION}"),
            "use the same version of fieldcoil for the site and for grading",
        ),
    }
    let code_text = top.name("code");
    HandIn {
        file: file.to_owned(),
        course: top.name("course"),
        edition: top.name_or_nothing("edition"),
        term: top.name("term"),
        key: top.name("key"),
        lesson: top.name("lesson"),
        code: Code::read(&code_text).ok(),
        code_text,
        draw: top.whole("draw").unwrap_or_default(),
        started: top.moment("started"),
        handed_in: top.moment("handed_in"),
        homework: top.list("homework", |place| Work {
            name: place.name("name"),
            answers: place.texts_by_name("answers"),
            reasons: place.texts("reasons"),
        }),
        sheets: top.list("readings", |place| Sheet {
            sheet: place.name("sheet"),
            values: place.texts_by_name("values"),
            answers: place.texts("answers"),
        }),
        checklists: top.list("checklists", |place| Checklist {
            list: place.name("list"),
            done: place.whole("done").unwrap_or_default(),
            of: place.whole("of").unwrap_or_default(),
            energized_ms: place.numbers_by_name("energized_ms"),
        }),
    }
}

#[cfg(test)]
mod tests;
