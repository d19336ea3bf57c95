//! Where a reading stands against its limits.

use crate::input::Measured;
use crate::measurement::conformity::Limits;
use crate::report::State;

/// On which side of its limits a reading lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// As good as nothing.
    Zero,
    Low,
    InRange,
    High,
}

/// The state of a reading: a limit counts only when the reading is clear of it by its own `±`.
pub(super) fn state(limits: Limits, reading: Measured) -> State {
    limits.state(reading.value, reading.plus_minus.unwrap_or(0.0))
}

/// On which side the reading itself lies; a twentieth of the least limit and below counts as nothing.
pub(super) fn side(limits: Limits, reading: f64) -> Option<Side> {
    let scale = limits.least.filter(|least| *least > 0.0).or(limits.greatest)?;
    Some(if reading <= 0.05 * scale {
        Side::Zero
    } else if limits.least.is_some_and(|least| reading < least) {
        Side::Low
    } else if limits.greatest.is_some_and(|greatest| reading > greatest) {
        Side::High
    } else {
        Side::InRange
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_nearer_to_a_limit_than_its_band_is_too_close_to_call() {
        let limits = Limits { least: Some(40.0), greatest: Some(90.0) };
        let state = |value, band| super::state(limits, Measured { value, plus_minus: Some(band) });
        assert_eq!(state(62.0, 4.0), State::Within);
        assert_eq!(state(92.0, 4.0), State::TooClose);
        assert_eq!(state(88.0, 4.0), State::TooClose);
        assert_eq!(state(95.0, 4.0), State::Outside);
        assert_eq!(state(35.0, 4.0), State::Outside);
        assert_eq!(state(42.0, 4.0), State::TooClose);
        assert_eq!(state(90.0, 0.0), State::Within);
    }

    #[test]
    fn one_side_alone_is_a_limit_too() {
        let limits = Limits { least: None, greatest: Some(90.0) };
        assert_eq!(state(limits, Measured { value: 1.0, plus_minus: None }), State::Within);
        assert_eq!(side(limits, 1.0), Some(Side::Zero));
        assert_eq!(side(Limits { least: None, greatest: None }, 1.0), None);
    }
}
