//! Ordinary Markdown as HTML, with what a plain writer of events would do wrong for this site: tables that scroll
//! on a phone and carry no style attribute, notes numbered over the whole lesson, task boxes with a name, listings
//! inside lists.

use std::collections::BTreeMap;

use pulldown_cmark::html::push_html;
use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, Tag, TagEnd};

use super::typeset::tied;
use super::view::NoteView;
use super::words::Words;
use super::{escape, listing};

/// More characters than this may be wider than the smallest phone.
const LONG_FORMULA: usize = 24;

/// What counts on over the pieces of one lesson.
pub struct ProseWriter<'w> {
    words: &'w Words,
    tables: usize,
    listings: usize,
    /// Labels of notes in the order in which they are first met.
    notes: Vec<String>,
    definitions: BTreeMap<String, String>,
}

impl<'w> ProseWriter<'w> {
    /// For a fresh lesson.
    pub fn new(words: &'w Words) -> Self {
        ProseWriter { words, tables: 0, listings: 0, notes: Vec::new(), definitions: BTreeMap::new() }
    }

    /// One stretch of prose.
    pub fn html<'e>(&mut self, events: impl IntoIterator<Item = Event<'e>>) -> String {
        let mut out = Vec::new();
        let mut events = events.into_iter();
        while let Some(event) = events.next() {
            match event {
                Event::Start(Tag::FootnoteDefinition(label)) => self.definition(&label, &mut events),
                Event::Start(Tag::Table(alignments)) => self.table(&alignments, &mut events, &mut out),
                Event::Start(Tag::CodeBlock(kind)) => self.code_block(&kind, &mut events, &mut out),
                event => out.push(self.inline(event)),
            }
        }
        let mut html = String::new();
        push_html(&mut html, out.into_iter());
        html
    }

    /// A listing with the region that makes it reachable by keyboard when it is wider than the screen.
    pub fn listing(&mut self, language: &str, code: &str) -> String {
        self.listings += 1;
        let label = format!("{} {}", self.words.get("lesson.listing"), self.listings);
        let html = listing::html(language, code);
        format!(
            "<pre class=\"listing\" role=\"region\" tabindex=\"0\" aria-label=\"{}\"><code>{html}</code></pre>\n",
            escape::text(&label)
        )
    }

    /// The notes of the lesson, in the order in which the text calls them.
    pub fn notes(mut self) -> Vec<NoteView> {
        let called = std::mem::take(&mut self.notes);
        called
            .iter()
            .map(|label| NoteView { html: self.definitions.remove(label).unwrap_or_default() })
            .collect()
    }

    fn inline<'e>(&mut self, event: Event<'e>) -> Event<'e> {
        match event {
            Event::Text(text) => Event::Text(tied(&text).into_owned().into()),
            Event::InlineHtml(html) if html.starts_with("<math") => self.formula(&html),
            Event::FootnoteReference(label) => self.note_call(&label),
            Event::TaskListMarker(done) => {
                let word = self.words.get(if done { "lesson.done" } else { "lesson.open" });
                let html = format!(
                    "<span class=\"task\" data-done=\"{done}\" role=\"img\" aria-label=\"{word}\"></span> "
                );
                Event::InlineHtml(html.into())
            }
            other => other,
        }
    }

    /// A formula in a box that scrolls when it is wider than the screen; a long one can be reached by keyboard.
    fn formula<'e>(&mut self, mathml: &str) -> Event<'e> {
        let attributes = match text_length(mathml) > LONG_FORMULA {
            true => {
                format!(" role=\"group\" tabindex=\"0\" aria-label=\"{}\"", self.words.get("lesson.formula"))
            }
            false => String::new(),
        };
        Event::InlineHtml(format!("<span class=\"formula\"{attributes}>{mathml}</span>").into())
    }

    fn note_call<'e>(&mut self, label: &str) -> Event<'e> {
        let known = self.notes.iter().position(|note| note == label);
        let number = known.unwrap_or_else(|| {
            self.notes.push(label.to_owned());
            self.notes.len() - 1
        }) + 1;
        // Only the first call is a place to come back to.
        let id = if known.is_none() { format!(" id=\"note-{number}-at\"") } else { String::new() };
        let spoken = self.words.fill("lesson.note", &[("number", &number.to_string())]);
        let html = format!(
            "<sup class=\"note-call\"><a href=\"#note-{number}\"{id} aria-label=\"{}\">{number}</a></sup>",
            escape::text(&spoken)
        );
        Event::InlineHtml(html.into())
    }

    fn definition<'e>(&mut self, label: &str, events: &mut impl Iterator<Item = Event<'e>>) {
        let inside: Vec<_> = until(events, TagEnd::FootnoteDefinition);
        let html = self.html(inside);
        self.definitions.insert(label.to_owned(), html);
    }

    fn code_block<'e>(
        &mut self,
        kind: &CodeBlockKind<'_>,
        events: &mut impl Iterator<Item = Event<'e>>,
        out: &mut Vec<Event<'e>>,
    ) {
        let language = match kind {
            CodeBlockKind::Fenced(info) => info.split([' ', ',']).next().unwrap_or_default(),
            CodeBlockKind::Indented => "",
        };
        let code: String = until(events, TagEnd::CodeBlock).iter().map(text_of).collect();
        out.push(Event::Html(self.listing(language, &code).into()));
    }

    /// The standard writer aligns columns by style attributes, which the site's security policy forbids.
    fn table<'e>(
        &mut self,
        alignments: &[Alignment],
        events: &mut impl Iterator<Item = Event<'e>>,
        out: &mut Vec<Event<'e>>,
    ) {
        let inside: Vec<_> = until(events, TagEnd::Table);
        self.tables += 1;
        let label = self.words.fill(
            "lesson.table",
            &[("number", &self.tables.to_string()), ("heads", &head_texts(&inside).join(", "))],
        );
        let open = format!(
            "<div class=\"table-scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{}\">",
            escape::text(&label)
        );
        out.push(html(open + "<table>"));
        let (mut in_head, mut is_head, mut column) = (false, false, 0);
        let mut inside = inside.into_iter().peekable();
        while let Some(event) = inside.next() {
            let piece = match event {
                Event::Start(Tag::TableHead) => {
                    in_head = true;
                    column = 0;
                    "<thead><tr>".to_owned()
                }
                Event::End(TagEnd::TableHead) => {
                    in_head = false;
                    "</tr></thead><tbody>\n".to_owned()
                }
                Event::Start(Tag::TableRow) => {
                    column = 0;
                    "<tr>".to_owned()
                }
                Event::End(TagEnd::TableRow) => "</tr>\n".to_owned(),
                Event::Start(Tag::TableCell) => {
                    // A corner without words heads nothing.
                    is_head = in_head && !matches!(inside.peek(), Some(Event::End(TagEnd::TableCell)));
                    cell(is_head, alignments.get(column))
                }
                Event::End(TagEnd::TableCell) => {
                    column += 1;
                    if is_head { "</th>".to_owned() } else { "</td>".to_owned() }
                }
                other => {
                    out.push(self.inline(other));
                    continue;
                }
            };
            out.push(html(piece));
        }
        out.push(html("</tbody></table></div>\n".to_owned()));
    }
}

