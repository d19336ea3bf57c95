//! What a hookup does is dangerous in known ways, and a safety note of the lesson names each of them.

use crate::course::{Action, Bench, Caution, Hookup, HookupStep, Lesson, Part, Piece};
use crate::finding::Finding;

/// One way in which a bench hurts.
struct Hazard {
    /// What it is called in a finding.
    name: &'static str,
    /// The step that brings it.
    step: fn(&Hookup, &HookupStep) -> bool,
    /// Signs of ISO 7010 that warn of it.
    signs: &'static [&'static str],
    /// Beginnings of words of which one says it.
    words: &'static [&'static str],
}

/// The map from steps to hazards (common practice, no source).
const HAZARDS: &[Hazard] = &[
    Hazard {
        name: "parts that turn or jump out",
        step: |_, step| energizes(step, &[Part::StartButton, Part::RemoteSwitch, Part::Key]),
        signs: &["W019", "W024", "W025"],
        words: &["pinion", "spin", "turn", "moving", "fan", "belt"],
    },
    Hazard {
        name: "the gas and acid of a battery",
        step: |hookup, step| {
            hookup.bench == Bench::Battery
                && step.action.value == Action::Attach
                && is_one_of(step, &[Part::SourcePositive, Part::SourceNegative, Part::LoadPositive])
        },
        signs: &["W002", "W023", "W026"],
        words: &["gas", "hydrogen", "acid", "explo"],
    },
    Hazard {
        name: "a short circuit",
        step: |hookup, step| {
            hookup.bench != Bench::Vehicle
                && step.action.value == Action::Attach
                && is_one_of(step, &[Part::SourcePositive, Part::LoadPositive, Part::MainTerminal])
        },
        signs: &["W012"],
        words: &["short circuit", "short-circuit", "arc", "spark"],
    },
    Hazard {
        name: "hot parts",
        step: |hookup, step| {
            let held = [
                Part::StartButton,
                Part::RemoteSwitch,
                Part::LoadSwitch,
                Part::CarbonPile,
                Part::OutputButton,
            ];
            hookup.bench != Bench::Vehicle && energizes(step, &held)
        },
        signs: &["W017"],
        words: &["hot", "heat", "burn"],
    },
    Hazard {
        name: "a vehicle that starts or rolls",
        step: |hookup, step| hookup.bench == Bench::Vehicle && step.action.value == Action::Energize,
        signs: &[],
        words: &["roll", "start", "drive off", "drives off"],
    },
];

fn energizes(step: &HookupStep, by: &[Part]) -> bool {
    step.action.value == Action::Energize && is_one_of(step, by)
}

fn is_one_of(step: &HookupStep, parts: &[Part]) -> bool {
    step.part.as_ref().is_some_and(|part| parts.contains(&part.value))
}

/// Warns of each hazard of a hookup that no safety note of its lesson has.
pub fn check(lesson: &Lesson, found: &mut Vec<Finding>) {
    let notes: Vec<&Caution> = lesson
        .pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Caution(note) => Some(note),
            _ => None,
        })
        .collect();
    // A lesson without any note that energizes has an error of its own.
    if notes.is_empty() {
        return;
    }
    for hazard in HAZARDS.iter().filter(|hazard| !notes.iter().any(|note| tells(note, hazard))) {
        let step = lesson.pieces.iter().find_map(|piece| match piece {
            Piece::Hookup(hookup) => hookup.steps.iter().find(|step| (hazard.step)(hookup, step)),
            _ => None,
        });
        let Some(step) = step else { continue };
        let signs = match hazard.signs {
            [] => String::new(),
            signs => format!(", with the sign {}", signs.join(" or ")),
        };
        found.push(
            Finding::warning(
                "hazard-not-told",
                format!("no safety note of this lesson tells of {}", hazard.name),
                step.action.span,
                "this step brings it",
            )
            .help(format!("add a `caution` block that says what happens and how to avoid it{signs}")),
        );
    }
}

fn tells(note: &Caution, hazard: &Hazard) -> bool {
    if note.sign.as_ref().is_some_and(|sign| hazard.signs.contains(&sign.value.as_str())) {
        return true;
    }
    let text = [&note.hazard, &note.consequence].into_iter().chain(&note.avoid);
    text.map(|text| text.to_lowercase())
        .any(|text| hazard.words.iter().any(|word| begins_a_word(&text, word)))
}

fn begins_a_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| !text[..at].ends_with(char::is_alphanumeric))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_found_at_its_beginning() {
        assert!(begins_a_word("hot parts", "hot") && begins_a_word("the gases", "gas"));
        assert!(!begins_a_word("a shot", "hot"));
    }

    #[test]
    fn every_sign_is_one_of_the_theme() {
        for sign in HAZARDS.iter().flat_map(|hazard| hazard.signs) {
            assert!(crate::asset::sign(sign).is_some(), "{sign}");
        }
    }
}
