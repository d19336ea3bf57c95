//! `course.toml`: what a course says of itself.

use super::course_block::hookup::LONGEST_LIMIT_S;
use super::keys::{Body, Keys, Start};
use super::{module, school_rule, term};
use crate::course::hookup::ORDINARY_LIMIT_S;
use crate::course::{About, ProseLimits};
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span, Spanned};
use crate::web_address::misleads;

/// Reads the file.
pub fn about(file: FileId, text: &str, found: &mut Vec<Finding>) -> About {
    let body = Body { at: Start { file, offset: 0 }, text };
    let first_line = text.find('\n').unwrap_or(text.len());
    body.read("`course.toml`", Span::new(file, 0..first_line), found, course)
}

fn course(keys: &mut Keys, found: &mut Vec<Finding>) -> About {
    let title = keys.needed_text("title", found).value;
    let summary = keys.needed_text("summary", found).value;
    let school = keys.needed_text("school", found).value;
    let author = keys.needed_text("author", found).value;
    let edition = keys.needed_text("edition", found).value;
    let language = keys.text("language", found);
    let address = keys.text("address", found);
    let license = keys.text("license", found);
    let level = keys.text("level", found).map(|level| level.value);
    let energize_limit_s = energize_limit(keys, found);
    let allow_html = keys.flag("allow_html", found).unwrap_or_default();
    let rules = school_rule::rules(keys, found);
    let modules = module::modules(keys, found);
    let prose = prose(keys, found);
    let term = term::term(keys, found);
    About {
        title,
        summary,
        school,
        author,
        edition,
        language: language.and_then(|tag| checked_language(tag, found)).unwrap_or_else(|| "en".to_owned()),
        address: address.and_then(|address| checked_address(address, SITE, found)),
        license: license.and_then(|license| checked_address(license, LICENCE, found)),
        level,
        allow_html,
        energize_limit_s,
        rules,
        modules,
        prose,
        term,
    }
}

/// The table `[prose]`.
fn prose(keys: &mut Keys, found: &mut Vec<Finding>) -> ProseLimits {
    let usual = ProseLimits::default();
    let Some(mut keys) = keys.table("prose", "the `[prose]` table", "[prose]", found) else { return usual };
    let longest_sentence = keys.whole("longest_sentence", (5, 200), found);
    let reading_grade = keys.number("reading_grade", (1.0, 20.0), found);
    keys.finish(found);
    ProseLimits {
        longest_sentence: longest_sentence.unwrap_or(usual.longest_sentence),
        reading_grade: reading_grade.map_or(usual.reading_grade, |grade| grade.value),
    }
}

/// How long current may flow where a hookup sets no limit: less than common practice, or with someone who answers for
/// more.
fn energize_limit(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<f64> {
    let limit = keys.number("energize_limit_s", (0.1, LONGEST_LIMIT_S), found);
    let source = keys.text("energize_limit_source", found);
    let limit = limit?;
    if limit.value > ORDINARY_LIMIT_S && source.is_none() {
        let message = format!(
            "a limit of {} s is above the {ORDINARY_LIMIT_S} s of common practice and has no source",
            limit.value
        );
        found.push(
            Finding::error("long-limit", message, limit.span, "`energize_limit_source` is missing")
                .help("add a line `energize_limit_source = \"…\"` that says who sets it, or take the limit down")
                .help("why: a motor without load runs up, and windings heat within seconds (common practice)"),
        );
    }
    Some(limit.value)
}

/// A language as BCP 47 writes it: parts of letters and figures, the first of two or three letters.
fn checked_language(tag: Spanned<String>, found: &mut Vec<Finding>) -> Option<String> {
    let mut parts = tag.value.split('-');
    let first = parts.next().unwrap_or_default();
    let fits = matches!(first.len(), 2..=3)
        && first.bytes().all(|byte| byte.is_ascii_alphabetic())
        && parts
            .all(|part| matches!(part.len(), 1..=8) && part.bytes().all(|byte| byte.is_ascii_alphanumeric()));
    if !fits {
        let message = format!("`{}` is no name of a language", shown(&tag.value));
        found.push(
            Finding::error("language", message, tag.span, "two or three letters are wanted")
                .help("write \"en\", \"de\", \"es-MX\" and so on, as BCP 47 has them"),
        );
    }
    fits.then_some(tag.value)
}

/// What an address leads to, and a right one.
type Wanted = (&'static str, &'static str);
const SITE: Wanted = ("a site", "https://school.example/starting/");
const LICENCE: Wanted = ("a licence", "https://creativecommons.org/licenses/by/4.0/");

fn checked_address(
    address: Spanned<String>,
    (what, example): Wanted,
    found: &mut Vec<Finding>,
) -> Option<String> {
    let rest = address.value.strip_prefix("https://").or_else(|| address.value.strip_prefix("http://"));
    let unfit = |c: char| c.is_whitespace() || misleads(c) || "\"'`<>{}?#".contains(c);
    let fits = rest.is_some_and(|rest| !rest.starts_with('/') && !rest.is_empty() && !rest.contains(unfit));
    if !fits {
        let message = format!("`{}` is no address of {what}", shown(&address.value));
        found.push(
            Finding::error("address", message, address.span, "no web address")
                .help(format!("write it in full, \"{example}\", or take the line out")),
        );
    }
    fits.then_some(address.value)
}