fn cell(in_head: bool, alignment: Option<&Alignment>) -> String {
    let (tag, scope) = if in_head { ("th", " scope=\"col\"") } else { ("td", "") };
    let class = match alignment {
        Some(Alignment::Right) => " class=\"right\"",
        Some(Alignment::Center) => " class=\"center\"",
        Some(Alignment::Left | Alignment::None) | None => "",
    };
    format!("<{tag}{scope}{class}>")
}

/// The texts of the head cells.
fn head_texts(events: &[Event<'_>]) -> Vec<String> {
    let mut heads = Vec::new();
    for event in events.iter().take_while(|event| !matches!(event, Event::End(TagEnd::TableHead))) {
        match event {
            Event::Start(Tag::TableCell) => heads.push(String::new()),
            event => {
                if let Some(head) = heads.last_mut() {
                    head.push_str(text_of(event));
                }
            }
        }
    }
    heads.retain(|head| !head.is_empty());
    heads
}

/// How many characters of a piece of markup are text.
fn text_length(markup: &str) -> usize {
    let mut inside = false;
    let is_text = |c: char| {
        let was_inside = inside;
        inside = (inside || c == '<') && c != '>';
        !(was_inside || inside || c.is_whitespace())
    };
    markup.chars().map(is_text).filter(|text| *text).count()
}

fn text_of<'t>(event: &'t Event<'_>) -> &'t str {
    match event {
        Event::Text(text) | Event::Code(text) => text,
        Event::SoftBreak | Event::HardBreak => " ",
        _ => "",
    }
}

/// The events up to the end of an element that has been entered, its end left out.
fn until<'e>(events: &mut impl Iterator<Item = Event<'e>>, end: TagEnd) -> Vec<Event<'e>> {
    let mut depth = 0;
    let mut inside = Vec::new();
    for event in events {
        match &event {
            Event::Start(tag) if tag.to_end() == end => depth += 1,
            Event::End(tag) if *tag == end && depth == 0 => break,
            Event::End(tag) if *tag == end => depth -= 1,
            _ => {}
        }
        inside.push(event);
    }
    inside
}

fn html<'e>(text: String) -> Event<'e> {
    Event::Html(CowStr::from(text))
}
