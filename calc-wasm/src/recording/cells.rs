//! Numbers and rows straight from bytes: a million rows are read while a reader waits, so nothing is copied.

use crate::number::parse;

/// What parts the cells of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// This byte.
    Byte(u8),
    /// One space or more, or tabs.
    Blanks,
}

/// The columns that are read, in the order in which [`Row`] keeps them.
pub const ROLES: usize = 4;
/// The place of the time in a row.
pub const TIME: usize = 0;
/// The place of the current in a row.
pub const CURRENT: usize = 1;
/// The place of the voltage in a row.
pub const VOLTAGE: usize = 2;
/// The place of the speed in a row.
pub const SPEED: usize = 3;

/// How the rows of a file are laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// What parts the cells.
    pub delimiter: Delimiter,
    /// Decimal point or decimal comma.
    pub decimal: u8,
    /// What each column holds, the first column first: a place in a row, or nothing that is read.
    pub roles: Vec<Option<usize>>,
}

/// One row as read: time, current, voltage and speed as the file gives them.
pub type Row = [f64; ROLES];

/// What a line holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Line {
    /// Nothing, or a comment.
    Blank,
    /// A row. Voltage and speed are left as they were where their cell is empty, which is noted.
    Row {
        /// Was a cell of voltage or speed empty?
        held: bool,
    },
    /// No row, for this reason.
    Bad(Fault),
}

/// Why a line is no row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// It ends before the last column that is needed.
    Short,
    /// A cell is not a number.
    NotANumber,
    /// A number is greater than anything that a recorder measures.
    Beyond,
}

impl Fault {
    /// The reason in words.
    pub fn words(self) -> &'static str {
        match self {
            Fault::Short => "it has too few columns",
            Fault::NotANumber => "a cell is not a number",
            Fault::Beyond => "a number is far beyond anything that can be measured",
        }
    }
}

/// Nothing that is measured reaches this in any of its units: not a clock in microseconds since 1970.
const BEYOND: f64 = 1e16;

const POWERS_OF_TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19, 1e20, 1e21, 1e22,
];

