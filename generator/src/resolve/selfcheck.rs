//! Self-checks of a lesson: steps, diagrams and calculators that their questions name are there, and right numbers are
//! worked.

use std::collections::BTreeMap;

use fieldcoil_calc::calculator::OutputKind;
use fieldcoil_calc::homework::item::{Ask, Item, Tolerance};
use fieldcoil_calc::number::short;
use fieldcoil_calc::unit::{Quantity, Unit};

use super::circuit::terminal;
use super::homework;
use crate::course::selfcheck::{
    Band, BoundNumber, BoundPlace, BoundWrong, Given, LabelTask, NumberFrom, NumberTask, OrderItem,
    OrderTask, Place, SelfcheckQuestion, Task,
};
use crate::course::{Circuit, HomeworkAsk, Hookup, Lesson, Piece, StartValue};
use crate::finding::nearest::symbol_of;
use crate::finding::{Finding, shown};
use crate::source::{Span, Spanned};

/// Binds the self-checks of a lesson. Its diagrams are to be bound before.
pub fn bind(lesson: &mut Lesson, found: &mut Vec<Finding>) {
    for index in 0..lesson.pieces.len() {
        let Piece::Selfcheck(selfcheck) = &mut lesson.pieces[index] else { continue };
        // Questions look at other pieces of the lesson while they are changed.
        let mut questions = std::mem::take(&mut selfcheck.questions);
        for question in &mut questions {
            bind_one(question, &lesson.pieces, found);
        }
        if let Piece::Selfcheck(selfcheck) = &mut lesson.pieces[index] {
            selfcheck.questions = questions;
        }
    }
}

fn bind_one(question: &mut SelfcheckQuestion, pieces: &[Piece], found: &mut Vec<Finding>) {
    match &mut question.task {
        Task::Choose(_) => {}
        Task::Number(task) => task.bound = number(task, question.span, found),
        Task::Order(task) => task.bound = order(task, pieces, found),
        Task::Label(task) => label(task, pieces, found),
    }
}

// --- Numbers --------------------------------------------------------------------------------------------------------

fn number(task: &NumberTask, span: Span, found: &mut Vec<Finding>) -> Option<BoundNumber> {
    match task.from.as_ref()? {
        NumberFrom::Said(value) => said(task, value.value, found),
        NumberFrom::Worked { calculator, given, output } => {
            worked(task, calculator, given, output, span, found)
        }
    }
}

fn said(task: &NumberTask, value: f64, found: &mut Vec<Finding>) -> Option<BoundNumber> {
    let Some((quantity, unit)) = Quantity::of_unit(&task.unit.value) else {
        let symbols = || Quantity::ALL.iter().flat_map(|quantity| quantity.units()).map(|unit| unit.symbol);
        let message = format!("`{}` is no unit that is known here", shown(&task.unit.value));
        found.push(
            Finding::error("ask-unit", message, task.unit.span, "in no list of units")
                .near(symbol_of(&task.unit.value), symbols())
                .help("write its symbol: `V`, `mΩ`, `rpm`; leave it out for a plain number"),
        );
        return None;
    };
    let tolerance = homework::tolerance_of(&task.tolerance, quantity, unit, found)?;
    let band = |value: f64| band(unit.to_base(value), tolerance, unit);
    let shown = |value: f64| [short(value).as_str(), "\u{a0}", unit.symbol].concat().trim_end().to_owned();
    let wrong = task.wrong.iter().filter_map(|wrong| {
        let value = wrong.value.as_ref()?.value;
        Some(BoundWrong {
            band: band(value),
            shown: shown(value),
            says: wrong.says.clone(),
            span: wrong.span,
        })
    });
    Some(BoundNumber { quantity, unit, right: band(value), shown: shown(value), wrong: wrong.collect() })
}

fn band(value: f64, tolerance: Tolerance, unit: &Unit) -> Band {
    Band { value, by: tolerance.allowance(value, unit) }
}

