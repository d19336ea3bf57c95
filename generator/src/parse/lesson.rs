//! Markdown with offsets to the pieces of a lesson.

use std::ops::Range;

use pulldown_cmark::{BrokenLink, CodeBlockKind, Event, LinkType, Options, Parser, Tag, TagEnd};

use super::anchor::{Anchors, address};
use super::course_block::{self, Block, Head, Name, Word};
use super::keys::{Body, Start};
use super::prose::Prose;
use crate::course::{Holds, Lesson, Listing, Outline, Piece, Role};
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span};

const OPTIONS: Options = Options::ENABLE_TABLES
    .union(Options::ENABLE_FOOTNOTES)
    .union(Options::ENABLE_TASKLISTS)
    .union(Options::ENABLE_MATH);

/// The folder of the course whose texts are pages to look something up, and no lessons.
pub const PAGES: &str = "pages/";

/// Reads a lesson or a page. Whatever the text, there is a lesson afterwards; names in it are not bound yet.
pub fn lesson<'s>(file: FileId, path: &str, text: &'s str, allow_html: bool) -> (Lesson<'s>, Vec<Finding>) {
    let mut lost_links = Vec::new();
    let note_lost = |link: BrokenLink<'s>| {
        // `[word]` alone is ordinary text; `[words][name]` was meant as a link.
        if matches!(link.link_type, LinkType::Reference | LinkType::Collapsed) {
            lost_links.push((link.span, link.reference.to_string()));
        }
        None
    };
    let is_page = path.starts_with(PAGES);
    let mut walk = Walk {
        file,
        text,
        is_page,
        head: None,
        pieces: Vec::new(),
        prose: Prose::new(file, text, allow_html),
        code: None,
        depth: 0,
        anchors: Anchors::default(),
        found: Vec::new(),
    };
    for (event, range) in
        Parser::new_with_broken_link_callback(text, OPTIONS, Some(note_lost)).into_offset_iter()
    {
        walk.event(event, range);
    }
    walk.flush();
    for (range, name) in lost_links {
        walk.lost_link(range, &name);
    }
    walk.finish(path)
}

/// Where the walk through the events of a lesson stands.
struct Walk<'s> {
    file: FileId,
    text: &'s str,
    /// Does it stand among the pages that are no lessons?
    is_page: bool,
    head: Option<Head>,
    pieces: Vec<Piece<'s>>,
    prose: Prose<'s>,
    code: Option<Code<'s>>,
    /// How many containers (lists, quotes, tables) are open.
    depth: usize,
    anchors: Anchors,
    found: Vec<Finding>,
}

/// A code block that has been opened.
struct Code<'s> {
    kind: CodeBlockKind<'s>,
    range: Range<usize>,
    code: String,
    /// Bytes of the lesson from its first to its last line.
    body: Option<Range<usize>>,
}

impl<'s> Walk<'s> {
    fn event(&mut self, event: Event<'s>, range: Range<usize>) {
        match event {
            Event::Start(Tag::CodeBlock(kind)) => {
                self.code = Some(Code { kind, range, code: String::new(), body: None });
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some(code) = self.code.take() {
                    self.code_block(code);
                }
            }
            Event::Text(text) if self.code.is_some() => {
                let Some(code) = &mut self.code else { return };
                code.code.push_str(&text);
                code.body = Some(code.body.as_ref().map_or(range.start, |body| body.start)..range.end);
            }
            Event::End(TagEnd::Paragraph) if self.depth == 0 => {
                self.short_fence(range.clone());
                self.table_without_rule(range.clone());
                if let Some(figure) = self.prose.end_paragraph(range, &mut self.anchors, &mut self.found) {
                    self.piece(Piece::Figure(figure));
                }
            }
            Event::End(TagEnd::Heading(level)) => {
                self.prose.end_heading(level, range, &mut self.anchors, &mut self.found);
            }
            Event::Start(tag) => {
                if is_container(tag.to_end()) {
                    self.depth += 1;
                }
                self.prose.push(Event::Start(tag), range, &mut self.found);
            }
            Event::End(tag) => {
                if is_container(tag) {
                    self.depth -= 1;
                }
                self.prose.push(Event::End(tag), range, &mut self.found);
            }
            other => self.prose.push(other, range, &mut self.found),
        }
    }

