//! The fast Fourier transform, for lengths that are powers of two.
//!
//! A library for every length and direction would weigh more in the page than everything that uses it.

use std::f64::consts::TAU;

use crate::math::{cosine, sine};

/// A transform of one length, with its table of angles.
#[derive(Debug, Clone)]
pub struct Fft {
    size: usize,
    /// Cosine and sine of `−2π k / size`, for `k` below half the size.
    turns: Vec<(f64, f64)>,
}

impl Fft {
    /// A transform of the smallest power of two that holds `length` values; at least two.
    pub fn holding(length: usize) -> Self {
        let size = length.max(2).next_power_of_two();
        let turns = (0..size / 2)
            .map(|index| {
                let angle = -TAU * index as f64 / size as f64;
                (cosine(angle), sine(angle))
            })
            .collect();
        Fft { size, turns }
    }

    /// How many values are transformed at once.
    pub fn size(&self) -> usize {
        self.size
    }

    /// Transforms in place, without any scaling.
    ///
    /// # Formula
    /// `X_k = Σ x_j · e^(−2πi · j · k / n)`, by Cooley and Tukey's halving (1965).
    ///
    /// # Panics
    /// When either part is not [`size`](Fft::size) long.
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    pub fn transform(&self, real: &mut [f64], imaginary: &mut [f64]) {
        assert!(real.len() == self.size && imaginary.len() == self.size, "both parts have the size");
        let bits = self.size.trailing_zeros();
        for index in 0..self.size {
            let other = index.reverse_bits() >> (usize::BITS - bits);
            if other > index {
                real.swap(index, other);
                imaginary.swap(index, other);
            }
        }
        let mut half = 1;
        while half < self.size {
            let stride = self.size / (2 * half);
            for (real, imaginary) in real.chunks_exact_mut(2 * half).zip(imaginary.chunks_exact_mut(2 * half))
            {
                let (low_real, high_real) = real.split_at_mut(half);
                let (low_imaginary, high_imaginary) = imaginary.split_at_mut(half);
                let lows = low_real.iter_mut().zip(low_imaginary);
                let highs = high_real.iter_mut().zip(high_imaginary);
                let turns = self.turns.iter().step_by(stride);
                for (((a, b), (c, d)), (cosine, sine)) in lows.zip(highs).zip(turns) {
                    let (turned_real, turned_imaginary) = (*c * cosine - *d * sine, *c * sine + *d * cosine);
                    (*c, *d) = (*a - turned_real, *b - turned_imaginary);
                    *a += turned_real;
                    *b += turned_imaginary;
                }
            }
            half *= 2;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::noise::noise;

    #[test]
    fn it_is_the_sum_that_defines_it() {
        for size in [2, 4, 8, 16, 64, 128] {
            let (real, imaginary) = (noise(size, 1), noise(size, 2));
            let fft = Fft::holding(size);
            let (mut got_real, mut got_imaginary) = (real.clone(), imaginary.clone());
            fft.transform(&mut got_real, &mut got_imaginary);
            for k in 0..size {
                let (mut sum_real, mut sum_imaginary) = (0.0, 0.0);
                for j in 0..size {
                    let angle = -TAU * ((j * k) % size) as f64 / size as f64;
                    sum_real += real[j] * cosine(angle) - imaginary[j] * sine(angle);
                    sum_imaginary += real[j] * sine(angle) + imaginary[j] * cosine(angle);
                }
                assert!((got_real[k] - sum_real).abs() < 1e-13 * size as f64, "{size}, {k}");
                assert!((got_imaginary[k] - sum_imaginary).abs() < 1e-13 * size as f64, "{size}, {k}");
            }
        }
    }

    #[test]
    fn the_power_in_time_is_the_power_in_frequency() {
        let size = 1 << 14;
        let (mut real, mut imaginary) = (noise(size, 3), noise(size, 4));
        let power = |real: &[f64], imaginary: &[f64]| -> f64 {
            real.iter().chain(imaginary).map(|value| value * value).sum()
        };
        let before = power(&real, &imaginary);
        Fft::holding(size).transform(&mut real, &mut imaginary);
        let after = power(&real, &imaginary) / size as f64;
        assert!((after / before - 1.0).abs() < 1e-13, "{before} and {after}");
    }

    #[test]
    fn a_sine_stands_in_its_own_bin_alone() {
        let size = 1024;
        let mut real: Vec<f64> = (0..size).map(|j| 3.0 * sine(TAU * 37.0 * j as f64 / size as f64)).collect();
        let mut imaginary = vec![0.0; size];
        Fft::holding(size).transform(&mut real, &mut imaginary);
        for k in 0..size {
            let height = (real[k] * real[k] + imaginary[k] * imaginary[k]).sqrt();
            let expected = if k == 37 || k == size - 37 { 1.5 * size as f64 } else { 0.0 };
            assert!((height - expected).abs() < 1e-9, "{k}: {height}");
        }
    }

    #[test]
    fn the_smallest_size_is_two() {
        assert_eq!(Fft::holding(0).size(), 2);
        assert_eq!(Fft::holding(1000).size(), 1024);
    }
}
