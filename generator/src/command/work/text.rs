//! A report as text that reads at 80 columns.

use std::fmt::Write;

use fieldcoil_calc::calculator::{Calculator, Field, Kind, NumberField};
use fieldcoil_calc::input::{Entry, Measured, entry_text};
use fieldcoil_calc::measurement::meter::Spread;
use fieldcoil_calc::measurement::words::written;
use fieldcoil_calc::number::{figures, short};
use fieldcoil_calc::refusal::range_words;
use fieldcoil_calc::report::{Answer, Report, Table, Value};

const WIDTH: usize = 80;

/// The list of calculators.
pub fn catalog(calculators: &[&Calculator]) -> String {
    let mut out = String::from("Calculators:\n\n");
    for calculator in calculators {
        let _ = writeln!(out, "  {}", calculator.name);
        wrapped(&mut out, 6, 6, calculator.summary);
    }
    out.push_str("\nTheir fields: fieldcoil work NAME --fields\n");
    out
}

/// The fields of a calculator: name, what it is, what is accepted, where it starts.
pub fn fields(calculator: &Calculator) -> String {
    let mut out = format!("{} ({})\n", calculator.title, calculator.name);
    wrapped(&mut out, 0, 0, calculator.summary);
    let mut group = "";
    for field in calculator.fields {
        if field.group != group {
            group = field.group;
            let _ = write!(out, "\n{group}\n");
        }
        let _ = writeln!(out, "  {}", field.name);
        let symbol = if field.symbol.is_empty() { String::new() } else { format!(" {}", field.symbol) };
        wrapped(&mut out, 6, 6, &format!("{}{symbol}. {}", field.label, field.help));
        wrapped(&mut out, 6, 6, &accepted(field));
    }
    let _ = write!(out, "\nSet one: fieldcoil work {} --set field=value\n", calculator.name);
    out
}

fn accepted(field: &Field) -> String {
    match &field.kind {
        Kind::Number(number) => {
            let start = match number.start {
                Some(start) => format!("starts at {}", with_unit(number, start)),
                None if number.required => "must be given".to_owned(),
                None => "may stay empty".to_owned(),
            };
            let measured = if number.measured { "; may carry ±" } else { "" };
            format!("{}{}{measured}; {start}.", range_words(number), units(number))
        }
        Kind::Text(text) => {
            let file = if text.file { "; or a file: --set field=@PATH" } else { "" };
            let empty = if text.required { "" } else { "; may stay empty" };
            format!("Lines of text, at most {} bytes{file}{empty}; a line: {}", text.most_bytes, text.example)
        }
        Kind::Choice(choice) => {
            let keys: Vec<_> = choice.options.iter().map(|option| option.key).collect();
            let other = choice.other.as_ref().map_or_else(String::new, |other| {
                format!(
                    "; or a number of {}, {}",
                    other.number.quantity.base().symbol,
                    range_words(&other.number)
                )
            });
            format!("One of {}{other}; starts at {}.", keys.join(", "), choice.start)
        }
    }
}

fn units(number: &NumberField) -> String {
    match number.quantity.units() {
        [_] | [] => String::new(),
        units => {
            let symbols: Vec<_> = units.iter().map(|unit| unit.symbol).collect();
            format!(", in {}", symbols.join(", "))
        }
    }
}

fn with_unit(number: &NumberField, value: f64) -> String {
    format!("{} {}", short(value), number.quantity.base().symbol).trim_end().to_owned()
}

/// A report: readings, remarks, what was put in, the working, sources.
pub fn report(report: &Report) -> String {
    let mut out = format!("{}\n\n", report.inputs.calculator.title);
    let (large, small): (Vec<_>, Vec<_>) = report.answers.iter().partition(|answer| answer.output.reading);
    answers(&mut out, &large);
    if !small.is_empty() {
        out.push('\n');
        answers(&mut out, &small);
    }
    if !report.findings.is_empty() {
        out.push_str("\nRemarks\n");
        for finding in &report.findings {
            wrapped(&mut out, 2, 4, &format!("{}: {}", finding.level.word(), finding.text));
        }
    }
    if !report.sense.is_empty() {
        out.push_str("\nDoes this make sense?\n");
        wrapped(&mut out, 2, 2, &report.sense);
    }
    out.push_str("\nWorked with\n");
    let inputs: Vec<(String, String)> = report
        .inputs
        .entries()
        .map(|(field, entry)| (field.label.to_owned(), entry_words(field, entry)))
        .collect();
    rows(&mut out, &inputs);
    out.push_str("\nThe steps\n");
    for (number, step) in (1..).zip(&report.steps) {
        wrapped(&mut out, 2, 5, &format!("{number}. {}", step.title));
        for line in [&step.formula, &step.numbers, &step.result] {
            if !line.is_empty() {
                wrapped(&mut out, 5, 9, line);
            }
        }
    }
    for part in &report.tables {
        table(&mut out, part);
    }
    if !report.charts.is_empty() {
        out.push_str("\nWhat the charts show (drawn with --chart FILE)\n");
        for chart in &report.charts {
            wrapped(&mut out, 2, 4, &format!("{}: {}", chart.title, chart.says()));
        }
    }
    if !report.sources.is_empty() {
        out.push_str("\nWhere the numbers come from\n");
        for source in &report.sources {
            wrapped(&mut out, 2, 4, &format!("{}: {}", source.fact, source.from));
        }
    }
    out
}

