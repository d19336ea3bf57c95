//! A motor that spins free: peak, settled current, and the speed from the commutator's ripple.

use super::chart;
use super::cranking::stretch;
use super::work::{Trace, amps, hertz, rpm, seconds};
use crate::input::Inputs;
use crate::math::square_root;
use crate::number::{figures, short};
use crate::recording::humps::{coarse, humps, line};
use crate::recording::mean;
use crate::recording::settled::{Statistics, settling, statistics};
use crate::recording::spectrum::{Peak, even, ripples_per_turn, spectrum};
use crate::report::{Level, Report, Source, Table};

/// A ripple above this share of half the sampling is not told from one below it.
const USABLE: f64 = 0.95;
/// Rows in a ripple that a recorder should take, so that it is seen and not guessed.
const ROWS_IN_A_RIPPLE: f64 = 2.5;
/// The slowest ripple that is looked for, as a share of the fastest.
const SLOWEST: f64 = 0.05;
/// A free-spin run that is longer only makes heat, in seconds.
const LONGEST_RUN_S: f64 = 5.0;
/// The kick stands out when it is so many spreads of the settled current above it.
const KICK_SPREADS: f64 = 6.0;
/// Humps as high as this, and as this share of the mean current, are no free-spinning motor's. Common practice, no source.
const SWING_A: f64 = 10.0;
const SWING_SHARE: f64 = 0.1;
/// A settled stretch of fewer rows has no spectrum worth the name.
const FEWEST_ROWS: usize = 32;

/// Reads a bench run.
pub(super) fn read(report: &mut Report, inputs: &Inputs, trace: &Trace) {
    report.finding(
        Level::Warning,
        "Before a bench run: motor clamped, drive end clear, eye protection on. Energize for seconds only; the maker's data come first.",
    );
    humps_hint(report, inputs, trace);
    let settled = settled(report, trace);
    peak(report, trace, &settled);
    speed(report, inputs, trace);
    sense(report, trace, &settled);
    let energized = trace.span.off_s - trace.span.on_s;
    if energized > LONGEST_RUN_S {
        report.finding(
            Level::Warning,
            format!(
                "The motor was energized for {}{}. Five seconds are enough for a free-spin test; let it cool for two minutes before the next (common practice, no source).",
                if trace.span.begins() { "" } else { "at least " },
                seconds(energized)
            ),
        );
    }
}

/// The settled mean, its uncertainty and the time to get there.
fn settled(report: &mut Report, trace: &Trace) -> Statistics {
    let current = trace.settled_current();
    let found = statistics(current);
    let length = trace.settled_time()[current.len() - 1] - trace.settled_time()[0];
    let is_settled = trace.window.settled;
    report.number(if is_settled { "settled_a" } else { "stretch_a" }, found.mean);
    report.number("spread_a", found.spread);
    report.number("correlation_time_s", length / found.effective_rows);
    report.step(
        if is_settled { "Settled current" } else { "Mean of the stretch used, not settled" },
        if is_settled { "I_s = S / m" } else { "I_m = S / m" },
        format!(
            "S is the sum of the m = {} rows from {} to {}",
            current.len(),
            seconds(trace.settled_time()[0]),
            seconds(trace.settled_time()[current.len() - 1])
        ),
        amps(found.mean),
    );
    if is_settled {
        uncertainty(report, trace, &found);
    }
    if !trace.window.settled && trace.is_chosen {
        report.finding(
            Level::Warning,
            format!(
                "The current has not settled in the stretch that you typed: over its {} it still changes by {}. So its mean is no settled current, and no time to settle is given. Type a later stretch, or leave both boxes empty and it is found.",
                seconds(length),
                amps(trace.window.creep_a.abs())
            ),
        );
    } else if !trace.window.settled {
        report.finding(
            Level::Warning,
            format!(
                "The current has not settled when the recording ends: over the last {} it still changes by {}. Record until it stands still, or type the stretch that you trust.",
                seconds(length),
                amps(trace.window.creep_a.abs())
            ),
        );
    }
    let (row, band) = settling(&trace.recording.current_a, trace.span.on, &trace.window, found.mean);
    let time = (trace.recording.time_s[row] - trace.span.on_s).max(0.0);
    if trace.span.begins() && trace.window.settled && row + 1 < trace.window.to {
        report.number("settle_time_s", time);
        report.step(
            "Time to settle",
            "t_s = t − t₀",
            format!(
                "from t₀ = {} until the mean of {} rows stays within {} of the settled current",
                seconds(trace.span.on_s),
                trace.window.block,
                amps(band)
            ),
            seconds(time),
        );
    }
    report.sources.push(Source {
        fact: "Settled: the mean of the recording's blocks stays, seen from the end back",
        from: "common practice, no source; 5 % for the time to settle is the custom of control engineering",
    });
    report.sources.push(Source {
        fact: "Uncertainty of a mean of rows that are not independent, by growing blocks",
        from: "H. Flyvbjerg and H. G. Petersen, Journal of Chemical Physics 91 (1989)",
    });
    found
}

