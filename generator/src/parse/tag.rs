//! The parts of a text of HTML, as the HTML standard parts it.

use std::ops::Range;

/// One part.
#[derive(Debug, PartialEq, Eq)]
pub enum Token<'t> {
    Text(&'t str),
    /// The beginning of an element of this name.
    Open(&'t str),
    /// Its end.
    Close(&'t str),
    /// `<!-- … -->`
    Remark,
    /// `<!DOCTYPE …>`, `<?…>`, `<![CDATA[…]]>` or a remark without an end.
    Other,
}

/// What is longer is no tag, so that a text with many beginnings is read once and not once for each.
const LONGEST_TAG: usize = 4_000;

/// The parts of a text, without a gap. What begins like a tag and has no end is text.
pub fn tokens(text: &str) -> Vec<(Token<'_>, Range<usize>)> {
    let mut parts = Vec::new();
    let (mut from, mut at) = (0, 0);
    while let Some(mark) = text[at..].find('<').map(|mark| at + mark) {
        match token(&text[mark..]) {
            Some((token, length)) => {
                if from < mark {
                    parts.push((Token::Text(&text[from..mark]), from..mark));
                }
                parts.push((token, mark..mark + length));
                (from, at) = (mark + length, mark + length);
            }
            None => at = mark + 1,
        }
    }
    if from < text.len() {
        parts.push((Token::Text(&text[from..]), from..text.len()));
    }
    parts
}

/// The tag or remark at the beginning of a text, and its length.
fn token(text: &str) -> Option<(Token<'_>, usize)> {
    if let Some(remark) = text.strip_prefix("<!--") {
        return Some(match remark.find("-->") {
            Some(end) => (Token::Remark, 4 + end + 3),
            None => (Token::Other, text.len()),
        });
    }
    if text.starts_with("<!") || text.starts_with("<?") {
        return Some((Token::Other, text.find('>').map_or(text.len(), |end| end + 1)));
    }
    let text = &text[..text.floor_char_boundary(LONGEST_TAG)];
    let is_end = text.starts_with("</");
    let start = if is_end { 2 } else { 1 };
    let name = &text[start..];
    if !name.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return None;
    }
    let name = &name[..name.find(|c: char| is_space(c) || matches!(c, '/' | '>')).unwrap_or(name.len())];
    let mut reader = Reader { text, at: start + name.len() };
    while reader.attribute().is_some() {}
    let end = text[reader.at..].starts_with('>').then_some(reader.at + 1)?;
    Some((if is_end { Token::Close(name) } else { Token::Open(name) }, end))
}

/// The attributes of a tag: the name of each, and the whole of it as a place in the tag.
pub fn attributes(tag: &str) -> impl Iterator<Item = (&str, Range<usize>)> {
    let at = tag.find(|c: char| is_space(c) || matches!(c, '/' | '>')).unwrap_or(tag.len());
    let mut reader = Reader { text: tag, at };
    std::iter::from_fn(move || reader.attribute())
}

struct Reader<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Reader<'t> {
    /// The next attribute; nothing at the end of the tag or of the text.
    fn attribute(&mut self) -> Option<(&'t str, Range<usize>)> {
        self.pass(|c| is_space(c) || c == '/');
        let start = self.at;
        if matches!(self.next(), None | Some('>')) {
            return None;
        }
        // An equals sign that nothing stands before is part of the name.
        self.at += self.next().map_or(0, char::len_utf8);
        self.pass(|c| !is_space(c) && !matches!(c, '/' | '>' | '='));
        let name = &self.text[start..self.at];
        let mut end = self.at;
        self.pass(is_space);
        if self.next() == Some('=') {
            self.at += 1;
            self.pass(is_space);
            match self.next() {
                Some(quote @ ('"' | '\'')) => {
                    self.at += 1;
                    self.pass(|c| c != quote);
                    self.at = (self.at + 1).min(self.text.len());
                }
                _ => self.pass(|c| !is_space(c) && c != '>'),
            }
            end = self.at;
        }
        Some((name, start..end))
    }

    fn next(&self) -> Option<char> {
        self.text[self.at..].chars().next()
    }

    fn pass(&mut self, is_passed: impl Fn(char) -> bool) {
        let rest = &self.text[self.at..];
        self.at += rest.find(|c| !is_passed(c)).unwrap_or(rest.len());
    }
}

fn is_space(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\n' | '\r' | '\u{c}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_are_parted_as_browsers_part_them() {
        use Token::{Close, Open, Other, Remark, Text};
        for (text, wanted) in [
            ("a <b>c</b> d", &[Text("a "), Open("b"), Text("c"), Close("b"), Text(" d")][..]),
            ("<b/onclick=x>", &[Open("b")]),
            ("<b title='>'>x", &[Open("b"), Text("x")]),
            ("<b title=a\">x", &[Open("b"), Text("x")]),
            ("<b title=\"a>x", &[Text("<b title=\"a>x")]),
            ("1 < 2 <3", &[Text("1 < 2 <3")]),
            ("<!-- <b> -->x", &[Remark, Text("x")]),
            ("<!-- x", &[Other]),
            ("<!DOCTYPE x><?x?>", &[Other, Other]),
            ("<ß>", &[Text("<ß>")]),
            ("</b x=1>", &[Close("b")]),
            ("<", &[Text("<")]),
        ] {
            let got: Vec<Token> = tokens(text).into_iter().map(|(token, _)| token).collect();
            assert_eq!(got, wanted, "{text}");
        }
    }

    #[test]
    fn attributes_are_named_whole() {
        let named = |tag| attributes(tag).map(|(name, range)| (name, &tag[range])).collect::<Vec<_>>();
        for (tag, wanted) in [
            ("<b a=1 B = '2' c>", &[("a", "a=1"), ("B", "B = '2'"), ("c", "c")][..]),
            ("<b/a/=x>", &[("a", "a"), ("=x", "=x")]),
            ("<b a=\"x\"onclick=y>", &[("a", "a=\"x\""), ("onclick", "onclick=y")]),
            ("<b>", &[]),
        ] {
            assert_eq!(named(tag), wanted, "{tag}");
        }
    }
}
