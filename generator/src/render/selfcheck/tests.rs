//! The README's self-check on a page, as a quiz and as a key.

use super::*;
use crate::render::templates;
use crate::source::{SourceSet, SourceText};
use crate::{parse, resolve};

const HEAD: &str = "```lesson\ntitle = \"A\"\nsummary = \"A.\"\nminutes = 5\noutcomes = [\"x\"]\n```\n\n";
const COURSE: &str =
    "title = \"T\"\nsummary = \"S.\"\nschool = \"A school (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";

/// The first block of this kind in a Markdown text, with its fences.
fn block<'t>(text: &'t str, word: &str) -> &'t str {
    let from = text.find(&format!("```{word}\n")).expect("a block");
    let to = text[from + 3..].find("\n```").expect("its end");
    &text[from..from + 3 + to + 4]
}

/// Hands the README's self-check over, in the lesson that it stands in.
fn with_readme<T>(look: impl FnOnce(&Selfcheck, &Lesson<'_>) -> T) -> T {
    let readme = include_str!("../../../../README.md");
    let lesson = format!("{HEAD}{}\n\n{}\n", block(readme, "circuit"), block(readme, "selfcheck"));
    let text = |path: &str, text: &str| SourceText { path: path.to_owned(), text: text.to_owned() };
    let texts = vec![text("10-a.md", &lesson), text("course.toml", COURSE)];
    let sources = SourceSet { texts, ..SourceSet::default() };
    let (texts, found) = parse::course(&sources);
    assert!(found.is_empty(), "{found:#?}");
    let (reader, found) = resolve::course(texts, &sources);
    assert!(found.is_empty(), "{found:#?}");
    let read = reader.read(&reader.course.lessons[0]);
    assert!(read.found.is_empty(), "{:#?}", read.found);
    let lesson = &read.lesson;
    let own = lesson.pieces.iter().find_map(|piece| match piece {
        Piece::Selfcheck(selfcheck) => Some(selfcheck),
        _ => None,
    });
    look(own.expect("the lesson has a self-check"), lesson)
}

/// What a reader may only learn from the key or from an answer.
const ANSWERS: [&str; 6] = [
    "Little current at little speed",
    "A short draws more current",
    "Glasses stay on",
    "That is the way out alone",
    "accepted",
    "A switch stands in a line",
];

#[test]
fn a_quiz_on_paper_asks_everything_and_answers_nothing() {
    with_readme(|selfcheck, lesson| {
        let words = Words::of("en");
        let quiz = quiz(selfcheck, lesson, "quiz-", words);
        let html = templates::piece("selfcheck_quiz", words, &quiz).expect("the theme has it");
        for question in &selfcheck.questions {
            assert!(html.contains(&*tied(&question.ask.value)), "{}", question.ask.value);
        }
        for text in
            ["Safety glasses", "Read the display.", "quiz-selfcheck-1-6-diagram-title", "push switch · 31"]
        {
            let other = "31 · push switch";
            let is_there = html.contains(text) || (text.starts_with("push") && html.contains(other));
            assert!(is_there, "`{text}` is not in\n{html}");
        }
        for text in ANSWERS.iter().chain(&[
            "data-says",
            "data-right",
            "data-value",
            "data-place",
            "<button",
            "<input",
            "<details",
        ]) {
            assert!(!html.contains(text), "`{text}` is in\n{html}");
        }
    });
}

#[test]
fn the_key_has_every_answer() {
    with_readme(|selfcheck, _| {
        let words = Words::of("en");
        let key = key(selfcheck, words);
        let answers: Vec<Vec<&str>> =
            key.questions.iter().map(|one| one.answers.iter().map(String::as_str).collect()).collect();
        assert_eq!(answers[0], ["At the connections and the cable"]);
        assert_eq!(answers[1], ["Rings", "A watch with a metal strap"]);
        // 180 A through 3 m of 35 mm² at 0.554 mΩ for each metre (IEC 60228, flexible, 20 °C).
        assert_eq!(answers[2], ["0.299\u{a0}V (accepted: ± 0.0060\u{a0}V)"]);
        assert_eq!(answers[3], ["12.2\u{a0}V (accepted: ± 0.020\u{a0}V)"]);
        assert_eq!(answers[4][0], "Set the range.");
        assert_eq!(answers[4][3], "Read the display.");
        assert_eq!(answers[5], ["push switch", "31"]);
        let html = templates::piece("selfcheck_key", words, &key).expect("the theme has it");
        assert!(html.contains("0.299") && html.contains("Little current at little speed"), "{html}");
    });
}

#[test]
fn things_are_mixed_in_the_same_way_whatever_order_they_are_written_in() {
    with_readme(|selfcheck, lesson| {
        let words = Words::of("en");
        let page = view(selfcheck, lesson, words);
        for (question, own) in page.questions.iter().zip(&selfcheck.questions) {
            if let Task::Order(task) = &own.task {
                let places: Vec<usize> = question.items.iter().map(|item| item.place).collect();
                assert!(!places.is_sorted(), "{places:?} is the right order");
                assert_eq!(places.len(), task.bound.len());
            }
        }
        let question = &selfcheck.questions[0];
        let texts = ["c", "a", "d", "b"];
        let shown: Vec<&str> = mixed(question, &texts).into_iter().map(|at| texts[at]).collect();
        let other = ["d", "c", "b", "a"];
        let again: Vec<&str> = mixed(question, &other).into_iter().map(|at| other[at]).collect();
        assert_eq!(shown, again);
    });
}

/// Right ones are spread over all places: a student who always takes the first is right now and then.
#[test]
fn the_first_choice_is_not_always_the_right_one() {
    with_readme(|selfcheck, _| {
        let question = &selfcheck.questions[0];
        let mut firsts = [0; 4];
        for round in 0..400 {
            let texts: Vec<String> = (0..4).map(|choice| format!("choice {choice} of {round}")).collect();
            let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
            firsts[mixed(question, &texts)[0]] += 1;
        }
        assert!(firsts.iter().all(|count| (60..140).contains(count)), "{firsts:?}");
    });
}

#[test]
fn a_place_is_told_by_what_it_is_joined_to_and_never_by_its_name() {
    with_readme(|selfcheck, lesson| {
        let page = view(selfcheck, lesson, Words::of("en"));
        let places = &page.questions[5].places;
        assert!(
            places[0].joined.starts_with("Joined to: ") && places[0].joined.contains('+'),
            "{}",
            places[0].joined
        );
        assert!(!places[0].joined.contains("push switch"), "{}", places[0].joined);
        let drawing = &page.questions[5].quiz.drawing;
        assert!(!drawing.contains("push switch") && !drawing.contains(">31<"), "{drawing}");
        assert_eq!(drawing.matches("ask-mark").count(), 2);
    });
}
