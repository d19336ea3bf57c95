//! Stiff differential equations: a Rosenbrock method of order 4 that stays calm where one thing settles a thousand times
//! faster than another.
//!
//! # Source
//! RODAS with its constants: Hairer and Wanner, *Solving Ordinary Differential Equations II*, IV.7.

use super::ode::{Flow, OdeProblem, Step, Tolerance};
use crate::math::{power, square_root};

/// Weights of the earlier stages in each stage's state, and in its right side.
const A: [[f64; 5]; 6] = [
    [0.0; 5],
    [1.544, 0.0, 0.0, 0.0, 0.0],
    [0.946_678_528_081_582_6, 0.255_701_169_898_328_4, 0.0, 0.0, 0.0],
    [3.314_825_187_068_521, 2.896_124_015_972_201, 0.998_641_913_997_781_7, 0.0, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 1.0],
];
const C: [[f64; 5]; 6] = [
    [0.0; 5],
    [-5.668_8, 0.0, 0.0, 0.0, 0.0],
    [-2.430_093_356_833_875, -0.206_359_915_709_191_5, 0.0, 0.0, 0.0],
    [-0.107_352_905_815_137_5, -9.594_562_251_023_355, -20.470_286_148_096_16, 0.0, 0.0],
    [7.496_443_313_967_647, -10.246_804_314_643_52, -33.999_903_528_199_05, 11.708_908_932_061_6, 0.0],
    [
        8.083_246_795_921_522,
        -7.981_132_988_064_893,
        -31.521_594_328_743_71,
        16.319_305_431_231_36,
        -6.058_818_238_834_054,
    ],
];
/// Of the interpolant.
const DENSE: [[f64; 5]; 2] = [
    [
        10.126_235_083_445_86,
        -7.487_995_877_610_167,
        -34.800_918_615_557_47,
        -7.992_771_707_568_823,
        1.025_137_723_295_662,
    ],
    [
        -0.676_280_339_280_125_3,
        6.087_714_651_680_015,
        16.430_843_208_924_78,
        24.767_225_114_183_86,
        -6.594_389_125_716_872,
    ],
];
const GAMMA: f64 = 0.25;

/// Integrates `slope`, which does not depend on time itself, from `start` to `end`; `each` sees every accepted step.
///
/// Only the first `coupled` components act on any slope; the others are sums that are added to. Gives the end's state.
pub fn integrate_stiff<const N: usize>(
    slope: impl Fn(&[f64; N]) -> [f64; N],
    coupled: usize,
    (start, end): (f64, f64),
    state: [f64; N],
    tolerance: &Tolerance<N>,
    mut each: impl FnMut(&Step<N>) -> Flow,
) -> Result<[f64; N], OdeProblem> {
    let (mut time, mut state) = (start, state);
    let mut length = 1e-6 * (end - start);
    let mut here = slope(&state);
    let mut jacobian = jacobian(&slope, coupled, &state, &here, tolerance);
    for _ in 0..tolerance.most_steps {
        if time >= end {
            return Ok(state);
        }
        length = length.min(end - time);
        if length.is_nan() || length <= 1e-14 * time.abs().max(1e-9) {
            return Err(OdeProblem::StepTooSmall);
        }
        let stages =
            stages(&slope, coupled, &jacobian, (&state, &here), length).ok_or(OdeProblem::StepTooSmall)?;
        let after: [f64; N] = std::array::from_fn(|i| weighted(&state, &stages, &A[5])[i] + stages[5][i]);
        let error = error_size(&state, &after, &stages[5], tolerance);
        if error.is_nan() {
            // A trial far outside may overflow where a shorter one does not.
            length *= 0.1;
            continue;
        }
        if error <= 1.0 {
            let step = step(time, length, &state, &after, &stages);
            state = after;
            time = if end - time <= length * (1.0 + 1e-12) { end } else { time + length };
            if each(&step) == Flow::Stop {
                return Ok(state);
            }
            here = slope(&state);
            jacobian = self::jacobian(&slope, coupled, &state, &here, tolerance);
        }
        length *= (0.9 * power(error.max(1e-10), -0.25)).clamp(0.2, 6.0);
    }
    Err(OdeProblem::TooManySteps)
}