    fn code_block(&mut self, code: Code<'s>) {
        let span = self.span(code.range.clone());
        let info = match &code.kind {
            CodeBlockKind::Fenced(info) => info.trim().to_owned(),
            CodeBlockKind::Indented => String::new(),
        };
        let (first, rest) = info.split_once(char::is_whitespace).unwrap_or((&info, ""));
        let fence_end =
            self.text[code.range.clone()].find('\n').map_or(code.range.end, |at| code.range.start + at);
        let fence = self.span(code.range.start..fence_end);
        if matches!(code.kind, CodeBlockKind::Fenced(_)) && !is_closed(&self.text[code.range.clone()]) {
            self.found.push(open_fence(fence, "all that follows belongs to it"));
        }
        if matches!(code.kind, CodeBlockKind::Indented) && self.depth == 0 {
            self.indented_fence(&code);
        }
        match course_block::word(first) {
            Word::Known(name) => {
                if !rest.is_empty() {
                    let message = format!("words after `{first}` say nothing");
                    self.found.push(
                        Finding::error("words-after-block", message, fence, "only the first word counts")
                            .help("what a block says stands inside it, as `key = value`"),
                    );
                }
                self.blocks(name, fence, code.body.unwrap_or(fence_end..fence_end));
            }
            Word::Mistyped(word) => self.found.push(
                Finding::error(
                    "unknown-block",
                    format!("there is no `{}` block", shown(first)),
                    fence,
                    "left out",
                )
                .help(format!("did you mean `{word}`? A listing takes the name of a language, or none")),
            ),
            Word::Listing if self.depth == 0 && !self.prose.is_in_html() => {
                let language = first.to_owned();
                self.piece(Piece::Listing(Listing { language, code: code.code, span }));
            }
            Word::Listing => self.prose.push_code(code.kind, code.code, code.range),
        }
    }

    /// The blocks of a stretch that begins as one: where the end of a block was forgotten, the next ones stand in it.
    fn blocks(&mut self, mut name: Name, mut fence: Span, mut body: Range<usize>) {
        while let Some((next, inner)) = swallowed(&self.text[body.clone()]) {
            let inner = body.start + inner.start..body.start + inner.end;
            let inner_fence = self.span(inner.clone());
            self.found.push(
                open_fence(fence, "no end before the next block")
                    .also(inner_fence, "the next block begins here"),
            );
            let before = self.found.len();
            self.course_block(name, self.block(fence, body.start..inner.start));
            // Prose up to the next block is no TOML, and nobody meant it to be.
            let echo = |finding: &Finding| finding.code == "toml" || finding.code == "unknown-key";
            let mut at = 0;
            self.found.retain(|finding| {
                at += 1;
                at <= before || !echo(finding)
            });
            (name, fence, body) = (next, inner_fence, (inner.end + 1).min(body.end)..body.end);
        }
        self.course_block(name, self.block(fence, body));
    }

    /// A block's name behind one mark or two is text to the reader of Markdown, and was meant otherwise.
    fn short_fence(&mut self, paragraph: Range<usize>) {
        let mut start = paragraph.start;
        for line in self.text[paragraph].split('\n') {
            let word = line.trim_end().trim_start_matches('`');
            let marks = line.trim_end().len() - word.len();
            if matches!(marks, 1 | 2) && matches!(course_block::word(word), Word::Known(_)) {
                let span = self.span(start..start + line.trim_end().len());
                let message = format!("this `{word}` block begins with too few marks");
                self.found.push(
                    Finding::error("short-fence", message, span, "shown as plain text")
                        .help(format!("begin it with three: ```{word}, and end it with three")),
                );
            }
            start += line.len() + 1;
        }
    }

