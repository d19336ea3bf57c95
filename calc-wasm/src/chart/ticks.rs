//! Where an axis is divided: steps of 1, 2 or 5 with as many noughts as it takes.

use crate::math::power;
use crate::number::to_places;

/// The divisions of an axis, in the unit in which it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticks {
    /// The first division, at the axis' lower end.
    pub first: f64,
    /// From one to the next.
    pub step: f64,
    /// How many steps.
    pub count: usize,
    /// Decimal places of the labels.
    places: usize,
}

impl Ticks {
    /// About `wanted` steps that cover `low` to `high`; a range that is none is widened.
    pub fn covering(low: f64, high: f64, wanted: usize) -> Self {
        let size = low.abs().max(high.abs()).clamp(1e-12, 1e15);
        let width = if high - low > 1e-9 * size { high - low } else { size };
        let rough = width / wanted as f64;
        let mut magnitude = (-12..=15).rev().find(|n| power(10.0, f64::from(*n)) <= rough).unwrap_or(-12);
        let ratio = rough / power(10.0, f64::from(magnitude));
        let factor = match ratio {
            _ if ratio <= 1.000_001 => 1.0,
            _ if ratio <= 2.0 => 2.0,
            _ if ratio <= 5.0 => 5.0,
            _ => {
                magnitude += 1;
                1.0
            }
        };
        let step = factor * power(10.0, f64::from(magnitude));
        let below = (low / step).floor();
        let count = ((low + width) / step - below - 1e-9).ceil().clamp(1.0, 100.0);
        Ticks { first: below * step, step, count: count as usize, places: (-magnitude).max(0) as usize }
    }

    /// The last division.
    pub fn last(&self) -> f64 {
        self.first + self.step * self.count as f64
    }

    /// Each division with its label.
    pub fn labels(&self) -> impl Iterator<Item = (f64, String)> {
        (0..=self.count).map(|index| {
            let value = self.first + self.step * index as f64;
            // Zero has no sign.
            let value = if value.abs() < 1e-9 * self.step { 0.0 } else { value };
            (value, to_places(value, self.places))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_cover_the_range() {
        for (low, high, step, first, last) in [
            (0.0, 512.0, 200.0, 0.0, 600.0),
            (0.0, 2.0, 0.5, 0.0, 2.0),
            (11.2, 12.6, 0.5, 11.0, 13.0),
            (-40.0, 120.0, 50.0, -50.0, 150.0),
            (0.0, 0.003, 0.001, 0.0, 0.003),
            (5.0, 5.0, 1.0, 5.0, 10.0),
        ] {
            let ticks = Ticks::covering(low, high, 5);
            assert!((ticks.step / step - 1.0).abs() < 1e-9, "{low} to {high}: {ticks:?}");
            assert!((ticks.first - first).abs() < 1e-9 && (ticks.last() - last).abs() < 1e-9, "{ticks:?}");
        }
    }

    #[test]
    fn labels_have_the_places_of_the_step() {
        let labels: Vec<String> = Ticks::covering(0.0, 2.0, 5).labels().map(|(_, label)| label).collect();
        assert_eq!(labels, ["0.0", "0.5", "1.0", "1.5", "2.0"]);
    }

    #[test]
    fn any_range_has_a_few_divisions() {
        for (low, high) in [(f64::MIN, f64::MAX), (0.0, 1e-300), (-1e15, 1e15), (0.0, 0.0), (1e15, 1e15)] {
            assert!(Ticks::covering(low, high, 5).labels().count() <= 101);
        }
    }
}
