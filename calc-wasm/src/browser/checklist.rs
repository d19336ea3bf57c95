//! A hookup's checklist: ticked in order, kept over a reload.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement};

use super::{dom, memory};

/// Puts back the ticks from before a reload.
pub(super) fn wake(section: &Element) {
    let kept = memory::recall(section).unwrap_or_default();
    let (done, initials) = kept.split_once(' ').unwrap_or((&kept, ""));
    for (box_, initials) in dom::within(section, "[data-part=\"initials\"]").iter().zip(initials.split('|')) {
        dom::set_value(box_, initials);
    }
    tick(section, done.parse().unwrap_or(0));
    say_progress(section);
}

/// Answers a tick, or initials being typed.
pub(super) fn typed(section: &Element, target: &Element) {
    let Some(box_) = target.dyn_ref::<HtmlInputElement>() else { return };
    let Some(step) = box_.get_attribute("data-step").and_then(|step| step.parse::<usize>().ok()) else {
        keep(section);
        return;
    };
    let ticks = ticks(section);
    // What stands ticked without a gap, not counting what was just ticked.
    let before =
        ticks.iter().enumerate().take_while(|(index, tick)| tick.checked() && index + 1 != step).count();
    if !box_.checked() {
        // Order counts on the way back too: whatever came after the step is open again.
        tick(section, step - 1);
        say_progress(section);
    } else if before + 1 < step {
        box_.set_checked(false);
        say_first(section, before + 1, &ticks);
    } else if let Some(initials) = missing_initials(box_) {
        box_.set_checked(false);
        say(section, &section.get_attribute("data-words-initials").unwrap_or_default());
        if let Some(initials) = initials.dyn_ref::<web_sys::HtmlElement>() {
            initials.focus().ok();
        }
    } else {
        say_progress(section);
    }
    keep(section);
}

/// Takes every tick and the initials away.
pub(super) fn start_again(section: &Element) {
    tick(section, 0);
    for box_ in dom::within(section, "[data-part=\"initials\"]") {
        dom::set_value(&box_, "");
    }
    memory::forget(section);
    say_progress(section);
}

fn ticks(section: &Element) -> Vec<HtmlInputElement> {
    dom::within(section, "[data-step]").into_iter().filter_map(|box_| box_.dyn_into().ok()).collect()
}

/// Ticks the first `done` steps and no other.
fn tick(section: &Element, done: usize) {
    for (index, box_) in ticks(section).iter().enumerate() {
        box_.set_checked(index < done);
    }
}

/// The initials' box of this step, when it has one and it is empty.
fn missing_initials(box_: &HtmlInputElement) -> Option<Element> {
    let step = box_.closest("li").ok().flatten()?;
    dom::part(&step, "initials").filter(|initials| dom::value(initials).trim().is_empty())
}

fn keep(section: &Element) {
    let done = ticks(section).iter().take_while(|tick| tick.checked()).count();
    let initials: Vec<String> = dom::within(section, "[data-part=\"initials\"]")
        .iter()
        .map(|box_| dom::value(box_).replace(['|', ' '], ""))
        .collect();
    memory::keep(section, &[&done.to_string(), " ", &initials.join("|")].concat());
}

fn say_progress(section: &Element) {
    let ticks = ticks(section);
    let done = ticks.iter().take_while(|tick| tick.checked()).count();
    let words = section.get_attribute("data-words-done").unwrap_or_default();
    say(section, &words.replace("{done}", &done.to_string()).replace("{all}", &ticks.len().to_string()));
}

fn say_first(section: &Element, step: usize, ticks: &[HtmlInputElement]) {
    let label = ticks
        .get(step - 1)
        .and_then(|tick| tick.closest("li").ok().flatten())
        .and_then(|step| dom::first(&step, ".step-say"))
        .and_then(|label| label.text_content())
        .unwrap_or_default();
    let words = section.get_attribute("data-words-first").unwrap_or_default();
    say(section, &words.replace("{number}", &step.to_string()).replace("{step}", label.trim()));
}

fn say(section: &Element, sentence: &str) {
    if let Some(status) = dom::part(section, "status") {
        status.set_text_content(Some(sentence));
    }
}
