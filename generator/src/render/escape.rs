//! Text that is safe inside HTML, in element content and in double-quoted attributes alike.

/// Adds `text` with the four characters replaced that HTML gives a meaning.
pub fn push(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
}

/// The same as a text of its own.
pub fn text(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    push(&mut out, text);
    out
}
