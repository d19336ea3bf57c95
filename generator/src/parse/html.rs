//! HTML in the lessons of a course that allows it: a short list of elements stays, everything else is taken out and said.
//!
//! Markdown and HTML make one tree. So an element ends in the paragraph, list item or cell in which it begins, and none
//! reaches over a block: then a tag that somebody forgets cannot change what stands around it. Of what is written nothing
//! is copied to the page: `ammonia` makes each opening tag anew, ends come from the list, and text is escaped as all text.

use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::LazyLock;

use ammonia::Builder;
use pulldown_cmark::{CowStr, Event};

use super::tag::{Token, attributes, tokens};
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span};

/// Elements that stand in a line of text.
const IN_LINE: [&str; 23] = [
    "abbr", "b", "bdi", "br", "cite", "del", "dfn", "em", "i", "ins", "kbd", "mark", "q", "s", "samp",
    "small", "span", "strong", "sub", "sup", "u", "var", "wbr",
];

/// Elements that begin a line of their own.
const ALONE: [&str; 6] = ["dd", "details", "div", "dl", "dt", "summary"];

/// Elements without an end.
const VOID: [&str; 2] = ["br", "wbr"];

/// Elements that stand in one other alone.
const WITHIN: [(&str, &str); 3] = [("dd", "dl"), ("dt", "dl"), ("summary", "details")];

/// Attributes that any element may have.
const OF_ALL: [&str; 2] = ["dir", "lang"];

/// What `dir` may say.
const DIRECTIONS: [&str; 3] = ["auto", "ltr", "rtl"];

/// Attributes of single elements. There is no `class`, `id` or `style`, so that a lesson cannot look like what is not
/// part of it, and nothing that has an address: links and pictures of Markdown are looked after.
const OF_ONE: [(&str, &str); 3] = [("abbr", "title"), ("details", "open"), ("dfn", "title")];

/// So many elements may stand within each other: browsers part what is nested without end.
const DEEPEST: usize = 12;

/// What findings say of a tag that is not in the page.
const LEFT_OUT: &str = "left out of the page";

/// Elements whose text is for a program; it goes with them.
const NO_TEXT: [&str; 6] = ["iframe", "noscript", "script", "style", "template", "textarea"];

static LIST: LazyLock<Builder<'static>> = LazyLock::new(|| {
    let tags: HashSet<&str> = IN_LINE.iter().chain(&ALONE).copied().collect();
    let directions = || HashMap::from([("dir", HashSet::from(DIRECTIONS))]);
    let mut own: HashMap<&str, HashSet<&str>> = HashMap::new();
    for (element, attribute) in OF_ONE {
        own.entry(element).or_default().insert(attribute);
    }
    let mut list = Builder::empty();
    list.tag_attribute_values(tags.iter().map(|tag| (*tag, directions())).collect())
        .generic_attributes(OF_ALL.into_iter().filter(|name| *name != "dir").collect())
        .tag_attributes(own)
        .url_schemes(HashSet::new())
        .tags(tags);
    list
});

/// The elements of HTML that are open in a stretch of text.
#[derive(Default)]
pub struct Html {
    open: Vec<Open>,
    /// Elements whose beginning was taken out; their end goes with it.
    refused: Vec<String>,
}

struct Open {
    name: &'static str,
    /// How many elements of Markdown it stands in.
    depth: usize,
    span: Span,
}

/// Where a piece of HTML stands.
#[derive(Clone, Copy)]
pub struct Place {
    pub file: FileId,
    /// In a line of text, or in lines of its own?
    pub in_line: bool,
    /// In the words of a picture?
    pub in_picture: bool,
    /// How many elements of Markdown are open.
    pub depth: usize,
}

/// What goes into the page, and where it was written.
type Events<'s> = Vec<(Event<'s>, Range<usize>)>;

impl Html {
    pub fn is_open(&self) -> bool {
        !self.open.is_empty()
    }