/// The number that begins at `at`, and where it ends.
///
/// Up to 15 digits it is the nearest `f64`; longer ones are off by at most two units in the last place, since digits
/// and power of ten are each rounded once. Digits after the nineteenth do not count.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn number(bytes: &[u8], start: usize, decimal: u8) -> Option<(f64, usize)> {
    let mut at = start;
    let negative = match bytes.get(at) {
        Some(b'-') => {
            at += 1;
            true
        }
        Some(b'+') => {
            at += 1;
            false
        }
        // The minus of typesetters, U+2212.
        Some(0xE2) if bytes[at..].starts_with("−".as_bytes()) => {
            at += 3;
            true
        }
        _ => false,
    };
    let digits = at;
    let (mut mantissa, mut behind) = (0_u64, 0);
    while let Some(digit) = digit(bytes, at) {
        mantissa = mantissa.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
    let mut count = at - digits;
    // A mark with no digit behind it ends a number like `5.`; a comma there parts cells.
    if bytes.get(at) == Some(&decimal) && (digit(bytes, at + 1).is_some() || (count > 0 && decimal == b'.')) {
        at += 1;
        let first = at;
        while let Some(digit) = digit(bytes, at) {
            mantissa = mantissa.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        behind = at - first;
        count += behind;
    }
    if count == 0 {
        return None;
    }
    let mut scale = -i32::try_from(behind).ok()?;
    if count > 19 {
        (mantissa, scale) = long(&bytes[digits..at]);
    }
    if let Some(b'e' | b'E') = bytes.get(at) {
        let sign = bytes.get(at + 1).copied();
        let from = at + 1 + usize::from(matches!(sign, Some(b'-' | b'+')));
        let (mut exponent, mut end) = (0_i32, from);
        while let Some(digit) = digit(bytes, end) {
            exponent = (exponent * 10 + i32::from(digit)).min(9999);
            end += 1;
        }
        if end > from {
            scale = scale.saturating_add(if sign == Some(b'-') { -exponent } else { exponent });
            at = end;
        }
    }
    let size = match scale {
        _ if mantissa == 0 => 0.0,
        0 => mantissa as f64,
        1..=22 => mantissa as f64 * POWERS_OF_TEN[scale as usize],
        -22..=-1 => mantissa as f64 / POWERS_OF_TEN[-scale as usize],
        _ => return rare(bytes, start, at, decimal),
    };
    Some((if negative { -size } else { size }, at))
}

/// The first nineteen figures of many digits with at most one mark among them, and the power of ten they stand for.
fn long(digits: &[u8]) -> (u64, i32) {
    let (mut mantissa, mut kept, mut scale, mut behind) = (0_u64, 0, 0_i32, 0);
    for byte in digits {
        let digit = byte.wrapping_sub(b'0');
        if digit >= 10 {
            behind = 1;
        } else if kept < 19 {
            mantissa = mantissa * 10 + u64::from(digit);
            kept += i32::from(mantissa > 0);
            scale -= behind;
        } else {
            scale += 1 - behind;
        }
    }
    (mantissa, scale)
}

/// A number with a great exponent goes the careful way; one without an end is none.
fn rare(bytes: &[u8], start: usize, end: usize, decimal: u8) -> Option<(f64, usize)> {
    let text = std::str::from_utf8(&bytes[start..end]).ok()?;
    let text = if decimal == b',' { text.replace(',', ".") } else { text.to_owned() };
    let value = parse(&text).ok()?;
    value.is_finite().then_some((value, end))
}

fn digit(bytes: &[u8], at: usize) -> Option<u8> {
    bytes.get(at).map(|byte| byte.wrapping_sub(b'0')).filter(|digit| *digit < 10)
}

/// Is this the end of a line, or of the text?
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn ends(bytes: &[u8], at: usize) -> bool {
    matches!(bytes.get(at), None | Some(b'\n' | b'\r'))
}

/// Where the line that goes on at `at` ends: at its mark, or at the end of the text.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn line_end(bytes: &[u8], at: usize) -> usize {
    bytes[at..]
        .iter()
        .position(|byte| matches!(byte, b'\n' | b'\r'))
        .map_or(bytes.len(), |length| at + length)
}

/// Where the next line begins, after the mark at `at`: a line feed, a carriage return or both.
#[cfg_attr(target_arch = "wasm32", optimize(speed))]
pub fn next_line(bytes: &[u8], at: usize) -> usize {
    match (bytes.get(at), bytes.get(at + 1)) {
        (Some(b'\r'), Some(b'\n')) => at + 2,
        _ => (at + 1).min(bytes.len()),
    }
}

impl Layout {
    /// Is this byte idle space inside a row?
    fn is_blank(&self, byte: u8) -> bool {
        byte == b' ' || (byte == b'\t' && self.delimiter != Delimiter::Byte(b'\t'))
    }

    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    fn after_blanks(&self, bytes: &[u8], mut at: usize) -> usize {
        while bytes.get(at).is_some_and(|byte| self.is_blank(*byte)) {
            at += 1;
        }
        at
    }

    /// Reads the line that begins at `at` into `row`; gives what it holds and where it ends.
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    pub fn line(&self, bytes: &[u8], at: usize, row: &mut Row) -> (Line, usize) {
        let at = self.after_blanks(bytes, at);
        if ends(bytes, at) || bytes[at] == b'#' {
            return (Line::Blank, line_end(bytes, at));
        }
        let last = self.roles.iter().rposition(Option::is_some).unwrap_or(0);
        let (mut at, mut held) = (at, false);
        for (column, role) in self.roles.iter().enumerate() {
            at = self.after_blanks(bytes, at);
            let cell = match role {
                None => Ok(self.skipped(bytes, at)),
                Some(role) => self.cell(bytes, at, *role, row, &mut held),
            };
            at = match cell {
                Ok(end) => self.after_blanks(bytes, end),
                Err(fault) => return (Line::Bad(fault), line_end(bytes, at)),
            };
            if column == last {
                let whole = ends(bytes, at) || self.parts(bytes, at).is_some();
                let line = if whole { Line::Row { held } } else { Line::Bad(Fault::NotANumber) };
                return (line, if ends(bytes, at) { at } else { line_end(bytes, at) });
            }
            if ends(bytes, at) {
                // Only columns that may be empty are missing?
                let optional = self.roles[column + 1..].iter().flatten().all(|role| *role > CURRENT);
                let line = if optional { Line::Row { held: true } } else { Line::Bad(Fault::Short) };
                return (line, at);
            }
            at = match self.parts(bytes, at) {
                Some(next) => next,
                None => return (Line::Bad(Fault::NotANumber), line_end(bytes, at)),
            };
        }
        (Line::Bad(Fault::Short), line_end(bytes, at))
    }

