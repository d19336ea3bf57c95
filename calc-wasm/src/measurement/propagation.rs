//! From uncertain readings to the uncertainty of a result.

use super::distribution::student_factor;
use crate::math::square_root;

/// What one cause does to a result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Standard uncertainty that this cause alone would give the result; its sign says which way it pulls.
    pub size: f64,
    /// Degrees of freedom of the cause.
    pub freedom: f64,
    /// Causes of the same group move together; `None` moves on its own.
    pub group: Option<usize>,
    /// Is the cause a band with ends, so that it cannot be more than √3 times its standard uncertainty off?
    pub bounded: bool,
}

/// Standard uncertainty of a result and its effective degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty.
    pub standard: f64,
    /// Effective degrees of freedom by the formula of Welch and Satterthwaite.
    pub freedom: f64,
    /// How far the result can be off at all, when every cause is a band with ends; infinite otherwise.
    pub bound: f64,
}

/// How far a number may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// Standard uncertainty.
    pub standard: f64,
    /// Coverage factor k for a level of confidence of about 95 %.
    pub factor: f64,
    /// Expanded uncertainty: k times the standard uncertainty.
    pub expanded: f64,
    /// How far the number can be off at all; infinite where that is not known.
    pub bound: f64,
}

/// The level of confidence: k is 2 for a normal distribution.
const CONFIDENCE: f64 = 0.954_499_736_103_641_6;

impl Uncertainty {
    /// Of a number this many times as great.
    pub fn scaled(self, factor: f64) -> Self {
        Uncertainty {
            standard: self.standard * factor,
            expanded: self.expanded * factor,
            bound: self.bound * factor,
            ..self
        }
    }

    /// With the coverage factor of Student's distribution for the effective degrees of freedom; where one band with
    /// ends rules, with the smaller factor that reaches to its ends, beyond which the number cannot be.
    ///
    /// # Source
    /// JCGM 100, G.4.2 and table G.2, the column of 95.45 %; for the band, JCGM 100, G.1.3 and G.5.3.
    pub fn of(combined: Combined) -> Self {
        let Combined { standard, freedom, bound } = combined;
        let factor = if freedom >= 1000.0 { 2.0 } else { student_factor(CONFIDENCE, freedom) };
        let expanded = (factor * standard).min(bound);
        let factor = if standard > 0.0 { expanded / standard } else { factor };
        Uncertainty { standard, factor, expanded, bound }
    }
}

/// Combines effects: those of one group add up with their signs, all else adds up in squares.
///
/// # Source
/// JCGM 100, 5.1.2 and 5.2.2 (correlation coefficient 1 within a group), G.4.1 for the degrees of freedom.
pub fn combine(effects: &[Effect]) -> Combined {
    let groups = effects.iter().filter_map(|effect| effect.group).max().map_or(0, |last| last + 1);
    let grouped = (0..groups).map(|group| {
        let members = effects.iter().filter(|effect| effect.group == Some(group));
        let freedom = members.clone().map(|member| member.freedom).fold(f64::INFINITY, f64::min);
        (members.map(|member| member.size).sum::<f64>(), freedom)
    });
    let single =
        effects.iter().filter(|effect| effect.group.is_none()).map(|effect| (effect.size, effect.freedom));
    let (mut variance, mut weight, mut reach) = (0.0, 0.0, 0.0);
    for (size, freedom) in grouped.chain(single) {
        let square = size * size;
        variance += square;
        weight += square * square / freedom;
        reach += size.abs();
    }
    let has_ends = effects.iter().all(|effect| effect.bounded || effect.size == 0.0);
    let bound = if has_ends { square_root(3.0) * reach } else { f64::INFINITY };
    let freedom = if weight > 0.0 { variance * variance / weight } else { f64::INFINITY };
    Combined { standard: square_root(variance), freedom, bound }
}

/// What a shift of one input by its standard uncertainty does to a result: half the difference of both shifts.
///
/// # Source
/// JCGM 100, 5.1.3, note 2.
pub fn effect_of_shift(result: impl Fn(f64) -> Option<f64>, input: f64, standard: f64) -> Option<f64> {
    Some(0.5 * (result(input + standard)? - result(input - standard)?))
}

