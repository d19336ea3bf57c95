//! Rules of how a bench is left.

use super::Broken;
use crate::course::{Bench, BenchState, Hookup, Part};
use crate::source::Span;

/// What was energized was released.
pub fn released(state: &BenchState, _: &Hookup) -> Vec<(Span, Broken)> {
    let broken = |span| {
        let message = "the motor is never released".to_owned();
        let mend = "put a step `do = \"release\"` after the readings".to_owned();
        (span, Broken { message, label: "energized here", since: None, mend })
    };
    state.energized.map(broken).into_iter().collect()
}

/// What ran last has rested.
pub fn rested(state: &BenchState, _: &Hookup) -> Vec<(Span, Broken)> {
    let broken = |span| {
        let message = "the last run is not followed by a rest".to_owned();
        let mend = "put a step `do = \"rest\"`, `seconds = 120` after the release".to_owned();
        (span, Broken { message, label: "released here", since: None, mend })
    };
    state.unrested.map(broken).into_iter().collect()
}

/// The main switch is off.
pub fn switched_off(state: &BenchState, _: &Hookup) -> Vec<(Span, Broken)> {
    let broken = |span: &Span| {
        let message = "the main switch is never switched off".to_owned();
        let mend =
            "begin the unhook list with a step `do = \"switch-off\"`, `part = \"main-switch\"`".to_owned();
        (*span, Broken { message, label: "switched on here", since: None, mend })
    };
    state.closed.get(&Part::MainSwitch).map(broken).into_iter().collect()
}

/// Every lead that was put on has been taken off.
pub fn all_off(state: &BenchState, hookup: &Hookup) -> Vec<(Span, Broken)> {
    let own = state.attached.iter().filter_map(|(part, span)| Some((part, (*span)?)));
    own.map(|(part, span)| {
        let message = match hookup.bench {
            Bench::Vehicle => format!("the {} is left on the vehicle", part.label()),
            _ => format!("the {} is never taken off", part.label()),
        };
        let mend = format!("add a step `do = \"detach\"`, `part = \"{}\"` to the unhook list", part.word());
        (span, Broken { message, label: "attached here", since: None, mend })
    })
    .collect()
}

/// Every lead of the vehicle is back where it was.
pub fn put_back(state: &BenchState, _: &Hookup) -> Vec<(Span, Broken)> {
    let broken = |(part, span): (&Part, &Span)| {
        let message = format!("the {} is never put back", part.label());
        let mend = format!("add a step `do = \"attach\"`, `part = \"{}\"` to the unhook list", part.word());
        (*span, Broken { message, label: "taken off here", since: None, mend })
    };
    state.taken_off.iter().map(broken).collect()
}
