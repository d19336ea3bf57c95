//! Self-checks: an answer is judged when it is asked for, what is said stands under it, and a reload keeps both.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement};

use super::{dom, memory};
use crate::homework::mark::{Typed, Verdict, against, read};
use crate::number::parse;
use crate::unit::Quantity;

/// Puts back the answers from before a reload.
pub(super) fn wake(section: &Element) {
    let kept = memory::recall(section).unwrap_or_default();
    for question in questions(section) {
        if let Some(list) = dom::first(&question, ".order") {
            list.set_attribute("data-start", &answer(&question)).ok();
        }
        clear(&question);
        let key = attribute(&question, "data-key");
        let line =
            kept.lines().find_map(|line| line.strip_prefix(&key)?.strip_prefix('\t')?.split_once('\t'));
        if let Some((checked, answer)) = line {
            put(&question, answer);
            if checked == "1" {
                show(section, &question);
            }
        }
    }
    count(section);
}

/// Answers a choice or a keystroke: what was said before no longer speaks of it.
pub(super) fn typed(section: &Element, target: &Element) {
    if let Some(question) = target.closest("[data-question]").ok().flatten() {
        clear(&question);
        keep(section);
        count(section);
    }
}

/// Answers a button.
pub(super) fn pressed(section: &Element, button: &Element, act: &str) {
    if act == "start-again" {
        start_again(section);
        return;
    }
    let Some(question) = button.closest("[data-question]").ok().flatten() else { return };
    if act == "check" {
        show(section, &question);
    } else {
        step(section, &question, button, act == "up");
    }
    keep(section);
    count(section);
}

fn questions(section: &Element) -> Vec<Element> {
    dom::within(section, "[data-question]")
}

fn attribute(element: &Element, name: &str) -> String {
    element.get_attribute(name).unwrap_or_default()
}

fn says(element: &Element) -> Option<String> {
    element.get_attribute("data-says").filter(|says| !says.is_empty())
}

fn boxes(question: &Element) -> Vec<HtmlInputElement> {
    dom::within(question, ".choice input").into_iter().filter_map(|box_| box_.dyn_into().ok()).collect()
}

fn items(question: &Element) -> Vec<Element> {
    dom::within(question, "[data-item]")
}

fn say(question: &Element, text: &str) {
    if let Some(status) = dom::part(question, "says") {
        dom::set_text(&status, text);
    }
}

fn clear(question: &Element) {
    question.remove_attribute("data-state").ok();
    say(question, "");
    if let Some(answer) = dom::part(question, "answer") {
        dom::set_hidden(&answer, true);
    }
}

/// Judges the answer, and says what there is to say. From then on the right answer can be unfolded.
fn show(section: &Element, question: &Element) {
    let Some(wrong) = faults(section, question) else {
        say(question, &dom::words(section, "open"));
        return;
    };
    let (state, first, rest) = match wrong {
        None => ("right", "right", attribute(question, "data-why")),
        Some(wrong) => ("wrong", "wrong", wrong),
    };
    question.set_attribute("data-state", state).ok();
    say(question, [dom::words(section, first).as_str(), &rest].join(" ").trim_end());
    if let Some(answer) = dom::part(question, "answer") {
        dom::set_hidden(&answer, false);
    }
}

/// What is wrong with an answer: nothing yet where there is none, and nothing at all where it is right.
fn faults(section: &Element, question: &Element) -> Option<Option<String>> {
    match attribute(question, "data-question").as_str() {
        "number" => number(question),
        "order" => Some(order(section, question)),
        "label" => label(section, question),
        _ => choice(section, question),
    }
}

fn choice(section: &Element, question: &Element) -> Option<Option<String>> {
    let all = boxes(question);
    let is_right = |box_: &&HtmlInputElement| box_.has_attribute("data-right");
    let chosen = || all.iter().filter(|box_| box_.checked());
    chosen().next()?;
    let mut wrong: Vec<String> =
        chosen().filter(|box_| !is_right(box_)).filter_map(|box_| says(box_)).collect();
    let missing = all.iter().filter(is_right).filter(|box_| !box_.checked()).count();
    // Of one that is right, the one that was chosen in its place says enough.
    if attribute(question, "data-question") == "several" && missing > 0 {
        let words = if missing == 1 { "missing-one" } else { "missing" };
        wrong.push(dom::words(section, words).replace("{number}", &missing.to_string()));
    }
    Some((!wrong.is_empty()).then(|| wrong.join("\n")))
}

fn number(question: &Element) -> Option<Option<String>> {
    let text = dom::value(&dom::part(question, "number")?);
    let (quantity, _) = Quantity::of_unit(&attribute(question, "data-base"))?;
    let wanted = quantity.unit(&attribute(question, "data-unit"))?;
    let band = |element: &Element, value: &str| {
        Some((parse(&attribute(element, value)).ok()?, parse(&attribute(element, "data-by")).ok()?))
    };
    let (right, by) = band(question, "data-value")?;
    let (value, unit) = match read(&text, quantity, wanted) {
        Typed::Blank => return None,
        Typed::Unreadable(_) => return Some(Some(Verdict::Unreadable.says().to_owned())),
        Typed::Number { value, unit } => (value, unit),
    };
    let verdict = against(value, unit, right, by);
    if verdict == Verdict::Right {
        return Some(None);
    }
    // A mistake that has a sentence of its own says more than a slip of the power of ten.
    let known = dom::within(question, "[data-wrong]").into_iter().find(|wrong| {
        band(wrong, "data-wrong").is_some_and(|(other, by)| against(value, true, other, by) == Verdict::Right)
    });
    let own = known.and_then(|wrong| says(&wrong)).filter(|_| verdict != Verdict::Unit);
    // The verdict's own “not right yet” has been said.
    let sentence = if verdict == Verdict::Wrong { "" } else { verdict.says() };
    Some(Some(own.unwrap_or_else(|| sentence.to_owned())))
}

