//! Compressions in the current of a cranking engine: how often they come, and how they compare.

use super::mean;
use super::spectrum::{Even, Peak, spectrum};

/// Slowest and fastest cranking that is looked for, in turns of the crankshaft in a minute.
pub const CRANKING_RPM: (f64, f64) = (40.0, 600.0);
/// The recording is brought down to about so many points; that also takes the commutator's ripple off.
const POINTS: usize = 6000;
/// A hump lower than this share of the middle hump does not move the beat that the others keep.
const WEAK_BEAT: f64 = 0.4;

/// One compression.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hump {
    /// When the current is greatest, in seconds.
    pub time_s: f64,
    /// The current there, in amperes.
    pub top_a: f64,
    /// How far it stands above the mean of the two valleys beside it, in amperes.
    pub height_a: f64,
}

/// What the humps of a recording say.
#[derive(Debug, Clone, PartialEq)]
pub struct Humps {
    /// How often they come, in hertz: from the first to the last.
    pub frequency_hz: f64,
    /// The standard uncertainty of that, in hertz.
    pub uncertainty_hz: f64,
    /// All that were found, in order.
    pub humps: Vec<Hump>,
    /// Whole cycles of the engine, two turns each, that were averaged.
    pub cycles: usize,
    /// Mean height by place in the firing order, the first hump first, in amperes.
    pub heights_a: Vec<f64>,
    /// The standard uncertainty of each of these, in amperes; empty with one cycle.
    pub uncertainties_a: Vec<f64>,
}

/// How often a four-stroke engine compresses in a second.
///
/// # Formula
/// `f = N · n / 120`: each of `N` cylinders once in two turns.
pub fn compressions_hz(cylinders: u32, crank_rpm: f64) -> f64 {
    f64::from(cylinders) * crank_rpm / 120.0
}

/// The crankshaft's speed from the humps: the same turned round.
pub fn crank_rpm(cylinders: u32, compressions_hz: f64) -> f64 {
    120.0 * compressions_hz / f64::from(cylinders.max(1))
}

/// Even points from rows: the mean of the rows about each, straight lines where there are none.
pub fn coarse(time_s: &[f64], current_a: &[f64]) -> Even {
    let rows = time_s.len();
    let length = time_s[rows - 1] - time_s[0];
    let points = rows.min(POINTS);
    let step = length / (points - 1).max(1) as f64;
    let mut values = Vec::with_capacity(points);
    let mut at = 0;
    for point in 0..points {
        let end = time_s[0] + (point as f64 + 0.5) * step;
        let from = at;
        while at < rows && (time_s[at] <= end || point + 1 == points) {
            at += 1;
        }
        values.push(if at > from {
            mean(&current_a[from..at])
        } else {
            let (before, after) = (from.saturating_sub(1), from.min(rows - 1));
            let (left, right) = (time_s[before], time_s[after]);
            let share =
                if right > left { ((end - 0.5 * step - left) / (right - left)).clamp(0.0, 1.0) } else { 0.0 };
            current_a[before] + share * (current_a[after] - current_a[before])
        });
    }
    Even { step_s: step, values, interpolated: true }
}

/// The line of the compressions in the spectrum of some even points, if one stands clear.
pub fn line(even: &Even, cylinders: u32) -> Option<Peak> {
    let [low, high] = [CRANKING_RPM.0, CRANKING_RPM.1].map(|rpm| compressions_hz(cylinders, rpm));
    spectrum(even).peaks(low, high, 1).first().copied()
}

