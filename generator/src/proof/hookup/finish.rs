//! Rules of how a bench is left.

use super::connect::being;
use super::moment::{AtEnd, Broken};
use crate::course::{Bench, Part};
use crate::source::Span;

/// What was energized was released.
pub fn released(end: &AtEnd) -> Vec<(Span, Broken)> {
    let broken = |span| {
        let mend = "put a step `do = \"release\"` after the readings";
        (span, Broken::new("the current is never released", "energized here", mend))
    };
    end.state.energized.map(broken).into_iter().collect()
}

/// What ran last has rested.
pub fn rested(end: &AtEnd) -> Vec<(Span, Broken)> {
    let due = end.state.rest_due_ms.div_ceil(1000);
    let broken = |span| {
        let message = format!("the last run is not followed by a rest: {due} s are missing");
        let mend = format!("put a step `do = \"rest\"`, `seconds = {due}` after the release");
        (span, Broken::new(message, "released here", mend))
    };
    end.state.unrested.map(broken).into_iter().collect()
}

/// The main switch is off, and so is a key.
pub fn switched_off(end: &AtEnd) -> Vec<(Span, Broken)> {
    let feeds = [Part::MainSwitch, Part::Key, Part::PullInSwitch];
    let closed = feeds.iter().filter_map(|part| Some((part, end.state.closed.get(part)?)));
    closed
        .map(|(part, span)| {
            let message = format!("the {} is never switched off", part.label());
            let mend = format!(
                "add a step `do = \"switch-off\"`, `part = \"{}\"` after the last `release`",
                part.word()
            );
            (*span, Broken::new(message, "switched on here", mend))
        })
        .collect()
}

/// Every lead that was put on has been taken off.
pub fn all_off(end: &AtEnd) -> Vec<(Span, Broken)> {
    let own = end.state.attached.iter().filter_map(|(part, span)| Some((part, (*span)?)));
    own.map(|(part, span)| {
        let message = match end.hookup.bench {
            Bench::Vehicle => format!("{} left on the vehicle", being(*part)),
            _ => format!("{} never taken off", being(*part)),
        };
        let mend = format!("add a step `do = \"detach\"`, `part = \"{}\"` to the unhook list", part.word());
        (span, Broken::new(message, "attached here", mend))
    })
    .collect()
}

/// Every lead of the vehicle or the motor is back where it was, and so are ignition and fuel.
pub fn put_back(end: &AtEnd) -> Vec<(Span, Broken)> {
    let leads = end.state.taken_off.iter().map(|(part, span)| (*part, *span, "attach", "taken off here"));
    let disabled =
        end.state.disabled.map(|span| (Part::IgnitionAndFuel, span, "switch-on", "made dead here"));
    leads
        .chain(disabled)
        .map(|(part, span, action, label)| {
            let message = format!("{} never put back", being(part));
            let mend =
                format!("add a step `do = \"{action}\"`, `part = \"{}\"` to the unhook list", part.word());
            (span, Broken::new(message, label, mend))
        })
        .collect()
}
