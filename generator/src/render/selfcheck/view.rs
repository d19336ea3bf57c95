//! What the templates of self-checks see.

use serde::Serialize;

/// A block of questions on its page.
#[derive(Debug, Serialize)]
pub struct SelfcheckView {
    pub id: String,
    pub title: String,
    pub questions: Vec<QuestionView>,
}

/// One question on a page: what paper shows of it, what the page checks by, and the answer.
#[derive(Debug, Serialize)]
pub struct QuestionView {
    pub id: String,
    /// Under which an answer is kept: the same as long as the question reads the same.
    pub key: String,
    /// What to do on a page.
    pub help: String,
    pub quiz: QuizQuestionView,
    pub choices: Vec<ChoiceView>,
    pub number: Option<NumberView>,
    pub items: Vec<ItemView>,
    pub places: Vec<PlaceView>,
    /// The words that places can have, with their keys.
    pub options: Vec<WordView>,
    pub answer: KeyQuestionView,
}

/// A text to choose.
#[derive(Debug, Serialize)]
pub struct ChoiceView {
    pub key: String,
    pub text: String,
    pub right: bool,
    pub says: String,
}

/// How a number is judged, all in the base unit.
#[derive(Debug, Serialize)]
pub struct NumberView {
    pub base: &'static str,
    pub unit: &'static str,
    pub value: String,
    pub by: String,
    pub wrong: Vec<WrongView>,
}

/// A wrong number and what is said to it.
#[derive(Debug, Serialize)]
pub struct WrongView {
    pub value: String,
    pub by: String,
    pub says: String,
}

/// One thing to be put in order.
#[derive(Debug, Serialize)]
pub struct ItemView {
    pub key: String,
    pub text: String,
    /// Its right place, counted from 1.
    pub place: usize,
    pub why: String,
}

/// A place of a diagram to be named.
#[derive(Debug, Serialize)]
pub struct PlaceView {
    pub number: usize,
    /// Key of the right word.
    pub key: String,
    pub label: String,
    /// What it is joined to, for who cannot see the diagram.
    pub joined: String,
    pub says: String,
}

/// A word with its key.
#[derive(Debug, Serialize)]
pub struct WordView {
    pub key: String,
    pub text: String,
}

/// A quiz for paper: no answer is in it.
#[derive(Debug, Serialize)]
pub struct QuizView {
    pub title: String,
    pub questions: Vec<QuizQuestionView>,
}

/// One question without its answer.
#[derive(Debug, Clone, Serialize)]
pub struct QuizQuestionView {
    pub number: usize,
    /// `one`, `several`, `number`, `order` or `label`.
    pub kind: &'static str,
    pub ask: String,
    /// What to do on paper.
    pub help: String,
    /// Texts with a box before each: to be ticked, or numbered in order.
    pub boxes: Vec<String>,
    /// SVG with numbered places.
    pub drawing: String,
    pub wide: bool,
    /// Numbers of the places to be named.
    pub places: Vec<usize>,
    /// Words to choose from.
    pub words: Vec<String>,
}

/// The answers to a quiz.
#[derive(Debug, Serialize)]
pub struct KeyView {
    pub title: String,
    pub questions: Vec<KeyQuestionView>,
}

/// The answer to one question.
#[derive(Debug, Clone, Serialize)]
pub struct KeyQuestionView {
    pub number: usize,
    pub ask: String,
    /// One entry, or several: right choices, things in order, words of the numbered places.
    pub answers: Vec<String>,
    /// Are they in an order that counts?
    pub ordered: bool,
    pub why: String,
    /// What is said to wrong answers.
    pub wrong: Vec<WrongAnswerView>,
}

/// A wrong answer, or a thing or place that was mistaken, and what whoever gives it has mixed up.
#[derive(Debug, Clone, Serialize)]
pub struct WrongAnswerView {
    pub text: String,
    pub says: String,
}