/// Finds the humps that come with about `frequency_hz` in even points that begin at `start_s`.
///
/// Each is looked for near its beat, which the humps before it set; so a cylinder without compression keeps its place.
pub fn humps(even: &Even, start_s: f64, frequency_hz: f64, cylinders: u32) -> Option<Humps> {
    let period = 1.0 / (frequency_hz * even.step_s);
    let points = even.values.len();
    if !(period >= 6.0 && period * 2.0 < points as f64) {
        return None;
    }
    let smooth = smoothed(&even.values, (period / 10.0) as usize);
    let tops = beats(&smooth, period);
    let heights = |tops: &[usize]| -> Vec<f64> {
        let valley = |from: usize, to: usize| smooth[from..=to].iter().copied().fold(f64::INFINITY, f64::min);
        (1..tops.len().saturating_sub(1))
            .map(|index| {
                let (left, right) =
                    (valley(tops[index - 1], tops[index]), valley(tops[index], tops[index + 1]));
                (smooth[tops[index]] - 0.5 * (left + right)).max(0.0)
            })
            .collect()
    };
    // The first and the last have a valley on one side alone.
    let heights = heights(&tops);
    let found: Vec<Hump> = heights
        .iter()
        .zip(&tops[1.min(tops.len())..])
        .map(|(height, top)| Hump {
            time_s: start_s + crown(&smooth, *top, (period / 8.0) as usize) * even.step_s,
            top_a: smooth[*top],
            height_a: *height,
        })
        .collect();
    let places = cylinders.max(1) as usize;
    let cycles = found.len() / places;
    if cycles == 0 || found.len() < 2 {
        return None;
    }
    let by_place = |place: usize| -> Vec<f64> {
        found[..cycles * places].iter().skip(place).step_by(places).map(|hump| hump.height_a).collect()
    };
    let heights_a: Vec<f64> = (0..places).map(|place| mean(&by_place(place))).collect();
    let uncertainties_a = if cycles < 2 {
        Vec::new()
    } else {
        (0..places)
            .map(|place| super::deviation(&by_place(place)) / crate::math::square_root(cycles as f64))
            .collect()
    };
    let (frequency_hz, uncertainty_hz) = beat(&found, places);
    Some(Humps { frequency_hz, uncertainty_hz, humps: found, cycles, heights_a, uncertainties_a })
}

/// Frequency over as many whole cycles as there are, and its standard uncertainty.
///
/// Cylinders do not come at quite even times, so a hump is held against the one of its own place; the time of each is
/// known to the scatter of the periods.
fn beat(found: &[Hump], places: usize) -> (f64, f64) {
    let last = found.len() - 1;
    let spans = if last >= places { last / places * places } else { last };
    let length = found[spans].time_s - found[0].time_s;
    let periods: Vec<f64> = found.windows(2).map(|pair| pair[1].time_s - pair[0].time_s).collect();
    let frequency = spans as f64 / length;
    (frequency, frequency * super::deviation(&periods) / length)
}

/// The running mean over `half` points on either side.
fn smoothed(values: &[f64], half: usize) -> Vec<f64> {
    let mut sums = vec![0.0];
    for value in values {
        sums.push(sums[sums.len() - 1] + value);
    }
    (0..values.len())
        .map(|index| {
            let half = half.min(index).min(values.len() - 1 - index);
            (sums[index + half + 1] - sums[index - half]) / (2 * half + 1) as f64
        })
        .collect()
}

/// Where a hump has its crown, in points: the top of the parabola through its highest point and two beside it.
fn crown(smooth: &[f64], top: usize, reach: usize) -> f64 {
    let reach = reach.max(1);
    if top < reach || top + reach >= smooth.len() {
        return top as f64;
    }
    let (before, here, after) = (smooth[top - reach], smooth[top], smooth[top + reach]);
    let bend = before - 2.0 * here + after;
    let off = if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 };
    top as f64 + off * reach as f64
}

