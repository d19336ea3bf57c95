//! Why a line is not TOML, in words for a writer who never heard of it: the slips of beginners, told by the line itself.

use std::ops::Range;

/// What is wrong, where, and what to do.
#[derive(Debug, PartialEq)]
pub struct Reason {
    /// What is wrong.
    pub message: String,
    /// Where.
    pub place: Range<usize>,
    /// What to do.
    pub help: String,
}

/// Quotes that word processors and phones set by themselves.
const CURLY: [char; 9] = ['“', '”', '„', '‟', '«', '»', '‘', '’', '‚'];

/// The reason behind a parser's `message` about `at`.
pub fn reason(text: &str, at: Range<usize>, message: &str) -> Reason {
    let start = text[..at.start].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at.start..].find('\n').map_or(text.len(), |end| at.start + end);
    let line = &text[start..end];
    let whole = |message: &str, place: Range<usize>, help: String| Reason {
        message: message.to_owned(),
        place: start + place.start..start + place.end,
        help,
    };
    let here = at.start - start;
    let bare = outside_of_quotes(line);

    if let Some((curly, sign)) = bare.iter().copied().find(|(_, sign)| CURLY.contains(sign)) {
        let help =
            "type straight quotes: key = \"text\"; word processors curl them, plain text editors do not";
        return whole(
            "a curled quote stands in the place of a straight one",
            curly..curly + sign.len_utf8(),
            help.to_owned(),
        );
    }
    if let Some((hidden, sign)) = bare.iter().copied().find(|(_, sign)| is_hidden(*sign)) {
        let message = format!("an invisible character (U+{:04X}) stands in this line", sign as u32);
        let help = "delete it and type a blank; it comes along when text is copied out of another program";
        return whole(&message, hidden..hidden + sign.len_utf8(), help.to_owned());
    }
    if line.trim_start().starts_with(['/', '%', '<', ';']) {
        let remark = line.trim_start_matches([' ', '\t', '/', '%', '<', '!', '-', ';', '*']).trim_end();
        let help = format!("write `# {remark}`, or take the line out");
        return whole("a remark begins with `#`", 0..line.trim_end().len(), help);
    }
    if line.trim_end().ends_with('=') && !line.trim_start().starts_with('=') {
        let sign = line.trim_end().len() - 1;
        let help = "write the value into the same line: key = \"text\", or a list: key = [\"one\", \"two\"]";
        return whole("nothing stands behind `=`", sign..sign + 1, help.to_owned());
    }
    if line.as_bytes().get(here) == Some(&b':') && !line[..here].contains('=') {
        let help = format!("write `{} = …`", line[..here].trim());
        return whole("a colon stands in the place of `=`", here..here + 1, help);
    }
    if let Some((key, value)) = value_of(line) {
        let place = value.clone();
        let value = &line[value];
        let behind = value.strip_prefix(['−', '–', '—']);
        if let Some(number) = behind.filter(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit())) {
            let dash = place.start..place.end - number.len();
            return whole(
                "a dash stands in the place of the minus",
                dash,
                format!("write `{key} = -{number}`"),
            );
        }
        if value.eq_ignore_ascii_case("true") || value.eq_ignore_ascii_case("false") {
            let help = format!("write `{key} = {}`", value.to_lowercase());
            return whole("this word has small letters alone", place, help);
        }
        if let Some(date) = as_date(value) {
            return whole(
                "this date has another order",
                place,
                format!("write `{key} = {date}`: year, month, day"),
            );
        }
        if let Some(unit) = unit_behind(value) {
            let help = format!("write `{key} = \"{}\"`, or the number alone", value.trim_end());
            return whole(&format!("the number has a unit `{unit}` and no quotes"), place, help);
        }
        if let Some(comma) = decimal_comma(&bare) {
            let number = number_around(line, comma);
            let written = &line[number.clone()];
            let point = written.replace(',', ".");
            let help = match parts_thousands(written) {
                true => {
                    let whole = written.replace(',', "");
                    format!("write `{whole}` for thousands, or `{point}`: the decimal sign is a point")
                }
                false => format!("write `{point}`: the decimal sign is a point"),
            };
            return whole("a comma stands in a number", number, help);
        }
        let quote = value.chars().next().filter(|first| matches!(first, '"' | '\''));
        if let Some(quote) = quote {
            if message.contains("escape") {
                let help = "write `/` in its place, or two of them: `\\\\`";
                let place = line[..here].rfind('\\').map_or(here..here, |at| at..at + 1);
                return whole("a `\\` in a text has a meaning of its own", place, help.to_owned());
            }
            let inside = value.len() > 1 && value.ends_with(quote) && message.starts_with("unexpected key");
            if inside && quote == '"' {
                let help = "write `\\\"` for a quote inside of the text, or `'` in its place";
                return whole("a quote inside of the text ends it", here..here, help.to_owned());
            }
            if inside {
                let help = format!("put the text in double quotes: `{key} = \"…\"`");
                return whole("an apostrophe inside of the text ends it", here..here, help);
            }
            if message.starts_with("invalid") && !value[1..].contains(quote) {
                let help = format!("put a {quote} at the end: a text begins and ends in one line");
                return whole("the text has no quote at its end", place, help);
            }
        } else if message.starts_with("string values must be quoted")
            && !value.contains(['"', '\'', '[', '{'])
        {
            let help = format!("write `{key} = \"{}\"`", value.trim_end());
            return whole("text stands without quotes", place, help);
        }
    }
    if message.starts_with("missing comma between array elements") {
        let help = "a list stands in brackets with commas: key = [\"one\", \"two\"]";
        return whole("a comma is missing in this list", here..here, help.to_owned());
    }
    if message.starts_with("key with no value") {
        let help = "write it as `key = \"text\"`, or take it out; a remark begins with `#`";
        let start = line.len() - line.trim_start().len();
        return whole(
            "this line is not of the form `key = value`",
            start..line.trim_end().len(),
            help.to_owned(),
        );
    }
    Reason {
        message: format!("this line cannot be read: {message}"),
        place: at,
        help: general(message).to_owned(),
    }
}

