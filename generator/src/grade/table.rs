//! Tables as CSV (RFC 4180), safe to open in a spreadsheet.
//!
//! A text that a spreadsheet could take for a formula (it begins with `=`, `+`, `-`, `@`, a tab or a line's end, or with a
//! full-width form of those) gets an apostrophe before it. A text that is a plain negative number and nothing else stays
//! as it is, and so do the program's own numbers: they are data.

use fieldcoil_calc::number::short;

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Text from anywhere.
    Text(String),
    /// A number.
    Number(f64),
    /// Nothing yet.
    Blank,
}

impl Cell {
    /// Text.
    pub fn text(text: impl Into<String>) -> Cell {
        Cell::Text(text.into())
    }

    /// How many there are.
    pub fn count(count: usize) -> Cell {
        Cell::Number(count as f64)
    }

    /// A number, or nothing.
    pub fn maybe(number: Option<f64>) -> Cell {
        number.map_or(Cell::Blank, Cell::Number)
    }

    fn written(&self) -> String {
        match self {
            Cell::Text(text) => safe(text),
            Cell::Number(number) => plain(*number),
            Cell::Blank => String::new(),
        }
    }
}

/// A number with a decimal point, an ASCII minus and at most nine figures.
pub fn plain(number: f64) -> String {
    let text = short(number).replace('−', "-");
    if text == "-0" { "0".to_owned() } else { text }
}

fn safe(text: &str) -> String {
    let is_formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    if is_formula && !is_negative_number(text) { ["'", text].concat() } else { text.to_owned() }
}

fn is_negative_number(text: &str) -> bool {
    let Some(number) = text.strip_prefix('-') else { return false };
    let (whole, rest) = number.split_once(['.', ',']).unwrap_or((number, "0"));
    [whole, rest].iter().all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()))
}

/// The bytes of a table.
pub fn write(heads: &[&str], rows: impl IntoIterator<Item = Vec<Cell>>) -> Vec<u8> {
    let mut out = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    out.write_record(heads).expect("a vector takes all that is written");
    for row in rows {
        out.write_record(row.iter().map(Cell::written)).expect("rows are as long as their heads");
    }
    out.into_inner().expect("a vector takes all that is written")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_made_harmless_and_negative_numbers_stay() {
        for (text, written) in [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("-1+1", "'-1+1"),
            ("-5 °C", "'-5 °C"),
            ("\t=1", "'\t=1"),
            ("\r=1", "'\r=1"),
            ("＝1", "'＝1"),
            ("-5", "-5"),
            ("-0.5", "-0.5"),
            ("-0,5", "-0,5"),
            ("--5", "'--5"),
            ("-", "'-"),
            ("-.", "'-."),
            ("−5 °C", "−5 °C"),
            ("1.73 mΩ", "1.73 mΩ"),
            ("", ""),
        ] {
            assert_eq!(Cell::text(text).written(), written, "{text:?}");
        }
        for (number, written) in [(-0.25, "-0.25"), (3.0, "3"), (1.0 / 3.0, "0.333333333"), (-0.0, "0")] {
            assert_eq!(Cell::Number(number).written(), written);
        }
    }

    #[test]
    fn commas_quotes_and_lines_are_quoted() {
        let row = vec![Cell::text("a,b"), Cell::text("say \"x\""), Cell::text("two\nlines"), Cell::Blank];
        let bytes = write(&["a", "b", "c", "d"], [row]);
        let wanted = "a,b,c,d\r\n\"a,b\",\"say \"\"x\"\"\",\"two\nlines\",\r\n";
        assert_eq!(String::from_utf8(bytes).expect("text"), wanted);
    }
}
