//! A printed page as text with places, read by poppler's `pdftotext`.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result, ensure};

/// One sheet of a PDF.
#[derive(Debug)]
pub struct Sheet {
    /// Width in points of 1/72 inch.
    pub width: f64,
    /// Height in points.
    pub height: f64,
    /// Its words in reading order.
    pub words: Vec<Word>,
}

/// A word and where it stands, in points from the sheet's upper left corner.
#[derive(Debug)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Left, top, right and bottom edge.
    pub edges: [f64; 4],
}

/// Reads a PDF by way of a file.
pub fn read(pdf: &[u8], file: &Path) -> Result<Vec<Sheet>> {
    std::fs::write(file, pdf)?;
    let run = Command::new("pdftotext").arg("-bbox").arg(file).arg("-").output();
    let run = run.context("pdftotext (apt: poppler-utils) cannot be started")?;
    ensure!(run.status.success(), "pdftotext: {}", String::from_utf8_lossy(&run.stderr));
    let mut sheets = Vec::new();
    for line in String::from_utf8(run.stdout)?.lines().map(str::trim) {
        if line.starts_with("<page ") {
            let (width, height) = (number(line, "width")?, number(line, "height")?);
            sheets.push(Sheet { width, height, words: Vec::new() });
        } else if line.starts_with("<word ") {
            let sheet = sheets.last_mut().context("a word before the first page")?;
            sheet.words.push(word(line)?);
        }
    }
    Ok(sheets)
}

/// Words whose upper edges are nearer to each other than this stand on one line, in points.
const SAME_LINE: f64 = 2.5;

impl Sheet {
    /// The sheet's words in one line.
    pub fn text(&self) -> String {
        self.words.iter().map(|word| word.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// The text without any space between two distances from the left edge, in points, line by line from above: a PDF
    /// mixes the cells of a row.
    pub fn column(&self, from: f64, to: f64) -> String {
        let mut words: Vec<_> =
            self.words.iter().filter(|word| word.edges[0] >= from && word.edges[0] < to).collect();
        words.sort_by(|one, other| one.edges[1].total_cmp(&other.edges[1]));
        let same_line = |one: &&Word, other: &&Word| other.edges[1] - one.edges[1] < SAME_LINE;
        let mut text = String::new();
        for line in words.chunk_by_mut(same_line) {
            line.sort_by(|one, other| one.edges[0].total_cmp(&other.edges[0]));
            text.extend(line.iter().map(|word| word.text.as_str()));
        }
        squeezed(&text)
    }

    /// Do the words of this text stand on the sheet, from above in their order? Columns stand side by side, and a PDF
    /// mixes the lines of neighbours.
    pub fn has_in_order(&self, text: &str) -> bool {
        let mut words: Vec<_> = self.words.iter().collect();
        words.sort_by(|one, other| one.edges[1].total_cmp(&other.edges[1]));
        let mut words = words.into_iter();
        text.split_whitespace().all(|word| words.any(|other| other.text == word))
    }

    /// The sheet's text without any space, so that a line break in the middle of a word does not matter.
    pub fn squeezed(&self) -> String {
        squeezed(&self.text())
    }
}

/// Text without spaces and soft hyphens.
pub fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{ad}').collect()
}

/// `<word xMin="56.6" yMin="1.0" xMax="60.0" yMax="9.0">text</word>`
fn word(line: &str) -> Result<Word> {
    let (_, rest) = line.split_once('>').context("no word")?;
    let text = rest.strip_suffix("</word>").unwrap_or(rest);
    let text = text
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&apos;", "'")
        .replace("&amp;", "&");
    let edges = [number(line, "xMin")?, number(line, "yMin")?, number(line, "xMax")?, number(line, "yMax")?];
    Ok(Word { text, edges })
}

fn number(line: &str, name: &str) -> Result<f64> {
    let start = format!("{name}=\"");
    let (_, rest) = line.split_once(start.as_str()).with_context(|| format!("no {name} in {line}"))?;
    let (number, _) = rest.split_once('"').context("an open quote")?;
    Ok(number.parse()?)
}