    /// Lines between strokes are a table only with a line of dashes below the first; else they are a paragraph.
    fn table_without_rule(&mut self, paragraph: Range<usize>) {
        let mut lines = self.text[paragraph.clone()].lines().map(str::trim);
        let is_row = |line: &str| line.len() > 2 && line.starts_with('|') && line.ends_with('|');
        let (Some(head), Some(second)) = (lines.next(), lines.next()) else { return };
        if is_row(head) && is_row(second) {
            let columns = head.matches('|').count() - 1;
            let span = self.span(paragraph.start..paragraph.start + head.len());
            let rule = "| --- ".repeat(columns);
            self.found.push(
                Finding::warning(
                    "table-without-rule",
                    "this table has no line below its head",
                    span,
                    "shown as plain text",
                )
                .help(format!("write `{rule}|` below this line")),
            );
        }
    }

    /// A line with marks that does not begin at the margin begins no block.
    fn indented_fence(&mut self, code: &Code) {
        let line = code.code.lines().next().unwrap_or_default().trim();
        if let Some(Word::Known(_)) = line.strip_prefix("```").map(|word| course_block::word(word.trim())) {
            let start = code.range.start;
            let end = self.text[start..].find('\n').map_or(self.text.len(), |at| start + at);
            let message = format!("this `{}` block is indented", line.trim_start_matches('`').trim());
            self.found.push(
                Finding::error("short-fence", message, self.span(start..end), "shown as plain text")
                    .help("start its lines at the left margin, without blanks or tabs before them"),
            );
        }
    }

    fn block(&self, fence: Span, body: Range<usize>) -> Block<'s> {
        let at = Start { file: self.file, offset: body.start };
        Block { body: Body { at, text: &self.text[body] }, fence }
    }

    fn course_block(&mut self, name: Name, block: Block<'s>) {
        if self.depth > 0 {
            self.found.push(
                Finding::error(
                    "nested-block",
                    "a block cannot stand inside a list or a quotation",
                    block.fence,
                    "here",
                )
                .help("start its lines at the left margin, and leave an empty line before it"),
            );
        }
        if matches!(name, Name::Lesson | Name::Page) {
            self.head_block(name, block);
            return;
        }
        if name == Name::Homework && self.is_page {
            self.found.push(
                Finding::error(
                    "homework-on-page",
                    "homework stands on a page that is no lesson",
                    block.fence,
                    "left out",
                )
                .help("move it to a lesson: what is handed in belongs to one"),
            );
            return;
        }
        let piece = course_block::piece(name, block, &mut self.anchors, &mut self.found);
        if let Some(piece) = piece.filter(|_| self.depth == 0) {
            self.piece(piece);
        }
    }

    fn head_block(&mut self, name: Name, block: Block<'s>) {
        if (name == Name::Page) != self.is_page {
            let (message, help) = match self.is_page {
                true => (
                    "a file in `pages/` has a `lesson` block",
                    "begin it with a ```page block, or move the file out of `pages/`",
                ),
                false => (
                    "a lesson has a `page` block",
                    "begin it with a ```lesson block, or move the file to `pages/`",
                ),
            };
            self.found
                .push(Finding::error("wrong-head", message, block.fence, "of the other kind").help(help));
        }
        if let Some(head) = &self.head {
            self.found.push(
                Finding::error(
                    "second-lesson-block",
                    if self.is_page {
                        "a page has one `page` block"
                    } else {
                        "a lesson has one `lesson` block"
                    },
                    block.fence,
                    "the second",
                )
                .also(head.span, "the first")
                .help("make it one block, or part the text into two lessons"),
            );
            return;
        }
        if !self.pieces.is_empty() || !self.prose.is_empty() {
            self.found.push(
                Finding::error(
                    "late-lesson-block",
                    if self.is_page {
                        "the `page` block is not first"
                    } else {
                        "the `lesson` block is not first"
                    },
                    block.fence,
                    "text before it",
                )
                .help("move it to the top of the file"),
            );
        }
        self.head = Some(course_block::head(name, block, &mut self.found));
    }

    fn piece(&mut self, piece: Piece<'s>) {
        self.flush();
        self.pieces.push(piece);
    }

    fn flush(&mut self) {
        let mut events = self.prose.take(&mut self.found);
        // Many lessons are held: what a growing list took too much is given back.
        events.shrink_to_fit();
        if !events.is_empty() {
            self.pieces.push(Piece::Prose(events));
        }
    }

    fn lost_link(&mut self, range: Range<usize>, name: &str) {
        let message = format!("there is no link named `{}`", shown(name));
        self.found.push(
            Finding::error("unknown-reference", message, self.span(range), "shown as plain text")
                .help(format!("add a line `[{}]: address`, or write `[words](address)`", shown(name))),
        );
    }

    fn finish(mut self, path: &str) -> (Lesson<'s>, Vec<Finding>) {
        self.prose.check_footnotes(&mut self.found);
        let role = if self.is_page { Role::Page { instructor: false } } else { Role::Lesson };
        let head = self.head.unwrap_or_else(|| {
            let first_line = self.text.find('\n').unwrap_or(self.text.len());
            let span = Span::new(self.file, 0..first_line);
            self.found.push(match role {
                Role::Lesson => Finding::error("no-lesson-block", "this lesson has no `lesson` block", span, "it stands at the top")
                    .help("begin the file with a line ```lesson, then `title = \"…\"`, `summary = \"…\"`, `minutes = 45` and a line ```"),
                Role::Page { .. } => Finding::error("no-page-block", "this page has no `page` block", span, "it stands at the top")
                    .help("begin the file with a line ```page, then `title = \"…\"`, `summary = \"…\"` and a line ```"),
            });
            Head::empty(role, span)
        });
        // A head of the other kind was reported; the folder says what the text is.
        let role = if self.is_page == matches!(head.role, Role::Page { .. }) { head.role } else { role };
        let outline = Outline {
            role,
            file: self.file,
            address: address(path.strip_prefix(PAGES).unwrap_or(path)),
            number: 0,
            module: 0,
            title: head.title,
            summary: head.summary,
            minutes: head.minutes,
            outcomes: head.outcomes,
            teaches: head.teaches,
            before: head.before,
            author: head.author,
            span: head.span,
            headings: self.prose.headings,
            holds: Holds::of(&self.pieces),
        };
        (Lesson { outline, pieces: self.pieces }, self.found)
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range)
    }
}