fn worked(
    task: &NumberTask,
    calculator: &Spanned<String>,
    given: &Given,
    output: &Spanned<String>,
    span: Span,
    found: &mut Vec<Finding>,
) -> Option<BoundNumber> {
    let before = found.len();
    let calculator = homework::calculator(calculator, found)?;
    let ask = HomeworkAsk {
        name: Spanned::new("a".to_owned(), span),
        text: String::new(),
        hint: String::new(),
        calculator: None,
        output: output.clone(),
        unit: task.unit.clone(),
        tolerance: task.tolerance.clone(),
        points: 1.0,
        for_power: 0.0,
        for_unit: 0.0,
        uses: Vec::new(),
        sensible: None,
        span,
    };
    let ask = homework::bound_ask(calculator, &ask, &[], found);
    let mut texts = |given: &Given| -> Vec<(String, String)> {
        let mut texts = Vec::with_capacity(given.len());
        for (field, value) in given {
            let text = match &value.value {
                StartValue::Number(number) => number.to_string(),
                StartValue::Text(text) => text.clone(),
            };
            let own = homework::of_any(&[calculator], field, found);
            let text = Spanned::new(text, value.span);
            if own.is_some_and(|own| homework::accepted(own, &field.value, &text, found)) {
                texts.push((field.value.clone(), text.value));
            }
        }
        texts
    };
    let given = texts(given);
    let mistakes: Vec<_> = task.wrong.iter().map(|wrong| texts(&wrong.given)).collect();
    let ask = ask.filter(|_| found.len() == before)?;
    let OutputKind::Number(quantity, _) = calculator.output(&ask.output)?.kind else { return None };
    let right = answer(&ask, given.clone(), span, found)?;
    let bound = |value: f64| (band(value, ask.tolerance, ask.unit), ask.shown(value));
    let mut wrong = Vec::with_capacity(task.wrong.len());
    for (own, mistake) in task.wrong.iter().zip(mistakes) {
        let value = match &own.value {
            Some(value) => Some(ask.unit.to_base(value.value)),
            // The later value of a field is the one that counts.
            // A wrong number that says nothing has been reported.
            None if own.given.is_empty() => None,
            None => answer(&ask, given.iter().cloned().chain(mistake).collect(), own.span, found),
        };
        wrong.extend(value.map(|value| {
            let (band, shown) = bound(value);
            BoundWrong { band, shown, says: own.says.clone(), span: own.span }
        }));
    }
    let (right, shown) = bound(right);
    Some(BoundNumber { quantity, unit: ask.unit, right, shown, wrong })
}

fn answer(ask: &Ask, given: Vec<(String, String)>, place: Span, found: &mut Vec<Finding>) -> Option<f64> {
    let item = Item { name: String::new(), given, drawn: Vec::new(), asks: vec![ask.clone()] };
    let report = item.report(ask, &Vec::new(), &[]);
    let answer = report.as_ref().ok().and_then(|report| ask.answer(report));
    if answer.is_none() {
        let why = match &report {
            Err(refusal) => refusal.problems.first().map(ToString::to_string).unwrap_or_default(),
            Ok(_) => format!("`{}` has no value with these values", ask.output),
        };
        let message = format!("this number cannot be worked: {}", why.trim_end_matches('.'));
        found.push(
            Finding::error("no-answer", message, place, "no number comes of it")
                .help("give the fields that are missing in `given = { … }`"),
        );
    }
    answer
}

// --- Order ----------------------------------------------------------------------------------------------------------

fn order(task: &OrderTask, pieces: &[Piece], found: &mut Vec<Finding>) -> Vec<OrderItem> {
    let own = task.sentences.iter().map(|sentence| OrderItem {
        text: sentence.value.clone(),
        why: String::new(),
        span: sentence.span,
    });
    let Some(name) = &task.hookup else { return own.collect() };
    let hookups = || {
        pieces.iter().filter_map(|piece| match piece {
            Piece::Hookup(hookup) => Some((hookup.name.as_ref()?.value.as_str(), hookup)),
            _ => None,
        })
    };
    let Some((_, hookup)) = hookups().find(|(own, _)| *own == name.value) else {
        if !name.value.is_empty() {
            let message = format!("no hookup of this lesson has the name `{}`", shown(&name.value));
            found.push(
                Finding::error("unknown-hookup", message, name.span, "no steps to put in order")
                    .near(&name.value, hookups().map(|(name, _)| name))
                    .help("give the hookup a line `name = \"…\"`"),
            );
        }
        return own.collect();
    };
    let mut steps: Vec<&Spanned<u32>> = task.steps.iter().collect();
    // Whatever order they are written in, the hookup says which is right.
    steps.sort_by_key(|step| step.value);
    steps.into_iter().filter_map(|step| order_item(hookup, step, found)).collect()
}

