//! The timer of an energized stretch and of the rest after it: an aid to the student, who need not start it.
//!
//! An energized stretch is timed by a clock that nobody can set; one that was running when the page went away is over
//! for this page, and says so. A rest goes by the clock on the wall and goes on while the page is away.

use std::cell::{Cell, RefCell};

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::Element;

use super::{clock, dom, sound};
use crate::bench::kept::Timed;
use crate::bench::stretch::{Kind, Stage, Stretch};

/// So many milliseconds after the last look the running timers are looked at again.
const LOOK_MS: i32 = 100;

/// A running stretch.
struct Running {
    section: Element,
    row: Element,
    stretch: Stretch,
    /// When it began, by the clock of its kind.
    began: u64,
    /// The stage that was said last.
    said: Option<Stage>,
}

thread_local! {
    /// At most one for each checklist.
    static RUNNING: RefCell<Vec<Running>> = const { RefCell::new(Vec::new()) };
    static LOOKING: Cell<Option<i32>> = const { Cell::new(None) };
}

/// Puts back what was kept of this step's stretch.
pub(super) fn wake(section: &Element, row: &Element, timed: Timed) {
    record(section, row, timed);
    match timed {
        Timed::Since(began) => run(section, row, began),
        Timed::Interrupted => {
            let sentence = dom::words(section, "interrupted");
            show(section, "interrupted", "", "", Some(&sentence));
            name(section, row);
            alarm(section, &sentence);
        }
        Timed::Lasted(_) => {}
    }
}

/// Starts this step's stretch; one that still runs in the same checklist ends.
pub(super) fn start(section: &Element, row: &Element) {
    stop(section);
    let Some(stretch) = stretch(row) else { return };
    let now = now(stretch.kind);
    // Kept at once as what it is when the page goes away in the middle of it.
    record(
        section,
        row,
        match stretch.kind {
            Kind::Energized => Timed::Interrupted,
            Kind::Rest => Timed::Since(now),
        },
    );
    set_timed_text(row, "");
    run(section, row, now);
}

fn run(section: &Element, row: &Element, began: u64) {
    let Some(stretch) = stretch(row) else { return };
    let one = Running { section: section.clone(), row: row.clone(), stretch, began, said: None };
    RUNNING.with_borrow_mut(|running| running.push(one));
    name(section, row);
    set_button(section, row, true);
    look();
    if LOOKING.get().is_none() {
        let closure = Closure::<dyn FnMut()>::new(look);
        let again = web_sys::window().and_then(|window| {
            let act = closure.as_ref().unchecked_ref();
            window.set_interval_with_callback_and_timeout_and_arguments_0(act, LOOK_MS).ok()
        });
        closure.forget();
        LOOKING.set(again);
    }
}

/// Looks at every running stretch: shows how long it has lasted, and says a new stage once.
pub(super) fn look() {
    RUNNING.with_borrow_mut(|running| {
        for one in running {
            let elapsed = one.elapsed();
            let stage = one.stretch.stage(elapsed);
            let (state, words, beeps) = match (one.stretch.kind, stage) {
                (Kind::Energized, Stage::Running) => ("running", "energized", 0),
                (Kind::Energized, Stage::Warning) => ("warning", "ready", 1),
                (Kind::Energized, Stage::Over) => ("over", "now", 3),
                (Kind::Rest, Stage::Running | Stage::Warning) => ("running", "resting", 0),
                (Kind::Rest, Stage::Over) => ("rested", "rest-over", 2),
            };
            let stretch = one.stretch;
            let of = dom::words(&one.section, "of")
                .replace("{time}", &stretch.time(elapsed))
                .replace("{limit}", &stretch.limit());
            let sentence = (one.said != Some(stage))
                .then(|| dom::words(&one.section, words).replace("{limit}", &stretch.limit()));
            show(&one.section, state, &stretch.figures(elapsed), &of, sentence.as_deref());
            if let Some(sentence) = sentence {
                one.said = Some(stage);
                alarm(&one.section, &sentence);
                sound::beep(beeps);
            }
        }
    });
}

/// Ends the running stretch of a checklist and writes down how long it was; takes a word about an old one away.
pub(super) fn stop(section: &Element) {
    let ended = RUNNING.with_borrow_mut(|running| {
        let at = running.iter().position(|one| one.section.is_same_node(Some(section)))?;
        Some(running.remove(at))
    });
    if let Some(one) = ended {
        record(section, &one.row, Timed::Lasted(one.elapsed()));
        set_button(section, &one.row, false);
        alarm(section, &timed_text(&one.row));
    }
    hide(section);
    if RUNNING.with_borrow(Vec::is_empty)
        && let (Some(looking), Some(window)) = (LOOKING.take(), web_sys::window())
    {
        window.clear_interval_with_handle(looking);
    }
}

/// Is this step's stretch running?
pub(super) fn runs(row: &Element) -> bool {
    RUNNING.with_borrow(|running| running.iter().any(|one| one.row.is_same_node(Some(row))))
}

/// Does this checklist have an energized stretch running?
pub(super) fn is_energized(section: &Element) -> bool {
    RUNNING.with_borrow(|running| {
        running
            .iter()
            .any(|one| one.stretch.kind == Kind::Energized && one.section.is_same_node(Some(section)))
    })
}

