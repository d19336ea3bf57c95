//! The first use of each word of the glossary in a lesson leads to what it means.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use pulldown_cmark::{Event, Tag, TagEnd};

use crate::course::{Entry, Glossary, Lesson, Piece};
use crate::finding::{Finding, shown};
use crate::site::relative;

/// How many words a hint names.
const NAMED: usize = 12;

type Events<'s> = Vec<(Event<'s>, Range<usize>)>;

/// Links the words in a text, unless it is the one that shows them; gives the places of those that it uses.
pub fn link(glossary: &Glossary, forms: &Forms, text: &mut Lesson) -> BTreeSet<usize> {
    let Some(page) = glossary.page.as_ref().filter(|page| **page != text.address) else {
        return BTreeSet::new();
    };
    let way = relative(&format!("{}.html", text.address), &format!("{page}.html"));
    let mut linker = Linker { glossary, forms, way, linked: BTreeSet::new() };
    for piece in &mut text.pieces {
        if let Piece::Prose(events) = piece {
            *events = linker.prose(std::mem::take(events));
        }
    }
    linker.linked
}

/// Hints at words that no text uses.
pub fn idle(glossary: &Glossary, used: &BTreeSet<usize>, found: &mut Vec<Finding>) {
    if glossary.page.is_none() {
        return;
    }
    let idle: Vec<&Entry> =
        (0..).zip(&glossary.entries).filter(|(at, _)| !used.contains(at)).map(|(_, entry)| entry).collect();
    let Some(first) = idle.first() else { return };
    let names: Vec<_> =
        idle.iter().take(NAMED).map(|entry| format!("`{}`", shown(&entry.word.value))).collect();
    let more = idle.len().saturating_sub(NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let message = match idle.len() {
        1 => "a word of the glossary is used by no lesson".to_owned(),
        count => format!("{count} words of the glossary are used by no lesson"),
    };
    found.push(
        Finding::hint("idle-word", message, first.word.span, "the first")
            .help(format!("these: {}{more}", names.join(", ")))
            .help("other forms of a word, such as its plural, stand in its `also`"),
    );
}

/// Every form of every word, as the words that a text is made of.
#[derive(Debug)]
pub struct Forms {
    /// By the first of its words in small letters; longer ones first.
    by_first: BTreeMap<String, Vec<Form>>,
}

#[derive(Debug)]
struct Form {
    text: String,
    words: Vec<Range<usize>>,
    entry: usize,
}

impl Forms {
    /// The forms of all words of a glossary.
    pub fn of(glossary: &Glossary) -> Self {
        let mut by_first: BTreeMap<String, Vec<Form>> = BTreeMap::new();
        for (entry, form) in
            (0..).zip(&glossary.entries).flat_map(|(at, entry)| entry.forms().map(move |form| (at, form)))
        {
            let text = form.value.clone();
            let words = words(&text);
            let Some(first) = words.first() else { continue };
            let first = text[first.clone()].to_lowercase();
            by_first.entry(first).or_default().push(Form { text, words, entry });
        }
        for forms in by_first.values_mut() {
            forms.sort_by_key(|form| std::cmp::Reverse(form.words.len()));
        }
        Forms { by_first }
    }
}

/// The words of a text: letters and figures that stand together.
fn words(text: &str) -> Vec<Range<usize>> {
    let mut words: Vec<Range<usize>> = Vec::new();
    for (at, c) in text.char_indices().filter(|(_, c)| c.is_alphanumeric()) {
        let end = at + c.len_utf8();
        match words.last_mut() {
            Some(word) if word.end == at => word.end = end,
            _ => words.push(at..end),
        }
    }
    words
}

struct Linker<'g> {
    glossary: &'g Glossary,
    forms: &'g Forms,
    /// From the lesson's page to the glossary.
    way: String,
    /// Words that this lesson has linked.
    linked: BTreeSet<usize>,
}

