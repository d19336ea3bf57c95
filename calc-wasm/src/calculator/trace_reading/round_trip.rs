//! Tests: traces whose truth is known are written as text, with noise, and read back.

use std::f64::consts::{PI, TAU};

use super::CALCULATOR;
use crate::math::sine;
use crate::physics::motor::{Drag, Excitation, Feed, Magnetization, Motor};
use crate::physics::run::{Run, Setting, run};
use crate::quantity::{
    Celsius, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, Rpm, Second, Volt,
};
use crate::refusal::Refusal;
use crate::report::{Level, Report, Value};

/// Noise with a standard deviation of one, by the sum of twelve even numbers.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        let mut sum = -6.0;
        for _ in 0..12 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            sum += (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        }
        sum
    }
}

fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
    CALCULATOR.work(settings)
}

fn number(report: &Report, name: &str) -> f64 {
    report.number_of(name).unwrap_or_else(|| panic!("no {name}: {:?}", report.findings))
}

fn says(report: &Report, level: Level, words: &str) -> bool {
    report.findings.iter().any(|finding| finding.level == level && finding.text.contains(words))
}

fn motor_run(excitation: Excitation) -> Run {
    let feed = Feed {
        source: Volt(12.6),
        source_resistance: Ohm(0.006),
        lead_resistance: Ohm(0.0015),
        brush_drop: Volt(1.0),
    };
    let motor = Motor {
        excitation,
        winding: Ohm(0.012),
        inductance: Henry(0.000_1),
        inertia: KilogramSquareMetre(0.000_8),
        drag: Drag { steady: NewtonMetre(0.3), viscous_nms: 1e-4, windage_nms2: 2e-7 },
    };
    let setting = Setting {
        duration: Second(2.5),
        load: NewtonMetre(0.0),
        start_temperature: Celsius(20.0),
        heat_capacity: None,
        relative_tolerance: 1e-9,
        most_steps: 200_000,
    };
    run(&feed, &motor, &setting).expect("smooth")
}

/// Fast enough for 58 ripples a turn at 16,000 rpm.
const STEP_S: f64 = 3e-5;
const NOISE_A: f64 = 0.8;
const RIPPLE_A: f64 = 1.0;
const RIPPLES: f64 = 58.0;
const OFFSET_A: f64 = 1.7;
const BEFORE_S: f64 = 0.1;

/// The run as a recorder would write it: a clamp off zero, noise, and ripple in step with the armature.
fn recorded(run: &Run, seed: u64) -> String {
    let mut noise = Noise(seed);
    let mut phase = 0.0;
    let mut text = "Time (s);I (A);U (V)\r\n".to_owned();
    for row in 0..86_668 {
        let time = f64::from(row) * STEP_S - BEFORE_S;
        let moment = run.at(Second(time.max(0.0)));
        phase += RIPPLES * moment.speed.0 / TAU * STEP_S;
        let current = if time >= 0.0 { moment.current.0 + RIPPLE_A * sine(TAU * phase) } else { 0.0 };
        let shown = current + OFFSET_A + NOISE_A * noise.next();
        text.push_str(
            &format!("{:.6};{shown:.2};{:.3}\r\n", time + BEFORE_S, moment.terminal.0).replace('.', ","),
        );
    }
    text
}

#[test]
fn a_simulated_run_comes_back_from_its_own_recording() {
    let series = Excitation::Series(Magnetization {
        full: NewtonMetrePerAmpere(0.03),
        half_at: crate::quantity::Ampere(150.0),
    });
    let magnets = Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(0.012) };
    for (seed, excitation) in [(1, magnets), (2, series), (3, magnets)] {
        let run = motor_run(excitation);
        let end = run.at(Second(2.5));
        let text = recorded(&run, seed);
        let report =
            work(&[("trace", text.as_str()), ("bars", "29"), ("fastest_rpm", "16000")]).expect("read");
        // The greatest of some hundred noisy rows near the top lies up to four deviations and the ripple too high.
        let peak = number(&report, "peak_a") - run.peak().current.0;
        assert!((-RIPPLE_A..4.0 * NOISE_A + RIPPLE_A).contains(&peak), "{seed}: peak off by {peak}");
        assert!((number(&report, "zero_offset_a") - OFFSET_A).abs() < 0.1, "{seed}: zero");
        // The settled stretch may begin 0.5 % above its mean; zero and mean are known to some hundredths of an ampere.
        let settled = number(&report, "settled_a") - end.current.0;
        assert!(settled.abs() < 0.005 * end.current.0 + 0.1, "{seed}: settled off by {settled}");
        // The mean speed of that stretch is that much below the last one; the ripple's frequency adds next to nothing.
        let speed = number(&report, "speed_rpm") / Rpm::from(end.speed).0 - 1.0;
        assert!(speed.abs() < 0.003, "{seed}: speed off by {speed}");
        // Noise of block means (0.8 A / √250) and half a block of 12 ms.
        let time =
            number(&report, "settle_time_s") - run.time_to_settle(end.current, 0.05).expect("settles").0;
        assert!(time.abs() < 0.03, "{seed}: time to settle off by {time}");
        // Charge: noise and zero over 86,000 rows; the ripple averages out.
        let energy = run.energy();
        let charge = number(&report, "charge_c") - energy.source.0 / 12.6;
        assert!(charge.abs() < 0.2, "{seed}: charge off by {charge}");
        assert!(report.sense.contains("as it must"), "{}", report.sense);
    }
}

