//! Recordings that a lesson names: the file is there, it can be read, and the site gets it.

use fieldcoil_calc::recording::read::{Scales, read as read_rows};

use super::calculators;
use super::pictures::Pictures;
use super::target::{Address, Targets, read};
use crate::course::{BoundTrace, Lesson, Piece, StartValue};
use crate::finding::{Finding, shown};
use crate::site::relative;
use crate::source::{Span, Spanned};

/// A form in a page that starts with more text than this makes the page too heavy for a phone.
const MOST_START_BYTES: usize = 64 * 1024;

/// Binds the recordings of a lesson, and puts the texts of files into calculators that start with them.
pub fn bind(lesson: &mut Lesson, targets: &Targets, pictures: &mut Pictures, found: &mut Vec<Finding>) {
    let Some(source) = targets.sources.text(lesson.file) else { return };
    let Some(own) = targets.lessons.get(source.path.as_str()) else { return };
    let find =
        |name: &str, span: Span, found: &mut Vec<Finding>| table(name, span, &source.path, targets, found);
    for piece in &mut lesson.pieces {
        match piece {
            Piece::Trace(trace) => {
                let Some((path, text)) = find(&trace.file.value, trace.file.span, found) else { continue };
                let Some(inputs) = calculators::trace_reading(text, trace, found) else { continue };
                // What the calculator can work is a recording.
                let Ok((recording, _)) = read_rows(text, &Scales::default()) else { continue };
                let Some(place) = pictures.publish(path) else { continue };
                let address = relative(&own.page, &place);
                trace.bound = Some(BoundTrace { recording, inputs, address });
            }
            Piece::Calculator(block) => {
                for (field, file) in std::mem::take(&mut block.start_files) {
                    // What cannot be found was told; the field keeps its own start then.
                    let Some((path, text)) = find(&file.value, file.span, found) else { continue };
                    too_long(path, text, file.span, found);
                    block.start.push((field, Spanned::new(StartValue::Text(text.to_owned()), file.span)));
                }
            }
            _ => {}
        }
    }
}

/// The path and the text of a table below the course folder.
fn table<'s>(
    name: &str,
    span: Span,
    from: &str,
    targets: &Targets<'s>,
    found: &mut Vec<Finding>,
) -> Option<(&'s str, &'s str)> {
    if let Address::Inside { path, anchor: None } = read(name, from)
        && let Some((_, source)) = targets.sources.find_text(&path).filter(|_| path.ends_with(".csv"))
    {
        return Some((source.path.as_str(), source.text.as_str()));
    }
    let tables =
        targets.sources.texts.iter().map(|text| text.path.as_str()).filter(|path| path.ends_with(".csv"));
    found.push(
        Finding::error("no-table", format!("there is no table `{}`", shown(name)), span, "not found")
            .near(name, tables)
            .help(
                "name a .csv file below the course folder, seen from this lesson: \"traces/good-motor.csv\"",
            ),
    );
    None
}

fn too_long(path: &str, text: &str, span: Span, found: &mut Vec<Finding>) {
    if text.len() > MOST_START_BYTES {
        let message = format!(
            "`{}` has {} kB; a calculator starts with at most {} kB",
            shown(path),
            text.len().div_ceil(1024),
            MOST_START_BYTES / 1024
        );
        found.push(
            Finding::error("long-start", message, span, "too long for a page").help(
                "show it in a `trace` block, from where students save it and choose it at the calculator",
            ),
        );
    }
}
