//! A result and its uncertainty as they are printed.

use crate::number::{figures, to_places, to_tens};

/// A value and its expanded uncertainty as text, to the same place.
///
/// The uncertainty keeps two significant figures (JCGM 100, 7.2.6) and the value is rounded to the same place.
pub fn rounded(value: f64, expanded: f64) -> (String, String) {
    let part = figures(expanded, 2);
    let places = part.split_once('.').map_or(0, |(_, fraction)| fraction.len());
    let value = if places > 0 || expanded < 100.0 {
        to_places(value, places)
    } else {
        // Two figures of a large uncertainty end before the point: the value is rounded to the same place.
        let step = part.len() as i32 - 2;
        to_tens(value, step)
    };
    (value, part)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn value_and_uncertainty_end_at_the_same_place() {
        for (value, expanded, texts) in [
            (0.273_91, 0.006_27, ("0.2739", "0.0063")),
            (183.04, 4.16, ("183.0", "4.2")),
            (7961.2, 130.0, ("7960", "130")),
            (7965.2, 96.0, ("7965", "96")),
            (4.0, 1200.0, ("0", "1200")),
            (12.6, 0.1, ("12.60", "0.10")),
            (-0.024_5, 0.001, ("−0.0245", "0.0010")),
        ] {
            assert_eq!(rounded(value, expanded), (texts.0.to_owned(), texts.1.to_owned()));
        }
    }
}