#[test]
fn a_fresh_form_gives_peak_settled_and_ripple() {
    let report = work(&[]).expect("worked");
    assert!((number(&report, "settled_a") - 62.0).abs() < 0.6);
    assert!((number(&report, "zero_offset_a") - 1.2).abs() < 0.3);
    assert!((number(&report, "ripple_hz") - 390.0).abs() < 1.0);
    assert_eq!(report.number_of("speed_rpm"), None);
    assert!(says(&report, Level::Next, "commutator bars"));
    assert_eq!(report.charts.len(), 2);
}

#[test]
fn a_speed_is_named_only_when_the_sampling_allows_it() {
    let slow = work(&[("bars", "13")]).expect("worked");
    assert_eq!(slow.number_of("speed_rpm"), None);
    assert!(says(&slow, Level::Warning, "Record at least 6500 rows"), "{:?}", slow.findings);
    let sure = work(&[("bars", "13"), ("fastest_rpm", "1000")]).expect("worked");
    let speed = number(&sure, "speed_rpm");
    assert!((speed - 900.0).abs() < 3.0 * number(&sure, "speed_uncertainty_rpm") + 0.5, "{speed}");
    let typed = work(&[("ripples_per_turn", "13"), ("fastest_rpm", "2000")]).expect("worked");
    assert!((number(&typed, "speed_rpm") / speed - 2.0).abs() < 1e-9);
}

#[test]
fn a_range_is_never_told_the_wrong_way_round() {
    let slow = work(&[("bars", "25"), ("brushes", "4")]).expect("worked");
    assert!(says(&slow, Level::Warning, "1000 rows in a second show ripple up to 475.0 Hz"));
    assert!(!slow.findings.iter().any(|finding| finding.text.contains("Between")), "{:?}", slow.findings);
    let text: String = (0..120).map(|row| format!("{row};{}\n", 50 + row * 7 % 3)).collect();
    for fastest in ["60", "600"] {
        let settings = [("trace", text.as_str()), ("ripples_per_turn", "1"), ("fastest_rpm", fastest)];
        let short = work(&[&settings[..], &[("time_unit", "ms")]].concat()).expect("worked");
        assert!(says(&short, Level::Next, "No speed is named"), "{:?}", short.findings);
        assert!(
            !short.findings.iter().any(|finding| finding.text.contains("etween")),
            "{:?}",
            short.findings
        );
    }
}

#[test]
fn a_wrong_number_of_bars_is_thought_of_before_the_clamp() {
    let report = work(&[("bars", "4"), ("brushes", "2"), ("fastest_rpm", "4000")]).expect("worked");
    assert_eq!((report.number_of("ripple_hz"), report.number_of("speed_rpm")), (None, None));
    let advice = report.findings.iter().find(|finding| finding.text.contains("a strong line stands at"));
    let advice = &advice.unwrap_or_else(|| panic!("{:?}", report.findings)).text;
    assert!(advice.contains("outside the range searched") && advice.contains("and 266.7 Hz"), "{advice}");
    assert!(advice.find("Check these three first") < advice.find("clamp"), "{advice}");
}

#[test]
fn a_typed_stretch_that_still_falls_is_not_settled() {
    let falls = work(&[("settled_from_s", "0.04"), ("settled_to_s", "0.09")]).expect("worked");
    assert!(says(&falls, Level::Warning, "has not settled in the stretch that you typed"));
    for output in ["settle_time_s", "peak_ratio"] {
        assert_eq!(falls.number_of(output), None, "{output}");
    }
    assert!(!falls.sense.contains("settled"), "{}", falls.sense);
    let stays = work(&[("settled_from_s", "0.1"), ("settled_to_s", "0.18")]).expect("worked");
    assert!(!stays.findings.iter().any(|finding| finding.text.contains("has not settled")));
    assert!((number(&stays, "settle_time_s") - 0.067).abs() < 0.01);
    assert!(stays.sense.contains("here it is 5.7"), "{}", stays.sense);
}

