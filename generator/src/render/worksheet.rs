//! Sheets for readings.

use fieldcoil_calc::number::short;

use super::typeset::tied;
use super::view::{QuestionView, ReadingView, WorksheetView};
use super::words::Words;
use crate::course::{Worksheet, WorksheetReading};

/// More lines than a page holds help nobody.
pub const MOST_LINES: u32 = 25;

/// A worksheet as its component sees it.
pub fn view(worksheet: &Worksheet, words: &Words) -> WorksheetView {
    let always =
        ["worksheet.name", "worksheet.date", "worksheet.place"].map(|name| words.get(name).to_owned());
    let readings: Vec<_> = worksheet.readings.iter().map(|reading| reading_view(reading, words)).collect();
    WorksheetView {
        id: worksheet.id.clone(),
        title: worksheet.title.clone(),
        table_label: words.fill("worksheet.table", &[("title", &worksheet.title)]),
        blanks: always.into_iter().chain(worksheet.blanks.iter().cloned()).collect(),
        readings,
        questions: worksheet
            .questions
            .iter()
            .map(|question| QuestionView {
                ask: question.ask.clone(),
                lines: (0..question.lines.clamp(1, MOST_LINES)).collect(),
            })
            .collect(),
        sign_off: worksheet.sign_off.clone(),
    }
}

fn reading_view(reading: &WorksheetReading, words: &Words) -> ReadingView {
    let limit = match (&reading.limit, reading.minimum, reading.maximum) {
        (Some(limit), _, _) => limit.clone(),
        (None, Some(minimum), Some(maximum)) => {
            words.fill("worksheet.between", &[("minimum", &short(minimum)), ("maximum", &short(maximum))])
        }
        (None, Some(minimum), None) => words.fill("worksheet.at_least", &[("minimum", &short(minimum))]),
        (None, None, Some(maximum)) => words.fill("worksheet.at_most", &[("maximum", &short(maximum))]),
        (None, None, None) => words.get("worksheet.no_limit").to_owned(),
    };
    ReadingView {
        name: reading.name.value.clone(),
        label: reading.label.clone(),
        unit: reading.unit.clone(),
        limit,
        source: tied(&reading.source).into_owned(),
    }
}
