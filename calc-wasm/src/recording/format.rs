//! How a recording is written: what parts its cells, which mark its decimals have, and what its columns are.

use super::cells::{CURRENT, Delimiter, Layout, ROLES, SPEED, TIME, VOLTAGE, line_end, next_line};

/// So many rows are looked at closely; marks are counted in the whole file.
const CLOSE_LOOK: usize = 400;
/// The heading of a file with more lines than this is none.
const LONGEST_PREAMBLE: usize = 200;

/// What was found out about a file before its rows are read.
#[derive(Debug, Clone, PartialEq)]
pub struct Format {
    /// How its rows are laid out.
    pub layout: Layout,
    /// The unit that the heading names for each place of a row, as it is written there; empty for none.
    pub units: [String; ROLES],
    /// The name that the heading has for each place of a row; empty for none.
    pub names: [String; ROLES],
    /// How many columns a row has.
    pub columns: usize,
    /// Where the first row begins, in bytes.
    pub start: usize,
    /// The number of the line in which the first row stands, counted from 1.
    pub first_line: usize,
}

/// Why a file cannot be read at all.
#[derive(Debug, Clone, PartialEq)]
pub enum Unclear {
    /// No line begins with two numbers; a line's number and text, to show.
    NoRows {
        /// The line looked at, counted from 1; 0 when there is none.
        line: usize,
        /// What stands in it.
        text: String,
    },
    /// Commas part cells and decimals, and nothing tells which is which.
    Commas {
        /// Such a line, counted from 1.
        line: usize,
        /// What stands in it.
        text: String,
    },
}

/// One line with its number, counted from 1, and the byte at which it begins.
struct NumberedLine<'a> {
    number: usize,
    start: usize,
    text: &'a str,
}

/// Finds out how `text` is written.
pub fn format(text: &str) -> Result<Format, Unclear> {
    let (preamble, rows) = first_lines(text);
    let Some(first) = rows.first() else {
        let shown = preamble.first();
        return Err(Unclear::NoRows {
            line: shown.map_or(0, |line| line.number),
            text: shown.map_or_else(String::new, |line| excerpt(line.text)),
        });
    };
    let lines: Vec<&str> = rows.iter().map(|line| line.text.trim_matches([' ', '\t'])).collect();
    let Some(delimiter) = delimiter(&lines) else {
        return Err(Unclear::NoRows { line: first.number, text: excerpt(first.text) });
    };
    let headings = headings(&preamble, delimiter);
    let (points, commas) = marks(text.as_bytes(), first.start);
    let decimal = match delimiter {
        Delimiter::Byte(b',') => comma_decimal(&lines, points, headings.len()),
        _ => Some(if commas > points { b',' } else { b'.' }),
    };
    let Some(decimal) = decimal else {
        return Err(Unclear::Commas { line: first.number, text: excerpt(first.text) });
    };
    let columns = lines.iter().map(|line| cell_count(line, delimiter, decimal)).max().unwrap_or(0);
    let mut format = Format {
        layout: Layout { delimiter, decimal, roles: vec![None; columns] },
        units: Default::default(),
        names: Default::default(),
        columns,
        start: first.start,
        first_line: first.number,
    };
    format.assign(&headings);
    if [TIME, CURRENT].iter().any(|place| !format.layout.roles.contains(&Some(*place))) {
        return Err(Unclear::NoRows { line: first.number, text: excerpt(first.text) });
    }
    Ok(format)
}

/// The beginning of a line, short enough to be shown.
pub fn excerpt(text: &str) -> String {
    let mut short: String = text.trim().chars().take(40).collect();
    if short.len() < text.trim().len() {
        short.push('…');
    }
    short
}

fn is_idle(line: &str) -> bool {
    let line = line.trim_start();
    line.is_empty() || line.starts_with('#')
}

/// Does a line begin as a row of numbers does?
fn is_row(line: &str) -> bool {
    let line = line.trim_start_matches([' ', '\t', '"']);
    let unsigned = line.trim_start_matches(['-', '+', '−']);
    let mut bytes = unsigned.bytes();
    let begins = match bytes.next() {
        Some(byte) if byte.is_ascii_digit() => true,
        Some(b'.' | b',') => bytes.next().is_some_and(|byte| byte.is_ascii_digit()),
        _ => false,
    };
    // `2 channels, 10 kHz` begins with a digit too: a row is made of little but digits and marks.
    let letters = line.chars().filter(|c| c.is_alphabetic() && !matches!(c, 'e' | 'E')).count();
    begins && 3 * letters < line.len()
}

