//! `selfcheck`: questions with feedback at once.

use super::Block;
use super::homework::start_value;
use crate::course::selfcheck::{
    Choice, ChooseTask, Given, LabelPlace, LabelTask, NumberFrom, NumberTask, OrderTask, Selfcheck,
    SelfcheckQuestion, Task, WrongNumber,
};
use crate::finding::Finding;
use crate::parse::keys::Keys;
use crate::source::Spanned;

/// A number that a lesson may say; beyond that it is a slip.
const NUMBER: (f64, f64) = (-1e12, 1e12);
/// A hookup has no more steps than this.
const STEP: (u32, u32) = (1, 999);
/// What rounding on the way costs, where a question does not say otherwise.
const TOLERANCE: &str = "2 %";

/// How a question is answered, by its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    One,
    Several,
    Number,
    Order,
    Label,
}

const KINDS: [(&str, Kind); 5] = [
    ("one", Kind::One),
    ("several", Kind::Several),
    ("number", Kind::Number),
    ("order", Kind::Order),
    ("label", Kind::Label),
];

/// Reads the block.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Selfcheck {
    block.body.read("the `selfcheck` block", block.fence, found, |keys, found| {
        let title = keys.needed_text("title", found).value;
        let before = found.len();
        let tables = keys.tables("question", "this question", found);
        if tables.is_empty() && found.len() == before {
            found.push(
                Finding::error(
                    "no-question",
                    "this self-check asks nothing",
                    block.fence,
                    "`[[question]]` is missing",
                )
                .help(
                    "add a line `[[question]]`, then `kind = \"one\"`, `ask = …` and `[[question.choice]]`",
                ),
            );
        }
        let mut questions = Vec::new();
        for keys in tables {
            questions.extend(question(keys, found));
        }
        Selfcheck { id, title, questions, span: block.fence }
    })
}

fn question(mut keys: Keys, found: &mut Vec<Finding>) -> Option<SelfcheckQuestion> {
    let span = keys.span;
    let kind = keys.needed_word("kind", KINDS.into_iter(), found);
    let ask = keys.needed_text("ask", found);
    let why = keys.text("why", found).map_or_else(String::new, |why| why.value);
    // Without a kind every other key would be reported as unknown.
    let task = match kind?.value {
        Kind::One => Task::Choose(choose(&mut keys, false, found)),
        Kind::Several => Task::Choose(choose(&mut keys, true, found)),
        Kind::Number => Task::Number(Box::new(number(&mut keys, found))),
        Kind::Order => Task::Order(order(&mut keys, found)),
        Kind::Label => Task::Label(label(&mut keys, found)),
    };
    keys.finish(found);
    Some(SelfcheckQuestion { ask, why, task, span })
}

/// The tables of a question; none at all is a finding.
fn needed_tables<'t, 's>(
    keys: &mut Keys<'t, 's>,
    key: &'static str,
    what: &'static str,
    lines: &str,
    found: &mut Vec<Finding>,
) -> Vec<Keys<'t, 's>> {
    let before = found.len();
    let tables = keys.tables(key, what, found);
    if tables.is_empty() && found.len() == before {
        let message = format!("this question has no `{key}`");
        found.push(
            Finding::error("missing-key", message, keys.span, format!("`{key}` is missing"))
                .help(format!("add a line `[[question.{key}]]`, then {lines}")),
        );
    }
    tables
}

fn choose(keys: &mut Keys, several: bool, found: &mut Vec<Finding>) -> ChooseTask {
    let lines = "`text = …`, and `right = true` or `says = …`";
    let tables = needed_tables(keys, "choice", "this choice", lines, found);
    let choice = |mut keys: Keys| {
        let span = keys.span;
        let text = keys.needed_text("text", found);
        let right = keys.flag("right", found).unwrap_or_default();
        let says_at = keys.has("says").then(|| keys.span_of("says"));
        let says = keys.text("says", found).map_or_else(String::new, |says| says.value);
        keys.finish(found);
        if let Some(place) = says_at.filter(|_| right) {
            let message = "a right choice has a `says`";
            found.push(
                Finding::error("useless-key", message, place, "said to whoever is wrong")
                    .help("write it as the question's `why`, which is shown after the right answer"),
            );
        }
        Choice { text, right, says, span }
    };
    let choices = tables.into_iter().map(choice).collect();
    ChooseTask { several, choices }
}

