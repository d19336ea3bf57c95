//! When the motor was energized, and what the clamp shows when no current flows.

use super::settled::statistics;
use super::{Recording, deviation, mean};
use crate::math::square_root;

/// A stretch of fewer rows says nothing about the clamp's zero.
const FEWEST_ROWS: usize = 5;
/// Without current a clamp shows at most this share of the greatest current.
const ZERO_SHARE: f64 = 0.1;
/// Rows that lie this share of the way from the zero to the greatest current are above the zero's noise.
const THRESHOLD_SHARE: f64 = 0.02;

/// Where the clamp's zero was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZeroFrom {
    /// Before the current began.
    Before,
    /// After it ended.
    After,
}

/// What a clamp shows without current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zero {
    /// The mean, in amperes.
    pub offset_a: f64,
    /// The standard deviation of single rows, in amperes.
    pub spread_a: f64,
    /// The standard uncertainty of the mean, in amperes.
    pub uncertainty_a: f64,
    /// How many rows it was taken from.
    pub rows: usize,
    /// Where they lie.
    pub from: ZeroFrom,
}

/// When the motor was energized.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// The clamp's zero, when a stretch without current was recorded; it has been taken off the current.
    pub zero: Option<Zero>,
    /// Was the clamp the wrong way round, so that the current was turned?
    pub reversed: bool,
    /// Current above which the motor counts as energized, in amperes.
    pub threshold_a: f64,
    /// First energized row.
    pub on: usize,
    /// One past the last energized row.
    pub off: usize,
    /// When it was energized, in seconds: where the current passes the threshold.
    pub on_s: f64,
    /// When it was switched off or the recording ends, in seconds.
    pub off_s: f64,
    /// Share of the rows between that lie below the threshold: much of it means several runs.
    pub idle_share: f64,
}

impl Span {
    /// Does the recording show the current begin?
    pub fn begins(&self) -> bool {
        self.on > 0
    }
}

/// Finds the energized span; turns a reversed current and takes the clamp's zero off.
pub fn energized(recording: &mut Recording) -> Span {
    let current = &mut recording.current_a;
    let (low, high) = extremes(current);
    let reversed = -low > high && mean(current) < 0.0;
    if reversed {
        current.iter_mut().for_each(|value| *value = -*value);
    }
    let (low, high) = if reversed { (-high, -low) } else { (low, high) };
    let zero = zero_before(current, low, high).or_else(|| zero_after(current, high));
    let (offset, spread) = zero.map_or((0.0, 0.0), |zero| (zero.offset_a, zero.spread_a));
    if zero.is_some() {
        current.iter_mut().for_each(|value| *value -= offset);
    }
    let threshold = (5.0 * spread).max(THRESHOLD_SHARE * (high - offset)).max(0.0);
    let above = |index: usize| current[index] > threshold;
    let rows = current.len();
    // Two rows in a row: one alone may be a spike of the switch.
    let on = (0..rows).find(|index| above(*index) && (index + 1 == rows || above(index + 1))).unwrap_or(0);
    let last = (on..rows).rev().find(|index| above(*index) && (*index == on || above(index - 1)));
    let tail = last.map_or(0, |last| rows - last - 1);
    let off = if tail >= 3 { rows - tail } else { rows };
    let time = &recording.time_s;
    let crossing = |below: usize, over: usize| {
        let share = (threshold - current[below]) / (current[over] - current[below]);
        let between = if share.is_finite() { share.clamp(0.0, 1.0) } else { 1.0 };
        time[below] + between * (time[over] - time[below])
    };
    let idle = (on..off).filter(|index| !above(*index)).count();
    Span {
        zero,
        reversed,
        threshold_a: threshold,
        on,
        off,
        on_s: if on == 0 { time[0] } else { crossing(on - 1, on) },
        off_s: if off == rows { time[rows - 1] } else { crossing(off, off - 1) },
        idle_share: idle as f64 / (off - on).max(1) as f64,
    }
}

/// The least and the greatest of some values, in their unit.
pub fn extremes(values: &[f64]) -> (f64, f64) {
    values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(*value), high.max(*value)))
}

/// The zero from the rows before the current begins, less a tenth of them next to it.
fn zero_before(current: &[f64], low: f64, high: f64) -> Option<Zero> {
    let level = low + 0.15 * (high - low);
    let first = current.iter().position(|value| *value > level)?;
    let rows = &current[..first - (first / 10).max(2).min(first)];
    let zero = zero_of(rows, ZeroFrom::Before)?;
    let quiet = zero.offset_a.abs() <= ZERO_SHARE * high && zero.spread_a <= 0.5 * ZERO_SHARE * high;
    (quiet && is_flat(rows)).then_some(zero)
}

