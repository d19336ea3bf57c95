//! Where the current has settled, and how well its mean is known.

use super::{deviation, mean};
use crate::math::square_root;

/// The energized span is looked at in so many blocks at most.
const MOST_BLOCKS: usize = 200;
/// Rows of a block at least, as far as there are enough.
const FEWEST_IN_BLOCK: usize = 5;
/// A block's mean within this share of the mean behind it belongs to the settled stretch.
const SHARE: f64 = 0.005;
/// A stretch over which the mean changes by more than this share of itself has not settled.
const CREEP_SHARE: f64 = 0.03;
/// The current has settled when its running mean stays within this share of the settled mean.
pub const SETTLED_SHARE: f64 = 0.05;

/// The stretch in which the current's mean stays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// First row.
    pub from: usize,
    /// One past the last row.
    pub to: usize,
    /// Rows over which running means are taken.
    pub block: usize,
    /// By how much a straight line through the stretch rises, in amperes.
    pub creep_a: f64,
    /// Does the mean stay, so that a settled current was recorded?
    pub settled: bool,
}

/// The mean of a stretch and what is known about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Statistics {
    /// The mean, in the values' unit.
    pub mean: f64,
    /// The standard deviation of single rows.
    pub spread: f64,
    /// The standard uncertainty of the mean.
    pub uncertainty: f64,
    /// How many independent rows would leave the same uncertainty.
    pub effective_rows: f64,
}

/// Finds the settled stretch among the rows `on..off`, from the end back.
///
/// The span is cut into blocks. The last tenth of them gives a mean and the scatter of block means; blocks before are
/// taken along while theirs is within four such scatters, or 0.5 %, of the mean so far. Two outside end it.
pub fn window(current_a: &[f64], on: usize, off: usize) -> Window {
    let rows = off - on;
    // The last rows before switching off belong to the switch.
    let to = if off < current_a.len() { off - (rows / 100).max(2).min(rows / 4) } else { off };
    let rows = to - on;
    let block = (rows / MOST_BLOCKS).max(FEWEST_IN_BLOCK).min(rows.max(1));
    let count = rows / block;
    let start = |index: usize| to - (count - index) * block;
    let means: Vec<f64> =
        (0..count).map(|index| mean(&current_a[start(index)..start(index) + block])).collect();
    let at_first = (count / 10).max(4).min(count);
    let first = count - at_first;
    let (mut sum, mut taken) = (means[first..].iter().sum::<f64>(), at_first);
    let within =
        deviation(&current_a[start(first.min(count.saturating_sub(1)))..to]) / square_root(block as f64);
    let scatter = deviation(&means[first..]).max(within);
    let mut from = first;
    let mut misses = 0;
    for index in (0..first).rev() {
        let so_far = sum / taken as f64;
        if (means[index] - so_far).abs() <= (4.0 * scatter).max(SHARE * so_far.abs()) {
            sum += means[index..from].iter().sum::<f64>();
            taken += from - index;
            from = index;
            misses = 0;
        } else {
            misses += 1;
            if misses == 2 {
                break;
            }
        }
    }
    let mean = sum / taken as f64;
    let creep = slope(&means[from..]) * taken as f64;
    // A current that comes to rest moves in the first half of its stretch; one that does not moves in the second as well.
    let found = if taken >= 10 { &means[from + taken / 2..] } else { &means[from..] };
    let rise = slope(found) * found.len() as f64;
    // At that rate over all the time since energizing: a stretch may be short because the current moves on.
    let onward = rise * (count as f64 / found.len() as f64);
    let creeps = creep.abs() > (CREEP_SHARE * mean.abs()).max(4.0 * scatter)
        || onward.abs() > CREEP_SHARE * mean.abs() && rise.abs() > 4.0 * rise_uncertainty(found);
    let settled = count >= 8 && !creeps && (from == 0 || taken > at_first);
    Window { from: if from == 0 { on } else { start(from) }, to, block, creep_a: creep, settled }
}

