//! The tables that the instructor keeps: gradebook, answers, readings, reasons, flags, outcomes.

use fieldcoil_calc::homework::mark::Verdict;

use super::marked::measured;
use super::outcome::OutcomeRow;
use super::table::{Cell, plain, write};
use super::{Class, Entry};

/// Verdicts in the order of the gradebook's columns.
const VERDICTS: [Verdict; 8] = [
    Verdict::Right,
    Verdict::Follows,
    Verdict::Power,
    Verdict::Unit,
    Verdict::Wrong,
    Verdict::Blank,
    Verdict::Unreadable,
    Verdict::NoAnswer,
];

/// One row for each student and lesson.
pub fn gradebook(class: &Class) -> Vec<u8> {
    let mut heads = vec!["code", "name", "group", "lesson", "handed_in", "time", "points", "possible"];
    heads.extend(["by_program", "by_program_possible", "by_hand", "by_hand_possible", "reasons_to_mark"]);
    heads.extend(VERDICTS.map(Verdict::word));
    heads.extend(["readings", "readings_possible", "flags"]);
    write(
        &heads,
        class.entries.iter().map(|entry| {
            let lesson = class.lesson(entry);
            let marked = entry.marked.as_ref();
            let by_program = marked.map_or(0.0, |marked| marked.points_by_program());
            let (by_hand, to_mark) = marked.map_or((0.0, 0), |marked| marked.points_by_hand());
            let possible = (lesson.points_by_program(), lesson.points_by_hand());
            let time = entry.submission.and_then(|submission| submission.handed_in.as_ref());
            let mut row = who(class, entry);
            row.extend([
                Cell::text(lesson.address),
                Cell::text(entry.submission.map_or("missing", |submission| submission.how())),
                time.map_or(Cell::Blank, |time| Cell::text(time.text())),
                Cell::Number(by_program + by_hand),
                Cell::Number(possible.0 + possible.1),
                Cell::Number(by_program),
                Cell::Number(possible.0),
                Cell::Number(by_hand),
                Cell::Number(possible.1),
                Cell::count(to_mark),
            ]);
            let asks: usize = lesson.homework.iter().map(|(_, item)| item.asks.len()).sum();
            row.extend(VERDICTS.map(|verdict| match (marked, verdict) {
                (Some(marked), verdict) => Cell::count(marked.count(verdict)),
                (None, Verdict::Blank) => Cell::count(asks),
                (None, _) => Cell::count(0),
            }));
            let readings: usize = lesson.sheets.iter().map(|sheet| sheet.readings.len()).sum();
            let taken = marked.map_or(0, |marked| marked.readings_taken());
            row.extend([Cell::count(taken), Cell::count(readings), Cell::count(entry.flags)]);
            row
        }),
    )
}

/// Code, name and group.
fn who(class: &Class, entry: &Entry) -> Vec<Cell> {
    let student = &class.roster.students[entry.student];
    let name = class.name_of(entry.student);
    vec![Cell::text(entry.code.to_string()), Cell::text(name), Cell::text(student.group.clone())]
}

/// One row for each answer, with what is right: a key.
pub fn answers(class: &Class) -> Vec<u8> {
    let heads = [
        "code", "lesson", "homework", "ask", "numbers", "answer", "read_as", "right", "unit", "verdict",
        "points", "possible",
    ];
    let mut rows = Vec::new();
    for (entry, marked) in class.with_work() {
        for ((_, item), problem) in class.lesson(entry).homework.iter().zip(&marked.problems) {
            let numbers: Vec<String> =
                problem.numbers.iter().map(|(field, text)| format!("{field} {text}")).collect();
            for ((ask, mark), written) in item.asks.iter().zip(&problem.marks).zip(&problem.written) {
                rows.push(vec![
                    Cell::text(entry.code.to_string()),
                    Cell::text(class.lesson(entry).address),
                    Cell::text(item.name.clone()),
                    Cell::text(ask.name.clone()),
                    Cell::text(numbers.join("; ")),
                    Cell::text(written.clone()),
                    Cell::maybe(mark.given.map(|given| ask.unit.of_base(given))),
                    Cell::maybe(mark.right.map(|right| ask.unit.of_base(right))),
                    Cell::text(ask.unit.symbol),
                    Cell::text(mark.verdict.word()),
                    Cell::Number(mark.points),
                    Cell::Number(ask.points),
                ]);
            }
        }
    }
    write(&heads, rows)
}

