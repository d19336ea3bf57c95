//! Everything that reads what people write, on files that were changed by chance: hand-ins, paper tables, rosters, lessons,
//! blocks and circuits. `tests/fuzz` does the same for longer and goes where the code has not been yet. Seeds are shared, and
//! what broke a reader once is kept among them.

use std::fs;
use std::path::Path;

use fieldcoil::grade::{self, Given, Plan, Wishes, handin, paper};
use fieldcoil::roster;
use fieldcoil::source::SourceSet;
use serde_json::Value;

#[path = "support/answered.rs"]
mod answered;
#[path = "grade/class.rs"]
#[allow(dead_code, reason = "the simulated class needs more of it")]
mod class;
#[path = "support/made_up.rs"]
#[allow(dead_code, reason = "texts by properties need more of it")]
mod made_up;

/// Numbers that look like chance and are the same in every run.
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        // Constants of Knuth's MMIX, from memory; any odd multiplier of this size would do.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % bound.max(1)
    }
}

/// What files are made of that break readers.
const PIECES: [&[u8]; 24] = [
    b"\"",
    b"{",
    b"}",
    b"[",
    b"]",
    b",",
    b";",
    b"\r\n",
    b"\\u0000",
    b"\\ud800",
    b"null",
    b"1e999",
    b"-0",
    b"18446744073709551616",
    b"\xff",
    b"\xef\xbb\xbf",
    b"\"\"",
    b"=1+1",
    b"<script>",
    b"\xe2\x88\x92",
    b"\t",
    b"'",
    b"\0",
    b"9999999999999999999999",
];

fn seeds(folder: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/fuzz/seeds").join(folder);
    let mut paths: Vec<_> =
        fs::read_dir(folder).expect("seeds").map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    assert!(!paths.is_empty());
    paths.iter().map(|path| fs::read(path).expect("readable")).collect()
}

