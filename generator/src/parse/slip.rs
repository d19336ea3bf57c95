//! The first mistake in the spelling of a TOML text, in words for its writer.

use std::ops::Range;

use toml::de::Error;

use super::spelling;

/// A mistake in spelling.
#[derive(Debug, PartialEq)]
pub struct Slip {
    /// What is wrong.
    pub message: String,
    /// Where.
    pub place: Range<usize>,
    /// What to do.
    pub help: String,
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
        let line = line_at(text, bracket..bracket + 1);
        let head = text[line.clone()].trim();
        if head.starts_with("[[") && head.ends_with(']') {
            return Some(Slip {
                message: "a bracket of this head is missing".to_owned(),
                place: line.clone(),
                help: format!("write `[[{}]]`", head.trim_matches(['[', ']'])),
                lines: lines(text, line),
            });
        }
        return Some(Slip {
            message: "this list is never closed".to_owned(),
            place: bracket..bracket + 1,
            help: "a list ends with a bracket: key = [\"one\", \"two\"]".to_owned(),
            lines: lines(text, bracket..bracket + 1),
        });
    }
    let lines = lines(text, at.clone());
    if message == "duplicate key" {
        return Some(twice(text, at, lines));
    }
    let spelling::Reason { message, place, help } = spelling::reason(text, at, message);
    Some(Slip { message, place, help, lines })
}

/// A key that is there already. Heads of tables are mostly meant to be many: the one with single brackets is the slip.
fn twice(text: &str, at: Range<usize>, own: Range<usize>) -> Slip {
    let name = &text[at.clone()];
    let single = format!("[{name}]");
    let is_head = text[own.clone()].trim_start().starts_with('[');
    let wrong = || {
        let heads = text.match_indices(&single).map(|(head, _)| head);
        heads.filter(|head| *head == 0 || text.as_bytes()[head - 1] == b'\n').find(|head| *head < own.end)
    };
    match wrong().filter(|_| is_head) {
        Some(head) => Slip {
            message: format!("`{single}` stands among `[{single}]`"),
            place: head..head + single.len(),
            help: format!("write `[{single}]`: two brackets make one of many"),
            lines: lines(text, head..head + 1),
        },
        None => Slip {
            message: "this is given twice".to_owned(),
            place: at,
            help: "keep one of the two, or write `[[` … `]]` for each of many".to_owned(),
            lines: own,
        },
    }
}

/// The whole lines around a place; with the head of a table, all that stands under it, or its keys would be taken for
/// those of the table before.
fn lines(text: &str, place: Range<usize>) -> Range<usize> {
    let Range { start, end } = line_at(text, place);
    if !text[start..end].trim_start().starts_with('[') {
        return start..end;
    }
    let next = text[end..].match_indices("\n[").map(|(at, _)| end + at).next();
    start..next.unwrap_or(text.len())
}

/// The whole lines around a place alone.
fn line_at(text: &str, place: Range<usize>) -> Range<usize> {
    let start = text[..place.start].rfind('\n').map_or(0, |at| at + 1);
    let end = text[place.end..].find('\n').map_or(text.len(), |at| place.end + at);
    start..end
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
    fn single_brackets_among_many_are_told_once_and_where_they_stand() {
        let text = "[run]\na = 1\n[[run]]\na = 2\n[[run]]\na = 3\n";
        assert_eq!((slip(text).place, &text[slip(text).lines]), (0..5, "[run]\na = 1"));
        let text = "[[run]]\na = 1\n[run]\na = 2\n[[run]]\na = 3\n";
        assert_eq!(&text[slip(text).lines], "[run]\na = 2");
    }

    #[test]
    fn blanking_keeps_every_place() {
        let mut text = "a\nüß\nb".to_owned();
        blank(&mut text, 2..6);
        assert_eq!(text, "a\n    \nb");
    }
}
