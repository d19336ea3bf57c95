//! The table of rules. Order is that of the steps of a bench: prepare, connect, check, energize, read, take apart.

use super::moment::{AtEnd, Broken, Moment};
use super::{connect, energize, finish, path, prepare, read, vehicle};
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
    pub end: fn(&AtEnd) -> Vec<(Span, Broken)>,
}

const PRACTICE: &str = "common practice";

const fn at_step(code: &'static str, step: fn(&Moment) -> Option<Broken>, danger: &'static str) -> Rule {
    Rule { code, danger, from: PRACTICE, once: false, step, end: |_| Vec::new() }
}

const fn once(code: &'static str, step: fn(&Moment) -> Option<Broken>, danger: &'static str) -> Rule {
    Rule { once: true, ..at_step(code, step, danger) }
}

const fn at_end(code: &'static str, end: fn(&AtEnd) -> Vec<(Span, Broken)>, danger: &'static str) -> Rule {
    Rule { code, danger, from: PRACTICE, once: false, step: |_| None, end }
}

impl Rule {
    const fn from(self, from: &'static str) -> Self {
        Rule { from, ..self }
    }
}

/// Every rule.
pub const RULES: &[Rule] = &[
    at_step("impossible-step", connect::impossible, "a list that cannot be followed is not followed"),
    // Before anything can spark.
    once(
        "no-eye-protection",
        prepare::eye_protection,
        "brush dust, springs, sparks and acid fly into the face, and an eye is not mended",
    ),
    once(
        "rings-on",
        prepare::rings,
        "a ring or a watch between live metal and bare metal is a short circuit: it burns to the bone within a second",
    ),
    once(
        "battery-not-seen",
        prepare::battery_seen,
        "a cracked, frozen or gassing battery bursts at the first spark and throws acid; a charger that is still on makes the gas",
    )
    .from("29 CFR 1926.441 and HSE leaflet INDG139: no spark where a battery gives off gas; the look before is common practice"),
    once(
        "clip-not-seen",
        prepare::clip_seen,
        "a positive clip that touches the case short-circuits the source when it is switched on",
    ),
    at_step(
        "meter-not-set",
        prepare::meter_set,
        "a meter whose leads sit in the ampere socket is a short circuit across what it touches: it bursts in the hand",
    ),
    once(
        "switch-not-seen",
        prepare::switch_known_off,
        "a main switch that was left on makes the first lead live in the hand",
    )
    .from("US Army TM 10-3930-671-24: have the switch open before any connection is made"),
    once(
        "control-not-seen",
        prepare::control_known_off,
        "a control that is still on starts motor or load at the last connection: the arc stands at the post, and fan or pinion turn at once",
    ),
    // Connecting and taking off.
    at_step(
        "changed-live",
        connect::changed_live,
        "a lead that is moved under power draws an arc of hundreds of amps: burns, blinded eyes, welded clips",
    )
    .from("US Army TM 10-3930-671-24: have the switch open before any connection is made or broken"),
    at_step(
        "hands-before-rest",
        connect::hands_before_rest,
        "shaft and pinion run on after the release, and coils and load tester are at their hottest: whoever reaches in meets them",
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
    )
    .from("US Army TM 9-4310-397-14"),
    at_step(
        "negative-first",
        connect::negative_first,
        "with the negative post on, a spanner from any other lead to bare metal is a short circuit of the battery",
    )
    .from("US Army TM 10-3930-671-24"),
    at_step(
        "no-control",
        path::controlled,
        "the motor runs as soon as the source is connected, and no button stops it",
    ),
    at_step(
        "contact-shorted",
        path::not_shorted,
        "when the plunger goes in, the main contact joins both leads: a short circuit of the source with nothing to stop it",
    ),
    once(
        "stud-not-seen",
        path::stud_seen,
        "a lead that was forgotten on terminal 30 meets the return on terminal 45 when the main contact closes: a short circuit",
    ),
    at_step(
        "motor-lead-on",
        path::no_second_way,
        "part of the current goes through the motor: it can turn, and a good coil looks bad",
    ),
    at_step(
        "loosened-connected",
        connect::loosened,
        "a loose motor that starts leaves the bench; one with leads on drops its weight into them",
    ),
    // Before current flows.
    at_step("wrong-control", path::control_fits, "a student who looks for a button that is not there presses another"),
    at_step(
        "wrong-list",
        energize::in_run,
        "who reads the hookup or the unhook list does not expect power",
    ),
    once(
        "check-live",
        energize::check_dead,
        "the check pulls at each lead: one that comes off under power draws an arc in the instructor's hand",
    ),
    once(
        "loose-motor",
        energize::fastened,
        "a starting motor jumps when it starts and throws itself off the bench",
    ),
    once(
        "drive-not-clear",
        energize::drive_clear,
        "the pinion jumps out and spins: it takes a sleeve, a rag or a finger with it",
    )
    .from("US Army TM 9-4310-397-14: fingers and tools away from the drive opening"),
    once(
        "vehicle-can-roll",
        vehicle::secured,
        "a vehicle in gear drives off on its starting motor and crushes whoever stands before it",
    ),
    once(
        "engine-can-start",
        vehicle::cannot_start,
        "the engine fires: the vehicle moves, belts run at full speed beside your hands, and the motor is torn along",
    ),
    once(
        "fan-not-clear",
        vehicle::clear,
        "fan, belts and pulleys turn with the engine and pull in leads, sleeves and fingers",
    ),
    once(
        "no-instructor-check",
        energize::instructor_check,
        "a second pair of eyes finds the crossed lead before the current does",
    ),
    at_step("no-power", path::has_power, "a step that does nothing hides which step is the dangerous one"),
    at_step(
        "too-long",
        energize::too_long,
        "a motor without load runs up, and windings heat within seconds",
    ),
    at_end(
        "long-limit",
        energize::long_limit,
        "a motor without load runs up, and windings heat within seconds",
    ),
    // While it flows.
    at_step(
        "busy-while-energized",
        energize::hands_free,
        "while current flows, one hand holds the control and both eyes are on the bench",
    ),
    at_step(
        "wrong-release",
        energize::released_same,
        "who lets go of the wrong control believes the bench to be dead, and reaches into a running motor",
    ),
    Rule {
        code: "no-rest",
        danger: "heat of one run adds to the next: insulation chars, solder runs, and the readings are of a hot motor",
        from: "US Army TM 9-2920-242-35 and TM 5-3820-256-24-4: 2 minutes after a run; four times the run for a load tester or a small supply is their ratio",
        once: false,
        step: energize::rested,
        end: finish::rested,
    },
    at_step(
        "reading-out-of-state",
        read::in_state,
        "a reading taken in the wrong state is a number that means nothing, and a verdict is built on it",
    ),
    at_step(
        "reading-without-meter",
        read::with_meter,
        "a number without its meter is made up; a tachometer held by hand is held beside the pinion; an ohmmeter on a source reads the source",
    ),
    // How the bench is left.
    at_end("never-released", finish::released, "a motor that is never released runs until something burns"),
    at_end("left-on", finish::switched_off, "the next class finds a bench that is live"),
    at_end(
        "left-attached",
        finish::all_off,
        "a lead that is left on is forgotten: the next switch-on finds it where nobody looks",
    ),
    at_end("not-put-back", finish::put_back, "a vehicle or a motor with a lead off is handed over with a fault"),
];
