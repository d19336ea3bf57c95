//! What speed and current together say about a motor that spins free.

use super::judge::Side;

/// A likely cause and what to check next.
pub(super) struct Row {
    pub(super) cause: &'static str,
    pub(super) next: &'static str,
    /// Do the technical manuals print this row? The others follow from how the motor works.
    pub(super) printed: bool,
}

const fn printed(cause: &'static str, next: &'static str) -> Row {
    Row { cause, next, printed: true }
}

const fn inferred(cause: &'static str, next: &'static str) -> Row {
    Row { cause, next, printed: false }
}

/// The row for a speed and a current.
pub(super) fn row(speed: Side, current: Side) -> Row {
    use Side::{High, InRange, Low, Zero};
    match (speed, current) {
        (InRange, InRange) => printed(
            "none: the motor spins free as it should",
            "the solenoid and the drive; free spin does not show torque, so prove the motor under load on the vehicle",
        ),
        (Low, High) => printed(
            "drag (tight, dirty or worn bearings, bent shaft, loose pole shoe), a shorted armature, or an earthed armature or field",
            "turn the armature by hand with the power off and feel for rubbing; then test armature and fields for shorts to each other and to the case",
        ),
        (Zero, High) => printed(
            "a direct path to the case in terminal or field, or seized bearings; release at once",
            "try to turn the armature by hand with the power off; then test terminal and fields against the case",
        ),
        (Zero, Zero) => printed(
            "an open circuit: field, armature, or brushes that do not touch",
            "main contact and motor terminal first; then brushes and their springs, then the fields for continuity",
        ),
        (Low, Low) => printed(
            "high resistance inside: poor connections, a dirty commutator, worn brushes, or one open field path",
            "the volts at the motor while it runs; then brushes, commutator and joints inside",
        ),
        (High, High) => printed(
            "shorted field windings: weak field, high speed, high current",
            "compare the field coils with each other and with the sheet",
        ),
        (High, InRange | Low) => inferred(
            "a weaker field than the sheet's, or the wrong sheet",
            "motor number against the sheet; then read the speed again",
        ),
        (Low, InRange) => inferred(
            "slight drag, or volts at the motor below the sheet's",
            "the volts at the motor while it runs; then turn the armature by hand with the power off",
        ),
        (InRange, Low) => inferred(
            "a clamp meter that was not zeroed, or one open path of several",
            "zero the clamp and read again; then the fields",
        ),
        (InRange, High) => inferred(
            "some drag with a strong supply, or a solenoid's hold-in current read along with the motor's",
            "what the clamp encloses; then run again after the rest",
        ),
        (Zero, Low | InRange) => inferred(
            "a jammed drive or bearing, or brushes that barely touch",
            "try to turn the armature by hand with the power off; then the brushes",
        ),
        (Low | InRange | High, Zero) => inferred(
            "the current was not read: a motor that turns draws current",
            "the clamp: zeroed, around one lead alone, jaws shut",
        ),
    }
}
