//! The first mistake in the spelling of a TOML text, in words for its writer.

use std::ops::Range;

use toml::de::Error;

/// A mistake in spelling.
#[derive(Debug, PartialEq)]
pub struct Slip {
    /// What is wrong.
    pub message: String,
    /// Where.
    pub place: Range<usize>,
    /// What to do.
    pub help: &'static str,
    /// The lines to leave out, so that the rest can be read.
    pub lines: Range<usize>,
}

/// The first of the parser's errors; those after it are often its echoes.
pub fn first(text: &str, errors: &[Error]) -> Option<Slip> {
    let start = |error: &Error| error.span().map_or(0, |span| span.start);
    let error = errors.iter().min_by_key(|error| start(error))?;
    let message = error.message();
    let at = error.span().unwrap_or(0..0);
    let at =
        text.floor_char_boundary(at.start.min(text.len()))..text.ceil_char_boundary(at.end.min(text.len()));

    // A list that is never closed is told at its bracket, not at whatever happens to follow.
    let open = errors.iter().any(|error| error.message().starts_with("unclosed array"));
    if let Some(bracket) = text[..at.start].rfind('[').filter(|_| open) {
        return Some(Slip {
            message: "this list is never closed".to_owned(),
            place: bracket..bracket + 1,
            help: "a list ends with a bracket: key = [\"one\", \"two\"]",
            lines: lines(text, bracket..bracket + 1),
        });
    }
    let (message, help) = match message {
        "duplicate key" => {
            ("this is given twice".to_owned(), "keep one of the two, or write `[[` … `]]` for each of many")
        }
        _ => (format!("not TOML: {message}"), help(message)),
    };
    let lines = lines(text, at.clone());
    Some(Slip { message, help, lines, place: at })
}

fn help(message: &str) -> &'static str {
    if message.contains("string") {
        "text stands in straight quotes: key = \"text\""
    } else if message.contains("array") {
        "a list stands in brackets with commas: key = [\"one\", \"two\"]"
    } else {
        "a line is `key = value`; text stands in quotes, numbers do not"
    }
}

/// The whole lines around a place; with the head of a table, all that stands under it, or its keys would be taken for
/// those of the table before.
fn lines(text: &str, place: Range<usize>) -> Range<usize> {
    let start = text[..place.start].rfind('\n').map_or(0, |at| at + 1);
    let end = text[place.end..].find('\n').map_or(text.len(), |at| place.end + at);
    if !text[start..end].trim_start().starts_with('[') {
        return start..end;
    }
    let next = text[end..].match_indices("\n[").map(|(at, _)| end + at).next();
    start..next.unwrap_or(text.len())
}

/// Makes a stretch blank; all else keeps its place.
pub fn blank(text: &mut String, lines: Range<usize>) {
    let blank: String =
        text[lines.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(lines, &blank);
}

#[cfg(test)]
mod tests {
    use toml::de::DeTable;

    use super::*;

    fn slip(text: &str) -> Slip {
        first(text, &DeTable::parse_recoverable(text).1).expect("there is one")
    }

    #[test]
    fn a_list_that_is_never_closed_is_told_at_its_bracket() {
        let text = "a = 1\nb = [\"x\"\nc = 2\n";
        assert_eq!(slip(text).place, 10..11);
        assert_eq!(slip(text).lines, 6..14);
    }

    #[test]
    fn a_broken_head_takes_its_table_with_it() {
        let text = "[[run]]\na = 1\n[[run]\na = 2\nb = 3\n[[run]]\na = 4\n";
        assert_eq!(&text[slip(text).lines], "[[run]\na = 2\nb = 3");
    }

    #[test]
    fn blanking_keeps_every_place() {
        let mut text = "a\nüß\nb".to_owned();
        blank(&mut text, 2..6);
        assert_eq!(text, "a\n    \nb");
    }
}
