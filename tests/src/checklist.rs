//! The checklist of the free-spin test, as tests in a browser go through it, with clocks that can be put forward.

use std::ops::RangeInclusive;
use std::sync::{MutexGuard, Once};

use anyhow::{Context, Result, ensure};
use serde_json::json;

use crate::browser::{Chromium, shared};

/// The page of a list with every kind of step; the list is the first one there.
pub const PAGE: &str = "the-free-spin-bench-test.html";

/// Which of its steps is what, by number.
#[derive(Debug)]
pub struct List {
    /// How many there are.
    pub steps: u64,
    /// The instructor's check, the last one of the first phase.
    pub check: u64,
    /// The motor is energized.
    pub press: u64,
    /// It is let go of.
    pub release: u64,
    /// It rests.
    pub rest: u64,
    /// It is energized a second time.
    pub second_press: u64,
    /// It rests again: the last step of the run.
    pub last_rest: u64,
    /// The sentences said to the student, tags and all.
    pub says: Vec<String>,
}

impl List {
    /// Reads the list from its page.
    pub fn of(html: &str) -> Result<List> {
        let list = html.split_once("id=\"hookup-1\"").and_then(|(_, rest)| rest.split_once("</section>"));
        let list = list.context("a page with a list")?.0;
        let after = |mark: &str| -> Vec<&str> {
            list.split(mark).skip(1).map(|rest| rest.split(['"', '<']).next().unwrap_or_default()).collect()
        };
        let actions = after("data-action=\"");
        let all = |action: &str| -> Result<[u64; 2]> {
            let found = (1..).zip(&actions).filter(|(_, other)| **other == action).map(|(step, _)| step);
            found
                .collect::<Vec<u64>>()
                .try_into()
                .map_err(|found| anyhow::anyhow!("{action}: {found:?}, not two"))
        };
        let [press, second_press] = all("energize")?;
        let [release, _] = all("release")?;
        let [rest, last_rest] = all("rest")?;
        let check = actions.iter().position(|action| *action == "instructor-check").context("a check")?;
        Ok(List {
            steps: actions.len() as u64,
            check: check as u64 + 1,
            press,
            release,
            rest,
            second_press,
            last_rest,
            says: after("<span class=\"step-say\">").into_iter().map(str::to_owned).collect(),
        })
    }
}

/// Puts the page's clocks forward by so many milliseconds; the wall's keeps its lead over a reload, as time does.
/// Held, they go only so. Stands for the browser's sound too, and writes down each beep.
const CLOCKS: &str = "
if (!window.forward) {
    let lead, page = 0;
    // Not at once: storage that is asked for before the page has an address of its own stays empty for good.
    const wall = () => lead ??= Number(localStorage.getItem('wall') || 0);
    const date = Date.now, since = performance.now.bind(performance);
    Date.now = () => date() + (document.readyState === 'loading' ? 0 : wall());
    performance.now = () => since() + page;
    window.forward = ms => { lead = wall() + ms; page += ms; localStorage.setItem('wall', lead); };
    window.hold = () => {
        const [day, moment] = [Date.now(), performance.now()];
        const [leadThen, pageThen] = [wall(), page];
        Date.now = () => day - leadThen + lead;
        performance.now = () => moment - pageThen + page;
    };
    window.faults = [];
    addEventListener('error', event => faults.push(event.message));
    addEventListener('unhandledrejection', event => faults.push(String(event.reason)));
    window.beeps = 0;
    window.outs = 0;
    window.AudioContext = class {
        currentTime = 0;
        destination = {};
        constructor() { if (window.silent) throw new Error('no sound'); outs += 1; }
        resume() { return Promise.resolve(); }
        close() { return Promise.resolve(); }
        createOscillator() {
            return { frequency: { value: 0 }, connect(to) { return to; }, start() { beeps += 1; }, stop() {} };
        }
    };
}";

/// The browser, whose pages have clocks that can be put forward.
pub fn bench() -> MutexGuard<'static, Chromium> {
    static CLOCKED: Once = Once::new();
    let mut browser = shared();
    CLOCKED.call_once(|| browser.before_every_page(CLOCKS).expect("a browser takes a script"));
    browser
}