/// A stretch that a reader has chosen: the rows `from..to`.
///
/// It has not settled when a straight line through it rises or falls by more than `CREEP_SHARE` of its mean, and by
/// more than four standard uncertainties of that rise.
///
/// # Formula
/// `u = s · √(12 / n)`: the rise over `n` block means that scatter about the line by `s`.
pub fn chosen(current_a: &[f64], from: usize, to: usize) -> Window {
    let block = ((to - from) / MOST_BLOCKS).max(FEWEST_IN_BLOCK).min(to - from).max(1);
    let means: Vec<f64> = current_a[from..to].chunks_exact(block).map(mean).collect();
    let creep = slope(&means) * means.len() as f64;
    let uncertainty = rise_uncertainty(&means);
    let settled = creep.abs() <= (CREEP_SHARE * mean(&current_a[from..to]).abs()).max(4.0 * uncertainty);
    Window { from, to, block, creep_a: creep, settled }
}

/// The standard uncertainty of the rise of a straight line over all of some values: `u = s · √(12 / n)`.
fn rise_uncertainty(values: &[f64]) -> f64 {
    let steps = slope(values);
    let off_line: Vec<f64> =
        values.iter().enumerate().map(|(index, value)| value - steps * index as f64).collect();
    deviation(&off_line) * square_root(12.0 / values.len().max(1) as f64)
}

/// The rise of a least-squares line from one value to the next.
fn slope(values: &[f64]) -> f64 {
    let middle = 0.5 * (values.len() as f64 - 1.0);
    let mean = mean(values);
    let (mut products, mut squares) = (0.0, 0.0);
    for (index, value) in values.iter().enumerate() {
        let place = index as f64 - middle;
        products += place * (value - mean);
        squares += place * place;
    }
    if squares > 0.0 { products / squares } else { 0.0 }
}

/// The row from which the running mean over `window.block` rows stays near `settled_a`, and the band it stays in, in
/// amperes: five in a hundred, or four scatters of such means where these are more.
pub fn settling(current_a: &[f64], on: usize, window: &Window, settled_a: f64) -> (usize, f64) {
    let block = window.block;
    let tail = &current_a[window.from..window.to];
    let blocks: Vec<f64> = tail.chunks_exact(block).map(mean).collect();
    let band = (SETTLED_SHARE * settled_a.abs()).max(4.0 * deviation(&blocks));
    let span = &current_a[on..window.to];
    if span.len() < block {
        return (on, band);
    }
    let mut sum: f64 = span[..block].iter().sum();
    let mut last_outside = None;
    for first in 0..=span.len() - block {
        if first > 0 {
            sum += span[first + block - 1] - span[first - 1];
        }
        if (sum / block as f64 - settled_a).abs() > band {
            last_outside = Some(first);
        }
    }
    (last_outside.map_or(on, |first| on + first + block / 2 + 1).min(window.to - 1), band)
}