/// What has to be said before this step is ticked: that its rest is not over, or that no timer has shown it.
pub(super) fn missing_rest(section: &Element, row: &Element) -> Option<String> {
    let stretch = stretch(row).filter(|stretch| stretch.kind == Kind::Rest)?;
    let elapsed = match timed(row) {
        Some(Timed::Since(began)) => clock::wall().saturating_sub(began),
        Some(Timed::Lasted(ms)) => ms,
        _ => 0,
    };
    if elapsed >= stretch.limit_ms {
        return None;
    }
    let words = dom::words(section, if runs(row) { "rest-early" } else { "rest-untimed" });
    Some(words.replace("{time}", &stretch.figures(elapsed)).replace("{limit}", &stretch.limit()))
}

/// What became of this step's stretch.
pub(super) fn timed(row: &Element) -> Option<Timed> {
    Timed::read(&row.get_attribute("data-timed")?)
}

/// Forgets every stretch of a checklist.
pub(super) fn forget(section: &Element) {
    stop(section);
    for row in dom::within(section, "[data-timed]") {
        row.remove_attribute("data-timed").ok();
        set_timed_text(&row, "");
    }
    alarm(section, "");
}

impl Running {
    fn elapsed(&self) -> u64 {
        now(self.stretch.kind).saturating_sub(self.began)
    }
}

fn now(kind: Kind) -> u64 {
    match kind {
        Kind::Energized => clock::now(),
        Kind::Rest => clock::wall(),
    }
}

/// The stretch of a step that has one.
pub(super) fn stretch(row: &Element) -> Option<Stretch> {
    let limit_ms = row.get_attribute("data-ms")?.parse().ok()?;
    let energized = row.get_attribute("data-action").as_deref() == Some("energize");
    Some(Stretch { kind: if energized { Kind::Energized } else { Kind::Rest }, limit_ms })
}

/// Writes down beside a step what became of its stretch.
fn record(section: &Element, row: &Element, timed: Timed) {
    row.set_attribute("data-timed", &timed.write()).ok();
    let Some(stretch) = stretch(row) else { return };
    let text = match (timed, stretch.kind) {
        (Timed::Lasted(ms), kind) => {
            let words = match kind {
                Kind::Energized if ms > stretch.limit_ms => "held-over",
                Kind::Energized => "held",
                Kind::Rest => "rested",
            };
            dom::words(section, words)
                .replace("{time}", &stretch.time(ms))
                .replace("{limit}", &stretch.limit())
        }
        (Timed::Interrupted, _) => dom::words(section, "interrupted"),
        (Timed::Since(_), _) => String::new(),
    };
    set_timed_text(row, &text);
}

fn timed_text(row: &Element) -> String {
    dom::part(row, "timed").and_then(|timed| timed.text_content()).unwrap_or_default()
}

fn set_timed_text(row: &Element, text: &str) {
    if let Some(timed) = dom::part(row, "timed") {
        dom::set_text(&timed, text);
    }
}

/// The button beside the step starts its stretch or ends it.
fn set_button(section: &Element, row: &Element, running: bool) {
    let energized = stretch(row).is_some_and(|stretch| stretch.kind == Kind::Energized);
    let words = match (running, energized) {
        (false, _) => "start",
        (true, true) => "let-go",
        (true, false) => "stop",
    };
    if let Some(button) = dom::first(row, "[data-do=timer]") {
        dom::set_text(&button, &dom::words(section, words));
    }
}

/// Says over the figures which step they belong to, and what ends it.
fn name(section: &Element, row: &Element) {
    let Some(panel) = dom::part(section, "timer") else { return };
    let what = dom::first(row, ".step-do").and_then(|what| what.text_content()).unwrap_or_default();
    set_part(&panel, "timer-what", what.trim());
    let energized = stretch(row).is_some_and(|stretch| stretch.kind == Kind::Energized);
    let words = dom::words(section, if energized { "let-go" } else { "stop" });
    if let Some(button) = dom::first(&panel, "[data-do=timer-stop]") {
        dom::set_text(&button, &words);
    }
}

fn show(section: &Element, state: &str, figures: &str, of: &str, sentence: Option<&str>) {
    let Some(panel) = dom::part(section, "timer") else { return };
    panel.set_attribute("data-state", state).ok();
    set_part(&panel, "timer-figures", figures);
    set_part(&panel, "timer-of", of);
    if let Some(sentence) = sentence {
        set_part(&panel, "timer-says", sentence);
        dom::set_hidden(&panel, false);
    }
}

fn hide(section: &Element) {
    let Some(panel) = dom::part(section, "timer") else { return };
    dom::set_hidden(&panel, true);
    panel.remove_attribute("data-state").ok();
}

fn set_part(panel: &Element, name: &str, text: &str) {
    if let Some(part) = dom::part(panel, name) {
        dom::set_text(&part, text);
    }
}

/// Says a sentence to who cannot see the figures: at the start, at the warning, at the limit, at the end.
fn alarm(section: &Element, sentence: &str) {
    set_part(section, "alarm", sentence);
}
