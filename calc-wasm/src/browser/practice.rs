//! Practice: the same problem with other numbers, marked at once. Nothing of it is handed in.

use web_sys::Element;

use super::memory::{self, Of};
use super::{boxes, desk, dom, homework};
use crate::homework::draw::Lot;
use crate::homework::item::{Item, Numbers};
use crate::homework::mark::{Typed, Verdict, mark as marks, read};
use crate::view::{self, Html};

/// Parts the number of the attempt from what was typed.
const ATTEMPT: char = '\u{1d}';

/// Draws for somebody without a code.
const NOBODY: &str = "practice";

/// Answers a button of a problem.
pub(super) fn pressed(section: &Element, button: &Element, act: &str) {
    let Some(area) = dom::part(section, "practice") else { return };
    match act {
        "practise" if area.has_attribute("hidden") => {
            open(section, &area);
            button.set_attribute("aria-expanded", "true").ok();
        }
        "practise" | "end-practice" => close(section, &area),
        "new-numbers" => {
            let next = attempt(&area).saturating_add(1);
            area.set_attribute("data-attempt", &next.to_string()).ok();
            renew(section, &area);
            keep(section);
            focus_title(&area);
        }
        "check" => mark(section, true),
        _ => {}
    }
}

/// Keeps how far practice is.
pub(super) fn keep(section: &Element) {
    let Some(area) = dom::part(section, "practice") else { return };
    let mut line = attempt(&area).to_string();
    line.push(ATTEMPT);
    line.push_str(&boxes::write(&boxes::texts(&area)));
    memory::keep_named(&name(section), Of::Page, &line);
}

/// Draws anew for another code, when practice is open.
pub(super) fn redraw(section: &Element) {
    let area = dom::part(section, "practice").filter(|area| !area.has_attribute("hidden"));
    if let (Some(area), Some(item)) = (area, homework::item(section)) {
        homework::put(&area, &item, Some(&numbers(&item, &area)));
    }
}

/// Marks what was typed; `all` says of empty boxes too that they are empty.
pub(super) fn mark(section: &Element, all: bool) {
    let (Some(area), Some(item)) = (dom::part(section, "practice"), homework::item(section)) else { return };
    let numbers = numbers(&item, &area);
    let rows = dom::within(&area, "[data-ask]");
    let answers: Vec<(Element, String)> = rows
        .iter()
        .filter_map(|row| dom::first(row, "[data-box]"))
        .map(|answer| (answer.clone(), dom::value(&answer)))
        .collect();
    let typed: Vec<Typed> = item
        .asks
        .iter()
        .zip(&answers)
        .filter_map(|(ask, (_, text))| Some(read(text, homework::quantity(ask)?, ask.unit)))
        .collect();
    let right = item.answers(&numbers);
    for (at, mark) in marks(&item, &numbers, &typed).iter().enumerate() {
        let (Some(row), Some((answer, _))) = (rows.get(at), answers.get(at)) else { continue };
        if mark.verdict == Verdict::Blank && !all {
            homework::say(row, answer, "", "");
            continue;
        }
        homework::say(row, answer, mark.verdict.says(), mark.verdict.word());
        // The answer is shown to who has tried.
        if mark.given.is_some() {
            show_working(row, &item, at, &numbers, &right);
        }
    }
}

fn open(section: &Element, area: &Element) {
    let kept = memory::recall_named(&name(section), Of::Page).unwrap_or_default();
    let (number, line) = kept.split_once(ATTEMPT).unwrap_or(("1", ""));
    let number: usize = number.parse().unwrap_or(1);
    area.set_attribute("data-attempt", &number.max(1).to_string()).ok();
    dom::set_hidden(area, false);
    renew(section, area);
    boxes::fill(area, &boxes::read(line));
    focus_title(area);
}

fn close(section: &Element, area: &Element) {
    dom::set_hidden(area, true);
    if let Some(button) = dom::first(section, "[data-do=practise]") {
        button.set_attribute("aria-expanded", "false").ok();
        dom::focus(&button);
    }
}

/// A fresh copy of the problem, with the numbers of the attempt and its boxes empty.
fn renew(section: &Element, area: &Element) {
    let (Some(from), Some(to)) = (dom::part(section, "problem"), dom::part(area, "practice-problem")) else {
        return;
    };
    to.set_text_content(None);
    for part in dom::within(&from, ":scope > .homework-text, :scope > .hint, :scope > .asks") {
        if let Ok(copy) = part.clone_node_with_deep(true) {
            to.append_child(&copy).ok();
        }
    }
    // Nobody marks reasons here.
    for reason in dom::within(&to, "[data-reason]") {
        reason.remove();
    }
    for hint in dom::within(&to, "[data-hint]") {
        dom::set_hidden(&hint, false);
    }
    for name in ["id", "for", "aria-describedby"] {
        for element in dom::within(&to, &["[", name, "]"].concat()) {
            let own: Vec<String> =
                dom::attribute(&element, name).split(' ').map(|id| [id, "-practice"].concat()).collect();
            element.set_attribute(name, &own.join(" ")).ok();
        }
    }
    for row in dom::within(&to, "[data-ask]") {
        if let Some(answer) = dom::first(&row, "[data-box]") {
            homework::say(&row, &answer, "", "");
        }
    }
    boxes::fill(&to, &Vec::new());
    if let Some(title) = dom::part(area, "practice-title") {
        let number = attempt(area).to_string();
        dom::set_text(&title, &desk::tells("practice", &[("{number}", &number)]));
    }
    redraw(section);
}

/// The right answer and how it is worked, folded.
fn show_working(row: &Element, item: &Item, at: usize, numbers: &Numbers, right: &[Option<f64>]) {
    let (Some(part), Some(ask)) = (dom::part(row, "working"), item.asks.get(at)) else { return };
    // What is unfolded stays so.
    if part.child_element_count() > 0 {
        return;
    }
    let (Some(Some(answer)), Ok(report)) = (right.get(at), item.report(ask, numbers, right)) else { return };
    let mut html = Html::default();
    html.open("details", "class=\"steps\"");
    html.leaf("summary", "", &desk::says("working"));
    html.leaf("p", "class=\"right-answer\"", &desk::tells("right", &[("{answer}", &ask.shown(*answer))]));
    html.html(&view::parts(&report).steps);
    html.close("details");
    dom::replace(&part, &html.done());
}

fn numbers(item: &Item, area: &Element) -> Numbers {
    let code = desk::plain();
    let key = desk::fact("data-term-key");
    let code = if code.is_empty() { NOBODY } else { &code };
    item.numbers(&Lot { key: &key, code, attempt: attempt(area) })
}

fn attempt(area: &Element) -> u32 {
    dom::attribute(area, "data-attempt").parse::<usize>().map_or(1, |number| number as u32)
}

fn name(section: &Element) -> String {
    ["practice/", &dom::attribute(section, "data-homework")].concat()
}

fn focus_title(area: &Element) {
    if let Some(title) = dom::part(area, "practice-title") {
        dom::focus(&title);
    }
}