impl Linker<'_> {
    fn prose<'s>(&mut self, events: Events<'s>) -> Events<'s> {
        let mut out = Vec::with_capacity(events.len());
        let mut run: Events = Vec::new();
        // Elements in which nothing is linked, and how many of them are open.
        let mut closed = 0_usize;
        for (event, range) in events {
            match &event {
                Event::Text(_) | Event::SoftBreak if closed == 0 => {
                    run.push((event, range));
                    continue;
                }
                Event::Start(Tag::Link { dest_url, .. }) => {
                    self.written_link(dest_url);
                    closed += 1;
                }
                // What unfolds something is pressed: a link in it would be pressed by mistake.
                Event::InlineHtml(tag) if tag.starts_with("<summary") => closed += 1,
                Event::InlineHtml(tag) if tag.as_ref() == "</summary>" => closed = closed.saturating_sub(1),
                Event::Start(tag) if is_closed(tag.to_end()) => closed += 1,
                Event::End(tag) if is_closed(*tag) => closed = closed.saturating_sub(1),
                _ => {}
            }
            self.flush(&mut run, &mut out);
            out.push((event, range));
        }
        self.flush(&mut run, &mut out);
        out
    }

    /// A link that a writer made to a word is its link.
    fn written_link(&mut self, address: &str) {
        let Some(anchor) = address.strip_prefix(&self.way).and_then(|rest| rest.strip_prefix('#')) else {
            return;
        };
        let known = self.glossary.entries.iter().position(|entry| entry.anchor == anchor);
        self.linked.extend(known);
    }

    fn flush<'s>(&mut self, run: &mut Events<'s>, out: &mut Events<'s>) {
        let mut text = String::new();
        for (event, _) in &*run {
            match event {
                Event::Text(words) => text.push_str(words),
                _ => text.push(' '),
            }
        }
        let places = self.places(&text);
        let mut start = 0;
        for (event, range) in run.drain(..) {
            let length = match &event {
                Event::Text(words) => words.len(),
                _ => 1,
            };
            self.write(&text, start..start + length, &places, (event, range), out);
            start += length;
        }
    }

    /// One event of a run, with the ends of links that fall into it.
    fn write<'s>(
        &self,
        text: &str,
        own: Range<usize>,
        places: &[(Range<usize>, usize)],
        (event, range): (Event<'s>, Range<usize>),
        out: &mut Events<'s>,
    ) {
        if !places.iter().any(|(place, _)| place.start < own.end && place.end > own.start) {
            out.push((event, range));
            return;
        }
        let is_break = matches!(event, Event::SoftBreak);
        let mut from = own.start;
        // Where the text is what its writer typed, each part of it keeps its own place.
        let exact = range.len() == own.len();
        let part = |from: usize, to: usize| match exact {
            true => range.start + from - own.start..range.start + to - own.start,
            false => range.clone(),
        };
        let write_to = |to: usize, from: &mut usize, out: &mut Events<'s>| {
            if is_break && *from < to {
                out.push((Event::SoftBreak, range.clone()));
            } else if *from < to {
                out.push((Event::Text(text[*from..to].to_owned().into()), part(*from, to)));
            }
            *from = to;
        };
        for (place, entry) in places {
            if own.contains(&place.start) {
                write_to(place.start, &mut from, out);
                let anchor = &self.glossary.entries[*entry].anchor;
                let html = format!("<a class=\"term\" href=\"{}#{anchor}\">", self.way);
                out.push((Event::InlineHtml(html.into()), range.clone()));
            }
            if place.end > own.start && place.end <= own.end {
                write_to(place.end, &mut from, out);
                out.push((Event::InlineHtml("</a>".into()), range.clone()));
            }
        }
        write_to(own.end, &mut from, out);
    }

    /// Where words that have not been linked yet stand in a run of text.
    fn places(&mut self, text: &str) -> Vec<(Range<usize>, usize)> {
        let words = words(text);
        let mut places = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let first = text[words[at].clone()].to_lowercase();
            let forms = self.forms.by_first.get(&first).map_or(&[][..], Vec::as_slice);
            let Some(form) = forms.iter().find(|form| stands_at(form, text, &words[at..])) else {
                at += 1;
                continue;
            };
            let end = at + form.words.len();
            if self.linked.insert(form.entry) {
                places.push((words[at].start..words[end - 1].end, form.entry));
            }
            at = end;
        }
        places
    }
}

/// Does a text have this form from here on, as words of their own?
fn stands_at(form: &Form, text: &str, words: &[Range<usize>]) -> bool {
    let (Some(first), Some(last)) = (words.first(), words.get(form.words.len() - 1)) else { return false };
    let wanted = &form.text[form.words[0].start..form.words[form.words.len() - 1].end];
    let got = &text[first.start..last.end];
    let same = got == wanted || (starts_sentence(&text[..first.start]) && same_but_first(got, wanted));
    // `voltage-drop` is not `drop`.
    let joined_before =
        text[..first.start].strip_suffix('-').is_some_and(|rest| rest.ends_with(char::is_alphanumeric));
    let joined_after =
        text[last.end..].strip_prefix('-').is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
    same && !joined_before && !joined_after
}