/// The standard uncertainty of the settled mean: that of its rows and, where it was taken off, that of the clamp's zero.
fn uncertainty(report: &mut Report, trace: &Trace, found: &Statistics) {
    let (spread, rows) = (amps(found.spread), figures(found.effective_rows, 3));
    let words = "the number of independent readings that the rows are worth";
    let (formula, numbers, value) = match trace.span.zero {
        Some(zero) => (
            "u = √(s^2 / m_e + u₀^2)",
            format!(
                "u = √(({spread})² / {rows} + ({})²); m_e is {words}, u₀ the uncertainty of the clamp's zero",
                amps(zero.uncertainty_a)
            ),
            square_root(found.uncertainty * found.uncertainty + zero.uncertainty_a * zero.uncertainty_a),
        ),
        None => ("u = s / √(m_e)", format!("u = {spread} / √({rows}), {words}"), found.uncertainty),
    };
    report.number("settled_uncertainty_a", value);
    report.step("Standard uncertainty of its mean", formula, numbers, amps(value));
    report.finding(
        Level::Note,
        "The standard uncertainty is that of chance alone. What the clamp itself may be off, its data sheet says; it comes on top.",
    );
}

/// Says so when the current swings slowly and widely, as that of an engine does.
fn humps_hint(report: &mut Report, inputs: &Inputs, trace: &Trace) {
    let (from, to) = stretch(trace);
    if from + FEWEST_ROWS > to {
        return;
    }
    let (time, current) = (&trace.recording.time_s[from..to], &trace.recording.current_a[from..to]);
    let even = coarse(time, current);
    let cylinders = inputs.number("cylinders") as u32;
    let found = line(&even, cylinders).and_then(|line| humps(&even, time[0], line.frequency_hz, cylinders));
    let Some(found) = found else { return };
    let height = mean(&found.heights_a);
    if height >= SWING_A && height >= SWING_SHARE * mean(current).abs() {
        report.finding(
            Level::Next,
            format!(
                "The current swings by {} {} times a second, as it does over the compressions of an engine. If a motor in a vehicle was recorded, choose “in the vehicle, cranking”.",
                amps(height),
                figures(found.frequency_hz, 2)
            ),
        );
    }
}