    /// Reads lines of HTML, each with its place in the file.
    pub fn read<'s>(
        &mut self,
        lines: &[(CowStr<'s>, Range<usize>)],
        place: Place,
        found: &mut Vec<Finding>,
    ) -> Events<'s> {
        let text: String = lines.iter().map(|(line, _)| line.as_ref()).collect();
        let mut end = 0;
        let ends: Vec<usize> = lines
            .iter()
            .map(|(line, _)| {
                end += line.len();
                end
            })
            .collect();
        let at = |range: &Range<usize>| -> Range<usize> {
            let in_file = |at| in_file(lines, &ends, at);
            let (from, to) = (in_file(range.start), in_file(range.end.saturating_sub(1)));
            from.start..to.end.max(from.start)
        };
        let mut out = Events::new();
        let mut skip_to: Option<String> = None;
        for (token, range) in tokens(&text) {
            if let Some(name) = &skip_to {
                if matches!(token, Token::Close(closed) if closed.eq_ignore_ascii_case(name)) {
                    skip_to = None;
                }
                continue;
            }
            let whole = at(&range);
            let span = first_line(&text[range.clone()], &whole, place.file);
            match token {
                // A remark that its writer left for herself goes no further.
                Token::Remark => {}
                Token::Text(words) => out.push((Event::Text(plain(words).into()), whole)),
                Token::Close(name) => self.close(name, span, place, (&mut out, whole), found),
                Token::Other => found.push(
                    Finding::warning(
                        "html-element",
                        format!("`{}` is no element that may stand in a lesson", shown(&text[range])),
                        span,
                        LEFT_OUT,
                    )
                    .help("take it out; a plain `<` is written `&lt;`"),
                ),
                Token::Open(name) => {
                    let Some(tag) = self.tag(name, &text[range.clone()], span, place, found) else {
                        let name = name.to_ascii_lowercase();
                        if !place.in_line && NO_TEXT.contains(&name.as_str()) {
                            skip_to = Some(name);
                        } else {
                            self.refused.push(name);
                        }
                        continue;
                    };
                    for inner in lost_attributes(&text[range.clone()], &tag) {
                        let written = &text[range.start + inner.start..range.start + inner.end];
                        let inner = at(&(range.start + inner.start..range.start + inner.end));
                        found.push(attribute(name, written, Span::new(place.file, inner)));
                    }
                    out.push((Event::InlineHtml(tag.into()), whole));
                }
            }
        }
        out
    }

    /// The tag of an element as the page has it, when the element may stand here.
    fn tag(
        &mut self,
        name: &str,
        written: &str,
        span: Span,
        place: Place,
        found: &mut Vec<Finding>,
    ) -> Option<String> {
        let lower = name.to_ascii_lowercase();
        let Some(own) = IN_LINE.iter().chain(&ALONE).find(|own| **own == lower) else {
            let with_text = !place.in_line && NO_TEXT.contains(&lower.as_str());
            let label = if with_text { "left out with what stands in it" } else { LEFT_OUT };
            found.push(element(name, span, label));
            return None;
        };
        if let Some((problem, help)) = self.unfit(own, place) {
            let message = format!("the element `{own}` {problem}");
            found.push(Finding::warning("html-nesting", message, span, LEFT_OUT).help(help));
            return None;
        }
        let tag = LIST.clean(written).to_string();
        let tag = tag.strip_suffix(&format!("</{own}>")).map(str::to_owned).unwrap_or(tag);
        if !VOID.contains(own) {
            self.open.push(Open { name: own, depth: place.depth, span });
        }
        Some(tag)
    }