fn order_item(hookup: &Hookup, step: &Spanned<u32>, found: &mut Vec<Finding>) -> Option<OrderItem> {
    let own = (step.value as usize).checked_sub(1).and_then(|index| hookup.steps.get(index));
    if own.is_none() {
        let count = hookup.steps.len();
        let message = format!("the hookup has no step {}", step.value);
        found.push(
            Finding::error("unknown-step", message, step.span, "past its last step")
                .also(hookup.span, format!("it has {count} steps"))
                .help(format!("name steps from 1 to {count}, as the page counts them")),
        );
    }
    own.map(|own| OrderItem { text: own.say.clone(), why: own.why.clone(), span: step.span })
}

// --- Labels ---------------------------------------------------------------------------------------------------------

fn label(task: &mut LabelTask, pieces: &[Piece], found: &mut Vec<Finding>) {
    let circuits = || {
        pieces.iter().filter_map(|piece| match piece {
            Piece::Circuit(circuit) => Some(circuit.as_ref()),
            _ => None,
        })
    };
    let wanted = task.circuit.value.as_str();
    let named = |circuit: &&Circuit| circuit.name.as_ref().is_some_and(|name| name.value == wanted);
    let circuit = circuits().find(named).or_else(|| circuits().find(|circuit| circuit.title == wanted));
    let Some(circuit) = circuit else {
        if !wanted.is_empty() {
            let message = format!("no diagram of this lesson has the name `{}`", shown(wanted));
            let words = circuits().flat_map(|circuit| {
                circuit
                    .name
                    .as_ref()
                    .map(|name| name.value.as_str())
                    .into_iter()
                    .chain([circuit.title.as_str()])
            });
            found.push(
                Finding::error("unknown-circuit", message, task.circuit.span, "nothing to label")
                    .near(wanted, words)
                    .help("write the title of a `circuit` block of this lesson, or give it a line `name = \"…\"`"),
            );
        }
        return;
    };
    task.circuit_id = Some(circuit.id.clone());
    let mut symbols: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, symbol) in circuit.symbols.iter().enumerate() {
        symbols.entry(&symbol.name.value).or_insert(index);
    }
    for place in &mut task.places {
        if !place.at.value.is_empty() {
            place.bound = bound_place(circuit, &symbols, &place.at, found);
        }
    }
}

fn bound_place(
    circuit: &Circuit,
    symbols: &BTreeMap<&str, usize>,
    at: &Spanned<String>,
    found: &mut Vec<Finding>,
) -> Option<BoundPlace> {
    let (place, word) = match symbols.get(at.value.as_str()) {
        Some(symbol) => (Place::Symbol(*symbol), circuit.symbols[*symbol].label.as_str()),
        None => {
            let (symbol, pin) = terminal(circuit, symbols, at, found)?;
            let pin_of = &circuit.symbols[symbol].turned.symbol.pins[pin];
            // Ends that look alike have numbers that stand nowhere in the drawing.
            let word = if pin_of.mark.is_empty() && pin_of.name == "45" { "45" } else { pin_of.mark };
            (Place::Terminal((symbol, pin)), word)
        }
    };
    if word.is_empty() {
        let message = format!("`{}` has no words in the diagram", shown(&at.value));
        found.push(
            Finding::error("nameless-place", message, at.span, "nothing to call it by")
                .help("ask for a symbol with a label, or for a terminal with a mark such as `30`"),
        );
        return None;
    }
    Some(BoundPlace { place, word: word.to_owned() })
}
