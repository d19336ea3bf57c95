//! A whole term with the built program alone: a drafted course, a class set on paper, the site, a pile of hand-ins of which
//! five are odd, and the next term.

#[path = "support/program.rs"]
mod program;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use fieldcoil::course::{Homework, Piece};
use fieldcoil::pipeline;
use fieldcoil::roster;
use fieldcoil::source::load;
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::draw::Lot;
use program::run;
use serde_json::json;

const STUDENTS: usize = 24;
const KEY: &str = "copper heron";

/// The right answers of the drafted problem for each code.
fn right_answers(course: &Path, codes: &[Code]) -> Vec<String> {
    let (sources, found) = load::course(course).expect("readable");
    let (checked, found) = pipeline::check(&sources, found);
    assert!(found.is_empty(), "{found:?}");
    let lessons = checked.lessons();
    let mut pieces = lessons.iter().flat_map(|read| &read.lesson.pieces);
    let homework: &Homework = pieces
        .find_map(|piece| match piece {
            Piece::Homework(homework) => Some(&**homework),
            _ => None,
        })
        .expect("a draft has homework");
    let item = homework.item.as_ref().expect("it is bound");
    let answer = |code: &Code| {
        let numbers = item.numbers(&Lot { key: KEY, code: &code.plain(), attempt: 0 });
        item.asks[0].shown(item.answers(&numbers)[0].expect("an answer"))
    };
    codes.iter().map(answer).collect()
}

fn hand_in(code: &str, term: &str, answer: &str) -> String {
    json!({
        "fieldcoil_hand_in": 1, "course": "Relays", "edition": "1", "term": term, "lesson": "first-lesson", "code": code,
        "draw": 1, "key": KEY, "tool": "0.1.0", "started": "2026-09-15T13:00:00Z", "handed_in": "2026-09-15T14:20:10Z",
        "homework": [{ "name": "first-lesson", "answers": { "a": answer }, "reasons": ["It loses little."] }],
        "readings": [{ "sheet": "worksheet-1", "values": { "settled_current_a": "62" }, "answers": [] }],
        "checklists": [],
    })
    .to_string()
}

/// What of a table of flags each code has, the kinds in order.
fn flags(table: &Path) -> BTreeMap<String, Vec<String>> {
    let mut all: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut rows = csv::Reader::from_path(table).expect("there are flags");
    for row in rows.records() {
        let row = row.expect("a row");
        assert!(!row[4].is_empty(), "{row:?} says what to do");
        all.entry(row[0].to_owned()).or_default().push(row[2].to_owned());
    }
    all
}