    /// Why an element of the list may not stand here, and what to do.
    fn unfit(&self, name: &str, place: Place) -> Option<(String, &'static str)> {
        let last = self.open.last();
        if place.in_picture {
            return Some(("stands in the words of a picture".to_owned(), "these are plain text"));
        }
        if self.open.len() >= DEEPEST {
            return Some((
                format!("stands in more than {DEEPEST} others"),
                "say it in Markdown, or end elements earlier",
            ));
        }
        if ALONE.contains(&name) {
            if place.in_line || last.is_some_and(|last| IN_LINE.contains(&last.name)) {
                return Some((
                    "cannot stand inside a line".to_owned(),
                    "begin a line with it, after an empty line",
                ));
            }
            let parent = WITHIN.iter().find(|(own, _)| *own == name).map(|(_, parent)| *parent);
            if let Some(parent) = parent
                && !last.is_some_and(|last| last.name == parent && last.depth == place.depth)
            {
                return Some((
                    format!("stands outside of `{parent}`"),
                    "put it right inside, with no other element between",
                ));
            }
        }
        None
    }

    fn close(
        &mut self,
        name: &str,
        span: Span,
        place: Place,
        (out, whole): (&mut Events, Range<usize>),
        found: &mut Vec<Finding>,
    ) {
        let lower = name.to_ascii_lowercase();
        let own = self.open.iter().rposition(|open| open.name == lower && open.depth == place.depth);
        if let Some(own) = own {
            self.end(own + 1, "has no end before the element around it", (out, &whole), found);
            self.open.pop();
            out.push((Event::InlineHtml(format!("</{lower}>").into()), whole));
        } else if let Some(refused) = self.refused.iter().rposition(|refused| *refused == lower) {
            // The end of an element goes with its beginning.
            self.refused.remove(refused);
        } else if IN_LINE.contains(&lower.as_str()) || ALONE.contains(&lower.as_str()) {
            found.push(
                Finding::warning(
                    "html-nesting",
                    format!("`</{}>` ends nothing that begins in the same text", shown(&lower)),
                    span,
                    LEFT_OUT,
                )
                .help("put beginning and end into the same paragraph, item or cell, or both into lines of their own"),
            );
        } else {
            found.push(element(name, span, LEFT_OUT));
        }
    }

    /// Ends what is open inside an element of Markdown that ends now.
    pub fn leave<'s>(&mut self, depth: usize, at: &Range<usize>, found: &mut Vec<Finding>) -> Events<'s> {
        let mut out = Events::new();
        let first = self.open.iter().position(|open| open.depth >= depth).unwrap_or(self.open.len());
        self.end(first, "has no end in the text in which it begins", (&mut out, at), found);
        out
    }

    /// Ends everything: the text ends, or a block comes.
    pub fn leave_all<'s>(&mut self, found: &mut Vec<Finding>) -> Events<'s> {
        let mut out = Events::new();
        let at = self.open.last().map_or(0..0, |open| open.span.end..open.span.end);
        self.end(0, "has no end before the next block or the end of the lesson", (&mut out, &at), found);
        self.refused.clear();
        out
    }

    fn end(
        &mut self,
        from: usize,
        problem: &str,
        (out, at): (&mut Events, &Range<usize>),
        found: &mut Vec<Finding>,
    ) {
        for open in self.open.drain(from..).rev() {
            let name = open.name;
            found.push(
                Finding::warning(
                    "html-nesting",
                    format!("the element `{name}` {problem}"),
                    open.span,
                    "ended there",
                )
                .help(format!(
                    "write `</{name}>` where it ends; an element cannot go round a block such as `calculator`"
                )),
            );
            out.push((Event::InlineHtml(format!("</{name}>").into()), at.clone()));
        }
    }
}

fn element(name: &str, span: Span, label: &str) -> Finding {
    let lower = name.to_ascii_lowercase();
    let message = format!("the element `{}` may not stand in a lesson", shown(&lower));
    let help = match lower.as_str() {
        "a" => "write a link as `[words](address)`".to_owned(),
        "img" => "write a picture as `![what it shows](file)`".to_owned(),
        "p" => "leave an empty line between paragraphs".to_owned(),
        "table" | "tr" | "td" | "th" | "thead" | "tbody" => "write a table with `|` between cells".to_owned(),
        _ => format!("say it in Markdown; these may: {}, {}", IN_LINE.join(", "), ALONE.join(", ")),
    };
    Finding::warning("html-element", message, span, label).help(help)
}

