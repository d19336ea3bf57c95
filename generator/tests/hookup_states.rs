//! A model check: every state that accepted steps can reach on small benches, whatever their order and number.
//!
//! From the start of a bench all steps of its list are tried in every state, those that break no rule lead on, and equal
//! states are visited once, until no new one comes: that is every accepted sequence of any length. What is safe in a
//! state is decided by `bench_model`, which knows no rules.

mod bench_model;
mod support;

use std::collections::HashMap;

use bench_model::{Hazard, World};
use fieldcoil::course::{BenchState, Hookup, HookupStep, Piece, WorksheetReading};
use fieldcoil::pipeline;
use fieldcoil::proof::hookup::{broken_at_end, broken_by, rule_names};
use fieldcoil::source::{SourceSet, SourceText};
use support::{COURSE, steps};

/// A small bench: steps that are done first, in this order, and steps that are then tried in every order.
struct SmallBench {
    name: &'static str,
    options: &'static str,
    first: &'static [&'static str],
    tried: &'static [&'static str],
}

/// Sequences up to this length are counted.
const COUNTED: usize = 20;

/// Rules without which nobody comes to harm on a small bench, and why they are there all the same.
const NO_HARM: &[(&str, &str)] = &[
    ("wrong-control", "a control that is not there cannot be pressed"),
    ("long-limit", "it asks who answers for a limit; the limit itself is held by `too-long`"),
    (
        "never-released",
        "whoever leaves current on leaves leads on too, or an engine dead, which have rules of their own",
    ),
];

/// In this order: most rules show on the first ones what they are good for.
const BENCHES: &[SmallBench] = &[
    SmallBench {
        name: "load tester",
        options: "battery at-rest=rested_v",
        first: &[],
        tried: &[
            "run wear eye-protection",
            "run remove jewellery",
            "run look battery",
            "run look voltmeter",
            "run switch-off load-switch",
            "run attach voltmeter-leads",
            "run read rested_v",
            "run attach clamp-meter",
            "run attach load-positive",
            "run attach load-negative",
            "run instructor-check",
            "run energize load-switch 5",
            "run read heavy_v",
            "run read heavy_a",
            "run release load-switch",
            "run rest 20",
            "run detach load-negative",
            "run detach load-positive",
            "run detach clamp-meter",
            "run detach voltmeter-leads",
        ],
    },
    SmallBench {
        name: "vehicle, motor out and in",
        options: "vehicle",
        first: &[
            "hookup wear eye-protection",
            "hookup remove jewellery",
            "hookup look battery",
            "hookup switch-off key",
            "hookup fasten vehicle",
            "hookup switch-off ignition-and-fuel",
            "hookup look voltmeter",
        ],
        tried: &[
            "run detach source-negative",
            "run detach main-terminal",
            "run detach start-terminal",
            "run loosen motor",
            "run fasten motor",
            "run attach start-terminal",
            "run attach main-terminal",
            "run attach source-negative",
            "run attach voltmeter-on-motor",
            "run detach voltmeter-on-motor",
            "run clear vehicle",
            "run loosen vehicle",
            "run instructor-check",
            "run energize key 5",
            "run release key",
            "run rest 120",
            "run switch-on ignition-and-fuel",
        ],
    },
    SmallBench {
        name: "bench supply, connecting",
        options: "supply at-rest=coil_ohm",
        first: &[
            "hookup wear eye-protection",
            "hookup remove jewellery",
            "hookup switch-off main-switch",
            "hookup fasten motor",
        ],
        tried: &[
            "run attach case-return",
            "run attach main-terminal",
            "run attach motor-terminal",
            "run attach start-terminal",
            "run attach voltmeter-leads",
            "run detach case-return",
            "run detach main-terminal",
            "run detach motor-terminal",
            "run detach start-terminal",
            "run detach voltmeter-leads",
            "run look positive-clip",
            "run look voltmeter",
            "run clear drive-opening",
            "run instructor-check",
            "hookup switch-on main-switch",
            "run switch-on main-switch",
            "run switch-off main-switch",
            "run energize start-button 5",
            "run energize start-button 6",
            "run read settled_v",
            "run read coil_ohm",
            "run release start-button",
            "run release output-button",
            "unhook look motor",
            "run rest 60",
        ],
    },
    SmallBench {
        name: "coils of a solenoid",
        options: "supply",
        first: &[
            "hookup wear eye-protection",
            "hookup remove jewellery",
            "hookup switch-off main-switch",
            "hookup fasten motor",
            "hookup clear drive-opening",
            "hookup detach motor-lead",
            "hookup attach clamp-meter",
        ],
        tried: &[
            "run attach motor-lead",
            "run look main-terminal",
            "run attach pull-in-return",
            "run detach pull-in-return",
            "run attach case-return",
            "run detach case-return",
            "run attach start-terminal",
            "run detach start-terminal",
            "run attach main-terminal",
            "run detach main-terminal",
            "run look positive-clip",
            "run instructor-check",
            "run switch-on pull-in-switch",
            "run switch-off pull-in-switch",
            "run switch-on main-switch",
            "run switch-off main-switch",
            "run energize start-button 3",
            "run read both_coils_a",
            "run release",
            "run rest 120",
        ],
    },
    SmallBench {
        name: "vehicle, cranking",
        options: "vehicle",
        first: &[],
        tried: &[
            "run wear eye-protection",
            "run remove jewellery",
            "run look battery",
            "run look voltmeter",
            "run switch-off key",
            "run switch-on key",
            "run fasten vehicle",
            "run loosen vehicle",
            "run clear vehicle",
            "run switch-off ignition-and-fuel",
            "run switch-on ignition-and-fuel",
            "run attach voltmeter-leads",
            "run instructor-check",
            "run energize key 5",
            "run read drop_v",
            "run release key",
            "run release remote-switch",
            "run rest 120",
            "run detach voltmeter-leads",
        ],
    },
    SmallBench {
        name: "bench supply, preparing",
        options: "supply",
        first: &[],
        tried: &[
            "run wear eye-protection",
            "run remove eye-protection",
            "run remove jewellery",
            "run switch-off main-switch",
            "run switch-on main-switch",
            "run fasten motor",
            "run loosen motor",
            "run clear drive-opening",
            "run attach case-return",
            "run attach start-terminal",
            "run detach start-terminal",
            "run detach case-return",
            "run look positive-clip",
            "run instructor-check",
            "run energize start-button 5",
            "run release start-button",
            "run rest 120",
        ],
    },
    SmallBench {
        name: "battery",
        options: "battery",
        first: &["hookup fasten motor", "hookup clear drive-opening"],
        tried: &[
            "run wear eye-protection",
            "run remove jewellery",
            "run look battery",
            "run switch-off remote-switch",
            "run attach case-return",
            "run attach main-terminal",
            "run attach start-terminal",
            "run look positive-clip",
            "run attach source-positive",
            "run attach source-negative",
            "run instructor-check",
            "run energize remote-switch 5",
            "run release remote-switch",
            "run rest 120",
            "run detach source-negative",
            "run detach source-positive",
            "run detach start-terminal",
            "run detach main-terminal",
            "run detach case-return",
        ],
    },
];