#[test]
fn a_cut_out_of_a_run_claims_nothing_about_the_start() {
    let mut noise = Noise(3);
    let text: String =
        (0..6000).map(|row| format!("{}, {:.2}\n", f64::from(row) * 1e-3, 60.0 + noise.next())).collect();
    for kind in ["bench", "cranking"] {
        let report = work(&[("trace", &text), ("kind", kind)]).expect("worked");
        for output in ["peak_a", "peak_after_s", "settle_time_s", "peak_ratio", "energized_s"] {
            assert_eq!(report.number_of(output), None, "{kind}: {output}");
        }
        assert!(says(&report, Level::Warning, "The recording begins when the current already flows"));
        assert!(!report.sense.contains("three to ten"), "{}", report.sense);
    }
    let bench = work(&[("trace", &text)]).expect("worked");
    assert!(says(&bench, Level::Warning, "energized for at least 6.00 s. Five seconds"));
    // What falls is a kick all the same, though its top may be missing.
    let falls: String = (0..3000)
        .map(|row| format!("{row}, {:.2}\n", 60.0 + 300.0 * crate::math::power(0.5, f64::from(row) / 100.0)))
        .collect();
    let report = work(&[("trace", &falls), ("time_unit", "ms")]).expect("worked");
    assert!((number(&report, "peak_a") - 360.0).abs() < 1.0);
    assert!(says(&report, Level::Warning, "The true peak may be higher"));
}

#[test]
fn noise_alone_names_no_speed() {
    let mut noise = Noise(4);
    let text: String =
        (0..5000).map(|row| format!("{}, {:.2}\n", f64::from(row) * 1e-4, 60.0 + noise.next())).collect();
    let report = work(&[("trace", &text), ("bars", "29"), ("fastest_rpm", "4500")]).expect("worked");
    assert_eq!(report.number_of("ripple_hz"), None);
    assert!(says(&report, Level::Next, "no ripple stands clear"));
}

/// A cranked engine: kick, then one hump a cylinder, with these heights in the firing order.
fn cranked(heights: &[f64], speed_rpm: f64, seconds: f64) -> String {
    let mut noise = Noise(8);
    let rate = heights.len() as f64 * speed_rpm / 120.0;
    (0..(seconds * 2000.0) as u32)
        .map(|row| {
            let time = f64::from(row) / 2000.0;
            let since = time - 0.2;
            let phase = (since.max(0.0) - 0.1) * rate;
            let hump = sine(PI * (phase - phase.floor()));
            let place = phase.floor().rem_euclid(heights.len() as f64) as usize;
            let flows = 130.0 + 300.0 * crate::math::power(0.5, since / 0.03) + heights[place] * hump * hump;
            format!("{time}\t{:.1}\n", noise.next() + if since >= 0.0 { flows } else { 0.0 })
        })
        .collect()
}

#[test]
fn a_cranked_engine_gives_its_speed_and_its_weak_cylinder() {
    let text = cranked(&[80.0, 80.0, 44.0, 80.0], 190.0, 4.0);
    let report = work(&[("trace", &text), ("kind", "cranking")]).expect("worked");
    let speed = number(&report, "cranking_rpm");
    assert!((speed / 190.0 - 1.0).abs() < 0.01, "{speed}");
    assert!(
        (number(&report, "weakest_percent") - 55.0).abs() < 6.0,
        "{}",
        number(&report, "weakest_percent")
    );
    assert!(says(&report, Level::Next, "this trace cannot say"));
    assert!(says(&report, Level::Next, "the signal of the camshaft sensor"));
    assert!(number(&report, "cranking_a") > 130.0 && report.number_of("settled_a").is_none());
    let title = &report.tables.iter().find(|table| table.heads[0] == "Hump").expect("a table").title;
    assert!(title.contains("the first whole hump after the first kick, at 0."), "{title}");
    let even = work(&[("trace", &cranked(&[80.0; 6], 160.0, 4.0)), ("kind", "cranking"), ("cylinders", "6")])
        .expect("worked");
    assert!(number(&even, "weakest_percent") > 90.0);
    assert!(says(&even, Level::Note, "compress alike"));
    assert!(matches!(even.value("humps"), Some(Value::Text(words)) if words.matches('%').count() == 6));
}

#[test]
fn a_bench_run_read_as_a_crank_has_no_compressions() {
    let report = work(&[("kind", "cranking")]).expect("worked");
    assert_eq!(report.number_of("cranking_rpm"), None);
    assert!(says(&report, Level::Next, "No compressions"));
}

