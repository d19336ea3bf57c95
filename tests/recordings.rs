//! The recordings of the course: they are what the simulation gives, and the calculator reads from them what went in.

use std::fs;

use anyhow::{Context, Result};
use fieldcoil_calc::catalog::find;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::physics::run::{Setting, run};
use fieldcoil_calc::physics::steady::steady;
use fieldcoil_calc::quantity::{Celsius, Rpm, Second};
use fieldcoil_calc::report::Report;
use fieldcoil_tests::repository;

#[path = "../calc-wasm/examples/recordings.rs"]
mod recordings;

use recordings::{Scene, currents, scenes, text};

fn scene(name: &str) -> Scene {
    scenes().into_iter().find(|scene| scene.name == name).expect("a scene of this name")
}

/// What `trace-reading` says of a file of the course.
fn reading(name: &str, settings: &[(&str, &str)]) -> Result<Report> {
    let text = fs::read_to_string(repository::root().join(format!("content/traces/{name}.csv")))?;
    let calculator = find("trace-reading").context("the calculator")?;
    let mut inputs = Inputs::starting(calculator);
    for (field, value) in [("trace", text.as_str())].iter().chain(settings) {
        inputs.set(field, value).map_err(|problem| anyhow::anyhow!("{problem}"))?;
    }
    calculator.evaluate(&inputs).map_err(|refusal| anyhow::anyhow!("{name}: {refusal}"))
}

fn number(report: &Report, name: &str) -> f64 {
    report.number_of(name).unwrap_or_else(|| panic!("no `{name}`"))
}

#[test]
fn the_files_are_what_the_simulation_gives() -> Result<()> {
    let all = scenes();
    assert_eq!(all.len(), fs::read_dir(repository::root().join("content/traces"))?.count());
    for scene in all {
        let path = repository::root().join(format!("content/traces/{}.csv", scene.name));
        let file = fs::read_to_string(&path).with_context(|| path.display().to_string())?;
        assert!(
            file == text(&scene),
            "{} is not what the simulation gives: cargo run -p fieldcoil-calc --example recordings",
            scene.name
        );
    }
    Ok(())
}

/// The simulation of the recordings against the library's own run of the same motor, which is held against scipy.
#[test]
fn the_good_motor_runs_as_the_library_runs_it() {
    let scene = scene("good-motor");
    let setting = Setting {
        duration: Second(scene.spans_s[1]),
        load: scene.extra_drag,
        start_temperature: Celsius(20.0),
        heat_capacity: None,
        relative_tolerance: 1e-10,
        most_steps: 1_000_000,
    };
    let run = run(&scene.feed, &scene.motor, &setting).expect("a run");
    let before = (scene.spans_s[0] / scene.row_s).round() as usize;
    let rows = currents(&scene);
    for row in 0..(scene.spans_s[1] / scene.row_s) as usize {
        let expected = run.at(Second(row as f64 * scene.row_s)).current.0;
        let got = rows[before + row];
        assert!((got - expected).abs() < 1e-4 * expected.abs().max(1.0), "row {row}: {got} and {expected}");
    }
}

/// Each settled current against the one that torque and drag leave, by bisection in the library.
#[test]
fn each_settled_current_is_that_of_its_motor() -> Result<()> {
    for name in ["good-motor", "dragging-bearing", "open-field-coil"] {
        let scene = scene(name);
        let expected = steady(&scene.feed, &scene.motor, scene.extra_drag).context("it turns")?;
        let report = reading(name, &[])?;
        let (got, uncertainty) = (number(&report, "settled_a"), number(&report, "settled_uncertainty_a"));
        let band = 4.0 * uncertainty + 0.2;
        assert!((got - expected.current.0).abs() < band, "{name}: {got} A and {} A", expected.current.0);
    }
    Ok(())
}

#[test]
fn each_fault_shows_as_the_lesson_says() -> Result<()> {
    let good = reading("good-motor", &[])?;
    let (settled, spread) = (number(&good, "settled_a"), number(&good, "spread_a"));
    assert!((40.0..=80.0).contains(&settled), "within the limits of the sheet: {settled} A");

    let dragging = reading("dragging-bearing", &[])?;
    assert!(number(&dragging, "settled_a") > 80.0, "over the limit of the sheet");
    assert!(number(&dragging, "settle_time_s") < number(&good, "settle_time_s"), "it has less far to go");

    let open = reading("open-field-coil", &[])?;
    assert!(number(&open, "settled_a") > settled && number(&open, "peak_a") < number(&good, "peak_a"));
    let scene = scene("open-field-coil");
    let whole =
        steady(&recordings::demo_bench(), &recordings::demo_motor(), scene.extra_drag).context("it turns")?;
    let half = steady(&scene.feed, &scene.motor, scene.extra_drag).context("it turns")?;
    assert!(half.speed.0 > whole.speed.0, "a weak field runs fast: {} rpm", Rpm::from(half.speed).0);

    let worn = reading("worn-brushes", &[])?;
    assert!(number(&worn, "peak_a") < number(&good, "peak_a"));
    assert!(number(&worn, "spread_a") > 4.0 * spread, "brushes that jump");
    Ok(())
}

#[test]
fn the_weak_cylinder_is_the_low_hump_of_four() -> Result<()> {
    let report = reading("cranking-weak-cylinder", &[("kind", "cranking"), ("cylinders", "4")])?;
    let speed = number(&report, "cranking_rpm");
    // Counted in the simulation itself: turns of the crankshaft over the same time.
    assert!((150.0..250.0).contains(&speed), "{speed} rpm");
    let lowest = number(&report, "weakest_percent");
    assert!((40.0..75.0).contains(&lowest), "{lowest} %");
    Ok(())
}
