//! `caution`: a safety note in three parts.

use super::Block;
use crate::course::{Caution, Signal};
use crate::finding::{Finding, shown};
use crate::parse::keys::Keys;

/// The signal words, most urgent first.
const SIGNALS: [(&str, Signal); 4] = [
    ("danger", Signal::Danger),
    ("warning", Signal::Warning),
    ("caution", Signal::Caution),
    ("notice", Signal::Notice),
];

/// Reads the block; a note without a known signal word is not shown, for the word decides how it looks.
pub fn read(block: Block, found: &mut Vec<Finding>) -> Option<Caution> {
    block.body.read("the `caution` block", block.fence, found, |keys, found| caution(keys, block, found))
}

fn caution(keys: &mut Keys, block: Block, found: &mut Vec<Finding>) -> Option<Caution> {
    let signal = keys.needed_word("signal", SIGNALS.into_iter(), found);
    let hazard = keys.needed_text("hazard", found).value;
    let consequence = keys.text("consequence", found).map_or_else(String::new, |text| text.value);
    let avoid = keys.text_or_texts("avoid", found).into_iter().map(|text| text.value).collect();
    let sign = keys.text("sign", found);

    if let Some(sign) = sign.as_ref().filter(|sign| !is_sign_number(&sign.value)) {
        found.push(
            Finding::error(
                "sign-number",
                format!("`{}` is no number of a safety sign", shown(&sign.value)),
                sign.span,
                "a letter and three figures are wanted",
            )
            .help("the numbers are those of ISO 7010, such as \"W012\" (electricity) or \"M004\" (eye protection)"),
        );
    }
    let sign = sign.filter(|sign| is_sign_number(&sign.value));
    Some(Caution { signal: signal?.value, hazard, consequence, avoid, sign, span: block.fence })
}

/// ISO 7010 groups its signs by a letter: evacuation, fire, mandatory, prohibition, warning.
fn is_sign_number(text: &str) -> bool {
    matches!(text.as_bytes(), [b'E' | b'F' | b'M' | b'P' | b'W', figures @ ..]
        if figures.len() == 3 && figures.iter().all(u8::is_ascii_digit))
}
