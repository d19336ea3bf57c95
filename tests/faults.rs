//! Lessons spoiled at random: every mistake is a finding at a place in the text, and never a panic.

use std::path::Path;

use fieldcoil::finding::{Severity, render};
use fieldcoil::pipeline;
use fieldcoil::source::{SourceSet, load};
use fieldcoil_tests::draw::Dice;
use fieldcoil_tests::repository::root;

fn default_course() -> SourceSet {
    let (sources, found) = load::course(&root().join("content")).expect("a readable course");
    assert!(found.is_empty(), "{found:?}");
    sources
}

/// The default course with homework that draws from little: all draws are tried at each check, a thousand times here.
fn little_drawn() -> SourceSet {
    let mut sources = default_course();
    for source in &mut sources.texts {
        let lines = source.text.lines().map(|line| match line.split_once("{ from = ") {
            Some((before, range)) => {
                let (from, rest) = range.split_once(',').unwrap_or((range, ""));
                let step = rest.split_once("step = ").map_or("", |(_, step)| step);
                format!("{before}{{ from = {from}, to = {from}, step = {step}")
            }
            // One draw for all is said to be wanted.
            None if line.starts_with("assesses = \"") => format!("most_alike = 1\n{line}"),
            None => line.to_owned(),
        });
        source.text = lines.collect::<Vec<_>>().join("\n");
    }
    sources
}

/// Checks a course, makes its pages when nothing stops it, and prints every finding.
fn run_through(sources: &SourceSet) -> usize {
    let (checked, found) = pipeline::check(sources, Vec::new());
    if !pipeline::is_stopped(&found, false) {
        pipeline::site(&checked).expect("a course without errors has pages");
    }
    for finding in &found {
        assert!(!finding.message.is_empty() && !finding.message.ends_with('.'), "{finding:?}");
        for label in finding.place.iter().chain(&finding.others) {
            let text = &sources.text(label.span.file).expect("a finding is in a text").text;
            assert!(text.get(label.span.start..label.span.end).is_some(), "{finding:?}");
        }
        assert!(render::for_people(finding, sources, "content", false).contains(finding.code));
        let line = render::in_one_line(finding, sources, "content");
        assert_eq!(line.trim_end().lines().count(), 1, "{line:?}");
    }
    let json = render::as_json(&found, sources, "content");
    let list: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(list.as_array().map(Vec::len), Some(found.len()));
    // Hints are for who writes: a long sentence is no mistake.
    found.iter().filter(|finding| finding.severity != Severity::Hint).count()
}

/// A course of a few lessons, which is gone through in no time.
fn small_course() -> SourceSet {
    let (sources, found) =
        load::course(&root().join("generator/tests/grade/course")).expect("a readable course");
    assert!(found.is_empty(), "{found:?}");
    sources
}

/// Courses to spoil: now and then the whole default course, which takes its time, and the small one in between.
fn to_spoil() -> impl Iterator<Item = SourceSet> {
    let (whole, small) = (little_drawn(), small_course());
    for course in [&whole, &small] {
        assert_eq!(run_through(course), 0, "it is in order before it is spoiled");
    }
    (0..600).map(move |round| if round % 10 == 0 { whole.clone() } else { small.clone() })
}

#[test]
fn the_default_course_has_no_finding() {
    assert_eq!(run_through(&default_course()), 0);
}

#[test]
fn lines_taken_out_doubled_or_moved_are_findings_or_harmless() {
    let mut dice = Dice(11);
    let mut found = 0;
    for mut sources in to_spoil() {
        let file = dice.below(sources.texts.len());
        let mut lines: Vec<&str> = sources.texts[file].text.lines().collect();
        if lines.is_empty() {
            continue;
        }
        for _ in 0..=dice.below(3) {
            let (one, other) = (dice.below(lines.len()), dice.below(lines.len()));
            match dice.below(4) {
                0 if lines.len() > 1 => drop(lines.remove(one)),
                1 => lines.insert(one, lines[other]),
                2 => lines.swap(one, other),
                _ => lines.truncate(one + 1),
            }
        }
        sources.texts[file].text = lines.join("\n");
        found += run_through(&sources);
    }
    assert!(found > 150, "600 spoiled courses have {found} findings");
}

#[test]
fn characters_put_in_or_taken_out_are_findings_or_harmless() {
    const ODD: &[&str] = &[
        "\"", "```", "$", "$$", "[[", "]", "=", "\u{0}", "\u{feff}", "\r\n", "é", "🔧", "<b>", "\\", "[^1]",
        "|", "\t", "\u{202e}",
    ];
    let mut dice = Dice(12);
    for mut sources in to_spoil() {
        let file = dice.below(sources.texts.len());
        let text = &mut sources.texts[file].text;
        for _ in 0..=dice.below(4) {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let Some(at) = places.get(dice.below(places.len().max(1))).copied() else { break };
            if dice.percent(50) {
                text.insert_str(at, dice.one_of::<&str>(ODD));
            } else {
                text.remove(at);
            }
        }
        run_through(&sources);
    }
}

#[test]
fn a_course_of_nothing_is_a_finding() {
    let empty = SourceSet::default();
    let (_, found) = pipeline::check(&empty, Vec::new());
    assert!(pipeline::is_stopped(&found, false));
    assert!(load::course(Path::new("no/such/folder")).is_err());
}