/// The points at which humps stand, a period or so apart.
fn beats(smooth: &[f64], period: f64) -> Vec<usize> {
    let points = smooth.len();
    let top_of = |from: f64, to: f64| -> Option<usize> {
        let (from, to) = (from.max(0.0) as usize, (to.max(0.0) as usize).min(points - 1));
        (from..=to).max_by(|a, b| smooth[*a].total_cmp(&smooth[*b]).then(b.cmp(a)))
    };
    let low_near = |at: usize| {
        let half = (0.6 * period) as usize;
        let about = at.saturating_sub(half)..(at + half + 1).min(points);
        smooth[about].iter().copied().fold(f64::INFINITY, f64::min)
    };
    // The highest point of all is a whole hump; the others follow its beat both ways.
    let Some(anchor) = top_of(0.6 * period, points as f64 - 1.0 - 0.6 * period) else { return Vec::new() };
    let full = smooth[anchor] - low_near(anchor);
    let walk = |direction: f64| -> Vec<usize> {
        let (mut tops, mut beat, mut step) = (Vec::new(), anchor as f64, period);
        loop {
            let expected = beat + direction * step;
            if expected < 0.0 || expected > points as f64 - 1.0 {
                return tops;
            }
            let Some(top) = top_of(expected - 0.3 * period, expected + 0.3 * period) else { return tops };
            let strong = smooth[top] - low_near(top) > WEAK_BEAT * full;
            let off = direction * (top as f64 - expected);
            // An end of the range that rises on is the foot of a neighbour.
            let inside = off.abs() < 0.29 * period;
            tops.push(if inside { top } else { expected as usize });
            beat = expected;
            if strong && inside {
                beat += direction * 0.6 * off;
                step = (step + 0.15 * off).clamp(0.7 * period, 1.4 * period);
            }
        }
    };
    let mut all = walk(-1.0);
    all.reverse();
    all.push(anchor);
    all.extend(walk(1.0));
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::sine;
    use std::f64::consts::{PI, TAU};

    /// A crank at `rpm` that speeds up by `rise` over it, with hump heights by place in the firing order; the first
    /// hump has the first height.
    fn crank(heights: &[f64], rpm: f64, rise: f64, seconds: f64) -> (Vec<f64>, Vec<f64>) {
        let step = 5e-4;
        let mut phase: f64 = 0.0;
        let mut state = 3_u64;
        let rows = (seconds / step) as usize;
        let (mut time_s, mut current_a) = (Vec::new(), Vec::new());
        for row in 0..rows {
            let share = row as f64 / rows as f64;
            phase += compressions_hz(heights.len() as u32, rpm * (1.0 + rise * (share - 0.5))) * step;
            let hump = sine(PI * phase.fract());
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let noise = (state >> 40) as f64 / (1_u64 << 24) as f64 - 0.5;
            time_s.push(1.0 + row as f64 * step);
            current_a.push(
                120.0
                    + heights[phase as usize % heights.len()] * hump * hump
                    + 4.0 * noise
                    + 3.0 * sine(TAU * phase * 40.0),
            );
        }
        (time_s, current_a)
    }

    fn of(heights: &[f64], rpm: f64, rise: f64, seconds: f64) -> Humps {
        let (time_s, current_a) = crank(heights, rpm, rise, seconds);
        let even = coarse(&time_s, &current_a);
        let cylinders = heights.len() as u32;
        let line = line(&even, cylinders).expect("a line");
        humps(&even, time_s[0], line.frequency_hz, cylinders).expect("humps")
    }

    #[test]
    fn speed_and_heights_come_back() {
        for (rpm, rise) in [(120.0, 0.0), (200.0, 0.0), (200.0, 0.15), (280.0, -0.1)] {
            for cylinders in [1, 2, 3, 4, 5, 6, 8] {
                let heights = vec![80.0; cylinders];
                let found = of(&heights, rpm, rise, 5.0);
                let speed = crank_rpm(cylinders as u32, found.frequency_hz);
                assert!((speed / rpm - 1.0).abs() < 0.015, "{cylinders} at {rpm}: {speed}");
                for height in &found.heights_a {
                    assert!(
                        (height / found.heights_a[0] - 1.0).abs() < 0.06,
                        "{cylinders}: {:?}",
                        found.heights_a
                    );
                }
            }
        }
    }

    #[test]
    fn a_weak_cylinder_keeps_its_place_even_when_it_is_dead() {
        for weak in [0.7, 0.4, 0.1, 0.0] {
            for place in 0..4 {
                let mut heights = [80.0; 4];
                heights[place] = 80.0 * weak;
                let found = of(&heights, 190.0, 0.05, 4.0);
                // The first hump of all has a valley on one side and is left out: the second counts as the first.
                let first = ((found.humps[0].time_s - 1.0) * compressions_hz(4, 190.0 * 0.975)) as usize;
                let least =
                    (0..4).min_by(|a, b| found.heights_a[*a].total_cmp(&found.heights_a[*b])).expect("four");
                assert_eq!((least + first) % 4, place, "{weak}: {:?} from {first}", found.heights_a);
                let most = found.heights_a.iter().copied().fold(0.0, f64::max);
                let share = found.heights_a[least] / most;
                assert!((share - weak).abs() < 0.12, "{weak} at {place}: {share}");
            }
        }
    }

    #[test]
    fn without_compressions_there_is_no_line() {
        let (time_s, current_a) = crank(&[0.0; 4], 200.0, 0.0, 3.0);
        assert_eq!(line(&coarse(&time_s, &current_a), 4), None);
    }

    #[test]
    fn tiny_and_silent_points_make_no_trouble() {
        for points in 2..40 {
            let even = Even { step_s: 0.01, values: vec![5.0; points], interpolated: false };
            assert!(line(&even, 4).is_none());
            for frequency in [0.0, 1.0, 20.0, 1e9, f64::MAX] {
                let found = humps(&even, 0.0, frequency, 4);
                assert!(found.is_none_or(|found| found.frequency_hz.is_finite()));
            }
        }
    }

    #[test]
    fn speed_and_compressions_are_one_law() {
        assert!((compressions_hz(6, 180.0) - 9.0).abs() < 1e-12);
        assert!((crank_rpm(4, compressions_hz(4, 200.0)) - 200.0).abs() < 1e-12);
    }
}
