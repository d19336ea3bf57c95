//! Hookup-order checklists.

use fieldcoil_calc::number::short;

use super::typeset::tied;
use super::view::{HookupView, PhaseView, StepView};
use super::words::Words;
use crate::course::{Action, Bench, BenchState, Hookup, HookupStep, Lesson, Phase, Piece};

/// A checklist as its component sees it; `lesson` knows the labels of the readings that steps name.
pub fn view(hookup: &Hookup, lesson: &Lesson<'_>, words: &Words) -> HookupView {
    let limit = words.fill("hookup.limit", &[("seconds", &short(hookup.limit_s))]);
    let source = hookup.limit_source.as_ref().map(|source| {
        let source = source.trim_end_matches('.');
        format!(" {}", words.fill("hookup.limit_source", &[("source", source)]))
    });
    let is_powered = hookup.steps.iter().any(|step| step.action.value == Action::Energize);
    let (bench, limit) = match is_powered {
        true => (bench_words(hookup.bench), limit + &source.unwrap_or_default()),
        false => ("hookup.unpowered", String::new()),
    };
    HookupView {
        id: hookup.id.clone(),
        name: hookup.name.as_ref().map_or(&hookup.id, |name| &name.value).clone(),
        title: hookup.title.clone(),
        bench: words.get(bench).to_owned(),
        limit,
        is_timed: hookup.steps.iter().any(|step| step.seconds.is_some()),
        phases: phases(hookup, lesson, words),
    }
}

fn bench_words(bench: Bench) -> &'static str {
    match bench {
        Bench::Supply => "hookup.supply",
        Bench::Battery => "hookup.battery",
        Bench::Vehicle => "hookup.vehicle",
    }
}

fn phases(hookup: &Hookup, lesson: &Lesson<'_>, words: &Words) -> Vec<PhaseView> {
    let mut state = BenchState::at_start(hookup.bench);
    let mut phases: Vec<PhaseView> = Vec::new();
    for (index, step) in hookup.steps.iter().enumerate() {
        let name = phase_name(step.phase);
        if phases.last().is_none_or(|phase| phase.name != name) {
            let title = words.get(&format!("hookup.{name}")).to_owned();
            phases.push(PhaseView { name, title, start: index + 1, steps: Vec::new() });
        }
        // The step that makes the bench live counts, and the one that ends it.
        let before = state.live_since().is_some();
        state.take(step);
        let live = before || state.live_since().is_some();
        let view = step_view(step, index + 1, live, lesson, words);
        phases.last_mut().expect("one was pushed").steps.push(view);
    }
    phases
}

fn phase_name(phase: Phase) -> &'static str {
    match phase {
        Phase::Hookup => "hookup",
        Phase::Run => "run",
        Phase::Unhook => "unhook",
    }
}

fn step_view(step: &HookupStep, number: usize, live: bool, lesson: &Lesson<'_>, words: &Words) -> StepView {
    let read = step.reading.as_ref().filter(|_| step.action.value == Action::Read);
    let reading = read.map(|name| reading_label(lesson, &name.value));
    let part = step.part.as_ref().map(|part| part.value.label().replace(" / ", "\u{a0}/\u{a0}"));
    let seconds = step
        .seconds
        .as_ref()
        .map(|seconds| words.fill("hookup.seconds", &[("seconds", &short(seconds.value))]));
    // A step without a part says how long in its place: `Rest: 120 s`.
    let (object, amount) = match (reading.or(part), seconds) {
        (Some(object), seconds) => (object, seconds.unwrap_or_default()),
        (None, seconds) => (seconds.unwrap_or_default(), String::new()),
    };
    StepView {
        number,
        action: step.action.value.word(),
        r#do: step.action.value.label(),
        object,
        amount,
        say: tied(&step.say).into_owned(),
        why: tied(&step.why).into_owned(),
        ms: step.seconds.as_ref().map_or(0, |seconds| milliseconds(seconds.value)),
        live,
        check: step.action.value == Action::InstructorCheck,
    }
}

/// Whole milliseconds, rounded down: a timer never gives more time than the lesson does.
fn milliseconds(seconds: f64) -> u64 {
    // The cast stops at the ends of what it can hold; `parse` lets a step last an hour at most. The small part of a
    // millisecond is there because 0.3 · 1000 may come out just below 300.
    (seconds * 1000.0 + 1e-6) as u64
}

/// The words of a worksheet's reading in the same lesson; its name where there is none, which `proof` reports.
fn reading_label(lesson: &Lesson<'_>, name: &str) -> String {
    let worksheets = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Worksheet(worksheet) => Some(worksheet),
        _ => None,
    });
    let reading = worksheets.flat_map(|sheet| &sheet.readings).find(|reading| reading.name.value == name);
    reading.map_or_else(|| name.to_owned(), |reading| inside_a_line(&reading.label))
}

/// A label as it goes on in a line: its first letter small, unless its first word is a name in capitals (`A`, `EMF`).
fn inside_a_line(label: &str) -> String {
    let first = label.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
    let mut letters = label.chars();
    match letters.next() {
        Some(letter) if first.chars().any(char::is_lowercase) => {
            letter.to_lowercase().chain(letters).collect()
        }
        _ => label.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_capitals_stay_as_they_are() {
        for (label, wanted) in [
            ("Settled current", "settled current"),
            ("Drop of the lead, 60 V range", "drop of the lead, 60 V range"),
            ("Battery B at rest", "battery B at rest"),
            ("A, loaded: volts", "A, loaded: volts"),
            ("Ölstand", "ölstand"),
            ("", ""),
        ] {
            assert_eq!(inside_a_line(label), wanted);
        }
    }
}
