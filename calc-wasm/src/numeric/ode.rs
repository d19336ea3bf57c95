//! Ordinary differential equations: Dormand and Prince's pair of order 5 and 4, with steps of its own choosing.
//!
//! # Source
//! Dormand and Prince, *A family of embedded Runge-Kutta formulae*, 1980; step control and the interpolant of order 4
//! as in Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I*, II.4 to II.6.

use crate::math::{power, square_root};

/// How exact the solution shall be: each step's error stays below `relative · |y| + absolute`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance<const N: usize> {
    /// Share of the value.
    pub relative: f64,
    /// Smallest error that matters, for each component.
    pub absolute: [f64; N],
    /// Most steps, taken and tried: what needs more is given up.
    pub most_steps: usize,
}

/// One accepted step; the solution inside it is known everywhere.
#[derive(Debug, Clone, Copy)]
pub struct Step<const N: usize> {
    /// Where it begins.
    pub start: f64,
    /// How long it is.
    pub length: f64,
    /// The solution at its end.
    pub end_state: [f64; N],
    /// The interpolant: `c1 + θ · (c2 + (1 − θ) · (c3 + θ · (c4 + (1 − θ) · c5)))`.
    pub(super) dense: [[f64; N]; 5],
}

impl<const N: usize> Step<N> {
    /// Where it ends.
    pub fn end(&self) -> f64 {
        self.start + self.length
    }

    /// The solution at a time inside the step.
    pub fn at(&self, time: f64) -> [f64; N] {
        let part = (time - self.start) / self.length;
        std::array::from_fn(|i| self.inside(i, part))
    }

    /// One component of the solution at a time inside the step.
    pub fn one(&self, component: usize, time: f64) -> f64 {
        self.inside(component, (time - self.start) / self.length)
    }

    fn inside(&self, i: usize, part: f64) -> f64 {
        let rest = 1.0 - part;
        let [c1, c2, c3, c4, c5] = &self.dense;
        c1[i] + part * (c2[i] + rest * (c3[i] + part * (c4[i] + rest * c5[i])))
    }

    /// Does a sum of components, each taken as often as `weights` says, rise at the step's start and fall at its end?
    fn has_crest(&self, weights: &[f64; N]) -> bool {
        let [_, c2, c3, c4, _] = &self.dense;
        let sum = |part: &dyn Fn(usize) -> f64| (0..N).map(|i| weights[i] * part(i)).sum::<f64>();
        sum(&|i| c2[i] + c3[i]) > 0.0 && sum(&|i| c2[i] - c3[i] - c4[i]) < 0.0
    }

    /// The time in the step at which a weighted sum of components is greatest, when that is inside and not at an end.
    pub fn greatest(&self, weights: &[f64; N]) -> Option<f64> {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        if !self.has_crest(weights) {
            return None;
        }
        let value = |state: &[f64; N]| weights.iter().zip(state).map(|(w, y)| w * y).sum::<f64>();
        let (mut low, mut high) = (self.start, self.end());
        for _ in 0..60 {
            let (left, right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
            if value(&self.at(left)) < value(&self.at(right)) {
                low = left;
            } else {
                high = right;
            }
        }
        let found = 0.5 * (low + high);
        let edge = 1e-6 * self.length;
        (found > self.start + edge && found < self.end() - edge).then_some(found)
    }
}

/// Does the integration go on after a step?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// It goes on.
    On,
    /// It ends here.
    Stop,
}

/// Why an integration did not come to its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OdeProblem {
    /// More steps than the tolerance allows.
    TooManySteps,
    /// The steps became as small as the numbers' spacing, or a value was no finite number.
    StepTooSmall,
}