/// One row for each reading.
pub fn readings(class: &Class) -> Vec<u8> {
    let heads = ["code", "lesson", "sheet", "reading", "written", "value", "unit", "limit"];
    let mut rows = Vec::new();
    for (entry, marked) in class.with_work() {
        let lesson = class.lesson(entry);
        for reading in marked.readings.iter().filter(|reading| !reading.written.trim().is_empty()) {
            let sheet = lesson.sheets[reading.sheet];
            let own = &sheet.readings[reading.place];
            let within = reading.value.filter(|_| measured(own).is_some()).map(|value| {
                let low = own.minimum.is_none_or(|minimum| value >= minimum);
                let high = own.maximum.is_none_or(|maximum| value <= maximum);
                match (low, high) {
                    (true, true) if own.minimum.is_none() && own.maximum.is_none() => "none",
                    (true, true) => "within",
                    (false, _) => "below",
                    (true, false) => "above",
                }
            });
            rows.push(vec![
                Cell::text(entry.code.to_string()),
                Cell::text(lesson.address),
                Cell::text(sheet.id.clone()),
                Cell::text(own.name.value.clone()),
                Cell::text(reading.written.clone()),
                Cell::maybe(reading.value),
                Cell::text(own.unit.clone()),
                within.map_or(Cell::Blank, Cell::text),
            ]);
        }
    }
    write(&heads, rows)
}

/// The answers in words, with a column for points that is blank until they are marked. Filled in and put into the folder
/// of hand-ins, the table is read back.
pub fn reasons(class: &Class) -> Vec<u8> {
    let heads = ["code", "homework", "reason", "question", "words", "possible", "points"];
    let mut rows = Vec::new();
    for (entry, marked) in class.with_work() {
        for ((homework, _), problem) in class.lesson(entry).homework.iter().zip(&marked.problems) {
            for (at, reason) in homework.reasons.iter().enumerate() {
                rows.push(vec![
                    Cell::text(entry.code.to_string()),
                    Cell::text(homework.name.value.clone()),
                    Cell::count(at + 1),
                    Cell::text(reason.text.clone()),
                    Cell::text(problem.reasons[at].clone()),
                    Cell::Number(reason.points),
                    Cell::maybe(problem.by_hand[at]),
                ]);
            }
        }
    }
    write(&heads, rows)
}

/// The flags.
pub fn flags(class: &Class) -> Vec<u8> {
    let rows = class.flags.iter().map(|flag| {
        vec![
            Cell::text(flag.code.clone()),
            Cell::text(flag.lesson.clone()),
            Cell::text(flag.kind.word()),
            Cell::text(flag.says.clone()),
            Cell::text(flag.kind.to_do()),
            Cell::text(flag.file.clone()),
        ]
    });
    write(&["code", "lesson", "flag", "says", "to_do", "file"], rows)
}

/// One row for each student and outcome.
pub fn outcomes(class: &Class, all: &[OutcomeRow]) -> Vec<u8> {
    let heads = ["code", "outcome", "points", "possible", "sheets", "sheets_possible"];
    let rows = all.iter().map(|row| {
        vec![
            Cell::text(class.entries_code(row.student)),
            Cell::text(row.outcome.clone()),
            Cell::Number(row.points),
            Cell::Number(row.possible),
            Cell::count(row.sheets),
            Cell::count(row.sheets_possible),
        ]
    });
    write(&heads, rows)
}

/// A number of points as pages show it.
pub fn points_words(points: f64) -> String {
    plain(points)
}