/// The lines before the first row that are no comments, and the first rows.
fn first_lines(text: &str) -> (Vec<NumberedLine<'_>>, Vec<NumberedLine<'_>>) {
    let bytes = text.as_bytes();
    let (mut preamble, mut rows) = (Vec::new(), Vec::new());
    // A byte-order mark is no part of the first line.
    let (mut at, mut number) = (if text.starts_with('\u{feff}') { 3 } else { 0 }, 0);
    while at < bytes.len() && rows.len() < CLOSE_LOOK && preamble.len() < LONGEST_PREAMBLE {
        number += 1;
        let end = line_end(bytes, at);
        let line = NumberedLine { number, start: at, text: &text[at..end] };
        if is_row(line.text) {
            rows.push(line);
        } else if rows.is_empty() && !is_idle(line.text) {
            preamble.push(line);
        }
        at = next_line(bytes, end);
    }
    (preamble, rows)
}

/// What parts the cells: the first that stands in nine of ten rows.
fn delimiter(lines: &[&str]) -> Option<Delimiter> {
    let in_most =
        |test: &dyn Fn(&str) -> bool| 10 * lines.iter().filter(|line| test(line)).count() >= 9 * lines.len();
    if let Some(byte) =
        [b';', b'\t', b'|'].into_iter().find(|byte| in_most(&|line| line.as_bytes().contains(byte)))
    {
        return Some(Delimiter::Byte(byte));
    }
    if in_most(&has_parting_blank) {
        return Some(Delimiter::Blanks);
    }
    in_most(&|line| line.contains(',')).then_some(Delimiter::Byte(b','))
}

/// A blank between two numbers, without a comma beside it.
fn has_parting_blank(line: &str) -> bool {
    let mut cells = line.split([' ', '\t']).filter(|cell| !cell.is_empty());
    let Some(mut before) = cells.next() else { return false };
    cells.any(|after| {
        let parts = !before.ends_with([',', '"']) && !after.starts_with([',', '"']);
        before = after;
        parts
    })
}

/// How often a point and a comma stand between two digits.
fn marks(bytes: &[u8], start: usize) -> (usize, usize) {
    let (mut points, mut commas) = (0, 0);
    for (at, byte) in bytes.iter().enumerate().skip(start.max(1)) {
        if (*byte == b'.' || *byte == b',')
            && bytes[at - 1].is_ascii_digit()
            && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
        {
            if *byte == b'.' { points += 1 } else { commas += 1 }
        }
    }
    (points, commas)
}

/// The decimal mark of rows whose cells are parted by commas, if it can be told.
fn comma_decimal(lines: &[&str], points: usize, headings: usize) -> Option<u8> {
    if points > 0 {
        return Some(b'.');
    }
    let tight = |line: &str| {
        line.as_bytes()
            .windows(3)
            .any(|part| part[0].is_ascii_digit() && part[1] == b',' && part[2].is_ascii_digit())
    };
    let some_tight = lines.iter().any(|line| tight(line));
    let apart = |line: &&str| line.contains(", ") || line.contains("\",");
    if !some_tight || lines.iter().all(apart) {
        // Blanks or quotes tell the parting commas from the others.
        return Some(if some_tight { b',' } else { b'.' });
    }
    let counts: Vec<usize> = lines.iter().map(|line| line.split(',').count()).collect();
    let all = |cells: usize| cells > 1 && counts.iter().all(|count| *count == cells);
    if all(2) || (headings > 1 && all(headings)) {
        return Some(b'.');
    }
    if headings > 1 && all(2 * headings) {
        return Some(b',');
    }
    // Whole numbers that rise from row to row are a time; the part before a decimal comma stays for many rows.
    let times: Vec<i64> =
        lines.iter().filter_map(|line| line.split(',').next()?.trim().parse().ok()).collect();
    let rises =
        times.len() == lines.len() && lines.len() > 19 && times.windows(2).all(|pair| pair[0] < pair[1]);
    (rises && counts.windows(2).all(|pair| pair[0] == pair[1])).then_some(b'.')
}

