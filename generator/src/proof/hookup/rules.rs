//! The table of rules. Order is that of the steps of a bench: connect, check, energize, read, take apart.

use super::{Broken, Moment, connect, energize, finish, read};
use crate::course::{BenchState, Hookup};
use crate::source::Span;

/// One rule.
pub struct Rule {
    /// Name, and code of its findings.
    pub code: &'static str,
    /// The danger it stands for.
    pub danger: &'static str,
    /// Who says so.
    pub from: &'static str,
    /// Is one finding a hookup enough? Who forgot the eye protection forgot it for every step.
    pub once: bool,
    /// Looks at a step before it is done.
    pub step: fn(&Moment) -> Option<Broken>,
    /// Looks at the bench after the last step.
    pub end: fn(&BenchState, &Hookup) -> Vec<(Span, Broken)>,
}

const PRACTICE: &str = "common practice";

const fn at_step(code: &'static str, step: fn(&Moment) -> Option<Broken>, danger: &'static str) -> Rule {
    Rule { code, danger, from: PRACTICE, once: false, step, end: |_, _| Vec::new() }
}

const fn once(code: &'static str, step: fn(&Moment) -> Option<Broken>, danger: &'static str) -> Rule {
    Rule { once: true, ..at_step(code, step, danger) }
}

const fn at_end(
    code: &'static str,
    end: fn(&BenchState, &Hookup) -> Vec<(Span, Broken)>,
    danger: &'static str,
) -> Rule {
    Rule { code, danger, from: PRACTICE, once: false, step: |_| None, end }
}

/// Every rule.
pub const RULES: &[Rule] = &[
    at_step("impossible-step", connect::impossible, "a list that cannot be followed is not followed"),
    at_step(
        "changed-live",
        connect::changed_live,
        "a lead that is moved under power draws an arc of hundreds of amps: burns, blinded eyes, welded clips",
    ),
    at_step(
        "return-first",
        connect::return_first,
        "if the supply is not off after all, the return clip is the switch: it closes the circuit in the hand, with an arc",
    ),
    at_step(
        "return-last",
        connect::return_last,
        "if the supply is not off after all, the arc is drawn in the hand, and the case then stands at the supply's voltage",
    ),
    at_step(
        "negative-last",
        connect::negative_last,
        "with the negative post on, a spanner from any other lead to bare metal is a short circuit of the battery",
    ),
    at_step(
        "negative-first",
        connect::negative_first,
        "with the negative post on, a spanner from any other lead to bare metal is a short circuit of the battery",
    ),
    at_step(
        "loosened-connected",
        connect::loosened,
        "a loose motor that starts leaves the bench; one with leads on drops its weight into them",
    ),
    once(
        "no-eye-protection",
        energize::eye_protection,
        "brush dust, springs, sparks and acid fly into the face, and an eye is not mended",
    ),
    once(
        "clip-not-seen",
        connect::clip_seen,
        "a positive clip that touches the case short-circuits the source when it is switched on",
    ),
    once("wrong-list", energize::in_run, "who reads the hookup list does not expect power before its end"),
    once(
        "loose-motor",
        energize::fastened,
        "a starting motor jumps when it starts and throws itself off the bench",
    ),
    once(
        "drive-not-clear",
        energize::drive_clear,
        "the pinion jumps out and spins: it takes a sleeve, a rag or a finger with it",
    ),
    once(
        "no-instructor-check",
        energize::instructor_check,
        "a second pair of eyes finds the crossed lead before the current does",
    ),
    at_step(
        "no-power",
        energize::has_power,
        "a step that does nothing hides which step is the dangerous one",
    ),
    at_step(
        "too-long",
        energize::too_long,
        "a motor without load runs up, and its windings heat within seconds",
    ),
    at_end(
        "long-limit",
        energize::long_limit,
        "a motor without load runs up, and its windings heat within seconds",
    ),
    at_step(
        "busy-while-energized",
        energize::hands_free,
        "while the motor runs, one hand holds the button and both eyes are on the bench",
    ),
    Rule {
        code: "no-rest",
        danger: "heat of one run adds to the next: insulation chars, solder runs, and the readings are of a hot motor",
        from: PRACTICE,
        once: false,
        step: energize::rested,
        end: finish::rested,
    },
    at_step(
        "reading-out-of-state",
        read::in_state,
        "a reading taken in the wrong state is a number that means nothing, and a verdict is built on it",
    ),
    at_end("never-released", finish::released, "a motor that is never released runs until something burns"),
    at_end("left-on", finish::switched_off, "the next class finds a bench that is live"),
    at_end(
        "left-attached",
        finish::all_off,
        "a lead that is left on is forgotten: the next switch-on finds it where nobody looks",
    ),
    at_end("not-put-back", finish::put_back, "a vehicle with a lead off is handed over with a fault"),
];