/// The kick.
fn peak(report: &mut Report, trace: &Trace, settled: &Statistics) {
    let (span, current) = (&trace.span, &trace.recording.current_a);
    let end = if trace.window.from > span.on { trace.window.from } else { span.off };
    let row = trace.greatest(span.on, end);
    let peak = current[row];
    let stands_out = peak - settled.mean > KICK_SPREADS * settled.spread;
    if !span.begins() {
        if stands_out {
            report.number("peak_a", peak);
        }
        report.finding(
            Level::Warning,
            format!(
                "The recording begins when the current already flows: what counts from the start is not in it and is left out (peak after energizing, peak over settled, time to settle, time energized). {}",
                if stands_out {
                    "The true peak may be higher than the one found."
                } else {
                    "Nor does a peak stand out of the rows found."
                }
            ),
        );
        return;
    }
    let after = (trace.recording.time_s[row] - span.on_s).max(0.0);
    report.number("peak_a", peak);
    report.number("peak_after_s", after);
    report.step(
        "First peak",
        "I_p = I_max",
        format!("the greatest row between energizing and settling, {} after energizing", seconds(after)),
        amps(peak),
    );
    if settled.mean > 0.0 && trace.window.settled {
        report.number("peak_ratio", peak / settled.mean);
        report.step(
            "Peak over settled",
            "k = I_p / I_s",
            format!("k = {} / {}", amps(peak), amps(settled.mean)),
            figures(peak / settled.mean, 3),
        );
    }
    if !stands_out {
        report.finding(
            Level::Warning,
            "No kick stands out of the settled current. Either the recorder is too slow for it, or the source limits the current.",
        );
    } else if row < span.on + 3 {
        report.finding(
            Level::Note,
            format!(
                "The current is at its peak within {} of energizing, one row or two: with rows every {} the true peak may be higher. Sample ten times faster to see it.",
                seconds(after),
                seconds(trace.step_s)
            ),
        );
    }
    let beside = [row.wrapping_sub(1), row + 1]
        .into_iter()
        .filter_map(|at| current.get(at))
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    if stands_out && row > span.on && peak - beside > 0.3 * (peak - settled.mean) {
        report.finding(
            Level::Warning,
            format!(
                "The peak is one row alone, {} above both rows beside it: it may be a spike in the leads of the clamp and not a current.",
                amps(peak - beside)
            ),
        );
    }
}

/// How many ripples a turn has, when it is known.
fn ripples(report: &mut Report, inputs: &Inputs) -> Option<f64> {
    let whole = |name: &str| inputs.optional(name).map(|found| found.value as u32);
    if let Some(typed) = whole("ripples_per_turn") {
        return Some(f64::from(typed));
    }
    let (bars, brushes) = (whole("bars")?, whole("brushes")?);
    let ripples = ripples_per_turn(bars, brushes);
    report.step(
        "Ripples in a turn",
        "N = b · c / g",
        format!(
            "N = {bars} · {brushes} / {}, g the greatest number that divides both",
            bars * brushes / ripples
        ),
        ripples.to_string(),
    );
    report.sources.push(Source {
        fact: "Ripples in a turn: the least common multiple of bars and brushes; with two brushes twice an odd number of bars",
        from: "common practice, no source",
    });
    Some(f64::from(ripples))
}

/// The ripple, and the speed where it can be named.
fn speed(report: &mut Report, inputs: &Inputs, trace: &Trace) {
    let ripples = ripples(report, inputs);
    let fastest = inputs.number("fastest_rpm");
    if trace.settled_current().len() < FEWEST_ROWS {
        report.finding(
            Level::Next,
            format!("The settled stretch has fewer than {FEWEST_ROWS} rows, too few to look for ripple. Record longer or faster."),
        );
        return;
    }
    let even = even(trace.settled_time(), trace.settled_current(), trace.step_s);
    if even.interpolated {
        report.finding(
            Level::Note,
            "The rows are not evenly spaced; for the spectrum they were put on an even grid by straight lines, which makes fast ripple look smaller.",
        );
    }
    let spectrum = spectrum(&even);
    let usable = USABLE * spectrum.nyquist_hz;
    let fastest_hz = ripples.map(|ripples| ripples * fastest / 60.0);
    let (low, high) = fastest_hz.map_or((0.0, usable), |hz| (SLOWEST * hz, hz.min(usable)));
    let peaks = spectrum.peaks(low, high, 5);
    // Without a line where it should be: is there one elsewhere?
    let outside = if peaks.is_empty() { spectrum.peaks(0.0, usable, 1).first().copied() } else { None };
    let shown_to = outside.map_or(high, |line| high.max(1.25 * line.frequency_hz));
    report.charts.push(chart::spectrum(&spectrum, peaks.first(), shown_to));
    report.sources.push(Source {
        fact: "Spectrum: averaged pieces under a Hann window; the top of a line by a parabola on the logarithm",
        from: "P. D. Welch, IEEE Transactions on Audio and Electroacoustics AU-15 (1967)",
    });
    let Some(line) = peaks.first() else {
        if !too_slow(report, spectrum.nyquist_hz, fastest_hz, ripples) {
            no_ripple(report, low.max(spectrum.lowest_hz()), high, outside.as_ref(), spectrum.piece_s);
        }
        return;
    };
    report.number("ripple_hz", line.frequency_hz);
    report.number("ripple_uncertainty_hz", line.uncertainty_hz);
    let slow = fastest_hz.is_some_and(|hz| hz > usable);
    report.tables.push(table(&peaks, ripples.filter(|_| !slow)));
    hum(report, line, spectrum.piece_s);
    let recorded = report_speed(trace);
    match ripples {
        None => without_ripples(report, line, recorded),
        Some(_) if too_slow(report, spectrum.nyquist_hz, fastest_hz, ripples) => {}
        Some(ripples) => named(report, line, ripples, recorded, spectrum.piece_s),
    }
}

