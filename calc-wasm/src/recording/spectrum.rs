//! The spectrum of a settled stretch, and the commutator's ripple in it.

use std::f64::consts::{PI, TAU};

use super::{mean, median};
use crate::math::{cosine, natural_logarithm, square_root};
use crate::numeric::fft::Fft;

/// Stretches of more rows than this are cut into pieces whose spectra are averaged.
const ONE_PIECE: usize = 4096;
/// Rows of a piece at most: twice as many are transformed.
const LONGEST_PIECE: usize = 32_768;
/// A line stands clear when its power is at least so many times the noise about it.
const CLEAR: f64 = 8.0;
/// The normal deviate of one false line in three million places.
const DEVIATE: f64 = 5.0;

/// Values at even steps of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Even {
    /// The step, in seconds.
    pub step_s: f64,
    /// The values.
    pub values: Vec<f64>,
    /// Were they read off straight lines between uneven rows?
    pub interpolated: bool,
}

/// Rows as values at even steps: as they are when their times are even but for rounding, else between the rows.
pub fn even(time_s: &[f64], values: &[f64], median_step_s: f64) -> Even {
    let rows = time_s.len();
    let length = time_s[rows - 1] - time_s[0];
    let step = length / (rows - 1).max(1) as f64;
    let is_even = time_s
        .iter()
        .enumerate()
        .all(|(index, time)| (time - time_s[0] - index as f64 * step).abs() <= 0.6 * step);
    if is_even || median_step_s <= 0.0 {
        return Even { step_s: step, values: values.to_vec(), interpolated: false };
    }
    // A recording with more gaps than rows is no recording with ripple: its grid is coarser.
    let step = median_step_s.max(length / (4 * rows) as f64);
    let mut at = 0;
    let grid = (0..=(length / step) as usize).map(|index| {
        let time = time_s[0] + index as f64 * step;
        while at + 2 < rows && time_s[at + 1] <= time {
            at += 1;
        }
        let share = ((time - time_s[at]) / (time_s[at + 1] - time_s[at])).clamp(0.0, 1.0);
        values[at] + share * (values[at + 1] - values[at])
    });
    Even { step_s: step, values: grid.collect(), interpolated: true }
}

/// How much power lies at each frequency.
#[derive(Debug, Clone)]
pub struct Spectrum {
    /// From one place to the next, in hertz; half of what the length of a piece can tell apart.
    pub bin_hz: f64,
    /// Mean power at each place, from zero to half the sampling: an amplitude of 1 has 1 at its frequency.
    pub power: Vec<f64>,
    /// The same of the first and of the second half of the pieces, when there are two and more.
    halves: Option<[Vec<f64>; 2]>,
    /// Rows of a piece.
    pub piece: usize,
    /// How many pieces were averaged, each beginning in the middle of the one before.
    pub pieces: usize,
    /// Half the sampling, in hertz: faster ripple shows as slower.
    pub nyquist_hz: f64,
    /// Length of a piece, in seconds.
    pub piece_s: f64,
}

/// A line of a spectrum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where it stands, in hertz.
    pub frequency_hz: f64,
    /// The standard uncertainty of that, in hertz.
    pub uncertainty_hz: f64,
    /// Amplitude of the sine that would make it, in the values' unit.
    pub amplitude: f64,
    /// Its power over the noise about it.
    pub over_noise: f64,
}

/// Rows of a piece of a stretch of `rows`.
pub fn piece_of(rows: usize) -> usize {
    if rows <= ONE_PIECE { rows } else { (rows / 4).clamp(ONE_PIECE, LONGEST_PIECE) }
}

