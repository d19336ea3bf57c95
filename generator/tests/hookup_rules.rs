//! For each rule on hookups one accepted and one refused list, in `hookup_rules/rules.md`: the refused one breaks that
//! rule, its finding names the smallest change, and the list with that change is accepted.

mod support;

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil::finding::{Finding, Severity};
use fieldcoil::pipeline;
use fieldcoil::proof::hookup::rule_names;
use fieldcoil::source::{SourceSet, SourceText};
use support::{COURSE, steps};

const TABLE: &str = include_str!("hookup_rules/rules.md");
const MARK: &str = "`````";

/// A list of steps and the words after its bench.
#[derive(Clone)]
struct List {
    options: String,
    lines: Vec<String>,
}

/// One rule with its two lists.
struct Pair {
    name: String,
    /// What stands in `[[rule]]`, for a rule of a school.
    school: Option<String>,
    accepted: List,
    refused: List,
    /// How many edits make the one from the other.
    edits: usize,
    mend: String,
    with: BTreeSet<String>,
}

#[test]
fn every_rule_accepts_one_list_and_refuses_its_neighbour() {
    let pairs = pairs();
    let told: BTreeSet<&str> =
        pairs.iter().filter(|pair| pair.school.is_none()).map(|pair| pair.name.as_str()).collect();
    let rules: BTreeSet<&str> = rule_names().collect();
    assert_eq!(told, rules, "each rule has its two lists, and each pair its rule");
    let mut wrong = Vec::new();
    for pair in &pairs {
        if let Err(message) = holds(pair) {
            wrong.push(format!("{}: {message}", pair.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let of_schools = pairs.iter().filter(|pair| pair.school.is_some()).count();
    println!(
        "{} rules and {of_schools} rules of schools, each with an accepted and a refused list",
        rules.len()
    );
}

#[test]
fn the_two_lists_of_a_rule_differ_by_a_step_or_two() {
    for pair in pairs() {
        assert!((1..=2).contains(&pair.edits), "{}: {} edits", pair.name, pair.edits);
    }
}

fn holds(pair: &Pair) -> Result<(), String> {
    let accepted = found(&pair.accepted, pair);
    if let Some(finding) = accepted.first() {
        return Err(format!("the accepted list has [{}] {}", finding.code, finding.message));
    }
    let found = found(&pair.refused, pair);
    let code = if pair.school.is_some() { "school-rule" } else { pair.name.as_str() };
    let mut wanted: BTreeSet<&str> = pair.with.iter().map(String::as_str).collect();
    wanted.insert(code);
    let codes: BTreeSet<&str> = found.iter().map(|finding| finding.code).collect();
    if codes != wanted {
        return Err(format!("the refused list breaks {codes:?}, not {wanted:?}"));
    }
    let finding = found.iter().find(|finding| finding.code == code).expect("it is among the codes");
    if pair.school.is_some() && !finding.message.contains(&pair.name) {
        return Err(format!("`{}` does not name the rule", finding.message));
    }
    let [mend, why, state] = finding.help.as_slice() else {
        return Err(format!("a mend, a danger and a state are wanted, not {:?}", finding.help));
    };
    if *mend != pair.mend {
        return Err(format!("it says how to mend it: {mend}"));
    }
    let says_why = why.starts_with("why: ") && why.ends_with(')');
    let says_state = state.contains("attached: ") && state.contains("energized");
    if finding.severity != Severity::Error || !says_why || !says_state {
        return Err(format!("danger, source or state are missing: {:?}", finding.help));
    }
    Ok(())
}

fn found(list: &List, pair: &Pair) -> Vec<Finding> {
    let mut course = COURSE.to_owned();
    if let Some(rule) = &pair.school {
        course += &format!("[[rule]]\nname = \"{}\"\ndanger = \"A test.\"\n{rule}", pair.name);
    }
    let text = |path: &str, text: String| SourceText { path: path.to_owned(), text };
    let lesson = steps(&list.options, &list.lines.join("\n"));
    let texts = vec![text("10-test.md", lesson), text("course.toml", course)];
    let sources = SourceSet { texts, ..SourceSet::default() };
    pipeline::check(&sources, Vec::new()).1
}

/// Reads the table.
fn pairs() -> Vec<Pair> {
    let mut benches: BTreeMap<&str, List> = BTreeMap::new();
    let mut pairs = Vec::new();
    for section in TABLE.split("\n## ").skip(1) {
        // A heading of the first level may end a section.
        let section = section.split("\n# ").next().expect("there is one");
        let (name, rest) = section.split_once('\n').expect("a section has lines");
        match fenced(rest, "steps ") {
            Some((options, lines)) => {
                let lines = lines.lines().map(str::to_owned).collect();
                benches.insert(name, List { options: options.to_owned(), lines });
            }
            None => pairs.push(pair(name, rest, &benches)),
        }
    }
    pairs
}

/// The first fenced block with this word: the rest of its first line, and its text.
fn fenced<'t>(text: &'t str, word: &str) -> Option<(&'t str, &'t str)> {
    let (_, rest) = text.split_once(&format!("{MARK}{word}"))?;
    let (options, rest) = rest.split_once('\n')?;
    Some((options, rest.split_once(MARK)?.0))
}

fn pair(name: &str, text: &str, benches: &BTreeMap<&str, List>) -> Pair {
    let school = fenced(text, "rule").map(|(_, rule)| rule.to_owned());
    let lines = text.rsplit(MARK).next().expect("there is a last part").lines();
    let lines: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
    let after = |word: &str| lines.iter().find_map(|line| line.strip_prefix(word));
    let base = &benches[after("from ").expect("a rule starts from a bench")];
    let (mut accepted, mut refused) = (base.clone(), base.clone());
    let (mut first, mut second) = (Vec::new(), Vec::new());
    for line in &lines {
        if let Some(edit) = line.strip_prefix("accepted ") {
            apply(&mut accepted, edit);
            first.push(edit);
        } else if !["from ", "mend ", "with "].iter().any(|word| line.starts_with(word)) {
            apply(&mut refused, line);
            second.push(*line);
        }
    }
    let differing =
        |these: &[&str], those: &[&str]| these.iter().filter(|edit| !those.contains(edit)).count();
    Pair {
        name: name.to_owned(),
        school,
        edits: differing(&first, &second) + differing(&second, &first),
        accepted,
        refused,
        mend: after("mend ").expect("a rule says how it is mended").to_owned(),
        with: after("with ").unwrap_or_default().split_whitespace().map(str::to_owned).collect(),
    }
}

/// Carries out an edit: `drop`, `put`, `move`, `change` or `set`, with lines in back ticks.
fn apply(list: &mut List, edit: &str) {
    let mut parts = edit.split('`');
    let mut next = || parts.next().unwrap_or_default().trim();
    let (word, line, between, other, number) = (next(), next(), next(), next(), next());
    match word {
        "drop" => {
            let at = place(list, line, between);
            list.lines.remove(at);
        }
        "put" => insert(list, line, other, number),
        "move" => {
            list.lines.remove(place(list, line, ""));
            insert(list, line, other, number);
        }
        "change" => {
            let at = place(list, line, "");
            list.lines[at] = other.to_owned();
        }
        "set" => list.options += &format!(" {line}"),
        _ => panic!("`{edit}` is no edit"),
    }
}

/// Puts a line after another one, into its list.
fn insert(list: &mut List, line: &str, after: &str, number: &str) {
    let at = place(list, after, number);
    let phase = after.split(' ').next().unwrap_or_default();
    let step = line.split_once(' ').expect("a list and a step").1;
    list.lines.insert(at + 1, format!("{phase} {step}"));
}

fn place(list: &List, line: &str, number: &str) -> usize {
    let skip = if number.starts_with('2') { 1 } else { 0 };
    let mut found = list.lines.iter().enumerate().filter(|(_, own)| *own == line).map(|(at, _)| at);
    found.nth(skip).unwrap_or_else(|| panic!("no line `{line}`"))
}
