//! Rules of putting leads on and taking them off.

use super::{Broken, Moment};
use crate::course::hookup::{MOTOR_SUPPLY, RETURN_SIDE, SUPPLY_SIDE, is_power_lead};
use crate::course::{Action, Bench, HookupStep, Part};

/// A step is possible: nothing is attached twice, taken off twice, released twice.
pub fn impossible(moment: &Moment) -> Option<Broken> {
    let Moment { state, step, .. } = moment;
    let part = step.part.as_ref().map(|part| part.value);
    let (message, since) = match (step.action.value, part) {
        (Action::Attach, Some(part)) => {
            let first = state.attached.get(&part)?;
            let message = format!("the {} is already on", part.label());
            (message, first.map(|span| (span, "attached here")))
        }
        (Action::Detach, Some(part)) if !state.attached.contains_key(&part) => {
            (format!("the {} is not on", part.label()), None)
        }
        (Action::SwitchOn, Some(part)) => {
            let first = state.closed.get(&part)?;
            (format!("the {} is already on", part.label()), Some((*first, "switched on here")))
        }
        (Action::Release, _) if state.energized.is_none() => ("nothing is energized".to_owned(), None),
        _ => return None,
    };
    let mend = "take this step out, or put the missing step before it".to_owned();
    Some(Broken { message, label: "cannot be done here", since, mend })
}

/// Nothing is put on or taken off while current flows, or while the main switch feeds the leads.
pub fn changed_live(moment: &Moment) -> Option<Broken> {
    let part = moved(moment)?;
    let since = moment.state.live_since()?;
    let verb = if moment.step.action.value == Action::Attach { "attached" } else { "taken off" };
    Some(Broken {
        message: format!("the {} is {verb} under power", part.label()),
        label: "live here",
        since: Some((since, "live since this step")),
        mend: match moment.state.energized {
            Some(_) => "put a `release` step before this one, and `switch-off` where there is a main switch"
                .to_owned(),
            None => "put a step `switch-off` of the `main-switch` before this one".to_owned(),
        },
    })
}

/// On a bench supply the whole return is on before the first lead of the supply side.
pub fn return_first(moment: &Moment) -> Option<Broken> {
    let part = moved(moment)?;
    let Moment { state, step, hookup, .. } = moment;
    if hookup.bench != Bench::Supply || step.action.value != Action::Attach || !SUPPLY_SIDE.contains(&part) {
        return None;
    }
    // The end at the supply counts only in a list that has it as a step.
    let has_step = |part: Part| {
        let of_part = |step: &HookupStep| step.part.as_ref().is_some_and(|found| found.value == part);
        hookup.steps.iter().any(|step| step.action.value == Action::Attach && of_part(step))
    };
    let missing = RETURN_SIDE.iter().find(|side| {
        !state.attached.contains_key(side) && (**side == Part::CaseReturn || has_step(**side))
    })?;
    Some(Broken {
        message: format!("the {} is attached before the {}", part.label(), missing.label()),
        label: "the return goes on first",
        since: None,
        mend: format!("move the step that attaches `{}` before this one", missing.word()),
    })
}

/// On a bench supply the return comes off after the last lead of the supply side.
pub fn return_last(moment: &Moment) -> Option<Broken> {
    let part = moved(moment)?;
    let Moment { state, step, hookup, .. } = moment;
    if hookup.bench != Bench::Supply || step.action.value != Action::Detach || !RETURN_SIDE.contains(&part) {
        return None;
    }
    let left = SUPPLY_SIDE.iter().find(|side| state.attached.contains_key(side))?;
    Some(Broken {
        message: format!("the {} is taken off before the {}", part.label(), left.label()),
        label: "the return comes off last",
        since: state.attached.get(left).copied().flatten().map(|span| (span, "attached here and still on")),
        mend: format!("move this step after the one that detaches `{}`", left.word()),
    })
}

/// With a battery every other lead is on before the negative post.
pub fn negative_last(moment: &Moment) -> Option<Broken> {
    negative(moment, Action::Attach, "attached", "the negative post goes on last").map(|broken| Broken {
        mend: "move the step that attaches `source-negative` after this one".to_owned(),
        ..broken
    })
}

/// With a battery the negative post comes off before every other lead.
pub fn negative_first(moment: &Moment) -> Option<Broken> {
    negative(moment, Action::Detach, "taken off", "the negative post comes off first").map(|broken| Broken {
        mend: "put the step that detaches `source-negative` before this one".to_owned(),
        ..broken
    })
}

fn negative(moment: &Moment, action: Action, verb: &str, label: &'static str) -> Option<Broken> {
    let part = moved(moment)?;
    let Moment { state, step, hookup, .. } = moment;
    let applies = matches!(hookup.bench, Bench::Battery | Bench::Vehicle)
        && step.action.value == action
        && part != Part::SourceNegative
        && is_power_lead(part);
    if !applies {
        return None;
    }
    let since = state.attached.get(&Part::SourceNegative)?;
    Some(Broken {
        message: format!("the {} is {verb} while the negative post is connected", part.label()),
        label,
        since: since.map(|span| (span, "connected here")),
        mend: String::new(),
    })
}

/// The motor stays fastened until the last lead is off it. In a vehicle its body is the return, and the negative post
/// of the battery stands for that.
pub fn loosened(moment: &Moment) -> Option<Broken> {
    let Moment { state, step, hookup, .. } = moment;
    let on_motor: &[Part] = match hookup.bench {
        Bench::Vehicle => &[Part::SourceNegative, Part::MainTerminal, Part::StartTerminal],
        Bench::Supply | Bench::Battery => {
            &[Part::CaseReturn, Part::MainTerminal, Part::StartTerminal, Part::MotorTerminal]
        }
    };
    let of_motor = step.part.as_ref().is_some_and(|part| part.value == Part::Motor);
    if !of_motor || !matches!(step.action.value, Action::Loosen | Action::Remove) {
        return None;
    }
    let (part, since) =
        on_motor.iter().find_map(|part| state.attached.get(part).map(|since| (part, since)))?;
    Some(Broken {
        message: format!("the motor is loosened while the {} is on", part.label()),
        label: "still connected here",
        since: since.map(|span| (span, "attached here")),
        mend: "move this step after the last `detach` step".to_owned(),
    })
}

/// The positive clip has been looked at since a lead on the motor was last moved, before it can be live.
pub fn clip_seen(moment: &Moment) -> Option<Broken> {
    let Moment { state, step, hookup, .. } = moment;
    let part = step.part.as_ref().map(|part| part.value);
    let makes_live = match step.action.value {
        Action::Energize => true,
        Action::SwitchOn => part == Some(Part::MainSwitch),
        Action::Attach => part == Some(Part::SourceNegative) && hookup.bench != Bench::Supply,
        _ => false,
    };
    if !makes_live || state.clip_seen {
        return None;
    }
    let lead = MOTOR_SUPPLY.iter().find_map(|part| state.attached.get(part).copied().flatten())?;
    Some(Broken {
        message: "nobody has looked whether the positive clip is clear of bare metal".to_owned(),
        label: "can be live from here",
        since: Some((lead, "a lead of the supply side goes on here")),
        mend: "put a step `do = \"look\"`, `part = \"positive-clip\"` before this one".to_owned(),
    })
}

/// The lead or meter that the step puts on or takes off.
fn moved(moment: &Moment) -> Option<Part> {
    match moment.step.action.value {
        Action::Attach | Action::Detach => moment.step.part.as_ref().map(|part| part.value),
        _ => None,
    }
}
