//! A class: the codes of its students, and, where the instructor keeps them here, their names and groups.
//!
//! A roster is a CSV file (RFC 4180) whose first line names its columns: `code`, `name` and `group`, or some of them. It stays
//! on the instructor's machine: nothing of it ever reaches the site.

use std::collections::BTreeMap;

use csv::{ReaderBuilder, StringRecord, Trim};
use fieldcoil_calc::homework::code::Code;

use crate::complaint::Complaint;
use crate::finding::shown;

/// A class has fewer students.
const MOST_STUDENTS: usize = 10_000;
/// Letters that a name or a group may have.
const LONGEST_NAME: usize = 200;

const COLUMNS: [&str; 3] = ["code", "name", "group"];

/// A class.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Roster {
    /// Its students, in the order of the file.
    pub students: Vec<Student>,
}

/// A student.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Student {
    /// The code; nothing when it has still to be drawn.
    pub code: Option<Code>,
    /// Name, perhaps empty.
    pub name: String,
    /// Group, perhaps empty.
    pub group: String,
    /// Line of the file.
    pub line: u64,
}

impl Roster {
    /// The student with this code.
    pub fn find(&self, code: Code) -> Option<&Student> {
        self.students.iter().find(|student| student.code == Some(code))
    }
}

/// Reads a roster; what cannot be read is left out and complained of.
pub fn read(file: &str, text: &str) -> (Roster, Vec<Complaint>) {
    let mut roster = Roster::default();
    let mut complaints = Vec::new();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut rows = ReaderBuilder::new()
        .flexible(true)
        .trim(Trim::All)
        .delimiter(delimiter(text))
        .from_reader(text.as_bytes());
    let heads = match rows.headers() {
        Ok(heads) => heads.clone(),
        Err(problem) => {
            complaints.push(unreadable(file, &problem));
            return (roster, complaints);
        }
    };
    let known = |head: &str| COLUMNS.iter().any(|column| head.eq_ignore_ascii_case(column));
    if !heads.iter().any(known) {
        let message = format!(
            "the first line `{}` does not name the columns",
            shown(&heads.iter().collect::<Vec<_>>().join(","))
        );
        let help = "write a line `code,name,group` above it or in its place; leave the codes empty, and `handouts` draws them";
        complaints.push(Complaint::of_file(file, message, help).at(1));
        return (roster, complaints);
    }
    let columns = columns(file, &heads, &mut complaints);
    let code_column = columns.get("code").copied();
    let mut known: BTreeMap<Code, u64> = BTreeMap::new();
    for row in rows.records() {
        let row = match row {
            Ok(row) => row,
            Err(problem) => {
                complaints.push(unreadable(file, &problem));
                continue;
            }
        };
        let line = row.position().map_or(0, |position| line_at(text, position));
        if row.iter().all(str::is_empty) {
            continue;
        }
        if roster.students.len() >= MOST_STUDENTS {
            let message = format!("the roster has more than {MOST_STUDENTS} students");
            complaints.push(Complaint::of_file(file, message, "split it into classes").at(line));
            break;
        }
        let cell = |column: &str| {
            let text = columns.get(column).and_then(|at| row.get(*at)).unwrap_or_default();
            let plain: String =
                text.chars().filter(|letter| !letter.is_control()).take(LONGEST_NAME).collect();
            // What was left out may have stood before a blank, which no other reader would keep.
            plain.trim().to_owned()
        };
        let written = code_column.and_then(|at| row.get(at)).unwrap_or_default();
        let code = match written {
            "" => None,
            written => match Code::read(written) {
                Ok(code) => Some(code),
                Err(problem) => {
                    let message = format!("`{}` is no code", shown(written));
                    let help = format!("{} Or leave it empty, and `handouts` draws one.", problem.words());
                    complaints.push(Complaint::of_file(file, message, help).at(line));
                    continue;
                }
            },
        };
        if let Some(code) = code {
            if let Some(first) = known.get(&code) {
                let message = format!("code {code} stands twice, first in line {first}");
                let help = "leave the code of the new student empty, and `handouts` draws another";
                complaints.push(Complaint::of_file(file, message, help).at(line));
                continue;
            }
            known.insert(code, line);
        }
        roster.students.push(Student { code, name: cell("name"), group: cell("group"), line });
    }
    (roster, complaints)
}