/// The list of a small bench, read by the program.
struct Lists {
    hookup: Hookup,
    readings: Vec<WorksheetReading>,
    first: usize,
}

fn read(bench: &SmallBench) -> Lists {
    let lines: Vec<&str> = bench.first.iter().chain(bench.tried).copied().collect();
    // The lesson writer sorts steps into their lists; here they stay in the order written.
    let mut all = Vec::new();
    let mut readings = Vec::new();
    let mut hookup = None;
    for line in &lines {
        let text = |path: &str, text: String| SourceText { path: path.to_owned(), text };
        let texts =
            vec![text("10-test.md", steps(bench.options, line)), text("course.toml", COURSE.to_owned())];
        let sources = SourceSet { texts, ..SourceSet::default() };
        let (checked, _) = pipeline::check(&sources, Vec::new());
        for piece in &checked.lessons()[0].lesson.pieces {
            match piece {
                Piece::Hookup(one) => {
                    assert!(one.complete, "{}: `{line}` can be read", bench.name);
                    all.extend(one.steps.iter().cloned());
                    hookup = Some(one.clone());
                }
                Piece::Worksheet(sheet) => readings.extend(sheet.readings.iter().cloned()),
                _ => {}
            }
        }
    }
    let mut hookup = hookup.expect("a bench has steps");
    // States are compared, so one step's place must not differ from another's.
    for step in &mut all {
        step.span = hookup.span;
        step.action.span = hookup.span;
    }
    hookup.steps = all;
    Lists { hookup, readings, first: bench.first.len() }
}

/// What an exploration found.
#[derive(Default)]
struct Explored {
    states: usize,
    transitions: usize,
    refused: usize,
    /// Accepted sequences of at most [`COUNTED`] steps.
    sequences: f64,
    /// The first step that hurt somebody: the steps up to it, and how.
    unsafe_at: Option<(Vec<usize>, Vec<Hazard>)>,
}

type State = (World, BenchState);