fn order(section: &Element, question: &Element) -> Option<String> {
    let items = items(question);
    let place = |item: &Element| attribute(item, "data-place").parse().unwrap_or(0);
    let at = (0..items.len()).find(|at| place(&items[*at]) != at + 1)?;
    let early = dom::words(section, "early").replace("{text}", &text_of(&items[at]));
    let reason = items.iter().find(|item| place(item) == at + 1).and_then(says);
    Some([early, reason.unwrap_or_default()].join(" ").trim_end().to_owned())
}

fn text_of(item: &Element) -> String {
    dom::first(item, ".order-text").and_then(|text| text.text_content()).unwrap_or_default()
}

fn label(section: &Element, question: &Element) -> Option<Option<String>> {
    let mut wrong = Vec::new();
    for (index, place) in dom::within(question, ".places [data-place]").iter().enumerate() {
        let list = dom::first(place, "select")?;
        let chosen = dom::value(&list);
        if chosen.is_empty() {
            return None;
        }
        if chosen != attribute(place, "data-place") {
            let text = dom::first(&list, "option:checked").and_then(|option| option.text_content());
            let not = dom::words(section, "not")
                .replace("{number}", &(index + 1).to_string())
                .replace("{text}", &text.unwrap_or_default());
            wrong.push([not, says(place).unwrap_or_default()].join(" ").trim_end().to_owned());
        }
    }
    Some((!wrong.is_empty()).then(|| wrong.join("\n")))
}

/// Moves one thing up or down. Its neighbour is what moves in the page, so that the button keeps the focus.
fn step(section: &Element, question: &Element, button: &Element, up: bool) {
    let Some(item) = button.closest("[data-item]").ok().flatten() else { return };
    let Some(list) = item.parent_element() else { return };
    let neighbour = if up { item.previous_element_sibling() } else { item.next_element_sibling() };
    let words = match &neighbour {
        Some(_) => "moved",
        None if up => "first",
        None => "last",
    };
    if let Some(neighbour) = neighbour {
        clear(question);
        let before = if up { item.next_sibling() } else { Some(item.clone().into()) };
        list.insert_before(&neighbour, before.as_ref()).ok();
    }
    let items = items(question);
    let place = items.iter().position(|other| other.is_same_node(Some(&item))).unwrap_or(0) + 1;
    let said = dom::words(section, words)
        .replace("{text}", &text_of(&item))
        .replace("{number}", &place.to_string())
        .replace("{all}", &items.len().to_string());
    say(question, &said);
}

// --- What is kept ---------------------------------------------------------------------------------------------------

/// An answer as one line.
fn answer(question: &Element) -> String {
    match attribute(question, "data-question").as_str() {
        "number" => dom::part(question, "number").map(|entry| dom::value(&entry)).unwrap_or_default(),
        "order" => join(items(question).iter().map(|item| attribute(item, "data-item"))),
        "label" => join(dom::within(question, ".places select").iter().map(dom::value)),
        _ => join(boxes(question).iter().filter(|box_| box_.checked()).map(HtmlInputElement::value)),
    }
}

fn join(parts: impl Iterator<Item = String>) -> String {
    parts.collect::<Vec<_>>().join(",")
}

/// Puts an answer back; what no longer fits the question stays as the page has it.
fn put(question: &Element, answer: &str) {
    let mut parts = answer.split(',');
    match attribute(question, "data-question").as_str() {
        "number" => {
            if let Some(entry) = dom::part(question, "number") {
                dom::set_value(&entry, answer);
            }
        }
        "order" => {
            let items = items(question);
            for part in parts {
                let item = items.iter().find(|item| attribute(item, "data-item") == part);
                if let Some((item, list)) = item.and_then(|item| Some((item, item.parent_element()?))) {
                    list.append_child(item).ok();
                }
            }
        }
        "label" => {
            for list in dom::within(question, ".places select") {
                dom::set_value(&list, parts.next().unwrap_or_default());
            }
        }
        _ => {
            for box_ in boxes(question) {
                box_.set_checked(answer.split(',').any(|part| part == box_.value()));
            }
        }
    }
}

fn keep(section: &Element) {
    let line = |question: &Element| {
        let checked = if question.has_attribute("data-state") { "1" } else { "0" };
        let answer = answer(question).replace(['\t', '\n', '\r'], " ");
        [attribute(question, "data-key").as_str(), checked, &answer].join("\t")
    };
    memory::keep(section, &questions(section).iter().map(line).collect::<Vec<_>>().join("\n"));
}

fn count(section: &Element) {
    let all = questions(section);
    let right = all.iter().filter(|question| attribute(question, "data-state") == "right").count();
    if let Some(part) = dom::part(section, "count") {
        dom::set_text(&part, &dom::counted(section, "count", right, all.len()));
    }
}

/// Opens every question again, and says so.
fn start_again(section: &Element) {
    wipe(section);
    if let Some(part) = dom::part(section, "count") {
        dom::set_text(&part, &dom::words(section, "again"));
    }
}

/// Opens every question again.
pub(super) fn wipe(section: &Element) {
    for question in questions(section) {
        clear(&question);
        let start = dom::first(&question, ".order").map(|list| attribute(&list, "data-start"));
        put(&question, &start.unwrap_or_default());
    }
    memory::forget(section);
    count(section);
}
