//! The sentences of a lesson: those of paragraphs and lists, without tables, headings, listings and notes.

use std::ops::Range;

use pulldown_cmark::{Event, TagEnd};

use crate::course::{Lesson, Piece};
use crate::source::{FileId, Span};

/// Units that make one word with the number before them.
const UNITS: &[&str] = &[
    "V", "mV", "A", "mA", "Ω", "mΩ", "µΩ", "W", "kW", "s", "ms", "min", "h", "m", "mm", "cm", "mm²", "ft",
    "rpm", "°C", "K", "%", "kg", "g", "Hz", "N·m",
];

/// One sentence.
pub struct Sentence {
    /// Its words as they count for its length: a formula is one, and so is a number with its unit.
    pub length: usize,
    /// Its words that are made of letters alone.
    pub words: Vec<String>,
    /// Where it stands.
    pub span: Span,
}

/// Every sentence of a lesson.
pub fn of(lesson: &Lesson) -> Vec<Sentence> {
    let mut sentences = Vec::new();
    for piece in &lesson.pieces {
        if let Piece::Prose(events) = piece {
            of_events(lesson.file, events, &mut sentences);
        }
    }
    sentences
}

fn of_events(file: FileId, events: &[(Event, Range<usize>)], sentences: &mut Vec<Sentence>) {
    let mut stretch = Stretch::default();
    let mut closed = 0_usize;
    for (event, range) in events {
        match event {
            Event::Start(tag) if is_closed(tag.to_end()) => closed += 1,
            Event::End(tag) if is_closed(*tag) => closed = closed.saturating_sub(1),
            _ if closed > 0 => {}
            Event::Text(text) => stretch.push(text, range),
            Event::Code(_) => stretch.push("code", range),
            // A formula may begin a sentence.
            Event::InlineHtml(html) if html.starts_with("<math") => stretch.push("Formula", range),
            Event::SoftBreak | Event::HardBreak => stretch.push(" ", range),
            Event::Start(tag) if is_passage(tag.to_end()) => stretch.end(file, sentences),
            Event::End(tag) if is_passage(*tag) => stretch.end(file, sentences),
            _ => {}
        }
    }
    stretch.end(file, sentences);
}

/// The text of a paragraph or an item, and where each part of it was written.
#[derive(Default)]
struct Stretch {
    text: String,
    parts: Vec<(usize, Range<usize>)>,
}

impl Stretch {
    fn push(&mut self, text: &str, range: &Range<usize>) {
        self.parts.push((self.text.len(), range.clone()));
        self.text.push_str(text);
    }

    /// Where a stretch of the text was written. A part that reads otherwise than it was written (`&amp;`, a formula)
    /// is taken whole.
    fn place(&self, text: Range<usize>) -> Range<usize> {
        let inside = |at: usize| {
            let index = self.parts.partition_point(|(start, _)| *start <= at).saturating_sub(1);
            let (start, range) = self.parts.get(index)?;
            let end = self.parts.get(index + 1).map_or(self.text.len(), |(next, _)| *next);
            Some((at - start, range, end - start == range.len()))
        };
        let start = inside(text.start)
            .map_or(0, |(at, range, same)| if same { range.start + at } else { range.start });
        let end = inside(text.end.saturating_sub(1))
            .map_or(0, |(at, range, same)| if same { range.start + at + 1 } else { range.end });
        start..end.max(start)
    }

    fn end(&mut self, file: FileId, sentences: &mut Vec<Sentence>) {
        let stretch = std::mem::take(self);
        for range in parted(&stretch.text) {
            let text = &stretch.text[range.clone()];
            let length = length(text);
            if length > 0 {
                let span = Span::new(file, stretch.place(range.clone()));
                sentences.push(Sentence { length, words: words(text), span });
            }
        }
    }
}

/// The sentences of a text: each ends at a full stop, a question or exclamation mark with a blank after it, unless
/// the next word is small, as after `e.g.`
fn parted(text: &str) -> Vec<Range<usize>> {
    let mut sentences = Vec::new();
    let mut start = 0;
    for (at, c) in text.char_indices().filter(|(_, c)| matches!(c, '.' | '!' | '?')) {
        let end = at + c.len_utf8();
        let rest = text[end..].trim_start_matches([')', '”', '’', '"', '*']);
        let ends = rest.starts_with(char::is_whitespace)
            && rest.trim_start().chars().next().is_some_and(|next| !next.is_lowercase());
        if ends {
            let end = text.len() - rest.len();
            sentences.push(start..end);
            start = end;
        }
    }
    sentences.push(start..text.len());
    let blank = |range: &Range<usize>| text[range.clone()].len() - text[range.clone()].trim_start().len();
    sentences
        .into_iter()
        .map(|range| range.start + blank(&range)..range.start + text[range.clone()].trim_end().len())
        .filter(|range| range.start < range.end)
        .collect()
}