/// The spectrum by averaged pieces, each under a Hann window and filled up with as many zeros.
///
/// # Source
/// P. D. Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio
/// Electroacoust. AU-15 (1967).
pub fn spectrum(even: &Even) -> Spectrum {
    let rows = even.values.len();
    let piece = piece_of(rows);
    let hop = (piece / 2).max(1);
    let pieces = 1 + (rows - piece) / hop;
    let fft = Fft::holding(2 * piece);
    let size = fft.size();
    let window: Vec<f64> =
        (0..piece).map(|index| 0.5 - 0.5 * cosine(TAU * (index as f64 + 0.5) / piece as f64)).collect();
    let height: f64 = window.iter().sum();
    let load = |into: &mut [f64], index: usize| {
        let part = &even.values[index * hop..index * hop + piece];
        let mean = mean(part);
        for ((into, value), weight) in into.iter_mut().zip(part).zip(&window) {
            *into = (value - mean) * weight;
        }
        into[piece..].fill(0.0);
    };
    let mut sums = [vec![0.0; size / 2 + 1], vec![0.0; size / 2 + 1]];
    let (mut real, mut imaginary) = (vec![0.0; size], vec![0.0; size]);
    let half = pieces / 2;
    let mut index = 0;
    while index < pieces {
        // Two real pieces at once: the powers of both add up to that of the two mirrored places.
        let which = usize::from(index >= half);
        load(&mut real, index);
        index += 1;
        if index < pieces && usize::from(index >= half) == which {
            load(&mut imaginary, index);
            index += 1;
        } else {
            imaginary.fill(0.0);
        }
        fft.transform(&mut real, &mut imaginary);
        for (place, sum) in sums[which].iter_mut().enumerate() {
            let mirror = (size - place) % size;
            let square = |at: usize| real[at] * real[at] + imaginary[at] * imaginary[at];
            *sum += 0.5 * (square(place) + square(mirror));
        }
    }
    let scale = 4.0 / (height * height);
    let power = sums[0].iter().zip(&sums[1]).map(|(a, b)| (a + b) * scale / pieces as f64).collect();
    Spectrum {
        bin_hz: 1.0 / (size as f64 * even.step_s),
        power,
        halves: (half > 0).then_some(sums),
        piece,
        pieces,
        nyquist_hz: 0.5 / even.step_s,
        piece_s: piece as f64 * even.step_s,
    }
}

impl Spectrum {
    /// Lines between two frequencies that stand clear of the noise about them, the strongest first, at most `most`.
    pub fn peaks(&self, low_hz: f64, high_hz: f64, most: usize) -> Vec<Peak> {
        let low = ((low_hz.max(self.lowest_hz()) / self.bin_hz) as usize).max(2);
        let high = ((high_hz / self.bin_hz).min(1e9) as usize).min(self.power.len().saturating_sub(3));
        let noise = self.noise();
        let clear = self.clear();
        let mut found: Vec<usize> = (low..=high)
            .filter(|place| {
                let here = self.power[*place];
                here > clear * noise(*place)
                    && here > self.power[place - 1]
                    && here >= self.power[place + 1]
                    && self.is_summit(*place)
            })
            .collect();
        found.sort_unstable_by(|a, b| self.power[*b].total_cmp(&self.power[*a]).then(a.cmp(b)));
        found.truncate(most);
        found.into_iter().map(|place| self.peak(place, noise(place))).collect()
    }

    /// The slowest line that is looked for, in hertz: slow drift reaches up to the third place that a piece can tell apart.
    pub fn lowest_hz(&self) -> f64 {
        3.0 / self.piece_s
    }

    /// Is no place as near as a line is wide higher? A line's own foot is no line.
    fn is_summit(&self, place: usize) -> bool {
        let width = (2.0 / (self.piece_s * self.bin_hz)) as usize;
        let about = place.saturating_sub(width)..(place + width + 1).min(self.power.len());
        self.power[about].iter().all(|other| *other <= self.power[place])
    }

    /// How many times the noise a line has to be, so that noise alone hardly ever makes one.
    ///
    /// Averaged power scatters as chi-square over its degrees of freedom: Wilson and Hilferty's cube (1931).
    fn clear(&self) -> f64 {
        let spread = 2.0 / (9.0 * self.freedom());
        let root = 1.0 - spread + DEVIATE * square_root(spread);
        (root * root * root).max(CLEAR)
    }

    /// Degrees of freedom of an averaged power; pieces that overlap by half under Hann windows share a little.
    fn freedom(&self) -> f64 {
        let pieces = self.pieces as f64;
        2.0 * pieces / (1.0 + (1.0 - 1.0 / pieces) / 18.0)
    }