/// Opens the page as somebody does who has never been there.
pub fn open_fresh(browser: &mut Chromium, address: &str) -> Result<()> {
    browser.open(address)?;
    browser.run("localStorage.clear()", &[])?;
    browser.open("about:blank")?;
    browser.open(address)
}

/// The box of a step.
pub fn box_of(step: u64) -> String {
    format!("#hookup-1-{step}")
}

/// The button of a step's timer.
pub fn timer_of(step: u64) -> String {
    format!("#hookup-1-{step}-timer")
}

/// Puts the page's clocks forward.
pub fn forward(browser: &mut Chromium, ms: u32) -> Result<()> {
    browser.run("forward(arguments[0])", &[json!(ms)])?;
    Ok(())
}

/// Holds the page's clocks until the page is left: they go on only when they are put forward.
pub fn hold(browser: &mut Chromium) -> Result<()> {
    browser.run("hold()", &[])?;
    Ok(())
}

/// A second later: what is pressed now is no bounce of what was pressed before.
pub fn pause(browser: &mut Chromium) -> Result<()> {
    forward(browser, 1000)
}

/// How many steps are ticked; they have to be the first ones.
pub fn done(browser: &mut Chromium) -> Result<u64> {
    let script =
        "return [...document.querySelectorAll('#hookup-1 [data-step]:checked')].map(b => +b.dataset.step)";
    let ticked: Vec<u64> = serde_json::from_value(browser.run(script, &[])?)?;
    ensure!(ticked.iter().copied().eq(1..=ticked.len() as u64), "ticked are {ticked:?}");
    Ok(ticked.len() as u64)
}

/// The text of a part of the list.
pub fn said(browser: &mut Chromium, part: &str) -> Result<String> {
    let script = "return document.querySelector(`#hookup-1 [data-part=\"${arguments[0]}\"]`).textContent";
    Ok(browser.run(script, &[json!(part)])?.as_str().context("a text")?.to_owned())
}

/// What the list's status says.
pub fn status(browser: &mut Chromium) -> Result<String> {
    said(browser, "status")
}

/// What became of a step's stretch, as the page shows it.
pub fn timed(browser: &mut Chromium, step: u64) -> Result<String> {
    let script = "return document.querySelector(arguments[0]).closest('li').querySelector('[data-part=timed]').textContent";
    Ok(browser.run(script, &[json!(box_of(step))])?.as_str().context("a text")?.to_owned())
}

/// Waits until an expression is true in the page.
pub fn until(browser: &mut Chromium, expression: &str) -> Result<()> {
    let script = format!(
        "const done = arguments[0]; let looks = 0; \
         const look = setInterval(() => {{ looks += 1; \
             if ({expression} || looks > 1000) {{ clearInterval(look); done(looks <= 1000); }} }}, 10)"
    );
    ensure!(browser.run_later(&script, &[])? == json!(true), "never came true: {expression}");
    Ok(())
}

/// Waits until the timer says this.
pub fn until_says(browser: &mut Chromium, sentence: &str) -> Result<()> {
    until(
        browser,
        &format!(
            "document.querySelector('#hookup-1 [data-part=timer-says]').textContent.includes('{sentence}')"
        ),
    )
}

/// Does a reader see this element?
pub fn is_shown(browser: &mut Chromium, selector: &str) -> Result<bool> {
    let script = "return document.querySelector(arguments[0]).checkVisibility()";
    Ok(browser.run(script, &[json!(selector)])? == json!(true))
}

/// Clicks an element that is first brought to the middle of the window, clear of what stays at its edges.
pub fn click(browser: &mut Chromium, selector: &str) -> Result<()> {
    let show =
        "document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' })";
    browser.run(show, &[json!(selector)])?;
    browser.click(selector)
}

/// Ticks steps by their boxes, the way there being no matter.
pub fn tick(browser: &mut Chromium, steps: RangeInclusive<u64>) -> Result<()> {
    let script = "for (let step = arguments[0]; step <= arguments[1]; step += 1) { \
         const initials = document.querySelector(`#hookup-1-${step}-initials`); \
         if (initials) initials.value = 'MB'; \
         forward(1000); document.querySelector(`#hookup-1-${step}`).click(); }";
    browser.run(script, &[json!(steps.start()), json!(steps.end())])?;
    let done = done(browser)?;
    ensure!(done == *steps.end(), "{done} steps are ticked, not {}", steps.end());
    Ok(())
}
