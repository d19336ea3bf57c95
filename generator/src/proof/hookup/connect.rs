//! Rules of putting leads on and taking them off.

use super::moment::{Broken, Moment};
use crate::course::hookup::{RETURN_SIDE, SUPPLY_SIDE, is_power_lead};
use crate::course::{Action, Bench, HookupStep, Part};

/// A step is possible: nothing is attached twice, taken off twice, released twice.
pub fn impossible(moment: &Moment) -> Option<Broken> {
    let state = moment.state;
    let (message, since) = match (moment.step.action.value, moment.part()) {
        (Action::Attach, Some(part @ (Part::VoltmeterLeads | Part::VoltmeterOnMotor))) => {
            // A voltmeter has two leads, wherever they are.
            let on =
                [Part::VoltmeterLeads, Part::VoltmeterOnMotor].into_iter().find(|part| state.has(*part))?;
            let message = match on == part {
                true => format!("{} already on", being(part)),
                false => format!("{} still on", being(on)),
            };
            (message, state.attached.get(&on).copied().flatten().map(|span| (span, "attached here")))
        }
        (Action::Attach, Some(part)) => {
            let first = state.attached.get(&part)?;
            (format!("{} already on", being(part)), first.map(|span| (span, "attached here")))
        }
        (Action::Detach, Some(part)) if !state.has(part) => (format!("{} not on", being(part)), None),
        (Action::SwitchOn, Some(part)) => {
            let first = state.closed.get(&part)?;
            (format!("the {} is already on", part.label()), Some((*first, "switched on here")))
        }
        (Action::Release, _) if state.energized.is_none() => ("nothing is energized".to_owned(), None),
        _ => return None,
    };
    let mend = "take this step out, or put the missing step before it";
    Some(Broken { since, ..Broken::new(message, "cannot be done here", mend) })
}

/// Nothing is put on or taken off while current flows, or while the main switch feeds the leads.
pub fn changed_live(moment: &Moment) -> Option<Broken> {
    let part = moment.moved()?;
    let since = moment.state.live_since()?;
    let mend = match moment.state.energized {
        Some(_) => "put a `release` step before this one, and `switch-off` where there is a main switch",
        None => "put a step `switch-off` of the `main-switch` before this one",
    };
    let message = format!("{} {} under power", being(part), verb(moment));
    Some(Broken::new(message, "live here", mend).since(Some(since), "live since this step"))
}

/// No hand goes near a motor or a load tester that has not rested.
pub fn hands_before_rest(moment: &Moment) -> Option<Broken> {
    let part = moment.moved()?;
    let since = moment.state.unrested?;
    let message = format!("{} {} before the rest is over", being(part), verb(moment));
    let mend = format!("put this step after a step `do = \"rest\"`, `seconds = {}`", rest_due(moment));
    Some(Broken::new(message, "hands go in here", mend).since(Some(since), "released here"))
}

/// How long the rest still has to be, in seconds.
pub fn rest_due(moment: &Moment) -> u64 {
    moment.state.rest_due_ms.div_ceil(1000)
}

/// The part and its verb: `the clamp meter is`.
pub fn being(part: Part) -> String {
    let plural = matches!(part, Part::VoltmeterLeads | Part::VoltmeterOnMotor | Part::IgnitionAndFuel);
    let verb = if plural { "are" } else { "is" };
    format!("the {} {verb}", part.label())
}

fn verb(moment: &Moment) -> &'static str {
    if moment.does(Action::Attach) { "attached" } else { "taken off" }
}

