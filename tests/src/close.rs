//! How near a number has to come to the expected one.

use serde::Deserialize;

/// A tolerance, as a case states it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Tolerance {
    /// Equal but for the rounding of a few operations: 4 units in the last place.
    Rounding,
    /// As a part of the expected value.
    Relative(f64),
    /// In the unit of the expected value.
    Absolute(f64),
}

impl Tolerance {
    /// How far `got` may be from `expected`.
    pub fn width(self, expected: f64) -> f64 {
        match self {
            Tolerance::Rounding => 4.0 * f64::EPSILON * expected.abs(),
            Tolerance::Relative(part) => part * expected.abs(),
            Tolerance::Absolute(width) => width,
        }
    }

    /// Is `got` near enough? No tolerance lets a NaN through.
    pub fn holds(self, got: f64, expected: f64) -> bool {
        (got - expected).abs() <= self.width(expected)
    }
}
