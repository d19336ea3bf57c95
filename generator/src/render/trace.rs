//! Recordings: the curve as a chart, where its numbers come from, and the file to take along.

use fieldcoil_calc::chart::{Axis, Chart, Mark, Series};
use fieldcoil_calc::recording::thin::thinned;
use fieldcoil_calc::unit::Quantity;
use serde::Serialize;

use super::words::Words;
use crate::course::{Made, Trace};

/// More points than these are finer than a line is wide.
const MOST_POINTS: usize = 600;

/// A recording as its component sees it.
#[derive(Debug, Serialize)]
pub struct TraceView {
    id: String,
    title: String,
    /// The chart with its caption.
    chart: String,
    /// Where its numbers come from: a word of the theme's, and the same word to be shown.
    kind: &'static str,
    made: String,
    text: String,
    /// Where the file is, and what it is called there.
    address: String,
    file: String,
}

/// The view; nothing while the file is missing or cannot be read, which `resolve` reports.
pub fn view(trace: &Trace, words: &Words) -> Option<TraceView> {
    let bound = trace.bound.as_ref()?;
    let recording = &bound.recording;
    let unit = if recording.length_s() < 1.0 { "ms" } else { "" };
    let chart = Chart {
        title: trace.title.clone(),
        x: Axis::new("Time", Quantity::Time, unit),
        y: Axis::new("Current", Quantity::Current, ""),
        series: vec![Series {
            name: "current".to_owned(),
            mark: Mark::Line,
            points: thinned(&recording.time_s, &recording.current_a, MOST_POINTS),
        }],
        bands: Vec::new(),
    };
    let kind = match trace.made {
        Made::Simulated => "simulated",
        Made::Recorded => "recorded",
    };
    Some(TraceView {
        id: trace.id.clone(),
        title: trace.title.clone(),
        chart: chart.figure(),
        kind,
        made: words.get(&format!("trace.{kind}")).to_owned(),
        text: trace.text.clone(),
        address: bound.address.clone(),
        file: trace.file.value.rsplit('/').next().unwrap_or_default().to_owned(),
    })
}
