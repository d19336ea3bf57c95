//! What a meter's data sheet says, turned into standard uncertainties.

use crate::math::square_root;

/// How far one reading may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// `± 2 A`: the true value lies in this band, anywhere.
    Within(f64),
    /// `± (2 % + 5)`: hundredths of the reading, and counts of the last digit shown.
    Meter {
        /// Hundredths of the reading.
        percent: f64,
        /// Counts of the last digit.
        counts: f64,
        /// What one count is worth, in the reading's unit.
        resolution: f64,
    },
    /// Several readings of the same thing were typed: their mean has this standard deviation.
    Repeated {
        /// Standard deviation of the mean.
        deviation: f64,
        /// One less than the number of readings.
        freedom: f64,
    },
}

/// One cause of uncertainty in a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// Standard uncertainty, in the reading's unit.
    pub standard: f64,
    /// Degrees of freedom; infinite for what a data sheet says.
    pub freedom: f64,
    /// Is it the meter's scale, which is off alike in every reading that this meter takes?
    pub scale: bool,
}

impl Spread {
    /// Half the width of the band in which the true value lies, about 95 % where there is no band.
    pub fn half_width(self, reading: f64) -> f64 {
        match self {
            Spread::Within(band) => band,
            Spread::Meter { percent, counts, resolution } => {
                percent / 100.0 * reading.abs() + counts * resolution
            }
            Spread::Repeated { deviation, freedom } => {
                super::distribution::student_factor(0.95, freedom) * deviation
            }
        }
    }

    /// The causes of uncertainty in a reading.
    ///
    /// # Assumptions
    /// A data sheet's limits are equally likely anywhere between (JCGM 100, 4.3.7): half the width over √3.
    pub fn causes(self, reading: f64) -> Vec<Cause> {
        let flat = |half_width: f64, scale| Cause {
            standard: half_width / square_root(3.0),
            freedom: f64::INFINITY,
            scale,
        };
        match self {
            Spread::Within(band) => vec![flat(band, false)],
            Spread::Meter { percent, counts, resolution } => {
                vec![flat(percent / 100.0 * reading.abs(), true), flat(counts * resolution, false)]
            }
            Spread::Repeated { deviation, freedom } => {
                vec![Cause { standard: deviation, freedom, scale: false }]
            }
        }
    }
}

/// Mean and standard deviation of the mean of repeated readings; nothing from fewer than two.
///
/// # Source
/// JCGM 100, 4.2.1 to 4.2.3.
pub fn repeated(readings: &[f64]) -> Option<(f64, Spread)> {
    let count = readings.len() as f64;
    if readings.len() < 2 {
        return None;
    }
    let mean = readings.iter().sum::<f64>() / count;
    let squares: f64 = readings.iter().map(|reading| (reading - mean) * (reading - mean)).sum();
    let deviation = square_root(squares / (count - 1.0) / count);
    Some((mean, Spread::Repeated { deviation, freedom: count - 1.0 }))
}
