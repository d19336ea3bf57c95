//! The two distributions that judgements need.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, PI};

use crate::math::{arc_tangent, complementary_error, square_root};

/// Probability that a standard normal quantity is at most `z`.
pub fn normal(z: f64) -> f64 {
    0.5 * complementary_error(-z * FRAC_1_SQRT_2)
}

/// Probability that Student's t with so many whole degrees of freedom lies between `-t` and `t`.
///
/// # Formula
/// Finite sums in the angle `θ = arctan(t / √ν)` (Abramowitz and Stegun, 26.7.3 and 26.7.4).
pub fn student_within(t: f64, freedom: u32) -> f64 {
    let nu = f64::from(freedom);
    let theta = arc_tangent(t / square_root(nu));
    let cosine_squared = nu / (nu + t * t);
    let sine = t / square_root(nu + t * t);
    let odd = freedom % 2 == 1;
    // The sum over the even (odd) powers of the cosine; each term from the one before.
    let mut term = if odd { square_root(cosine_squared) } else { 1.0 };
    let mut sum = 0.0;
    let mut power = if odd { 1 } else { 0 };
    while power + 2 <= freedom {
        sum += term;
        term *= cosine_squared * f64::from(power + 1) / f64::from(power + 2);
        power += 2;
    }
    match (odd, freedom) {
        (true, 1) => theta / FRAC_PI_2,
        (true, _) => 2.0 / PI * (theta + sine * sum),
        (false, _) => sine * sum,
    }
}

/// The coverage factor: how many standard uncertainties the band of this probability reaches to each side.
///
/// Degrees of freedom are cut to a whole number, as JCGM 100 G.4.1 allows; from a thousand up the normal
/// distribution serves.
pub fn student_factor(probability: f64, freedom: f64) -> f64 {
    let within = |t: f64| {
        if freedom >= 1000.0 { 1.0 - 2.0 * normal(-t) } else { student_within(t, (freedom as u32).max(1)) }
    };
    let (mut low, mut high) = (0.0, 1.0);
    while within(high) < probability && high < 1e9 {
        high *= 2.0;
    }
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if within(middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 100, table G.2, the columns of 95 % and 99 %.
    #[test]
    fn coverage_factors_are_those_of_table_g_2() {
        for (freedom, at_95, at_99) in [
            (1.0, 12.71, 63.66),
            (2.0, 4.30, 9.92),
            (5.0, 2.57, 4.03),
            (10.0, 2.23, 3.17),
            (16.0, 2.12, 2.92),
            (50.0, 2.01, 2.68),
            (f64::INFINITY, 1.960, 2.576),
        ] {
            assert!((student_factor(0.95, freedom) - at_95).abs() < 0.005, "{freedom}");
            assert!((student_factor(0.99, freedom) - at_99).abs() < 0.005, "{freedom}");
        }
    }

    #[test]
    fn many_degrees_of_freedom_come_to_the_normal_distribution() {
        let difference = student_factor(0.95, 999.0) - student_factor(0.95, 1000.0);
        assert!((0.0..0.003).contains(&difference), "{difference}");
    }
}
