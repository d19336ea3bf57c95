//! LaTeX formulas to MathML.

use std::fmt::Write;
use std::ops::Range;
use std::sync::LazyLock;

use math_core::{LatexToMathML, MathCoreConfig, MathDisplay};
use pulldown_cmark::Event;
use roxmltree::{Document, Node};

use crate::finding::Finding;
use crate::source::{FileId, Span};

/// A converter is made when the first formula of a course is met: courses without one do not pay for it.
static CONVERTER: LazyLock<LatexToMathML> = LazyLock::new(|| {
    LatexToMathML::new(MathCoreConfig::default()).expect("no macros are defined that could fail")
});

/// Commands and opening braces in a formula that is worked on the stack of its caller, and in the largest one that is
/// worked at all. The converter calls itself for each level of nesting, and a formula can nest with each of these.
const ON_THIS_STACK: usize = 20;
const AT_MOST: usize = 800;
/// Measured in an unoptimised build: a level takes up to 40 kB.
const LARGE_STACK: usize = AT_MOST * 64 * 1024;

/// What is wrong with a formula, and where in it.
#[derive(Debug, PartialEq)]
pub struct Problem {
    /// In words, lower case.
    pub message: String,
    /// Bytes of the formula's own text.
    pub range: Range<usize>,
}

/// A formula of a lesson as its `math` element, or as code when it cannot be read, which is a finding at `range` of
/// the lesson's text or nearer.
pub fn event<'s>(
    latex: &str,
    display: bool,
    (file, text): (FileId, &str),
    range: &Range<usize>,
    found: &mut Vec<Finding>,
) -> Event<'s> {
    match mathml(latex, display) {
        Ok(mathml) => Event::InlineHtml(mathml.into()),
        Err(problem) => {
            let marks = if display { 2 } else { 1 };
            let inner = range.start + marks..range.end.saturating_sub(marks).max(range.start + marks);
            // In a quotation the text of a formula is not one stretch of the file, and numbers may have been put in.
            let range = match text.get(inner.clone()) {
                Some(text) if text == latex => {
                    inner.start + problem.range.start..inner.start + problem.range.end
                }
                _ => range.clone(),
            };
            let message = format!("this formula {}", problem.message);
            found.push(
                Finding::error("formula", message, Span::new(file, range), "here")
                    .help("a `$` that is only a sign of money is written `\\$`"),
            );
            Event::Code(latex.to_owned().into())
        }
    }
}

/// The `math` element of a formula.
///
/// Only elements and attributes of MathML come out, and none that the site's content policy would block: the
/// converter writes alignment as inline styles, which become classes here (`math-left`, `math-right`, `math-line`).
pub fn mathml(latex: &str, display: bool) -> Result<String, Problem> {
    let display = if display { MathDisplay::Block } else { MathDisplay::Inline };
    let nesting = latex.bytes().filter(|byte| matches!(byte, b'\\' | b'{')).count();
    let result = match nesting {
        0..=ON_THIS_STACK => convert(latex, display),
        _ if nesting <= AT_MOST => std::thread::scope(|scope| {
            let worker = std::thread::Builder::new().stack_size(LARGE_STACK);
            match worker.spawn_scoped(scope, || convert(latex, display)).map(|worker| worker.join()) {
                Ok(Ok(result)) => result,
                _ => Err(problem("cannot be converted", latex)),
            }
        }),
        _ => Err(problem("is too large; part it into smaller ones", latex)),
    };
    fit_for_page(&result?)
        .ok_or_else(|| problem("uses colours, sizes or signs that formulas of this site cannot show", latex))
}

fn convert(latex: &str, display: MathDisplay) -> Result<String, Problem> {
    match CONVERTER.convert_with_local_state(latex, display) {
        Ok(result) => Ok(result.mathml),
        Err(error) => {
            let message = error.error_message();
            // It repeats a piece of the formula: a backslash at the end of a line is a command of one line break.
            let one_line = |letter: char| if letter.is_control() { ' ' } else { letter };
            let message =
                message.trim_end_matches('.').replace('"', "`").chars().map(one_line).collect::<String>();
            let mut letters = message.chars();
            let message: String =
                letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect();
            Err(Problem { message: format!("cannot be read: {message}"), range: error.0.clone() })
        }
    }
}

fn problem(message: &str, latex: &str) -> Problem {
    Problem { message: message.to_owned(), range: 0..latex.len() }
}

/// Elements that may stand in a formula. The converter is not asked to keep others out: version 0.7 lets
/// `\operatorname{<i>}` through as it is.
const ELEMENTS: &[&str] = &[
    "math",
    "menclose",
    "mfrac",
    "mi",
    "mmultiscripts",
    "mn",
    "mo",
    "mover",
    "mpadded",
    "mphantom",
    "mprescripts",
    "mroot",
    "mrow",
    "ms",
    "mspace",
    "msqrt",
    "mstyle",
    "msub",
    "msubsup",
    "msup",
    "mtable",
    "mtd",
    "mtext",
    "mtr",
    "munder",
    "munderover",
    "none",
];

