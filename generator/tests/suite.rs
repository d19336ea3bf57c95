//! Courses in Markdown files, with what is found in them beside: a heading is a case, fenced blocks are files.
//!
//! A fence of five marks whose words are a path is a file of the course. `course.toml` is there unless a case has its
//! own. A block with the word `body` is a lesson whose `lesson` block is written for it, `steps BENCH` a lesson with one
//! hookup, a step a line (`run energize start-button 5`). The block `findings` says what is found: all of it and nothing
//! else. `UPDATE_EXPECT=1` writes these blocks anew; the difference is read like code. `SUITE=words` runs the cases
//! whose heading has these words.

mod support;

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use fieldcoil::finding::Finding;
use fieldcoil::finding::code::CODES;
use fieldcoil::finding::render::in_one_line;
use fieldcoil::pipeline;
use fieldcoil::source::{SourceAsset, SourceSet, SourceText};
use support::{COURSE, HEAD, steps};

const MARK: &str = "`````";

/// These come from bytes on a disk; the readers of folders and pictures have their own tests.
const ON_DISK: &[&str] =
    &["unreadable", "too-large", "no-lesson", "link-out-of-course", "not-utf-8", "heavy-picture"];

/// One heading with its files.
struct Case {
    name: String,
    files: Vec<(String, String)>,
    /// What is expected, and the lines of the suite between which it stands.
    expected: String,
    lines: (usize, usize),
}

#[test]
fn every_case_finds_what_it_says() {
    let wanted = std::env::var("SUITE").unwrap_or_default();
    let rewrite = is_rewriting();
    let mut failures = String::new();
    let mut count = 0;
    for path in suites() {
        let text = read(&path);
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        // From the end on, so that the lines of earlier cases keep their numbers while later ones are rewritten.
        for case in cases(&text).into_iter().rev().filter(|case| case.name.contains(&wanted)) {
            count += 1;
            let found = run(&case.files);
            if found != case.expected {
                let _ = writeln!(
                    failures,
                    "{}: {}\n{}",
                    path.display(),
                    case.name,
                    difference(&case.expected, &found)
                );
                lines.splice(case.lines.0..case.lines.1, found.lines().map(str::to_owned));
            }
        }
        if rewrite {
            let _whole = DISK.lock();
            fs::write(&path, lines.join("\n") + "\n").expect("the suite can be written");
        }
    }
    assert!(count > 0, "no case has `{wanted}` in its heading");
    assert!(rewrite || failures.is_empty(), "\n{failures}");
}

#[test]
fn every_code_has_a_case() {
    let mut told = BTreeSet::new();
    for path in suites() {
        for case in cases(&read(&path)) {
            // What is written anew meanwhile will say what is found now.
            let says = if is_rewriting() { run(&case.files) } else { case.expected };
            let codes = says.split('[').skip(1).filter_map(|rest| rest.split(']').next());
            told.extend(codes.map(str::to_owned));
        }
    }
    // Each rule on hookups has an accepted and a refused list of its own in `hookup_rules.rs`.
    told.extend(fieldcoil::proof::hookup::rule_names().map(str::to_owned));
    let missing: Vec<_> = CODES
        .iter()
        .map(|(code, _)| *code)
        .filter(|code| !told.contains(*code) && !ON_DISK.contains(code))
        .collect();
    assert_eq!(missing, [""; 0], "codes without a case");
}

/// A suite is not read while it is being written.
static DISK: Mutex<()> = Mutex::new(());

fn read(path: &Path) -> String {
    let _whole = DISK.lock();
    fs::read_to_string(path).expect("a suite is text")
}

fn is_rewriting() -> bool {
    std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1")
}

fn suites() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .expect("the suites are there")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
        .collect();
    paths.sort();
    paths
}

