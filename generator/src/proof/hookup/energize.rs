//! Rules of the step that lets current flow, and of what is done meanwhile.

use super::connect::rest_due;
use super::moment::{AtEnd, Broken, Moment};
use crate::course::hookup::LAST_NEGATIVE;
use crate::course::{Action, Bench, Part, Phase};
use crate::source::Span;

/// Current flows in the run list alone, and no switch feeds the bench in the others.
pub fn in_run(moment: &Moment) -> Option<Broken> {
    let phase = moment.step.phase;
    let switches_on = moment.does(Action::SwitchOn) && moment.part() == Some(Part::MainSwitch);
    if (moment.energizes() || switches_on) && phase != Phase::Run {
        let message = if switches_on {
            "the bench is switched on outside the run list"
        } else {
            "current is switched on outside the run list"
        };
        return Some(Broken::new(message, "live here", "write this step under `[[run]]`"));
    }
    let since = moment.state.energized.filter(|_| phase == Phase::Unhook)?;
    let message = "the unhook list begins while current flows";
    let mend = "write a step `do = \"release\"` under `[[run]]`";
    Some(Broken::new(message, "still energized here", mend).since(Some(since), "energized here"))
}

/// The motor is fastened.
pub fn fastened(moment: &Moment) -> Option<Broken> {
    (moment.turns_motor() && !moment.state.fastened.contains(&Part::Motor)).then(|| {
        let mend = "put a step `do = \"fasten\"`, `part = \"motor\"` in the hookup list";
        Broken::new("the motor is energized and not fastened", "it starts here", mend)
    })
}

/// The drive opening is clear.
pub fn drive_clear(moment: &Moment) -> Option<Broken> {
    (moment.turns_motor() && !moment.state.cleared.contains(&Part::DriveOpening)).then(|| {
        let mend = "put a step `do = \"clear\"`, `part = \"drive-opening\"` in the hookup list";
        Broken::new("nobody has cleared the drive opening", "the pinion comes out here", mend)
    })
}

/// An instructor has looked at the hookup as it is now.
pub fn instructor_check(moment: &Moment) -> Option<Broken> {
    // Beside a battery the last connection already makes all of it live: the check comes before.
    let is_last = moment.hookup.bench == Bench::Battery
        && moment.does(Action::Attach)
        && moment.part().is_some_and(|part| LAST_NEGATIVE.contains(&part))
        && moment.hookup.steps.iter().any(|step| step.action.value == Action::Energize);
    if !(moment.energizes() || is_last) || moment.state.checked {
        return None;
    }
    if is_last && moment.state.moved.is_none() {
        return Some(Broken::new(
            "the negative post goes on before an instructor has checked the hookup",
            "live from here",
            "put a step `do = \"instructor-check\"` before this one",
        ));
    }
    Some(match moment.state.moved {
        Some(span) => Broken::new(
            "the hookup was changed after the instructor's check",
            "energized here",
            "put a step `do = \"instructor-check\"` after the change",
        )
        .since(Some(span), "changed here, after the check"),
        None => Broken::new(
            "no instructor has checked the hookup",
            "energized here",
            "put a step `do = \"instructor-check\"` at the end of the hookup list",
        ),
    })
}

/// The check is done with the bench dead: leads are pulled at.
pub fn check_dead(moment: &Moment) -> Option<Broken> {
    let live = moment.state.closed.get(&Part::MainSwitch);
    let since = live.filter(|_| moment.does(Action::InstructorCheck))?;
    let message = "the instructor checks leads that the main switch feeds";
    let mend = "move this step before the one that switches the main switch on";
    Some(Broken::new(message, "live here", mend).since(Some(*since), "live since this step"))
}

/// No longer than the limit of the bench.
pub fn too_long(moment: &Moment) -> Option<Broken> {
    let seconds = moment.step.seconds.as_ref().filter(|_| moment.energizes())?;
    let limit = moment.hookup.limit_s;
    (seconds.value > limit).then(|| {
        let message = format!("energized for {} s; the limit is {limit} s", seconds.value);
        Broken::new(message, "too long", format!("write `seconds = {limit}` or less"))
            .since(Some(seconds.span), "the time")
    })
}

/// A limit above that of the course, or above common practice, has a source.
pub fn long_limit(end: &AtEnd) -> Vec<(Span, Broken)> {
    let AtEnd { hookup, course_limit_s: usual, .. } = end;
    if hookup.limit_s <= *usual || hookup.limit_source.is_some() {
        return Vec::new();
    }
    let message = format!("a limit of {} s is above the usual {usual} s and has no source", hookup.limit_s);
    let mend = "add a line `limit_source = \"…\"` that says who sets it, or take the limit down";
    vec![(hookup.limit_span, Broken::new(message, "`limit_source` is missing", mend))]
}

/// While current flows there is reading, looking and letting go, and nothing else. The switch in a pull-in return is
/// made to be opened then.
pub fn hands_free(moment: &Moment) -> Option<Broken> {
    let since = moment.state.energized?;
    // Leads under power have a rule of their own.
    let fits = match moment.step.action.value {
        Action::Read | Action::Look | Action::Release | Action::Attach | Action::Detach => true,
        Action::SwitchOff => moment.part() == Some(Part::PullInSwitch),
        _ => false,
    };
    (!fits).then(|| {
        let message = "something else is done while current flows";
        let mend = "put a step `do = \"release\"` before this one";
        Broken::new(message, "before this comes `release`", mend).since(Some(since), "energized here")
    })
}

/// What is let go is what is held.
pub fn released_same(moment: &Moment) -> Option<Broken> {
    let part = moment.part().filter(|_| moment.does(Action::Release))?;
    let held = moment.state.control.filter(|held| *held != part)?;
    let message = format!("the {} is released and the {} is held", part.label(), held.label());
    let mend = format!("take this step out, or write `part = \"{}\"`", held.word());
    Some(Broken::new(message, "current flows on", mend).since(moment.state.energized, "energized here"))
}

/// What ran has rested before it runs again.
pub fn rested(moment: &Moment) -> Option<Broken> {
    let since = moment.state.unrested.filter(|_| moment.energizes())?;
    let due = rest_due(moment);
    let message = format!("energized again, and {due} s of rest are missing");
    let mend = format!("put a step `do = \"rest\"`, `seconds = {due}` before this one");
    Some(Broken::new(message, "no rest before this", mend).since(Some(since), "released here"))
}
