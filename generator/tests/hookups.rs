//! Every hookup of the default course with one mistake in it: each step dropped, doubled, moved to each other place, and
//! each two steps swapped.
//!
//! Whether a list with a mistake can hurt somebody or spoil a reading is decided by `bench_model`, which knows no rules.
//! Those that can must be found by the proof. Of the others some are found all the same, because the rules are stricter;
//! those that are not are listed with the reason why they are safe.

mod bench_model;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use bench_model::{Hazard, World};
use fieldcoil::course::{Action, Course, Hookup, HookupStep, Lesson, Part, Piece, WorksheetReading};
use fieldcoil::finding::Severity;
use fieldcoil::pipeline::Checked;
use fieldcoil::resolve::Reader;
use fieldcoil::source::{SourceSet, SourceText};
use fieldcoil::{pipeline, proof, source};

/// The hookups of the course that the sheet of the trade asks for, and two more.
const HOOKUPS: [&str; 17] = [
    "bank-test",
    "battery-free-spin",
    "change-and-prove",
    "coil-drop",
    "control-board",
    "cranking-current",
    "dry-run",
    "free-spin",
    "function-test",
    "inside",
    "load-test",
    "practice-lead",
    "readings-before",
    "relay-test",
    "three-joints",
    "voltage-drop",
    "volts-make-speed",
];

/// A mistake in a list.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Mistake {
    Drop(usize),
    Double(usize),
    Swap(usize, usize),
    Move(usize, usize),
}

impl Mistake {
    /// Every single one; a move by one place is a swap.
    fn all(count: usize) -> Vec<Mistake> {
        let mut all = Vec::new();
        for one in 0..count {
            all.extend([Mistake::Drop(one), Mistake::Double(one)]);
            all.extend((one + 1..count).map(|other| Mistake::Swap(one, other)));
            let far = |other: &usize| other.abs_diff(one) > 1;
            all.extend((0..count).filter(far).map(|other| Mistake::Move(one, other)));
        }
        all
    }

    /// The list with the mistake. The three lists keep their places: a step belongs to the one that it comes to stand in.
    fn make(self, steps: &[HookupStep]) -> Vec<HookupStep> {
        let mut changed = steps.to_vec();
        let mut phases: Vec<_> = steps.iter().map(|step| step.phase).collect();
        match self {
            Mistake::Drop(at) => {
                changed.remove(at);
                phases.remove(at);
            }
            Mistake::Double(at) => {
                changed.insert(at, steps[at].clone());
                phases.insert(at, steps[at].phase);
            }
            Mistake::Swap(one, other) => changed.swap(one, other),
            Mistake::Move(from, to) => {
                let step = changed.remove(from);
                changed.insert(to, step);
            }
        }
        for (step, phase) in changed.iter_mut().zip(phases) {
            step.phase = phase;
        }
        changed
    }

    /// The steps that the mistake is about.
    fn steps(self, steps: &[HookupStep]) -> Vec<&HookupStep> {
        match self {
            Mistake::Drop(at) | Mistake::Double(at) | Mistake::Move(at, _) => vec![&steps[at]],
            Mistake::Swap(one, other) => vec![&steps[one], &steps[other]],
        }
    }

    fn words(self, steps: &[HookupStep]) -> String {
        match self {
            Mistake::Drop(at) => format!("drop {}", word(&steps[at])),
            Mistake::Double(at) => format!("double {}", word(&steps[at])),
            Mistake::Swap(one, other) => {
                format!("swap {} {} and {} {}", one + 1, word(&steps[one]), other + 1, word(&steps[other]))
            }
            Mistake::Move(from, to) => format!("move {} {} to {}", from + 1, word(&steps[from]), to + 1),
        }
    }
}

fn word(step: &HookupStep) -> String {
    let part = step.part.as_ref().map_or("", |part| part.value.word());
    let reading = step.reading.as_ref().map_or("", |reading| reading.value.as_str());
    format!("{} {part}{reading}", step.action.value.word()).trim().to_owned()
}

/// What kind of step it is, for the reasons why a change of it is safe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Clothes, clamps, guards, looks, switches that are seen to be off.
    Prepare,
    Check,
    Lead,
    Meter,
    Read,
    Rest,
    /// What makes current flow, or ends it.
    Power,
}

fn kind(step: &HookupStep) -> Kind {
    let part = step.part.as_ref().map(|part| part.value);
    let meters =
        [Part::ClampMeter, Part::Ammeter, Part::VoltmeterLeads, Part::VoltmeterOnMotor, Part::Tachometer];
    match step.action.value {
        Action::InstructorCheck => Kind::Check,
        Action::Read => Kind::Read,
        Action::Rest => Kind::Rest,
        Action::Attach | Action::Detach if part.is_some_and(|part| meters.contains(&part)) => Kind::Meter,
        Action::Attach | Action::Detach => Kind::Lead,
        Action::Energize | Action::Release => Kind::Power,
        Action::SwitchOn if part == Some(Part::MainSwitch) => Kind::Power,
        _ => Kind::Prepare,
    }
}

