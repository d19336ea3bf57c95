//! What is told about the file itself: how it was read, what was wrong with it, and why it is refused.

use super::work::seconds;
use crate::recording::cells::{CURRENT, Delimiter, SPEED, TIME, VOLTAGE};
use crate::recording::format::Unclear;
use crate::recording::order::Lines;
use crate::recording::read::{Account, FEWEST_ROWS, MOST_ROWS, Unreadable};
use crate::report::{Level, Report, Table};

/// Why a text is no recording, and what to do.
pub(super) fn refusal(why: &Unreadable) -> String {
    match why {
        Unreadable::Unclear(Unclear::NoRows { line: 0, .. }) => {
            "there are no rows in it; give one row a line, a time and a current: 0.0125; 143.2.".to_owned()
        }
        Unreadable::Unclear(Unclear::NoRows { line, text }) => format!(
            "no line begins with two numbers; line {line} is “{text}”. Give one row a line, a time in numbers and a current: 0.0125; 143.2."
        ),
        Unreadable::Unclear(Unclear::Commas { line, text }) => format!(
            "line {line}, “{text}”, may hold numbers with decimal commas or whole numbers parted by commas. Save the file with semicolons between the columns, or with decimal points, or put a heading with a name for each column above the rows."
        ),
        Unreadable::NotACurrent(unit) => format!(
            "the heading gives the current in {unit}. Choose the scale of the clamp under “Unit of the currents”, or put the right unit into the heading."
        ),
        Unreadable::NotATime(unit) => format!(
            "the heading gives the time in {unit}. Choose the unit under “Unit of the times”, or put the right unit into the heading."
        ),
        Unreadable::AllBad(line, fault, text) => format!(
            "no row can be read. Line {line}, “{text}”, is the first: {}. Give times and currents as plain numbers.",
            fault.words()
        ),
        Unreadable::TooFew(rows) => {
            format!(
                "only {rows} rows can be read; at least {FEWEST_ROWS} are needed. Record longer or faster."
            )
        }
        Unreadable::TooMany => format!(
            "it has more than {MOST_ROWS} rows. Cut it to the run itself, or save every second or tenth row."
        ),
        Unreadable::SameTime(rows) => format!(
            "its rows have only {rows} different times; at least {FEWEST_ROWS} are needed. Save the times with more digits."
        ),
        Unreadable::TooFast => {
            "its rows are less than a nanosecond apart; look at the unit of the times.".to_owned()
        }
    }
}

/// Tells how the file was read and what was found wrong in it.
pub(super) fn tell(report: &mut Report, account: &Account) {
    report.tables.push(table(account));
    let order = &account.order;
    if account.bad.count > 0 {
        let (fault, text) = account
            .first_fault
            .as_ref()
            .map_or(("it is no row", ""), |(fault, text)| (fault.words(), text.as_str()));
        let many = 50 * account.bad.count > account.rows_read;
        report.finding(
            if many { Level::Warning } else { Level::Note },
            format!(
                "{} could not be read and {} left out: {}. The first is “{text}”: {fault}.",
                rows(account.bad.count),
                was(account.bad.count),
                places(&account.bad)
            ),
        );
    }
    if order.late.count > 0 {
        report.finding(
            Level::Warning,
            format!(
                "{} {} a time below that of the row before, so the rows were sorted into place: {}. Look whether two runs stand in one file.",
                rows(order.late.count),
                if order.late.count == 1 { "has" } else { "have" },
                places(&order.late)
            ),
        );
    }
    if order.repeated.count > 0 {
        report.finding(
            if 10 * order.repeated.count > account.rows_read { Level::Warning } else { Level::Note },
            format!(
                "{} {} the time of another; rows of one time are averaged: {}. When there are many, save the times with more digits.",
                rows(order.repeated.count),
                if order.repeated.count == 1 { "repeats" } else { "repeat" },
                places(&order.repeated)
            ),
        );
    }
    if order.gaps.count > 0 {
        report.finding(
            Level::Warning,
            format!(
                "{} between rows {} longer than 1.5 usual steps of {}, the longest {}: before {}. The current is taken to run straight across.",
                if order.gaps.count == 1 { "1 step".to_owned() } else { format!("{} steps", order.gaps.count) },
                if order.gaps.count == 1 { "is" } else { "are" },
                seconds(order.step_s),
                seconds(order.longest_step_s),
                places(&order.gaps)
            ),
        );
    }
    if account.held.count > 0 {
        report.finding(
            Level::Note,
            format!(
                "In {} a cell of voltage or speed is empty; the value before it holds on: {}.",
                rows(account.held.count),
                places(&account.held)
            ),
        );
    }
}

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}

fn was(count: usize) -> &'static str {
    if count == 1 { "was" } else { "were" }
}

/// `line 12`, `lines 12 and 14`, `lines 12, 14, 16 and 9 more`.
fn places(lines: &Lines) -> String {
    let mut parts: Vec<String> = lines.first.iter().map(u32::to_string).collect();
    let more = lines.count - parts.len();
    if more > 0 {
        parts.push(format!("{more} more"));
    }
    let last = parts.pop().unwrap_or_default();
    if parts.is_empty() { format!("line {last}") } else { format!("lines {} and {last}", parts.join(", ")) }
}

fn table(account: &Account) -> Table {
    let format = &account.format;
    let delimiter = match format.layout.delimiter {
        Delimiter::Byte(b';') => "semicolons",
        Delimiter::Byte(b'\t') => "tabs",
        Delimiter::Byte(b'|') => "strokes",
        Delimiter::Byte(_) => "commas",
        Delimiter::Blanks => "blanks",
    };
    let mut rows = vec![
        vec!["Cells parted by".to_owned(), delimiter.to_owned()],
        vec![
            "Decimal mark".to_owned(),
            if format.layout.decimal == b',' { "comma" } else { "point" }.to_owned(),
        ],
    ];
    for (place, what) in [(TIME, "Time"), (CURRENT, "Current"), (VOLTAGE, "Voltage"), (SPEED, "Speed")] {
        let Some(column) = format.layout.roles.iter().position(|role| *role == Some(place)) else { continue };
        let mut found = format!("column {}", column + 1);
        for (before, text, after) in [(" “", &format.names[place], "”"), (" in ", &format.units[place], "")]
        {
            if !text.is_empty() {
                found.push_str(before);
                found.push_str(text);
                found.push_str(after);
            }
        }
        rows.push(vec![what.to_owned(), found]);
    }
    let unread = format.columns - format.layout.roles.iter().flatten().count();
    if unread > 0 {
        rows.push(vec!["Columns not read".to_owned(), unread.to_string()]);
    }
    rows.push(vec!["First row".to_owned(), format!("line {}", format.first_line)]);
    rows.push(vec!["Rows read".to_owned(), account.rows_read.to_string()]);
    Table { title: "How the file was read".to_owned(), heads: vec!["What", "Found"], rows }
}