fn stages<const N: usize>(
    slope: &impl Fn(&[f64; N]) -> [f64; N],
    coupled: usize,
    jacobian: &[[f64; N]; N],
    (state, here): (&[f64; N], &[f64; N]),
    length: f64,
) -> Option<[[f64; N]; 6]> {
    let diagonal = 1.0 / (GAMMA * length);
    let mut matrix = *jacobian;
    for (i, row) in matrix.iter_mut().enumerate().take(coupled) {
        row.iter_mut().take(coupled).for_each(|value| *value = -*value);
        row[i] += diagonal;
    }
    let order = decompose(&mut matrix, coupled)?;
    let mut stages = [[0.0; N]; 6];
    for stage in 0..6 {
        let mut right = if stage == 0 { *here } else { slope(&weighted(state, &stages, &A[stage])) };
        for (weight, k) in C[stage].iter().zip(&stages).take(stage) {
            let part = weight / length;
            for i in 0..N {
                right[i] += part * k[i];
            }
        }
        let core = solve(&matrix, coupled, &order, &right);
        // A sum's row has nothing but the coupled components and itself.
        stages[stage] = std::array::from_fn(|row| {
            if row < coupled {
                return core[row];
            }
            let acting: f64 = (0..coupled).map(|column| jacobian[row][column] * core[column]).sum();
            (right[row] + acting) / diagonal
        });
    }
    Some(stages)
}

fn weighted<const N: usize>(state: &[f64; N], stages: &[[f64; N]; 6], weights: &[f64; 5]) -> [f64; N] {
    let mut sum = *state;
    for (weight, k) in weights.iter().zip(stages) {
        for i in 0..N {
            sum[i] += weight * k[i];
        }
    }
    sum
}

fn error_size<const N: usize>(
    before: &[f64; N],
    after: &[f64; N],
    error: &[f64; N],
    tolerance: &Tolerance<N>,
) -> f64 {
    let squares: f64 = (0..N)
        .map(|i| {
            let size = before[i].abs().max(after[i].abs());
            error[i] / (tolerance.absolute[i] + tolerance.relative * size)
        })
        .map(|part| part * part)
        .sum();
    square_root(squares / N as f64)
}

fn step<const N: usize>(
    start: f64,
    length: f64,
    before: &[f64; N],
    after: &[f64; N],
    stages: &[[f64; N]; 6],
) -> Step<N> {
    let bend = |weights: &[f64; 5]| -> [f64; N] {
        std::array::from_fn(|i| weights.iter().zip(stages).map(|(weight, k)| weight * k[i]).sum())
    };
    let rise = std::array::from_fn(|i| after[i] - before[i]);
    let dense = [*before, rise, bend(&DENSE[0]), bend(&DENSE[1]), [0.0; N]];
    Step { start, length, end_state: *after, dense }
}

/// How each slope changes with each coupled component, by small differences.
fn jacobian<const N: usize>(
    slope: &impl Fn(&[f64; N]) -> [f64; N],
    coupled: usize,
    state: &[f64; N],
    here: &[f64; N],
    tolerance: &Tolerance<N>,
) -> [[f64; N]; N] {
    let mut jacobian = [[0.0; N]; N];
    for column in 0..coupled {
        let size = state[column].abs().max(tolerance.absolute[column] / tolerance.relative);
        let mut aside = *state;
        aside[column] += 1.5e-8 * size;
        let per_change = 1.0 / (aside[column] - state[column]);
        let there = slope(&aside);
        for row in 0..N {
            jacobian[row][column] = (there[row] - here[row]) * per_change;
        }
    }
    jacobian
}