fn attribute(name: &str, written: &str, span: Span) -> Finding {
    let name = name.to_ascii_lowercase();
    let key = written.split('=').next().unwrap_or_default().trim().to_ascii_lowercase();
    let message = format!("the attribute `{}` may not stand there", shown(&key));
    let own = OF_ONE
        .iter()
        .filter(|(element, _)| *element == name)
        .map(|(_, attribute)| format!(", `{attribute}`"));
    let own: String = own.collect();
    Finding::warning("html-attribute", message, span, LEFT_OUT).help(format!(
        "take it out; `{name}` may have `lang`, `dir` ({}){own}, each once",
        DIRECTIONS.join(", ")
    ))
}

/// Places of the attributes that a tag has lost.
fn lost_attributes(written: &str, kept: &str) -> Vec<Range<usize>> {
    let mut kept: Vec<String> = attributes(kept).map(|(name, _)| name.to_owned()).collect();
    let mut lost = Vec::new();
    for (name, range) in attributes(written) {
        match kept.iter().position(|kept| kept.eq_ignore_ascii_case(name)) {
            Some(at) => drop(kept.remove(at)),
            None => lost.push(range),
        }
    }
    lost
}

/// Text between tags with its entities as the characters that they stand for.
fn plain(text: &str) -> String {
    if !text.contains('&') {
        return text.to_owned();
    }
    let clean = LIST.clean(&text.replace('<', "&lt;")).to_string();
    [("&lt;", "<"), ("&gt;", ">"), ("&nbsp;", "\u{a0}"), ("&amp;", "&")]
        .iter()
        .fold(clean, |text, (entity, character)| text.replace(entity, character))
}

/// Where a byte of the lines stands in the file; `ends` tells where each line ends. In a quotation the lines are not one
/// stretch of the file.
fn in_file(lines: &[(CowStr, Range<usize>)], ends: &[usize], at: usize) -> Range<usize> {
    let index = ends.partition_point(|end| *end <= at);
    let Some((line, range)) = lines.get(index) else {
        return lines.last().map_or(0..0, |(_, range)| range.end..range.end);
    };
    let start = ends[index] - line.len();
    match line.len() == range.len() {
        true => range.start + at - start..range.start + at - start + 1,
        false => range.clone(),
    }
}

fn first_line(text: &str, whole: &Range<usize>, file: FileId) -> Span {
    let length = text.find('\n').unwrap_or(text.len()).min(whole.len());
    Span::new(file, whole.start..whole.start + length)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_readme_states_the_list() {
        let readme = include_str!("../../../README.md");
        let list =
            |names: &[&str]| names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
        let words = readme.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(&list(&IN_LINE)), "{}", list(&IN_LINE));
        assert!(words.contains(&list(&ALONE)), "{}", list(&ALONE));
        for attribute in OF_ALL.iter().chain(OF_ONE.iter().map(|(_, attribute)| attribute)) {
            assert!(words.contains(&format!("`{attribute}`")), "{attribute}");
        }
    }

    #[test]
    fn every_element_of_the_list_comes_through_and_no_other_attribute() {
        for name in IN_LINE.iter().chain(&ALONE) {
            let hostile = format!(
                "<{name} lang=de dir=rtl class=x id=x style=x onclick=x href=javascript:x src=x data-x=x>"
            );
            let end = if VOID.contains(name) { String::new() } else { format!("</{name}>") };
            let clean = LIST.clean(&hostile).to_string();
            assert!(
                [
                    format!("<{name} dir=\"rtl\" lang=\"de\">{end}"),
                    format!("<{name} lang=\"de\" dir=\"rtl\">{end}")
                ]
                .contains(&clean),
                "{clean}"
            );
        }
    }
}
