//! SVG drawings: checked against a list of what a drawing may have, and written anew so that nothing else gets through.

mod allowed;
#[cfg(test)]
mod tests;

use fieldcoil_calc::view::escape;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

use allowed::{ATTRIBUTES, ELEMENTS, IDLE, LOOKS};
use roxmltree::{Attribute, Document, Node, NodeType, ParsingOptions};

use crate::finding::{Finding, shown};
use crate::source::{FileId, Span};

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// A drawing with more parts makes its page slow.
const MOST_NODES: u32 = 20_000;
const DEEPEST: usize = 60;
/// Names of styles that are told as left out; the rest are of their kind.
const MOST_DROPPED: usize = 6;

/// A drawing that has been checked, ready to be put into any page.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The attributes and content of the `svg` element, cut wherever an identifier needs the page's prefix.
    parts: Vec<String>,
    /// Does it tell at length what it shows?
    described: bool,
}

impl Drawing {
    /// The `svg` element for a page, its identifiers made unique by `id`; `alt` says what it shows.
    pub fn in_page(&self, id: &str, alt: &str) -> String {
        let mut out = String::from("<svg role=\"img\" aria-label=\"");
        escape(&mut out, alt);
        out.push('"');
        if self.described {
            out.push_str(" aria-describedby=\"");
            escape(&mut out, id);
            out.push_str("-desc\"");
        }
        out.push_str(&self.parts.join(&format!("{id}-")));
        out
    }
}

/// The drawings of a course: each is checked once, however often it is shown.
#[derive(Debug, Default)]
pub struct Drawings {
    checked: Mutex<BTreeMap<FileId, Arc<Checked>>>,
}

/// A drawing, unless it is unfit, and what was found in it.
type Checked = (Option<Drawing>, Vec<Finding>);

impl Drawings {
    /// The drawing in this text.
    pub fn checked(&self, file: FileId, text: &str) -> Arc<Checked> {
        let known = || self.checked.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(checked) = known().get(&file) {
            return Arc::clone(checked);
        }
        let mut found = Vec::new();
        let checked = Arc::new((clean(file, text, &mut found), found));
        known().insert(file, Arc::clone(&checked));
        checked
    }
}

/// Checks a drawing; every problem is a finding in the drawing's own file.
fn clean(file: FileId, text: &str, found: &mut Vec<Finding>) -> Option<Drawing> {
    let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(error) => {
            found.push(not_xml(file, text, &error));
            return None;
        }
    };
    let root = document.root_element();
    let mut cleaner = Cleaner {
        file,
        found: Vec::new(),
        parts: vec![String::new()],
        ids: identifiers(&document),
        using: using(&document),
        described: false,
        dropped: Vec::new(),
    };
    if !is_svg(root) || root.tag_name().name() != "svg" {
        let span = cleaner.tag_span(root);
        cleaner.found.push(
            Finding::error(
                "broken-drawing",
                "this file is no SVG drawing",
                span,
                "an `svg` element is wanted here",
            )
            .help("save it as plain SVG"),
        );
    } else {
        if root.attribute("viewBox").is_none() {
            let span = cleaner.tag_span(root);
            cleaner.found.push(
                Finding::error(
                    "no-view-box",
                    "this drawing has no `viewBox`",
                    span,
                    "it cannot grow and shrink",
                )
                .help("add viewBox=\"0 0 width height\""),
            );
        }
        cleaner.check_ids(&document);
        cleaner.attributes(root);
        cleaner.children(root, 1);
        cleaner.write("</svg>");
    }
    cleaner.report_dropped(root);
    let fit = !cleaner.found.iter().any(Finding::is_error);
    found.append(&mut cleaner.found);
    fit.then_some(Drawing { parts: cleaner.parts, described: cleaner.described })
}

fn not_xml(file: FileId, text: &str, error: &roxmltree::Error) -> Finding {
    let position = error.pos();
    let line_start: usize =
        text.split_inclusive('\n').take(position.row.saturating_sub(1) as usize).map(str::len).sum();
    let rest = text.get(line_start..).unwrap_or_default();
    let column: usize = rest.chars().take(position.col.saturating_sub(1) as usize).map(char::len_utf8).sum();
    let at = line_start + column;
    // The position at the end of the parser's own sentence is shown as the place.
    let words = error.to_string();
    let words = shown(words.split(" at ").next().unwrap_or_default());
    Finding::error(
        "broken-drawing",
        format!("this drawing cannot be read: {words}"),
        Span::new(file, at..at),
        "here",
    )
    .help("save it anew as plain SVG, without a document type")
}