#[test]
fn what_is_wrong_with_a_file_is_told_with_lines() {
    let mut lines: Vec<String> = (0..300).map(|row| format!("{row};{}", 50 + row % 3)).collect();
    lines[100] = "100;oops".to_owned();
    lines[150] = lines[149].clone();
    lines.swap(200, 201);
    lines.drain(250..260);
    let report = work(&[("trace", &lines.join("\n")), ("time_unit", "ms")]).expect("worked");
    assert!(says(
        &report,
        Level::Note,
        "1 row could not be read and was left out: line 101. The first is “100;oops”"
    ));
    assert!(says(
        &report,
        Level::Note,
        "1 row repeats the time of another; rows of one time are averaged: line 151"
    ));
    assert!(says(&report, Level::Warning, "sorted into place: line 202"), "{:?}", report.findings);
    assert!(says(&report, Level::Warning, "steps between rows are longer"), "{:?}", report.findings);
}

#[test]
fn a_chosen_stretch_is_used_and_one_beside_the_recording_is_not() {
    let text: String = (0..1000).map(|row| format!("{} {}\n", f64::from(row) / 100.0, row)).collect();
    let report = work(&[("trace", &text), ("settled_from_s", "2"), ("settled_to_s", "4")]).expect("worked");
    assert!((number(&report, "stretch_a") - 300.0).abs() < 1e-9 && report.number_of("settled_a").is_none());
    let beside = work(&[("trace", &text), ("settled_from_s", "200 s")]).expect("worked");
    assert!(says(&beside, Level::Warning, "which runs from 0.00 s to 9.99 s"), "{:?}", beside.findings);
    let refusal = work(&[("settled_from_s", "5"), ("settled_to_s", "4")]).expect_err("backwards");
    assert!(refusal.to_string().contains("ends before it begins"));
}

#[test]
fn a_current_that_stands_at_one_value_has_no_spread() {
    let text = "1,5\n2,5\n".to_owned() + &(3..300).map(|row| format!("{row},5\n")).collect::<String>();
    let report = work(&[("trace", &text)]).expect("worked");
    assert_eq!((number(&report, "settled_a"), number(&report, "spread_a")), (5.0, 0.0));
    let zero = work(&[("trace", &text.replace(",5", ",0"))]).expect_err("no current");
    assert!(zero.to_string().contains("zero in every row"));
}

#[test]
fn the_clamp_of_a_scope_is_scaled() {
    let text: String = (0..200).map(|row| format!("{row};{}\n", 500 + row % 2)).collect();
    let text = format!("t [ms];CH1 [mV]\n{text}");
    let refusal = work(&[("trace", &text)]).expect_err("millivolts");
    assert!(refusal.to_string().contains("Choose the scale of the clamp"), "{refusal}");
    let report = work(&[("trace", &text), ("current_unit", "mV 10")]).expect("worked");
    assert!((number(&report, "settled_a") - 50.05).abs() < 1e-9);
    assert!((number(&report, "sampling_hz") - 1000.0).abs() < 1e-6);
}

#[test]
fn a_current_that_never_settles_has_no_settled_current() {
    for idle in [0, 50] {
        let text: String = (0..400 + idle)
            .map(|row| {
                let since = f64::from(row - idle);
                let flows = 400.0 * crate::math::exponential(-since / 3000.0) + 50.0;
                format!("{row};{}\n", if since < 0.0 { 0.0 } else { flows })
            })
            .collect();
        let report = work(&[("trace", &text), ("time_unit", "ms")]).expect("worked");
        assert_eq!((report.number_of("settled_a"), report.number_of("settled_uncertainty_a")), (None, None));
        assert!(number(&report, "stretch_a") > 390.0);
        assert!(says(&report, Level::Warning, "has not settled when the recording ends"), "{idle}");
    }
}

#[test]
fn the_uncertainty_of_the_zero_is_in_that_of_the_settled_mean() {
    // A zero of eight rows and two at the switch, 1 A either side; the current itself does not scatter.
    let text: String = (0..400)
        .map(|row| format!("{row};{}\n", if row < 10 { f64::from(row % 2) * 2.0 - 1.0 } else { 60.0 }))
        .collect();
    let report = work(&[("trace", &text), ("time_unit", "ms")]).expect("worked");
    // Deviation √(8/7), over the root of eight rows.
    let known = crate::math::square_root(8.0 / 7.0 / 8.0);
    assert!((number(&report, "settled_uncertainty_a") / known - 1.0).abs() < 1e-9);
}

#[test]
fn a_crank_read_as_a_bench_run_is_pointed_out() {
    let words = "choose “in the vehicle, cranking”";
    let crank = work(&[("trace", &cranked(&[80.0; 4], 190.0, 4.0))]).expect("worked");
    assert!(says(&crank, Level::Next, words), "{:?}", crank.findings);
    let bench = work(&[]).expect("worked");
    assert!(!says(&bench, Level::Next, words) && says(&bench, Level::Warning, "motor clamped"));
}
