//! What was handed in on paper and typed off by the instructor: CSV tables, told apart by their first line.
//!
//! `code,homework,ask,answer` holds answers, `code,lesson,reading,value` readings (with a column `sheet` where a lesson has
//! several sheets with a reading of that name), `code,homework,reason,points` points for reasons that were marked by
//! hand. Columns stand in any order; further ones are for people and not read, so that the program's own list of
//! reasons can be filled in and handed back as it is.

use std::collections::BTreeMap;

use csv::{ReaderBuilder, StringRecord, Trim};
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::number::parse;

use super::flag::{Flag, FlagKind};
use crate::complaint::Complaint;
use crate::finding::shown;
use crate::roster::{delimiter, line_at};

/// Bytes that a table may have: a class of a hundred with a hundred answers each is a quarter of it.
pub const MOST_BYTES: usize = 4 * 1024 * 1024;
/// Rows that a table may have.
const MOST_ROWS: usize = 100_000;
/// Letters that a cell may have.
const LONGEST_CELL: usize = 10_000;

/// A row that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Whose.
    pub code: Code,
    /// What it holds.
    pub entry: Entry,
    /// The file and its line.
    pub file: String,
    /// See [`file`](Row::file).
    pub line: u64,
}

/// What a row holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// An answer to an ask of a problem.
    Answer {
        /// The problem's name.
        homework: String,
        /// The ask's name.
        ask: String,
        /// As it was written.
        answer: String,
    },
    /// A reading.
    Reading {
        /// The lesson's address.
        lesson: String,
        /// The sheet's anchor, where it is said.
        sheet: Option<String>,
        /// The reading's name.
        reading: String,
        /// As it was written.
        value: String,
    },
    /// Points for a reason.
    Points {
        /// The problem's name.
        homework: String,
        /// Which of its reasons, counted from 1.
        reason: usize,
        /// What the instructor gave.
        points: f64,
    },
}

/// The three tables, each with its columns.
const TABLES: [[&str; 4]; 3] = [
    ["code", "homework", "ask", "answer"],
    ["code", "lesson", "reading", "value"],
    ["code", "homework", "reason", "points"],
];

/// Reads a table; what cannot be read is left out and complained of, and a code with a slip is flagged.
pub fn read(file: &str, bytes: &[u8]) -> (Vec<Row>, Vec<Complaint>) {
    let mut complaints = Vec::new();
    let rows = rows(file, bytes, &mut complaints);
    (rows, complaints)
}

fn rows(file: &str, bytes: &[u8], complaints: &mut Vec<Complaint>) -> Vec<Row> {
    let mut all = Vec::new();
    let mut complain = |line: Option<u64>, message: String, help: &str| {
        complaints.push(Complaint { line, ..Complaint::of_file(file, message, help) });
    };
    if bytes.len() > MOST_BYTES {
        complain(None, format!("it has more than {} MB", MOST_BYTES >> 20), "split the table");
        return all;
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        complain(None, "it is not UTF-8".to_owned(), "save the table as CSV in UTF-8");
        return all;
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new()
        .flexible(true)
        .trim(Trim::All)
        .delimiter(delimiter(text))
        .from_reader(text.as_bytes());
    let heads = match reader.headers() {
        Ok(heads) => heads.clone(),
        Err(problem) => {
            complain(Some(1), format!("a row cannot be read: {problem}"), "save the table as CSV in UTF-8");
            return all;
        }
    };
    let Some(table) = Columns::of(&heads) else {
        let wanted: Vec<String> = TABLES.iter().map(|columns| format!("`{}`", columns.join(","))).collect();
        let message = format!("its first line names none of the tables that are read: {}", wanted.join(", "));
        complain(
            Some(1),
            message,
            "name the columns in the first line; take other CSV files out of the folder",
        );
        return all;
    };
    for row in reader.records() {
        let row = match row {
            Ok(row) => row,
            Err(problem) => {
                let line = problem.position().map(csv::Position::line);
                complain(line, format!("a row cannot be read: {problem}"), "save the table as CSV in UTF-8");
                continue;
            }
        };
        let line = row.position().map_or(0, |position| line_at(text, position));
        if row.iter().all(str::is_empty) {
            continue;
        }
        if all.len() >= MOST_ROWS {
            complain(Some(line), format!("it has more than {MOST_ROWS} rows"), "split the table");
            break;
        }
        if let Some(long) = row.iter().find(|cell| cell.chars().count() > LONGEST_CELL) {
            let message = format!("`{}` has more than {LONGEST_CELL} letters", shown(long));
            complain(Some(line), message, "shorten it");
            continue;
        }
        match table.entry(&row) {
            Ok(None) => {}
            Ok(Some((code, entry))) => all.push(Row { code, entry, file: file.to_owned(), line }),
            Err((message, help)) => complain(Some(line), message, &help),
        }
    }
    all
}

/// Which table it is, and where its columns stand.
struct Columns<'h> {
    table: usize,
    at: BTreeMap<&'h str, usize>,
}

