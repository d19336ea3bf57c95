//! Sizes and times, printed beside their budgets: `cargo bench -p fieldcoil-tests`. Nothing here fails a build.

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use anyhow::{Context, Result, ensure};
use base64::prelude::{BASE64_STANDARD as STANDARD, Engine};
use fieldcoil_calc::catalog::CATALOG;
use fieldcoil_calc::circuit::{Device, Field, MotorLaw, solve};
use fieldcoil_calc::physics::run::run as motor_run;
use fieldcoil_calc::quantity::{NewtonMetre, Ohm, Second, Volt};
use fieldcoil_tests::browser::Chromium;
use fieldcoil_tests::motor::demo_sheet;
use fieldcoil_tests::page::CHOOSE_FILE;
use fieldcoil_tests::program::run;
use fieldcoil_tests::server::Server;
use fieldcoil_tests::site::Built;
use fieldcoil_tests::{pack, repository};
use serde_json::json;

#[path = "../../calc-wasm/examples/run_speed.rs"]
mod run_speed;

mod college;
mod grading;
mod previewing;
mod weights;

/// Times are taken so many times.
const RUNS: usize = 10;

/// What is measured, by the word that asks for it alone: `cargo bench -p fieldcoil-tests -- grade`.
type Part = (&'static str, fn(&Built) -> Result<()>);
const PARTS: &[Part] = &[
    ("run", |_| five_second_run()),
    ("circuit", |_| starter_circuit()),
    ("run-in-page", five_second_run_in_the_page),
    ("keystroke", keystroke),
    ("rows", million_rows),
    ("sizes", sizes),
    ("weights", weights::weights),
    ("first-result", first_result),
    ("site", |_| making_the_site()),
    ("grade", |_| grading::grading()),
    ("college", |_| college::college()),
    ("preview", |_| previewing::previewing()),
];

fn main() -> Result<()> {
    // Cargo adds a word with dashes of its own.
    let wanted: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    if let Some(unknown) = wanted.iter().find(|word| PARTS.iter().all(|(name, _)| name != word)) {
        let all: Vec<&str> = PARTS.iter().map(|(name, _)| *name).collect();
        anyhow::bail!("nothing is measured by the name `{unknown}`; there are {}", all.join(", "));
    }
    let site = Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures"))?;
    println!("{:<62} {:>20} {:>9}", "what", "figure", "budget");
    for (name, measure) in PARTS {
        if wanted.is_empty() || wanted.iter().any(|word| word == name) {
            measure(&site)?;
        }
    }
    Ok(())
}

fn row(what: &str, figure: &str, budget: &str) {
    println!("{what:<62} {figure:>20} {budget:>9}");
}

/// The kinds of field, in the order of `run_speed::demo`.
const KINDS: [&str; 3] = ["series", "permanent-magnet", "shunt"];

/// A run of five seconds of the course's demo motor (invented), once for each kind of field: the time of one run at a
/// millionth a step, and how far it is from the same run at 1e-13. `tests/reference/speed.py` sets scipy beside it.
fn five_second_run() -> Result<()> {
    for (kind, name) in (0..).zip(KINDS) {
        let (feed, motor) = run_speed::demo(kind);
        let work = |relative_tolerance| {
            motor_run(&feed, &motor, &run_speed::five_seconds(relative_tolerance))
                .map_err(|problem| anyhow::anyhow!("{problem:?}"))
        };
        let (reference, usual) = (work(1e-13)?, work(1e-6)?);
        let (most_current, most_speed) = (reference.peak().current.0, reference.at(Second(5.0)).speed.0);
        let error = reference.samples(200).iter().fold(0.0f64, |worst, exact| {
            let got = usual.at(exact.time);
            let current = (got.current - exact.current).0.abs() / most_current;
            worst.max(current).max((got.speed - exact.speed).0.abs() / most_speed)
        });
        let mut best = f64::INFINITY;
        for _ in 0..200 {
            let start = Instant::now();
            std::hint::black_box(run_speed::five_second_runs(kind, 10));
            best = best.min(start.elapsed().as_secs_f64() * 1e5);
        }
        row(&format!("5 s run, {name}, native"), &format!("{best:.0} µs"), "");
        row(&format!("5 s run, {name}: off from 1e-13"), &format!("{error:.1e}"), "");
    }
    Ok(())
}

/// The operating point of a whole starting system: its contacts close one after the other, and its motor settles.
fn starter_circuit() -> Result<()> {
    let devices = starting_system()?;
    let found = solve(&devices).map_err(|trouble| anyhow::anyhow!("{trouble}"))?;
    let closed = found.device.iter().filter(|through| through.closed == Some(true)).count();
    ensure!(closed == 2, "relay and solenoid close");
    let mut best = f64::INFINITY;
    for _ in 0..200 {
        let start = Instant::now();
        for _ in 0..10 {
            std::hint::black_box(solve(std::hint::black_box(&devices)).is_ok());
        }
        best = best.min(start.elapsed().as_secs_f64() * 1e5);
    }
    row(&format!("operating point, {} devices, native", devices.len()), &format!("{best:.0} µs"), "");
    Ok(())
}

/// Battery, cables and joints, key, fuse, neutral switch, relay, solenoid, motor, two ways to ground and two meters
/// (all values invented). Node 0 is the battery's minus.
fn starting_system() -> Result<Vec<Device>> {
    let wire = |from, to, ohms| Device::Resistance { from, to, value: Ohm(ohms) };
    let law = MotorLaw::of(&demo_sheet(Field::Series, NewtonMetre(4.0)))
        .map_err(|problem| anyhow::anyhow!("{problem:?}"))?;
    let relay = Device::Relay {
        coil_in: 10,
        coil_out: 15,
        common: 7,
        make: 11,
        break_: None,
        coil: Ohm(80.0),
        contact: Ohm(0.005),
        closes_at: Volt(7.0),
        drops_at: Volt(2.0),
    };
    let solenoid = Device::Solenoid {
        main_in: 4,
        start: 12,
        main_out: 5,
        case: 14,
        pull_in: Ohm(0.15),
        hold_in: Ohm(0.62),
        contact: Ohm(0.0002),
        closes_at: Volt(7.0),
        drops_at: Volt(3.0),
    };
    Ok(vec![
        Device::Source { plus: 1, minus: 0, open_circuit: Volt(12.6), internal: Ohm(0.006) },
        wire(1, 2, 0.0001),
        wire(2, 3, 0.0008),
        wire(3, 4, 0.0001),
        solenoid,
        wire(5, 6, 0.0003),
        Device::Motor { plus: 6, minus: 14, law },
        wire(2, 7, 0.002),
        wire(7, 8, 0.003),
        wire(8, 9, 0.01),
        wire(9, 10, 0.02),
        relay,
        wire(11, 12, 0.015),
        wire(14, 13, 0.0001),
        wire(13, 0, 0.0009),
        wire(14, 15, 0.005),
        wire(15, 0, 0.004),
        wire(1, 6, 1e7),
        wire(14, 0, 1e7),
        wire(8, 15, 4.0),
    ])
}

/// The same runs as WebAssembly in Chromium: `calc-wasm/examples/run_speed.rs`, compiled as the module is.
fn five_second_run_in_the_page(site: &Built) -> Result<()> {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join("run_speed.wasm");
    let built = Command::new(repository::root().join("calc-wasm/rebuild"))
        .args(["--example", "run_speed"])
        .arg(&file)
        .status()?;
    ensure!(built.success(), "the example does not compile to WebAssembly");
    let bytes = std::fs::read(&file)?;
    let mut browser = Chromium::start_unlogged()?;
    let server = Server::start(&site.folder, "/shop/course/")?;
    browser.open(&format!("{}index.html", server.address))?;
    let best = browser.run_later(RUN_IN_PAGE, &[json!(STANDARD.encode(bytes))])?;
    for (name, best) in KINDS.iter().zip(best.as_array().context("times")?) {
        row(&format!("5 s run, {name}, WebAssembly in Chromium"), &format!("{best} µs"), "1.6 x");
    }
    Ok(())
}

/// The least time of one run for each kind of field, in µs. The module's other imports are never called.
const RUN_IN_PAGE: &str = "
const [text, done] = [arguments[0], arguments[arguments.length - 1]];
const module = new WebAssembly.Module(Uint8Array.from(atob(text), letter => letter.charCodeAt(0)));
const nothing = new Proxy({}, { get: () => () => {} });
const imports = Object.fromEntries(WebAssembly.Module.imports(module).map(one => [one.module, nothing]));
const { exports } = new WebAssembly.Instance(module, imports);
const runs = exports[Object.keys(exports).find(name => name.startsWith('five_second_runs'))];
done([0, 1, 2].map(kind => {
    let best = Infinity;
    for (let i = 0; i < 200; i += 1) {
        const start = performance.now();
        runs(kind, 10);
        best = Math.min(best, (performance.now() - start) / 10);
    }
    return Math.round(best * 1000);
}));
";

/// One keystroke in each calculator, until the page has its new layout; with a meter's ± at every reading, too.
fn keystroke(site: &Built) -> Result<()> {
    let mut browser = Chromium::start_unlogged()?;
    let server = Server::start(&site.folder, "/shop/course/")?;
    for calculator in CATALOG {
        let page = site.page_with(&format!("data-calculator=\"{}\"", calculator.name));
        browser.open(&format!("{}{page}", server.address))?;
        for (how, spread) in [("", ""), (", ± at every reading", "1 % + 2")] {
            let times = browser.run_later(TYPE_ONCE, &[json!(calculator.name), json!(spread)])?;
            let times: Vec<f64> = serde_json::from_value(times)?;
            let figure = format!("{:.1} ms (best {:.1})", times[times.len() / 2], times[0]);
            row(&format!("{}: keystroke to new layout{how}", calculator.name), &figure, "8 ms");
        }
    }
    Ok(())
}

/// Sorted times of forty keystrokes in milliseconds: event, calculation, new elements, layout.
const TYPE_ONCE: &str = "
const [name, spread, done] = [arguments[0], arguments[1], arguments[arguments.length - 1]];
const section = document.querySelector(`[data-calculator='${name}']`);
for (const box of section.querySelectorAll('[data-part=plus-minus]')) {
    if (box.closest('[data-field]').querySelector('[data-part=number]').value) box.value = spread;
}
const box = section.querySelector('[data-part=number]');
const type = () => {
    const start = performance.now();
    box.dispatchEvent(new Event('input', { bubbles: true }));
    document.body.getBoundingClientRect();
    return performance.now() - start;
};
const times = [];
const next = () => {
    times.push(type());
    if (times.length < 40) requestAnimationFrame(next);
    else done(times.slice(5).sort((a, b) => a - b));
};
next();
";

/// A recording of a million rows chosen as a file, until its result stands in the page; and the longest time in which
/// the page answered nothing else meanwhile.
fn million_rows(site: &Built) -> Result<()> {
    let mut browser = Chromium::start_unlogged()?;
    let server = Server::start(&site.folder, "/shop/course/")?;
    let page = site.page_with("data-calculator=\"trace-reading\"");
    for (way, base, budget) in
        [("http", server.address.clone(), "1500 ms"), ("file", site.file_address(""), "1500 ms")]
    {
        let (mut all, mut still) = (Vec::new(), Vec::new());
        for _ in 0..5 {
            browser.open(&format!("{base}{page}"))?;
            let times = browser.run_later(CHOOSE_FILE, &[json!(1_000_000)])?;
            all.push(times[0].as_f64().context("a time")?);
            still.push(times[1].as_f64().context("a time")?);
        }
        for (what, times, budget) in
            [("until its result", &mut all, budget), ("page held up", &mut still, "")]
        {
            times.sort_by(f64::total_cmp);
            let figure = format!("{:.0} ms (best {:.0})", times[2], times[0]);
            row(&format!("a million rows, {way}: {what}"), &figure, budget);
        }
    }
    Ok(())
}

fn sizes(site: &Built) -> Result<()> {
    let dist = repository::root().join("calc-wasm/dist");
    let module = std::fs::read(dist.join("calc.wasm"))?;
    let glue = std::fs::read(dist.join("calc.js"))?;
    let (packed_module, packed_glue) = (pack::gzip(&module)?, pack::gzip(&glue)?);
    row("module", &format!("{} B", module.len()), "");
    row("module, gzip", &format!("{packed_module} B"), "");
    row("glue", &format!("{} B", glue.len()), "");
    row("glue, gzip", &format!("{packed_glue} B"), "");
    row("module and glue, gzip", &format!("{} B", packed_module + packed_glue), "100000 B");
    let (name, script) =
        site.site.files.iter().find(|(path, _)| path.ends_with(".js")).context("the site has a script")?;
    row(&format!("{name}, as a page carries it"), &format!("{} B", script.len()), "");
    row("the same, gzip", &format!("{} B", pack::gzip(script)?), "");
    for (path, bytes) in
        site.site.files.iter().filter(|(path, _)| path.ends_with(".html") || path.ends_with(".css"))
    {
        row(path, &format!("{} B", bytes.len()), "");
    }
    Ok(())
}

/// Notes when the first result is live; the clock of a page starts with its navigation.
const WATCH: &str = "
new MutationObserver((_, watch) => {
    if (document.querySelector('.result[data-state=live]')) { window.firstResult = performance.now(); watch.disconnect(); }
}).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ['data-state'] });
addEventListener('DOMContentLoaded', () => { window.contentLoaded = performance.now(); });
";