/// How a remark in brackets begins that only says where something comes from: nobody reads it along.
const ORIGINS: &[&str] = &["(common practice", "(from memory", "(invented", "(US Army", "(TM "];

fn length(text: &str) -> usize {
    let mut length = 0;
    let mut after_number = false;
    let origin = ORIGINS.iter().filter_map(|origin| text.find(origin)).min();
    let (before, rest) = text.split_at(origin.unwrap_or(text.len()));
    if let Some((_, after)) = rest.split_once(')') {
        return self::length(before) + self::length(after);
    }
    for word in before.split_whitespace() {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric() && !matches!(c, '%' | '°' | '²'));
        if bare.is_empty() {
            continue;
        }
        let is_unit = after_number && UNITS.contains(&bare);
        length += usize::from(!is_unit);
        after_number = !is_unit && bare.ends_with(|c: char| c.is_ascii_digit());
    }
    length
}

/// The words of letters; what stands beside a number and what is a mark (`30 / B`) is none.
fn words(text: &str) -> Vec<String> {
    let pieces = text.split(|c: char| c.is_whitespace() || matches!(c, '-' | '/' | '–' | '—'));
    let bare = pieces.map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
    let is_word = |word: &&str| {
        word.chars().all(|c| c.is_alphabetic() || matches!(c, '\'' | '’'))
            && (word.chars().count() > 1 || matches!(*word, "a" | "A" | "I"))
            && !UNITS.contains(word)
    };
    bare.filter(|word| !word.is_empty()).filter(is_word).map(str::to_lowercase).collect()
}

/// Elements whose text is in no sentence.
fn is_closed(tag: TagEnd) -> bool {
    matches!(
        tag,
        TagEnd::Heading(_) | TagEnd::Table | TagEnd::CodeBlock | TagEnd::FootnoteDefinition | TagEnd::Image
    )
}

/// Elements at whose beginning and end a sentence ends.
fn is_passage(tag: TagEnd) -> bool {
    matches!(tag, TagEnd::Paragraph | TagEnd::Item | TagEnd::List(_) | TagEnd::BlockQuote(_))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_end_where_a_reader_stops() {
        for (text, wanted) in [
            ("One. Two! Three?", &["One.", "Two!", "Three?"][..]),
            ("At 11.5 V it runs. It stops.", &["At 11.5 V it runs.", "It stops."]),
            ("Use e.g. a clamp.", &["Use e.g. a clamp."]),
            ("He said (see there.) Then he left.", &["He said (see there.)", "Then he left."]),
            ("  ", &[]),
        ] {
            let got: Vec<&str> = parted(text).into_iter().map(|range| &text[range]).collect();
            assert_eq!(got, wanted);
        }
    }

    #[test]
    fn a_sentence_stands_where_it_was_written() {
        let mut stretch = Stretch::default();
        stretch.push("A", &(3..4));
        stretch.push("\u{fffd}", &(4..5));
        stretch.push("Ω.", &(9..12));
        assert_eq!(stretch.place(0..7), 3..12);
        assert_eq!(stretch.place(0..4), 3..5);
        assert_eq!(stretch.place(4..6), 9..11);
        assert_eq!(stretch.place(1..4), 4..5);
    }

    #[test]
    fn a_number_with_its_unit_is_one_word() {
        for (text, wanted) in [
            ("It draws 62 A at 11.1 V.", 5),
            ("The clamp shows 62 A ± 4 A", 5),
            ("Terminal 30 / B is live", 5),
            ("It is 5 V (common practice, no source) or more.", 5),
            ("– ( )", 0),
        ] {
            assert_eq!(length(text), wanted, "{text}");
        }
        assert_eq!(
            words("The pull-in coil (50 / S) draws 62 A, don’t it?").join(" "),
            "the pull in coil draws don’t it"
        );
    }
}
