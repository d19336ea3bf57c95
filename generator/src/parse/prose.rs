//! Running text: headings get anchors, formulas become MathML, footnotes get numbers, raw HTML is refused
//! unless the course allows it.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, CowStr, Event, HeadingLevel, Tag, TagEnd};

use super::anchor::Anchors;
use super::html::{Html, Place};
use crate::course::{Figure, Heading, VALUE_IN_FORMULA, plain_text};
use crate::finding::{Finding, shown};
use crate::formula;
use crate::source::{FileId, Span, Spanned};

/// The events between two pieces, and what has been met so far in the lesson.
pub struct Prose<'s> {
    file: FileId,
    text: &'s str,
    events: Vec<(Event<'s>, Range<usize>)>,
    /// Index of the event that opened the paragraph or heading that is open.
    opened: usize,
    /// The headings so far.
    pub headings: Vec<Heading>,
    /// Footnotes by the name in the text: number, first mark, definition.
    notes: BTreeMap<String, Note>,
    /// Marks of footnotes that nothing defines.
    lost_notes: Vec<Range<usize>>,
    /// Has any HTML been refused yet?
    html_told: bool,
    /// The HTML that is open, when the course allows any.
    html: Option<Html>,
    /// The lines of the block of HTML that is being read.
    html_block: Option<Vec<(CowStr<'s>, Range<usize>)>>,
    /// How many elements and how many pictures are open.
    depth: usize,
    pictures: usize,
}

#[derive(Default)]
struct Note {
    number: usize,
    marked: Option<Range<usize>>,
    defined: Option<Range<usize>>,
}

impl<'s> Prose<'s> {
    pub fn new(file: FileId, text: &'s str, allow_html: bool) -> Self {
        Prose {
            file,
            text,
            events: Vec::new(),
            opened: 0,
            headings: Vec::new(),
            notes: BTreeMap::new(),
            lost_notes: Vec::new(),
            html_told: false,
            html: allow_html.then(Html::default),
            html_block: None,
            depth: 0,
            pictures: 0,
        }
    }

    pub fn is_empty(&self) -> bool {
        self.events.is_empty()
    }

    /// Would a block here stand inside an element of HTML?
    pub fn is_in_html(&self) -> bool {
        self.html.as_ref().is_some_and(Html::is_open)
    }

    /// The events so far; the next ones start a new stretch.
    pub fn take(&mut self, found: &mut Vec<Finding>) -> Vec<(Event<'s>, Range<usize>)> {
        self.opened = 0;
        if let Some(html) = &mut self.html {
            self.events.extend(html.leave_all(found));
        }
        std::mem::take(&mut self.events)
    }

    pub fn push(&mut self, event: Event<'s>, range: Range<usize>, found: &mut Vec<Finding>) {
        let event = match event {
            // Calculated numbers are put in by the resolve stage, which typesets these formulas then.
            Event::InlineMath(latex) if !latex.contains(VALUE_IN_FORMULA) => {
                formula::event(&latex, false, (self.file, self.text), &range, found)
            }
            Event::DisplayMath(latex) if !latex.contains(VALUE_IN_FORMULA) => {
                formula::event(&latex, true, (self.file, self.text), &range, found)
            }
            Event::Start(Tag::HtmlBlock) => {
                match self.html.is_some() {
                    true => self.html_block = Some(Vec::new()),
                    false => self.raw_html(&range, found),
                }
                return;
            }
            Event::End(TagEnd::HtmlBlock) => {
                let lines = self.html_block.take().unwrap_or_default();
                return self.allowed_html(&lines, false, found);
            }
            // A block of HTML is judged as a whole.
            Event::Html(line) => {
                self.html_block.iter_mut().for_each(|lines| lines.push((line.clone(), range.clone())));
                return;
            }
            Event::InlineHtml(tag) => match self.html.is_some() {
                true => return self.allowed_html(&[(tag, range)], true, found),
                false => return self.raw_html(&range, found),
            },
            Event::FootnoteReference(name) => Event::FootnoteReference(self.note(&name, |note| {
                note.marked.get_or_insert(range.clone());
            })),
            Event::Start(Tag::FootnoteDefinition(name)) => {
                if let Some(first) = self.notes.get(name.as_ref()).and_then(|note| note.defined.clone()) {
                    found.push(
                        Finding::error(
                            "second-footnote",
                            format!("footnote `{}` is written twice", shown(&name)),
                            self.first_line(&range),
                            "the second",
                        )
                        .also(self.first_line(&first), "the first")
                        .help("give one of them another name"),
                    );
                }
                Event::Start(Tag::FootnoteDefinition(self.note(&name, |note| {
                    note.defined.get_or_insert(range.clone());
                })))
            }
            Event::Text(text) => {
                self.look_for_lost_note(&text, &range);
                Event::Text(text)
            }
            Event::Start(tag @ (Tag::Paragraph | Tag::Heading { .. })) => {
                self.opened = self.events.len();
                Event::Start(tag)
            }
            other => other,
        };
        match &event {
            Event::Start(tag) => {
                self.depth += 1;
                self.pictures += usize::from(matches!(tag, Tag::Image { .. }));
            }
            Event::End(tag) => {
                self.leave(&range, found);
                self.pictures -= usize::from(*tag == TagEnd::Image);
            }
            _ => {}
        }
        self.events.push((event, range));
    }

    /// Ends what HTML is open in the element that ends at `range`.
    fn leave(&mut self, range: &Range<usize>, found: &mut Vec<Finding>) {
        if let Some(html) = self.html.as_mut().filter(|html| html.is_open()) {
            self.events.extend(html.leave(self.depth, range, found));
        }
        self.depth = self.depth.saturating_sub(1);
    }

    fn allowed_html(
        &mut self,
        lines: &[(CowStr<'s>, Range<usize>)],
        in_line: bool,
        found: &mut Vec<Finding>,
    ) {
        let place = Place { file: self.file, in_line, in_picture: self.pictures > 0, depth: self.depth };
        if let Some(html) = &mut self.html {
            self.events.extend(html.read(lines, place, found));
        }
    }

    /// A listing inside a list or a quotation stays part of it.
    pub fn push_code(&mut self, kind: CodeBlockKind<'s>, code: String, range: Range<usize>) {
        self.events.push((Event::Start(Tag::CodeBlock(kind)), range.clone()));
        self.events.push((Event::Text(code.into()), range.clone()));
        self.events.push((Event::End(TagEnd::CodeBlock), range));
    }

    /// Ends a paragraph that stands in no list or quotation; when a picture has it to itself, that is a figure.
    pub fn end_paragraph(
        &mut self,
        range: Range<usize>,
        anchors: &mut Anchors,
        found: &mut Vec<Finding>,
    ) -> Option<Figure> {
        let inside = self.events.get(self.opened + 1..).unwrap_or_default();
        if let [
            (Event::Start(Tag::Image { dest_url, title, .. }), _),
            alt @ ..,
            (Event::End(TagEnd::Image), place),
        ] = inside
            && !alt.iter().any(|(event, _)| matches!(event, Event::End(TagEnd::Image)))
            && !self.is_in_html()
        {
            let span = Span::new(self.file, place.clone());
            let figure = Figure {
                id: anchors.of_block("figure"),
                alt: with_marked_values(alt),
                caption: Some(title.trim()).filter(|title| !title.is_empty()).map(str::to_owned),
                file: Spanned::new(dest_url.to_string(), span),
                picture: None,
                span,
            };
            self.events.truncate(self.opened);
            self.depth -= 1;
            return Some(figure);
        }
        if inside.is_empty() {
            // What stood in it was refused.
            self.events.truncate(self.opened);
            self.depth -= 1;
            return None;
        }
        self.push(Event::End(TagEnd::Paragraph), range, found);
        None
    }

    /// Ends a heading: gives it its anchor.
    pub fn end_heading(
        &mut self,
        level: HeadingLevel,
        range: Range<usize>,
        anchors: &mut Anchors,
        found: &mut Vec<Finding>,
    ) {
        let text = plain_text(self.events.get(self.opened + 1..).unwrap_or_default());
        let span = self.first_line(&range);
        let last = self.headings.last().map_or(1, |heading| heading.level);
        let mut level = level as u8;
        if text.trim().is_empty() {
            found.push(
                Finding::error("empty-heading", "this heading has no words", span, "nothing after the marks")
                    .help("write its words, or take it out"),
            );
        }
        if level == 1 {
            found.push(
                Finding::error(
                    "top-heading",
                    "the title is the only heading of the first level",
                    span,
                    "a second one",
                )
                .help("write `##`; the title stands in the `lesson` block"),
            );
            level = 2;
        } else if level > last + 1 {
            let message = format!("a heading of level {level} stands under one of level {last}");
            found.push(Finding::warning("skipped-heading", message, span, "a level is left out").help(
                format!("write `{}`; who listens to the page counts levels", "#".repeat(last as usize + 1)),
            ));
        }
        let id = anchors.of_heading(&text);
        if let Some((Event::Start(Tag::Heading { level: shown, id: anchor, .. }), _)) =
            self.events.get_mut(self.opened)
        {
            *shown = HeadingLevel::try_from(usize::from(level)).unwrap_or(HeadingLevel::H2);
            *anchor = Some(id.clone().into());
        }
        let end = HeadingLevel::try_from(usize::from(level)).unwrap_or(HeadingLevel::H2);
        self.leave(&range, found);
        self.events.push((Event::End(TagEnd::Heading(end)), range));
        self.headings.push(Heading { level, text, id, span });
    }

    /// Reports footnotes that are marked but not written, and written but not marked.
    pub fn check_footnotes(&self, found: &mut Vec<Finding>) {
        let mut told = BTreeSet::new();
        for range in &self.lost_notes {
            let name = &self.text[range.clone()];
            if !told.insert(name) {
                continue;
            }
            found.push(
                Finding::error(
                    "unknown-footnote",
                    format!("there is no footnote `{}`", shown(name)),
                    Span::new(self.file, range.clone()),
                    "shown as plain text",
                )
                .near(name, self.notes.keys().map(String::as_str))
                .help(format!("add a line `[{}]: the note`", shown(name))),
            );
        }
        for (name, note) in &self.notes {
            if let (Some(defined), None) = (&note.defined, &note.marked) {
                found.push(
                    Finding::warning(
                        "idle-footnote",
                        format!("nothing points to footnote `{}`", shown(name)),
                        self.first_line(defined),
                        "no mark in the text",
                    )
                    .help(format!("write `[^{}]` where it belongs, or take it out", shown(name))),
                );
            }
        }
    }

    fn raw_html(&mut self, range: &Range<usize>, found: &mut Vec<Finding>) {
        let text = self.text.get(range.clone()).unwrap_or_default().trim();
        let inner = text.strip_prefix("<!--").and_then(|text| text.strip_suffix("-->"));
        // A remark that its writer left for herself goes no further.
        if inner.is_some_and(|inner| !inner.contains("-->")) {
            return;
        }
        // The end of an element goes with its beginning.
        if text.starts_with("</") && self.html_told {
            return;
        }
        self.html_told = true;
        found.push(
            Finding::error(
                "raw-html",
                "HTML in a lesson is refused",
                self.first_line(range),
                "left out of the page",
            )
            .help("say it in Markdown, or with a block; a plain `<` is written `\\<`")
            .help("`allow_html = true` in `course.toml` lets a few elements into lessons"),
        );
    }

    fn note(&mut self, name: &CowStr, change: impl FnOnce(&mut Note)) -> CowStr<'s> {
        let next = self.notes.len() + 1;
        let note = self.notes.entry(name.to_string()).or_insert(Note { number: next, ..Note::default() });
        change(note);
        format!("note-{}", note.number).into()
    }

    /// The parser takes `[^1]` for text when nothing defines it.
    fn look_for_lost_note(&mut self, text: &str, range: &Range<usize>) {
        let around = |at: usize| self.text.as_bytes().get(at).copied();
        if text.starts_with('^')
            && text.len() > 1
            && range.start > 0
            && around(range.start - 1) == Some(b'[')
            && around(range.end) == Some(b']')
            && around(range.start.wrapping_sub(2)) != Some(b'\\')
            && self.text.get(range.clone()) == Some(text)
        {
            self.lost_notes.push(range.clone());
        }
    }

    fn first_line(&self, range: &Range<usize>) -> Span {
        let text = self.text.get(range.clone()).unwrap_or_default();
        let length = text.find('\n').unwrap_or(text.len());
        Span::new(self.file, range.start..range.start + length)
    }
}

/// The words of a picture's description, with the marks round what may be a calculated number.
fn with_marked_values(alt: &[(Event, Range<usize>)]) -> String {
    let marked = alt.iter().map(|(event, range)| match event {
        Event::Code(code) if code.starts_with("value ") => {
            (Event::Text(format!("`{code}`").into()), range.clone())
        }
        other => (other.clone(), range.clone()),
    });
    plain_text(&marked.collect::<Vec<_>>())
}
