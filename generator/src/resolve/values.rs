//! Calculated numbers in texts: `value run.drop_v` becomes what the calculator `run` gives, so that text, calculator and
//! key cannot disagree.

use std::ops::Range;

use pulldown_cmark::{Event, Tag, TagEnd};

use self::find::{Asked, Named, Spot};
pub use self::runs::Values;
use crate::course::{Heading, Lesson, Limit, Piece, VALUE_IN_FORMULA};
use crate::finding::Finding;
use crate::formula;
use crate::source::{FileId, SourceSet, SourceText, Span};

mod find;
mod number;
mod runs;
mod texts;
mod written;

type Events<'s> = Vec<(Event<'s>, Range<usize>)>;

/// Puts the numbers into a lesson.
pub fn bind(
    lesson: &mut Lesson,
    values: &Values,
    limits: &[Limit],
    sources: &SourceSet,
    found: &mut Vec<Finding>,
) {
    let Some(source) = sources.text(lesson.file) else { return };
    let Lesson { outline, pieces } = lesson;
    let (address, file) = (outline.address.clone(), outline.file);
    let mut place = Place { named: Named { values, limits }, lesson: &address, file, source, found };
    for piece in pieces {
        match piece {
            Piece::Prose(events) => place.prose(events, &mut outline.headings),
            other => {
                let Some((span, texts)) = texts::of(other) else { continue };
                for text in texts {
                    place.plain(text, span);
                }
            }
        }
    }
}

/// Where texts are read.
struct Place<'p> {
    named: Named<'p>,
    lesson: &'p str,
    file: FileId,
    source: &'p SourceText,
    found: &'p mut Vec<Finding>,
}

impl Place<'_> {
    fn prose(&mut self, events: &mut Events, headings: &mut [Heading]) {
        let mut images = 0_usize;
        let mut heading: Option<(String, String)> = None;
        for (event, range) in events {
            let mut words = None;
            match event {
                Event::Start(Tag::Image { .. }) => images += 1,
                Event::End(TagEnd::Image) => images -= 1,
                Event::Start(Tag::Heading { id, .. }) => {
                    heading = id.as_ref().map(|id| (id.to_string(), String::new()));
                }
                Event::End(TagEnd::Heading(_)) => {
                    if let Some((id, text)) = heading.take()
                        && let Some(own) = headings.iter_mut().find(|own| own.id == id)
                    {
                        own.text = text.trim().to_owned();
                    }
                }
                Event::Text(text) => words = Some(text.to_string()),
                Event::SoftBreak | Event::HardBreak => words = Some(" ".to_owned()),
                Event::Code(code) => {
                    words = Some(code.to_string());
                    let spot = self.spot(code, 0, range);
                    if let Asked::Number(number) = self.named.number(code, self.lesson, &spot, self.found) {
                        words = Some(number.plain());
                        // The description of a picture has no elements in it.
                        *event = match images {
                            0 => Event::InlineHtml(number.html().into()),
                            _ => Event::Text(number.plain().into()),
                        };
                    }
                }
                Event::InlineMath(latex) => *event = self.formula(&latex.clone(), false, range),
                Event::DisplayMath(latex) => *event = self.formula(&latex.clone(), true, range),
                _ => {}
            }
            if let (Some(words), Some((_, text))) = (words, &mut heading) {
                text.push_str(&words);
            }
        }
    }

    /// A formula with its numbers put in.
    fn formula<'s>(&mut self, latex: &str, display: bool, range: &Range<usize>) -> Event<'s> {
        let mut out = String::new();
        let (mut from, mut lost) = (0, false);
        while let Some(start) = latex[from..].find(VALUE_IN_FORMULA).map(|at| from + at) {
            let inner = start + VALUE_IN_FORMULA.len();
            let Some(end) = latex[inner..].find('}').map(|at| inner + at) else { break };
            let code = format!("value {}", &latex[inner..end]);
            // The backslash is one byte before the first word, and the brace stands for the space after it.
            let spot = self.spot(latex, start + 1, range);
            match self.named.number(&code, self.lesson, &spot, self.found) {
                Asked::Number(number) => {
                    out.push_str(&latex[from..start]);
                    out.push_str(&number.latex());
                }
                Asked::Lost => lost = true,
                Asked::Nothing => {
                    find::no_name(&latex[inner..end], spot.whole, self.found);
                    lost = true;
                }
            }
            from = end + 1;
        }
        if lost {
            return Event::Code(latex.to_owned().into());
        }
        out.push_str(&latex[from..]);
        formula::event(&out, display, (self.file, &self.source.text), range, self.found)
    }

    /// The text of a block, in which references stand between marks as in prose.
    fn plain(&mut self, text: &mut String, block: Span) {
        if !text.contains("`") {
            return;
        }
        let mut parts: Vec<String> = text.split('`').map(str::to_owned).collect();
        let marked = parts.len().saturating_sub(1);
        let mut put = vec![false; parts.len()];
        for index in (1..marked).step_by(2) {
            let code = &parts[index];
            let after = &self.source.text[block.start..];
            let start = after.find(&format!("`{code}`")).map(|at| block.start + at + 1);
            let spot = Spot { whole: start.map_or(block, |at| self.span(at..at + code.len())), start };
            if let Asked::Number(number) = self.named.number(code, self.lesson, &spot, self.found) {
                parts[index] = number.plain();
                put[index] = true;
            }
        }
        let mut out = String::new();
        for (index, part) in parts.iter().enumerate() {
            // A mark goes with the code before or after it.
            if index > 0 && !put[index] && !put[index - 1] {
                out.push('`');
            }
            out.push_str(part);
        }
        *text = out;
    }

    /// Where the byte `at` of a text stands in the file, when the file has this text at `range` as it is.
    fn spot(&self, text: &str, at: usize, range: &Range<usize>) -> Spot {
        let written = self.source.text.get(range.clone()).unwrap_or_default();
        Spot {
            whole: self.span(range.clone()),
            start: written.find(text).map(|before| range.start + before + at),
        }
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range)
    }
}
