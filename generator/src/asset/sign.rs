//! The safety signs that a caution may name: number, meaning and drawing.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::embedded::theme;

/// A safety sign.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// What it says, in words that stand beside it.
    pub meaning: String,
    /// Name of its drawing in `theme/icons/`.
    picture: String,
}

impl Sign {
    /// Its drawing as SVG text, without an accessible name: the meaning stands beside it in words.
    pub fn svg(&self) -> &'static str {
        theme(&format!("icons/{}.svg", self.picture)).trim()
    }
}

static SIGNS: LazyLock<BTreeMap<String, Sign>> =
    LazyLock::new(|| toml::from_str(theme("signs.toml")).expect("a test reads the theme's list of signs"));

/// The sign of this ISO 7010 number: `W012`.
pub fn sign(number: &str) -> Option<&'static Sign> {
    SIGNS.get(number)
}

/// Every sign by its number, sorted.
pub fn signs() -> impl Iterator<Item = (&'static str, &'static Sign)> {
    SIGNS.iter().map(|(number, sign)| (number.as_str(), sign))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_has_a_drawing_and_a_number_of_its_kind() {
        assert!(signs().count() > 10);
        for (number, sign) in signs() {
            assert!(sign.svg().starts_with("<svg"), "{number}");
            assert!(!sign.meaning.is_empty(), "{number}");
            assert!(number.len() == 4 && number.starts_with(['W', 'M', 'P', 'E', 'F']), "{number}");
        }
    }
}
