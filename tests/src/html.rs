//! As much of HTML as tests of pages need: the tags of a page that we wrote ourselves.

/// What stands between `<` and `>` of every opening tag, in order.
pub fn tags(html: &str) -> Vec<&str> {
    html.split('<')
        .skip(1)
        .filter(|rest| rest.starts_with(|c: char| c.is_ascii_alphabetic()))
        .map(|rest| &rest[..end_of_tag(rest)])
        .collect()
}

/// The names and values of a tag's attributes; one without a value has an empty one.
pub fn attributes(tag: &str) -> Vec<(&str, &str)> {
    let mut rest = tag.split_once(char::is_whitespace).map_or("", |(_, rest)| rest).trim_start();
    let mut found = Vec::new();
    while !rest.is_empty() {
        let end = rest.find(|c: char| c == '=' || c.is_whitespace()).unwrap_or(rest.len());
        let (name, after) = rest.split_at(end);
        let (value, after) = match after.strip_prefix("=\"") {
            Some(value) => value.split_once('"').unwrap_or((value, "")),
            None => ("", after.trim_start_matches('=')),
        };
        found.push((name.trim_end_matches('/'), value));
        rest = after.trim_start();
    }
    found.retain(|(name, _)| !name.is_empty());
    found
}

/// Where a tag ends: at the first `>` outside quotes.
fn end_of_tag(rest: &str) -> usize {
    let mut quoted = false;
    for (at, c) in rest.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '>' if !quoted => return at,
            _ => {}
        }
    }
    rest.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_and_attributes_are_parted() {
        let html = "<!doctype html><p class=\"a b\" hidden>x &lt; y</p><img src=\"a>b.svg\" alt=\"\"/>";
        assert_eq!(tags(html), ["p class=\"a b\" hidden", "img src=\"a>b.svg\" alt=\"\"/"]);
        assert_eq!(attributes(tags(html)[0]), [("class", "a b"), ("hidden", "")]);
        assert_eq!(attributes(tags(html)[1]), [("src", "a>b.svg"), ("alt", "")]);
    }
}