fn given(keys: &mut Keys, found: &mut Vec<Finding>) -> Given {
    let mut given = Vec::new();
    for (field, value) in keys.entries("given", found) {
        given.extend(start_value(&field, value, found).map(|value| (field, value)));
    }
    given
}

fn number(keys: &mut Keys, found: &mut Vec<Finding>) -> NumberTask {
    let is_worked = ["use", "given", "output"].iter().any(|key| keys.has(key));
    let is_said = keys.has("answer");
    let said = keys.number("answer", NUMBER, found);
    let from = if is_worked {
        let calculator = keys.needed_text("use", found);
        let output = keys.needed_text("output", found);
        Some(NumberFrom::Worked { calculator, given: given(keys, found), output })
    } else {
        said.map(NumberFrom::Said)
    };
    if is_said == is_worked {
        let (message, place) = match is_said {
            true => ("this question says its answer and has it worked", keys.span_of("answer")),
            false => ("this question has no right number", keys.span),
        };
        found.push(
            Finding::error("number-source", message, place, "one of the two is wanted")
                .help("write `answer = 62`, or `use`, `output` and `given = { … }` of a calculator"),
        );
    }
    let unit = keys.maybe_empty_text("unit", found).unwrap_or(Spanned::new(String::new(), keys.span));
    let tolerance = keys.text("tolerance", found).unwrap_or(Spanned::new(TOLERANCE.to_owned(), keys.span));
    let mut wrong = Vec::new();
    for mut keys in keys.tables("wrong", "this wrong number", found) {
        let span = keys.span;
        let value = keys.number("value", NUMBER, found);
        let has_both = keys.has("value") == keys.has("given");
        let given = given(&mut keys, found);
        let says = keys.needed_text("says", found).value;
        keys.finish(found);
        if has_both || (!given.is_empty() && !is_worked) {
            let message = "this wrong number says neither its `value` nor what was `given` for it, or both";
            let message = if has_both { message } else { "no calculator works this wrong number" };
            found.push(
                Finding::error("number-source", message, span, "one of the two is wanted").help(
                    "write `value = 31`, or, where a calculator works the answer, `given = { … }` with the fields that the \
                     mistake changes",
                ),
            );
        }
        wrong.push(WrongNumber { value, given, says, span });
    }
    NumberTask { from, unit, tolerance, wrong, bound: None }
}

fn order(keys: &mut Keys, found: &mut Vec<Finding>) -> OrderTask {
    let of_hookup = keys.has("hookup") || keys.has("steps");
    if of_hookup == keys.has("sentences") {
        let message = match of_hookup {
            true => "this question puts steps of a hookup and sentences in order",
            false => "this question has nothing to put in order",
        };
        found.push(
            Finding::error("order-source", message, keys.span, "one of the two is wanted").help(
                "write `hookup = \"name\"` and `steps = [9, 11, 12]`, or `sentences = [\"first\", \"second\", \"third\"]`",
            ),
        );
    }
    let hookup = of_hookup.then(|| keys.needed_text("hookup", found));
    if of_hookup {
        keys.need("steps", "[9, 11, 12]", found);
    }
    let before = found.len();
    let has_list = keys.has("steps") || keys.has("sentences");
    let steps = keys.wholes("steps", STEP, found);
    let sentences = keys.texts("sentences", found);
    if has_list && steps.is_empty() && sentences.is_empty() && found.len() == before {
        found.push(
            Finding::error("order-source", "this question has an empty list", keys.span, "nothing is in it")
                .help("name three things or more"),
        );
    }
    OrderTask { hookup, steps, sentences, bound: Vec::new() }
}

fn label(keys: &mut Keys, found: &mut Vec<Finding>) -> LabelTask {
    let circuit = keys.needed_text("circuit", found);
    let lines = "`at = \"solenoid.50\"` or the name of a symbol";
    let tables = needed_tables(keys, "place", "this place", lines, found);
    let place = |mut keys: Keys| {
        let at = keys.needed_text("at", found);
        let says = keys.text("says", found).map_or_else(String::new, |says| says.value);
        keys.finish(found);
        LabelPlace { at, says, bound: None }
    };
    let places = tables.into_iter().map(place).collect();
    LabelTask { circuit, places, circuit_id: None }
}
