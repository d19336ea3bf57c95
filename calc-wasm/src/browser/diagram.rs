//! Diagrams: each done step of a checklist, or the moment that is chosen below, lights what is live then.

use web_sys::{Document, Element};

use super::dom;
use crate::bench::steps::holds;

/// Lights in the diagrams of this checklist what is live when so many steps are done, and nothing else.
pub(super) fn show_progress(section: &Element, done: usize) {
    let Some(document) = dom::document() else { return };
    for circuit in dom::all(&document, &["[data-hookup-of=\"", &section.id(), "\"]"].concat()) {
        light(&circuit, done);
    }
}

/// Shows the moments that are chosen: a browser may have kept another choice over a reload than the page came with.
pub(super) fn wake(document: &Document) {
    for chosen in dom::all(document, "[data-circuit] [type=radio]:checked") {
        choose(&chosen);
    }
}

/// Shows the moment that was chosen.
pub(super) fn choose(target: &Element) {
    let Some(circuit) = target.closest("[data-circuit]").ok().flatten() else { return };
    if let Ok(moment) = dom::value(target).parse() {
        light(&circuit, moment);
    }
}

fn light(circuit: &Element, moment: usize) {
    for part in dom::within(circuit, "[data-on]") {
        let lit = holds(&part.get_attribute("data-on").unwrap_or_default(), moment);
        part.toggle_attribute_with_force("data-lit", lit).ok();
    }
}
