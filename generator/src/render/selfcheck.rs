//! Self-checks: on a page with feedback, on paper as a quiz and apart from it a key.

mod view;

use std::fmt::Write;

use sha2::{Digest, Sha256};

use super::circuit::{drawing, terminal_words};
use super::typeset::tied;
use super::words::Words;
use crate::course::selfcheck::{
    BoundNumber, BoundPlace, LabelTask, OrderTask, Place, Selfcheck, SelfcheckQuestion, Task,
};
use crate::course::{Circuit, Lesson, Piece, Terminal};
use view::{ChoiceView, ItemView, NumberView, PlaceView, QuestionView, WordView, WrongAnswerView, WrongView};
pub use view::{KeyQuestionView, KeyView, QuizQuestionView, QuizView, SelfcheckView};

/// A self-check as its component sees it.
pub fn view(block: &Selfcheck, lesson: &Lesson<'_>, words: &Words) -> SelfcheckView {
    let questions = block.questions.iter().enumerate().map(|(index, question)| {
        let id = format!("{}-{}", block.id, index + 1);
        let quiz = quiz_question(question, index + 1, lesson, &id, words);
        let answer = key_question(question, index + 1, words);
        let mut view = QuestionView {
            key: key_of(question, ""),
            help: help(question, "", words),
            id,
            quiz,
            choices: Vec::new(),
            number: None,
            items: Vec::new(),
            places: Vec::new(),
            options: Vec::new(),
            answer,
        };
        fill(&mut view, question, lesson, words);
        view
    });
    SelfcheckView { id: block.id.clone(), title: block.title.clone(), questions: questions.collect() }
}

/// A self-check as a quiz on paper. `prefix` goes before the identifiers in it, so that a page can hold several.
pub fn quiz(block: &Selfcheck, lesson: &Lesson<'_>, prefix: &str, words: &Words) -> QuizView {
    let question = |(index, question): (usize, &SelfcheckQuestion)| {
        let id = format!("{prefix}{}-{}", block.id, index + 1);
        quiz_question(question, index + 1, lesson, &id, words)
    };
    QuizView {
        title: block.title.clone(),
        questions: block.questions.iter().enumerate().map(question).collect(),
    }
}

/// The answers to a quiz.
pub fn key(block: &Selfcheck, words: &Words) -> KeyView {
    let questions = block.questions.iter().enumerate();
    KeyView {
        title: block.title.clone(),
        questions: questions.map(|(index, question)| key_question(question, index + 1, words)).collect(),
    }
}

// --- The order in which things are shown ----------------------------------------------------------------------------

/// A short name for one of the texts of a question; the same in every build, and of no use for telling which is right.
fn key_of(question: &SelfcheckQuestion, text: &str) -> String {
    let hash = Sha256::digest(format!("{}\n{}\n{text}", question.task.word(), question.ask.value));
    hash.iter().take(5).fold(String::new(), |mut key, byte| {
        let _ = write!(key, "{byte:02x}");
        key
    })
}

/// Places of the texts in the order in which they are shown: mixed by their keys, and never the order given.
fn mixed(question: &SelfcheckQuestion, texts: &[&str]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..texts.len()).collect();
    order.sort_by_cached_key(|index| key_of(question, texts[*index]));
    if order.len() > 1 && order.is_sorted() {
        order.rotate_left(1);
    }
    order
}

// --- A question without its answer ----------------------------------------------------------------------------------

fn quiz_question(
    question: &SelfcheckQuestion,
    number: usize,
    lesson: &Lesson<'_>,
    id: &str,
    words: &Words,
) -> QuizQuestionView {
    let mut view = QuizQuestionView {
        number,
        kind: question.task.word(),
        ask: tied(&question.ask.value).into_owned(),
        help: help(question, "_paper", words),
        boxes: Vec::new(),
        drawing: String::new(),
        wide: false,
        places: Vec::new(),
        words: Vec::new(),
    };
    match &question.task {
        Task::Choose(task) => {
            let texts: Vec<&str> = task.choices.iter().map(|choice| choice.text.value.as_str()).collect();
            view.boxes = in_order(&texts, &mixed(question, &texts));
        }
        Task::Number(_) => {}
        Task::Order(task) => {
            let texts = order_texts(task);
            view.boxes = in_order(&texts, &mixed(question, &texts));
        }
        Task::Label(task) => {
            let texts = place_words(task);
            view.words = in_order(&texts, &mixed(question, &texts));
            view.places = (1..=texts.len()).collect();
            if let Some((circuit, drawn)) =
                circuit_of(task, lesson).and_then(|circuit| Some((circuit, circuit.drawn.as_ref()?)))
            {
                let places: Vec<Place> = bound_places(task).map(|(_, bound)| bound.place).collect();
                let text = words.get("selfcheck.diagram");
                view.drawing = drawing::asked(circuit, drawn, &places, &format!("{id}-diagram"), text);
                view.wide = drawn.bounds.width() > 470.0;
            }
        }
    }
    view
}

