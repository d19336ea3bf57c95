//! The rules that a school adds in `course.toml`, held against each hookup.

use super::step_span;
use crate::course::{Asks, BenchState, Hookup, HookupStep, SchoolRule, StepPattern, When};
use crate::finding::{Finding, shown};
use crate::source::Span;

/// Holds every rule of the school against every step of a hookup.
pub fn check(hookup: &Hookup, rules: &[SchoolRule], found: &mut Vec<Finding>) {
    let rules = rules.iter().filter(|rule| rule.benches.is_empty() || rule.benches.contains(&hookup.bench));
    for rule in rules {
        let mut state = BenchState::at_start(hookup.bench);
        for (index, step) in hookup.steps.iter().enumerate() {
            if fits(&rule.at, step)
                && let Some(broken) = broken(&rule.asks, &hookup.steps, index, &state)
            {
                found.push(finding(rule, step, broken, &state));
            }
            state.take(step);
        }
    }
}

/// What is wrong, what mends it, and an earlier step that has to do with it.
type Broken = (String, String, Option<(Span, &'static str)>);

fn broken(asks: &Asks, steps: &[HookupStep], at: usize, state: &BenchState) -> Option<Broken> {
    match asks {
        Asks::Before { step, since } => {
            let counts_from = since.as_ref().and_then(|since| last(since, &steps[..at]));
            let earlier = &steps[counts_from.map_or(0, |index| index + 1)..at];
            if last(step, earlier).is_some() {
                return None;
            }
            let since = counts_from.map(|index| (steps[index].action.span, "only steps after this one count"));
            Some((
                format!("no step before it is {}", words(step)),
                format!("put a step {} before this one", mend(step)),
                since,
            ))
        }
        Asks::After(step) => last(step, &steps[at + 1..]).is_none().then(|| {
            (format!("no step after it is {}", words(step)), format!("put a step {} after this one", mend(step)), None)
        }),
        Asks::Never(When::Energized) => state.energized.map(|since| {
            let mend = "put a step `do = \"release\"` before this one".to_owned();
            ("it is done while current flows".to_owned(), mend, Some((since, "energized here")))
        }),
        Asks::Never(When::Live) => state.live_since().map(|since| {
            let mend = match state.energized {
                Some(_) => "put a step `do = \"release\"` before this one, and `switch-off` where there is a main switch",
                None => "put a step `do = \"switch-off\"`, `part = \"main-switch\"` before this one",
            };
            ("it is done while the bench is live".to_owned(), mend.to_owned(), Some((since, "live since this step")))
        }),
    }
}

fn finding(rule: &SchoolRule, step: &HookupStep, broken: Broken, state: &BenchState) -> Finding {
    let (what, mend, since) = broken;
    let done =
        words(&StepPattern { action: step.action.value, part: step.part.as_ref().map(|part| part.value) });
    let message = format!("{done} is against the school's rule `{}`: {what}", shown(&rule.name.value));
    let mut finding = Finding::error("school-rule", message, step_span(step), "the rule looks at this step");
    if let Some((span, text)) = since {
        finding = finding.also(span, text);
    }
    finding
        .also(rule.name.span, "the rule")
        .help(mend)
        .help(format!("why: {} ({})", rule.danger, rule.source))
        .help(format!("at this step: {}", state.words()))
}

fn fits(pattern: &StepPattern, step: &HookupStep) -> bool {
    let part = step.part.as_ref().map(|part| part.value);
    pattern.action == step.action.value && (pattern.part.is_none() || pattern.part == part)
}

fn last(pattern: &StepPattern, steps: &[HookupStep]) -> Option<usize> {
    steps.iter().rposition(|step| fits(pattern, step))
}

fn words(pattern: &StepPattern) -> String {
    match pattern.part {
        Some(part) => format!("`{} {}`", pattern.action.word(), part.word()),
        None => format!("`{}`", pattern.action.word()),
    }
}

fn mend(pattern: &StepPattern) -> String {
    match pattern.part {
        Some(part) => format!("`do = \"{}\"`, `part = \"{}\"`", pattern.action.word(), part.word()),
        None => format!("`do = \"{}\"`", pattern.action.word()),
    }
}