#[test]
fn a_term_from_the_draft_to_the_grades_and_into_the_next() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |path: &str| folder.path().join(path);
    let read = |path: &str| fs::read_to_string(at(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
    let write = |path: &str, text: &str| fs::write(at(path), text).expect("written");
    let call = |args: &[&str]| {
        let (status, out, errors) = run(folder.path(), args);
        assert_eq!(status, 0, "{args:?}: {out}{errors}");
        out + &errors
    };

    call(&["draft", "course", "relays", "--title", "Relays"]);
    let term = |name: &str, starts: &str, key: &str| {
        let drafted = read("relays/course.toml");
        let about =
            drafted.split("[term]").next().expect("a part before it").trim_end_matches("# ").to_owned();
        write(
            "relays/course.toml",
            &format!("{about}[term]\nname = \"{name}\"\nstarts = {starts}\nkey = \"{key}\"\n"),
        );
    };
    term("Autumn 2026", "2026-09-07", KEY);
    assert_eq!(call(&["proof", "relays", "--strict"]), "1 lesson, nothing found.\n");

    // The class as a spreadsheet saves it where a comma is the decimal sign.
    let names: Vec<String> = (0..STUDENTS).map(|number| format!("Student {number} of Hollow Fen")).collect();
    write(
        "class.csv",
        &format!("code;name\n{}", names.iter().map(|name| format!(";{name}\n")).collect::<String>()),
    );
    assert!(call(&["handouts", "relays", "--roster", "class.csv"]).contains("24 codes were drawn"));
    fs::copy(at("handouts/instructor/roster.csv"), at("roster.csv")).expect("copied");
    let (class, complaints) = roster::read("roster.csv", &read("roster.csv"));
    assert_eq!((class.students.len(), complaints), (STUDENTS, vec![]));
    let codes: Vec<Code> = class.students.iter().filter_map(|student| student.code).collect();
    let sheets = read("handouts/students/first-lesson.html");
    assert!(codes.iter().all(|code| sheets.contains(&code.to_string())), "each student has a sheet");

    assert!(call(&["site", "relays", "--zip", "relays.zip"]).contains("Packed: relays.zip"));
    let page = read("site/first-lesson.html");
    assert!(!names.iter().any(|name| page.contains(name.as_str())), "the site knows nobody");

    // 19 as they should be; one torn, one of last term, one twice, one of nobody, one copied.
    let right = right_answers(&at("relays"), &codes);
    fs::create_dir(at("handed-in")).expect("made");
    for (number, (code, answer)) in codes.iter().zip(&right).enumerate() {
        let code = code.to_string();
        let put = |name: &str, text: &str| write(&format!("handed-in/handin_first-lesson_{name}.json"), text);
        let plain = hand_in(&code, "Autumn 2026", answer);
        match number {
            3 => put(&code, &plain[..plain.len() / 2]),
            7 => put(&code, &hand_in(&code, "Spring 2026", answer)),
            11 => {
                put(&code, &plain);
                put(&format!("{code} (1)"), &plain.replace("14:20:10", "15:00:00"));
            }
            15 => put("BK4-7TXQ", &hand_in("BK4-7TXQ", "Autumn 2026", answer)),
            19 => {
                let other = right.iter().find(|other| *other != answer).expect("numbers differ");
                put(&code, &hand_in(&code, "Autumn 2026", other));
            }
            _ => put(&code, &plain),
        }
    }
    let graded = call(&["grade", "relays", "handed-in", "--roster", "roster.csv", "--names"]);
    assert!(graded.contains("25 hand-ins") && graded.contains("cut off"), "{graded}");
    let kinds = |list: &[&str]| list.iter().map(|kind| (*kind).to_owned()).collect::<Vec<_>>();
    let expected = BTreeMap::from([
        (codes[3].to_string(), kinds(&["unreadable-file", "missing"])),
        (codes[7].to_string(), kinds(&["other-term"])),
        (codes[11].to_string(), kinds(&["duplicate"])),
        (codes[15].to_string(), kinds(&["missing"])),
        ("BK4-7TXQ".to_owned(), kinds(&["unknown-code"])),
        (codes[19].to_string(), kinds(&["others-numbers"])),
    ]);
    assert_eq!(flags(&at("grades/flags.csv")), expected);
    let class_page = read("grades/index.html");
    assert!(
        class_page.contains("Student 19 of Hollow Fen</td><td>others numbers"),
        "a flag says whose it is"
    );
    let mut rows = csv::Reader::from_path(at("grades/gradebook.csv")).expect("a gradebook");
    let right = rows.records().filter(|row| row.as_ref().is_ok_and(|row| &row[13] == "1")).count();
    assert_eq!(right, STUDENTS - 3, "all but those who are missing and who copied");

    // The next term: other numbers for the same codes, and another class does not lose the codes of this one.
    term("Spring 2027", "2027-02-01", "slow kettle");
    call(&["handouts", "relays", "--roster", "roster.csv"]);
    assert_ne!(read("handouts/students/first-lesson.html"), sheets, "other numbers");
    write("spring.csv", "name\nAnother Student\n");
    let (status, _, errors) = run(folder.path(), &["handouts", "relays", "--roster", "spring.csv"]);
    assert!(status == 2 && errors.contains("24 codes") && errors.contains("--out"), "{errors}");
    call(&["handouts", "relays", "--roster", "spring.csv", "--out", "spring"]);
    call(&["grade", "relays", "handed-in", "--roster", "roster.csv", "--out", "late"]);
    let late = flags(&at("late/flags.csv"));
    let old = late.values().filter(|kinds| kinds.contains(&"other-term".to_owned()));
    assert_eq!(old.count(), STUDENTS - 2, "{late:?}");
    let copied = late.values().flatten().any(|kind| kind == "others-numbers");
    assert!(!copied, "whoever worked with other numbers has not copied them: {late:?}");
}