/// Every identifier with the element that has it first.
fn identifiers<'d>(document: &'d Document) -> BTreeMap<&'d str, Node<'d, 'd>> {
    let mut ids = BTreeMap::new();
    for node in document.descendants() {
        if let Some(id) = node.attribute("id") {
            ids.entry(id).or_insert(node);
        }
    }
    ids
}

/// Every `use`, and all that it is in.
fn using(document: &Document) -> BTreeSet<usize> {
    let mut using = BTreeSet::new();
    for node in document.descendants().filter(|node| node.tag_name().name() == "use") {
        // What is around one that is known is known as well.
        for around in node.ancestors() {
            if !using.insert(around.id().get_usize()) {
                break;
            }
        }
    }
    using
}

fn is_svg(node: Node) -> bool {
    node.tag_name().namespace() == Some(SVG)
}

/// Writes the drawing anew while it is checked.
struct Cleaner<'d> {
    file: FileId,
    found: Vec<Finding>,
    parts: Vec<String>,
    ids: BTreeMap<&'d str, Node<'d, 'd>>,
    using: BTreeSet<usize>,
    described: bool,
    dropped: Vec<String>,
}

impl<'d> Cleaner<'d> {
    fn element(&mut self, node: Node<'d, 'd>, depth: usize) {
        let name = node.tag_name().name();
        // What drawing programs keep for themselves stands in a namespace of their own, or is data about data.
        if !is_svg(node) || name == "metadata" {
            return;
        }
        if !ELEMENTS.contains(&name) {
            let span = self.tag_span(node);
            self.found.push(
                Finding::error("drawing-element", format!("a drawing cannot have `{}`", shown(name)), span, "refused")
                    .help("a drawing is shapes and text alone: no scripts, styles, animation, links or pictures in it"),
            );
            return;
        }
        if depth > DEEPEST {
            let span = self.tag_span(node);
            self.found.push(
                Finding::error("drawing-element", "this drawing nests too deeply", span, "too deep")
                    .help("ungroup what need not be grouped"),
            );
            return;
        }
        // The words beside the picture in the lesson say what it shows; a title would pop up over it.
        let of_root = depth == 1;
        if name == "title" || (name == "desc" && (!of_root || self.described)) {
            return;
        }
        self.write("<");
        self.write(name);
        if name == "desc" {
            self.described = true;
            self.write(" id=\"");
            self.cut();
            self.write("desc\"");
            self.write(">");
        } else {
            self.attributes(node);
        }
        self.children(node, depth + 1);
        self.write("</");
        self.write(name);
        self.write(">");
    }

    fn children(&mut self, node: Node<'d, 'd>, depth: usize) {
        let keeps_text = matches!(node.tag_name().name(), "text" | "tspan" | "textPath" | "desc");
        for child in node.children() {
            match child.node_type() {
                NodeType::Element => self.element(child, depth),
                NodeType::Text if keeps_text => self.write_escaped(child.text().unwrap_or_default()),
                _ => {}
            }
        }
    }

    /// Writes the attributes that may stay, and the end of the tag.
    fn attributes(&mut self, node: Node<'d, 'd>) {
        let mut given = Vec::new();
        for attribute in node.attributes() {
            let name = attribute.name();
            let href = name == "href" && matches!(attribute.namespace(), None | Some(XLINK));
            if attribute.namespace().is_some() && !href {
                continue;
            }
            if name == "style" {
                self.styles(node, attribute);
            } else if href || ATTRIBUTES.contains(&name) || LOOKS.contains(&name) {
                // `href` and `xlink:href` may both be there and say the same.
                if !given.contains(&name) {
                    given.push(name);
                    self.attribute(name, attribute.value(), attribute);
                }
            } else if !IDLE.contains(&name) && !name.starts_with("aria-") && !name.starts_with("data-") {
                let span = self.attribute_span(attribute);
                let message = format!("a drawing cannot have the attribute `{}`", shown(name));
                self.found.push(
                    Finding::error("drawing-attribute", message, span, "refused")
                        .help("take it out; attributes that say how a shape looks may stay"),
                );
            }
        }
        self.write(">");
    }

    /// The properties of a `style` as attributes: the site's content policy has no inline styles.
    fn styles(&mut self, node: Node<'d, 'd>, attribute: Attribute<'d, 'd>) {
        for declaration in attribute.value().split(';') {
            let Some((property, value)) = declaration.split_once(':') else { continue };
            let (property, value) = (property.trim(), value.trim());
            if LOOKS.contains(&property) {
                // A style wins over an attribute of the same name.
                if node.attribute(property).is_none() {
                    self.attribute(property, value, attribute);
                }
            } else if !property.starts_with('-')
                && self.dropped.len() < MOST_DROPPED
                && !self.dropped.iter().any(|known| known == property)
            {
                self.dropped.push(property.to_owned());
            }
        }
    }

