//! A hookup's checklist: ticked in order, kept over a reload.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement};

use super::{awake, boxes, diagram, dom, folding, memory, press, sound, timer};
use crate::bench::kept::{Kept, Timed};
use crate::bench::stretch::Kind;

/// Puts back the ticks from before a reload.
pub(super) fn wake(section: &Element) {
    let kept = memory::recall(section).map(|line| Kept::read(&line)).unwrap_or_default();
    for (box_, initials) in initials(section).iter().zip(&kept.initials) {
        dom::set_value(box_, initials);
    }
    tick(section, kept.done);
    let ticks = ticks(section);
    tick(section, signed(&ticks).min(kept.done));
    for (step, timed) in kept.timed {
        if let Some(row) = step.checked_sub(1).and_then(|index| row(ticks.get(index)?)) {
            timer::wake(section, &row, timed);
        }
    }
    settle(section, true);
    say_progress(section);
}

/// The focus left a box for initials: a check that nobody signs is open again, and all that came after it.
pub(super) fn initials_left(section: &Element) {
    let ticks = ticks(section);
    let done = ticks.iter().take_while(|tick| tick.checked()).count();
    let signed = signed(&ticks);
    if signed < done {
        tick(section, signed);
        settle(section, true);
        say(section, &dom::words(section, "initials"));
        keep(section);
    }
}

/// How many steps stand before the first check without initials.
fn signed(ticks: &[HtmlInputElement]) -> usize {
    let unsigned = |tick: &HtmlInputElement| row(tick).is_some_and(|row| missing_initials(&row).is_some());
    ticks.iter().position(unsigned).unwrap_or(ticks.len())
}

/// Puts right what the page says when the browser has put boxes back on its own, after the script had begun: it does so
/// on a reload, and where storage is blocked nothing else is kept.
pub(super) fn shown(section: &Element) {
    settle(section, false);
    say_progress(section);
}

/// Answers a tick, or initials being typed.
pub(super) fn typed(section: &Element, target: &Element) {
    let Some(box_) = target.dyn_ref::<HtmlInputElement>() else { return };
    let Some(step) = box_.get_attribute("data-step").and_then(|step| step.parse::<usize>().ok()) else {
        keep(section);
        return;
    };
    if press::bounced(&box_.id()) {
        box_.set_checked(!box_.checked());
        return;
    }
    unask(section);
    let ticks = ticks(section);
    // What stands ticked without a gap, not counting what was just ticked.
    let before =
        ticks.iter().enumerate().take_while(|(index, tick)| tick.checked() && index + 1 != step).count();
    if box_.checked() {
        close(section, step, before, box_, &ticks);
    } else {
        open(section, step, box_, &ticks);
    }
    keep(section);
}

/// A step was ticked: it stays so when its turn has come and nothing is missing.
fn close(section: &Element, step: usize, before: usize, box_: &HtmlInputElement, ticks: &[HtmlInputElement]) {
    let Some(row) = row(box_) else { return };
    if before + 1 < step {
        box_.set_checked(false);
        say_first(section, before + 1, ticks);
    } else if let Some(initials) = missing_initials(&row) {
        box_.set_checked(false);
        say(section, &dom::words(section, "initials"));
        dom::focus(&initials);
    } else if let Some(warning) = timer::missing_rest(section, &row).filter(|_| !press::confirmed()) {
        box_.set_checked(false);
        say(section, &warning);
    } else {
        // Who ticks that the button is let go of has let go of it.
        let is_release = row.get_attribute("data-action").as_deref() == Some("release");
        let ends = if is_release {
            timer::is_energized(section)
        } else {
            timer::stretch(&row).is_some_and(|stretch| stretch.kind == Kind::Rest)
        };
        if ends {
            timer::stop(section);
        }
        if settle(section, true) {
            press::hush();
        }
        say_progress(section);
    }
}

/// A tick was taken back. Order counts on the way back too: whatever came after the step is open again, so that a
/// glove that brushes a row high up must not do it at once.
fn open(section: &Element, step: usize, box_: &HtmlInputElement, ticks: &[HtmlInputElement]) {
    let is_last = ticks.get(step).is_none_or(|next| !next.checked());
    if is_last || press::confirmed() {
        tick(section, step - 1);
        settle(section, false);
        say_progress(section);
    } else {
        box_.set_checked(true);
        say(section, &dom::words(section, "untick").replace("{number}", &step.to_string()));
    }
}

/// Answers a button.
pub(super) fn pressed(section: &Element, button: &Element, act: &str) {
    // Both buttons of a timer are one: the second may come to stand where the first was.
    let key = [&section.id(), " ", act.strip_suffix("-stop").unwrap_or(act)].concat();
    let key = if act == "fold" { button.id() } else { key };
    if press::bounced(&key) {
        return;
    }
    if act != "start-again" {
        unask(section);
    }
    match act {
        "start-again" => start_again(section, button),
        "fold" => folding::toggle(section, button),
        "sound" => sound::toggle(),
        "timer" => time(section, button),
        "timer-stop" => stop(section),
        _ => {}
    }
}

/// Leaves the button that starts again without an answer: its question is taken back.
pub(super) fn left(section: &Element) {
    press::disarm();
    unask(section);
}

/// Takes every tick, the initials and the times away, when it is asked for twice.
fn start_again(section: &Element, button: &Element) {
    if !press::confirmed() {
        let question = dom::words(section, "again");
        dom::set_text(button, &question);
        say(section, &question);
        return;
    }
    unask(section);
    wipe(section);
}

