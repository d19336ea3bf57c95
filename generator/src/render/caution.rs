//! Safety notes.

use super::templates::icon;
use super::typeset::tied;
use super::view::{CautionView, SignView};
use super::words::Words;
use crate::asset::sign;
use crate::course::{Caution, Signal};

/// A safety note as its component sees it.
pub fn view(caution: &Caution, words: &Words) -> CautionView {
    let sign = caution.sign.as_ref().and_then(|number| sign(&number.value));
    CautionView {
        signal: word(caution.signal),
        word: words.get(&format!("signal.{}", word(caution.signal))).to_owned(),
        mark: mark(caution.signal),
        hazard: tied(&caution.hazard).into_owned(),
        consequence: tied(&caution.consequence).into_owned(),
        avoid: caution.avoid.iter().map(|sentence| tied(sentence).into_owned()).collect(),
        sign: sign.map(|sign| SignView { svg: sign.svg(), meaning: &sign.meaning }),
    }
}

/// The note that stands on the first page of every course.
pub fn of_first_page(words: &Words) -> CautionView {
    CautionView {
        signal: word(Signal::Warning),
        word: words.get("signal.warning").to_owned(),
        mark: mark(Signal::Warning),
        hazard: words.get("first_page.warning.hazard").to_owned(),
        consequence: words.get("first_page.warning.consequence").to_owned(),
        avoid: words.list("first_page.warning.avoid"),
        sign: None,
    }
}

fn word(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger => "danger",
        Signal::Warning => "warning",
        Signal::Caution => "caution",
        Signal::Notice => "notice",
    }
}

/// The safety alert symbol stands for injury alone, so a notice has another shape (ANSI Z535).
fn mark(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger | Signal::Warning | Signal::Caution => icon("alert"),
        Signal::Notice => icon("notice"),
    }
}
