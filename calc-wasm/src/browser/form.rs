//! A calculator's form: read, worked and shown on every keystroke.

use std::cell::{Cell, RefCell};

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{Element, File, FileReader, HtmlInputElement};

use super::address::{self, Values};
use super::job::{FILE, Job, OTHER, Outcome};
use super::{dom, later, memory, worker};
use crate::number::figures;

/// The boxes and lists of a field, in the order in which their texts stand in one value.
const CONTROLS: &str = "input[data-part]:not([type=file]), select[data-part], textarea[data-part]";

/// Parts the texts of one field's controls; it needs no escaping in an address.
const PART: &str = "~";

/// Longer texts are neither kept nor linked.
const LONGEST_KEPT: usize = 4000;
/// Longer files are held beside the box instead of in it.
const LONGEST_SHOWN: f64 = 100_000.0;

thread_local! {
    /// Files that are too long for their box: block and field, what the box says of it, and the file.
    static HELD: RefCell<Vec<(String, String, File)>> = const { RefCell::new(Vec::new()) };
    /// Number of the last job; an answer to an older one comes too late.
    static LAST: Cell<u32> = const { Cell::new(0) };
}

/// Puts back what was typed before a reload, and works it.
pub(super) fn wake(section: &Element) {
    for file in dom::within(section, "[data-part=file]") {
        dom::set_hidden(&file, false);
    }
    if let Some(line) = memory::recall(section) {
        fill(section, &address::read(&line));
    }
    work(section);
}

/// Works the form after a keystroke and remembers it.
pub(super) fn typed(section: &Element) {
    work(section);
    later::keep(section);
}

/// Keeps what stands in the form in this browser and in the address.
pub(super) fn keep(section: &Element) {
    let values = values(section);
    memory::keep(section, &address::write(&values));
    address::link(&section.id(), &values);
}

/// Takes the file that was chosen in place of a text.
pub(super) fn take_file(section: &Element, input: &HtmlInputElement) {
    let file = input.files().and_then(|files| files.get(0));
    let field = input.closest("[data-field]").ok().flatten();
    let (Some(file), Some(field)) = (file, field) else { return };
    let Some(lines) = dom::part(&field, "text") else { return };
    if file.size() > LONGEST_SHOWN {
        let label = format!("{} ({} MB)", file.name(), figures(file.size() / 1e6, 3));
        dom::set_value(&lines, &label);
        hold(&key(section, &field), label, file);
        typed(section);
        return;
    }
    let section = section.clone();
    read(&file, move |text| {
        dom::set_value(&lines, &text);
        typed(&section);
    });
}

/// Reads a file and hands its text on; a file that cannot be read is an empty one.
pub(super) fn read(file: &File, then: impl FnOnce(String) + 'static) {
    let Ok(reader) = FileReader::new() else { return };
    let reading = reader.clone();
    let done = Closure::once_into_js(move || {
        then(reading.result().ok().and_then(|result| result.as_string()).unwrap_or_default());
    });
    reader.set_onloadend(Some(done.unchecked_ref()));
    reader.read_as_text(file).ok();
}

/// Puts the lesson's values back.
pub(super) fn reset(section: &Element) {
    for control in dom::within(section, "[data-start]") {
        dom::set_value(&control, &control.get_attribute("data-start").unwrap_or_default());
    }
    for file in dom::within(section, "[data-part=file]") {
        dom::set_value(&file, "");
    }
    later::leave(section);
    memory::forget(section);
    address::unlink(&section.id());
    work(section);
}

/// Fills the form with values, field by field; locked fields keep the lesson's.
pub(super) fn fill(section: &Element, values: &Values) {
    for (name, text) in values {
        let field = dom::first(section, &["[data-field=\"", name, "\"]:not([data-locked])"].concat());
        let Some(field) = field else { continue };
        let texts = text.split(PART);
        for (control, text) in dom::within(&field, CONTROLS).iter().zip(texts) {
            dom::set_value(control, text);
        }
    }
}

/// What stands in the fields that are not locked; the texts of one field's controls are parted by `PART`.
fn values(section: &Element) -> Values {
    dom::within(section, "[data-field]:not([data-locked])")
        .iter()
        .filter(|field| held(&key(section, field)).is_none())
        .filter_map(|field| {
            let controls = dom::within(field, CONTROLS);
            let texts: Vec<String> =
                controls.iter().map(|control| dom::value(control).replace(PART, "")).collect();
            let text = texts.join(PART);
            (text.len() <= LONGEST_KEPT).then_some((field.get_attribute("data-field")?, text))
        })
        .collect()
}

