//! Where a reading stands against its limits.

use crate::measurement::conformity::{Decision, Limits};
use crate::measurement::propagation::Uncertainty;

/// A value, its uncertainty where one is known, and the limits it is held against.
#[derive(Debug, Clone, Copy)]
pub(super) struct Judged {
    pub(super) value: f64,
    pub(super) uncertainty: Option<Uncertainty>,
    pub(super) limits: Limits,
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

impl Judged {
    /// A limit counts only when the reading is clear of it by its own expanded uncertainty.
    pub(super) fn decide(&self) -> Decision {
        self.limits.decide(self.value, self.uncertainty)
    }

    /// On which side the value itself lies; a twentieth of the least limit and below counts as nothing.
    pub(super) fn side(&self) -> Option<Side> {
        let (least, greatest) = (self.limits.least, self.limits.greatest);
        let scale = least.filter(|least| *least > 0.0).or(greatest)?;
        Some(if self.value <= 0.05 * scale {
            Side::Zero
        } else if least.is_some_and(|least| self.value < least) {
            Side::Low
        } else if greatest.is_some_and(|greatest| self.value > greatest) {
            Side::High
        } else {
            Side::InRange
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measurement::propagation::Combined;
    use crate::report::State;

    fn judged(value: f64, standard: f64, limits: Limits) -> Judged {
        let uncertainty = (standard > 0.0)
            .then(|| Uncertainty::of(Combined { standard, freedom: f64::INFINITY, bound: f64::INFINITY }));
        Judged { value, uncertainty, limits }
    }

    #[test]
    fn a_reading_nearer_to_a_limit_than_its_uncertainty_is_too_close_to_call() {
        let limits = Limits { least: Some(40.0), greatest: Some(90.0) };
        let state = |value, standard| judged(value, standard, limits).decide().state;
        assert_eq!(state(62.0, 2.0), State::Within);
        assert_eq!(state(92.0, 2.0), State::TooClose);
        assert_eq!(state(88.0, 2.0), State::TooClose);
        assert_eq!(state(95.0, 2.0), State::Outside);
        assert_eq!(state(35.0, 2.0), State::Outside);
        assert_eq!(state(42.0, 2.0), State::TooClose);
        assert_eq!(state(90.0, 0.0), State::Within);
    }

    #[test]
    fn one_side_alone_is_a_limit_too() {
        let limits = Limits { least: None, greatest: Some(90.0) };
        assert_eq!(judged(1.0, 0.0, limits).decide().state, State::Within);
        assert_eq!(judged(1.0, 0.0, limits).side(), Some(Side::Zero));
        assert_eq!(judged(1.0, 0.0, Limits { least: None, greatest: None }).side(), None);
    }
}
