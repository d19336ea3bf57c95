//! A simulated class: thirty students, most of them with one known mistake.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use fieldcoil::course::{Homework, Piece};
use fieldcoil::pipeline::{self, Checked};
use fieldcoil::resolve::Read;
use fieldcoil::roster::Roster;
use fieldcoil::source::{SourceSet, load};
use fieldcoil_calc::homework::code::{Code, DRAWN};
use fieldcoil_calc::homework::draw::Lot;
use serde_json::{Value, json};

/// The course for tests.
pub fn course_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/grade/course")
}

/// Its texts.
pub fn sources() -> SourceSet {
    let (sources, found) = load::course(&course_folder()).expect("readable");
    assert!(found.is_empty(), "{found:?}");
    sources
}

/// The course, without findings.
pub fn course(sources: &SourceSet) -> Checked<'_> {
    let (checked, found) = pipeline::check(sources, Vec::new());
    assert!(found.is_empty(), "{found:?}");
    checked
}

/// A code for each number, no two alike and always the same.
pub fn code(number: usize) -> Code {
    let places = |seed: usize| {
        let mut state = (number * 40 + seed) as u32;
        let mut drawn = [0; DRAWN];
        for place in &mut drawn {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            *place = ((state >> 16) % 28) as u8;
        }
        Code::of(drawn)
    };
    (0..40).find_map(places).expect("one of forty has a check letter")
}

/// A roster of so many students and one who has no code yet.
pub fn roster_text(students: usize) -> String {
    let mut text = "code,name,group\r\n".to_owned();
    for number in 0..students {
        let group = if number % 2 == 0 { "red" } else { "blue" };
        text.push_str(&format!("{},Student {number} of Marlbeck,{group}\r\n", code(number)));
    }
    text.push_str(",Late Comer,red\r\n");
    text
}

/// The same, read.
pub fn roster(students: usize) -> Roster {
    let (roster, complaints) = fieldcoil::roster::read("class.csv", &roster_text(students));
    assert_eq!(complaints, []);
    roster
}

