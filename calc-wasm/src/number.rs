//! Numbers as people type them and as reports print them.
//!
//! Printing is done here rather than by the standard library because the same few lines serve the page and weigh
//! little there; parsing is left to the platform, which already carries a correct parser, once [`plain`] has
//! made sure that the text is a number and nothing else.

/// Why a text is not taken as a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NumberProblem {
    /// It is not digits with at most one decimal mark.
    NotANumber,
    /// It has marks between thousands, or a comma that could be one.
    Thousands,
}

/// The text with a decimal point and an ASCII minus, ready for the platform's parser.
///
/// Decimal point and decimal comma are both understood. `1,250` is refused: one reader means a thousand and a
/// quarter thousand, the other one and a quarter, and a bench is no place to guess.
pub fn plain(text: &str) -> Result<String, NumberProblem> {
    let text = text.trim();
    let (minus, unsigned) = match text.strip_prefix(['-', '−', '+']) {
        Some(rest) => (!text.starts_with('+'), rest),
        None => (false, text),
    };
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let mut out = String::with_capacity(text.len());
    if minus {
        out.push('-');
    }
    push_mantissa(&mut out, mantissa)?;
    if let Some(exponent) = exponent {
        let digits = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
        if digits.is_empty() || digits.len() > 3 || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
            return Err(NumberProblem::NotANumber);
        }
        out.push('e');
        out.push_str(exponent);
    }
    Ok(out)
}

/// Digits with at most one decimal mark, which becomes a point.
fn push_mantissa(out: &mut String, mantissa: &str) -> Result<(), NumberProblem> {
    let (mut digits, mut marks, mut mark) = (0, 0, None);
    for (at, c) in mantissa.char_indices() {
        match c {
            '0'..='9' => {
                digits += 1;
                out.push(c);
            }
            '.' | ',' | ' ' | '\'' | '’' | '_' | '\u{a0}' | '\u{2009}' | '\u{202f}' => {
                marks += 1;
                mark = Some((at, c));
                out.push('.');
            }
            _ => return Err(NumberProblem::NotANumber),
        }
    }
    match mark {
        _ if digits == 0 => Err(NumberProblem::NotANumber),
        _ if marks > 1 => Err(NumberProblem::Thousands),
        None | Some((_, '.')) => Ok(()),
        Some((at, ',')) => {
            let may_part_thousands =
                (1..=3).contains(&at) && mantissa.len() - at == 4 && !mantissa.starts_with('0');
            if may_part_thousands { Err(NumberProblem::Thousands) } else { Ok(()) }
        }
        Some(_) => Err(NumberProblem::Thousands),
    }
}

/// The number that a person typed.
pub fn parse(text: &str) -> Result<f64, NumberProblem> {
    plain(text).map(|plain| platform_parse(&plain))
}

#[cfg(not(target_arch = "wasm32"))]
fn platform_parse(plain: &str) -> f64 {
    plain.parse().expect("`plain` lets only numbers through")
}

#[cfg(target_arch = "wasm32")]
fn platform_parse(plain: &str) -> f64 {
    crate::browser::parse_number(plain)
}

/// Splits `78.5 A` into the number's text and the rest.
pub fn split_unit(text: &str) -> (&str, &str) {
    let text = text.trim();
    let is_part = |(at, c): (usize, char)| {
        c.is_ascii_digit()
            || matches!(c, '.' | ',' | '\'' | '’' | '_')
            || (at == 0 && matches!(c, '+' | '-' | '−'))
            || (matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
                && text[at + c.len_utf8()..].starts_with(|next: char| next.is_ascii_digit()))
            || (matches!(c, 'e' | 'E')
                && text[at + 1..]
                    .trim_start_matches(['+', '-'])
                    .starts_with(|next: char| next.is_ascii_digit()))
            || (matches!(c, '+' | '-') && text[..at].ends_with(['e', 'E']))
    };
    let end = text.char_indices().find(|&pair| !is_part(pair)).map_or(text.len(), |(at, _)| at);
    (&text[..end], text[end..].trim())
}

const POWERS_OF_TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19, 1e20, 1e21, 1e22,
];

/// `value` with this many significant figures (1 to 15), never with an exponent: `0.0152`, `1520`.
pub fn figures(value: f64, significant: usize) -> String {
    if !value.is_finite() {
        return "no finite number".to_owned();
    }
    let significant = significant.clamp(1, 15);
    let size = value.abs();
    if size < 1e-18 {
        return fixed_digits(false, 0, significant - 1);
    }
    let mut decimals = significant as i32 - 1 - magnitude(size);
    let mut digits = scaled(size, decimals);
    if digits >= POWERS_OF_TEN[significant] as u64 {
        decimals -= 1;
        digits = scaled(size, decimals);
    }
    if decimals >= 0 {
        fixed_digits(value < 0.0, digits, decimals as usize)
    } else {
        let mut text = fixed_digits(value < 0.0, digits, 0);
        text.extend(std::iter::repeat_n('0', -decimals as usize));
        text
    }
}

