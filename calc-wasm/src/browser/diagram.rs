//! Drawings beside a checklist: each done step lights what is live after it.

use web_sys::Element;

use super::dom;
use crate::bench::steps::holds;

/// Lights in the drawings of this checklist what is live when so many steps are done, and nothing else.
pub(super) fn show_progress(section: &Element, done: usize) {
    let Some(document) = dom::document() else { return };
    let wires = ["[data-hookup-of=\"", &section.id(), "\"] [data-on]"].concat();
    for wire in dom::all(&document, &wires) {
        let lit = holds(&wire.get_attribute("data-on").unwrap_or_default(), done);
        wire.toggle_attribute_with_force("data-lit", lit).ok();
    }
}
