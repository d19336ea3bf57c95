//! As much of Rust's syntax as tests of tidiness need.

/// The text without comments that take a whole line, and without the module of unit tests at its end.
pub fn code(text: &str) -> String {
    let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
    shipped
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| format!("{line}\n"))
        .collect()
}

/// The names that follow a path's start: `a` and `b` for `crate::` in `use crate::{a::c, b};`.
pub fn names_after(text: &str, start: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (at, _) in text.match_indices(start) {
        // `other_crate::x` begins with another crate's name.
        if text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = &text[at + start.len()..];
        match rest.strip_prefix('{') {
            Some(list) => names.extend(list_heads(list)),
            None => names.push(head(rest)),
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// The first names of a list's entries, up to the brace that closes it.
fn list_heads(list: &str) -> Vec<String> {
    let mut heads = vec![String::new()];
    let mut depth = 0;
    let mut in_head = true;
    for c in list.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                heads.push(String::new());
                in_head = true;
            }
            c if depth == 0 && in_head && (c.is_alphanumeric() || c == '_') => {
                if let Some(head) = heads.last_mut() {
                    head.push(c);
                }
            }
            c if c.is_whitespace() => {}
            _ => in_head = false,
        }
    }
    heads
}

fn head(path: &str) -> String {
    path.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_alone_and_in_lists() {
        let text =
            "use crate::a::b;\nuse crate::{c::{d, e}, f,\n g::h};\nlet x = crate::i::new(); other_crate::j";
        assert_eq!(names_after(text, "crate::"), ["a", "c", "f", "g", "i"]);
    }

    #[test]
    fn comments_and_unit_tests_are_no_code() {
        let text = "// std::fs\nfn a() {}\n#[cfg(test)]\nmod tests { use std::fs; }";
        assert_eq!(code(text), "fn a() {}\n");
    }
}
