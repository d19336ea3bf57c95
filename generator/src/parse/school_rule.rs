//! `[[rule]]` in `course.toml`: a school's own rule on the order of hookups.

use super::course_block::hookup::{BENCHES, unfit_part};
use super::keys::Keys;
use crate::course::{Action, Asks, Bench, Part, SchoolRule, StepPattern, When};
use crate::finding::code::CODES;
use crate::finding::{Finding, shown};
use crate::source::Spanned;

const WHEN: [(&str, When); 2] = [("live", When::Live), ("energized", When::Energized)];

/// Reads all of them; one that cannot be understood is left out.
pub fn rules(keys: &mut Keys, found: &mut Vec<Finding>) -> Vec<SchoolRule> {
    let tables = keys.tables("rule", "this rule", found);
    let mut rules: Vec<SchoolRule> = Vec::new();
    for table in tables {
        if let Some(rule) = rule(table, &rules, found) {
            rules.push(rule);
        }
    }
    rules
}

fn rule(mut keys: Keys, others: &[SchoolRule], found: &mut Vec<Finding>) -> Option<SchoolRule> {
    let name = keys.needed_text("name", found);
    let danger = keys.needed_text("danger", found).value;
    let source =
        keys.text("source", found).map_or_else(|| "common practice".to_owned(), |source| source.value);
    let benches = benches(&mut keys, found);
    keys.need("at", "{ do = \"attach\" }", found);
    let at = pattern(&mut keys, "at", found);
    let asks = asks(&mut keys, found);
    keys.finish(found);
    check_name(&name, others, found);
    Some(SchoolRule { name, danger, source, benches: benches?, at: at?, asks: asks? })
}

/// One bench or a list of them; nothing when one of them is not known.
fn benches(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<Vec<Bench>> {
    let mut benches = Vec::new();
    let typed = keys.text_or_texts("bench", found);
    for word in &typed {
        match BENCHES.iter().find(|(bench, _)| *bench == word.value) {
            Some((_, bench)) => benches.push(*bench),
            None => {
                let message = format!("`bench` cannot be `{}`", shown(&word.value));
                let words: Vec<_> = BENCHES.iter().map(|(bench, _)| format!("`{bench}`")).collect();
                found.push(
                    Finding::error("unknown-word", message, word.span, "not one of the words known here")
                        .near(&word.value, BENCHES.iter().map(|(bench, _)| *bench))
                        .help(format!("known are {}", words.join(", "))),
                );
            }
        }
    }
    (benches.len() == typed.len()).then_some(benches)
}

fn pattern(keys: &mut Keys, key: &'static str, found: &mut Vec<Finding>) -> Option<StepPattern> {
    let mut keys =
        keys.table(key, "this kind of step", "{ do = \"attach\", part = \"case-return\" }", found)?;
    let actions = Action::ALL.iter().map(|action| (action.word(), *action));
    let action = keys.needed_word("do", actions, found);
    let has_part = keys.has("part");
    let parts = Part::ALL.iter().map(|part| (part.word(), *part));
    let part = keys.word("part", parts, found);
    keys.finish(found);
    if let (Some(action), Some(part)) = (&action, &part)
        && let Some(finding) = unfit_part(action, part)
    {
        found.push(finding);
        return None;
    }
    (!has_part || part.is_some())
        .then_some(StepPattern { action: action?.value, part: part.map(|part| part.value) })
}

/// Exactly one of `before`, `after` and `never`; `since` goes with `before`.
fn asks(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<Asks> {
    let there: Vec<&'static str> =
        ["before", "after", "never"].into_iter().filter(|key| keys.has(key)).collect();
    let before = pattern(keys, "before", found);
    let after = pattern(keys, "after", found);
    let never = keys.word("never", WHEN.into_iter(), found);
    let has_since = keys.has("since");
    let since = pattern(keys, "since", found);
    let example = "add a line `before = { do = \"look\", part = \"main-switch\" }`, or `after` in the same form, or `never = \"live\"`";
    match there.as_slice() {
        [] => found.push(
            Finding::error(
                "rule-asks",
                "this rule asks for nothing",
                keys.span,
                "what must be or must not be?",
            )
            .help(example),
        ),
        [_] => {}
        [first, second, ..] => found.push(
            Finding::error(
                "rule-asks",
                format!("this rule has both `{first}` and `{second}`"),
                keys.span_of(second),
                "one too many",
            )
            .also(keys.span_of(first), "the other one")
            .help("keep one of `before`, `after` and `never`; write a second `[[rule]]` for the other"),
        ),
    }
    if has_since && there != ["before"] {
        found.push(
            Finding::error(
                "useless-key",
                "`since` goes with `before` alone",
                keys.span_of("since"),
                "says nothing here",
            )
            .help("take the line out"),
        );
    }
    match there.as_slice() {
        ["before"] if has_since == since.is_some() => Some(Asks::Before { step: before?, since }),
        ["after"] => Some(Asks::After(after?)),
        ["never"] => Some(Asks::Never(never?.value)),
        _ => None,
    }
}

/// Kebab case, its own, and none of those that findings of the program have.
fn check_name(name: &Spanned<String>, others: &[SchoolRule], found: &mut Vec<Finding>) {
    if name.value.is_empty() {
        return;
    }
    let shown = shown(&name.value);
    if !is_kebab_case(&name.value) {
        let message = format!("`{shown}` cannot be the name of a rule");
        found.push(
            Finding::error("rule-name", message, name.span, "small letters, figures and hyphens are wanted")
                .help("write it like \"tag-before-hands\""),
        );
    } else if CODES.iter().any(|(code, _)| *code == name.value) {
        let message = format!("`{shown}` is a rule of the program");
        found.push(
            Finding::error("rule-name", message, name.span, "this name is taken")
                .help("give the school's rule a name of its own"),
        );
    } else if let Some(first) = others.iter().find(|rule| rule.name.value == name.value) {
        found.push(
            Finding::error("rule-name", format!("two rules are named `{shown}`"), name.span, "the second")
                .also(first.name.span, "the first")
                .help("give each rule a name of its own"),
        );
    }
}

pub fn is_kebab_case(name: &str) -> bool {
    let part = |part: &str| {
        !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    name.starts_with(|c: char| c.is_ascii_lowercase()) && name.split('-').all(part)
}