/// The inner stages: times, and the weights of the slopes before each.
const C: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
const A: [[f64; 6]; 7] = [
    [0.0; 6],
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
/// Order 5 less order 4.
const ERROR: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];
/// Of the interpolant.
const DENSE: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Integrates `slope` from `start` to `end`; `each` sees every accepted step. Gives the state at which it ended.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn integrate<const N: usize>(
    slope: impl Fn(f64, &[f64; N]) -> [f64; N],
    (start, end): (f64, f64),
    state: [f64; N],
    tolerance: &Tolerance<N>,
    mut each: impl FnMut(&Step<N>) -> Flow,
) -> Result<[f64; N], OdeProblem> {
    let (mut time, mut state) = (start, state);
    let mut first = slope(time, &state);
    let mut length = first_length(&slope, (start, end), &state, &first, tolerance);
    let mut last_error: f64 = 1e-4;
    for _ in 0..tolerance.most_steps {
        if time >= end {
            return Ok(state);
        }
        length = length.min(end - time);
        if length.is_nan() || length <= 1e-14 * time.abs().max(1e-6) {
            return Err(OdeProblem::StepTooSmall);
        }
        let slopes = slopes(&slope, time, &state, first, length);
        let after = weighted(&state, &slopes, &A[6], length);
        let error = error_size(&state, &after, &slopes, length, tolerance);
        if error.is_nan() {
            return Err(OdeProblem::StepTooSmall);
        }
        if error <= 1.0 {
            let step = dense(time, length, &state, &after, &slopes);
            // The last slope is the first of the next step.
            first = slopes[6];
            state = after;
            time = if end - time <= length * (1.0 + 1e-12) { end } else { time + length };
            if each(&step) == Flow::Stop {
                return Ok(state);
            }
            // Proportional and integral control: a step after a good one may grow fivefold.
            let factor = 0.9 * power(error.max(1e-10), -0.17) * power(last_error, 0.04);
            length *= factor.clamp(0.2, 5.0);
            last_error = error.max(1e-4);
        } else {
            length *= (0.9 * power(error, -0.2)).clamp(0.1, 1.0);
        }
    }
    Err(OdeProblem::TooManySteps)
}

#[cfg_attr(target_arch = "wasm32", optimize(speed))]
fn slopes<const N: usize>(
    slope: &impl Fn(f64, &[f64; N]) -> [f64; N],
    time: f64,
    state: &[f64; N],
    first: [f64; N],
    length: f64,
) -> [[f64; N]; 7] {
    let mut slopes = [first; 7];
    for stage in 1..7 {
        let inner = weighted(state, &slopes, &A[stage], length);
        slopes[stage] = slope(time + C[stage] * length, &inner);
    }
    slopes
}

#[cfg_attr(target_arch = "wasm32", optimize(speed))]
fn weighted<const N: usize>(
    state: &[f64; N],
    slopes: &[[f64; N]; 7],
    weights: &[f64; 6],
    length: f64,
) -> [f64; N] {
    let mut sum = *state;
    for (weight, slope) in weights.iter().zip(slopes) {
        let part = length * weight;
        // Component by component inside, so that the compiler can work several at once.
        if part != 0.0 {
            for i in 0..N {
                sum[i] += part * slope[i];
            }
        }
    }
    sum
}

/// The error of a step, in units of the tolerance.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
fn error_size<const N: usize>(
    before: &[f64; N],
    after: &[f64; N],
    slopes: &[[f64; N]; 7],
    length: f64,
    tolerance: &Tolerance<N>,
) -> f64 {
    let errors = weighted_sum(&ERROR, slopes);
    let mut squares = 0.0;
    for (i, error) in errors.iter().enumerate() {
        let scale = tolerance.absolute[i] + tolerance.relative * before[i].abs().max(after[i].abs());
        squares += (length * error / scale) * (length * error / scale);
    }
    square_root(squares / N as f64)
}

#[cfg_attr(target_arch = "wasm32", optimize(speed))]
fn weighted_sum<const N: usize>(weights: &[f64; 7], slopes: &[[f64; N]; 7]) -> [f64; N] {
    let mut sum = [0.0; N];
    for (weight, slope) in weights.iter().zip(slopes) {
        for i in 0..N {
            sum[i] += weight * slope[i];
        }
    }
    sum
}

