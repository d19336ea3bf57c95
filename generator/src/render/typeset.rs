//! Small things of typesetting that no writer should have to think of.

use std::borrow::Cow;

use time::Date;

use crate::course::iso;

/// Units after which a line may go on, but before which it must not break.
const UNITS: &[&str] = &[
    "V", "mV", "A", "mA", "Ω", "mΩ", "µΩ", "W", "kW", "s", "ms", "m", "mm", "cm", "mm²", "ft", "rpm", "°C",
    "%", "kg", "g", "Hz", "N·m",
];

/// The text with each number tied to the unit after it, so that no line ends between `62` and `A`.
pub fn tied(text: &str) -> Cow<'_, str> {
    let mut out = String::new();
    let mut copied = 0;
    for (at, _) in text.match_indices(' ') {
        let (before, after) = (&text[..at], &text[at + 1..]);
        let is_number_before = before.ends_with(|c: char| c.is_ascii_digit());
        let is_unit = is_number_before && UNITS.iter().any(|unit| starts_with_word(after, unit));
        if is_unit || before.ends_with('±') || (is_number_before && after.starts_with('±')) {
            out.push_str(&text[copied..at]);
            out.push('\u{a0}');
            copied = at + 1;
        }
    }
    if copied == 0 {
        return Cow::Borrowed(text);
    }
    out.push_str(&text[copied..]);
    Cow::Owned(out)
}

/// A date as ISO 8601 writes it, with hyphens at which no line ends.
pub fn date(date: Date) -> String {
    iso(date).replace('-', "\u{2011}")
}

fn starts_with_word(text: &str, word: &str) -> bool {
    text.strip_prefix(word).is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '²'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(tied("62 A at 11.1 V, 5 s."), "62\u{a0}A at 11.1\u{a0}V, 5\u{a0}s.");
        assert_eq!(tied("82 A ± 4 A"), "82\u{a0}A ±\u{a0}4\u{a0}A");
        assert_eq!(tied("35 mm² of copper"), "35\u{a0}mm² of copper");
        for text in ["4 motors", "lesson 3 in words", "AWG 2 Above", "no number V", ""] {
            assert_eq!(tied(text), text);
        }
    }
}
