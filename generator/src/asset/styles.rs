//! All styles as one file, in the order of their layers.

use super::embedded::{theme, theme_below};

/// The layers in order, each in a file of its name but `components`, which is a folder.
///
/// The order stands in `css/main.css`, which is the first part of the result; the order of the files is then free,
/// and this one puts the rules that a first screen needs first.
pub(super) fn joined() -> String {
    let mut out = String::new();
    for path in ["css/main.css", "css/reset.css", "css/tokens.css", "css/base.css", "css/layout.css"] {
        squeeze(&mut out, theme(path));
    }
    let mut components = String::new();
    for (_, text) in theme_below("css/components/") {
        squeeze(&mut components, text);
    }
    // Each component's file opens its layer and closes it again; side by side they are one.
    out.push_str(&components.replace("}@layer components{", ""));
    squeeze(&mut out, theme("css/print.css"));
    out
}

/// Adds `css` without comments and idle blanks: those are for whoever writes the theme. Strings stay as they are.
fn squeeze(out: &mut String, css: &str) {
    let mut rest = css;
    while let Some(at) = rest.find(['"', '/', ' ', '\n']) {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        if rest.starts_with("/*") {
            rest = rest.split_once("*/").map_or("", |(_, after)| after);
        } else if rest.starts_with('"') {
            let end = rest[1..].find('"').map_or(rest.len(), |end| end + 2);
            out.push_str(&rest[..end]);
            rest = &rest[end..];
        } else if rest.starts_with('/') {
            out.push('/');
            rest = &rest[1..];
        } else {
            rest = rest.trim_start();
            // A blank parts words; beside these characters it says nothing. It does beside `+`, `-` and `(`.
            let idle = |c: char| matches!(c, '{' | '}' | ';' | ',' | '>');
            if !(out.is_empty() || out.ends_with(idle) || out.ends_with([':', ' ']) || rest.starts_with(idle))
            {
                out.push(' ');
            }
        }
        if rest.starts_with('}') && out.ends_with(';') {
            out.pop();
        }
    }
    out.push_str(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_indentation_are_left_out() {
        let mut out = String::new();
        squeeze(
            &mut out,
            "/* a */\n@layer base {\n    p > b, i { margin: 0 1px; } /* b\n c */\n  a { width: calc(1px + 2px); }\n}\n",
        );
        assert_eq!(out, "@layer base{p>b,i{margin:0 1px}a{width:calc(1px + 2px)}}");
    }

    #[test]
    fn strings_are_kept() {
        let mut out = String::new();
        squeeze(&mut out, "p::before { content: \"a  /* b */ ; }\" / \"\"; }");
        assert_eq!(out, "p::before{content:\"a  /* b */ ; }\" / \"\"}");
    }

    #[test]
    fn styles_fetch_nothing_and_balance() {
        let styles = joined();
        assert!(!styles.contains("@import"));
        assert!(
            !styles.contains("http://")
                || styles.matches("http://").count() == styles.matches("http://www.w3.org/2000/svg").count()
        );
        assert!(!styles.contains("https:"));
        assert_eq!(styles.matches('{').count(), styles.matches('}').count());
        // What `main.css` orders, and each layer opened once: else a part would end up in the one before.
        for layer in ["reset", "tokens", "base", "layout", "components", "print"] {
            assert_eq!(styles.matches(&format!("@layer {layer}{{")).count(), 1, "{layer}");
        }
    }
}
