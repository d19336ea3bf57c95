//! Every number that a student may draw: it has an answer, the answer makes sense, and a class does not share it.

use fieldcoil_calc::homework::item::{Ask, Item, Numbers};

use crate::course::{Homework, HomeworkAsk, Lesson, Piece};
use crate::finding::{Finding, shown};

/// Problems with more sets of numbers than this are tried at so many, spread evenly over all.
const MOST_TRIED: u64 = 10_000;
/// A tolerance that takes in more than this part of the answer takes in guesses.
const WIDEST: f64 = 0.25;

/// Looks at every problem of a lesson.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    for piece in &lesson.pieces {
        if let Piece::Homework(homework) = piece
            && let Some(item) = &homework.item
        {
            check_one(homework, item, found);
        }
    }
}

fn check_one(homework: &Homework, item: &Item, found: &mut Vec<Finding>) {
    let all = item.combinations();
    let tried = all.min(MOST_TRIED);
    let mut answers: Vec<Vec<f64>> = vec![Vec::with_capacity(tried as usize); item.asks.len()];
    let mut told = vec![false; item.asks.len()];
    for index in 0..tried {
        // 128 bits, for the product may not fit in 64.
        let place = (u128::from(index) * u128::from(all) / u128::from(tried.max(1))) as u64;
        let numbers = item.combination(place);
        let right = item.answers(&numbers);
        for (at, (ask, own)) in item.asks.iter().zip(&homework.asks).enumerate() {
            let Some(answer) = right[at] else {
                tell(&mut told[at], no_answer(item, ask, own, &numbers, &right), found);
                continue;
            };
            answers[at].push(answer);
            if let Some(problem) = unsound(ask, own, answer, &numbers) {
                tell(&mut told[at], problem, found);
            }
        }
    }
    for (at, (ask, own)) in item.asks.iter().zip(&homework.asks).enumerate() {
        // A problem in which nothing is drawn is one for all, and says so.
        if told[at] || item.drawn.is_empty() {
            continue;
        }
        let share = largest_share(ask, &mut answers[at]);
        if share > homework.most_alike {
            let message = format!(
                "{:.0} % of all draws have one answer to `{}`, within its tolerance",
                share * 100.0,
                shown(&ask.name)
            );
            found.push(
                Finding::error("answers-alike", message, own.span, "too many students with one answer").help(
                    format!(
                        "draw more numbers or from wider ranges, or allow it with `most_alike = {:.2}`",
                        (share * 100.0).ceil() / 100.0
                    ),
                ),
            );
        }
    }
}

/// One finding an ask: the first draw that goes wrong stands for all.
fn tell(told: &mut bool, finding: Finding, found: &mut Vec<Finding>) {
    if !*told {
        *told = true;
        found.push(finding);
    }
}

fn no_answer(item: &Item, ask: &Ask, own: &HomeworkAsk, numbers: &Numbers, right: &[Option<f64>]) -> Finding {
    let at = item.asks.iter().position(|other| other.name == ask.name).unwrap_or(0);
    let why = match item.report(ask, numbers, &right[..at]) {
        Err(refusal) => refusal
            .problems
            .iter()
            .map(|problem| problem.to_string().trim_end_matches('.').to_owned())
            .collect::<Vec<_>>()
            .join("; "),
        Ok(_) => format!("these numbers give no `{}`", ask.output),
    };
    let message = format!("a draw has no answer to `{}`: {why}", shown(&ask.name));
    Finding::error("no-answer", message, own.span, words(numbers)).help(
        "take the numbers that cannot be worked out of the draw, or give what is missing under `[given]`",
    )
}

fn unsound(ask: &Ask, own: &HomeworkAsk, answer: f64, numbers: &Numbers) -> Option<Finding> {
    let value = ask.shown(answer);
    if let Some(sensible) = &own.sensible {
        let (low, high) = sensible.value;
        let in_unit = ask.unit.of_base(answer);
        if !(low..=high).contains(&in_unit) {
            let message = format!("a draw gives {value} for `{}`, outside {low} to {high}", shown(&ask.name));
            return Some(
                Finding::error("senseless-answer", message, sensible.span, words(numbers))
                    .help("narrow the draw, or widen what is sensible"),
            );
        }
    }
    let allowance = ask.allowance(answer);
    if allowance > WIDEST * answer.abs() {
        let message = format!("the tolerance of `{}` is as large as its answer {value}", shown(&ask.name));
        return Some(
            Finding::error("vague-answer", message, own.tolerance.span, words(numbers))
                .help("narrow the tolerance, or leave out draws whose answer is near nothing"),
        );
    }
    None
}

/// The numbers of a draw, for a finding.
fn words(numbers: &Numbers) -> String {
    match numbers.as_slice() {
        [] => "with the given numbers".to_owned(),
        numbers => {
            let all: Vec<_> = numbers.iter().map(|(field, text)| format!("{field} = {text}")).collect();
            format!("for {}", all.join(", "))
        }
    }
}

/// The largest share of all answers that one answer would be right for.
fn largest_share(ask: &Ask, answers: &mut [f64]) -> f64 {
    if answers.is_empty() {
        return 0.0;
    }
    answers.sort_by(f64::total_cmp);
    let (mut from, mut most) = (0, 0);
    for to in 0..answers.len() {
        // All that lie within one allowance to both sides of some answer lie within two of the smallest of them.
        while answers[to] - answers[from] > 2.0 * ask.allowance(answers[from]) {
            from += 1;
        }
        most = most.max(to + 1 - from);
    }
    most as f64 / answers.len() as f64
}