/// Reads the form, works it and shows what came of it; what takes long is done beside the page.
fn work(section: &Element) {
    let fields = dom::within(section, "[data-field]");
    let file = fields.iter().find_map(|field| held(&key(section, field)));
    let job = Job {
        calculator: section.get_attribute("data-calculator").unwrap_or_default(),
        fields: fields
            .iter()
            .filter_map(|field| Some((field.get_attribute("data-field")?, texts(section, field))))
            .collect(),
    };
    let number = LAST.get().wrapping_add(1);
    LAST.set(number);
    section.set_attribute("data-job", &number.to_string()).ok();
    if file.is_some() || job.is_heavy() {
        show_state(section, "working");
        worker::send(&section.id(), number, job, file);
    } else {
        show(section, &job.worked());
    }
}

/// Shows the answer to a job, unless something else was typed since.
pub(super) fn answered(block: &str, number: u32, outcome: &Outcome) {
    let section = dom::document().and_then(|document| document.get_element_by_id(block));
    let Some(section) = section else { return };
    if section.get_attribute("data-job").is_some_and(|last| last == number.to_string()) {
        show(&section, outcome);
    }
}

/// The texts of one field's boxes and lists.
fn texts(section: &Element, field: &Element) -> Vec<String> {
    let text = |name: &str| dom::part(field, name).map(|part| dom::value(&part));
    if let Some(lines) = text("text") {
        return vec![if held(&key(section, field)).is_some() { FILE.to_owned() } else { lines }];
    }
    let Some(chosen) = text("choice") else {
        return ["number", "plus-minus", "unit"].map(|name| text(name).unwrap_or_default()).to_vec();
    };
    if let Some(other) = dom::first(field, ".field-other") {
        dom::set_hidden(&other, chosen != OTHER);
    }
    vec![chosen, text(OTHER).unwrap_or_default()]
}

fn show(section: &Element, outcome: &Outcome) {
    show_refusals(section, outcome);
    let Some(result) = dom::first(section, ".result") else { return };
    let parts = &outcome.parts;
    for (name, html) in [
        ("readings", &parts.readings),
        ("findings", &parts.findings),
        ("steps", &parts.steps),
        ("sources", &parts.sources),
    ] {
        let Some(part) = dom::part(&result, name) else { continue };
        match part.closest("details:not([open])") {
            Ok(Some(_)) => later::show(&part, html),
            _ => {
                later::leave(&part);
                dom::replace(&part, html);
            }
        }
    }
    show_state(section, &outcome.state);
}

/// Says how the result stands; the page's styles show what is being worked as such.
fn show_state(section: &Element, state: &str) {
    if let Some(result) = dom::first(section, ".result") {
        result.set_attribute("data-state", state).ok();
    }
    if let Some(waiting) = dom::part(section, "waiting") {
        dom::set_hidden(&waiting, state != "working");
    }
}

/// Shows each refusal at its field, and takes the old ones away.
fn show_refusals(section: &Element, outcome: &Outcome) {
    for field in dom::within(section, "[data-field]") {
        let name = field.get_attribute("data-field").unwrap_or_default();
        let refused = outcome.refused.iter().find(|(refused, _)| *refused == name);
        let line = dom::first(&field, ".field-error");
        if refused.is_none() && line.as_ref().is_some_and(|line| line.has_attribute("hidden")) {
            continue;
        }
        for control in dom::within(&field, CONTROLS) {
            match refused {
                Some(_) => control.set_attribute("aria-invalid", "true").ok(),
                None => control.remove_attribute("aria-invalid").ok(),
            };
        }
        if let Some(line) = line {
            line.set_text_content(refused.map(|(_, sentence)| sentence.as_str()));
            dom::set_hidden(&line, refused.is_none());
        }
    }
}

/// The name under which a field's long text is held.
fn key(section: &Element, field: &Element) -> String {
    [section.id(), field.get_attribute("data-field").unwrap_or_default()].join(":")
}

fn hold(key: &str, label: String, file: File) {
    HELD.with_borrow_mut(|held| {
        held.retain(|(other, ..)| other != key);
        held.push((key.to_owned(), label, file));
    });
}

/// The file that is held for a field while its box still names it.
fn held(key: &str) -> Option<File> {
    let (block, field) = key.split_once(':')?;
    let section = dom::document()?.get_element_by_id(block)?;
    let field = dom::first(&section, &["[data-field=\"", field, "\"]"].concat())?;
    let shown = dom::part(&field, "text").map(|part| dom::value(&part))?;
    HELD.with_borrow(|held| {
        held.iter().find(|(other, label, _)| other == key && *label == shown).map(|(_, _, file)| file.clone())
    })
}