/// Signs that nobody sees and that are no blank.
fn is_hidden(sign: char) -> bool {
    matches!(
        sign,
        '\u{a0}' | '\u{ad}' | '\u{2000}'..='\u{200f}' | '\u{2028}'..='\u{202f}' | '\u{2060}' | '\u{feff}'
    )
}

/// `1,200`, which may be a thousand and two hundred.
fn parts_thousands(written: &str) -> bool {
    written
        .split_once(',')
        .is_some_and(|(before, behind)| before.len() <= 3 && before != "0" && behind.len() == 3)
}

fn general(message: &str) -> &'static str {
    if message.contains("string") {
        "text stands in straight quotes: key = \"text\""
    } else if message.contains("array") {
        "a list stands in brackets with commas: key = [\"one\", \"two\"]"
    } else {
        "a line is `key = value`; text stands in quotes, numbers do not"
    }
}

/// The signs of a line that stand in no straight quotes and in no remark, each with its place.
fn outside_of_quotes(line: &str) -> Vec<(usize, char)> {
    let mut quote = None;
    let mut escaped = false;
    let mut outside = Vec::new();
    for (at, sign) in line.char_indices() {
        match quote {
            None if sign == '#' => break,
            None if matches!(sign, '"' | '\'') => quote = Some(sign),
            None => outside.push((at, sign)),
            Some('"') if escaped => escaped = false,
            Some('"') if sign == '\\' => escaped = true,
            Some(open) if open == sign => quote = None,
            Some(_) => {}
        }
    }
    outside
}

/// The key of a line and where its value stands.
fn value_of(line: &str) -> Option<(&str, Range<usize>)> {
    let (key, value) = line.split_once('=')?;
    let key = key.trim();
    let is_key = !key.is_empty()
        && key.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-'));
    let from = line.len() - value.trim_start().len();
    let to = line.trim_end().len();
    (is_key && from < to).then_some((key, from..to))
}

/// `07.09.2026` and the like as year, month, day; a month above twelve is a day.
fn as_date(value: &str) -> Option<String> {
    let parts: Vec<&str> = value.split(['.', '/', '-']).map(str::trim).collect();
    let [first, second, third] = parts[..] else { return None };
    let number = |text: &str| (1..=4).contains(&text.len()).then(|| text.parse::<u32>().ok()).flatten();
    let (one, two, three) = (number(first)?, number(second)?, number(third)?);
    let (year, month, day) = match (first.len(), third.len()) {
        (4, _) => (one, two, three),
        // A dot says that the day is first; a stroke does not, and only one of the two may be possible.
        (_, 4) if value.contains('/') && two > 12 => (three, one, two),
        (_, 4) => (three, two, one),
        _ => return None,
    };
    ((1..=12).contains(&month) && (1..=31).contains(&day)).then(|| format!("{year:04}-{month:02}-{day:02}"))
}