fn answers(out: &mut String, answers: &[&Answer]) {
    let lines: Vec<(String, String)> =
        answers.iter().map(|answer| (answer.output.label.to_owned(), answer_words(answer))).collect();
    rows(out, &lines);
}

fn answer_words(answer: &Answer) -> String {
    match (&answer.value, answer.shown()) {
        (_, Some(shown)) => {
            let part = shown.plus_minus.map(|part| format!(" ± {part}")).unwrap_or_default();
            format!("{}{part} {}", shown.number, shown.unit).trim_end().to_owned()
        }
        (Value::Text(text), None) => text.clone(),
        (Value::State(state), None) => state.words().to_owned(),
        (Value::Number(value, _), None) => value.to_string(),
    }
}

fn entry_words(field: &Field, entry: &Entry) -> String {
    match (entry, &field.kind) {
        (Entry::Empty, _) => "not given".to_owned(),
        (Entry::Number(Measured { value, spread }), Kind::Number(number)) => {
            let unit = number.quantity.base().symbol;
            let several = spread.and_then(|spread| spread.repeated).map(|repeated| {
                format!(
                    " (mean of {} readings, its standard deviation {})",
                    short(repeated.count),
                    figures(repeated.deviation, 2)
                )
            });
            let band = spread.map(|spread| Spread { repeated: None, ..spread });
            let band = band.filter(|band| *band != Spread::within(0.0) || several.is_none());
            let plus_minus = band.map(|band| format!(" ± {}", written(band))).unwrap_or_default();
            let text = format!("{}{plus_minus} {unit}", short(*value));
            text.trim_end().to_owned() + &several.unwrap_or_default()
        }
        (Entry::Text(text), _) => text_words(text),
        _ => entry_text(field, entry),
    }
}

/// A text of one line as it is; of a longer one how many lines it has, and the first that says something.
fn text_words(text: &str) -> String {
    let text = text.trim();
    match text.lines().count() {
        0 | 1 => text.to_owned(),
        lines => {
            let first = text.lines().next().unwrap_or_default().trim_end();
            format!("{lines} lines, first: {first}")
        }
    }
}

/// Two columns; the second starts at one place for all rows.
fn rows(out: &mut String, rows: &[(String, String)]) {
    let widest = rows.iter().map(|(label, _)| label.chars().count()).max().unwrap_or(0).min(50);
    for (label, value) in rows {
        let gap = " ".repeat((widest + 2).saturating_sub(label.chars().count()).max(2));
        wrapped(out, 2, widest + 4, &format!("{label}{gap}{value}"));
    }
}

fn table(out: &mut String, table: &Table) {
    let _ = write!(out, "\n{}\n", table.title);
    let heads: Vec<String> = table.heads.iter().map(|head| (*head).to_owned()).collect();
    let lines: Vec<&Vec<String>> = std::iter::once(&heads).chain(&table.rows).collect();
    let columns = heads.len();
    let width = |column: usize| {
        lines.iter().filter_map(|line| line.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    if widths.iter().map(|width| width + 2).sum::<usize>() > WIDTH {
        return listed(out, table);
    }
    for line in lines {
        let mut text = String::new();
        for (cell, width) in line.iter().zip(&widths) {
            let gap = " ".repeat(width + 2 - cell.chars().count());
            let _ = write!(text, "{cell}{gap}");
        }
        let _ = writeln!(out, "  {}", text.trim_end());
    }
}

/// A table too wide for the line: a row after the other, each cell behind its heading.
fn listed(out: &mut String, table: &Table) {
    for row in &table.rows {
        let cells: Vec<String> =
            table.heads.iter().zip(row).map(|(head, cell)| format!("{head}: {cell}")).collect();
        wrapped(out, 2, 6, &cells.join("; "));
    }
}

/// One paragraph with its first line and its other lines set in; words longer than a line stay whole.
fn wrapped(out: &mut String, first: usize, rest: usize, text: &str) {
    let mut line = " ".repeat(first);
    let mut empty = true;
    for word in text.split(' ') {
        let longer = line.chars().count() + 1 + word.chars().count() > WIDTH;
        if longer && !empty && !word.is_empty() {
            let _ = writeln!(out, "{}", line.trim_end());
            line = " ".repeat(rest);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_are_broken_between_words() {
        let mut out = String::new();
        wrapped(&mut out, 2, 4, &"word ".repeat(30));
        assert!(out.lines().all(|line| line.chars().count() <= WIDTH), "{out}");
        assert!(out.lines().nth(1).is_some_and(|line| line.starts_with("    word")), "{out}");
    }

    #[test]
    fn a_text_of_many_lines_is_told_by_its_first() {
        assert_eq!(text_words("0.1; 62\n"), "0.1; 62");
        assert_eq!(text_words("\nt (ms),I (A)\r\n0,0.8\r\n1,1.3\r\n"), "3 lines, first: t (ms),I (A)");
        assert_eq!(text_words(""), "");
    }

    #[test]
    fn columns_keep_their_gap() {
        let mut out = String::new();
        rows(&mut out, &[("a".to_owned(), "1".to_owned()), ("long".to_owned(), "2".to_owned())]);
        assert_eq!(out, "  a     1\n  long  2\n");
    }
}
