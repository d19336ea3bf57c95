//! What people write after `±`, read and printed: `2`, `2 % + 5`, `(1.5 % + 3 × 0.01)`.

use super::meter::{Repeated, Spread};
use crate::number::{parse, short, split_unit};

/// Reads what stands after `±`; `resolution` is the worth of the last digit that the reading was typed with.
///
/// `has_unit` says that a unit of the reading stands behind it all: then a number alone is a band in any case.
///
/// A percentage is of the reading. A number beside a percentage counts last digits, as meters' data sheets write it;
/// a number alone is a band in the unit of the reading. `s 0.2 n 5` is the scatter of the mean of five readings.
pub fn read(text: &str, resolution: f64, has_unit: bool) -> Option<Spread> {
    let text = text.trim();
    let inner = match text.strip_prefix('(') {
        Some(rest) => rest.strip_suffix(')')?,
        None => text,
    };
    let mut spread = Spread::within(0.0);
    let (mut percents, mut bare, mut parts) = (0, None, 0);
    for part in inner.split('+').map(str::trim) {
        parts += 1;
        if let Some(scatter) = part.strip_prefix('s') {
            let (deviation, count) = scatter.split_once('n')?;
            spread.repeated = Some(Repeated { deviation: number(deviation)?, count: number(count)? });
            continue;
        }
        let (value, rest) = split_unit(part);
        let value = number(value)?;
        match rest {
            "abs" => spread.within = value,
            "%" | "% rdg" | "%rdg" | "% of reading" => {
                percents += 1;
                spread.percent = value;
            }
            "" | "digits" | "digit" | "dgt" | "dgts" | "d" | "counts" | "count" => {
                if bare.replace((value, rest)).is_some() {
                    return None;
                }
            }
            times => {
                let worth = times.strip_prefix(['×', 'x', '*'])?;
                (spread.counts, spread.resolution) = (value, number(worth)?);
            }
        }
    }
    match bare {
        Some((value, word)) if !word.is_empty() || (percents > 0 && !has_unit) => {
            (spread.counts, spread.resolution) = (value, resolution);
        }
        Some((value, _)) => spread.within = value,
        None => {}
    }
    (parts > 0 && percents <= 1 && spread.is_sound()).then_some(spread)
}

/// The text that [`read`] takes for the same, whatever the reading's digits.
pub fn written(spread: Spread) -> String {
    let mut parts = Vec::new();
    if spread.percent > 0.0 {
        parts.push(format!("{} %", short(spread.percent)));
    }
    if spread.counts > 0.0 {
        parts.push(format!("{} × {}", short(spread.counts), short(spread.resolution)));
    }
    if let Some(repeated) = spread.repeated {
        parts.push(format!("s {} n {}", short(repeated.deviation), short(repeated.count)));
    }
    if spread.within > 0.0 || parts.is_empty() {
        // Beside a percentage a number alone would count digits.
        let word = if spread.percent > 0.0 { " abs" } else { "" };
        parts.insert(0, [&short(spread.within), word].concat());
    }
    parts.join(" + ")
}

/// The worth of the last digit of a number as it was typed: 0.1 for `62.0`, 1 for `62`.
pub fn last_digit(plain: &str) -> f64 {
    let (mantissa, exponent) = match plain.split_once('e') {
        Some((mantissa, exponent)) => (mantissa, exponent.parse().unwrap_or(0)),
        None => (plain, 0),
    };
    let places = mantissa.split_once('.').map_or(0, |(_, fraction)| fraction.len() as i32);
    crate::math::power(10.0, f64::from(exponent - places))
}

fn number(text: &str) -> Option<f64> {
    parse(text).ok().filter(|value| value.is_finite() && *value >= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_sheets_and_bands_are_told_apart() {
        for (text, spread) in [
            ("2", Spread::within(2.0)),
            ("0,5", Spread::within(0.5)),
            ("2 %", Spread::meter(2.0, 0.0, 0.0)),
            ("2 % + 5", Spread::meter(2.0, 5.0, 0.1)),
            ("(0.5% + 2 digits)", Spread::meter(0.5, 2.0, 0.1)),
            ("2 %rdg + 5 dgt", Spread::meter(2.0, 5.0, 0.1)),
            ("3 dgt", Spread::meter(0.0, 3.0, 0.1)),
            ("1 % + 5 × 0.01", Spread::meter(1.0, 5.0, 0.01)),
            ("s 0.2 n 5", Spread::scatter(Repeated { deviation: 0.2, count: 5.0 })),
        ] {
            assert_eq!(read(text, 0.1, false), Some(spread), "{text}");
        }
        for text in ["", "x", "-2", "2 % + 3 %", "2 + 3", "(2 %", "2 A", "s 1 n 1", "1e400", "5 × "] {
            assert_eq!(read(text, 0.1, false), None, "{text}");
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        let scatter = Repeated { deviation: 0.25, count: 3.0 };
        for spread in [
            Spread::within(0.0),
            Spread::within(2.5),
            Spread::meter(1.5, 3.0, 0.01),
            Spread::meter(0.0, 3.0, 0.01),
            Spread { repeated: Some(scatter), ..Spread::meter(1.5, 3.0, 0.01) },
            Spread { repeated: Some(scatter), ..Spread::within(0.5) },
            Spread { within: 0.5, ..Spread::meter(1.5, 0.0, 0.0) },
        ] {
            assert_eq!(read(&written(spread), 1.0, false), Some(spread), "{}", written(spread));
        }
    }

    #[test]
    fn the_last_digit_is_the_one_typed() {
        for (text, worth) in [("62", 1.0), ("62.0", 0.1), ("0.012", 0.001), ("1e-3", 0.001), ("1.5e3", 100.0)]
        {
            assert!((last_digit(text) / worth - 1.0).abs() < 1e-12, "{text}");
        }
    }
}
