//! JSON (RFC 8259) as hand-in files need it: text escaped on the way out, and nothing trusted on the way in.

/// How deep lists and tables may lie in each other; a hand-in needs five.
const DEEPEST: usize = 12;

/// What stands in a file.
#[derive(Debug, Clone, PartialEq)]
pub enum Json {
    /// `null`, `true`, `false`: no hand-in has one, and readers pass over what they do not know.
    Word,
    /// A number; its value when it is whole and not below zero.
    Number(Option<u64>),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Json>),
    /// Names and values, in order.
    Table(Vec<(String, Json)>),
}

impl Json {
    /// What a whole text says; nothing when it is no JSON.
    pub fn read(text: &str) -> Option<Json> {
        let mut reader = Reader { rest: text.strip_prefix('\u{feff}').unwrap_or(text) };
        let value = reader.value(0)?;
        reader.skip();
        reader.rest.is_empty().then_some(value)
    }

    /// The value of this name in a table.
    pub fn of(&self, name: &str) -> Option<&Json> {
        let Json::Table(pairs) = self else { return None };
        pairs.iter().find(|(key, _)| key == name).map(|(_, value)| value)
    }

    /// The text of this name in a table.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.of(name)?.as_text()
    }

    /// The number of this name in a table.
    pub fn number(&self, name: &str) -> Option<u64> {
        match self.of(name)? {
            Json::Number(number) => *number,
            _ => None,
        }
    }

    /// The list of this name in a table; empty when there is none.
    pub fn list(&self, name: &str) -> &[Json] {
        match self.of(name) {
            Some(Json::List(list)) => list,
            _ => &[],
        }
    }

    /// The texts of this name in a list of a table; what is no text is an empty one.
    pub fn texts(&self, name: &str) -> Vec<String> {
        self.list(name).iter().map(|value| value.as_text().unwrap_or_default().to_owned()).collect()
    }

    /// The names and texts of a table of this name in a table.
    pub fn pairs(&self, name: &str) -> Vec<(String, String)> {
        let Some(Json::Table(pairs)) = self.of(name) else { return Vec::new() };
        let text = |value: &Json| value.as_text().map(str::to_owned);
        pairs.iter().filter_map(|(key, value)| Some((key.clone(), text(value)?))).collect()
    }

    fn as_text(&self) -> Option<&str> {
        match self {
            Json::Text(text) => Some(text),
            _ => None,
        }
    }
}

/// Adds a text in quotation marks.
pub fn quote(out: &mut String, text: &str) {
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if u32::from(c) < 32 => {
                const DIGITS: &[u8; 16] = b"0123456789abcdef";
                let digit = |place: u32| char::from(DIGITS[(u32::from(c) >> place & 15) as usize]);
                out.push_str("\\u00");
                out.extend([digit(4), digit(0)]);
            }
            c => out.push(c),
        }
    }
    out.push('"');
}

struct Reader<'t> {
    rest: &'t str,
}

