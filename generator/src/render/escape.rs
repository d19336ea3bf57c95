//! Text that is safe inside HTML, in element content and in double-quoted attributes alike.

use fieldcoil_calc::view::escape;

/// A text with the four characters replaced that HTML gives a meaning.
pub fn text(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    escape(&mut out, text);
    out
}