/// How many cells a row has; with a comma for both, a comma between two digits every second time parts them.
fn cell_count(line: &str, delimiter: Delimiter, decimal: u8) -> usize {
    let layout = Layout { delimiter, decimal, roles: Vec::new() };
    match delimiter {
        Delimiter::Byte(b',') if decimal == b',' && !line.contains([' ', '"']) => line.split(',').count() / 2,
        Delimiter::Byte(b',') if decimal == b',' && !line.contains('"') => line.split(", ").count(),
        _ => layout.cells(line).len(),
    }
}

impl Layout {
    /// The cells of a line of words, without quotes and outer blanks.
    fn cells<'a>(&self, line: &'a str) -> Vec<&'a str> {
        let bare = |cell: &'a str| cell.trim().trim_matches('"').trim();
        let line = line.trim_matches(' ');
        let (mut cells, mut start, mut inside) = (Vec::new(), 0, false);
        for (at, c) in line.char_indices() {
            let parted = match self.delimiter {
                Delimiter::Byte(byte) => c == char::from(byte),
                Delimiter::Blanks => matches!(c, ' ' | '\t'),
            };
            inside ^= c == '"';
            if parted && !inside {
                let cell = bare(&line[start..at]);
                if self.delimiter != Delimiter::Blanks || !cell.is_empty() {
                    cells.push(cell);
                }
                start = at + c.len_utf8();
            }
        }
        let cell = bare(&line[start..]);
        if !cell.is_empty() {
            cells.push(cell);
        }
        cells
    }
}

/// A column's name and unit, as its heading says.
#[derive(Debug, Clone, PartialEq, Default)]
struct Heading {
    name: String,
    unit: String,
}

/// The headings that stand above the first row: names, and units in brackets, after a stroke or in a line of their own.
fn headings(preamble: &[NumberedLine<'_>], delimiter: Delimiter) -> Vec<Heading> {
    let layout = Layout { delimiter, decimal: b'.', roles: Vec::new() };
    let mut above = preamble.iter().rev();
    let Some(nearest) = above.next() else { return Vec::new() };
    let cells = |line: &NumberedLine<'_>| -> Vec<String> {
        let mut cells: Vec<String> = Vec::new();
        for cell in layout.cells(line.text) {
            match cells.last_mut() {
                // `Time (ms)` in a file with blanks between its cells.
                Some(last) if delimiter == Delimiter::Blanks && cell.starts_with(['(', '[']) => {
                    last.push_str(cell);
                }
                _ => cells.push(cell.to_owned()),
            }
        }
        cells
    };
    let nearest = cells(nearest);
    let units: Vec<&str> = nearest.iter().map(|cell| cell.trim_matches(['(', ')', '[', ']', ' '])).collect();
    if units.len() > 1 && units.iter().all(|unit| unit.is_empty() || place_of_unit(unit).is_some()) {
        let names = above.next().map(cells).filter(|names| names.len() == units.len());
        return units
            .iter()
            .enumerate()
            .map(|(index, unit)| Heading {
                name: names.as_ref().map_or_else(String::new, |names| names[index].clone()),
                unit: (*unit).to_owned(),
            })
            .collect();
    }
    if nearest.len() < 2 { Vec::new() } else { nearest.iter().map(|cell| heading(cell)).collect() }
}

fn heading(cell: &str) -> Heading {
    let parts = match cell.find(['(', '[']) {
        Some(open) => Some((&cell[..open], cell[open + 1..].trim_end_matches([')', ']', ' ']))),
        None => [" in ", "/", ",", "_", " "]
            .iter()
            .find_map(|mark| cell.rsplit_once(mark).filter(|(_, unit)| place_of_unit(unit.trim()).is_some())),
    };
    let (name, unit) = parts.unwrap_or((cell, ""));
    Heading { name: name.trim().to_owned(), unit: unit.trim().to_owned() }
}