/// Visits every state that steps reach which break no rule but, perhaps, those `without`.
fn explore(lists: &Lists, without: &[&str]) -> Explored {
    let Lists { hookup, readings, first } = lists;
    let by_name = readings.iter().map(|reading| (reading.name.value.as_str(), reading)).collect();
    let reading = |step: &HookupStep| {
        let name = &step.reading.as_ref()?.value;
        readings.iter().find(|reading| reading.name.value == *name)
    };
    // Found one by one: most steps are refused by the first.
    let accepts = |rule: &'static str| without.contains(&rule);
    let mut start = (World::new(hookup), BenchState::at_start(hookup.bench));
    for step in &hookup.steps[..*first] {
        assert_eq!(broken_by(step, &start.1, hookup, &by_name).next(), None, "the first steps are in order");
        assert_eq!(start.0.step(step, hookup, reading(step)), [""; 0], "and safe");
        start.1.take(step);
    }
    let mut explored = Explored::default();
    let mut numbers: HashMap<State, usize> = HashMap::from([(start.clone(), 0)]);
    let mut queue: Vec<State> = vec![start];
    let mut from: Vec<Option<(usize, usize)>> = vec![None];
    let mut edges: Vec<Vec<usize>> = Vec::new();
    let mut at = 0;
    while at < queue.len() {
        let (world, state) = queue[at].clone();
        if broken_at_end(&state, hookup).all(accepts) {
            let hazards = world.left();
            if !hazards.is_empty() && explored.unsafe_at.is_none() {
                explored.unsafe_at = Some((path(&from, at), hazards));
            }
        }
        let mut next = Vec::new();
        for (index, step) in hookup.steps.iter().enumerate().skip(*first) {
            if !broken_by(step, &state, hookup, &by_name).all(accepts) {
                explored.refused += 1;
                continue;
            }
            let (mut world, mut state) = (world.clone(), state.clone());
            let hazards = world.step(step, hookup, reading(step));
            state.take(step);
            if !hazards.is_empty() && explored.unsafe_at.is_none() {
                let mut steps = path(&from, at);
                steps.push(index);
                explored.unsafe_at = Some((steps, hazards));
            }
            let reached = (world, state);
            let count = numbers.len();
            let number = *numbers.entry(reached.clone()).or_insert(count);
            if number == count {
                queue.push(reached);
                from.push(Some((at, index)));
            }
            next.push(number);
        }
        explored.transitions += next.len();
        edges.push(next);
        at += 1;
        // One is enough to show that a rule is needed.
        if !without.is_empty() && explored.unsafe_at.is_some() {
            break;
        }
    }
    explored.states = queue.len();
    explored.sequences = sequences(&edges);
    explored
}

/// The steps that lead to a state.
fn path(from: &[Option<(usize, usize)>], mut at: usize) -> Vec<usize> {
    let mut steps = Vec::new();
    while let Some((before, step)) = from[at] {
        steps.push(step);
        at = before;
    }
    steps.reverse();
    steps
}

/// How many sequences of at most [`COUNTED`] steps a graph of states has.
fn sequences(edges: &[Vec<usize>]) -> f64 {
    let mut ways = vec![0.0; edges.len()];
    ways[0] = 1.0;
    let mut all = 0.0;
    for _ in 0..COUNTED {
        let mut next = vec![0.0; edges.len()];
        for (state, reached) in edges.iter().enumerate() {
            for other in reached {
                // An exploration that was broken off has states whose steps are not known.
                if let Some(count) = next.get_mut(*other) {
                    *count += ways[state];
                }
            }
        }
        all += next.iter().sum::<f64>();
        ways = next;
    }
    all
}

fn words(lists: &Lists, steps: &[usize]) -> String {
    let word = |index: &usize| {
        let step = &lists.hookup.steps[*index];
        let part = step.part.as_ref().map_or("", |part| part.value.word());
        format!("{} {part}", step.action.value.word()).trim().to_owned()
    };
    steps.iter().map(word).collect::<Vec<_>>().join(", ")
}

#[test]
fn no_accepted_sequence_reaches_an_unsafe_state() {
    // Those without which nobody comes to harm are left out: what the rest accepts is safe, and so is all of less.
    let no_harm: Vec<&str> = NO_HARM.iter().map(|(rule, _)| *rule).collect();
    for bench in BENCHES {
        let lists = read(bench);
        let explored = explore(&lists, &no_harm);
        println!(
            "{}: {} states, {} accepted steps and {} refused ones between them, {:.1e} sequences of at most {COUNTED} steps",
            bench.name, explored.states, explored.transitions, explored.refused, explored.sequences
        );
        if let Some((steps, hazards)) = explored.unsafe_at {
            panic!("{}: {}: {hazards:?}", bench.name, words(&lists, &steps));
        }
        assert!(explored.states > 100, "{}: a bench on which something happens", bench.name);
    }
}

#[test]
fn a_rule_that_is_left_out_lets_somebody_come_to_harm() {
    let lists: Vec<Lists> = BENCHES.iter().map(read).collect();
    let harm = |without: &[&str]| {
        lists.iter().find_map(|lists| {
            let (steps, hazards) = explore(lists, without).unsafe_at?;
            Some(format!("{} ({})", hazards[0], words(lists, &steps)))
        })
    };
    let no_harm: Vec<&str> = NO_HARM.iter().map(|(rule, _)| *rule).collect();
    for rule in rule_names().filter(|rule| !no_harm.contains(rule)) {
        let harm = harm(&[rule]).unwrap_or_else(|| panic!("without {rule} nothing becomes unsafe"));
        println!("without {rule}: {harm}");
    }
    for (rule, why) in NO_HARM {
        assert!(rule_names().any(|name| name == *rule), "{rule} is a rule");
        println!("without {rule}: no harm, as the other test shows; {why}");
    }
}
