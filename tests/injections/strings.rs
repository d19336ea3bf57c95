//! The strings of `strings.txt`.

use anyhow::{Context, Result};

/// One string.
pub struct Hostile {
    pub text: String,
    /// Does it do harm in plain element content?
    pub is_live: bool,
}

/// All of them.
pub fn all() -> Result<Vec<Hostile>> {
    let lines =
        include_str!("strings.txt").lines().filter(|line| !line.is_empty() && !line.starts_with("# "));
    lines
        .filter(|line| *line != "#")
        .map(|line| {
            let (is_live, line) = line.strip_prefix("! ").map_or((false, line), |line| (true, line));
            let text = repeated(&characters(line)?).with_context(|| line.to_owned())?;
            Ok(Hostile { text, is_live })
        })
        .collect()
}

/// `\n` and its like as the characters they stand for.
fn characters(line: &str) -> Result<String> {
    let mut out = String::new();
    let mut rest = line;
    while let Some((before, after)) = rest.split_once('\\') {
        out.push_str(before);
        let sign = after.chars().next().with_context(|| line.to_owned())?;
        rest = &after[sign.len_utf8()..];
        out.push(match sign {
            'n' => '\n',
            't' => '\t',
            'r' => '\r',
            '0' => '\0',
            '\\' => '\\',
            _ => {
                let (digits, after) = rest
                    .strip_prefix('{')
                    .and_then(|rest| rest.split_once('}'))
                    .with_context(|| line.to_owned())?;
                rest = after;
                char::from_u32(u32::from_str_radix(digits, 16)?).with_context(|| line.to_owned())?
            }
        });
    }
    Ok(out + rest)
}

/// `(60 × x)` as sixty times `x`.
fn repeated(text: &str) -> Option<String> {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(" × ") {
        let (before, count) = before.rsplit_once('(')?;
        let (part, after) = after.split_once(')')?;
        out.push_str(before);
        out.push_str(&part.repeat(count.parse().ok()?));
        rest = after;
    }
    Some(out + rest)
}