fn open_fence(fence: Span, why: &str) -> Finding {
    Finding::error("open-fence", "this block is never closed", fence, why)
        .help("put a line with the same marks (```) after its last line")
}

/// The first line of a block's text that begins another block, and which.
fn swallowed(text: &str) -> Option<(Name, Range<usize>)> {
    let mut start = 0;
    for line in text.split('\n') {
        let word = line.strip_prefix("```").map(|rest| rest.trim_start_matches('`').trim());
        if let Some(Word::Known(name)) = word.map(course_block::word) {
            return Some((name, start..start + line.len()));
        }
        start += line.len() + 1;
    }
    None
}

/// Does a block end with its own fence? The parser also ends it with the file or the list it stands in.
fn is_closed(block: &str) -> bool {
    let mark = if block.starts_with('~') { '~' } else { '`' };
    let fence: String = block.chars().take_while(|c| *c == mark).collect();
    let last = block.trim_end().rsplit('\n').next().unwrap_or_default();
    block.trim_end().contains('\n')
        && last.ends_with(&fence)
        && last.trim_start_matches([' ', '\t', '>']).chars().all(|c| c == mark)
}

/// Elements in which nothing has a paragraph to itself on the page.
fn is_container(tag: TagEnd) -> bool {
    !matches!(
        tag,
        TagEnd::Paragraph
            | TagEnd::Heading(_)
            | TagEnd::Emphasis
            | TagEnd::Strong
            | TagEnd::Link
            | TagEnd::Image
            | TagEnd::HtmlBlock
            | TagEnd::CodeBlock
    )
}