/// The zero from the rows after the current has ended, when these are flat: not the tail of a decay.
fn zero_after(current: &[f64], high: f64) -> Option<Zero> {
    let ended = current.iter().rposition(|value| *value > 0.5 * ZERO_SHARE * high)? + 1;
    let tail = &current[ended..];
    let rows = &tail[(tail.len() / 3).max(2).min(tail.len())..];
    let zero = zero_of(rows, ZeroFrom::After)?;
    (zero.offset_a.abs() <= THRESHOLD_SHARE * high && is_flat(rows)).then_some(zero)
}

fn zero_of(rows: &[f64], from: ZeroFrom) -> Option<Zero> {
    (rows.len() >= FEWEST_ROWS).then(|| Zero {
        offset_a: mean(rows),
        spread_a: deviation(rows),
        uncertainty_a: statistics(rows).uncertainty,
        rows: rows.len(),
        from,
    })
}

/// Do the two halves of some rows have one mean, within what their scatter allows?
///
/// The halves of a line differ by 3.5 of their scatters, those of a decay by 0.5 and more.
fn is_flat(rows: &[f64]) -> bool {
    let (first, second) = rows.split_at(rows.len() / 2);
    let scatter = deviation(first).max(deviation(second));
    let allowed = (4.0 / square_root(first.len().max(1) as f64)).clamp(0.4, 2.5);
    (mean(first) - mean(second)).abs() <= allowed * scatter
}

#[cfg(test)]
mod tests {
    use super::*;

    fn recording(current: Vec<f64>) -> Recording {
        let time_s = (0..current.len()).map(|row| row as f64 * 0.01).collect();
        Recording { time_s, current_a: current, ..Recording::default() }
    }

    /// 50 rows of zero, 100 of current, `tail` rows of zero; a little up and down everywhere.
    fn switched(offset: f64, tail: usize) -> Recording {
        let row = |index: usize| {
            let flows = (50..150).contains(&index);
            offset + if index.is_multiple_of(2) { 0.1 } else { -0.1 } + if flows { 60.0 } else { 0.0 }
        };
        recording((0..150 + tail).map(row).collect())
    }

    #[test]
    fn a_clamp_that_is_off_zero_is_put_right() {
        for offset in [-4.0, 0.0, 3.0] {
            let mut rows = switched(offset, 40);
            let span = energized(&mut rows);
            let zero = span.zero.expect("seen");
            assert!((zero.offset_a - offset).abs() < 0.02, "{offset}: {zero:?}");
            assert_eq!((span.on, span.off, zero.from), (50, 150, ZeroFrom::Before));
            assert!((mean(&rows.current_a[50..150]) - 60.0).abs() < 0.02);
            assert!((span.off_s - span.on_s - 1.0).abs() < 0.011);
        }
    }

    #[test]
    fn the_zero_may_lie_behind_the_current() {
        let mut rows = switched(1.0, 40);
        rows.current_a.drain(..50);
        rows.time_s.truncate(140);
        let span = energized(&mut rows);
        assert_eq!(span.zero.map(|zero| zero.from), Some(ZeroFrom::After));
        assert_eq!((span.on, span.off), (0, 100));
    }

    #[test]
    fn a_clamp_the_wrong_way_round_is_turned() {
        let mut rows = switched(0.0, 0);
        rows.current_a.iter_mut().for_each(|value| *value = -*value);
        let span = energized(&mut rows);
        assert!(span.reversed);
        assert!((rows.current_a[100] - 60.1).abs() < 0.3);
        assert_eq!((span.on, span.off), (50, 150));
    }

    #[test]
    fn a_decay_has_no_zero_and_constant_rows_have_no_beginning() {
        let mut decay = recording((0..400).map(|row| 100.0 / (1.0 + f64::from(row))).collect());
        assert_eq!(energized(&mut decay).zero, None);
        for rows in [120, 200, 400, 4000] {
            let decay = |row: u32| 100.0 * crate::math::power(0.5, 14.0 * f64::from(row) / f64::from(rows));
            assert_eq!(energized(&mut recording((0..rows).map(decay).collect())).zero, None, "{rows}");
        }
        for value in [0.0, 5.0, -5.0] {
            let span = energized(&mut recording(vec![value; 200]));
            assert_eq!((span.zero, span.on), (None, 0), "{value}");
            assert!(span.on_s.is_finite() && span.off_s.is_finite() && span.off > 0);
        }
    }
}
