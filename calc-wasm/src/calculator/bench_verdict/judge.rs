//! Where a reading stands against its limits.

use crate::input::Measured;
use crate::report::State;

/// A limit on one or both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Limits {
    pub(super) least: Option<f64>,
    pub(super) greatest: Option<f64>,
}

/// On which side of its limits a reading lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// As good as nothing.
    Zero,
    Low,
    InRange,
    High,
}

impl Limits {
    pub(super) fn known(self) -> bool {
        self.least.is_some() || self.greatest.is_some()
    }

    /// The state of a reading: a limit counts only when the reading is clear of it by its own `±`.
    pub(super) fn state(self, reading: Measured) -> State {
        if !self.known() {
            return State::NotJudged;
        }
        let (value, band) = (reading.value, reading.plus_minus.unwrap_or(0.0));
        let over = |greatest: f64, by: f64| value > greatest + by;
        let under = |least: f64, by: f64| value < least - by;
        if self.greatest.is_some_and(|limit| over(limit, band))
            || self.least.is_some_and(|limit| under(limit, band))
        {
            State::Outside
        } else if self.greatest.is_some_and(|limit| over(limit, -band))
            || self.least.is_some_and(|limit| under(limit, -band))
        {
            State::TooClose
        } else {
            State::Within
        }
    }

    /// On which side the reading itself lies; a twentieth of the least limit and below counts as nothing.
    pub(super) fn side(self, reading: f64) -> Option<Side> {
        let scale = self.least.filter(|least| *least > 0.0).or(self.greatest)?;
        Some(if reading <= 0.05 * scale {
            Side::Zero
        } else if self.least.is_some_and(|least| reading < least) {
            Side::Low
        } else if self.greatest.is_some_and(|greatest| reading > greatest) {
            Side::High
        } else {
            Side::InRange
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_nearer_to_a_limit_than_its_band_is_too_close_to_call() {
        let limits = Limits { least: Some(40.0), greatest: Some(90.0) };
        let state = |value, band| limits.state(Measured { value, plus_minus: Some(band) });
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
        assert_eq!(limits.state(Measured { value: 1.0, plus_minus: None }), State::Within);
        assert_eq!(limits.side(1.0), Some(Side::Zero));
        assert_eq!(Limits { least: None, greatest: None }.side(1.0), None);
    }
}