impl<'h> Columns<'h> {
    fn of(heads: &'h StringRecord) -> Option<Columns<'h>> {
        let at: BTreeMap<&str, usize> = heads.iter().enumerate().map(|(at, head)| (head, at)).collect();
        // Of tables that fit, the last: points are given once the answers have been read.
        let table =
            TABLES.iter().rposition(|columns| columns.iter().all(|column| at.contains_key(column)))?;
        Some(Columns { table, at })
    }

    fn cell<'r>(&self, row: &'r StringRecord, column: &str) -> &'r str {
        self.at.get(column).and_then(|at| row.get(*at)).unwrap_or_default()
    }

    /// The entry of a row; nothing when its last column is still blank.
    fn entry(&self, row: &StringRecord) -> Result<Option<(Code, Entry)>, (String, String)> {
        let cell = |column: &str| self.cell(row, column);
        let written = cell("code");
        let code = Code::read(written)
            .map_err(|problem| (format!("`{}` is no code", shown(written)), problem.words()))?;
        let own = |column: &str| cell(column).to_owned();
        let entry = match self.table {
            0 => Entry::Answer { homework: own("homework"), ask: own("ask"), answer: own("answer") },
            1 => Entry::Reading {
                lesson: own("lesson"),
                sheet: Some(own("sheet")).filter(|sheet| !sheet.is_empty()),
                reading: own("reading"),
                value: own("value"),
            },
            _ if cell("points").is_empty() => return Ok(None),
            _ => {
                let reason = cell("reason");
                let number = reason.parse().ok().filter(|number| *number > 0).ok_or_else(|| {
                    let help = "write 1 for the first question of the problem that is answered in words";
                    (format!("the reason `{}` is no number", shown(reason)), help.to_owned())
                })?;
                let points = cell("points");
                let value = parse(points).ok().filter(|points| *points >= 0.0).ok_or_else(|| {
                    let help = "write a number from 0 up, or leave it blank until it is marked";
                    (format!("the points `{}` are no number", shown(points)), help.to_owned())
                })?;
                Entry::Points { homework: own("homework"), reason: number, points: value }
            }
        };
        Ok(Some((code, entry)))
    }
}

/// A complaint as the tables show it.
pub fn as_flag(complaint: &Complaint) -> Flag {
    let place = complaint.line.map(|line| format!("line {line}: ")).unwrap_or_default();
    Flag::of("", "", FlagKind::Unreadable, format!("{place}{}", complaint.message)).in_file(&complaint.file)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code() -> Code {
        Code::of([0, 1, 2, 3, 4, 5]).expect("a code")
    }

    #[test]
    fn three_tables_are_told_apart_by_their_first_line() {
        let code = code();
        let answers = format!("homework;code;ask;answer\r\ndrop;{code};a;1,73 mΩ\r\n");
        let (rows, complaints) = read("a.csv", answers.as_bytes());
        assert_eq!(complaints, []);
        let answer = |answer: &str| Entry::Answer {
            homework: "drop".to_owned(),
            ask: "a".to_owned(),
            answer: answer.to_owned(),
        };
        assert_eq!((&rows[0].entry, rows[0].line), (&answer("1,73 mΩ"), 2));

        let readings = format!("code,lesson,reading,value\n{code},free-spin,settled_current_a,-62\n");
        let (rows, _) = read("b.csv", readings.as_bytes());
        assert!(matches!(&rows[0].entry, Entry::Reading { value, sheet: None, .. } if value == "-62"));

        // The program's own list of reasons, filled in and one left blank.
        let reasons = format!(
            "code,homework,reason,question,answer,possible,points\n{code},drop,1,Why?,\"It, is\",2,\"1,5\"\n{code},drop,2,Why?,,2,\n"
        );
        let (rows, complaints) = read("c.csv", reasons.as_bytes());
        assert_eq!(complaints, []);
        let points = Entry::Points { homework: "drop".to_owned(), reason: 1, points: 1.5 };
        assert_eq!(rows.iter().map(|row| &row.entry).collect::<Vec<_>>(), [&points]);
    }

    #[test]
    fn what_is_wrong_is_named_by_line_and_the_rest_is_read() {
        let code = code();
        let text = format!(
            "code,homework,reason,points\n{code},drop,0,1\nBK4-7TX0,drop,1,1\n{code},drop,1,-1\n{code},drop,1,2\n"
        );
        let (rows, complaints) = read("c.csv", text.as_bytes());
        assert_eq!(rows.len(), 1);
        let lines: Vec<_> = complaints.iter().filter_map(|complaint| complaint.line).collect();
        assert_eq!(lines, [2, 3, 4], "{complaints:?}");
        let (rows, complaints) = read("d.csv", b"name,grade\nA,1\n");
        assert!(rows.is_empty() && complaints[0].message.contains("`code,lesson,reading,value`"));
        assert!(read("e.csv", &[0xff, 0xfe]).1[0].message.contains("UTF-8"));
        assert_eq!(read("f.csv", b"").1.len(), 1);
    }
}
