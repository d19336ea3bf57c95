//! Code listings: text with one-letter classes, told apart by the scopes that the syntax definitions give.

use std::collections::BTreeMap;
use std::sync::{LazyLock, Mutex, PoisonError};

use syntect::parsing::{ParseState, Scope, ScopeStack, SyntaxReference, SyntaxSet};
use syntect::util::LinesWithEndings;

use super::escape;

/// Longer listings stay plain: the patterns take milliseconds a kilobyte, and no lesson prints that much code.
const MOST_HIGHLIGHTED: usize = 64 * 1024;

/// Loaded when the first listing of a run is met; a course without listings pays nothing.
static SYNTAXES: LazyLock<SyntaxSet> = LazyLock::new(SyntaxSet::load_defaults_newlines);

/// Scopes and their classes; the innermost scope that has one wins, and of two that fit the first.
static CLASSES: LazyLock<Vec<(Scope, &'static str)>> = LazyLock::new(|| {
    let pairs = [
        ("comment", "c"),
        ("string", "s"),
        ("constant.numeric", "n"),
        ("constant", "l"),
        ("keyword", "k"),
        ("storage", "k"),
        ("entity.name", "e"),
        ("variable.function", "f"),
        ("support", "f"),
    ];
    pairs.map(|(scope, class)| (Scope::new(scope).expect("short and dotted"), class)).into()
});

/// Listings already made, by language and code: the same example often stands in several lessons.
static MADE: LazyLock<Mutex<BTreeMap<(String, String), String>>> = LazyLock::new(Mutex::default);

/// A listing's code as HTML.
pub fn html(language: &str, code: &str) -> String {
    let key = (language.to_owned(), code.to_owned());
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    made.entry(key)
        .or_insert_with(|| highlighted(language, code).unwrap_or_else(|| escape::text(code)))
        .clone()
}

/// With classes, or nothing when the language is not known or its patterns fail.
fn highlighted(language: &str, code: &str) -> Option<String> {
    if language.is_empty() || code.len() > MOST_HIGHLIGHTED {
        return None;
    }
    let syntax = SYNTAXES.find_syntax_by_token(language)?;
    if syntax.name == "Plain Text" { None } else { classed(syntax, code) }
}

fn classed(syntax: &SyntaxReference, code: &str) -> Option<String> {
    let mut state = ParseState::new(syntax);
    let mut stack = ScopeStack::new();
    let mut out = Spans::default();
    for line in LinesWithEndings::from(code) {
        let mut at = 0;
        for (index, change) in state.parse_line(line, &SYNTAXES).ok()? {
            out.add(&line[at..index], class(&stack));
            at = index;
            stack.apply(&change).ok()?;
        }
        out.add(&line[at..], class(&stack));
    }
    Some(out.done())
}

fn class(stack: &ScopeStack) -> &'static str {
    let of_scope =
        |scope: &Scope| CLASSES.iter().find(|(prefix, _)| prefix.is_prefix_of(*scope)).map(|pair| pair.1);
    stack.as_slice().iter().rev().find_map(of_scope).unwrap_or_default()
}

/// Text in spans; neighbours of one class share a span, and no span holds a line's end.
#[derive(Default)]
struct Spans {
    html: String,
    open: &'static str,
}

impl Spans {
    fn add(&mut self, text: &str, class: &'static str) {
        let body = text.trim_end_matches(['\n', '\r']);
        // A blank is never worth a span of its own.
        let class = if body.trim().is_empty() { self.open } else { class };
        if !body.is_empty() {
            self.change_to(class);
            fieldcoil_calc::view::escape(&mut self.html, body);
        }
        if body.len() < text.len() {
            self.change_to("");
            self.html.push('\n');
        }
    }

    fn change_to(&mut self, class: &'static str) {
        if self.open == class {
            return;
        }
        if !self.open.is_empty() {
            self.html.push_str("</span>");
        }
        if !class.is_empty() {
            self.html.push_str("<span class=\"");
            self.html.push_str(class);
            self.html.push_str("\">");
        }
        self.open = class;
    }

    fn done(mut self) -> String {
        self.change_to("");
        self.html
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_one_letter_and_text_is_escaped() {
        let html = html("rust", "// U < 5 V & \"rising\"\nlet drop = 0.25; // ohm\n");
        assert!(
            html.starts_with("<span class=\"c\">// U &lt; 5 V &amp; &quot;rising&quot;</span>\n"),
            "{html}"
        );
        assert!(html.contains("<span class=\"k\">let"), "{html}");
        assert!(html.contains("<span class=\"n\">0.25</span>"), "{html}");
        assert!(html.ends_with("ohm</span>\n"), "{html}");
    }

    #[test]
    fn unknown_languages_stay_plain_text() {
        assert_eq!(html("no-such-language", "<b>&</b>"), "&lt;b&gt;&amp;&lt;/b&gt;");
        assert_eq!(html("", "a < b"), "a &lt; b");
    }

    #[test]
    fn nothing_of_the_code_is_lost() {
        let code = "def f(x):\n    return \"<\" + x  # done\n\n\nprint(f('&'))";
        let html = html("python", code);
        let mut text = String::new();
        let mut inside = false;
        for c in html.chars() {
            match c {
                '<' => inside = true,
                '>' => inside = false,
                c if !inside => text.push(c),
                _ => {}
            }
        }
        let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
        assert_eq!(text.replace("&amp;", "&"), code);
    }
}