/// Units by place: symbol and what one of them is in seconds, amperes, volts or turns in a minute.
pub const UNITS: &[(usize, &str, f64)] = &[
    (TIME, "s", 1.0),
    (TIME, "sec", 1.0),
    (TIME, "second", 1.0),
    (TIME, "seconds", 1.0),
    (TIME, "ms", 1e-3),
    (TIME, "msec", 1e-3),
    (TIME, "milliseconds", 1e-3),
    (TIME, "µs", 1e-6),
    (TIME, "μs", 1e-6),
    (TIME, "us", 1e-6),
    (TIME, "microseconds", 1e-6),
    (TIME, "min", 60.0),
    (CURRENT, "A", 1.0),
    (CURRENT, "amp", 1.0),
    (CURRENT, "amps", 1.0),
    (CURRENT, "ampere", 1.0),
    (CURRENT, "amperes", 1.0),
    (CURRENT, "mA", 1e-3),
    (CURRENT, "kA", 1e3),
    (VOLTAGE, "V", 1.0),
    (VOLTAGE, "volt", 1.0),
    (VOLTAGE, "volts", 1.0),
    (VOLTAGE, "mV", 1e-3),
    (SPEED, "rpm", 1.0),
    (SPEED, "r/min", 1.0),
    (SPEED, "1/min", 1.0),
    (SPEED, "min-1", 1.0),
    (SPEED, "min⁻¹", 1.0),
    (SPEED, "1/s", 60.0),
    (SPEED, "r/s", 60.0),
];

/// The unit that a text names: its place and its size; letters may be of either case where they are more than one.
pub fn unit(text: &str) -> Option<(usize, f64)> {
    let exact = UNITS.iter().find(|(_, symbol, _)| *symbol == text);
    let loose = |symbol: &str| text.len() > 1 && symbol.eq_ignore_ascii_case(text);
    let found = exact.or_else(|| UNITS.iter().find(|(_, symbol, _)| loose(symbol)));
    found.map(|(place, _, size)| (*place, *size))
}

fn place_of_unit(text: &str) -> Option<usize> {
    unit(text).map(|(place, _)| place)
}

/// The place that a column's name asks for.
fn place_of_name(text: &str) -> Option<usize> {
    let name = text.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    let letter = name.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
    match letter {
        "t" => Some(TIME),
        "i" => Some(CURRENT),
        "u" | "v" => Some(VOLTAGE),
        "n" => Some(SPEED),
        _ if has(&["time", "elapsed"]) => Some(TIME),
        _ if has(&["current"]) || name.starts_with("amp") => Some(CURRENT),
        _ if has(&["volt", "battery"]) => Some(VOLTAGE),
        _ if has(&["speed", "rpm", "turns"]) => Some(SPEED),
        _ => place_of_unit(text),
    }
}

