//! Every hookup of the default course, with each step dropped and doubled: the proof finds it, or it is listed here with
//! why it is safe.

use std::path::Path;

use fieldcoil::course::{Action, Course, Hookup, HookupStep, Part, Phase, Piece};
use fieldcoil::{pipeline, proof, source};

/// A change of one step.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Change {
    Drop,
    Double,
}

/// Changes that leave a safe order.
fn is_safe(change: Change, steps: &[HookupStep], at: usize) -> bool {
    let action = |index: usize| steps[index].action.value;
    let part = |index: usize| steps[index].part.as_ref().map(|part| part.value);
    // Done once more, these change nothing, and neither does one of them that is missing: no rule asks for rings off,
    // a clear bench, a tachometer or a chocked vehicle, and a switch may be opened that is open.
    let idle = |index: usize| match action(index) {
        Action::Wear | Action::Clear | Action::Fasten | Action::Loosen | Action::Remove => {
            !matches!(part(index), Some(Part::EyeProtection | Part::DriveOpening | Part::Motor))
        }
        Action::SwitchOff => part(index) != Some(Part::MainSwitch) || steps[index].phase == Phase::Hookup,
        Action::Look => part(index) != Some(Part::PositiveClip),
        _ => false,
    };
    match change {
        Change::Double => !matches!(
            action(at),
            Action::Attach | Action::Detach | Action::Energize | Action::Release | Action::SwitchOn
        ),
        Change::Drop => {
            // A motor that stays fastened is no danger; a reading that is not taken is a warning of its own.
            idle(at)
                || (action(at) == Action::Loosen)
                || (!energizes(steps)
                    && matches!(action(at), Action::Fasten | Action::Clear | Action::InstructorCheck))
        }
    }
}

fn energizes(steps: &[HookupStep]) -> bool {
    steps.iter().any(|step| step.action.value == Action::Energize)
}

fn changed(steps: &[HookupStep], change: Change, at: usize) -> Vec<HookupStep> {
    let mut steps = steps.to_vec();
    match change {
        Change::Drop => {
            steps.remove(at);
        }
        Change::Double => steps.insert(at, steps[at].clone()),
    }
    steps
}

/// The hookups of a course, each as the only piece of its lesson besides the safety notes and sheets.
fn hookups(course: &Course) -> impl Iterator<Item = (usize, usize, Hookup)> {
    course.lessons.iter().enumerate().flat_map(|(lesson, found)| {
        found.pieces.iter().enumerate().filter_map(move |(piece, found)| match found {
            Piece::Hookup(hookup) => Some((lesson, piece, hookup.clone())),
            _ => None,
        })
    })
}

#[test]
fn one_wrong_step_does_not_publish() {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../content");
    let (sources, found) = source::load::course(&content).expect("the default course");
    let (mut course, found) = pipeline::check(&sources, found);
    assert_eq!(found, [], "the default course is in order");
    let all: Vec<_> = hookups(&course).collect();
    assert!(all.len() >= 3, "the course has hookups");

    let (mut caught, mut safe, mut missed) = (0, 0, Vec::new());
    for (lesson, piece, hookup) in all {
        for change in [Change::Drop, Change::Double] {
            for at in 0..hookup.steps.len() {
                let steps = changed(&hookup.steps, change, at);
                course.lessons[lesson].pieces[piece] = Piece::Hookup(Hookup { steps, ..hookup.clone() });
                match (proof::course(&course).is_empty(), is_safe(change, &hookup.steps, at)) {
                    (false, false) => caught += 1,
                    (true, true) => safe += 1,
                    (empty, _) => {
                        let step = &hookup.steps[at];
                        let part = step.part.as_ref().map_or("", |part| part.value.word());
                        let word = if empty { "not caught" } else { "caught, and listed as safe" };
                        missed.push(format!(
                            "{}: {change:?} {} {part}: {word}",
                            hookup.title,
                            step.action.value.word()
                        ));
                    }
                }
            }
        }
        course.lessons[lesson].pieces[piece] = Piece::Hookup(hookup);
    }
    println!("{caught} caught, {safe} safe");
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