/// Why a list with this mistake is safe, if the table knows a reason.
fn reason(mistake: Mistake, steps: &[HookupStep]) -> Option<&'static str> {
    let kinds: Vec<Kind> = mistake.steps(steps).into_iter().map(kind).collect();
    let about = *kinds.iter().max().expect("a mistake is about a step");
    match (mistake, about) {
        (Mistake::Swap(one, other), _) if word(&steps[one]) == word(&steps[other]) => {
            Some("the same step twice: nothing is changed")
        }
        (Mistake::Drop(_), Kind::Prepare) => {
            Some("left out: another step does it too, or nothing here depends on it")
        }
        (Mistake::Drop(_), Kind::Check) => Some("left out: nothing is energized in this list"),
        (Mistake::Double(_), Kind::Prepare) => Some("done twice: the second time changes nothing"),
        (Mistake::Double(_), Kind::Read) => Some("done twice: the figure is read again"),
        (Mistake::Double(_), Kind::Rest) => Some("done twice: a longer rest"),
        (Mistake::Double(_), Kind::Check) => Some("done twice: two checks"),
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Prepare) => {
            Some("prepared or cleared away at another time: before it is needed, or after it was")
        }
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Meter) => Some(
            "a meter goes on or off at another time: nothing flows, and its reading is taken while it is on",
        ),
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Lead) => Some(
            "leads of one side in another order: the source is dead, and return or negative keep their place",
        ),
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Check) => {
            Some("the check at another time: of the same leads, dead, before current flows")
        }
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Read) => {
            Some("read at another time: the same meter in the same place, in the same run or its repetition")
        }
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Rest) => {
            Some("rested at another time: nothing ran in between")
        }
        (Mistake::Swap(..) | Mistake::Move(..), Kind::Power) => crosses_only_looks(mistake, steps)
            .then_some("only looks and readings come to stand on the other side of the switch"),
        _ => None,
    }
}

/// The steps from one place to the other.
fn between(mistake: Mistake, steps: &[HookupStep]) -> &[HookupStep] {
    match mistake {
        Mistake::Swap(one, other) | Mistake::Move(one, other) => &steps[one.min(other)..=one.max(other)],
        Mistake::Drop(at) | Mistake::Double(at) => &steps[at..=at],
    }
}

/// Does every step between the two places leave the bench as it is?
fn crosses_only_looks(mistake: Mistake, steps: &[HookupStep]) -> bool {
    let kinds: Vec<Kind> = between(mistake, steps).iter().map(kind).collect();
    let power = kinds.iter().filter(|kind| **kind == Kind::Power).count();
    let idle = |kind: &Kind| matches!(kind, Kind::Prepare | Kind::Read | Kind::Rest | Kind::Power);
    power == 1 && kinds.iter().all(idle)
}

/// What can go wrong in a list, from its first step to the bench as it is left.
fn hazards(hookup: &Hookup, steps: &[HookupStep], readings: &[WorksheetReading]) -> Vec<Hazard> {
    let mut world = World::new(hookup);
    let mut all = Vec::new();
    for step in steps {
        let name = step.reading.as_ref().map(|name| name.value.as_str());
        let reading = readings.iter().find(|reading| Some(reading.name.value.as_str()) == name);
        all.extend(world.step(step, hookup, reading));
    }
    all.extend(world.left());
    all
}

/// The default course, and one of its hookups alone in its lesson's place.
struct Bed<'s> {
    course: Course,
    lesson: Lesson<'s>,
    piece: usize,
    hookup: Hookup,
    readings: Vec<WorksheetReading>,
}

impl Bed<'_> {
    /// Does the proof keep a list with these steps from being published?
    fn stops(&mut self, steps: Vec<HookupStep>) -> bool {
        self.lesson.pieces[self.piece] = Piece::Hookup(Hookup { steps, ..self.hookup.clone() });
        pipeline::is_stopped(&proof::lesson(&self.lesson, &self.course), false)
    }
}

/// How many lists with a mistake there are, by what the proof and the model say of them.
#[derive(Default)]
struct Count {
    all: usize,
    harmful: usize,
    strict: usize,
    reasons: BTreeMap<&'static str, Vec<String>>,
    missed: Vec<String>,
}

impl Count {
    fn of(bed: &mut Bed) -> Count {
        let mut count = Count::default();
        let steps = bed.hookup.steps.clone();
        assert!(
            !bed.stops(steps.clone()),
            "the list is stopped without any mistake, which would hide every one"
        );
        for mistake in Mistake::all(steps.len()) {
            let changed = mistake.make(&steps);
            let hazards = hazards(&bed.hookup, &changed, &bed.readings);
            let found = bed.stops(changed);
            count.all += 1;
            let words = || mistake.words(&steps);
            match (found, hazards.first()) {
                (true, Some(_)) => count.harmful += 1,
                (true, None) => count.strict += 1,
                (false, Some(hazard)) => count.missed.push(format!("{}: {hazard}", words())),
                (false, None) => match reason(mistake, &steps) {
                    Some(reason) => count.reasons.entry(reason).or_default().push(words()),
                    None => count.missed.push(format!("{}: safe, and no reason is listed", words())),
                },
            }
        }
        count
    }
}

