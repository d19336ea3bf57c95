//! From the text of a file to a recording, with an account of what was found in it.

use super::Recording;
use super::cells::{CURRENT, Fault, Line, ROLES, Row, SPEED, TIME, VOLTAGE, line_end, next_line};
use super::format::{Format, Unclear, excerpt, format, unit};
use super::order::{Lines, Order, put_in_order};

/// Fewer rows show nothing that a meter would not.
pub const FEWEST_ROWS: usize = 100;
/// More rows are refused rather than left to a page's memory.
pub const MOST_ROWS: usize = 1_000_000;
/// Recorders of starting currents do not sample faster, in seconds.
const SHORTEST_STEP_S: f64 = 1e-9;
/// Greatest values that a row may hold: seconds (a clock since 1970 fits), amperes, volts, turns in a minute.
const GREATEST: Row = [1e11, 1e6, 1e6, 1e6];

/// What the reader says about units, where the heading shall not decide.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Scales {
    /// Seconds in one unit of the time's column.
    pub time_s: Option<f64>,
    /// Amperes in one unit of the current's column.
    pub current_a: Option<f64>,
}

/// What was found in a file besides its values.
#[derive(Debug, Clone, PartialEq)]
pub struct Account {
    /// How it is written.
    pub format: Format,
    /// Lines that hold no row.
    pub bad: Lines,
    /// Why the first of them holds none, and what stands in it.
    pub first_fault: Option<(Fault, String)>,
    /// Rows in which a cell of voltage or speed was empty, so that the value before it holds on.
    pub held: Lines,
    /// Late and repeated rows and gaps.
    pub order: Order,
    /// Rows as read, before those of one time were made one.
    pub rows_read: usize,
}

/// Why a text is no recording.
#[derive(Debug, Clone, PartialEq)]
pub enum Unreadable {
    /// Its form is not understood.
    Unclear(Unclear),
    /// The current's column has the unit of another quantity, as written in the heading.
    NotACurrent(String),
    /// The time's column has the unit of another quantity, as written in the heading.
    NotATime(String),
    /// Every line from the first row on is bad: the first of them, why, and what stands in it.
    AllBad(u32, Fault, String),
    /// It has only so many rows.
    TooFew(usize),
    /// It has more than [`MOST_ROWS`].
    TooMany,
    /// It has so many rows of different times: the others repeat a time.
    SameTime(usize),
    /// Its rows follow each other faster than any recorder writes.
    TooFast,
}

/// Reads a recording.
pub fn read(text: &str, scales: &Scales) -> Result<(Recording, Account), Unreadable> {
    let format = format(text).map_err(Unreadable::Unclear)?;
    let factors = factors(&format, scales)?;
    let bytes = text.as_bytes();
    let mut recording = Recording::default();
    let mut account = Account {
        format,
        bad: Lines::default(),
        first_fault: None,
        held: Lines::default(),
        order: Order::default(),
        rows_read: 0,
    };
    let layout = &account.format.layout;
    let has = |place: usize| layout.roles.contains(&Some(place));
    let (has_voltage, has_speed) = (has(VOLTAGE), has(SPEED));
    // Some 16 bytes make a row: close enough to ask for memory once.
    let guess = (text.len() / 16).min(MOST_ROWS);
    recording.time_s.reserve(guess);
    recording.current_a.reserve(guess);
    let mut lines: Vec<u32> = Vec::with_capacity(guess);
    let (mut at, mut number) = (account.format.start, account.format.first_line as u32);
    let mut row: Row = [0.0; ROLES];
    while at < bytes.len() {
        let (mut line, end) = layout.line(bytes, at, &mut row);
        let scaled: Row = [0, 1, 2, 3].map(|place| row[place] * factors[place]);
        if matches!(line, Line::Row { .. })
            && scaled.iter().zip(GREATEST).any(|(value, most)| value.abs() > most)
        {
            line = Line::Bad(Fault::Beyond);
        }
        match line {
            Line::Blank => {}
            Line::Bad(fault) => {
                if account.bad.count == 0 {
                    account.first_fault = Some((fault, excerpt(&text[at..line_end(bytes, at)])));
                }
                account.bad.add(number);
            }
            Line::Row { held } => {
                if held {
                    account.held.add(number);
                }
                if lines.len() == MOST_ROWS {
                    return Err(Unreadable::TooMany);
                }
                lines.push(number);
                recording.time_s.push(scaled[TIME]);
                recording.current_a.push(scaled[CURRENT]);
                if has_voltage {
                    recording.voltage_v.push(scaled[VOLTAGE]);
                }
                if has_speed {
                    recording.speed_rpm.push(scaled[SPEED]);
                }
            }
        }
        number += 1;
        at = next_line(bytes, end);
    }
    account.rows_read = lines.len();
    match (lines.len(), account.first_fault.take()) {
        (0, Some((fault, text))) => return Err(Unreadable::AllBad(account.bad.first[0], fault, text)),
        (rows, _) if rows < FEWEST_ROWS => return Err(Unreadable::TooFew(rows)),
        (_, fault) => account.first_fault = fault,
    }
    account.order = put_in_order(&mut recording, &mut lines);
    if recording.rows() < FEWEST_ROWS {
        return Err(Unreadable::SameTime(recording.rows()));
    }
    if account.order.step_s < SHORTEST_STEP_S {
        return Err(Unreadable::TooFast);
    }
    Ok((recording, account))
}