/// A seed with a few changes: bytes changed, taken out, doubled, pieces put in, or the end of another seed.
fn changed(seeds: &[Vec<u8>], chance: &mut Chance) -> Vec<u8> {
    let mut bytes = seeds[chance.below(seeds.len())].clone();
    for _ in 0..=chance.below(6) {
        let at = chance.below(bytes.len());
        let end = (at + 1 + chance.below(40)).min(bytes.len());
        match chance.below(6) {
            0 if !bytes.is_empty() => bytes[at] = chance.below(256) as u8,
            1 => drop(bytes.drain(at..end)),
            2 => {
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            3 => {
                let other = &seeds[chance.below(seeds.len())];
                bytes.truncate(at);
                bytes.extend(&other[chance.below(other.len())..]);
            }
            _ => drop(bytes.splice(at..at, PIECES[chance.below(PIECES.len())].iter().copied())),
        }
    }
    bytes
}

/// A hand-in of which one value, somewhere in it, is another.
fn with_another_value(seed: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut value: Value = serde_json::from_slice(seed).expect("a readable seed");
    let mut here = &mut value;
    loop {
        let entries: Vec<&mut Value> = match here {
            Value::Object(table) => table.values_mut().collect(),
            Value::Array(list) => list.iter_mut().collect(),
            _ => break,
        };
        let at = chance.below(entries.len());
        match entries.into_iter().nth(at) {
            Some(entry) => here = entry,
            None => return seed.to_vec(),
        }
    }
    let text = |chance: &mut Chance| {
        let pieces =
            (0..chance.below(4)).map(|_| String::from_utf8_lossy(PIECES[chance.below(PIECES.len())]));
        Value::String(pieces.collect())
    };
    *here = match chance.below(8) {
        0 => Value::Null,
        1 => serde_json::json!(chance.below(100)),
        2 => serde_json::json!(["a"]),
        3 => serde_json::json!("-1e308 V"),
        4 => serde_json::json!("worksheet-1"),
        _ => text(chance),
    };
    serde_json::to_vec(&value).expect("JSON")
}

#[test]
fn any_hand_in_is_graded_or_complained_of() {
    let sources = class::sources();
    let checked = class::course(&sources);
    let (course, lessons) = (checked.course(), checked.lessons());
    let plan = Plan::of(course, &lessons).expect("there is a term");
    let roster = class::roster(3);
    let seeds = seeds("hand_in");
    let readable: Vec<_> = seeds.iter().filter(|seed| handin::read("x.json", seed).is_ok()).collect();
    let mut chance = Chance(1);
    let (mut read, mut refused) = (0, 0);
    for round in 0..10_000 {
        let bytes = match round % 2 {
            _ if round < seeds.len() => seeds[round].clone(),
            0 => changed(&seeds, &mut chance),
            _ => with_another_value(readable[chance.below(readable.len())], &mut chance),
        };
        match handin::read("x.json", &bytes) {
            Err(complaints) => {
                refused += 1;
                assert!(!complaints.is_empty() && complaints.iter().all(|one| !one.help.is_empty()));
            }
            Ok(_) => {
                read += 1;
                // Grading is slower than reading: one of ten.
                if read % 10 == 1 {
                    let given = vec![Given { file: "x.json".to_owned(), bytes: Ok(bytes) }];
                    let graded =
                        grade::class(course, &plan, &roster, given, &Wishes::default(), &mut |_, _| ());
                    let graded = graded.expect("graded");
                    for (name, bytes) in graded.site.files.iter().filter(|(name, _)| name.ends_with(".html"))
                    {
                        assert!(!String::from_utf8_lossy(bytes).contains("<script"), "{name}");
                    }
                }
            }
        }
    }
    assert!(read > 1000 && refused > 1000, "{read} read, {refused} refused");
}

#[test]
fn any_table_is_read_or_complained_of() {
    let seeds = seeds("paper");
    let mut chance = Chance(2);
    let (mut rows, mut complaints) = (0, 0);
    for _ in 0..20_000 {
        let (more, found) = paper::read("x.csv", &changed(&seeds, &mut chance));
        rows += more.len();
        complaints += found.len();
    }
    assert!(rows > 1000 && complaints > 1000, "{rows} rows, {complaints} complaints");
}

#[test]
fn any_roster_is_read_and_written_as_it_was_read() {
    let seeds = seeds("roster");
    let mut chance = Chance(3);
    let mut students = 0;
    for _ in 0..5000 {
        let text = String::from_utf8_lossy(&changed(&seeds, &mut chance)).into_owned();
        let (class, _) = roster::read("x.csv", &text);
        students += class.students.len();
        let (again, complaints) = roster::read("x.csv", &roster::write(&class));
        assert_eq!(complaints, [], "{text:?}");
        let who = |class: &roster::Roster| {
            class
                .students
                .iter()
                .map(|one| (one.code, one.name.clone(), one.group.clone()))
                .collect::<Vec<_>>()
        };
        // A student of whom nothing is known is an empty row, and no row of a roster.
        let known = who(&class).into_iter().filter(|one| *one != (None, String::new(), String::new()));
        assert_eq!(known.collect::<Vec<_>>(), who(&again), "{text:?}");
    }
    assert!(students > 1000, "{students}");
}

/// Without this no block would be looked at further than to its first mistake.
#[test]
fn what_stands_around_made_up_blocks_is_in_order() {
    let sources = made_up::block(include_str!("../../tests/fuzz/seeds/block/calculator-1"));
    let (_, found) = fieldcoil::pipeline::check(&sources, Vec::new());
    let said: Vec<_> = found
        .iter()
        .filter(|one| one.is_error())
        .map(|one| fieldcoil::finding::render::in_one_line(one, &sources, ""))
        .collect();
    assert_eq!(said, [""; 0]);
}

/// The seeds as they are, then changed by chance; how many of all these courses had a site.
fn published(folder: &str, rounds: usize, course: impl Fn(&[u8]) -> SourceSet) -> usize {
    let seeds = seeds(folder);
    let mut chance = Chance(4);
    let mut published = 0;
    for round in 0..seeds.len() + rounds {
        let bytes = seeds.get(round).cloned().unwrap_or_else(|| changed(&seeds, &mut chance));
        published += usize::from(answered::check(&course(&bytes)));
    }
    published
}

#[test]
fn any_changed_lesson_is_answered() {
    let count = published("lesson", 300, |bytes| made_up::lesson(&String::from_utf8_lossy(bytes)));
    assert!(count > 10, "{count}");
}

#[test]
fn any_changed_block_is_answered() {
    let count = published("block", 300, |bytes| made_up::block(&String::from_utf8_lossy(bytes)));
    assert!(count > 10, "{count}");
}

#[test]
fn any_chosen_circuit_is_answered() {
    let count = published("circuit", 300, made_up::circuit);
    assert!(count > 10, "{count}");
}