#[cfg_attr(target_arch = "wasm32", optimize(speed))]
fn dense<const N: usize>(
    start: f64,
    length: f64,
    before: &[f64; N],
    after: &[f64; N],
    slopes: &[[f64; N]; 7],
) -> Step<N> {
    let mut dense = [[0.0; N]; 5];
    let curve = weighted_sum(&DENSE, slopes);
    for i in 0..N {
        let rise = after[i] - before[i];
        let bend = length * slopes[0][i] - rise;
        dense[0][i] = before[i];
        dense[1][i] = rise;
        dense[2][i] = bend;
        dense[3][i] = rise - length * slopes[6][i] - bend;
        dense[4][i] = length * curve[i];
    }
    Step { start, length, end_state: *after, dense }
}

/// A first step that is neither idle nor too bold.
fn first_length<const N: usize>(
    slope: &impl Fn(f64, &[f64; N]) -> [f64; N],
    (start, end): (f64, f64),
    state: &[f64; N],
    first: &[f64; N],
    tolerance: &Tolerance<N>,
) -> f64 {
    let size = |values: &[f64; N]| {
        let squares: f64 = (0..N)
            .map(|i| values[i] / (tolerance.absolute[i] + tolerance.relative * state[i].abs()))
            .map(|ratio| ratio * ratio)
            .sum();
        square_root(squares / N as f64)
    };
    let (d0, d1) = (size(state), size(first));
    let guess = if d0 < 1e-5 || d1 < 1e-5 { 1e-6 } else { 0.01 * d0 / d1 };
    let guess = guess.min(end - start);
    let ahead: [f64; N] = std::array::from_fn(|i| state[i] + guess * first[i]);
    let then = slope(start + guess, &ahead);
    let d2 = size(&std::array::from_fn(|i| then[i] - first[i])) / guess;
    let steepest = d1.max(d2);
    let second = if steepest <= 1e-15 { guess.max(1e-6) } else { power(0.01 / steepest, 0.2) };
    (100.0 * guess).min(second).min(end - start)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tight<const N: usize>() -> Tolerance<N> {
        Tolerance { relative: 1e-11, absolute: [1e-13; N], most_steps: 10_000 }
    }

    #[test]
    fn an_oscillation_comes_back_to_where_it_began() {
        let turn = std::f64::consts::TAU;
        let end = integrate(|_, y: &[f64; 2]| [y[1], -y[0]], (0.0, turn), [1.0, 0.0], &tight(), |_| Flow::On)
            .expect("smooth");
        assert!((end[0] - 1.0).abs() < 1e-9 && end[1].abs() < 1e-9, "{end:?}");
    }

    #[test]
    fn the_interpolant_is_as_good_as_the_steps() {
        let tolerance = Tolerance { relative: 1e-8, absolute: [1e-10], most_steps: 1000 };
        let mut worst: f64 = 0.0;
        integrate(
            |_, y: &[f64; 1]| [-3.0 * y[0]],
            (0.0, 2.0),
            [1.0],
            &tolerance,
            |step| {
                for part in 0..=10 {
                    let time = step.start + step.length * f64::from(part) / 10.0;
                    worst = worst.max((step.at(time)[0] - libm::exp(-3.0 * time)).abs());
                }
                Flow::On
            },
        )
        .expect("smooth");
        assert!(worst < 1e-7, "{worst}");
    }

    #[test]
    fn the_greatest_value_inside_a_step_is_found() {
        let mut peaks = Vec::new();
        integrate(
            |_, y: &[f64; 2]| [y[1], -y[0]],
            (0.0, 3.0),
            [0.0, 1.0],
            &tight(),
            |step| {
                peaks.extend(step.greatest(&[1.0, 0.0]));
                Flow::On
            },
        )
        .expect("smooth");
        assert!(peaks.iter().any(|time| (time - std::f64::consts::FRAC_PI_2).abs() < 1e-5), "{peaks:?}");
    }

    #[test]
    fn a_solution_that_runs_away_ends_with_a_problem() {
        let result = integrate(|_, y: &[f64; 1]| [y[0] * y[0]], (0.0, 2.0), [1.0], &tight(), |_| Flow::On);
        assert!(result.is_err());
    }
}
