//! An engine that is cranked: how fast, and how its compressions compare.

use super::chart;
use super::work::{Trace, amps, hertz, rpm, seconds};
use crate::input::Inputs;
use crate::number::{figures, to_places};
use crate::recording::humps::{CRANKING_RPM, Humps, coarse, crank_rpm, humps, line};
use crate::recording::settled::statistics;
use crate::report::{Level, Report, Source, Table, Value};

/// A hump this much lower than the highest points to a weak cylinder, in hundredths.
const WEAK_PERCENT: f64 = 25.0;
/// The kick is over after this share of the crank, or after this time when that is longer, in seconds.
const KICK_SHARE: f64 = 0.05;
const KICK_S: f64 = 0.15;

/// Reads a crank.
pub(super) fn read(report: &mut Report, inputs: &Inputs, trace: &mut Trace) {
    (trace.window.from, trace.window.to) = stretch(trace);
    let cylinders = inputs.number("cylinders") as u32;
    let span = &trace.span;
    let peak = span.begins().then(|| peak(report, trace));
    if peak.is_none() {
        report.finding(
            Level::Warning,
            "The recording begins when the current already flows: first peak and time energized are not in it and are left out.",
        );
    }
    report.finding(
        Level::Warning,
        "Before cranking with the starting system under test, take away fuel and ignition, and keep hands and leads clear of belts and fan. How long to crank and how long to rest, the maker says. Without that figure, crank for 5 s at most and rest two minutes (common practice, no source).",
    );
    let (time, current) = (trace.settled_time(), trace.settled_current());
    let found = (current.len() >= 32).then(|| coarse(time, current)).and_then(|even| {
        let line = line(&even, cylinders)?;
        humps(&even, time[0], line.frequency_hz, cylinders)
    });
    let mean = statistics(current);
    report.number("cranking_a", mean.mean);
    report.number("spread_a", mean.spread);
    let Some(found) = found else {
        report.finding(
            Level::Next,
            format!(
                "No compressions stand clear of the noise between {} and {}. Crank longer, at least two whole turns, with the clamp on the battery's lead; check the number of cylinders.",
                rpm(CRANKING_RPM.0),
                rpm(CRANKING_RPM.1)
            ),
        );
        report.sense = match peak {
            Some(peak) => format!(
                "The mean of {} is held against the peak of {}: a starting motor that turns an engine draws a third to a half of its first peak (common practice, no source).",
                amps(mean.mean),
                amps(peak)
            ),
            None => format!(
                "The mean of {} has no first peak beside it to be held against: the start is not in the recording. Record once more, from before the key is turned.",
                amps(mean.mean)
            ),
        };
        return;
    };
    speed(report, trace, &found, cylinders);
    compare(report, trace, &found);
    report.charts.push(chart::humps(&found));
}

/// The first kick, in amperes.
fn peak(report: &mut Report, trace: &Trace) -> f64 {
    let span = &trace.span;
    let row = trace.greatest(span.on, span.off);
    let peak = trace.recording.current_a[row];
    let after = (trace.recording.time_s[row] - span.on_s).max(0.0);
    report.number("peak_a", peak);
    report.number("peak_after_s", after);
    report.step(
        "First peak",
        "I_p = I_max",
        format!("the greatest row while energized, {} after energizing", seconds(after)),
        amps(peak),
    );
    peak
}

/// The stretch in which humps are looked for: the one chosen, or the crank without its kick.
pub(super) fn stretch(trace: &Trace) -> (usize, usize) {
    let (span, window) = (&trace.span, &trace.window);
    if trace.is_chosen {
        return (window.from, window.to);
    }
    let kick = (KICK_SHARE * (span.off_s - span.on_s)).max(KICK_S);
    let from = trace.recording.time_s.partition_point(|time| *time < span.on_s + kick);
    let to = window.to;
    if from + 32 < to { (from, to) } else { (span.on, to) }
}