fn cases(text: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    let lines: Vec<&str> = text.lines().collect();
    let mut at = 0;
    while at < lines.len() {
        if let Some(name) = lines[at].strip_prefix("## ") {
            let files = vec![];
            cases.push(Case { name: name.to_owned(), files, expected: String::new(), lines: (0, 0) });
        } else if let Some(words) = lines[at].strip_prefix(MARK) {
            let end = (at + 1..lines.len()).find(|&line| lines[line] == MARK).expect("a block is closed");
            let mut content = lines[at + 1..end].join("\n");
            content.push('\n');
            let case = cases.last_mut().expect("a block stands under a heading");
            match words.split_once(' ').unwrap_or((words, "")) {
                ("findings", "") => {
                    case.expected = if at + 1 == end { String::new() } else { content };
                    case.lines = (at + 1, end);
                }
                ("body", "") => case.files.push(("10-test.md".to_owned(), format!("{HEAD}{content}"))),
                ("steps", options) => case.files.push(("10-test.md".to_owned(), steps(options, &content))),
                (path, "") => case.files.push((path.to_owned(), content)),
                _ => panic!("`{words}` is no path"),
            }
            at = end;
        }
        at += 1;
    }
    for case in &cases {
        assert!(case.lines != (0, 0), "`{}` has no block `findings`", case.name);
    }
    cases
}

/// What is found, a line each, with the text it is found in and what to do.
fn run(files: &[(String, String)]) -> String {
    let mut sources = SourceSet::default();
    let own_course = files.iter().any(|(path, _)| path == "course.toml");
    let course = ("course.toml".to_owned(), COURSE.to_owned());
    // A case that is about a missing file says so.
    let given = files.iter().filter(|(_, text)| text != "(none)\n");
    for (path, text) in given.chain(std::iter::once(&course).filter(|_| !own_course)) {
        let (path, text) = (path.clone(), text.clone());
        match path.rsplit('.').next() {
            Some("md" | "toml" | "svg" | "csv") => sources.texts.push(SourceText { path, text }),
            _ => sources.assets.push(SourceAsset { path, bytes: bytes(&text) }),
        }
    }
    sources.texts.sort_by(|one, other| one.path.cmp(&other.path));
    sources.assets.sort_by(|one, other| one.path.cmp(&other.path));
    let (_, found) = pipeline::check(&sources, Vec::new());
    found.iter().map(|finding| words(finding, &sources)).collect()
}

/// `\x89` stands for a byte that is no text.
fn bytes(text: &str) -> Vec<u8> {
    let mut out = Vec::new();
    let mut parts = text.trim_end().split("\\x");
    out.extend(parts.next().unwrap_or_default().bytes());
    for part in parts {
        out.push(u8::from_str_radix(&part[..2], 16).expect("two figures"));
        out.extend(part[2..].bytes());
    }
    out
}

fn words(finding: &Finding, sources: &SourceSet) -> String {
    let mut out = in_one_line(finding, sources, "");
    out.push('\n');
    let labels = finding.place.iter().map(|label| ("at", label));
    for (word, label) in labels.chain(finding.others.iter().map(|label| ("also at", label))) {
        let text =
            sources.text(label.span.file).map_or("", |text| &text.text[label.span.start..label.span.end]);
        let text = text.lines().next().unwrap_or_default();
        let _ = writeln!(out, "    {word} `{text}`: {}", label.text);
    }
    for sentence in &finding.help {
        let _ = writeln!(out, "    help: {sentence}");
    }
    out
}

fn difference(expected: &str, found: &str) -> String {
    let mut out = String::new();
    for line in expected.lines().filter(|line| !found.lines().any(|other| other == *line)) {
        let _ = writeln!(out, "  - {line}");
    }
    for line in found.lines().filter(|line| !expected.lines().any(|other| other == *line)) {
        let _ = writeln!(out, "  + {line}");
    }
    if out.is_empty() {
        out.push_str("  the same lines in another order, or another number of them\n");
    }
    out
}
