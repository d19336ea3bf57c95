//! Rules of the step that lets current flow, and of what is done meanwhile.

use super::{Broken, Moment};
use crate::course::hookup::{RETURN_SIDE, SUPPLY_SIDE};
use crate::course::{Action, Bench, BenchState, Hookup, Part, Phase};
use crate::source::Span;

/// Common practice for a motor without load; a longer limit needs someone who answers for it.
const ORDINARY_LIMIT_S: f64 = 5.0;

fn energizes(moment: &Moment) -> bool {
    moment.step.action.value == Action::Energize
}

fn broken(message: &str, label: &'static str, mend: &str) -> Broken {
    Broken { message: message.to_owned(), label, since: None, mend: mend.to_owned() }
}

/// Eyes are covered at every step that can spark: power on, current on, and the posts of a battery.
pub fn eye_protection(moment: &Moment) -> Option<Broken> {
    let Moment { state, step, hookup, .. } = moment;
    let part = step.part.as_ref().map(|part| part.value);
    let sparks = match step.action.value {
        Action::Energize => true,
        Action::SwitchOn => part == Some(Part::MainSwitch),
        Action::Attach | Action::Detach => {
            hookup.bench != Bench::Supply && matches!(part, Some(Part::SourceNegative | Part::SourcePositive))
        }
        _ => false,
    };
    (sparks && !state.worn.contains(&Part::EyeProtection)).then(|| {
        broken(
            "no eye protection is worn",
            "can spark here",
            "put a step `do = \"wear\"`, `part = \"eye-protection\"` at the start",
        )
    })
}

/// Current flows in the run list alone.
pub fn in_run(moment: &Moment) -> Option<Broken> {
    (energizes(moment) && moment.step.phase != Phase::Run).then(|| {
        broken("the motor is energized outside the run list", "live here", "write this step under `[[run]]`")
    })
}

/// The motor is fastened.
pub fn fastened(moment: &Moment) -> Option<Broken> {
    (energizes(moment) && !moment.state.fastened.contains(&Part::Motor)).then(|| {
        broken(
            "the motor is energized and not fastened",
            "it starts here",
            "put a step `do = \"fasten\"`, `part = \"motor\"` in the hookup list",
        )
    })
}

/// The drive opening is clear.
pub fn drive_clear(moment: &Moment) -> Option<Broken> {
    (energizes(moment) && !moment.state.cleared.contains(&Part::DriveOpening)).then(|| {
        broken(
            "nobody has cleared the drive opening",
            "the pinion comes out here",
            "put a step `do = \"clear\"`, `part = \"drive-opening\"` in the hookup list",
        )
    })
}

/// An instructor has looked at the hookup as it is now.
pub fn instructor_check(moment: &Moment) -> Option<Broken> {
    if !energizes(moment) || moment.state.checked {
        return None;
    }
    Some(match moment.state.moved {
        Some(span) => Broken {
            since: Some((span, "changed here, after the check")),
            ..broken(
                "the hookup was changed after the instructor's check",
                "energized here",
                "put a step `do = \"instructor-check\"` after the change",
            )
        },
        None => broken(
            "no instructor has checked the hookup",
            "energized here",
            "put a step `do = \"instructor-check\"` at the end of the hookup list",
        ),
    })
}

/// Something can flow: a way there, a way back, and the bench switched on.
pub fn has_power(moment: &Moment) -> Option<Broken> {
    let Moment { state, hookup, .. } = moment;
    if !energizes(moment) {
        return None;
    }
    if !state.has_any(SUPPLY_SIDE) {
        return Some(broken(
            "no lead of the supply side is on",
            "nothing can flow",
            "put a step that attaches `main-terminal` in the hookup list",
        ));
    }
    if !state.has_any(RETURN_SIDE) {
        return Some(broken(
            "no return is on",
            "nothing can flow",
            "put a step that attaches `case-return` in the hookup list",
        ));
    }
    (hookup.bench == Bench::Supply && !state.closed.contains_key(&Part::MainSwitch)).then(|| {
        broken(
            "the main switch is off",
            "nothing can flow",
            "put a step `do = \"switch-on\"`, `part = \"main-switch\"` before this one",
        )
    })
}

/// No longer than the limit of the bench.
pub fn too_long(moment: &Moment) -> Option<Broken> {
    let seconds = moment.step.seconds.as_ref().filter(|_| energizes(moment))?;
    let limit = moment.hookup.limit_s;
    (seconds.value > limit).then(|| Broken {
        message: format!("energized for {} s; the limit is {limit} s", seconds.value),
        label: "too long",
        since: Some((seconds.span, "the time")),
        mend: format!("write `seconds = {limit}` or less"),
    })
}

/// A limit above common practice has a source.
pub fn long_limit(_: &BenchState, hookup: &Hookup) -> Vec<(Span, Broken)> {
    if hookup.limit_s <= ORDINARY_LIMIT_S || hookup.limit_source.is_some() {
        return Vec::new();
    }
    let message = format!(
        "a limit of {} s is above the {ORDINARY_LIMIT_S} s of common practice and has no source",
        hookup.limit_s
    );
    let mend = "add a line `limit_source = \"…\"` that says who sets it, or take the limit down".to_owned();
    vec![(hookup.limit_span, Broken { message, label: "`limit_source` is missing", since: None, mend })]
}

/// While current flows there is reading, looking and letting go, and nothing else.
pub fn hands_free(moment: &Moment) -> Option<Broken> {
    let since = moment.state.energized?;
    // Leads under power have a rule of their own.
    let fits = matches!(
        moment.step.action.value,
        Action::Read | Action::Look | Action::Release | Action::Attach | Action::Detach
    );
    (!fits).then(|| Broken {
        since: Some((since, "energized here")),
        ..broken(
            "something else is done while the motor runs",
            "before this comes `release`",
            "put a step `do = \"release\"` before this one",
        )
    })
}

/// What ran has rested before it runs again.
pub fn rested(moment: &Moment) -> Option<Broken> {
    let since = moment.state.unrested.filter(|_| energizes(moment))?;
    Some(Broken {
        since: Some((since, "released here")),
        ..broken(
            "the motor is energized again without a rest",
            "no rest before this",
            "put a step `do = \"rest\"`, `seconds = 120` before this one",
        )
    })
}