    fn attribute(&mut self, name: &str, value: &str, origin: Attribute<'d, 'd>) {
        self.write(" ");
        self.write(name);
        self.write("=\"");
        if name == "id" {
            self.cut();
            self.write_escaped(value);
        } else if name == "href" {
            match value.strip_prefix('#').filter(|id| self.ids.contains_key(id)) {
                Some(id) => {
                    self.write("#");
                    self.cut();
                    self.write_escaped(id);
                    self.check_use(id, origin);
                }
                None => self.outside(value, origin),
            }
        } else if value.to_ascii_lowercase().contains("url(") {
            let id = value
                .trim()
                .strip_prefix("url(")
                .and_then(|rest| rest.strip_suffix(')'))
                .map(|inner| inner.trim_matches(['"', '\'', ' ']))
                .and_then(|inner| inner.strip_prefix('#'))
                .filter(|id| self.ids.contains_key(id));
            match id {
                Some(id) => {
                    self.write("url(#");
                    self.cut();
                    self.write_escaped(id);
                    self.write(")");
                }
                None => self.outside(value, origin),
            }
        } else {
            self.write_escaped(value);
        }
        self.write("\"");
    }

    fn outside(&mut self, value: &str, origin: Attribute<'d, 'd>) {
        let span = self.attribute_span(origin);
        let message = format!("`{}` is nothing inside this drawing", shown(value));
        self.found.push(
            Finding::error("drawing-reference", message, span, "refused")
                .help("refer to an `id` of the same drawing, as in \"#arrow\" or \"url(#arrow)\""),
        );
    }

    /// A `use` of a `use` of a `use` can draw a thousand million shapes from ten lines.
    fn check_use(&mut self, id: &str, origin: Attribute<'d, 'd>) {
        let Some(target) = self.ids.get(id) else { return };
        if self.using.contains(&target.id().get_usize()) {
            let span = self.attribute_span(origin);
            let message = format!("`{}` has a `use` in it", shown(id));
            self.found.push(
                Finding::error("drawing-reference", message, span, "a `use` of a `use` is refused")
                    .help("draw the shape where it is used"),
            );
        }
    }

    fn check_ids(&mut self, document: &'d Document<'d>) {
        for node in document.descendants() {
            let attribute = node.attributes().find(|attribute| attribute.name() == "id");
            let Some(attribute) = attribute.filter(|attribute| attribute.namespace().is_none()) else {
                continue;
            };
            let id = attribute.value();
            let second = self.ids.get(id).is_some_and(|first| *first != node);
            if second || id.is_empty() || id.contains(char::is_whitespace) {
                let span = self.attribute_span(attribute);
                let message = match second {
                    true => format!("two parts of this drawing have the `id` `{}`", shown(id)),
                    false => format!("`{}` cannot be an `id`", shown(id)),
                };
                self.found.push(
                    Finding::error("drawing-attribute", message, span, "here")
                        .help("give it an `id` of its own"),
                );
            }
        }
    }

    fn report_dropped(&mut self, root: Node<'d, 'd>) {
        if self.dropped.is_empty() {
            return;
        }
        let names: Vec<_> = self.dropped.iter().map(|name| format!("`{}`", shown(name))).collect();
        let span = self.tag_span(root);
        self.found.push(
            Finding::hint("drawing-style", format!("styles left out: {}", names.join(", ")), span, "in this drawing")
                .help("they have no attribute of the same name; look whether the drawing still shows what it should"),
        );
    }

    /// Ends a part: the prefix of the page goes here.
    fn cut(&mut self) {
        self.parts.push(String::new());
    }

    fn write(&mut self, text: &str) {
        if let Some(part) = self.parts.last_mut() {
            part.push_str(text);
        }
    }

    fn write_escaped(&mut self, text: &str) {
        if let Some(part) = self.parts.last_mut() {
            escape(part, text);
        }
    }

    fn attribute_span(&self, attribute: Attribute<'d, 'd>) -> Span {
        Span::new(self.file, attribute.range())
    }

    fn tag_span(&self, node: Node<'d, 'd>) -> Span {
        let start = node.range().start;
        let text = node.document().input_text();
        let name = text[start..].find([' ', '>', '\n', '/', '\t']).unwrap_or(1);
        Span::new(self.file, start..start + name)
    }
}