/// The problems of these lessons.
pub fn problems<'l>(lessons: &'l [Arc<Read<'_>>]) -> Vec<&'l Homework> {
    let pieces = lessons.iter().flat_map(|read| &read.lesson.pieces);
    pieces
        .filter_map(|piece| match piece {
            Piece::Homework(homework) => Some(&**homework),
            _ => None,
        })
        .collect()
}

/// The right answers of a student to a problem, each times a factor, as text in the unit wanted.
pub fn answers(homework: &Homework, code: Code, factors: &[f64]) -> Vec<String> {
    let item = homework.item.as_ref().expect("it is bound");
    let plain = code.plain();
    let numbers = item.numbers(&Lot { key: "heron-on-the-sluice", code: &plain, attempt: 0 });
    let right = item.answers(&numbers);
    let all = item.asks.iter().zip(right).zip(factors);
    all.map(|((ask, right), factor)| ask.shown(right.expect("an answer") * factor)).collect()
}

/// The answer to the second ask of a problem that follows from a first answer of so many times the right one.
pub fn follows(homework: &Homework, code: Code, factor: f64) -> String {
    let item = homework.item.as_ref().expect("it is bound");
    let plain = code.plain();
    let numbers = item.numbers(&Lot { key: "heron-on-the-sluice", code: &plain, attempt: 0 });
    let first = item.answers(&numbers)[0].expect("an answer") * factor;
    let report = item.report(&item.asks[1], &numbers, &[Some(first)]).expect("worked");
    item.asks[1].shown(item.asks[1].answer(&report).expect("a number"))
}

/// A hand-in with these answers, as the page writes it.
pub fn hand_in(lesson: &str, code: Code, problem: &str, answers: &[String]) -> Value {
    let named: serde_json::Map<String, Value> = ["a", "b", "c"]
        .iter()
        .zip(answers)
        .map(|(name, answer)| ((*name).to_owned(), json!(answer)))
        .collect();
    json!({
        "fieldcoil_hand_in": 1,
        "course": "Grading, a course for tests",
        "edition": "1",
        "term": "Autumn 2026",
        "lesson": lesson,
        "code": code.to_string(),
        "draw": 1,
        "key": "heron-on-the-sluice",
        "tool": "0.1.0",
        "started": "2026-09-09T08:00:00Z",
        "handed_in": "2026-09-09T09:30:00Z",
        "homework": [{ "name": problem, "answers": named, "reasons": ["It loses too much."] }],
        "readings": [{ "sheet": "worksheet-1", "values": {
            "settled_current_a": "62", "terminal_voltage_v": "10.5", "speed_rpm": "7200", "peak_current_a": "410 A",
            "energized_s": "4,5", "pinion": "out, and back in"
        }, "answers": [] }],
        "checklists": [{ "list": "free-spin", "done": 30, "of": 33, "initials": ["MB"], "energized_ms": { "16": 4200 } }],
        "seen_by_a_later_version": true
    })
}

/// The files of the simulated class: path and bytes. What each student did wrong stands beside them.
pub fn files(checked: &Checked) -> Vec<(String, Vec<u8>)> {
    let lessons = checked.lessons();
    let problems = problems(&lessons);
    let (drop, source) = (problems[0], problems[1]);
    let mut files: Vec<(String, Vec<u8>)> = Vec::new();
    let mut put = |name: String, value: &Value| {
        files.push((name, serde_json::to_vec_pretty(value).expect("JSON")));
    };
    let plain = |number: usize| {
        hand_in("free-spin", code(number), "drop-of-a-run", &answers(drop, code(number), &[1.0, 1.0]))
    };
    let answered = |number: usize, own: &[String]| hand_in("free-spin", code(number), "drop-of-a-run", own);
    let name = |number: usize| format!("free-spin/handin_free-spin_{}.json", code(number));

    // Nothing wrong.
    put(name(0), &plain(0));
    // The wrong power of ten in the first answer.
    put(name(1), &answered(1, &answers(drop, code(1), &[1000.0, 1.0])));
    // No units.
    let bare = answers(drop, code(2), &[1.0, 1.0])
        .iter()
        .map(|text| text.split('\u{a0}').next().unwrap_or_default().to_owned())
        .collect::<Vec<_>>();
    put(name(2), &answered(2, &bare));
    // A wrong first answer.
    put(name(3), &answered(3, &answers(drop, code(3), &[1.5, 1.0])));
    // Copied from the neighbour.
    put(name(4), &answered(4, &answers(drop, code(0), &[1.0, 1.0])));
    // Blank.
    put(name(5), &answered(5, &[String::new(), "  ".to_owned()]));
    // Hostile texts.
    let mut hostile = answered(
        6,
        &["=HYPERLINK(\"http://evil.example\",\"x\")".to_owned(), "<script>alert(1)</script>".to_owned()],
    );
    hostile["homework"][0]["reasons"] = json!(["<img src=x onerror=alert(1)>\n@SUM(A1:A9)"]);
    hostile["readings"][0]["values"]["pinion"] = json!("+cmd|' /C calc'!A0");
    put(name(6), &hostile);
    // Handed in twice, wrong and then right.
    let mut first = answered(7, &answers(drop, code(7), &[3.0, 3.0]));
    first["handed_in"] = json!("2026-09-09T09:10:00Z");
    put(format!("free-spin/handin_free-spin_{} (1).json", code(7)), &plain(7));
    put(name(7), &first);
    // 8 hands nothing in. 9 writes a letter of the code wrong.
    let mut slipped = plain(9);
    let mut letters: Vec<char> = code(9).to_string().chars().collect();
    letters[1] = if letters[1] == '2' { '3' } else { '2' };
    slipped["code"] = json!(letters.iter().collect::<String>());
    put(name(9), &slipped);
    // A form that is wrong in several places.
    put(
        name(13),
        &json!({
            "fieldcoil_hand_in": 2, "course": 7, "term": "Autumn 2026", "key": "heron-on-the-sluice", "lesson": "free-spin",
            "code": code(13).to_string(), "draw": -1, "handed_in": "yesterday",
            "homework": [{ "name": "drop-of-a-run", "answers": { "a": 5 } }, "x"], "readings": {}
        }),
    );
    // Another course.
    let mut other = plain(14);
    other["course"] = json!("Welding");
    put(name(14), &other);
    // Another term, edition and key, and the same answers.
    let mut other = plain(15);
    (other["term"], other["edition"], other["key"]) = (json!("Spring 2026"), json!("0"), json!("otter"));
    put(name(15), &other);
    // Another version of the draw.
    let mut other = plain(16);
    other["draw"] = json!(2);
    put(name(16), &other);
    // A lesson that is not there.
    let mut other = plain(17);
    other["lesson"] = json!("free-spn");
    put(name(17), &other);
    // A problem, an ask, a sheet and a list that are not there.
    let mut other = plain(18);
    other["homework"][0]["answers"]["z"] = json!("1");
    other["homework"].as_array_mut().expect("a list").push(json!({ "name": "welds", "answers": {} }));
    other["readings"].as_array_mut().expect("a list").push(json!({ "sheet": "worksheet-9", "values": {} }));
    put(name(18), &other);
    // Handed in before it was begun.
    let mut other = plain(19);
    other["started"] = json!("2026-09-10T08:00:00.250Z");
    put(name(19), &other);
    // Readings that cannot be: settled above peak, a negative speed, held too long by hand and by the timer.
    let mut other = plain(20);
    let values = &mut other["readings"][0]["values"];
    (values["peak_current_a"], values["speed_rpm"], values["energized_s"]) =
        (json!("55"), json!("-7200"), json!("9"));
    other["checklists"][0]["energized_ms"] = json!({ "16": 9000 });
    put(name(20), &other);
    // More power out than in, and volts of no bench.
    let mut other = plain(21);
    other["readings"][0]["values"]["torque_nm"] = json!("2");
    put(name(21), &other);
    // 22 hands in paper alone. 23 has a blank in the file and two answers on paper.
    put(name(23), &answered(23, &[answers(drop, code(23), &[1.0])[0].clone(), String::new()]));
    // A reading in words, one in the wrong unit, and a negative one that may be.
    let mut other = plain(24);
    let values = &mut other["readings"][0]["values"];
    (values["settled_current_a"], values["speed_rpm"], values["clamp_zero_a"]) =
        (json!("about sixty"), json!("7200 V"), json!("-0.4"));
    values["terminal_voltage_v"] = json!("1050");
    put(name(24), &other);
    // Decimal commas, and another unit.
    let ohms = answers(drop, code(25), &[0.001, 1.0]);
    let commas = [ohms[0].replace("mΩ", "Ω").replace('.', ","), ohms[1].replace('.', ",")];
    put(name(25), &answered(25, &commas));
    put(name(26), &plain(26));
    // No time.
    let mut other = plain(29);
    other.as_object_mut().expect("a table").remove("handed_in");
    put(name(29), &other);

    // The second lesson: right; a tenth and what follows; wrong and what follows; a slip in the second; no number.
    let own = |number: usize, own: &[String]| hand_in("source", code(number), "two-loads", own);
    let name = |number: usize| format!("source/handin_source_{}.json", code(number));
    for (number, given) in [
        (0, answers(source, code(0), &[1.0, 1.0])),
        (1, vec![answers(source, code(1), &[0.1])[0].clone(), follows(source, code(1), 0.1)]),
        (2, vec![answers(source, code(2), &[1.5])[0].clone(), follows(source, code(2), 1.5)]),
        (3, answers(source, code(3), &[1.0, 100.0])),
        (4, vec!["plenty".to_owned(), answers(source, code(4), &[1.0, 1.0])[1].clone()]),
    ] {
        let mut value = own(number, &given);
        value["homework"][0]["reasons"] = json!([]);
        value["readings"] = json!([]);
        value["checklists"] = json!([]);
        put(name(number), &value);
    }

    let bytes = |name: String, bytes: Vec<u8>| (name, bytes);
    let json_of = |number: usize| format!("free-spin/handin_free-spin_{}.json", code(number));
    // Broken, too large, too deep, and no text at all.
    let whole = serde_json::to_vec(&plain(10)).expect("JSON");
    files.push(bytes(json_of(10), whole[..whole.len() / 2].to_vec()));
    files.push(bytes(json_of(11), vec![b' '; 300 * 1024]));
    files.push(bytes(json_of(12), [vec![b'['; 5000], vec![b']'; 5000]].concat()));
    files.push(bytes(json_of(28), vec![0xff; 40]));
    // Paper: 22 has a negative second answer; 23 another first answer than in the file, and the second.
    let on_paper = |number: usize| answers(drop, code(number), &[1.0, 1.0]);
    let table = format!(
        "code,homework,ask,answer\r\n{0},drop-of-a-run,a,{1}\r\n{0},drop-of-a-run,b,-5\r\n{2},drop-of-a-run,a,99 mΩ\r\n{2},drop-of-a-run,b,{3}\r\n{0},drop-of-a-run,q,1\r\n",
        code(22),
        on_paper(22)[0],
        code(23),
        on_paper(23)[1]
    );
    files.push(bytes("paper/answers.csv".to_owned(), table.into_bytes()));
    let table = format!(
        "code,lesson,reading,value\r\n{},free-spin,settled_current_a,-62\r\n{},free-spin,weight,1\r\n",
        code(22),
        code(22)
    );
    files.push(bytes("paper/readings.csv".to_owned(), table.into_bytes()));
    // Reasons that were marked: one in order, one with more points than there are.
    let table = format!(
        "code,homework,reason,points\r\n{},drop-of-a-run,1,1.5\r\n{},drop-of-a-run,1,3\r\n{},drop-of-a-run,1,\r\n",
        code(0),
        code(26),
        code(1)
    );
    files.push(bytes("paper/reasons.csv".to_owned(), table.into_bytes()));
    files.sort();
    files
}

/// What the program has to give each student of the simulated class for the first lesson.
pub const POINTS: [f64; 30] = [
    4.0, // right
    3.0, // half of two for the wrong power of ten
    2.0, // half of each without its unit
    2.0, // one of two wrong
    0.0, // the neighbour's numbers
    0.0, // blank
    0.0, // hostile texts
    4.0, // the later of two hand-ins
    0.0, // missing
    0.0, // a code with a slip
    0.0, // broken
    0.0, // too large
    0.0, // too deep
    0.0, // of a wrong form
    0.0, // of another course
    4.0, // of another term: flagged
    4.0, // of another version of the draw: flagged
    0.0, // of another lesson
    4.0, // with more than was asked: flagged
    4.0, // with odd times: flagged
    4.0, // with readings that cannot be: flagged
    4.0, // with more power out than in: flagged
    2.0, // on paper, one of two wrong
    4.0, // in a file and on paper
    4.0, // with words for a reading: flagged
    4.0, // with decimal commas and another unit
    4.0, // with more points by hand than there are: flagged
    0.0, // missing
    0.0, // no text
    4.0, // without a time: flagged
];
