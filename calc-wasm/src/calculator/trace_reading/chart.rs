//! The charts of `trace-reading`.

use super::work::Trace;
use crate::chart::{Axis, Band, Chart, Mark, Series};
use crate::math::square_root;
use crate::recording::humps::Humps;
use crate::recording::spectrum::{Peak, Spectrum};
use crate::recording::thin::thinned;
use crate::report::Report;
use crate::unit::Quantity;

/// More points than these are finer than a line is wide.
const MOST_POINTS: usize = 600;

/// The current against time, with the settled stretch and the peak.
pub(super) fn current(trace: &Trace, report: &Report) -> Chart {
    let recording = &trace.recording;
    let time = &recording.time_s;
    let unit = if recording.length_s() < 1.0 { "ms" } else { "" };
    let mut chart = Chart {
        title: "Recorded current".to_owned(),
        x: Axis::new("Time", Quantity::Time, unit),
        y: Axis::new("Current", Quantity::Current, ""),
        series: vec![Series {
            name: "recorded".to_owned(),
            mark: Mark::Line,
            points: thinned(time, &recording.current_a, MOST_POINTS),
        }],
        bands: Vec::new(),
    };
    let from_to = [time[trace.window.from], time[trace.window.to - 1]];
    if let Some(settled) =
        ["settled_a", "stretch_a", "cranking_a"].into_iter().find_map(|name| report.number_of(name))
    {
        chart.series.push(Series {
            name: "mean, over its stretch".to_owned(),
            mark: Mark::Dashes,
            points: from_to.map(|time| (time, settled)).to_vec(),
        });
        // The humps of an engine are no spread about a settled current.
        let settles = report.number_of("settled_uncertainty_a").is_some();
        let spread = report.number_of("spread_a").filter(|_| settles).unwrap_or(0.0);
        if spread > 0.0 {
            chart.bands.push(Band {
                name: "settled, two spreads to either side".to_owned(),
                low: Some(settled - 2.0 * spread),
                high: Some(settled + 2.0 * spread),
            });
        }
    }
    if let (Some(peak), Some(after)) = (report.number_of("peak_a"), report.number_of("peak_after_s")) {
        chart.series.push(Series {
            name: "first peak".to_owned(),
            mark: Mark::Crosses,
            points: vec![(trace.span.on_s + after, peak)],
        });
    }
    chart
}

/// The spectrum up to some way above the ripple.
pub(super) fn spectrum(spectrum: &Spectrum, peak: Option<&Peak>, high_hz: f64) -> Chart {
    let highest = peak.map_or(high_hz, |peak| 2.5 * peak.frequency_hz).min(spectrum.nyquist_hz);
    let count = ((highest / spectrum.bin_hz) as usize + 1).clamp(2, spectrum.power.len());
    let frequency: Vec<f64> = (0..count).map(|place| place as f64 * spectrum.bin_hz).collect();
    let amplitude: Vec<f64> = spectrum.power[..count].iter().map(|power| square_root(*power)).collect();
    let mut series = vec![Series {
        name: "amplitude".to_owned(),
        mark: Mark::Line,
        points: thinned(&frequency, &amplitude, MOST_POINTS),
    }];
    if let Some(peak) = peak {
        series.push(Series {
            name: "ripple".to_owned(),
            mark: Mark::Crosses,
            points: vec![(peak.frequency_hz, peak.amplitude)],
        });
    }
    Chart {
        title: "Spectrum of the settled current".to_owned(),
        x: Axis::new("Frequency", Quantity::Frequency, ""),
        y: Axis::new("Amplitude", Quantity::Current, ""),
        series,
        bands: Vec::new(),
    }
}

/// The mean height of each hump by its place in the firing order.
pub(super) fn humps(humps: &Humps) -> Chart {
    let highest = humps.heights_a.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    Chart {
        title: "Compression humps, the highest 100 %".to_owned(),
        x: Axis::new("Place from the first whole hump", Quantity::Count, ""),
        y: Axis::new("Height", Quantity::Percent, ""),
        series: vec![Series {
            name: "mean height".to_owned(),
            mark: Mark::Crosses,
            points: humps
                .heights_a
                .iter()
                .enumerate()
                .map(|(place, height)| (place as f64 + 1.0, 100.0 * height / highest))
                .collect(),
        }],
        bands: vec![Band {
            name: "within 25 % of the highest".to_owned(),
            low: Some(75.0),
            high: Some(100.0),
        }],
    }
}
