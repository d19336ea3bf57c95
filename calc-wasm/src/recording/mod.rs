//! A recorded current trace: reading it from lines of text, and what it says.

use std::cmp::Ordering;

pub mod cells;
pub mod format;
pub mod humps;
pub mod order;
pub mod read;
pub mod settled;
pub mod span;
pub mod spectrum;
pub mod thin;

/// Rows of a recording, in order of time, without two of the same time.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Recording {
    /// When each row was taken, in seconds, by the recorder's own clock; rising.
    pub time_s: Vec<f64>,
    /// Current in each row, in amperes.
    pub current_a: Vec<f64>,
    /// Voltage in each row, in volts; empty when it was not recorded.
    pub voltage_v: Vec<f64>,
    /// Speed in each row, in turns in a minute; empty when it was not recorded.
    pub speed_rpm: Vec<f64>,
}

impl Recording {
    /// How many rows there are.
    pub fn rows(&self) -> usize {
        self.time_s.len()
    }

    /// From the first row to the last, in seconds.
    pub fn length_s(&self) -> f64 {
        match (self.time_s.first(), self.time_s.last()) {
            (Some(first), Some(last)) => last - first,
            _ => 0.0,
        }
    }

    /// Charge of the whole recording, in coulombs, by trapezoids: the current runs straight from row to row.
    ///
    /// # Formula
    /// `Q = Σ (t_(k+1) − t_k) · (I_k + I_(k+1)) / 2`
    pub fn charge_c(&self) -> f64 {
        trapezoids(&self.time_s, |index| self.current_a[index])
    }

    /// Energy of the whole recording, in joules, when the voltage is known: the same with `U · I`.
    pub fn energy_j(&self) -> Option<f64> {
        (!self.voltage_v.is_empty())
            .then(|| trapezoids(&self.time_s, |index| self.current_a[index] * self.voltage_v[index]))
    }
}

fn trapezoids(time_s: &[f64], height: impl Fn(usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for (index, pair) in time_s.windows(2).enumerate() {
        sum += (pair[1] - pair[0]) * 0.5 * (height(index) + height(index + 1));
    }
    sum
}

/// The mean of some values; zero of none.
pub fn mean(values: &[f64]) -> f64 {
    if values.is_empty() { 0.0 } else { values.iter().sum::<f64>() / values.len() as f64 }
}

/// The standard deviation of some values about their mean, in their unit; zero of fewer than two.
pub fn deviation(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let mean = mean(values);
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    crate::math::square_root(squares / (values.len() - 1) as f64)
}

/// The middle of some values, in their unit; their order is lost. Zero of none.
pub fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    // The standard library's own selection, built for size as it is in the module, takes a time that grows with the
    // square of the count where most values are the same, as steps of time are. So: split into less, equal and more.
    let (middle, mut from, mut to) = (values.len() / 2, 0, values.len());
    loop {
        let ends = [values[from], values[usize::midpoint(from, to)], values[to - 1]];
        let pivot = ends[0].max(ends[1]).min(ends[2].max(ends[0].min(ends[1])));
        let (mut less, mut at, mut more) = (from, from, to);
        while at < more {
            match values[at].total_cmp(&pivot) {
                Ordering::Less => {
                    values.swap(less, at);
                    (less, at) = (less + 1, at + 1);
                }
                Ordering::Greater => {
                    more -= 1;
                    values.swap(at, more);
                }
                Ordering::Equal => at += 1,
            }
        }
        match middle {
            _ if middle < less => to = less,
            _ if middle >= more => from = more,
            _ => return pivot,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::median;

    #[test]
    fn the_median_stands_in_the_middle_of_the_sorted_values() {
        let mut state = 7_u64;
        for count in [1, 2, 3, 10, 101, 1000] {
            for kinds in [1, 2, 5, 1_000_000] {
                let mut values: Vec<f64> = (0..count)
                    .map(|_| {
                        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                        ((state >> 33) % kinds) as f64 - 2.0
                    })
                    .collect();
                let mut sorted = values.clone();
                sorted.sort_by(f64::total_cmp);
                assert_eq!(median(&mut values), sorted[count / 2], "{count} of {kinds} kinds");
            }
        }
    }
}