impl Format {
    /// Gives each column its place: by name, else by unit; time and current that nothing names by position.
    fn assign(&mut self, headings: &[Heading]) {
        let mut taken = [None; ROLES];
        for (column, heading) in headings.iter().enumerate().take(self.columns) {
            let place = place_of_name(&heading.name).or_else(|| place_of_unit(&heading.unit));
            if let Some(place) = place.filter(|place| taken[*place].is_none()) {
                taken[place] = Some(column);
            }
        }
        let named = taken.iter().any(Option::is_some);
        let by_position = if named { CURRENT + 1 } else { ROLES };
        for place in 0..by_position {
            if taken[place].is_none() {
                taken[place] = (0..self.columns).find(|column| !taken.contains(&Some(*column)));
            }
        }
        if taken[CURRENT].is_none() {
            // A clamp on a scope gives millivolts: the only other column is the current, whatever its unit.
            taken[CURRENT] = [VOLTAGE, SPEED].into_iter().find_map(|place| taken[place].take());
        }
        for (place, column) in taken.iter().enumerate() {
            let Some(column) = *column else { continue };
            self.layout.roles[column] = Some(place);
            if let Some(heading) = headings.get(column) {
                self.names[place].clone_from(&heading.name);
                self.units[place].clone_from(&heading.unit);
            }
        }
        // Rows are read up to the last column that is used.
        let last = self.layout.roles.iter().rposition(Option::is_some).map_or(0, |last| last + 1);
        self.layout.roles.truncate(last);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Format {
        format(text).unwrap_or_else(|unclear| panic!("{text:?}: {unclear:?}"))
    }

    const FOUR: [Option<usize>; 4] = [Some(TIME), Some(CURRENT), Some(VOLTAGE), Some(SPEED)];

    #[test]
    fn marks_are_told_apart() {
        for (text, delimiter, decimal) in [
            ("1,234;5,6\n2,0;7", Delimiter::Byte(b';'), b','),
            ("1.234;5.6", Delimiter::Byte(b';'), b'.'),
            ("0.1,5\n0.2,6", Delimiter::Byte(b','), b'.'),
            ("1,5\n2,6", Delimiter::Byte(b','), b'.'),
            ("0,1\t5,5", Delimiter::Byte(b'\t'), b','),
            ("0.1|5", Delimiter::Byte(b'|'), b'.'),
            ("0,1 5,5", Delimiter::Blanks, b','),
            ("0.1   5.5", Delimiter::Blanks, b'.'),
            ("0.1, 5.5", Delimiter::Byte(b','), b'.'),
            ("0,1, 5,5", Delimiter::Byte(b','), b','),
            ("\"0,1\",\"5,5\"", Delimiter::Byte(b','), b','),
            ("t,I\n0,1,5,5\n0,2,5,6", Delimiter::Byte(b','), b','),
            ("t,I,U,n\n0,1,5,5\n0,2,5,6", Delimiter::Byte(b','), b'.'),
        ] {
            let format = of(text);
            assert_eq!((format.layout.delimiter, format.layout.decimal), (delimiter, decimal), "{text:?}");
        }
    }

    #[test]
    fn commas_that_may_be_either_are_not_guessed() {
        for text in ["0,1,5,5\n0,2,5,6", "0,001,12\n0,002,13"] {
            assert!(matches!(format(text), Err(Unclear::Commas { line: 1, .. })), "{text:?}");
        }
        let rising: String = (0..30).map(|row| format!("{row},120,12\n")).collect();
        assert_eq!(of(&rising).columns, 3);
    }

    #[test]
    fn headings_name_columns_and_units() {
        for (text, names, units) in [
            ("Time (ms),I [A]\n0.1,2", ["Time", "I", "", ""], ["ms", "A", "", ""]),
            ("time_ms;current_ma\n0.1;2", ["time", "current", "", ""], ["ms", "ma", "", ""]),
            ("Time Current\nms A\n0.1 2", ["Time", "Current", "", ""], ["ms", "A", "", ""]),
            ("Time (ms) I (A)\n0.1 2", ["Time", "I", "", ""], ["ms", "A", "", ""]),
            ("recorder 7\n\n# made today\nt/s,U/V,I/A\n0.1,2,3", ["t", "I", "U", ""], ["s", "A", "V", ""]),
            ("s,rpm,V,A\n0.1,2,3,4", ["", "", "", ""], ["s", "A", "V", "rpm"]),
            ("0.1,2", ["", "", "", ""], ["", "", "", ""]),
        ] {
            let format = of(text);
            assert_eq!(format.names, names.map(str::to_owned), "{text:?}");
            assert_eq!(format.units, units.map(str::to_owned), "{text:?}");
        }
    }

    #[test]
    fn columns_are_found_by_name_else_by_position() {
        assert_eq!(of("0.1,2,3,4,5").layout.roles, FOUR);
        assert_eq!(of("I,t\n0.1,2").layout.roles, [Some(CURRENT), Some(TIME)]);
        assert_eq!(
            of("sample,Time,note,Current\n1,0.1,2,3").layout.roles,
            [None, Some(TIME), None, Some(CURRENT)]
        );
        assert_eq!(of("Time,Channel A,Channel B\n0.1,2,3").layout.roles, [Some(TIME), Some(CURRENT)]);
        assert_eq!(of("t [ms];CH1 [mV]\n1;500").layout.roles, FOUR[..2]);
        assert_eq!(of("a,b,c\n0.1,2,3").layout.roles, FOUR[..3]);
    }

    #[test]
    fn the_first_row_is_found_behind_marks_and_words() {
        let format = of("\u{feff}2 channels at 10 kHz\r\n# x\r\nt;I\r\n0,5;1,5\r\n");
        assert_eq!((format.first_line, format.start), (4, 35));
        assert_eq!(of(&format!("{}t,I\n1,2", "# note\n".repeat(1000))).first_line, 1002);
        assert!(matches!(of("t,I\r0.5,1\r0.6,2").first_line, 2));
        for text in ["", "hello", "a,b\nc,d", "1\n2\n3"] {
            assert!(matches!(super::format(text), Err(Unclear::NoRows { .. })), "{text:?}");
        }
    }
}