    /// Where the next cell begins, if the cells are parted here.
    fn parts(&self, bytes: &[u8], at: usize) -> Option<usize> {
        match self.delimiter {
            Delimiter::Byte(byte) => (bytes.get(at) == Some(&byte)).then_some(at + 1),
            Delimiter::Blanks => (at > 0 && self.is_blank(bytes[at - 1])).then_some(at),
        }
    }

    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    fn cell(
        &self,
        bytes: &[u8],
        at: usize,
        role: usize,
        row: &mut Row,
        held: &mut bool,
    ) -> Result<usize, Fault> {
        let quoted = bytes.get(at) == Some(&b'"');
        let start = if quoted { self.after_blanks(bytes, at + 1) } else { at };
        let end = match number(bytes, start, self.decimal) {
            Some((value, _)) if value.abs() >= BEYOND => return Err(Fault::Beyond),
            Some((value, end)) => {
                row[role] = value;
                end
            }
            None if role > CURRENT => {
                *held = true;
                start
            }
            None if ends(bytes, start) => return Err(Fault::Short),
            None => return Err(Fault::NotANumber),
        };
        if !quoted {
            return Ok(end);
        }
        let end = self.after_blanks(bytes, end);
        if bytes.get(end) == Some(&b'"') { Ok(end + 1) } else { Err(Fault::NotANumber) }
    }