fn content() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../content")
}

#[test]
fn the_course_has_its_hookups_and_none_can_hurt_anybody() {
    let (sources, found) = source::load::course(&content()).expect("the default course");
    let (_, mut found) = pipeline::check(&sources, found);
    found.retain(|finding| finding.severity != Severity::Hint);
    assert_eq!(found, [], "the default course is in order");
    let mut names = Vec::new();
    let alone = alone(&sources);
    for bed in alone.iter().flat_map(beds) {
        let name = bed.hookup.name.clone().expect("a hookup of the course has a name").value;
        assert!(bed.hookup.steps.len() <= 42, "{name} fits a sheet");
        assert_eq!(hazards(&bed.hookup, &bed.hookup.steps, &bed.readings), [""; 0], "{name}");
        names.push(name);
    }
    names.sort();
    assert_eq!(names, HOOKUPS);
}

#[test]
fn no_single_mistake_that_can_hurt_somebody_is_published() {
    let (sources, found) = source::load::course(&content()).expect("the default course");
    assert!(found.iter().all(|finding| finding.severity != Severity::Error), "the course can be read");
    let alone = alone(&sources);
    let (mut harmful, mut all, mut missed) = (0, 0, Vec::new());
    for mut bed in alone.iter().flat_map(beds) {
        let count = Count::of(&mut bed);
        let name = bed.hookup.name.as_ref().map_or("", |name| name.value.as_str()).to_owned();
        let safe: usize = count.reasons.values().map(Vec::len).sum();
        println!(
            "{name}: {} mistakes, {} unsafe and caught, {} unsafe and missed; of the safe ones {} caught all the same, {safe} pass",
            count.all,
            count.harmful,
            count.missed.len(),
            count.strict
        );
        for (reason, words) in &count.reasons {
            println!("  {} {reason}", words.len());
            for words in words {
                println!("      {words}");
            }
        }
        harmful += count.harmful;
        all += count.all;
        missed.extend(count.missed.into_iter().map(|words| format!("{name}: {words}")));
    }
    println!("{all} lists with one mistake, {harmful} of them unsafe and caught");
    assert!(harmful * 2 > all, "most mistakes are unsafe, {harmful} of {all}");
    assert!(missed.is_empty(), "{}\n{}", missed.len(), missed.join("\n"));
}

/// The sources of each lesson that has a hookup, with what the course says of itself: a course of one lesson.
fn alone(sources: &SourceSet) -> Vec<SourceSet> {
    let has_hookup = |text: &&SourceText| text.path.ends_with(".md") && text.text.contains("```hookup");
    let of = |lesson: &SourceText| {
        let texts =
            sources.texts.iter().filter(|text| text.path == lesson.path || !text.path.ends_with(".md"));
        let texts =
            texts.map(|text| SourceText { path: text.path.clone(), text: text.text.clone() }).collect();
        SourceSet { texts, ..SourceSet::default() }
    };
    sources.texts.iter().filter(has_hookup).map(of).collect()
}

/// Each hookup of a course of one lesson, with that course around it.
fn beds(sources: &SourceSet) -> Vec<Bed<'_>> {
    // Lessons cannot be copied, and are soon read again.
    let checked = || pipeline::check(sources, Vec::new()).0;
    let lessons = checked().lessons();
    let pieces = &lessons[0].lesson.pieces;
    let sheets = pieces.iter().filter_map(|piece| match piece {
        Piece::Worksheet(sheet) => Some(sheet.readings.clone()),
        _ => None,
    });
    let readings: Vec<WorksheetReading> = sheets.flatten().collect();
    let kept: Vec<&Piece> = pieces.iter().filter(|piece| is_kept(piece)).collect();
    let mut beds = Vec::new();
    for (piece, kept) in kept.into_iter().enumerate() {
        let Piece::Hookup(hookup) = kept else { continue };
        let Checked { reader, .. } = checked();
        let read = reader.read(&reader.course.lessons[0]);
        let course = only_the_course(reader);
        let mut lesson = Arc::into_inner(read).expect("nobody else has it").lesson;
        lesson.pieces.retain(is_kept);
        beds.push(Bed { course, lesson, piece, hookup: hookup.clone(), readings: readings.clone() });
    }
    beds
}

fn only_the_course(reader: Reader) -> Course {
    reader.course
}

/// What rules on hookups look at.
fn is_kept(piece: &Piece) -> bool {
    matches!(piece, Piece::Hookup(_) | Piece::Caution(_) | Piece::Worksheet(_))
}