/// Says what to do when no line stands between two frequencies, but perhaps elsewhere.
fn no_ripple(report: &mut Report, low_hz: f64, high_hz: f64, outside: Option<&Peak>, piece_s: f64) {
    let text = if let Some(line) = outside {
        format!(
            "No speed is named: a strong line stands at {}, outside the range searched, which bars, brushes and the fastest speed put {}. Check these three first; then put the clamp on the motor's own lead and use its smaller range.",
            hertz(line.frequency_hz),
            if low_hz < high_hz {
                format!("between {} and {}", hertz(low_hz), hertz(high_hz))
            } else {
                format!("below {}", hertz(high_hz))
            }
        )
    } else if low_hz < high_hz {
        format!(
            "Between {} and {} no ripple stands clear of the noise, so no speed is named. Put the clamp on the motor's own lead, use its smaller range and sample faster.",
            hertz(low_hz),
            hertz(high_hz)
        )
    } else {
        format!(
            "No speed is named: a ripple of {} or slower does not show in a settled stretch so short. Record longer, and check bars, brushes and the fastest speed.",
            hertz(high_hz)
        )
    };
    report.finding(Level::Next, text);
    if let Some(line) = outside {
        hum(report, line, piece_s);
    }
}

/// The mean of the speed's column over the settled stretch.
fn report_speed(trace: &Trace) -> Option<f64> {
    let speeds = trace.recording.speed_rpm.get(trace.window.from..trace.window.to)?;
    Some(mean(speeds)).filter(|speed| *speed > 0.0)
}

/// Says so when ripple may be faster than the sampling shows.
fn too_slow(report: &mut Report, nyquist_hz: f64, fastest_hz: Option<f64>, ripples: Option<f64>) -> bool {
    let (Some(fastest_hz), Some(ripples)) = (fastest_hz, ripples) else { return false };
    if fastest_hz <= USABLE * nyquist_hz {
        return false;
    }
    report.finding(
        Level::Warning,
        format!(
            "No speed is named: {} rows in a second show ripple up to {}, {}, and a faster one would look like a slower. Record at least {} rows in a second, or type a lower “Fastest it may turn” if you are sure of it.",
            short((2.0 * nyquist_hz).round()),
            hertz(USABLE * nyquist_hz),
            rpm(60.0 * USABLE * nyquist_hz / ripples),
            short((ROWS_IN_A_RIPPLE * fastest_hz).ceil())
        ),
    );
    true
}