/// `value` with up to nine significant figures and no idle zeros: for limits, starting values and links.
pub fn short(value: f64) -> String {
    let text = figures(value, 9);
    match text.split_once('.') {
        Some(_) => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        None => text,
    }
}

/// `value` with so many decimal places: `0.27` and `180`.
pub fn to_places(value: f64, places: usize) -> String {
    if !value.is_finite() || value.abs() >= 1e15 {
        return figures(value, 15);
    }
    let places = places.min(12);
    fixed_digits(value < 0.0, scaled(value.abs(), places as i32), places)
}

/// `value` rounded to a power of ten before the point: `12400` to hundreds, with `tens` 2.
pub fn to_tens(value: f64, tens: i32) -> String {
    let tens = tens.clamp(0, 15);
    let digits = scaled(value.abs(), -tens);
    if digits == 0 {
        return "0".to_owned();
    }
    let mut text = fixed_digits(value < 0.0, digits, 0);
    text.extend(std::iter::repeat_n('0', tens as usize));
    text
}

/// The power of ten of the first figure: 2 for 180, -3 for 0.0015.
fn magnitude(size: f64) -> i32 {
    if size >= 1.0 {
        POWERS_OF_TEN.iter().rposition(|power| size >= *power).unwrap_or(0) as i32
    } else {
        -(POWERS_OF_TEN.iter().position(|power| size * power >= 1.0).unwrap_or(22) as i32)
    }
}

/// `size` times ten to the power `decimals`, rounded to a whole number.
fn scaled(size: f64, decimals: i32) -> u64 {
    let power = |exponent: i32| POWERS_OF_TEN[exponent.unsigned_abs().min(22) as usize];
    let value = match decimals {
        23.. => size * power(22) * power(decimals - 22),
        0..=22 => size * power(decimals),
        _ => size / power(decimals),
    };
    value.round() as u64
}

fn fixed_digits(negative: bool, digits: u64, decimals: usize) -> String {
    let mut text = digits.to_string();
    if decimals > 0 {
        if text.len() <= decimals {
            text.insert_str(0, &"0".repeat(decimals + 1 - text.len()));
        }
        text.insert(text.len() - decimals, '.');
    }
    if negative {
        text.insert(0, '−');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn point_and_comma_are_both_decimal_marks() {
        for (text, value) in [
            ("180", 180.0),
            (" 0.24", 0.24),
            ("0,24", 0.24),
            ("0,274", 0.274),
            ("-0.02", -0.02),
            ("−0,02", -0.02),
            ("1,25", 1.25),
            ("1.250", 1.25),
            ("1e-3", 0.001),
            (".5", 0.5),
            ("5.", 5.0),
        ] {
            assert_eq!(parse(text), Ok(value), "{text}");
        }
    }

    #[test]
    fn thousands_marks_are_refused_not_guessed() {
        for text in ["1,250", "12,500", "1 250", "1'250", "1,234.5", "1.234,5", "1,250,000"] {
            assert_eq!(parse(text), Err(NumberProblem::Thousands), "{text}");
        }
    }

    #[test]
    fn words_are_no_numbers() {
        for text in ["", "-", ".", ",", "abc", "NaN", "inf", "0x10", "1e", "1e9999", "--1", "１２"] {
            assert_eq!(parse(text), Err(NumberProblem::NotANumber), "{text}");
        }
    }

    #[test]
    fn units_part_from_their_number() {
        for (text, number, unit) in [
            ("180A", "180", "A"),
            ("78.5 mΩ", "78.5", "mΩ"),
            ("1e-3 ohm", "1e-3", "ohm"),
            ("6ft", "6", "ft"),
            ("5", "5", ""),
            ("1 250 A", "1 250", "A"),
            ("20 °C", "20", "°C"),
            ("abc", "", "abc"),
            ("-5 °C", "-5", "°C"),
        ] {
            assert_eq!(split_unit(text), (number, unit), "{text}");
        }
    }

    #[test]
    fn figures_are_rounded_not_cut() {
        for (value, significant, text) in [
            (0.273_91, 3, "0.274"),
            (179.96, 3, "180"),
            (0.099_96, 3, "0.100"),
            (999.6, 3, "1000"),
            (12_345.0, 3, "12300"),
            (0.0, 3, "0.00"),
            (-0.024_5, 2, "−0.025"),
            (6.0, 1, "6"),
            (1e-7, 2, "0.00000010"),
            (99_999_999.0, 2, "100000000"),
            (f64::NAN, 3, "no finite number"),
        ] {
            assert_eq!(figures(value, significant), text, "{value}");
        }
    }

    #[test]
    fn short_text_drops_idle_zeros() {
        for (value, text) in
            [(0.5, "0.5"), (180.0, "180"), (0.000_5, "0.0005"), (0.1 + 0.2, "0.3"), (1000.0, "1000")]
        {
            assert_eq!(short(value), text);
        }
    }
}