/// Variance of a result, or covariance of two, from effects and the correlation coefficients of their causes.
///
/// # Source
/// JCGM 100, equations (16) and H.9.
pub fn covariance(first: &[f64], second: &[f64], correlation: impl Fn(usize, usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for (i, one) in first.iter().enumerate() {
        for (j, other) in second.iter().enumerate() {
            sum += one * other * correlation(i, j);
        }
    }
    sum
}

/// Correlation coefficient of two series of readings taken together.
///
/// # Source
/// JCGM 100, 5.2.3 and equation (H.8).
pub fn correlation(first: &[f64], second: &[f64]) -> f64 {
    let count = first.len().min(second.len()) as f64;
    let mean = |series: &[f64]| series.iter().sum::<f64>() / count;
    let (mean_1, mean_2) = (mean(first), mean(second));
    let (mut both, mut squares_1, mut squares_2) = (0.0, 0.0, 0.0);
    for (one, other) in first.iter().zip(second) {
        both += (one - mean_1) * (other - mean_2);
        squares_1 += (one - mean_1) * (one - mean_1);
        squares_2 += (other - mean_2) * (other - mean_2);
    }
    both / square_root(squares_1 * squares_2)
}

#[cfg(test)]
mod tests {
    use super::super::distribution::student_factor;
    use super::super::meter::repeated;
    use super::*;

    /// JCGM 100, H.1: a gauge block compared with a standard of the same nominal length.
    #[test]
    fn an_end_gauge_is_as_uncertain_as_the_guide_says() {
        let root_3 = square_root(3.0);
        let effect = |size: f64, freedom: f64| Effect { size, freedom, group: None, bounded: false };
        let difference = combine(&[effect(5.8, 24.0), effect(3.9, 5.0), effect(6.7, 8.0)]);
        assert!((difference.standard - 9.7).abs() < 0.05, "u(d) is {}", difference.standard);
        let length = 50_000_623.0;
        let combined = combine(&[
            effect(25.0, 18.0),
            effect(difference.standard, difference.freedom),
            effect(length * -0.1 * 1e-6 / root_3, 50.0),
            effect(length * 11.5e-6 * 0.05 / root_3, 2.0),
        ]);
        assert!((combined.standard - 32.0).abs() < 0.5, "u(l) is {}", combined.standard);
        assert_eq!(combined.freedom.floor(), 16.0);
        let expanded = student_factor(0.99, combined.freedom) * combined.standard;
        assert!((expanded - 93.0).abs() < 1.0, "U99 is {expanded}");
    }

    /// JCGM 100, H.2, from the raw data of table H.2: resistance, reactance and impedance from readings taken together.
    #[test]
    fn readings_taken_together_move_together() {
        let volts = [5.007, 4.994, 5.005, 4.990, 4.999];
        let amps = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
        let phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
        let series = [&volts[..], &amps[..], &phase[..]];
        let means_and_deviations = series.map(|one| match repeated(one) {
            Some((mean, scatter)) => (mean, scatter.deviation),
            None => panic!("five readings have a deviation"),
        });
        let means = means_and_deviations.map(|(mean, _)| mean);
        let correlation = |i: usize, j: usize| correlation(series[i], series[j]);
        for (i, j, printed) in [(0, 1, -0.36), (0, 2, 0.86), (1, 2, -0.65)] {
            assert!((correlation(i, j) - printed).abs() < 0.006, "r({i}, {j}) is {}", correlation(i, j));
        }
        let laws: [fn(&[f64; 3]) -> f64; 3] =
            [|[v, i, p]| v / i * libm::cos(*p), |[v, i, p]| v / i * libm::sin(*p), |[v, i, _]| v / i];
        let effects = laws.map(|law| {
            [0, 1, 2].map(|index| {
                let shifted = |value: f64| {
                    let mut inputs = means;
                    inputs[index] = value;
                    Some(law(&inputs))
                };
                let (mean, deviation) = means_and_deviations[index];
                effect_of_shift(shifted, mean, deviation).expect("the law holds near the means")
            })
        });
        let covariance = |a: usize, b: usize| covariance(&effects[a], &effects[b], correlation);
        let standard = |a: usize| square_root(covariance(a, a));
        for (index, value, printed) in [(0, 127.732, 0.071), (1, 219.847, 0.295), (2, 254.260, 0.236)] {
            assert!((laws[index](&means) - value).abs() < 0.001, "{} against {value}", laws[index](&means));
            assert!((standard(index) - printed).abs() < 0.0006, "{} against {printed}", standard(index));
        }
        for (a, b, printed) in [(0, 1, -0.588), (0, 2, -0.485), (1, 2, 0.993)] {
            let r = covariance(a, b) / (standard(a) * standard(b));
            assert!((r - printed).abs() < 0.001, "{r} against {printed}");
        }
    }
}