fn starts_sentence(before: &str) -> bool {
    before.trim_end().chars().next_back().is_none_or(|c| matches!(c, '.' | '!' | '?' | ':' | '“' | '('))
}

fn same_but_first(got: &str, wanted: &str) -> bool {
    let (mut got, mut wanted) = (got.chars(), wanted.chars());
    match (got.next(), wanted.next()) {
        (Some(one), Some(other)) => {
            one.to_lowercase().eq(other.to_lowercase()) && got.as_str() == wanted.as_str()
        }
        _ => false,
    }
}

/// Elements in which no word becomes a link.
fn is_closed(tag: TagEnd) -> bool {
    matches!(
        tag,
        TagEnd::Heading(_)
            | TagEnd::Link
            | TagEnd::Image
            | TagEnd::CodeBlock
            | TagEnd::Table
            | TagEnd::FootnoteDefinition
    )
}

#[cfg(test)]
mod tests {
    use pulldown_cmark::{Options, Parser};

    use super::*;
    use crate::source::{FileId, Span, Spanned};

    /// A text with `[` and `]` round what becomes a link; `words` are forms of one word each, parted by commas.
    fn linked(words: &[&str], text: &str) -> String {
        let spanned = |form: &str| Spanned::new(form.trim().to_owned(), Span::new(FileId(0), 0..0));
        let entry = |forms: &&str| {
            let mut forms = forms.split(',').map(spanned);
            let word = forms.next().expect("a word");
            let anchor = word.value.replace(' ', "-");
            Entry { word, means: String::new(), also: forms.collect(), see: vec![], symbol: None, anchor }
        };
        let glossary = Glossary { entries: words.iter().map(entry).collect(), page: Some("g".to_owned()) };
        let forms = Forms::of(&glossary);
        let way = "g.html".to_owned();
        let mut linker = Linker { glossary: &glossary, forms: &forms, way, linked: BTreeSet::new() };
        let events = Parser::new_ext(text, Options::ENABLE_TABLES).into_offset_iter().collect();
        let shown = |(event, _): &(Event, Range<usize>)| match event {
            Event::Text(text) => text.to_string(),
            Event::SoftBreak => "/".to_owned(),
            Event::InlineHtml(html) if html.as_ref() == "</a>" => "]".to_owned(),
            Event::InlineHtml(_) => "[".to_owned(),
            Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::Heading(_) | TagEnd::TableHead) => {
                "|".to_owned()
            }
            _ => String::new(),
        };
        linker.prose(events).iter().map(shown).collect()
    }

    #[test]
    fn the_first_use_is_linked_and_the_longest_word_wins() {
        for (words, text, wanted) in [
            (&["drag"][..], "The drag, and drag again.", "The [drag], and drag again.|"),
            (&["drag"], "Drag first.", "[Drag] first.|"),
            (&["drag"], "Mr Drag and dragging and air-drag.", "Mr Drag and dragging and air-drag.|"),
            (&["drop", "voltage drop"], "A voltage drop is a drop.", "A [voltage drop] is a [drop].|"),
            (&["voltage drop"], "A voltage\ndrop.", "A [voltage/drop].|"),
            (
                &["hold-in coil"],
                "The hold-in *coil*. The hold-in coil.",
                "The hold-in coil. The [hold-in coil].|",
            ),
            (&["AWG"], "An awg. Awg. AWG 2.", "An awg. Awg. [AWG] 2.|"),
            (&["drop,drops"], "- Drops add.\n- a drop", "[Drops] add.|a drop|"),
            (&["drag"], "# Drag\n\nDrag.", "Drag|[Drag].|"),
            (&["drag"], "[the drag](x.md) is drag", "the drag is [drag]|"),
            (&["drag"], "[so](g.html#drag) is drag", "so is drag|"),
            (&["drag"], "| drag |\n|---|\n| drag |\n\n`drag` drag", "drag|drag [drag]|"),
        ] {
            assert_eq!(linked(words, text), wanted, "{text}");
        }
    }

    #[test]
    fn nothing_of_a_text_is_lost() {
        let text = "Ω drag *drag* Größe\ndrag — voltage-drop, the pinion’s pinion";
        let got = linked(&["drag", "pinion", "Größe"], text).replace(['[', ']', '|'], "").replace('/', "\n");
        assert_eq!(got, text.replace('*', ""));
    }
}