/// The speed with its working, held against the recorded one.
fn named(report: &mut Report, line: &Peak, ripples: f64, recorded: Option<f64>, piece_s: f64) {
    let (speed, uncertainty) = (60.0 * line.frequency_hz / ripples, 60.0 * line.uncertainty_hz / ripples);
    report.number("speed_rpm", speed);
    report.number("speed_uncertainty_rpm", uncertainty);
    report.step(
        "Speed",
        "n = 60 · f / N",
        format!("n = 60 · {} / {}", hertz(line.frequency_hz), short(ripples)),
        rpm(speed),
    );
    report.step(
        "Standard uncertainty of the speed",
        "u_n = 60 · u_f / N",
        format!("u_n = 60 · {} / {}", hertz(line.uncertainty_hz), short(ripples)),
        rpm(uncertainty),
    );
    report.finding(
        Level::Note,
        format!(
            "Two ripples less than {} apart look like one here: the spectrum is worked from {} of current at a time, and the shorter that time, the less it tells apart. The recorder's clock is taken as right.",
            hertz(2.0 / piece_s),
            seconds(piece_s)
        ),
    );
    let Some(recorded) = recorded else { return };
    let ratio = speed / recorded;
    if (ratio - 1.0).abs() <= (3.0 * uncertainty / recorded).max(0.02) {
        report.finding(
            Level::Note,
            format!("The recorded speed, {}, and that of the ripple agree within 2 % or three standard uncertainties.", rpm(recorded)),
        );
        return;
    }
    let other = 60.0 * line.frequency_hz / recorded;
    report.finding(
        Level::Warning,
        format!(
            "The recorded speed is {}, that of the ripple {}. By the recorded one a turn would have {} ripples: look at bars and brushes, or at the tachometer's marks.",
            rpm(recorded),
            rpm(speed),
            figures(other, 3)
        ),
    );
}

/// The ripple's frequency without a way to a speed.
fn without_ripples(report: &mut Report, line: &Peak, recorded: Option<f64>) {
    match recorded {
        Some(recorded) => report.finding(
            Level::Note,
            format!(
                "At the recorded {} this ripple comes {} times in a turn; hold that against the bars of the commutator.",
                rpm(recorded),
                figures(60.0 * line.frequency_hz / recorded, 4)
            ),
        ),
        None => report.finding(
            Level::Next,
            "Type the number of commutator bars, and the ripple gives the speed. A ripple faster than half the rows in a second would show as a slower one.",
        ),
    }
}

/// Says so when a line stands where rectified mains put one.
fn hum(report: &mut Report, line: &Peak, piece_s: f64) {
    let near = [50.0, 60.0, 100.0, 120.0, 300.0, 360.0]
        .into_iter()
        .find(|hum: &f64| (line.frequency_hz - hum).abs() < (1.0 / piece_s).min(0.02 * hum));
    if let Some(hum) = near {
        report.finding(
            Level::Warning,
            format!(
                "A line stands at {}, where a supply from the mains hums. Run the motor from a battery to see whether it goes.",
                hertz(hum)
            ),
        );
    }
}

fn table(peaks: &[Peak], ripples: Option<f64>) -> Table {
    let row = |peak: &Peak| {
        vec![
            hertz(peak.frequency_hz),
            amps(peak.amplitude),
            figures(peak.over_noise, 2),
            ripples.map_or_else(|| "not known".to_owned(), |ripples| rpm(60.0 * peak.frequency_hz / ripples)),
        ]
    };
    Table {
        title: "Strongest ripples".to_owned(),
        heads: vec!["Frequency", "Amplitude", "Power over noise", "Speed"],
        rows: peaks.iter().map(row).collect(),
    }
}

/// The mean of the whole lies between settled and peak, whatever the motor.
fn sense(report: &mut Report, trace: &Trace, settled: &Statistics) {
    let span = &trace.span;
    let energized = span.off_s - span.on_s;
    if energized <= 0.0 {
        return;
    }
    let greatest = report
        .number_of("peak_a")
        .unwrap_or_else(|| trace.recording.current_a[trace.greatest(span.on, span.off)]);
    let whole = trace.recording.charge_c() / energized;
    let between = whole >= 0.98 * settled.mean && whole <= greatest;
    let mean = if trace.window.settled { "settled" } else { "stretch's mean of" };
    let (time, most) = if span.begins() { ("energized", "peak") } else { ("recorded", "greatest row,") };
    report.sense = format!(
        "Charge over the time {time} is a mean of {}; it {} between the {mean} {} and the {most} {}{}",
        amps(whole),
        if between { "lies" } else { "does not lie" },
        amps(settled.mean),
        amps(greatest),
        if between {
            ", as it must."
        } else {
            ", so the settled stretch or the clamp's zero is not what it seems: look at the chart."
        }
    );
    if let Some(ratio) = report.number_of("peak_ratio").filter(|_| between) {
        report.sense.push_str(&format!(
            " A peak three to ten times the settled current is usual (common practice, no source); here it is {} times.",
            figures(ratio, 3)
        ));
    }
}
