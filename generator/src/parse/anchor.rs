//! Anchors inside a page and the parts of addresses: readable, stable, unique.

use std::collections::BTreeMap;

use fieldcoil_calc::catalog::CATALOG;

/// First words of the anchors that blocks and footnotes have; the page hangs more names on them (`hookup-1-title`).
const BLOCKS: &[&str] = &["figure", "footnote", "hookup", "note", "selfcheck", "worksheet"];

/// Anchors that the page around a lesson uses.
const PAGE: &[&str] = &[
    "cautions",
    "content",
    "look-up",
    "main",
    "notes",
    "on-this-sheet",
    "outcomes",
    "sheet",
    "title-block",
    "top",
];

/// The anchors of one lesson.
#[derive(Debug, Default)]
pub struct Anchors {
    /// How many times each was wanted.
    wanted: BTreeMap<String, usize>,
}

impl Anchors {
    /// A free anchor for a heading: its text, and a number when an earlier one has the same.
    pub fn of_heading(&mut self, text: &str) -> String {
        let mut slug = slug(text);
        if slug.is_empty() {
            slug.push_str("section");
        } else if PAGE.contains(&slug.as_str()) || is_like_block(&slug) {
            slug.insert_str(0, "on-");
        }
        self.free(slug, "")
    }

    /// A free anchor for a block: `hookup-1`, `hookup-2`.
    pub fn of_block(&mut self, word: &str) -> String {
        self.free(word.to_owned(), "-1")
    }

    /// `first` tells what the first of a name carries after it.
    fn free(&mut self, name: String, first: &str) -> String {
        loop {
            let count = self.wanted.entry(name.clone()).or_insert(0);
            *count += 1;
            if *count == 1 && first.is_empty() {
                return name;
            }
            let numbered = format!("{name}-{count}");
            // A heading may already be called `joints-2`.
            if !self.wanted.contains_key(&numbered) {
                self.wanted.insert(numbered.clone(), 1);
                return numbered;
            }
        }
    }
}

/// Would a heading with this slug stand in the way of a block's anchors?
fn is_like_block(slug: &str) -> bool {
    let calculators = CATALOG.iter().map(|calculator| calculator.name);
    BLOCKS.iter().copied().chain(calculators).any(|word| {
        slug.strip_prefix(word)
            .and_then(|rest| rest.strip_prefix('-'))
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    })
}

/// Letters and figures of any script in lower case, everything else as single hyphens.
pub fn slug(text: &str) -> String {
    let mut slug = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_alphanumeric() {
            slug.extend(c.to_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    if slug.ends_with('-') {
        slug.pop();
    }
    slug
}

/// The address of the lesson in the file at `path`: each name without its number and the last without its ending.
pub fn address(path: &str) -> String {
    let path = path.strip_suffix(".md").unwrap_or(path);
    let parts: Vec<String> = path.split('/').map(|name| slug(without_number(name))).collect();
    parts.join("/")
}

/// A name without the number that orders it: `10-safety` and `20_cables` give `safety` and `cables`; a name that is
/// nothing but a number keeps it.
pub fn without_number(name: &str) -> &str {
    let rest = name.trim_start_matches(|c: char| c.is_ascii_digit());
    match rest.strip_prefix(['-', '_', ' ', '.']) {
        Some(rest) if !rest.is_empty() && name.starts_with(|c: char| c.is_ascii_digit()) => rest,
        _ => name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn anchors_are_readable_and_unique() {
        let mut anchors = Anchors::default();
        let texts = [
            "The free-spin test",
            "Joints",
            "Joints",
            "Joints 2",
            "Joints",
            "?!",
            "Ω и 電",
            "Hookup 1 title",
            "Main",
        ];
        let given: Vec<_> = texts.iter().map(|text| anchors.of_heading(text)).collect();
        let wanted = [
            "the-free-spin-test",
            "joints",
            "joints-2",
            "joints-2-2",
            "joints-3",
            "section",
            "ω-и-電",
            "on-hookup-1-title",
            "on-main",
        ];
        assert_eq!(given, wanted);
        assert_eq!(anchors.of_block("hookup"), "hookup-1");
        assert_eq!(anchors.of_block("hookup"), "hookup-2");
    }

    #[test]
    fn addresses_lose_numbers_and_endings() {
        for (path, wanted) in [
            ("10-safety-at-the-bench.md", "safety-at-the-bench"),
            ("30-cables/20_joints.md", "cables/joints"),
            ("My lesson.md", "my-lesson"),
            ("12.md", "12"),
            ("2b-x.md", "2b-x"),
            ("10-Ω.md", "ω"),
        ] {
            assert_eq!(address(path), wanted, "{path}");
        }
    }
}