    /// The mean noise about each place: from the median of the places near it, which single lines do not move.
    fn noise(&self) -> impl Fn(usize) -> f64 {
        let mut blocks: Vec<(usize, f64)> = Vec::new();
        let spread = 2.0 / (9.0 * self.freedom());
        let median_share = (1.0 - spread) * (1.0 - spread) * (1.0 - spread);
        let mut start = 0;
        while start < self.power.len() {
            let width = 48.max(start / 4);
            let rest = self.power.len() - start;
            // What is left over is too short for a median of its own.
            let width = if rest < width + width / 2 { rest } else { width };
            let mut part = self.power[start..start + width].to_vec();
            blocks.push((start + width, median(&mut part) / median_share));
            start += width;
        }
        // Numbers are not exact: below this share of the strongest line there is rounding and nothing else.
        let floor = self.power.iter().copied().fold(f64::MIN_POSITIVE, f64::max) * 1e-12;
        move |place| {
            let at = blocks.partition_point(|(end, _)| *end <= place).min(blocks.len() - 1);
            blocks[at].1.max(floor)
        }
    }

    fn peak(&self, place: usize, noise: f64) -> Peak {
        let frequency = (place as f64 + summit(&self.power, place)) * self.bin_hz;
        let power = self.power[place];
        let over_noise = power / noise;
        // The least variance of any estimate of one sine in white noise (Rife and Boorstyn, 1974), `1 / (over · K)` in
        // these terms; a Hann window leaves about half of what a piece knows unused.
        let by_noise = square_root(2.0 / (over_noise * 0.5 * self.freedom())) / (PI * self.piece_s);
        // The parabola is off by at most 0.004 of what a piece can tell apart: the test below.
        let by_shape = 0.004 / self.piece_s / square_root(3.0);
        // Two halves differ by noise alone with twice the whole's uncertainty; what is beyond that is drift.
        let drift = self.drift_hz(place);
        let by_drift = square_root((drift * drift - 4.0 * by_noise * by_noise).max(0.0) / 12.0);
        Peak {
            frequency_hz: frequency,
            uncertainty_hz: square_root(by_noise * by_noise + by_shape * by_shape + by_drift * by_drift),
            amplitude: square_root(power),
            over_noise,
        }
    }

    /// How far a line moves from the first half of the pieces to the second, in hertz.
    fn drift_hz(&self, place: usize) -> f64 {
        let Some(halves) = &self.halves else { return 0.0 };
        let [first, second] = [0, 1].map(|which| {
            let power = &halves[which];
            let about = place.saturating_sub(6).max(1)..(place + 7).min(power.len() - 1);
            let top = about.max_by(|a, b| power[*a].total_cmp(&power[*b])).unwrap_or(place);
            top as f64 + summit(power, top)
        });
        (first - second).abs() * self.bin_hz
    }
}

/// How far from a place the parabola through it and its neighbours has its top, on the logarithm of the power.
///
/// # Formula
/// `d = (a − c) / (2 · (a − 2b + c))`, with `a, b, c` the logarithms before, at and after the place.
fn summit(power: &[f64], place: usize) -> f64 {
    let [before, here, after] =
        [place - 1, place, place + 1].map(|at| natural_logarithm(power[at].max(1e-300)));
    let bend = before - 2.0 * here + after;
    if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 }
}