/// What to do; on paper some kinds are answered in another way than on a page.
fn help(question: &SelfcheckQuestion, on: &str, words: &Words) -> String {
    let kind = question.task.word();
    let on = if matches!(question.task, Task::Order(_) | Task::Label(_)) { on } else { "" };
    words.get(&format!("selfcheck.help_{kind}{on}")).to_owned()
}

fn in_order(texts: &[&str], order: &[usize]) -> Vec<String> {
    order.iter().map(|index| tied(texts[*index]).into_owned()).collect()
}

fn order_texts(task: &OrderTask) -> Vec<&str> {
    task.bound.iter().map(|item| item.text.as_str()).collect()
}

/// Places that are there, with what is said of them.
fn bound_places(task: &LabelTask) -> impl Iterator<Item = (&str, &BoundPlace)> {
    task.places.iter().filter_map(|place| Some((place.says.as_str(), place.bound.as_ref()?)))
}

fn place_words(task: &LabelTask) -> Vec<&str> {
    bound_places(task).map(|(_, bound)| bound.word.as_str()).collect()
}

fn circuit_of<'l>(task: &LabelTask, lesson: &'l Lesson<'_>) -> Option<&'l Circuit> {
    let id = task.circuit_id.as_ref()?;
    lesson.pieces.iter().find_map(|piece| match piece {
        Piece::Circuit(circuit) if circuit.id == *id => Some(circuit.as_ref()),
        _ => None,
    })
}

// --- Its answer -----------------------------------------------------------------------------------------------------

fn key_question(question: &SelfcheckQuestion, number: usize, words: &Words) -> KeyQuestionView {
    let answers: Vec<String> = match &question.task {
        Task::Choose(task) => {
            let right = task.choices.iter().filter(|choice| choice.right);
            right.map(|choice| tied(&choice.text.value).into_owned()).collect()
        }
        Task::Number(task) => task.bound.iter().map(|bound| shown_with_band(bound, words)).collect(),
        Task::Order(task) => order_texts(task).into_iter().map(|text| tied(text).into_owned()).collect(),
        Task::Label(task) => place_words(task).into_iter().map(str::to_owned).collect(),
    };
    KeyQuestionView {
        number,
        ask: tied(&question.ask.value).into_owned(),
        answers,
        ordered: matches!(question.task, Task::Order(_) | Task::Label(_)),
        why: tied(&question.why).into_owned(),
        wrong: wrong_answers(question),
    }
}

/// Wrong answers with what is said to them; those to which nothing is said are left out.
fn wrong_answers(question: &SelfcheckQuestion) -> Vec<WrongAnswerView> {
    let pairs: Vec<(&str, &str)> = match &question.task {
        Task::Choose(task) => {
            let wrong = task.choices.iter().filter(|choice| !choice.right);
            wrong.map(|choice| (choice.text.value.as_str(), choice.says.as_str())).collect()
        }
        Task::Number(task) => {
            let wrong = task.bound.iter().flat_map(|bound| &bound.wrong);
            wrong.map(|wrong| (wrong.shown.as_str(), wrong.says.as_str())).collect()
        }
        Task::Order(task) => task.bound.iter().map(|item| (item.text.as_str(), item.why.as_str())).collect(),
        Task::Label(task) => bound_places(task).map(|(says, bound)| (bound.word.as_str(), says)).collect(),
    };
    let said = pairs.into_iter().filter(|(_, says)| !says.is_empty());
    said.map(|(text, says)| WrongAnswerView { text: tied(text).into_owned(), says: tied(says).into_owned() })
        .collect()
}

