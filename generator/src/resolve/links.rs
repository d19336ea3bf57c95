//! Links of a lesson lead to their place in the site, and its pictures are there.

use std::ops::Range;

use pulldown_cmark::{Event, LinkType, Tag, TagEnd};

use super::pictures::{Asked, Pictures};
use super::target::{Address, Target, Targets, read};
use crate::course::{Lesson, Picture, Piece, plain_text};
use crate::finding::{Finding, shown};
use crate::parse::PAGES;
use crate::site::relative;
use crate::source::{FileId, Span};

/// Binds the links and pictures of a lesson.
pub fn bind(lesson: &mut Lesson, targets: &Targets, pictures: &mut Pictures, found: &mut Vec<Finding>) {
    let Some(source) = targets.sources.text(lesson.file) else { return };
    let Some(own) = targets.lessons.get(source.path.as_str()) else { return };
    let place = Place { path: &source.path, text: &source.text, own, targets };
    let file = lesson.file;
    for piece in &mut lesson.pieces {
        match piece {
            Piece::Figure(figure) => {
                check_alt(&figure.alt, figure.span, found);
                let range = figure.span.start..figure.span.end;
                let span = Span::new(file, place_of(&figure.file.value, &range, &source.text));
                let asked = Asked { address: &figure.file.value, span, page: &own.page };
                figure.picture = pictures.find(&asked, &source.path, Some((&figure.id, &figure.alt)), found);
            }
            Piece::Prose(events) => {
                for index in 0..events.len() {
                    bind_event(events, index, file, &place, pictures, found);
                }
            }
            _ => {}
        }
    }
}

/// Where links are read.
struct Place<'t> {
    path: &'t str,
    text: &'t str,
    own: &'t Target,
    targets: &'t Targets<'t>,
}

type Events<'s> = Vec<(Event<'s>, Range<usize>)>;

fn bind_event(
    events: &mut Events,
    index: usize,
    file: FileId,
    place: &Place,
    pictures: &mut Pictures,
    found: &mut Vec<Finding>,
) {
    let range = events[index].1.clone();
    match &events[index].0 {
        Event::Start(Tag::Link { link_type, .. }) if *link_type == LinkType::Email => {}
        Event::Start(Tag::Link { dest_url, .. }) => {
            let span = Span::new(file, place_of(dest_url, &range, place.text));
            let new = link(dest_url, span, place, pictures, found);
            if let (Some(new), Event::Start(Tag::Link { dest_url, .. })) = (new, &mut events[index].0) {
                *dest_url = new.into();
            }
        }
        Event::Start(Tag::Image { dest_url, .. }) => {
            let span = Span::new(file, place_of(dest_url, &range, place.text));
            let inner = &events[index + 1..];
            let end = inner.iter().position(|(event, _)| matches!(event, Event::End(TagEnd::Image)));
            check_alt(&plain_text(&inner[..end.unwrap_or(0)]), Span::new(file, range), found);
            let asked = Asked { address: dest_url, span, page: &place.own.page };
            let picture = pictures.find(&asked, place.path, None, found);
            if let Event::Start(Tag::Image { dest_url, .. }) = &mut events[index].0 {
                *dest_url = match picture {
                    Some(Picture::File { address, .. }) => address.into(),
                    Some(Picture::Drawing(_)) | None => "".into(),
                };
            }
        }
        _ => {}
    }
}

/// The address itself in the text of a link, so that it is what is underlined.
fn place_of(address: &str, range: &Range<usize>, text: &str) -> Range<usize> {
    let whole = text.get(range.clone()).unwrap_or_default();
    match whole.rfind(address) {
        Some(at) if !address.is_empty() => range.start + at..range.start + at + address.len(),
        _ => range.clone(),
    }
}

fn check_alt(alt: &str, span: Span, found: &mut Vec<Finding>) {
    if alt.trim().is_empty() {
        found.push(
            Finding::error("missing-alt", "this picture is not described in words", span, "nothing between `[` and `]`")
                .help("write what it shows for a reader who cannot see it: `![The clamp around the return lead](…)`"),
        );
    }
}

/// The link as it stands in the page, when it differs from what is written.
fn link(
    address: &str,
    span: Span,
    place: &Place,
    pictures: &mut Pictures,
    found: &mut Vec<Finding>,
) -> Option<String> {
    let (path, anchor) = match read(address, place.path) {
        Address::Outside => return None,
        Address::Refused(problem, help) => {
            let message = match address.trim() {
                "" => format!("this link {problem}"),
                address => format!("the link `{}` {problem}", shown(address)),
            };
            found.push(Finding::error("refused-link", message, span, "refused").help(help));
            // Not even a page that is shown with its mistakes leads there.
            return Some("#".to_owned());
        }
        Address::Inside { path, anchor } => (path, anchor),
    };
    if path.is_empty() {
        check_anchor(anchor.as_deref(), place.own, place.path, span, found);
        return None;
    }
    // Pages to look something up are reached as if they lay beside the lessons.
    let beside = format!("{PAGES}{path}");
    let target = place.targets.lessons.get(path.as_str()).or_else(|| place.targets.lessons.get(&*beside));
    if let Some(target) = target {
        check_anchor(anchor.as_deref(), target, &path, span, found);
        let mut way = relative(&place.own.page, &target.page);
        if let Some(anchor) = anchor {
            way.push('#');
            way.push_str(&anchor);
        }
        return Some(way);
    }
    if let Some(site_path) = pictures.publish(&path) {
        return Some(relative(&place.own.page, &site_path));
    }
    let known = place.targets.lessons.keys().copied();
    let assets = place.targets.sources.assets.iter().map(|asset| asset.path.as_str());
    let mut finding =
        Finding::error("dead-link", format!("there is no `{}`", shown(&path)), span, "leads nowhere");
    if path.ends_with(".html") {
        finding = finding
            .help("link to the file of the lesson, such as `20-joints.md`; its page is found from there");
    }
    found.push(finding.near(&path, known.chain(assets)));
    None
}

fn check_anchor(anchor: Option<&str>, target: &Target, path: &str, span: Span, found: &mut Vec<Finding>) {
    let is_there = |anchor: &str| target.anchors.contains(anchor) || target.words.contains(anchor);
    let Some(anchor) = anchor.filter(|anchor| !anchor.is_empty() && !is_there(anchor)) else {
        return;
    };
    if !target.words.is_empty() {
        let message = format!("the glossary has no word `{}`", shown(anchor));
        found.push(
            Finding::error("unknown-word", message, span, "leads to the top of the page")
                .near(anchor, target.words.iter().map(String::as_str))
                .help("add it to `glossary.toml`; its anchor is the word in small letters, with hyphens"),
        );
        return;
    }
    let mut finding = Finding::error(
        "dead-anchor",
        format!("`{}` has no anchor `{}`", shown(path), shown(anchor)),
        span,
        "leads to the top of the page",
    )
    .near(anchor, target.anchors.iter().map(String::as_str));
    if finding.help.is_empty() {
        let some: Vec<_> = target.anchors.iter().take(8).map(|anchor| format!("`#{anchor}`")).collect();
        finding = finding.help(match some.len() {
            0 => "it has no headings to lead to".to_owned(),
            _ => format!("some of its anchors: {}", some.join(", ")),
        });
    }
    found.push(finding);
}
