//! The path that a request asks for, read without trust.
//!
//! Files are looked up in a list in memory, so nothing outside the site can be reached in any case. What tries to all
//! the same is refused with its reason, before the look-up.

use std::fmt;

/// A browser's own links are far shorter.
const LONGEST: usize = 2048;

/// Why a request is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Not a path that begins with a slash.
    NoPath,
    /// Longer than any address of a site.
    TooLong,
    /// An escape that is none, an escape of an escape, or bytes that are no text.
    Escape,
    /// A character that no address of a site has: a backslash, an escaped slash, a control character.
    Character,
    /// A step up, a step to the same place, or no name between two slashes.
    Step,
}

impl Refusal {
    /// The status of the answer.
    pub fn status(self) -> u16 {
        match self {
            Refusal::TooLong => 414,
            Refusal::NoPath | Refusal::Escape | Refusal::Character | Refusal::Step => 400,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Refusal::NoPath => "An address here begins with a slash.",
            Refusal::TooLong => "This address is too long.",
            Refusal::Escape => "This address has an escape that cannot be read.",
            Refusal::Character => "This address has a character that no page has.",
            Refusal::Step => "This address leads up or has an empty name.",
        })
    }
}

/// The path of the file that is asked for, below the site's folder; a folder stands for its `index.html`.
pub fn path(target: &str) -> Result<String, Refusal> {
    if target.len() > LONGEST {
        return Err(Refusal::TooLong);
    }
    let plain = target.split(['?', '#']).next().unwrap_or_default();
    let below = plain.strip_prefix('/').ok_or(Refusal::NoPath)?;
    let mut names = Vec::new();
    let mut rest = below.split('/').peekable();
    while let Some(name) = rest.next() {
        let is_last = rest.peek().is_none();
        names.push(match name {
            "" if is_last => "index.html".to_owned(),
            name => self::name(name)?,
        });
    }
    Ok(names.join("/"))
}

/// The value of a key in the part after `?`, unescaped.
pub fn query(target: &str, key: &str) -> Option<String> {
    let (_, query) = target.split_once('?')?;
    let value = query.split('&').find_map(|pair| pair.split_once('=').filter(|(name, _)| *name == key))?.1;
    unescaped(value).ok()
}

/// One name of a path.
fn name(escaped: &str) -> Result<String, Refusal> {
    let name = unescaped(escaped)?;
    if name.contains('%') {
        return Err(Refusal::Escape);
    }
    if name.contains(['/', '\\']) || name.chars().any(char::is_control) {
        return Err(Refusal::Character);
    }
    // Some systems drop dots and blanks at the end of a name, so `.. ` would be a step up there.
    if name.trim_end_matches(['.', ' ']).is_empty() {
        return Err(Refusal::Step);
    }
    Ok(name)
}

fn unescaped(text: &str) -> Result<String, Refusal> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let mut digit = || rest.next().and_then(|digit| char::from(digit).to_digit(16));
        let (Some(high), Some(low)) = (digit(), digit()) else { return Err(Refusal::Escape) };
        bytes.push((high * 16 + low) as u8);
    }
    String::from_utf8(bytes).map_err(|_| Refusal::Escape)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_of_pages_are_read() {
        for (target, wanted) in [
            ("/", "index.html"),
            ("/cables/", "cables/index.html"),
            ("/cables/joints.html?c=1#steps", "cables/joints.html"),
            ("/a%20b/%C3%BC.html", "a b/ü.html"),
            ("/.well-known/x", ".well-known/x"),
        ] {
            assert_eq!(path(target).as_deref(), Ok(wanted), "{target}");
        }
    }

    #[test]
    fn a_query_is_read_by_its_key() {
        let target = "/_preview/events?page=%2Fa%2Fb.html&shown=12";
        assert_eq!(query(target, "page").as_deref(), Some("/a/b.html"));
        assert_eq!(query(target, "shown").as_deref(), Some("12"));
        assert_eq!(query(target, "other"), None);
        assert_eq!(query("/x?page=%f", "page"), None);
    }
}
