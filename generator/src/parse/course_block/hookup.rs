//! `hookup`: a hookup-order checklist.

use super::Block;
use crate::course::hookup::ORDINARY_LIMIT_S;
use crate::course::{Action, Bench, Hookup, HookupStep, Part, Phase};
use crate::finding::Finding;
use crate::parse::keys::Keys;
use crate::source::Spanned;

/// Steps that a bench sheet prints on three pages, in letters that can be read from 70 cm beside a motor.
const MOST_STEPS: usize = 42;
/// With more, each step of a diagram and each rule takes long, for they look at all steps before.
const MOST_PROOFED: usize = 200;
/// No bench keeps a starting motor energized longer; rests may be an hour.
pub const LONGEST_LIMIT_S: f64 = 60.0;
const LONGEST_STEP_S: f64 = 3600.0;

/// The words for benches.
pub const BENCHES: [(&str, Bench); 3] =
    [("supply", Bench::Supply), ("battery", Bench::Battery), ("vehicle", Bench::Vehicle)];

const PHASES: [(&str, &str, Phase); 3] = [
    ("hookup", "this hookup step", Phase::Hookup),
    ("run", "this run step", Phase::Run),
    ("unhook", "this unhook step", Phase::Unhook),
];

/// Reads the block.
pub fn read(block: Block, id: String, found: &mut Vec<Finding>) -> Hookup {
    let before = found.len();
    let mut hookup = block
        .body
        .read("the `hookup` block", block.fence, found, |keys, found| hookup(keys, block, id, found));
    // A warning leaves it whole: a long list is proofed like a short one.
    hookup.complete = !found[before..].iter().any(Finding::is_error);
    hookup
}

fn hookup(keys: &mut Keys, block: Block, id: String, found: &mut Vec<Finding>) -> Hookup {
    let name = keys.text("name", found);
    let title = keys.needed_text("title", found).value;
    let bench = keys.needed_word("bench", BENCHES.into_iter(), found);
    let limit_span = keys.span_of("limit_s");
    let limit_s = keys.number("limit_s", (0.1, LONGEST_LIMIT_S), found);
    let limit_source = keys.text("limit_source", found).map(|source| source.value);
    let mut steps = Vec::new();
    for (key, what, phase) in PHASES {
        for keys in keys.tables(key, what, found) {
            steps.extend(step(keys, phase, found));
        }
    }
    check_phases(&steps, block, found);
    steps.truncate(MOST_PROOFED);
    Hookup {
        id,
        name,
        title,
        bench: bench.as_ref().map_or(Bench::Supply, |bench| bench.value),
        limit_s: limit_s.map_or(ORDINARY_LIMIT_S, |limit| limit.value),
        limit_span,
        limit_source,
        steps,
        complete: true,
        span: block.fence,
    }
}

/// What a step says besides its action.
struct Wants {
    /// Those it can be done to; none when it has no object.
    parts: &'static [Part],
    /// Can the object go without saying?
    plain: bool,
    seconds: bool,
    reading: bool,
}

const BODY: &[Part] = &[Part::EyeProtection];
const FASTENED: &[Part] = &[Part::Motor, Part::Tachometer, Part::Vehicle];
const CLEARED: &[Part] = &[Part::Motor, Part::DriveOpening, Part::Bench, Part::Vehicle, Part::Battery];
const LEADS: &[Part] = &[
    Part::CaseReturn,
    Part::MainTerminal,
    Part::StartTerminal,
    Part::MotorTerminal,
    Part::MotorLead,
    Part::PullInReturn,
    Part::SourcePositive,
    Part::SourceNegative,
    Part::LoadPositive,
    Part::LoadNegative,
    Part::ClampMeter,
    Part::Ammeter,
    Part::VoltmeterLeads,
    Part::VoltmeterOnMotor,
    Part::Tachometer,
];
const FEEDS: &[Part] = &[Part::MainSwitch, Part::Key, Part::IgnitionAndFuel, Part::PullInSwitch];
const SWITCHES: &[Part] = &[
    Part::MainSwitch,
    Part::Key,
    Part::IgnitionAndFuel,
    Part::PullInSwitch,
    Part::StartButton,
    Part::RemoteSwitch,
    Part::OutputButton,
    Part::LoadSwitch,
    Part::CarbonPile,
];
const HELD: &[Part] = &[
    Part::StartButton,
    Part::RemoteSwitch,
    Part::Key,
    Part::OutputButton,
    Part::LoadSwitch,
    Part::CarbonPile,
];

fn wants(action: Action) -> Wants {
    let of = |parts| Wants { parts, plain: false, seconds: false, reading: false };
    match action {
        Action::Wear => of(BODY),
        Action::Fasten | Action::Loosen => of(FASTENED),
        Action::Attach | Action::Detach => of(LEADS),
        Action::Clear => of(CLEARED),
        Action::SwitchOn => of(FEEDS),
        Action::SwitchOff => Wants { plain: true, ..of(SWITCHES) },
        Action::Energize => Wants { seconds: true, ..of(HELD) },
        Action::Release => Wants { plain: true, ..of(HELD) },
        Action::Read => Wants { reading: true, ..of(&[]) },
        Action::Look => Wants { plain: true, ..of(Part::ALL) },
        Action::InstructorCheck => of(&[]),
        Action::Rest => Wants { seconds: true, ..of(&[]) },
        Action::Remove => of(Part::ALL),
    }
}

