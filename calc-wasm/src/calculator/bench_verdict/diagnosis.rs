//! What speed and current together say about a motor that spins free.

use super::judge::Side;

/// What is likely, the likeliest first, each with what to check for it.
pub(super) struct Row {
    pub(super) causes: &'static [Cause],
    /// Do the technical manuals print this row? The others follow from how the motor works.
    pub(super) printed: bool,
}

/// One likely cause.
pub(super) struct Cause {
    pub(super) what: &'static str,
    pub(super) check: &'static str,
}

impl Row {
    /// All causes in one sentence.
    pub(super) fn words(&self) -> String {
        let all: Vec<&str> = self.causes.iter().map(|cause| cause.what).collect();
        match all.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, before)) => format!("{}, or {last}", before.join(", ")),
            None => String::new(),
        }
    }

    /// What to check first.
    pub(super) fn first_check(&self) -> &'static str {
        self.causes.first().map_or("", |cause| cause.check)
    }
}

const fn cause(what: &'static str, check: &'static str) -> Cause {
    Cause { what, check }
}

const fn printed(causes: &'static [Cause]) -> Row {
    Row { causes, printed: true }
}

const fn inferred(causes: &'static [Cause]) -> Row {
    Row { causes, printed: false }
}

const BY_HAND: &str =
    "with the power off, turn the armature by hand: it turns freely, without rubbing and without play";
const TO_CASE: &str =
    "test terminal, fields and armature against the case with a test lamp or an insulation tester";
const BRUSHES: &str = "brushes: length, springs, free in their holders, seated on the commutator";
const JOINTS: &str = "the volts at the motor while it runs, then the drop across each joint";
const CLAMP: &str = "the clamp: zeroed, around one lead alone, jaws shut; then read again after the rest";
const FIELDS: &str = "compare the field coils with each other and with the sheet by current and drop";
const GROWLER: &str = "armature on the growler, and drop from bar to bar";
const NUMBER: &str = "the motor's number against the sheet; then read the speed again";

/// The row for a speed and a current. Causes of printed rows stand in the order in which the manuals print them.
pub(super) fn row(speed: Side, current: Side) -> Row {
    use Side::{High, InRange, Low, Zero};
    match (speed, current) {
        (InRange, InRange) => printed(
            const {
                &[cause(
                    "none: the motor spins free as it should",
                    "the solenoid and the drive; free spin does not show torque, so prove the motor under load on the vehicle",
                )]
            },
        ),
        (Low, High) => printed(
            const {
                &[
                    cause("drag (tight, dirty or worn bearings, bent shaft, loose pole shoe)", BY_HAND),
                    cause("a shorted armature", GROWLER),
                    cause("an earthed armature or field", TO_CASE),
                ]
            },
        ),
        (Zero, High) => printed(
            const {
                &[
                    cause("a direct path to the case in terminal or field", TO_CASE),
                    cause("seized bearings", BY_HAND),
                ]
            },
        ),
        (Zero, Zero) => printed(
            const {
                &[
                    cause(
                        "an open circuit in the field",
                        "main contact and motor terminal; then the fields for continuity",
                    ),
                    cause("an open circuit in the armature", "burnt bars; then drop from bar to bar"),
                    cause("brushes that do not touch", BRUSHES),
                ]
            },
        ),
        (Low, Low) => printed(
            const {
                &[
                    cause("high resistance inside: poor connections", JOINTS),
                    cause("a dirty commutator", "commutator: clean, mica below the bars"),
                    cause("worn brushes", BRUSHES),
                    cause("one open field path", FIELDS),
                ]
            },
        ),
        (High, High) => printed(
            const { &[cause("shorted field windings: weak field, high speed, high current", FIELDS)] },
        ),
        (High, InRange | Low) => inferred(
            const { &[cause("a weaker field than the sheet's", FIELDS), cause("the wrong sheet", NUMBER)] },
        ),
        (Low, InRange) => inferred(
            const { &[cause("volts at the motor below the sheet's", JOINTS), cause("slight drag", BY_HAND)] },
        ),
        (InRange, Low) => inferred(
            const {
                &[
                    cause("a clamp meter that was not zeroed", CLAMP),
                    cause("one open path of several", FIELDS),
                ]
            },
        ),
        (InRange, High) => inferred(
            const {
                &[
                    cause("a solenoid's hold-in current read along with the motor's", CLAMP),
                    cause("some drag with a strong supply", BY_HAND),
                ]
            },
        ),
        (Zero, Low | InRange) => inferred(
            const { &[cause("a jammed drive or bearing", BY_HAND), cause("brushes that barely touch", BRUSHES)] },
        ),
        (Low | InRange | High, Zero) => {
            inferred(const { &[cause("the current was not read: a motor that turns draws current", CLAMP)] })
        }
    }
}