    /// The end of a cell that is not read.
    #[cfg_attr(target_arch = "wasm32", optimize(speed))]
    fn skipped(&self, bytes: &[u8], mut at: usize) -> usize {
        let mut inside = false;
        while !ends(bytes, at) {
            let byte = bytes[at];
            let parted = match self.delimiter {
                Delimiter::Byte(delimiter) => byte == delimiter,
                Delimiter::Blanks => self.is_blank(byte),
            };
            if parted && !inside {
                break;
            }
            inside ^= byte == b'"';
            at += 1;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, decimal: u8) -> Option<(f64, usize)> {
        number(text.as_bytes(), 0, decimal)
    }

    #[test]
    fn numbers_are_the_nearest_ones() {
        for text in [
            "0",
            "7",
            "-0.5",
            "+12.25",
            "1e3",
            "1.5E-3",
            "0.1",
            "123456.789",
            "3.14159265358979",
            "1e22",
            "1e-22",
            "9007199254740992",
            ".5",
            "5.",
            "0.000001",
            "-2.5e+2",
            "1e-300",
            "1.25e200",
        ] {
            let (value, end) = read(text, b'.').expect("a number");
            assert_eq!(value, text.parse::<f64>().expect("a number"), "{text}");
            assert_eq!(end, text.len(), "{text}");
        }
    }

    #[test]
    fn long_numbers_are_right_to_fifteen_figures() {
        let mut state = 9_u64;
        for index in 0..5000 {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            let whole = state % 100_000;
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            let text = format!("{whole}.{state:020}{state}e-{}", index % 12);
            let exact = text.parse::<f64>().expect("a number");
            let (value, _) = read(&text, b'.').expect("a number");
            assert!((value - exact).abs() <= 5e-16 * exact.abs(), "{text}: {value}");
        }
    }

    #[test]
    fn a_decimal_comma_needs_a_digit_behind_it() {
        assert_eq!(read("1,5", b','), Some((1.5, 3)));
        assert_eq!(read("−1,5;", b','), Some((-1.5, 5 + 1)));
        assert_eq!(read("1, 5", b','), Some((1.0, 1)));
        assert_eq!(read("0,001,12", b','), Some((0.001, 5)));
    }

    #[test]
    fn words_are_no_numbers() {
        for text in ["", "-", ".", "NaN", "nan", "inf", "-inf", "abc", "e5", "--1", "1e999", "+"] {
            let whole = read(text, b'.').filter(|(_, end)| *end == text.len());
            assert_eq!(whole, None, "{text}");
        }
    }

    fn line(text: &str, delimiter: Delimiter, decimal: u8, roles: &[Option<usize>]) -> (Line, Row) {
        let layout = Layout { delimiter, decimal, roles: roles.to_vec() };
        let mut row = [0.0; ROLES];
        let (line, end) = layout.line(text.as_bytes(), 0, &mut row);
        assert!(ends(text.as_bytes(), end), "{text}: stops at {end}");
        (line, row)
    }

    const TWO: [Option<usize>; 2] = [Some(TIME), Some(CURRENT)];
    const WHOLE: Line = Line::Row { held: false };

    #[test]
    fn rows_of_every_kind_are_read() {
        for (text, delimiter, decimal) in [
            ("0.5,12", Delimiter::Byte(b','), b'.'),
            ("0.5, 12 \r\n", Delimiter::Byte(b','), b'.'),
            ("0,5;12", Delimiter::Byte(b';'), b','),
            ("\"0,5\",\"12\"", Delimiter::Byte(b','), b','),
            ("0,5, 12,0", Delimiter::Byte(b','), b','),
            ("0.5\t12\t", Delimiter::Byte(b'\t'), b'.'),
            ("  0.5   12  ", Delimiter::Blanks, b'.'),
            ("0.5 \t 12 text", Delimiter::Blanks, b'.'),
            ("0.5 | 12 | note", Delimiter::Byte(b'|'), b'.'),
        ] {
            assert_eq!(line(text, delimiter, decimal, &TWO), (WHOLE, [0.5, 12.0, 0.0, 0.0]), "{text}");
        }
    }

    #[test]
    fn columns_that_are_not_read_may_hold_anything() {
        let roles = [None, Some(TIME), None, Some(CURRENT)];
        let (found, row) = line("\"a,b\",1,x y,2", Delimiter::Byte(b','), b'.', &roles);
        assert_eq!((found, row[TIME], row[CURRENT]), (WHOLE, 1.0, 2.0));
    }

    #[test]
    fn bad_rows_say_why() {
        let comma = Delimiter::Byte(b',');
        for (text, fault) in [
            ("1", Fault::Short),
            ("1,", Fault::Short),
            ("1,x", Fault::NotANumber),
            ("x,1", Fault::NotANumber),
            ("1,NaN", Fault::NotANumber),
            ("1,2 A", Fault::NotANumber),
            ("1,1e20", Fault::Beyond),
            ("1,\"2", Fault::NotANumber),
        ] {
            assert_eq!(line(text, comma, b'.', &TWO).0, Line::Bad(fault), "{text}");
        }
        assert_eq!(line("# 1,2", comma, b'.', &TWO).0, Line::Blank);
        assert_eq!(line("  ", comma, b'.', &TWO).0, Line::Blank);
    }

    #[test]
    fn an_empty_cell_of_voltage_or_speed_is_held() {
        let roles = [Some(TIME), Some(CURRENT), Some(VOLTAGE), Some(SPEED)];
        for text in ["1,2,,3", "1,2,4,", "1,2"] {
            assert_eq!(line(text, Delimiter::Byte(b','), b'.', &roles).0, Line::Row { held: true }, "{text}");
        }
        assert_eq!(line("1,2,x,3", Delimiter::Byte(b','), b'.', &roles).0, Line::Bad(Fault::NotANumber));
    }
}
