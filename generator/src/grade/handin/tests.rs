//! Hand-ins as pages write them, and as nobody should.

use super::*;

const WHOLE: &str = r#"{
  "fieldcoil_hand_in": 1, "course": "Starting systems at the bench", "edition": "1", "term": "Autumn 2026",
  "lesson": "the-free-spin-bench-test", "code": "bk4 7txq", "draw": 1, "key": "k", "tool": "0.1.0",
  "started": "2026-11-26T15:48:00Z", "handed_in": "2026-11-26T16:20:10.123Z",
  "homework": [ { "name": "drop-of-a-run", "answers": { "a": "1.73 mΩ", "b": "", "c": null }, "reasons": ["It\nis."] } ],
  "readings": [ { "sheet": "worksheet-1", "values": { "settled_current_a": "62" }, "answers": ["a"] } ],
  "checklists": [ { "list": "free-spin", "done": 40, "of": 40, "initials": ["MB"], "energized_ms": { "17": 4200 } } ],
  "what_comes_later": [[[1]]] }"#;

fn messages(text: &str) -> Vec<String> {
    let complaints = read("x.json", text.as_bytes()).expect_err("refused");
    assert!(complaints.iter().all(|complaint| complaint.file == "x.json" && !complaint.help.is_empty()));
    complaints.into_iter().map(|complaint| complaint.message).collect()
}

#[test]
fn a_hand_in_of_the_page_is_read_and_what_is_not_known_ignored() {
    let hand_in = read("x.json", WHOLE.as_bytes()).expect("read");
    assert_eq!((hand_in.lesson.as_str(), hand_in.draw), ("the-free-spin-bench-test", 1));
    let moment = |text| Moment::read(text).expect("a time");
    assert_eq!(hand_in.handed_in, Some(moment("2026-11-26T16:20:10Z")));
    assert_eq!(hand_in.homework[0].answers.len(), 2, "a box that was never touched is no answer");
    assert_eq!(hand_in.homework[0].reasons, ["It\nis."]);
    assert_eq!(hand_in.sheets[0].values["settled_current_a"], "62");
    assert_eq!(hand_in.checklists[0].energized_ms["17"], 4200);
    let bare = r#"{"fieldcoil_hand_in": 1, "course": "", "term": "", "key": "", "lesson": "", "code": "", "draw": 1}"#;
    let bare = read("x.json", ["\u{feff}", bare].concat().as_bytes()).expect("lists may be missing");
    assert!(bare.homework.is_empty() && bare.sheets.is_empty() && bare.handed_in.is_none());
}

#[test]
fn limits_hold_before_anything_is_built() {
    let large = format!("{{\"x\": \"{}\"}}", "a".repeat(MOST_BYTES));
    assert!(messages(&large)[0].contains("256 kB"));
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    assert!(messages(&deep)[0].contains("12 deep"));
    // Brackets in texts are no depth.
    let quoted = WHOLE.replace("It\\nis.", &"[{\\\"".repeat(50));
    assert!(read("x.json", quoted.as_bytes()).is_ok());
    let many = WHOLE.replace("[\"It\\nis.\"]", &format!("[{}]", vec!["\"a\""; 301].join(",")));
    assert_eq!(messages(&many), ["at `homework[0].reasons`: it has 301 entries; at most 300 are read"]);
    let long = WHOLE.replace("bk4 7txq", &"b".repeat(201));
    assert_eq!(messages(&long), ["at `code`: it has more than 200 letters"]);
    let long = WHOLE.replace("1.73 mΩ", &"1".repeat(10_001));
    assert_eq!(messages(&long), ["at `homework[0].answers.a`: it has more than 10000 letters"]);
}

#[test]
fn all_that_is_wrong_is_said_at_once() {
    assert_eq!(messages("[]"), ["the file is a list; wanted is a table"]);
    let said = messages("{}");
    assert_eq!(said.len(), 7, "{said:?}");
    assert!(messages(&WHOLE[..300])[0].starts_with("the file is cut off"), "{:?}", messages(&WHOLE[..300]));
    // Hundreds of mistakes in one file are not all told.
    let wrong = WHOLE.replace("[\"It\\nis.\"]", &format!("[{}]", vec!["1"; 299].join(",")));
    let said = messages(&wrong);
    assert_eq!(said.len(), MOST_COMPLAINTS + 1);
    assert_eq!(said[MOST_COMPLAINTS], format!("{} more of its form is wrong", 299 - MOST_COMPLAINTS));
}

#[test]
fn only_times_are_times() {
    for text in [
        "2026-02-29T00:00:00Z",
        "2026-13-01T00:00:00Z",
        "2026-01-01T24:00:00Z",
        "2026-01-01 00:00:00Z",
        "2026-01-01T00:00:00",
        "2026-01-01T00:00:00+02:00",
        "2026-01-01T00:00:00.Z",
        "2026-01-01T00:00:00.12x4Z",
        "２026-01-01T00:00:00Z",
        "+026-01-01T00:00:00Z",
        "",
        "Z",
    ] {
        assert_eq!(Moment::read(text), None, "{text}");
    }
    assert!(Moment::read("2028-02-29T23:59:59.999Z") > Moment::read("2028-02-29T23:59:58Z"));
}