fn speed(report: &mut Report, trace: &Trace, found: &Humps, cylinders: u32) {
    let speed = crank_rpm(cylinders, found.frequency_hz);
    let uncertainty = crank_rpm(cylinders, found.uncertainty_hz);
    report.number("hump_hz", found.frequency_hz);
    report.number("hump_uncertainty_hz", found.uncertainty_hz);
    report.number("cranking_rpm", speed);
    report.number("cranking_uncertainty_rpm", uncertainty);
    let first = &found.humps[0];
    let last = &found.humps[found.humps.len() - 1];
    report.step(
        "Compressions in a second",
        "f = k / (t₂ − t₁)",
        format!(
            "{} humps from {} to {}, counted over whole cycles",
            found.humps.len(),
            seconds(first.time_s),
            seconds(last.time_s)
        ),
        hertz(found.frequency_hz),
    );
    report.step(
        "Cranking speed",
        "n = 120 · f / z",
        format!("n = 120 · {} / {cylinders}", hertz(found.frequency_hz)),
        rpm(speed),
    );
    report.sense = format!(
        "Petrol engines crank at 150 rpm to 250 rpm (common practice, no source); this one {} at {}. {} turns of the crankshaft fit into the {} {}.",
        if (150.0..=250.0).contains(&speed) { "does" } else { "does not:" },
        rpm(speed),
        figures(speed / 60.0 * (trace.span.off_s - trace.span.on_s), 2),
        seconds(trace.span.off_s - trace.span.on_s),
        if trace.span.begins() { "energized" } else { "recorded" }
    );
    report.sources.push(Source {
        fact: "A four-stroke engine compresses once for each cylinder in two turns",
        from: "the four-stroke cycle; f = z · n / 120 follows",
    });
    let recorded =
        trace.recording.speed_rpm.get(trace.window.from..trace.window.to).map(crate::recording::mean);
    if let Some(recorded) = recorded.filter(|recorded| *recorded > 0.0) {
        report.finding(
            Level::Note,
            format!(
                "The speed's column has a mean of {}, {} times the cranking speed.",
                rpm(recorded),
                figures(recorded / speed, 3)
            ),
        );
    }
}

/// The humps against the highest.
fn compare(report: &mut Report, trace: &Trace, found: &Humps) {
    let highest = found.heights_a.iter().copied().fold(0.0, f64::max);
    if highest <= 0.0 {
        return;
    }
    let percents: Vec<f64> = found.heights_a.iter().map(|height| 100.0 * height / highest).collect();
    let words: Vec<String> = percents.iter().map(|percent| format!("{} %", to_places(*percent, 0))).collect();
    let lowest = percents.iter().copied().fold(f64::INFINITY, f64::min);
    report.number("weakest_percent", lowest);
    report.answer("humps", Value::Text(words.join(", ")));
    let weak: Vec<usize> = (0..percents.len())
        .filter(|place| percents[*place] < 100.0 - WEAK_PERCENT)
        .map(|place| place + 1)
        .collect();
    report.step(
        "Relative compression",
        "r = 100 · h / h_max",
        format!("h_max = {}, the highest mean over {} cycles", amps(highest), found.cycles),
        words.join(", "),
    );
    let place =
        if trace.span.begins() && !trace.is_chosen { "after the first kick" } else { "in the stretch used" };
    report.tables.push(Table {
        title: format!(
            "Humps in the firing order, from the first whole hump {place}, at {}",
            seconds(found.humps[0].time_s)
        ),
        heads: vec!["Hump", "Height", "Standard uncertainty", "Share"],
        rows: (0..percents.len())
            .map(|place| {
                vec![
                    (place + 1).to_string(),
                    amps(found.heights_a[place]),
                    found
                        .uncertainties_a
                        .get(place)
                        .map_or_else(|| "one cycle".to_owned(), |part| amps(*part)),
                    words[place].clone(),
                ]
            })
            .collect(),
    });
    if found.cycles < 2 {
        report.finding(
            Level::Warning,
            "Only one cycle of the engine, two turns, was recorded: chance may make a hump low. Crank for three seconds or more.",
        );
    }
    match weak.as_slice() {
        [] if percents.len() > 1 => report.finding(
            Level::Note,
            "No hump is lower than the highest by more than 25 %: the cylinders compress alike. All of them low would look the same; only a gauge tells.",
        ),
        [] => report.finding(Level::Note, "One cylinder has nothing to be compared with."),
        weak => {
            let places: Vec<String> = weak.iter().map(usize::to_string).collect();
            report.finding(
                Level::Next,
                format!(
                    "Hump {} is more than 25 % below the highest. Which cylinder that is, this trace cannot say: record a trigger along, such as the signal of the camshaft sensor (common practice, no source), and count on in the firing order; ignition and injection give none while they are disabled. Then measure its compression with a gauge, and its leakage.",
                    places.join(", ")
                ),
            );
        }
    }
    report.sources.push(Source {
        fact: "A hump 25 % below the highest points to a weak cylinder",
        from: "common practice, no source",
    });
}
