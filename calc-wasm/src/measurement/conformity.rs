//! Inside, outside, or too close to call: decisions about limits, with the risk of a wrong one.

use super::distribution::normal;
use crate::report::State;

/// Limits on one or both sides of a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Smallest allowed value.
    pub least: Option<f64>,
    /// Greatest allowed value.
    pub greatest: Option<f64>,
}

/// A decision and what may be wrong with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decision {
    /// Inside, outside, or too close to call.
    pub state: State,
    /// Probability that the true value lies inside the limits.
    pub conformance: f64,
}

impl Limits {
    /// Is there any limit?
    pub fn known(self) -> bool {
        self.least.is_some() || self.greatest.is_some()
    }

    /// Probability that a normal quantity lies inside.
    ///
    /// # Source
    /// JCGM 106, 7.2 to 7.4.
    pub fn conformance(self, value: f64, standard: f64) -> f64 {
        if standard <= 0.0 {
            let inside = self.least.is_none_or(|least| value >= least)
                && self.greatest.is_none_or(|greatest| value <= greatest);
            return if inside { 1.0 } else { 0.0 };
        }
        let below = self.greatest.map_or(1.0, |greatest| normal((greatest - value) / standard));
        let under = self.least.map_or(0.0, |least| normal((least - value) / standard));
        below - under
    }

    /// Decides with a guard band as wide as the expanded uncertainty on each side of each limit.
    ///
    /// # Source
    /// ISO 14253-1 and JCGM 106, 8.3: a reading counts as inside or outside only when it is clear of the limit by
    /// its own uncertainty.
    pub fn decide(self, value: f64, standard: f64, expanded: f64) -> Decision {
        let conformance = self.conformance(value, standard);
        let beyond = |by: f64| {
            self.greatest.is_some_and(|limit| value > limit + by)
                || self.least.is_some_and(|limit| value < limit - by)
        };
        let state = if !self.known() {
            State::NotJudged
        } else if beyond(expanded) {
            State::Outside
        } else if beyond(-expanded) {
            State::TooClose
        } else {
            State::Within
        };
        Decision { state, conformance }
    }
}
