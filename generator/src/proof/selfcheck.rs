//! Self-checks that would puzzle or teach wrong: no right choice, texts that are the same, wrong numbers that are right.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use crate::course::selfcheck::{
    BoundWrong, Choice, ChooseTask, LabelTask, NumberTask, OrderTask, SelfcheckQuestion, Task,
};
use crate::course::{Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// Fewer things in order can be guessed.
const FEWEST_IN_ORDER: usize = 3;
/// Fewer places to name answer each other.
const FEWEST_PLACES: usize = 2;
/// A tolerance that takes in more than this part of the answer takes in guesses.
const WIDEST: f64 = 0.25;

/// Looks at every question of a lesson.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        let Piece::Selfcheck(selfcheck) = piece else { continue };
        let asks =
            selfcheck.questions.iter().map(|question| (question.ask.value.as_str(), question.ask.span));
        alike(asks, "two questions of this self-check", "ask each thing once", found);
        for question in &selfcheck.questions {
            check_one(question, found);
        }
    }
}

fn check_one(question: &SelfcheckQuestion, found: &mut Vec<Finding>) {
    match &question.task {
        Task::Choose(task) => choose(question, task, found),
        Task::Number(task) => number(question, task, found),
        Task::Order(task) => order(question, task, found),
        Task::Label(task) => label(question, task, found),
    }
}

/// Reports each text that has stood before.
fn alike<'t>(texts: impl Iterator<Item = (&'t str, Span)>, what: &str, help: &str, found: &mut Vec<Finding>) {
    let mut known: BTreeMap<String, Span> = BTreeMap::new();
    for (text, span) in texts.filter(|(text, _)| !text.is_empty()) {
        // Who reads sees no difference between `Yes` and `yes.`.
        match known.entry(text.trim_end_matches('.').to_lowercase()) {
            Entry::Occupied(first) => found.push(
                Finding::error(
                    "equal-choices",
                    format!("{what} are the same: `{}`", shown(text)),
                    span,
                    "the second",
                )
                .also(*first.get(), "the first")
                .help(help),
            ),
            Entry::Vacant(place) => {
                place.insert(span);
            }
        }
    }
}

fn choose(question: &SelfcheckQuestion, task: &ChooseTask, found: &mut Vec<Finding>) {
    let all = task.choices.len();
    if all == 0 {
        return;
    }
    let right = task.choices.iter().filter(|choice| choice.right).count();
    let problem = match (right, task.several) {
        (0, _) => Some(("none of the choices is right", "give the right one a line `right = true`")),
        (right, _) if right == all => {
            Some(("all of the choices are right", "write wrong ones that a student might take for right"))
        }
        (2.., false) => {
            Some(("more than one choice is right", "leave one, or make the question `kind = \"several\"`"))
        }
        _ => None,
    };
    if let Some((message, help)) = problem {
        found.push(Finding::error("right-choices", message, question.span, "in this question").help(help));
    }
    let texts = task.choices.iter().map(|choice| (choice.text.value.as_str(), choice.text.span));
    alike(texts, "two choices", "write another, or take one out", found);
    let is_silent =
        |choice: &&Choice| !choice.right && choice.says.is_empty() && !choice.text.value.is_empty();
    for choice in task.choices.iter().filter(is_silent) {
        let message =
            format!("the wrong choice `{}` says nothing to whoever takes it", shown(&choice.text.value));
        found.push(Finding::error("no-feedback", message, choice.span, "`says` is missing").help(
            "name what was mixed up: `says = \"That is the drop of one cable; current runs through both.\"`",
        ));
    }
}

fn number(question: &SelfcheckQuestion, task: &NumberTask, found: &mut Vec<Finding>) {
    let Some(bound) = &task.bound else { return };
    if bound.right.by > WIDEST * bound.right.value.abs() {
        let message = format!("the tolerance of this question is as large as its answer {}", bound.shown);
        found.push(
            Finding::error("vague-answer", message, task.tolerance.span, "takes in guesses")
                .help("narrow the tolerance: a share `2 %` or a size `0.01 V`"),
        );
    }
    for (at, wrong) in bound.wrong.iter().enumerate() {
        if bound.right.takes_in(wrong.band.value) {
            let message = format!("the wrong number {} is right within the tolerance", wrong.shown);
            found.push(
                Finding::error("wrong-is-right", message, wrong.span, "nobody would ever read what it says")
                    .also(question.span, format!("the right number is {}", bound.shown))
                    .help("narrow the tolerance, or take this wrong number out"),
            );
        }
        let same = |other: &&BoundWrong| other.band.takes_in(wrong.band.value);
        if let Some(first) = bound.wrong[..at].iter().find(same) {
            let message = format!("two wrong numbers are the same within the tolerance: {}", wrong.shown);
            found.push(
                Finding::error("equal-choices", message, wrong.span, "the second")
                    .also(first.span, "the first")
                    .help("take one of them out"),
            );
        }
    }
}

fn order(question: &SelfcheckQuestion, task: &OrderTask, found: &mut Vec<Finding>) {
    let count = task.sentences.len().max(task.steps.len());
    if (1..FEWEST_IN_ORDER).contains(&count) {
        let message = format!("this question puts {count} things in order");
        found.push(
            Finding::error("too-few", message, question.span, "so few can be guessed")
                .help(format!("name {FEWEST_IN_ORDER} or more")),
        );
    }
    let texts = task.bound.iter().map(|item| (item.text.as_str(), item.span));
    alike(texts, "two things to put in order", "leave one of them out", found);
}

fn label(question: &SelfcheckQuestion, task: &LabelTask, found: &mut Vec<Finding>) {
    if task.places.len() == 1 {
        found.push(
            Finding::error("too-few", "this question names one place", question.span, "it answers itself")
                .help(format!("name {FEWEST_PLACES} or more: a table `[[question.place]]` for each")),
        );
    }
    let words =
        task.places.iter().filter_map(|place| Some((place.bound.as_ref()?.word.as_str(), place.at.span)));
    alike(words, "the words for two places", "ask for one of them", found);
}