const ATTRIBUTES: &[&str] = &[
    "accent",
    "accentunder",
    "class",
    "columnalign",
    "columnspan",
    "depth",
    "display",
    "displaystyle",
    "fence",
    "form",
    "height",
    "largeop",
    "linethickness",
    "lspace",
    "mathvariant",
    "maxsize",
    "minsize",
    "movablelimits",
    "notation",
    "rowspan",
    "rspace",
    "scriptlevel",
    "separator",
    "stretchy",
    "style",
    "symmetric",
    "voffset",
    "width",
];

/// The converter's output when nothing but MathML is in it, with styles turned into classes.
fn fit_for_page(mathml: &str) -> Option<String> {
    let document = Document::parse(mathml).ok()?;
    let mut styles = Vec::new();
    for node in document.descendants() {
        if node.is_comment() || node.is_pi() || !(node.is_text() || node.is_root() || is_known(node)) {
            return None;
        }
        for attribute in node.attributes() {
            if attribute.name() == "style" {
                if node.has_attribute("class") {
                    return None;
                }
                styles.push((attribute.range(), classes_of(attribute.value())?));
            }
        }
    }
    let mut out = String::with_capacity(mathml.len());
    let mut done = 0;
    for (range, classes) in styles {
        out.push_str(&mathml[done..range.start]);
        let _ = write!(out, "class=\"{classes}\"");
        done = range.end;
    }
    out.push_str(&mathml[done..]);
    Some(out)
}

fn is_known(node: Node) -> bool {
    ELEMENTS.contains(&node.tag_name().name())
        && node.tag_name().namespace().is_none()
        && node.attributes().all(|attribute| ATTRIBUTES.contains(&attribute.name()))
}

/// Classes in place of the inline style of a table cell; nothing when it says more than that.
fn classes_of(style: &str) -> Option<String> {
    let mut classes = Vec::new();
    for declaration in style.split(';').map(str::trim).filter(|declaration| !declaration.is_empty()) {
        let (property, value) = declaration.split_once(':')?;
        match (property.trim(), value.trim()) {
            ("text-align", "left") => classes.push("math-left"),
            ("text-align", "right") => classes.push("math-right"),
            ("text-align", "center") | ("justify-items" | "padding-left" | "padding-right", _) => {}
            ("padding-top" | "padding-bottom", _) => {}
            ("border-left" | "border-right", _) => classes.push("math-line"),
            _ => return None,
        }
    }
    Some(classes.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_become_mathml() {
        let html = mathml(r"U = I \cdot R", false).expect("a plain formula");
        assert!(html.starts_with("<math><mi>U</mi><mo>=</mo>"), "{html}");
        let html = mathml(r"\frac{1}{2}", true).expect("a fraction");
        assert_eq!(html, "<math display=\"block\"><mfrac><mn>1</mn><mn>2</mn></mfrac></math>");
    }

    #[test]
    fn errors_have_their_place() {
        assert_eq!(
            mathml(r"a + \foo", false),
            Err(Problem { message: "cannot be read: unknown command `\\foo`".to_owned(), range: 4..8 })
        );
    }

    #[test]
    fn alignment_is_a_class() {
        let html =
            mathml(r"\begin{aligned} a &= b \\ c &= d \end{aligned}", true).expect("an aligned formula");
        assert!(
            html.contains("<mtd class=\"math-right\">") && html.contains("<mtd class=\"math-left\">"),
            "{html}"
        );
        assert!(!html.contains(" style="), "{html}");
    }

    #[test]
    fn nothing_but_mathml_comes_out() {
        for latex in [
            r"\operatorname{<i>}",
            r"\operatorname{<script></script>}",
            r"\operatorname{<mi onclick=''></mi>}",
            r"\operatorname{<!-- -->}",
            r"\operatorname{<mi href='x'>y</mi>}",
            r"\color{red} x",
        ] {
            assert!(mathml(latex, false).is_err(), "{latex}");
        }
        assert!(mathml("x < y", false).expect("a comparison").contains("&lt;"));
    }

    #[test]
    fn deep_nesting_is_answered() {
        for part in ["{", r"\hat ", r"\frac{", r"\bar{", r"\left(", r"\begin{matrix}", r"\sqrt["] {
            for count in [10, 100, 700, 100_000] {
                let _ = mathml(&part.repeat(count), true);
                let closed = format!("{}x{}", part.repeat(count), "}".repeat(count));
                let _ = mathml(&closed, true);
            }
        }
        assert!(mathml(&format!("{}x{}", "{".repeat(300), "}".repeat(300)), true).is_ok());
    }
}
