//! What a meter's data sheet and repeated readings say, turned into standard uncertainties.

use crate::math::square_root;

/// How far one reading may be off: the parts that a person gave, each zero or absent when not given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// `± 2 A`: the true value lies in this band, anywhere; in the reading's unit.
    pub within: f64,
    /// `± 2 %`: hundredths of the reading, the meter's scale.
    pub percent: f64,
    /// `+ 5`: counts of the last digit.
    pub counts: f64,
    /// What one count is worth, in the reading's unit.
    pub resolution: f64,
    /// Several readings of the same thing were typed; the reading is their mean.
    pub repeated: Option<Repeated>,
}

/// What several readings of the same thing say about their mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeated {
    /// Standard deviation of the mean.
    pub deviation: f64,
    /// How many readings.
    pub count: f64,
}

/// Why a reading may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The band that was typed.
    Band,
    /// The meter's scale, which is off alike in every reading that this meter takes.
    Scale,
    /// The last digit.
    Digit,
    /// Readings differ from one another.
    Scatter,
}

/// One cause of uncertainty in a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// Standard uncertainty, in the reading's unit.
    pub standard: f64,
    /// Degrees of freedom; infinite for what a data sheet says.
    pub freedom: f64,
    /// Why.
    pub kind: Kind,
}

/// No part of an uncertainty is larger, in whatever unit; squares of more leave the numbers that can be worked.
const LARGEST: f64 = 1e12;

impl Spread {
    const NONE: Spread = Spread { within: 0.0, percent: 0.0, counts: 0.0, resolution: 0.0, repeated: None };

    /// `± 2 A`.
    pub const fn within(band: f64) -> Self {
        Spread { within: band, ..Spread::NONE }
    }

    /// `± (2 % + 5)` with the worth of one count, in the reading's unit.
    pub const fn meter(percent: f64, counts: f64, resolution: f64) -> Self {
        Spread { percent, counts, resolution, ..Spread::NONE }
    }

    /// Readings differ from one another.
    pub const fn scatter(repeated: Repeated) -> Self {
        Spread { repeated: Some(repeated), ..Spread::NONE }
    }

    /// The same for readings in another unit, one of which is `factor` of these.
    pub fn scaled(self, factor: f64) -> Self {
        Spread {
            within: self.within * factor,
            resolution: self.resolution * factor,
            repeated: self
                .repeated
                .map(|repeated| Repeated { deviation: repeated.deviation * factor, ..repeated }),
            ..self
        }
    }

    /// Is every part a number from zero up that a meter could have, and more than one reading behind a scatter?
    pub fn is_sound(self) -> bool {
        let sound = |part: f64| (0.0..=LARGEST).contains(&part);
        [self.within, self.percent, self.counts, self.resolution].into_iter().all(sound)
            && self.repeated.is_none_or(|repeated| {
                sound(repeated.deviation) && repeated.count >= 2.0 && repeated.count <= 1e6
            })
    }

    /// The causes of uncertainty in a reading.
    ///
    /// # Assumptions
    /// A data sheet's limits are equally likely anywhere between (JCGM 100, 4.3.7): half the width over √3.
    pub fn causes(self, reading: f64) -> Vec<Cause> {
        let flat = |half_width: f64, kind| Cause {
            standard: half_width / square_root(3.0),
            freedom: f64::INFINITY,
            kind,
        };
        let mut causes = vec![
            flat(self.within, Kind::Band),
            flat(self.percent / 100.0 * reading.abs(), Kind::Scale),
            flat(self.counts * self.resolution, Kind::Digit),
        ];
        if let Some(Repeated { deviation, count }) = self.repeated {
            causes.push(Cause { standard: deviation, freedom: count - 1.0, kind: Kind::Scatter });
        }
        causes.retain(|cause| cause.standard > 0.0);
        causes
    }
}

/// Mean of repeated readings and what they say about it; nothing from fewer than two.
///
/// # Source
/// JCGM 100, 4.2.1 to 4.2.3.
pub fn repeated(readings: &[f64]) -> Option<(f64, Repeated)> {
    let count = readings.len() as f64;
    if readings.len() < 2 {
        return None;
    }
    let mean = readings.iter().sum::<f64>() / count;
    let squares: f64 = readings.iter().map(|reading| (reading - mean) * (reading - mean)).sum();
    Some((mean, Repeated { deviation: square_root(squares / (count - 1.0) / count), count }))
}
