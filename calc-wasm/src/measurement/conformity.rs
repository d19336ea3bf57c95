//! Inside, outside, or too close to call: decisions about limits, with the risk of a wrong one.

use super::distribution::normal;
use super::propagation::Uncertainty;
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

    /// Inside, outside, or too close to call, with a guard band of this width on each side of each limit.
    ///
    /// # Source
    /// ISO 14253-1 and JCGM 106, 8.3: a reading counts as inside or outside only when it is clear of the limit by
    /// its own uncertainty.
    pub fn state(self, value: f64, band: f64) -> State {
        let beyond = |by: f64| {
            self.greatest.is_some_and(|limit| value > limit + by)
                || self.least.is_some_and(|limit| value < limit - by)
        };
        if !self.known() {
            State::NotJudged
        } else if beyond(band) {
            State::Outside
        } else if beyond(-band) {
            State::TooClose
        } else {
            State::Within
        }
    }

    /// Decides with a guard band as wide as the expanded uncertainty; without one the value is taken as it is.
    pub fn decide(self, value: f64, uncertainty: Option<Uncertainty>) -> Decision {
        let Some(Uncertainty { standard, expanded, bound, .. }) = uncertainty else {
            return Decision { state: self.state(value, 0.0), conformance: self.conformance(value, 0.0) };
        };
        // Where the value cannot leave a band, a band wholly inside or outside leaves no doubt.
        let conformance = match self.state(value, bound) {
            State::Within => 1.0,
            State::Outside => 0.0,
            State::TooClose | State::NotJudged => self.conformance(value, standard),
        };
        Decision { state: self.state(value, expanded), conformance }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From memory of JCGM 106, clause 7: a breakdown voltage with one upper limit, a filling with one lower limit;
    /// and the risk of a normal quantity between two limits.
    #[test]
    fn conformance_is_the_share_of_the_distribution_inside() {
        let upper = Limits { least: None, greatest: Some(-5.40) };
        let lower = Limits { least: Some(490.0), greatest: None };
        let both = Limits { least: Some(9.0), greatest: Some(11.0) };
        for (limits, value, standard, printed, tolerance) in [
            (upper, -5.47, 0.05, 0.92, 0.005),
            (lower, 509.7, 8.6, 0.99, 0.005),
            (both, 10.0, 0.4, 1.0 - 0.012_42, 0.000_01),
            (both, 10.5, 0.4, 1.0 - 0.105_74, 0.000_01),
            (both, 12.0, 0.4, 1.0 - 0.993_79, 0.000_01),
        ] {
            let given = limits.conformance(value, standard);
            assert!((given - printed).abs() < tolerance, "{given} against {printed}");
        }
    }

    #[test]
    fn a_reading_within_its_own_uncertainty_of_a_limit_is_too_close_to_call() {
        let limits = Limits { least: None, greatest: Some(90.0) };
        let uncertainty = Uncertainty { standard: 2.0, factor: 2.0, expanded: 4.0, bound: f64::INFINITY };
        let state = |value: f64| limits.decide(value, Some(uncertainty)).state;
        assert_eq!([state(85.0), state(92.0), state(95.0)], [State::Within, State::TooClose, State::Outside]);
    }
}