/// Reads a step; one without a known action is left out, and its list is no longer complete.
fn step(mut keys: Keys, phase: Phase, found: &mut Vec<Finding>) -> Option<HookupStep> {
    let span = keys.span;
    let actions = Action::ALL.iter().map(|action| (action.word(), *action));
    let action = keys.needed_word("do", actions, found);
    let parts = Part::ALL.iter().map(|part| (part.word(), *part));
    let has = (keys.has("part"), keys.has("seconds"), keys.has("reading"), keys.has("state"));
    let part = keys.word("part", parts, found);
    let seconds = keys.number("seconds", (0.1, LONGEST_STEP_S), found);
    let reading = keys.text("reading", found);
    let state = keys.text("state", found);
    let say = keys.needed_text("say", found).value;
    let why = keys.text("why", found).map_or_else(String::new, |why| why.value);
    let places =
        (keys.span_of("part"), keys.span_of("seconds"), keys.span_of("reading"), keys.span_of("state"));
    keys.finish(found);

    let action = action?;
    let word = action.value.word();
    let wants = wants(action.value);
    // The leads of a voltmeter may say which reading they are put there for.
    let is_meter =
        part.as_ref().is_some_and(|part| matches!(part.value, Part::VoltmeterLeads | Part::VoltmeterOnMotor));
    let for_reading = action.value == Action::Attach && is_meter;
    let opens_pull_in = action.value == Action::SwitchOff
        && part.as_ref().is_some_and(|part| part.value == Part::PullInSwitch);
    let has_state = action.value == Action::Energize || opens_pull_in;
    let rows = [
        ("part", !wants.parts.is_empty(), has.0, places.0),
        ("seconds", wants.seconds, has.1, places.1),
        ("reading", wants.reading || for_reading, has.2, places.2),
        ("state", has_state, has.3, places.3),
    ];
    for (key, wanted, there, place) in rows {
        let may_lack = (key == "part" && wants.plain) || (key == "reading" && for_reading) || key == "state";
        if wanted && !there && !may_lack {
            let message = format!("`{word}` needs a `{key}`");
            found.push(
                Finding::error("missing-key", message, action.span, format!("`{key}` is missing"))
                    .help(example(key, wants.parts)),
            );
        } else if there && !wanted {
            let message = format!("`{word}` takes no `{key}`");
            found.push(
                Finding::error("useless-key", message, place, "says nothing here")
                    .also(action.span, "the action")
                    .help("take the line out, or choose another action"),
            );
        }
    }
    if !wants.parts.is_empty() {
        found.extend(part.as_ref().and_then(|part| unfit_part(&action, part)));
    }
    Some(HookupStep { phase, action, part, say, why, seconds, reading, state, span })
}

/// What is wrong when an action cannot be done to a part.
pub fn unfit_part(action: &Spanned<Action>, part: &Spanned<Part>) -> Option<Finding> {
    let parts = wants(action.value).parts;
    if parts.contains(&part.value) {
        return None;
    }
    let word = action.value.word();
    let message = format!("`{word}` cannot be done to `{}`", part.value.word());
    let finding = Finding::error("unfit-part", message, part.span, "does not go with the action")
        .also(action.span, "the action");
    let fitting: Vec<_> = parts.iter().map(|part| format!("`{}`", part.word())).collect();
    Some(match parts {
        [] => finding.help("it goes with no part"),
        _ => finding.help(format!("it goes with {}", fitting.join(", "))),
    })
}

fn example(key: &str, parts: &[Part]) -> String {
    match key {
        "part" => format!("add a line `part = \"{}\"`", parts.first().map_or("motor", |part| part.word())),
        "seconds" => "add a line `seconds = 5`".to_owned(),
        _ => "add a line `reading = \"settled_current_a\"` with the name of a reading of this lesson's worksheet"
            .to_owned(),
    }
}

/// The three lists are shown in their own order; a text that mixes them reads differently from the page.
fn check_phases(steps: &[HookupStep], block: Block, found: &mut Vec<Finding>) {
    if steps.len() > MOST_PROOFED {
        let message = format!("this hookup has {} steps; {MOST_PROOFED} can be proofed", steps.len());
        found.push(
            Finding::error("endless-hookup", message, block.fence, "no list that anybody follows")
                .help(format!("make lists of at most {MOST_STEPS} steps of it, each with its own check")),
        );
    } else if steps.len() > MOST_STEPS {
        let message = format!("this hookup has {} steps; its bench sheet holds {MOST_STEPS}", steps.len());
        found.push(
            Finding::warning("long-hookup", message, block.fence, "does not fit on three pages")
                .help("make two lists of it, each with its own check; a longer list is skimmed"),
        );
    }
    if steps.is_empty() {
        found.push(
            Finding::error("empty-hookup", "this hookup has no steps", block.fence, "nothing to do")
                .help("add steps: a line `[[hookup]]`, then `do = …`, `part = …`, `say = …`"),
        );
    }
    for pair in steps.windows(2) {
        if pair[0].span.start > pair[1].span.start {
            found.push(
                Finding::error(
                    "mixed-phases",
                    "the steps of the three lists are mixed",
                    pair[1].span,
                    "this list comes after the one below",
                )
                .also(pair[0].span, "this step belongs to an earlier list")
                .help("write all `[[hookup]]` steps first, then all `[[run]]` steps, then all `[[unhook]]` steps"),
            );
        }
    }
}