/// `0.52 V (accepted: ± 0.01 V)`.
fn shown_with_band(bound: &BoundNumber, words: &Words) -> String {
    let by = bound.right.by / bound.unit.factor;
    if by == 0.0 {
        return bound.shown.clone();
    }
    let by = fieldcoil_calc::number::figures(by, 2);
    let by = [by.as_str(), "\u{a0}", bound.unit.symbol].concat();
    words.fill("selfcheck.accepted", &[("value", &bound.shown), ("by", by.trim_end())])
}

// --- What the page checks by ----------------------------------------------------------------------------------------

fn fill(view: &mut QuestionView, question: &SelfcheckQuestion, lesson: &Lesson<'_>, words: &Words) {
    match &question.task {
        Task::Choose(task) => {
            let texts: Vec<&str> = task.choices.iter().map(|choice| choice.text.value.as_str()).collect();
            let choice = |index: usize| {
                let choice = &task.choices[index];
                ChoiceView {
                    key: key_of(question, &choice.text.value),
                    text: tied(&choice.text.value).into_owned(),
                    right: choice.right,
                    says: tied(&choice.says).into_owned(),
                }
            };
            view.choices = mixed(question, &texts).into_iter().map(choice).collect();
        }
        Task::Number(task) => view.number = task.bound.as_ref().map(number),
        Task::Order(task) => {
            let texts = order_texts(task);
            let item = |index: usize| ItemView {
                key: key_of(question, texts[index]),
                text: tied(texts[index]).into_owned(),
                place: index + 1,
                why: tied(&task.bound[index].why).into_owned(),
            };
            view.items = mixed(question, &texts).into_iter().map(item).collect();
        }
        Task::Label(task) => {
            let texts = place_words(task);
            let word = |index: usize| WordView {
                key: key_of(question, texts[index]),
                text: texts[index].to_owned(),
            };
            view.options = mixed(question, &texts).into_iter().map(word).collect();
            view.places = places(question, task, lesson, words);
        }
    }
}

fn number(bound: &BoundNumber) -> NumberView {
    let wrong = bound.wrong.iter().map(|wrong| WrongView {
        value: wrong.band.value.to_string(),
        by: wrong.band.by.to_string(),
        says: tied(&wrong.says).into_owned(),
    });
    NumberView {
        base: bound.quantity.base().symbol,
        unit: bound.unit.symbol,
        value: bound.right.value.to_string(),
        by: bound.right.by.to_string(),
        wrong: wrong.collect(),
    }
}

fn places(
    question: &SelfcheckQuestion,
    task: &LabelTask,
    lesson: &Lesson<'_>,
    words: &Words,
) -> Vec<PlaceView> {
    let all: Vec<Place> = bound_places(task).map(|(_, bound)| bound.place).collect();
    let circuit = circuit_of(task, lesson);
    let place = |(index, (says, bound)): (usize, (&str, &BoundPlace))| {
        let number = (index + 1).to_string();
        let joined = circuit.map(|circuit| joined(circuit, bound.place, &all, words)).unwrap_or_default();
        PlaceView {
            number: index + 1,
            key: key_of(question, &bound.word),
            label: words.fill("selfcheck.place", &[("number", &number)]),
            joined,
            says: tied(says).into_owned(),
        }
    };
    bound_places(task).enumerate().map(place).collect()
}

/// What a place is joined to; what is to be named there is called by its number.
fn joined(circuit: &Circuit, place: Place, asked: &[Place], words: &Words) -> String {
    let Some(drawn) = &circuit.drawn else { return String::new() };
    let is_at = |place: Place, terminal: Terminal| match place {
        Place::Symbol(symbol) => symbol == terminal.0,
        Place::Terminal(own) => own == terminal,
    };
    let name = |terminal: Terminal| match asked.iter().position(|other| is_at(*other, terminal)) {
        Some(index) => words.fill("selfcheck.number", &[("number", &(index + 1).to_string())]),
        None => terminal_words(circuit, terminal),
    };
    let mut ends: Vec<String> = Vec::new();
    for [from, to] in &drawn.ends {
        let other = match (is_at(place, *from), is_at(place, *to)) {
            (true, false) => *to,
            (false, true) => *from,
            _ => continue,
        };
        let name = name(other);
        if !ends.contains(&name) {
            ends.push(name);
        }
    }
    words.fill("selfcheck.joined", &[("ends", &ends.join(", "))])
}

#[cfg(test)]
mod tests;
