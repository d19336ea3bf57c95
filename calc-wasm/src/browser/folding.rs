//! The lists of a checklist: each says how much of it is done, and a done one folds so that the list at hand is seen.

use web_sys::Element;

use super::dom;

/// Says in each list's heading how much is done; folds a list that has just been done when another follows it, and
/// gives whether one was folded.
pub(super) fn settle(section: &Element, may_fold: bool) -> bool {
    let mut folded = false;
    let lists = dom::within(section, "[data-phase]");
    for (index, list) in lists.iter().enumerate() {
        let (done, all) = (dom::within(list, ":checked").len(), dom::within(list, "[data-step]").len());
        if let Some(count) = head(list).and_then(|head| dom::part(&head, "count")) {
            dom::set_text(&count, &dom::counted(section, "count", done, all));
        }
        let was_done = list.has_attribute("data-done");
        list.toggle_attribute_with_force("data-done", done == all).ok();
        if !may_fold || was_done || done < all {
            continue;
        }
        let Some(next) = lists.get(index + 1) else { continue };
        let had_focus = dom::has_focus(list);
        fold(section, list, true);
        fold(section, next, false);
        folded = true;
        // The focus would be lost with the list that holds it.
        if let (true, Some(box_)) = (had_focus, dom::first(next, "[data-step]")) {
            dom::focus(&box_);
        }
    }
    folded
}

/// Folds a list or shows it, as its button says.
pub(super) fn toggle(section: &Element, button: &Element) {
    let list = button.get_attribute("aria-controls").unwrap_or_default();
    if let Some(list) = dom::document().and_then(|document| document.get_element_by_id(&list)) {
        fold(section, &list, !list.has_attribute("data-folded"));
    }
}

/// Shows every list again.
pub(super) fn unfold(section: &Element) {
    for list in dom::within(section, "[data-phase]") {
        fold(section, &list, false);
    }
}

fn fold(section: &Element, list: &Element, folded: bool) {
    list.toggle_attribute_with_force("data-folded", folded).ok();
    if let Some(button) = head(list).and_then(|head| dom::first(&head, "[data-do=fold]")) {
        button.set_attribute("aria-expanded", if folded { "false" } else { "true" }).ok();
        dom::set_text(&button, &dom::words(section, if folded { "show" } else { "fold" }));
    }
}

fn head(list: &Element) -> Option<Element> {
    list.previous_element_sibling()
}