/// The unit of `180 A` or `0,2 V`.
fn unit_behind(value: &str) -> Option<&str> {
    let number = value.trim_start_matches(['+', '-']);
    let end = number.find(|sign: char| !sign.is_ascii_digit() && !matches!(sign, '.' | ','))?;
    let unit = number[end..].trim();
    let is_unit =
        |sign: char| sign.is_alphabetic() || matches!(sign, '°' | '%' | '²' | '³' | '/' | '2' | '3' | ' ');
    (end > 0
        && unit.chars().next()?.is_alphabetic() | unit.starts_with(['°', '%'])
        && unit.chars().all(is_unit))
    .then_some(unit)
}

/// The comma between two digits that is no comma of a list.
fn decimal_comma(bare: &[(usize, char)]) -> Option<usize> {
    let mut lists = 0;
    for three in bare.windows(3) {
        match three[0].1 {
            '[' => lists += 1,
            ']' => lists -= 1,
            _ => {}
        }
        let stands_together = three[2].0 == three[0].0 + 2;
        if lists == 0
            && three[1].1 == ','
            && stands_together
            && three[0].1.is_ascii_digit()
            && three[2].1.is_ascii_digit()
        {
            return Some(three[1].0);
        }
    }
    None
}

fn number_around(line: &str, comma: usize) -> Range<usize> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let before = line[..comma].bytes().rev().take_while(u8::is_ascii_digit).count();
    comma - before..comma + 1 + digits(&line[comma + 1..])
}

#[cfg(test)]
mod tests {
    use toml::de::DeTable;

    use super::*;

    /// What is said of a line, where, and what to do.
    fn said(line: &str) -> (String, String, String) {
        let text = format!("a = 1\n{line}\nz = 2\n");
        let errors = DeTable::parse_recoverable(&text).1;
        let first = errors.iter().min_by_key(|error| error.span().map_or(0, |span| span.start));
        let error = first.unwrap_or_else(|| panic!("`{line}` is read"));
        let reason = reason(&text, error.span().expect("it has a place"), error.message());
        (reason.message, text[reason.place].to_owned(), reason.help)
    }

    #[test]
    fn the_slips_of_beginners_are_told_in_their_words() {
        for (line, message, place, help) in [
            ("sign = “W012”", "curled quote", "“", "straight quotes"),
            ("drop = 0,2", "comma stands in a number", "0,2", "write `0.2`"),
            ("r = { from = 0,002, to = 1 }", "comma stands in a number", "0,002", "write `0.002`"),
            ("current_a = 180 A", "unit `A`", "180 A", "write `current_a = \"180 A\"`"),
            ("t_c = 20 °C", "unit `°C`", "20 °C", "\"20 °C\""),
            ("starts = 07.09.2026", "date", "07.09.2026", "starts = 2026-09-07"),
            ("starts = 9/27/2026", "date", "9/27/2026", "starts = 2026-09-27"),
            ("signal: \"warning\"", "colon", ":", "write `signal = …`"),
            ("signal = warning", "without quotes", "warning", "write `signal = \"warning\"`"),
            ("signal = \"warning", "no quote at its end", "\"warning", "put a \" at the end"),
            ("speed_rpm = 1,200", "comma", "1,200", "write `1200` for thousands, or `1.200`"),
            ("tolerance = −0.01", "dash", "−", "write `tolerance = -0.01`"),
            ("signal\u{a0}= \"warning\"", "invisible character (U+00A0)", "\u{a0}", "delete it"),
            ("// the first note", "remark", "// the first note", "write `# the first note`"),
            ("avoid =", "nothing stands behind", "=", "key = [\"one\", \"two\"]"),
            ("right = True", "small letters", "True", "write `right = true`"),
            ("file = \"C:\\lead\"", "has a meaning", "\\", "write `/`"),
            ("say = \"Say \"off\" and go.\"", "quote inside", "", "`\\\"`"),
            ("say = 'The motor's case'", "apostrophe inside", "", "double quotes"),
            ("avoid = [\"a\" \"b\"]", "comma is missing", "", "with commas"),
            ("1. Wear glasses", "`key = value`", "1. Wear glasses", "begins with `#`"),
        ] {
            let (own, at, mend) = said(line);
            assert!(own.contains(message), "{line}: {own}");
            assert_eq!(at, place, "{line}");
            assert!(mend.contains(help), "{line}: {mend}");
        }
    }

    #[test]
    fn what_is_none_of_them_keeps_the_words_of_the_reader() {
        let Reason { message, place, help } = reason("a = 1\nb = 2\n", 6..7, "unexpected weather");
        assert_eq!((message.as_str(), place), ("this line cannot be read: unexpected weather", 6..7));
        assert!(help.contains("key = value"), "{help}");
    }
}
