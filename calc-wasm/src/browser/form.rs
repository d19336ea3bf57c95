//! A calculator's form: read, worked and shown on every keystroke.

use web_sys::Element;

use super::address::{self, Values};
use super::{dom, memory};
use crate::calculator::{Calculator, Field};
use crate::catalog;
use crate::input::Inputs;
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::Report;
use crate::view;

/// The option that opens the box for a number in place of an option.
const OTHER: &str = "other";
/// The boxes and lists of a field, in the order in which their texts stand in one value.
const CONTROLS: &str = "input[data-part], select[data-part]";

/// Parts the texts of one field's controls; it needs no escaping in an address.
const PART: &str = "~";

/// Puts back what was typed before a reload, and works it.
pub(super) fn wake(section: &Element) {
    if let Some(line) = memory::recall(section) {
        fill(section, &address::read(&line));
    }
    work(section);
}

/// Works the form after a keystroke and remembers it.
pub(super) fn typed(section: &Element) {
    work(section);
    let values = values(section);
    memory::keep(section, &address::write(&values));
    address::link(&section.id(), &values);
}

/// Puts the lesson's values back.
pub(super) fn reset(section: &Element) {
    for control in dom::within(section, "[data-start]") {
        dom::set_value(&control, &control.get_attribute("data-start").unwrap_or_default());
    }
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
        .filter_map(|field| {
            let controls = dom::within(field, CONTROLS);
            let texts: Vec<String> =
                controls.iter().map(|control| dom::value(control).replace(PART, "")).collect();
            Some((field.get_attribute("data-field")?, texts.join(PART)))
        })
        .collect()
}

/// Reads the form, works it and shows what came of it.
fn work(section: &Element) {
    let name = section.get_attribute("data-calculator").unwrap_or_default();
    let Some(calculator) = catalog::find(&name) else { return };
    let worked = read(section, calculator).and_then(|inputs| calculator.evaluate(&inputs));
    show_refusals(section, calculator, worked.as_ref().err());
    match worked {
        Ok(report) => show(section, &report),
        Err(refusal) => show_refused(section, &refusal),
    }
}

/// The inputs in the form, or everything that cannot be read, together with what else is wrong.
fn read(section: &Element, calculator: &'static Calculator) -> Result<Inputs, Refusal> {
    let mut inputs = Inputs::starting(calculator);
    let mut problems = Vec::new();
    for field in calculator.fields {
        let element = dom::first(section, &["[data-field=\"", field.name, "\"]"].concat());
        if let Some(problem) = element.and_then(|element| read_field(&mut inputs, field, &element).err()) {
            problems.push(problem);
        }
    }
    if problems.is_empty() {
        return Ok(inputs);
    }
    if let Err(refusal) = inputs.check() {
        let unread: Vec<&str> = problems.iter().map(|problem| problem.field.name).collect();
        problems.extend(refusal.problems.into_iter().filter(|problem| !unread.contains(&problem.field.name)));
    }
    Err(Refusal { problems })
}

fn read_field(inputs: &mut Inputs, field: &'static Field, element: &Element) -> Result<(), FieldRefusal> {
    let text = |name: &str| dom::part(element, name).map(|part| dom::value(&part)).unwrap_or_default();
    let Some(choice) = dom::part(element, "choice") else {
        return inputs.set_parts(field.name, &text("number"), &text("plus-minus"), &text("unit"));
    };
    let chosen = dom::value(&choice);
    let is_other = chosen == OTHER;
    if let Some(other) = dom::first(element, ".field-other") {
        dom::set_hidden(&other, !is_other);
    }
    if is_other { inputs.set_other(field.name, &text(OTHER)) } else { inputs.set(field.name, &chosen) }
}

fn show(section: &Element, report: &Report) {
    let parts = view::parts(report);
    let pairs = [
        ("readings", parts.readings),
        ("findings", parts.findings),
        ("steps", parts.steps),
        ("sources", parts.sources),
    ];
    show_parts(section, "live", &pairs);
}

fn show_refused(section: &Element, refusal: &Refusal) {
    let pairs =
        [("readings", view::refused(refusal)), ("findings", vec![]), ("steps", vec![]), ("sources", vec![])];
    show_parts(section, "refused", &pairs);
}

fn show_parts(section: &Element, state: &str, pairs: &[(&str, Vec<view::Node>)]) {
    let Some(result) = dom::first(section, ".result") else { return };
    for (name, nodes) in pairs {
        if let Some(part) = dom::part(&result, name) {
            dom::replace(&part, nodes);
        }
    }
    result.set_attribute("data-state", state).ok();
}

/// Shows each refusal at its field, and takes the old ones away.
fn show_refusals(section: &Element, calculator: &'static Calculator, refusal: Option<&Refusal>) {
    for field in calculator.fields {
        let Some(element) = dom::first(section, &["[data-field=\"", field.name, "\"]"].concat()) else {
            continue;
        };
        let sentence = refusal
            .and_then(|refusal| refusal.problems.iter().find(|problem| problem.field.name == field.name))
            .map(ToString::to_string);
        for control in dom::within(&element, CONTROLS) {
            match sentence {
                Some(_) => control.set_attribute("aria-invalid", "true").ok(),
                None => control.remove_attribute("aria-invalid").ok(),
            };
        }
        if let Some(line) = dom::first(&element, ".field-error") {
            line.set_text_content(sentence.as_deref());
            dom::set_hidden(&line, sentence.is_none());
        }
    }
}
