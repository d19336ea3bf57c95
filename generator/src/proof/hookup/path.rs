//! Rules of the way that the current takes.

use super::moment::{Broken, Moment};
use crate::course::hookup::LOADS;
use crate::course::{Action, Bench, HookupStep, Part};

/// A control is one that the bench has.
pub fn control_fits(moment: &Moment) -> Option<Broken> {
    let control = moment.part().filter(|_| moment.energizes())?;
    let (known, bench): (&[Part], &str) = match moment.hookup.bench {
        Bench::Supply => (&[Part::StartButton, Part::OutputButton], "bench supply"),
        Bench::Battery => (&[Part::RemoteSwitch, Part::LoadSwitch, Part::CarbonPile], "battery"),
        Bench::Vehicle => (&[Part::Key, Part::RemoteSwitch, Part::LoadSwitch, Part::CarbonPile], "vehicle"),
    };
    (!known.contains(&control)).then(|| {
        let words: Vec<_> = known.iter().map(|part| format!("`{}`", part.word())).collect();
        let message = format!("a {bench} has no {}", control.label());
        let mend = format!("write one of {} in place of `{}`", words.join(", "), control.word());
        Broken::new(message, "not on this bench", mend)
    })
}

/// Something can flow: a way there, a way back, and the bench switched on.
pub fn has_power(moment: &Moment) -> Option<Broken> {
    let control = moment.part().filter(|_| moment.energizes())?;
    let missing = missing_link(moment, control)?;
    let message = match missing {
        Part::MainSwitch | Part::PullInSwitch => format!("the {} is off", missing.label()),
        part => format!("the {} is not on", part.label()),
    };
    let mend = match missing {
        Part::MainSwitch | Part::PullInSwitch => {
            format!("put a step `do = \"switch-on\"`, `part = \"{}\"` before this one", missing.word())
        }
        part => format!("put a step that attaches `{}` in the hookup list", part.word()),
    };
    Some(Broken::new(message, "nothing can flow", mend))
}

/// The first link that the current lacks.
fn missing_link(moment: &Moment, control: Part) -> Option<Part> {
    let Moment { state, hookup, .. } = moment;
    if LOADS.contains(&control) {
        return [Part::LoadPositive, Part::LoadNegative].into_iter().find(|part| !state.has(*part));
    }
    if !state.has(Part::StartTerminal) {
        return Some(Part::StartTerminal);
    }
    if !state.has_any(&[Part::CaseReturn, Part::PullInReturn]) {
        return Some(Part::CaseReturn);
    }
    let closed = |part| state.closed.contains_key(&part);
    if names(moment, |step| is_part(step, Part::PullInSwitch)) {
        if !state.has(Part::PullInReturn) {
            return Some(Part::PullInReturn);
        }
        if !closed(Part::PullInSwitch) {
            return Some(Part::PullInSwitch);
        }
    }
    if hookup.bench == Bench::Supply {
        return (!closed(Part::MainSwitch)).then_some(Part::MainSwitch);
    }
    [Part::SourcePositive, Part::SourceNegative].into_iter().find(|part| !state.has(*part))
}

fn is_part(step: &HookupStep, part: Part) -> bool {
    step.part.as_ref().is_some_and(|own| own.value == part)
}

/// Does the list have such a step anywhere?
fn names(moment: &Moment, is: impl Fn(&HookupStep) -> bool) -> bool {
    moment.hookup.steps.iter().any(is)
}

/// Is the motor's own lead on in a list that takes it off?
pub fn second_way(moment: &Moment) -> bool {
    let takes_off = |step: &HookupStep| step.action.value == Action::Detach && is_part(step, Part::MotorLead);
    moment.state.has(Part::MotorLead) && names(moment, takes_off)
}

/// A list that takes the motor's own lead off sends no current while it is on.
pub fn no_second_way(moment: &Moment) -> Option<Broken> {
    if !moment.energizes() || !second_way(moment) {
        return None;
    }
    let message = format!("the {} is still on", Part::MotorLead.label());
    let mend = "move the step that detaches `motor-lead` before this one, and the one that attaches it after the rest";
    Some(Broken::new(message, "the current has a second way", mend))
}

/// Somebody has seen that nothing is on terminal 30 before the plunger goes in with a return on terminal 45.
pub fn stud_seen(moment: &Moment) -> Option<Broken> {
    // A small supply does not move the plunger.
    let pulls_in = moment.turns_motor() && moment.part() != Some(Part::OutputButton);
    let state = moment.state;
    if !pulls_in || !state.has(Part::PullInReturn) || state.seen.contains(&Part::MainTerminal) {
        return None;
    }
    let message = "nobody has seen that nothing is on the main terminal (30 / B)";
    let mend = "put a step `do = \"look\"`, `part = \"main-terminal\"` in the hookup list";
    let since = state.attached.get(&Part::PullInReturn).copied().flatten();
    Some(Broken::new(message, "the main contact closes here", mend).since(since, "a return goes on 45 here"))
}

/// No lead of the supply goes past the main contact: nothing would stop the motor.
pub fn controlled(moment: &Moment) -> Option<Broken> {
    let attaches = moment.does(Action::Attach) && moment.part() == Some(Part::MotorTerminal);
    attaches.then(|| {
        let message = "a supply lead on the motor terminal goes past the main contact";
        let mend = "take this step out: the supply lead belongs on `main-terminal`";
        Broken::new(message, "no control is left from here", mend)
    })
}

/// A return on the motor terminal and a supply lead on the main terminal are one contact away from a short circuit.
pub fn not_shorted(moment: &Moment) -> Option<Broken> {
    let part = moment.part().filter(|_| moment.does(Action::Attach))?;
    let supply = [Part::MainTerminal, Part::MotorTerminal];
    let other = match part {
        Part::PullInReturn => supply.into_iter().find(|lead| moment.state.has(*lead))?,
        Part::MainTerminal | Part::MotorTerminal => {
            Some(Part::PullInReturn).filter(|lead| moment.state.has(*lead))?
        }
        _ => return None,
    };
    let since = moment.state.attached.get(&other).copied().flatten();
    let message = format!("the {} is attached together with the {}", part.label(), other.label());
    let mend = match part {
        Part::PullInReturn => {
            format!("take `{}` off before, and leave it off until `pull-in-return` is off", other.word())
        }
        _ => "take this step out: the coils need no lead there".to_owned(),
    };
    Some(
        Broken::new(message, "the main contact shorts the source", mend)
            .since(since, "the other one is on since here"),
    )
}