/// The first `size` rows and columns as a lower and an upper triangle in their own place, and the order of the rows;
/// nothing when they are singular.
fn decompose<const N: usize>(matrix: &mut [[f64; N]; N], size: usize) -> Option<[usize; N]> {
    let mut order = std::array::from_fn(|i| i);
    for pivot in 0..size {
        let best =
            (pivot..size).max_by(|a, b| matrix[*a][pivot].abs().total_cmp(&matrix[*b][pivot].abs()))?;
        matrix.swap(pivot, best);
        order.swap(pivot, best);
        let upper = matrix[pivot];
        if upper[pivot] == 0.0 || !upper[pivot].is_finite() {
            return None;
        }
        for row in &mut matrix[pivot + 1..size] {
            let factor = row[pivot] / upper[pivot];
            row[pivot] = factor;
            for column in pivot + 1..size {
                row[column] -= factor * upper[column];
            }
        }
    }
    Some(order)
}

fn solve<const N: usize>(
    matrix: &[[f64; N]; N],
    size: usize,
    order: &[usize; N],
    right: &[f64; N],
) -> [f64; N] {
    let mut x: [f64; N] = std::array::from_fn(|i| right[order[i]]);
    for row in 1..size {
        x[row] -= (0..row).map(|column| matrix[row][column] * x[column]).sum::<f64>();
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|column| matrix[row][column] * x[column]).sum();
        x[row] = (x[row] - known) / matrix[row][row];
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fast_and_a_slow_part_are_both_right_in_few_steps() {
        // y₀ follows the falling y₁ within microseconds: y₀ = y₁ · 1e6 / (1e6 − 1) from its second microsecond on.
        let slope = |y: &[f64; 2]| [1e6 * (y[1] - y[0]), -y[1]];
        let tolerance = Tolerance { relative: 1e-7, absolute: [1e-10; 2], most_steps: 2000 };
        let (mut steps, mut worst) = (0, 0.0f64);
        let end = integrate_stiff(slope, 2, (0.0, 2.0), [0.0, 1.0], &tolerance, |step| {
            steps += 1;
            for part in 0..=4 {
                let time = step.start + step.length * f64::from(part) / 4.0;
                let slow = 1e6 / (1e6 - 1.0);
                let exact = slow * (libm::exp(-time) - libm::exp(-1e6 * time));
                worst = worst.max((step.at(time)[0] - exact).abs());
            }
            Flow::On
        })
        .expect("smooth");
        assert!((end[1] / libm::exp(-2.0) - 1.0).abs() < 1e-6, "{end:?}");
        assert!(worst < 1e-5 && steps < 300, "{worst} in {steps} steps");
    }

    #[test]
    fn halving_the_steps_divides_the_error_by_about_sixteen() {
        let error = |relative: f64| {
            let tolerance = Tolerance { relative, absolute: [relative; 2], most_steps: 100_000 };
            let mut steps = 0u32;
            let end = integrate_stiff(
                |y: &[f64; 2]| [y[1], -y[0]],
                2,
                (0.0, 6.0),
                [1.0, 0.0],
                &tolerance,
                |_| {
                    steps += 1;
                    Flow::On
                },
            )
            .expect("smooth");
            ((end[0] - libm::cos(6.0)).abs(), f64::from(steps))
        };
        let ((coarse, few), (fine, many)) = (error(1e-5), error(1e-8));
        let order = libm::log(coarse / fine) / libm::log(many / few);
        assert!(order > 3.5, "order {order}: {coarse} in {few}, {fine} in {many}");
    }

    #[test]
    fn what_runs_away_is_given_up() {
        let tolerance = Tolerance { relative: 1e-6, absolute: [1e-9], most_steps: 3000 };
        let end =
            integrate_stiff(|y: &[f64; 1]| [y[0] * y[0]], 1, (0.0, 2.0), [1.0], &tolerance, |_| Flow::On);
        assert!(end.is_err());
    }
}