fn first_result(site: &Built) -> Result<()> {
    let mut browser = Chromium::start_unlogged()?;
    browser.before_every_page(WATCH)?;
    let server = Server::start(&site.folder, "/shop/course/")?;
    for name in ["voltage-drop", "expected-draw", "bench-verdict"] {
        let page = site.page_with(&format!("data-calculator=\"{name}\""));
        let bare = bare_copy(site, page)?;
        for (way, base) in [("http", server.address.clone()), ("file", site.file_address(""))] {
            let (mut live, mut plain) = (Vec::new(), Vec::new());
            // One after the other, so that whatever else the machine does falls on both alike.
            for _ in 0..RUNS {
                live.push(stopwatch(&mut browser, &format!("{base}{page}"), "firstResult")?);
                plain.push(stopwatch(&mut browser, &format!("{base}{bare}"), "contentLoaded")?);
            }
            row(&format!("{name}, {way}: navigation to first live result"), &times(&mut live), "200 ms");
            row(&format!("{name}, {way}: the page without calculators, loaded"), &times(&mut plain), "");
        }
    }
    Ok(())
}

fn stopwatch(browser: &mut Chromium, address: &str, mark: &str) -> Result<f64> {
    browser.open("about:blank")?;
    browser.open(address)?;
    let time = browser.run(&format!("return window.{mark}"), &[])?;
    time.as_f64().with_context(|| format!("{address}: no {mark}"))
}