/// Takes every tick, the initials and the times away.
pub(super) fn wipe(section: &Element) {
    timer::forget(section);
    tick(section, 0);
    for box_ in initials(section) {
        dom::set_value(&box_, "");
    }
    memory::forget(section);
    folding::unfold(section);
    settle(section, false);
    say_progress(section);
}

/// The words of the button that starts again, when it does not ask.
fn unask(section: &Element) {
    if let Some(button) = dom::first(section, "[data-do=start-again]") {
        dom::set_text(&button, &dom::words(section, "start-again"));
    }
}

/// Starts the timer of a step whose turn has come, or stops it.
fn time(section: &Element, button: &Element) {
    let Some(row) = button.closest("li").ok().flatten() else { return };
    if timer::runs(&row) {
        stop(section);
        return;
    }
    let ticks = ticks(section);
    let done = done(&ticks);
    let Some(step) = number(&row) else { return };
    let is_energize = timer::stretch(&row).is_some_and(|stretch| stretch.kind == Kind::Energized);
    if step > done + 1 {
        say_first(section, done + 1, &ticks);
    } else if step < done || (step == done && (timer::timed(&row).is_some() || !is_energize)) {
        // Timed twice it would be energized twice, without the rest between.
        say(section, &dom::words(section, "timed").replace("{number}", &step.to_string()));
    } else {
        timer::start(section, &row);
        if is_energize {
            // The student presses two things at once and has no third hand for the box.
            tick(section, step);
        }
        settle(section, false);
        say_progress(section);
        keep(section);
    }
}

/// Ends the running stretch, and gives the focus back to the step when it was in the panel that closes.
fn stop(section: &Element) {
    let panel = dom::part(section, "timer").filter(dom::has_focus);
    let back = panel.and_then(|_| {
        let rows = dom::within(section, "[data-ms][data-timed]");
        rows.iter().rev().find_map(|row| dom::first(row, "[data-do=timer]"))
    });
    timer::stop(section);
    keep(section);
    if let Some(button) = back {
        dom::focus(&button);
    }
}

fn ticks(section: &Element) -> Vec<HtmlInputElement> {
    dom::within(section, "[data-step]").into_iter().filter_map(|box_| box_.dyn_into().ok()).collect()
}

fn initials(section: &Element) -> Vec<Element> {
    dom::within(section, "[data-part=\"initials\"]")
}

fn row(box_: &HtmlInputElement) -> Option<Element> {
    box_.closest("li").ok().flatten()
}

fn number(row: &Element) -> Option<usize> {
    dom::first(row, "[data-step]")?.get_attribute("data-step")?.parse().ok()
}

/// How many steps stand ticked without a gap.
fn done(ticks: &[HtmlInputElement]) -> usize {
    ticks.iter().take_while(|tick| tick.checked()).count()
}

/// Ticks the first `done` steps and no other.
fn tick(section: &Element, done: usize) {
    for (index, box_) in ticks(section).iter().enumerate() {
        box_.set_checked(index < done);
    }
}

/// The initials' box of this step, when it has one and it is empty.
fn missing_initials(row: &Element) -> Option<Element> {
    dom::part(row, "initials").filter(|initials| dom::value(initials).trim().is_empty())
}

/// How far the list is.
pub(super) fn kept(section: &Element) -> Kept {
    let timed: Vec<(usize, Timed)> = dom::within(section, "[data-timed]")
        .iter()
        .filter_map(|row| Some((number(row)?, timer::timed(row)?)))
        .collect();
    Kept { done: done(&ticks(section)), initials: initials(section).iter().map(dom::value).collect(), timed }
}

/// How many steps the list has.
pub(super) fn steps(section: &Element) -> usize {
    ticks(section).len()
}

/// Is this the step that energizes?
pub(super) fn is_energize(section: &Element, step: usize) -> bool {
    let row = step.checked_sub(1).and_then(|index| row(ticks(section).get(index)?));
    row.and_then(|row| timer::stretch(&row)).is_some_and(|stretch| stretch.kind == Kind::Energized)
}

/// Puts another state in the place of the list's own, as a hand-in brings it.
pub(super) fn put(section: &Element, kept: &Kept) {
    wipe(section);
    memory::keep(section, &kept.write());
    wake(section);
}

fn keep(section: &Element) {
    memory::keep(section, &kept(section).write());
    boxes::note_saved();
}

/// Whatever follows from the number of done steps. Gives whether a list was folded.
fn settle(section: &Element, may_fold: bool) -> bool {
    let ticks = ticks(section);
    let done = done(&ticks);
    section.toggle_attribute_with_force("data-begun", (1..ticks.len()).contains(&done)).ok();
    diagram::show_progress(section, done);
    awake::settle();
    folding::settle(section, may_fold)
}

fn say_progress(section: &Element) {
    let ticks = ticks(section);
    say(section, &dom::counted(section, "done", done(&ticks), ticks.len()));
}

fn say_first(section: &Element, step: usize, ticks: &[HtmlInputElement]) {
    let label = ticks
        .get(step - 1)
        .and_then(row)
        .and_then(|step| dom::first(&step, ".step-say"))
        .and_then(|label| label.text_content())
        .unwrap_or_default();
    let words = dom::words(section, "first");
    say(section, &words.replace("{number}", &step.to_string()).replace("{step}", label.trim()));
}

fn say(section: &Element, sentence: &str) {
    if let Some(status) = dom::part(section, "status") {
        dom::set_text(&status, sentence);
    }
}