/// What a cell of each place is multiplied by.
fn factors(format: &Format, scales: &Scales) -> Result<Row, Unreadable> {
    let of_heading = |place: usize| match unit(&format.units[place]) {
        // A column named by its unit alone has the unit for a name.
        None => unit(&format.names[place])
            .filter(|(found, _)| *found == place)
            .map_or(Ok(1.0), |(_, size)| Ok(size)),
        Some((found, size)) if found == place => Ok(size),
        Some(_) => Err(format.units[place].clone()),
    };
    let time = match scales.time_s {
        Some(factor) => factor,
        None => of_heading(TIME).map_err(Unreadable::NotATime)?,
    };
    let current = match scales.current_a {
        Some(factor) => factor,
        None => of_heading(CURRENT).map_err(Unreadable::NotACurrent)?,
    };
    Ok([time, current, of_heading(VOLTAGE).unwrap_or(1.0), of_heading(SPEED).unwrap_or(1.0)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 120 rows, a millisecond apart, with the row's number as current.
    fn rows(delimiter: &str, decimal: &str) -> String {
        (0..120)
            .map(|row| format!("{}{delimiter}{row}.5\n", f64::from(row) / 1000.0 + 1.0))
            .map(|line| line.replace('.', decimal))
            .collect()
    }

    fn read(text: &str) -> Result<(Recording, Account), Unreadable> {
        super::read(text, &Scales::default())
    }

    #[test]
    fn every_way_of_writing_gives_the_same_recording() {
        let (expected, _) = read(&rows(",", ".")).expect("readable");
        assert_eq!(expected.rows(), 120);
        assert!((expected.current_a[7] - 7.5).abs() < 1e-12 && (expected.time_s[1] - 1.001).abs() < 1e-12);
        for (delimiter, decimal) in [
            (";", "."),
            (";", ","),
            ("\t", ","),
            ("|", "."),
            (" ", ","),
            ("   ", "."),
            (" ; ", ","),
            (", ", ","),
        ] {
            let text = rows(delimiter, decimal);
            for text in [
                text.clone(),
                text.replace('\n', "\r\n"),
                format!("\u{feff}{text}"),
                text.trim_end().to_owned(),
            ] {
                let (recording, account) =
                    read(&text).unwrap_or_else(|why| panic!("{delimiter:?}{decimal:?}: {why:?}"));
                assert_eq!(recording, expected, "{delimiter:?} and {decimal:?}");
                assert_eq!(account.bad.count, 0, "{delimiter:?} and {decimal:?}");
            }
        }
    }

    #[test]
    fn bad_rows_are_counted_and_the_first_are_named() {
        let text = rows(",", ".")
            .replace("\n7.5", "")
            .replace(",9.5", ",NaN")
            .replace(",11.5", ",oops")
            .replace(",13.5", "");
        let (recording, account) = read(&format!("# by hand\nt,I\n{text}")).expect("readable");
        assert_eq!(account.bad.first, [12, 14, 16]);
        assert_eq!((account.bad.count, recording.rows()), (3, 117));
        assert_eq!(account.first_fault, Some((Fault::NotANumber, "1.009,NaN".to_owned())));
    }

    #[test]
    fn units_come_from_the_heading_unless_the_reader_knows_better() {
        let text = rows(",", ".");
        let (recording, _) = read(&format!("Time (ms),I [mA]\n{text}")).expect("readable");
        assert!(
            (recording.time_s[0] - 0.001).abs() < 1e-15 && (recording.current_a[7] - 0.007_5).abs() < 1e-15
        );
        let (recording, _) = read(&format!("ms,mA\n{text}")).expect("readable");
        assert!((recording.current_a[7] - 0.007_5).abs() < 1e-15);
        let scales = Scales { time_s: Some(1.0), current_a: Some(10.0) };
        let (recording, _) = super::read(&format!("Time (ms),I [mV]\n{text}"), &scales).expect("readable");
        assert!((recording.time_s[0] - 1.0).abs() < 1e-15 && (recording.current_a[7] - 75.0).abs() < 1e-12);
        assert_eq!(
            read(&format!("Time (ms),I [mV]\n{text}")).expect_err("no current"),
            Unreadable::NotACurrent("mV".to_owned())
        );
    }

    #[test]
    fn an_empty_cell_holds_the_value_before_it() {
        let text: String = (0..120)
            .map(|row| {
                format!(
                    "{row};5;12{};{}\n",
                    if row % 2 == 0 { ",5" } else { "" },
                    if row % 3 == 0 { "900" } else { "" }
                )
            })
            .collect();
        let (recording, account) = read(&text).expect("readable");
        assert!(recording.speed_rpm.iter().all(|speed| (*speed - 900.0).abs() < 1e-12));
        assert_eq!((account.held.count, account.bad.count), (80, 0));
    }

    #[test]
    fn what_is_no_recording_is_refused_with_the_reason() {
        assert!(matches!(read(""), Err(Unreadable::Unclear(Unclear::NoRows { line: 0, .. }))));
        assert!(matches!(
            read("1.0000,a\n2.0000,b\n3.0000,c"),
            Err(Unreadable::AllBad(1, Fault::NotANumber, _))
        ));
        assert_eq!(read("1,2\n2,3"), Err(Unreadable::TooFew(2)));
        assert_eq!(read(&"1,2\n".repeat(200)), Err(Unreadable::SameTime(1)));
        let fast: String = (0..200).map(|row| format!("{row}e-12;5\n")).collect();
        assert_eq!(read(&fast), Err(Unreadable::TooFast));
        assert_eq!(read(&"1,2\n".repeat(1_000_001)), Err(Unreadable::TooMany));
    }

    #[test]
    fn no_text_makes_a_panic_or_a_number_that_is_none() {
        let odd = [
            "−", "\u{feff}", "\"", ";", ",", ".", "\t", " ", "\r", "\n", "#", "e", "9", "NaN", "inf", "é",
            "|", "(", "1e308",
        ];
        let mut state = 1_u64;
        let mut next = |most: usize| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % most
        };
        let mut read_well = 0;
        for round in 0..1500 {
            let mut text = match round % 4 {
                0 => rows(",", "."),
                1 => rows(";", ","),
                2 => format!("Time (ms)\tI [A]\n{}", rows("\t", ",")),
                _ => rows(" ", "."),
            };
            for _ in 0..next(30) {
                let mut at = next(text.len());
                while !text.is_char_boundary(at) {
                    at -= 1;
                }
                text.insert_str(at, odd[next(odd.len())]);
            }
            if let Ok((recording, _)) = read(&text) {
                read_well += 1;
                let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
                assert!(finite(&recording.time_s) && finite(&recording.current_a), "{text}");
                assert!(recording.time_s.is_sorted_by(|a, b| a < b), "{text}");
            }
        }
        assert!(read_well > 500, "{read_well}");
    }
}