/// The mean of rows that follow each other, with its uncertainty by blocks.
///
/// Rows that follow each other closely are not independent: ripple and a meter's own filter tie them together. So
/// they are averaged in twos, in fours and so on; each time the scatter of the means gives an uncertainty, and once the
/// blocks are longer than what ties the rows it no longer grows. The greatest is taken, from at least 16 blocks.
///
/// # Source
/// H. Flyvbjerg and H. G. Petersen, Error estimates on averages of correlated data, J. Chem. Phys. 91 (1989).
pub fn statistics(values: &[f64]) -> Statistics {
    let (mean, spread) = (mean(values), deviation(values));
    let mut greatest = spread / square_root(values.len().max(1) as f64);
    let mut blocks: Vec<f64> = values.to_vec();
    while blocks.len() >= 32 {
        blocks = blocks.chunks_exact(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
        greatest = greatest.max(deviation(&blocks) / square_root(blocks.len() as f64));
    }
    let effective_rows =
        if greatest > 0.0 { spread * spread / (greatest * greatest) } else { values.len() as f64 };
    Statistics { mean, spread, uncertainty: greatest, effective_rows }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::{power, sine};
    use crate::numeric::noise::noise;

    /// 60 A after a kick of 400 A that falls by half each 100 rows, with noise.
    fn run(rows: usize, noisy: f64) -> Vec<f64> {
        noise(rows, 5)
            .iter()
            .enumerate()
            .map(|(row, noise)| 60.0 + 400.0 * power(0.5, row as f64 / 100.0) + noisy * noise)
            .collect()
    }

    #[test]
    fn the_settled_stretch_is_found_from_the_end() {
        for noisy in [0.0, 1.0, 10.0] {
            let current = run(10_000, noisy);
            let found = window(&current, 0, current.len());
            assert!(found.settled && found.to == 10_000, "{found:?}");
            // The kick is below 2 % of 60 A after 840 rows, below 0.1 A after 1200.
            assert!((800..2000).contains(&found.from), "{noisy}: {found:?}");
            let mean = statistics(&current[found.from..found.to]).mean;
            assert!((mean - 60.0).abs() < 0.1, "{noisy}: {mean}");
            // 400 A have become 3 A after 706 rows.
            let (settled, band) = settling(&current, 0, &found, mean);
            assert!((band - 3.0).abs() < 2.0, "{noisy}: {band}");
            assert!((650..800).contains(&settled), "{noisy}: {settled}");
        }
    }

    #[test]
    fn a_current_that_still_falls_is_not_settled() {
        let current = run(300, 0.5);
        assert!(!window(&current, 0, 300).settled);
        let falling: Vec<f64> = (0..2000).map(|row| 100.0 - 0.02 * f64::from(row)).collect();
        assert!(!window(&falling, 0, 2000).settled);
    }

    #[test]
    fn a_slow_fall_is_not_settled_wherever_it_begins() {
        for noisy in [0.0, 0.5, 2.0] {
            let mut current: Vec<f64> = noise(400, 9)
                .iter()
                .enumerate()
                .map(|(row, noise)| {
                    400.0 * crate::math::exponential(-(row as f64) / 3000.0) + 50.0 + noisy * noise
                })
                .collect();
            assert!(!window(&current, 0, 400).settled, "{noisy}");
            current.splice(0..0, [0.0; 50]);
            assert!(!window(&current, 50, 450).settled, "{noisy}");
        }
    }

    #[test]
    fn a_chosen_stretch_has_settled_when_its_mean_stays() {
        for noisy in [0.0, 1.0, 10.0] {
            let current = run(10_000, noisy);
            for (from, to) in [(0, 300), (100, 160), (300, 320), (200, 9000), (500, 700)] {
                assert!(!chosen(&current, from, to).settled, "{noisy}: {from} to {to}");
            }
            for (from, to) in [(1200, 10_000), (3000, 3020), (5000, 5100), (2000, 9000)] {
                assert!(chosen(&current, from, to).settled, "{noisy}: {from} to {to}");
            }
        }
        assert!(chosen(&[5.0; 40], 0, 40).settled && chosen(&[0.0; 40], 3, 23).settled);
    }

    #[test]
    fn short_spans_make_no_trouble() {
        for rows in 1..60 {
            let current = run(rows + 10, 1.0);
            for off in [rows, rows + 10] {
                let found = window(&current, 0, off);
                assert!(found.from < found.to && found.to <= off, "{rows}: {found:?}");
                let mean = statistics(&current[found.from..found.to]).mean;
                let (row, band) = settling(&current, 0, &found, mean);
                assert!(mean.is_finite() && band.is_finite() && row < found.to, "{rows}: {row}");
            }
        }
    }

    #[test]
    fn the_uncertainty_of_independent_rows_is_the_spread_over_the_root() {
        let found = statistics(&noise(40_000, 1));
        let expected = square_root(1.0 / 12.0 / 40_000.0);
        assert!((found.uncertainty / expected - 1.0).abs() < 0.6, "{found:?}");
        assert!((found.spread - square_root(1.0 / 12.0)).abs() < 0.003);
    }

    #[test]
    fn tied_rows_are_worth_fewer_independent_ones() {
        // Each row keeps 0.9 of the one before: the uncertainty grows by the root of (1 + 0.9) / (1 − 0.9).
        let mut value = 0.0;
        let tied: Vec<f64> = noise(100_000, 2)
            .iter()
            .map(|noise| {
                value = 0.9 * value + noise;
                value
            })
            .collect();
        let found = statistics(&tied);
        let expected = found.spread * square_root(19.0 / 100_000.0);
        assert!((found.uncertainty / expected - 1.0).abs() < 0.4, "{found:?}, expected {expected}");
    }

    #[test]
    fn ripple_does_not_spoil_the_mean() {
        let current: Vec<f64> = (0..20_000).map(|row| 50.0 + 5.0 * sine(f64::from(row) * 0.7)).collect();
        let found = statistics(&current);
        assert!((found.mean - 50.0).abs() < 0.001 && found.uncertainty < 0.04, "{found:?}");
    }
}
