//! From uncertain readings to the uncertainty of a result.

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
}

/// Standard uncertainty of a result and its effective degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty.
    pub standard: f64,
    /// Effective degrees of freedom by the formula of Welch and Satterthwaite.
    pub freedom: f64,
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
    let (mut variance, mut weight) = (0.0, 0.0);
    for (size, freedom) in grouped.chain(single) {
        let square = size * size;
        variance += square;
        weight += square * square / freedom;
    }
    let freedom = if weight > 0.0 { variance * variance / weight } else { f64::INFINITY };
    Combined { standard: square_root(variance), freedom }
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