impl Reader<'_> {
    fn skip(&mut self) {
        self.rest = self.rest.trim_start_matches([' ', '\t', '\n', '\r']);
    }

    /// Passes over a mark, when it is the next thing.
    fn take(&mut self, mark: &str) -> bool {
        self.skip();
        let after = self.rest.strip_prefix(mark);
        self.rest = after.unwrap_or(self.rest);
        after.is_some()
    }

    fn value(&mut self, depth: usize) -> Option<Json> {
        if depth > DEEPEST {
            return None;
        }
        if self.take("{") {
            return self.table(depth);
        }
        if self.take("[") {
            return self.list(depth);
        }
        if self.take("\"") {
            return self.text().map(Json::Text);
        }
        if self.take("null") || self.take("true") || self.take("false") {
            return Some(Json::Word);
        }
        self.number()
    }

    fn table(&mut self, depth: usize) -> Option<Json> {
        let mut pairs = Vec::new();
        if self.take("}") {
            return Some(Json::Table(pairs));
        }
        loop {
            let name = if self.take("\"") { self.text()? } else { return None };
            let value = if self.take(":") { self.value(depth + 1)? } else { return None };
            pairs.push((name, value));
            if self.take("}") {
                return Some(Json::Table(pairs));
            }
            if !self.take(",") {
                return None;
            }
        }
    }

    fn list(&mut self, depth: usize) -> Option<Json> {
        let mut list = Vec::new();
        if self.take("]") {
            return Some(Json::List(list));
        }
        loop {
            list.push(self.value(depth + 1)?);
            if self.take("]") {
                return Some(Json::List(list));
            }
            if !self.take(",") {
                return None;
            }
        }
    }

    /// The text up to the next quotation mark, which is passed.
    fn text(&mut self) -> Option<String> {
        let mut text = String::new();
        loop {
            let at = self.rest.find(['"', '\\'])?;
            let plain = &self.rest[..at];
            if plain.bytes().any(|byte| byte < 32) {
                return None;
            }
            text.push_str(plain);
            let mark = &self.rest[at..];
            self.rest = &mark[1..];
            if mark.starts_with('"') {
                return Some(text);
            }
            text.push(self.escaped()?);
        }
    }

    /// The letter behind a backslash.
    fn escaped(&mut self) -> Option<char> {
        let letter = self.rest.chars().next()?;
        self.rest = &self.rest[letter.len_utf8()..];
        Some(match letter {
            '"' | '\\' | '/' => letter,
            'n' => '\n',
            't' => '\t',
            'r' => '\r',
            'b' => '\u{8}',
            'f' => '\u{c}',
            'u' => {
                let first = self.four()?;
                // Letters beyond the first plane are written as two halves; a half by itself is no letter.
                let whole = match first {
                    0xd800..=0xdbff if self.rest.starts_with("\\u") => {
                        self.rest = &self.rest[2..];
                        let second = self.four()?;
                        0x1_0000 + ((first - 0xd800) << 10) + (second.wrapping_sub(0xdc00) & 0x3ff)
                    }
                    first => first,
                };
                char::from_u32(whole).unwrap_or(char::REPLACEMENT_CHARACTER)
            }
            _ => return None,
        })
    }

    fn four(&mut self) -> Option<u32> {
        let mut value = 0;
        for digit in self.rest.get(..4)?.chars() {
            value = value << 4 | digit.to_digit(16)?;
        }
        self.rest = &self.rest[4..];
        Some(value)
    }

    fn number(&mut self) -> Option<Json> {
        let is_part = |c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.' | 'e' | 'E');
        let end = self.rest.find(|c| !is_part(c)).unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        self.rest = rest;
        if !digits.ends_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let whole = digits.bytes().all(|byte| byte.is_ascii_digit()).then(|| digits.parse().ok());
        Some(Json::Number(whole.flatten()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_comes_back_as_it_was() {
        let all: String = (0..0x3000).chain(0x1_f600..0x1_f610).filter_map(char::from_u32).collect();
        for text in ["", "1,73 mΩ", "a \"quoted\" \\ line\nand\ttab\u{0}", "</script>", all.as_str()] {
            let mut quoted = String::new();
            quote(&mut quoted, text);
            assert_eq!(Json::read(&quoted), Some(Json::Text(text.to_owned())));
        }
    }

    #[test]
    fn what_others_write_is_read() {
        let text = "\u{feff} {\"a\" : [1, 2.5e3, -4, true, null], \"b\":\"\\ud83d\\ude00 \\u00e9\\ud800\", \"c\":{}, \"d\":[]}\n";
        let read = Json::read(text).expect("JSON");
        let numbers = [Some(1), None, None].map(Json::Number);
        assert_eq!(read.list("a")[..3], numbers);
        assert_eq!(read.text("b"), Some("\u{1f600} é\u{fffd}"));
        assert_eq!(read.of("c"), Some(&Json::Table(Vec::new())));
    }

    #[test]
    fn what_is_no_json_is_nothing() {
        let deep = "[".repeat(100_000);
        for text in [
            "",
            "{",
            "[1,]",
            "{\"a\"}",
            "{\"a\":1,}",
            "\"a",
            "\"\\x\"",
            "\"\\u12\"",
            "\"a\nb\"",
            "1 2",
            "nul",
            "--",
            "{a:1}",
            "\"\\u+123\"",
            deep.as_str(),
        ] {
            assert_eq!(Json::read(text), None, "{}", &text[..text.len().min(20)]);
        }
    }
}