/// On a bench supply the whole return is on before the first lead of the supply side.
pub fn return_first(moment: &Moment) -> Option<Broken> {
    let part = moment.part().filter(|_| moment.does(Action::Attach))?;
    let Moment { state, hookup, .. } = moment;
    if hookup.bench != Bench::Supply {
        return None;
    }
    let on_motor = [Part::CaseReturn, Part::PullInReturn];
    if SUPPLY_SIDE.contains(&part) {
        // The end at the supply counts only in a list that has it as a step.
        let has_step = |step: &HookupStep| {
            step.action.value == Action::Attach
                && step.part.as_ref().is_some_and(|part| part.value == Part::SourceNegative)
        };
        let missing = if !state.has_any(&on_motor) {
            Part::CaseReturn
        } else if !state.has(Part::SourceNegative) && hookup.steps.iter().any(has_step) {
            Part::SourceNegative
        } else {
            return None;
        };
        let message = format!("the {} is attached before the {}", part.label(), missing.label());
        let mend = format!("move the step that attaches `{}` before this one", missing.word());
        return Some(Broken::new(message, "the return goes on first", mend));
    }
    // A second return is as much of a switch in the hand as the first.
    let second = on_motor.contains(&part) && state.has_any(&on_motor);
    let supply = SUPPLY_SIDE.iter().find(|side| second && state.has(**side))?;
    let message = format!("the {} is attached after the {}", part.label(), supply.label());
    let mend = format!("move this step before the one that attaches `{}`", supply.word());
    let since = state.attached.get(supply).copied().flatten();
    Some(Broken::new(message, "the return goes on first", mend).since(since, "attached here"))
}

/// On a bench supply the return comes off after the last lead of the supply side.
pub fn return_last(moment: &Moment) -> Option<Broken> {
    let part = moment.part().filter(|_| moment.does(Action::Detach))?;
    let Moment { state, hookup, .. } = moment;
    if hookup.bench != Bench::Supply || !RETURN_SIDE.contains(&part) {
        return None;
    }
    let left = SUPPLY_SIDE.iter().find(|side| state.has(**side))?;
    let message = format!("the {} is taken off before the {}", part.label(), left.label());
    let mend = format!("move this step after the one that detaches `{}`", left.word());
    let since = state.attached.get(left).copied().flatten();
    Some(Broken::new(message, "the return comes off last", mend).since(since, "attached here and still on"))
}

/// With a battery every other lead is on before the negative post.
pub fn negative_last(moment: &Moment) -> Option<Broken> {
    let negative = negative(moment, Action::Attach)?;
    Some(Broken {
        label: "the negative post goes on last",
        mend: format!("move the step that attaches `{}` after this one", negative.0.word()),
        ..negative.1
    })
}

/// With a battery the negative post comes off before every other lead.
pub fn negative_first(moment: &Moment) -> Option<Broken> {
    let negative = negative(moment, Action::Detach)?;
    Some(Broken {
        label: "the negative post comes off first",
        mend: format!("put the step that detaches `{}` before this one", negative.0.word()),
        ..negative.1
    })
}

/// A power lead that is moved while another one on the negative post is on.
fn negative(moment: &Moment, action: Action) -> Option<(Part, Broken)> {
    // A meter's clip beside terminal 30 slips as well as a spanner does.
    let moves_metal = |part: &Part| is_power_lead(*part) || *part == Part::VoltmeterOnMotor;
    let part = moment.part().filter(|part| moment.does(action) && moves_metal(part))?;
    if moment.hookup.bench == Bench::Supply {
        return None;
    }
    let on_post = [Part::SourceNegative, Part::LoadNegative];
    let (negative, since) = on_post
        .iter()
        .filter(|other| **other != part)
        .find_map(|other| Some((*other, moment.state.attached.get(other)?)))?;
    let message = format!("the {} is {} while the negative post is connected", part.label(), verb(moment));
    Some((negative, Broken::new(message, "", "").since(*since, "connected here")))
}

/// The motor stays fastened until the last lead is off it. In a vehicle its body is the return, and the negative post
/// of the battery stands for that.
pub fn loosened(moment: &Moment) -> Option<Broken> {
    let on_motor: &[Part] = match moment.hookup.bench {
        Bench::Vehicle => &[Part::SourceNegative, Part::MainTerminal, Part::StartTerminal],
        Bench::Supply | Bench::Battery => &[
            Part::CaseReturn,
            Part::MainTerminal,
            Part::StartTerminal,
            Part::MotorTerminal,
            Part::PullInReturn,
        ],
    };
    let loosens = moment.does(Action::Loosen) || moment.does(Action::Remove);
    if !loosens || moment.part() != Some(Part::Motor) {
        return None;
    }
    let (part, since) = on_motor.iter().find_map(|part| Some((part, moment.state.attached.get(part)?)))?;
    let message = format!("the motor is loosened while the {} is on", part.label());
    let mend = "move this step after the last `detach` step";
    Some(Broken::new(message, "still connected here", mend).since(*since, "attached here"))
}
