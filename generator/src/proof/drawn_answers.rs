//! Every number that a student may draw: it has an answer, the answer makes sense, and a class does not share it.

use fieldcoil_calc::homework::item::{Ask, Item, Numbers};

use crate::course::{Homework, HomeworkAsk, Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::memo::Memo;

/// Problems with more sets of numbers than this are tried at so many, spread evenly over all.
const MOST_TRIED: u64 = 10_000;
/// A given text (a recording) of more letters than this is read anew with each draw, and for each ask that goes on from
/// another: so fewer are tried the longer it is, and never fewer than these.
const SHORT_TEXT: u64 = 500;
const FEWEST_TRIED: u64 = 50;
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

/// What trying all draws of a problem came to, for each ask.
type Tried = Vec<Outcome>;

/// What trying all draws came to for one ask; it knows no places, so that it holds wherever the problem stands.
enum Outcome {
    /// A draw without an answer: why, and its numbers.
    NoAnswer { why: String, numbers: String },
    /// A draw whose answer makes no sense.
    Senseless { value: String, numbers: String },
    /// A draw whose tolerance is as large as its answer.
    Vague { value: String, numbers: String },
    /// All are sound, and one answer is right for this share of them at most.
    Sound { share: f64 },
}

/// Problems that were tried: it is by far the longest work on a course, and a problem is seldom changed.
static TRIED: Memo<Tried> = Memo::new(2000);

fn check_one(homework: &Homework, item: &Item, found: &mut Vec<Finding>) {
    let sensible: Vec<Option<(f64, f64)>> =
        homework.asks.iter().map(|ask| ask.sensible.as_ref().map(|sensible| sensible.value)).collect();
    let tried = TRIED.answer(format!("{item:?} {sensible:?}"), || tried(item, &sensible));
    for ((ask, own), outcome) in item.asks.iter().zip(&homework.asks).zip(tried.iter()) {
        found.extend(finding(homework, item, ask, own, outcome));
    }
}

/// Works every draw, or so many spread over all. The first draw that goes wrong stands for all.
fn tried(item: &Item, sensible: &[Option<(f64, f64)>]) -> Tried {
    let all = item.combinations();
    let tried = all.min(most_tried(item));
    let mut answers: Vec<Vec<f64>> = vec![Vec::with_capacity(tried as usize); item.asks.len()];
    let mut wrong: Vec<Option<Outcome>> = item.asks.iter().map(|_| None).collect();
    for index in 0..tried {
        // 128 bits, for the product may not fit in 64.
        let place = (u128::from(index) * u128::from(all) / u128::from(tried.max(1))) as u64;
        let numbers = item.combination(place);
        let right = item.answers(&numbers);
        for (at, (ask, sensible)) in item.asks.iter().zip(sensible).enumerate() {
            let Some(answer) = right[at] else {
                wrong[at].get_or_insert_with(|| no_answer(item, ask, &numbers, &right));
                continue;
            };
            answers[at].push(answer);
            if wrong[at].is_none() {
                wrong[at] = unsound(ask, *sensible, answer, &numbers);
            }
        }
    }
    let outcome = |((ask, answers), wrong): ((&Ask, &mut Vec<f64>), Option<Outcome>)| {
        wrong.unwrap_or_else(|| Outcome::Sound { share: largest_share(ask, answers) })
    };
    item.asks.iter().zip(&mut answers).zip(wrong).map(outcome).collect()
}

fn most_tried(item: &Item) -> u64 {
    let letters = item.given.iter().map(|(_, text)| text.len() as u64).sum::<u64>();
    if letters <= SHORT_TEXT {
        return MOST_TRIED;
    }
    let readings = 1 + item.asks.iter().filter(|ask| !ask.uses.is_empty()).count() as u64;
    (MOST_TRIED * SHORT_TEXT / (letters * readings)).max(FEWEST_TRIED)
}

fn no_answer(item: &Item, ask: &Ask, numbers: &Numbers, right: &[Option<f64>]) -> Outcome {
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
    Outcome::NoAnswer { why, numbers: words(numbers) }
}

fn unsound(ask: &Ask, sensible: Option<(f64, f64)>, answer: f64, numbers: &Numbers) -> Option<Outcome> {
    let told = || (ask.shown(answer), words(numbers));
    if let Some((low, high)) = sensible
        && !(low..=high).contains(&ask.unit.of_base(answer))
    {
        let (value, numbers) = told();
        return Some(Outcome::Senseless { value, numbers });
    }
    if ask.allowance(answer) > WIDEST * answer.abs() {
        let (value, numbers) = told();
        return Some(Outcome::Vague { value, numbers });
    }
    None
}

/// What there is to say about an ask, at its place.
fn finding(
    homework: &Homework,
    item: &Item,
    ask: &Ask,
    own: &HomeworkAsk,
    outcome: &Outcome,
) -> Option<Finding> {
    let name = shown(&ask.name);
    match outcome {
        Outcome::NoAnswer { why, numbers } => {
            let message = format!("a draw has no answer to `{name}`: {why}");
            Some(Finding::error("no-answer", message, own.span, numbers).help(
                "take the numbers that cannot be worked out of the draw, or give what is missing under `[given]`",
            ))
        }
        Outcome::Senseless { value, numbers } => {
            let sensible = own.sensible.as_ref()?;
            let (low, high) = sensible.value;
            let message = format!("a draw gives {value} for `{name}`, outside {low} to {high}");
            let finding = Finding::error("senseless-answer", message, sensible.span, numbers);
            Some(finding.help("narrow the draw, or widen what is sensible"))
        }
        Outcome::Vague { value, numbers } => {
            let message = format!("the tolerance of `{name}` is as large as its answer {value}");
            let finding = Finding::error("vague-answer", message, own.tolerance.span, numbers);
            Some(finding.help("narrow the tolerance, or leave out draws whose answer is near nothing"))
        }
        // A problem in which nothing is drawn is one for all, and says so.
        Outcome::Sound { share } if *share > homework.most_alike && !item.drawn.is_empty() => {
            let percent = share * 100.0;
            let message =
                format!("{percent:.0} % of all draws have one answer to `{name}`, within its tolerance");
            let help = format!(
                "draw more numbers or from wider ranges, or allow it with `most_alike = {:.2}`",
                percent.ceil() / 100.0
            );
            let finding =
                Finding::error("answers-alike", message, own.span, "too many students with one answer");
            Some(finding.help(help))
        }
        Outcome::Sound { .. } => None,
    }
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