/// A roster as a file again, with every code that it has by now.
pub fn write(roster: &Roster) -> String {
    let mut out = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let rows = roster.students.iter().map(|student| {
        let code = student.code.map(|code| code.to_string()).unwrap_or_default();
        [code, student.name.clone(), student.group.clone()]
    });
    let heads = COLUMNS.map(str::to_owned);
    for row in std::iter::once(heads).chain(rows) {
        out.write_record(row).expect("a vector takes all that is written");
    }
    let bytes = out.into_inner().expect("a vector takes all that is written");
    String::from_utf8(bytes).expect("texts are UTF-8")
}

/// What parts the columns: where a comma is the decimal sign, spreadsheets write semicolons; some write tabs.
pub fn delimiter(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    [b',', b';', b'\t'].into_iter().find(|mark| first.as_bytes().contains(mark)).unwrap_or(b',')
}

/// The columns by name; another name is a slip or says nothing here.
fn columns(
    file: &str,
    heads: &StringRecord,
    complaints: &mut Vec<Complaint>,
) -> BTreeMap<&'static str, usize> {
    let mut columns = BTreeMap::new();
    for (at, head) in heads.iter().enumerate() {
        match COLUMNS.into_iter().find(|known| head.eq_ignore_ascii_case(known)) {
            Some(known) => {
                columns.insert(known, at);
            }
            None => complaints.push(
                Complaint::of_file(
                    file,
                    format!("the roster has a column `{}`, which is not known", shown(head)),
                    "columns are `code`, `name` and `group`; take the others out",
                )
                .at(1),
            ),
        }
    }
    columns
}

/// The line in which a row begins. The reader's own count stands before the line feed of a line that ends in two marks.
pub fn line_at(text: &str, position: &csv::Position) -> u64 {
    let byte = (position.byte() as usize).min(text.len());
    let skipped = text.as_bytes()[byte..].iter().take_while(|byte| matches!(byte, b'\n' | b'\r')).count();
    1 + text.as_bytes()[..byte + skipped].iter().filter(|byte| **byte == b'\n').count() as u64
}

fn unreadable(file: &str, problem: &csv::Error) -> Complaint {
    let complaint = Complaint::of_file(
        file,
        format!("a row cannot be read: {problem}"),
        "save the roster as CSV in UTF-8, with commas between its columns",
    );
    match problem.position() {
        Some(position) => complaint.at(position.line()),
        None => complaint,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_right_is_read_and_the_rest_complained_of() {
        let code = Code::of([0, 1, 2, 3, 4, 5]).expect("a code");
        let text = format!(
            "\u{feff}Code,Name,Group,Mark\r\n{code},\"Ada, A.\",red,\r\n,Ben,,\r\nBK4-7TX0,Cy,,\r\n{code},Di,,\r\n,,,\r\n"
        );
        let (roster, complaints) = read("class.csv", &text);
        let names: Vec<_> = roster.students.iter().map(|student| student.name.as_str()).collect();
        assert_eq!(names, ["Ada, A.", "Ben"]);
        assert_eq!(roster.find(code).map(|student| student.group.as_str()), Some("red"));
        let said: Vec<String> = complaints.iter().map(|complaint| complaint.message.clone()).collect();
        assert_eq!(said.len(), 3, "{said:?}");
        assert!(
            said[0].contains("`Mark`") && said[1].contains("BK4-7TX0") && said[2].contains("twice"),
            "{said:?}"
        );
        assert_eq!(complaints[1].line, Some(4));
        let (again, complaints) = read("class.csv", &write(&roster));
        assert_eq!(complaints, []);
        assert_eq!(
            again.students.iter().map(|student| &student.name).collect::<Vec<_>>(),
            ["Ada, A.", "Ben"]
        );
        for text in ["code;name\n;\"Ada, A.\"\n", "code\tname\n\tAda, A.\n"] {
            let (roster, complaints) = read("class.csv", text);
            assert_eq!((roster.students[0].name.as_str(), complaints), ("Ada, A.", vec![]), "{text}");
        }
        let (_, complaints) = read("class.csv", "Ada,red\nBen,blue\n");
        assert!(
            complaints.len() == 1 && complaints[0].message.contains("`Ada,red` does not name"),
            "{complaints:?}"
        );
        let (none, complaints) = read("class.csv", "name\nAda\n");
        assert_eq!((none.students.len(), complaints), (1, vec![]), "codes can all be drawn yet");
    }
}