/// A copy of a page without its script and its calculators, beside it.
fn bare_copy(site: &Built, page: &str) -> Result<String> {
    let html = std::str::from_utf8(&site.site.files[page])?;
    let bare =
        without(&without(html, "<script ", "</script>"), "<section class=\"calculator\"", "</section>");
    let name = page.replace(".html", "-bare.html");
    std::fs::write(site.folder.join(&name), bare)?;
    Ok(name)
}

/// The text without every stretch from `start` to the `end` after it.
fn without(text: &str, start: &str, end: &str) -> String {
    let mut parts = text.split(start);
    let first = parts.next().unwrap_or_default().to_owned();
    parts.filter_map(|part| part.split_once(end)).fold(first, |kept, (_, after)| kept + after)
}

fn making_the_site() -> Result<()> {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures-site").display().to_string();
    run(&["site", "content", "--out", &out]);
    let mut all = Vec::new();
    for _ in 0..RUNS {
        // Into an empty place, where every file has to be written.
        std::fs::remove_dir_all(&out)?;
        let start = Instant::now();
        let said = run(&["site", "content", "--out", &out]);
        ensure!(said.status == 0, "the default course does not build: {}", said.errors);
        all.push(start.elapsed().as_secs_f64() * 1000.0);
    }
    row("fieldcoil site, default course", &times(&mut all), "500 ms");
    Ok(())
}

/// The median, and the best, which is nearest to what the machine can do.
fn times(times: &mut [f64]) -> String {
    times.sort_by(f64::total_cmp);
    let median = (times[RUNS / 2 - 1] + times[RUNS / 2]) / 2.0;
    format!("{median:.0} ms (best {:.0})", times[0])
}