/// How often the current ripples in one turn of the armature.
///
/// # Formula
/// The least common multiple of bars and brushes: with two brushes `2 · b` for an odd number of bars `b`, `b` for an
/// even one. Each time a brush passes from bar to bar, a coil is shorted; brushes that do so at one moment count once.
pub fn ripples_per_turn(bars: u32, brushes: u32) -> u32 {
    let (mut a, mut b) = (bars, brushes);
    while b > 0 {
        (a, b) = (b, a % b);
    }
    bars.checked_div(a).map_or(0, |share| share * brushes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::sine;
    use crate::numeric::noise::noise;

    fn wave(rows: usize, step_s: f64, hz: f64, amplitude: f64, noisy: f64, seed: u64) -> Even {
        let values = noise(rows, seed)
            .iter()
            .enumerate()
            .map(|(row, noise)| 60.0 + amplitude * sine(TAU * hz * row as f64 * step_s + 0.3) + noisy * noise)
            .collect();
        Even { step_s, values, interpolated: false }
    }

    #[test]
    fn a_sine_without_noise_is_found_to_four_thousandths_of_a_bin() {
        for rows in [150, 1000, 4096, 6000] {
            for part in 0..40 {
                let step = 1e-4;
                let piece_s = piece_of(rows) as f64 * step;
                let hz = (30.0 + f64::from(part) / 40.0) / piece_s;
                let peaks = spectrum(&wave(rows, step, hz, 2.0, 0.0, 1)).peaks(0.0, 5000.0, 3);
                let off = (peaks[0].frequency_hz - hz) * piece_s;
                assert!(off.abs() < 0.004, "{rows}, {hz}: off by {off} of a bin");
                assert!((peaks[0].amplitude - 2.0).abs() < 0.16, "{}", peaks[0].amplitude);
                assert_eq!(peaks.len(), 1, "{peaks:?}");
            }
        }
    }

    #[test]
    fn the_stated_uncertainty_is_what_noise_does() {
        for (rows, noisy) in [(1000, 8.0), (20_000, 12.0)] {
            let (hz, step) = (733.3, 2e-4);
            let found: Vec<Peak> = (0..60)
                .filter_map(|seed| {
                    spectrum(&wave(rows, step, hz, 1.0, noisy, 77 + seed))
                        .peaks(300.0, 2000.0, 1)
                        .first()
                        .copied()
                })
                .filter(|peak| (peak.frequency_hz - hz).abs() < 30.0)
                .collect();
            assert!(found.len() >= 55, "{rows}: {} found", found.len());
            let off: f64 = found.iter().map(|peak| (peak.frequency_hz - hz) * (peak.frequency_hz - hz)).sum();
            let said: f64 = found.iter().map(|peak| peak.uncertainty_hz * peak.uncertainty_hz).sum();
            let ratio = square_root(said / off);
            assert!((0.7..2.0).contains(&ratio), "{rows}: said over found {ratio}");
        }
    }

    #[test]
    fn noise_alone_makes_no_line() {
        let false_lines = (0..100)
            .filter(|seed| {
                !spectrum(&wave(1000 + 97 * *seed, 1e-4, 1.0, 0.0, 1.0, *seed as u64))
                    .peaks(0.0, 5e3, 1)
                    .is_empty()
            })
            .count();
        assert!(false_lines <= 1, "{false_lines} of 100");
    }

    #[test]
    fn uneven_rows_are_put_on_an_even_grid() {
        let time: Vec<f64> =
            (0..3000).filter(|row| !(1000..1100).contains(row)).map(|row| f64::from(row) * 1e-3).collect();
        let values: Vec<f64> = time.iter().map(|time| sine(TAU * 40.0 * time)).collect();
        let even = even(&time, &values, 1e-3);
        assert!(even.interpolated && even.values.len() == 3000);
        let peak = spectrum(&even).peaks(0.0, 500.0, 1)[0];
        assert!((peak.frequency_hz - 40.0).abs() < 0.05, "{peak:?}");
        let rounded: Vec<f64> = (0..3000).map(|row| (f64::from(row) * 1.3).round() * 1e-3).collect();
        assert!(!super::even(&rounded, &vec![0.0; 3000], 1e-3).interpolated);
    }

    #[test]
    fn silence_and_tiny_stretches_have_no_lines() {
        for rows in 2..40 {
            let silent = spectrum(&Even { step_s: 1e-3, values: vec![5.0; rows], interpolated: false });
            assert!(silent.peaks(0.0, f64::MAX, 5).is_empty());
            let loud = spectrum(&wave(rows, 1e-3, 200.0, 1.0, 0.1, 3));
            assert!(loud.peaks(0.0, 1e6, 5).iter().all(|peak| peak.frequency_hz.is_finite()));
        }
    }

    #[test]
    fn odd_bars_ripple_twice_between_two_brushes() {
        for (bars, brushes, ripples) in
            [(21, 2, 42), (28, 2, 28), (23, 4, 92), (26, 4, 52), (28, 4, 28), (3, 2, 6)]
        {
            assert_eq!(ripples_per_turn(bars, brushes), ripples);
        }
        assert_eq!(ripples_per_turn(0, 0), 0);
    }
}
