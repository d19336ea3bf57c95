//! Everything in its place: wires led, steps numbered on them, words beside them.

use std::collections::BTreeSet;

use crate::course::{Circuit, Drawn, LABEL_SIZE, LabelOf, PlacedLabel, STEP_MARK, Scenes, Terminal};
use crate::finding::{Finding, shown};
use crate::layout::Point;
use crate::layout::label::{LINE, Room, around, lines, place as find_room, width};
use crate::layout::rect::Rect;
use crate::layout::route::{End, Way, junctions, points, wires};
use crate::symbol::STEP;

/// Letters in a line of a label, about: as it is nicest, and where there is little room.
const LONGEST_LINES: [usize; 3] = [18, 14, 10];
/// How far words may be from what they belong to.
const REACH: f64 = 34.0;
/// Free border of a drawing.
const BORDER: f64 = 8.0;

/// Leads the wires and finds room for all words; what finds none is a finding.
pub fn place(
    circuit: &Circuit,
    ends: Vec<[Terminal; 2]>,
    scenes: Scenes,
    found: &mut Vec<Finding>,
) -> Option<Drawn> {
    let bodies: Vec<_> = circuit
        .symbols
        .iter()
        .map(|symbol| symbol.turned.body())
        // A point is nothing that wires must keep away from.
        .filter(|[left, top, right, bottom]| left != right || top != bottom)
        .collect();
    let end = |(symbol, pin): Terminal| End {
        terminal: symbol * 16 + pin,
        at: circuit.symbols[symbol].turned.pin(pin),
    };
    let routed: Vec<(End, End)> = ends.iter().map(|[from, to]| (end(*from), end(*to))).collect();
    let ways = match wires(&bodies, &routed) {
        Ok(ways) => ways,
        Err(stuck) => {
            for wire in stuck {
                let wire = &circuit.wires[wire];
                let message = format!(
                    "the wire from `{}` to `{}` finds no way",
                    shown(&wire.from.value),
                    shown(&wire.to.value)
                );
                found.push(
                    Finding::error("no-way", message, wire.span, "something is everywhere in between")
                        .help("move symbols apart, or turn one of them so that its terminal faces the other"),
                );
            }
            return None;
        }
    };
    let leads: BTreeSet<usize> = circuit
        .symbols
        .iter()
        .enumerate()
        .filter(|(_, symbol)| symbol.kind() != crate::symbol::Kind::Point)
        .flat_map(|(index, symbol)| (0..symbol.turned.symbol.pins.len()).map(move |pin| index * 16 + pin))
        .collect();
    let dots: Vec<Point> = junctions(&routed, &ways, &leads).into_iter().collect();
    let mut barred: Vec<Rect> =
        bodies.iter().map(|area| fine(area[0], area[1]).with(fine(area[2], area[3]))).collect();
    let mut taken = barred.clone();
    taken.extend(dots.iter().map(|dot| fine(dot.0, dot.1).grown(4.0)));
    let steps = steps(circuit, &ways, &scenes, taken, found);
    for way in &ways {
        barred.extend(
            way.windows(2).map(|pair| fine(pair[0].0, pair[0].1).with(fine(pair[1].0, pair[1].1)).grown(2.5)),
        );
    }
    barred.extend(dots.iter().map(|dot| fine(dot.0, dot.1).grown(5.0)));
    barred.extend(steps.iter().flatten().map(|(_, at)| fine(at.0, at.1).grown(STEP_MARK)));
    let labels = labels(circuit, &ways, &scenes, &barred, found)?;
    let rects = labels.iter().map(PlacedLabel::rect).chain(barred.iter().copied());
    let bounds = rects.reduce(Rect::with)?.grown(BORDER);
    Some(Drawn { ends, ways, dots, labels, steps, bounds, scenes })
}

fn fine(x: i32, y: i32) -> Rect {
    let at = (f64::from(x * STEP), f64::from(y * STEP));
    Rect::between(at, at)
}

/// Numbers of the steps that attach each wire, in a free stretch of it.
fn steps(
    circuit: &Circuit,
    ways: &[Way],
    scenes: &Scenes,
    mut taken: Vec<Rect>,
    found: &mut Vec<Finding>,
) -> Vec<Option<(String, Point)>> {
    let mut steps: Vec<Option<(String, Point)>> = Vec::with_capacity(ways.len());
    let mut stuck = Vec::new();
    for (index, way) in ways.iter().enumerate() {
        let Some((step, _)) = scenes.joined[index].iter().find(|(first, _)| *first > 0) else {
            steps.push(None);
            continue;
        };
        let others: Vec<Rect> = ways
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index)
            .flat_map(|(_, way)| way.windows(2))
            .map(|pair| fine(pair[0].0, pair[0].1).with(fine(pair[1].0, pair[1].1)).grown(1.0))
            .collect();
        let free = |at: &Point| {
            let rect = fine(at.0, at.1).grown(STEP_MARK);
            taken.iter().chain(&others).all(|other| !other.overlaps(&rect))
        };
        let mut places = points(way);
        // The middle of the way first, then to both sides.
        let middle = places.len() / 2;
        let mut order: Vec<usize> = (0..places.len()).collect();
        order.sort_by_key(|at| (at.abs_diff(middle), *at));
        places = order.into_iter().map(|at| places[at]).collect();
        match places.into_iter().find(free) {
            Some(at) => {
                taken.push(fine(at.0, at.1).grown(STEP_MARK));
                steps.push(Some((step.to_string(), at)));
            }
            None => {
                stuck.push((index, *step));
                steps.push(None);
            }
        }
    }
    // A lead may be drawn in several pieces; one of them with the number is enough.
    for (wire, step) in stuck {
        if !steps.iter().flatten().any(|(words, _)| *words == step.to_string()) {
            no_room(circuit, LabelOf::Wire(wire), "the number of its step", found);
        }
    }
    steps
}

fn labels(
    circuit: &Circuit,
    ways: &[Way],
    scenes: &Scenes,
    barred: &[Rect],
    found: &mut Vec<Finding>,
) -> Option<Vec<PlacedLabel>> {
    let symbols = (0..circuit.symbols.len()).map(LabelOf::Symbol);
    let mut all: Vec<_> = symbols
        .chain((0..ways.len()).map(LabelOf::Wire))
        .map(|of| (of, shapes(circuit, ways, scenes, of)))
        .filter(|(_, shapes)| !shapes.is_empty())
        .collect();
    // In the order written, then with the largest first: one of the two usually fits.
    let mut missing = Vec::new();
    for by_size in [false, true] {
        if by_size {
            let area = |shapes: &[PlacedLabel]| shapes[0].size.0 * shapes[0].size.1;
            all.sort_by(|(one, a), (other, b)| area(b).total_cmp(&area(a)).then(one.cmp(other)));
        }
        let wanted: Vec<Vec<Room>> = all
            .iter()
            .map(|(of, shapes)| {
                let room = |shape: &PlacedLabel| Room {
                    middle: shape.middle,
                    size: shape.size,
                    way: match of {
                        LabelOf::Symbol(_) => shape.rect().gap(&owner(circuit, ways, *of)),
                        LabelOf::Wire(_) => None,
                    },
                };
                shapes.iter().map(room).collect()
            })
            .collect();
        let places = find_room(&wanted, barred);
        missing =
            all.iter().zip(&places).filter(|(_, place)| place.is_none()).map(|((of, _), _)| *of).collect();
        if missing.is_empty() {
            let mut placed: Vec<_> = all
                .iter()
                .zip(places)
                .filter_map(|((_, shapes), place)| shapes.get(place?).cloned())
                .collect();
            placed.sort_by_key(|label| label.of);
            return Some(placed);
        }
    }
    for of in missing {
        no_room(circuit, of, "its words", found);
    }
    None
}

fn no_room(circuit: &Circuit, of: LabelOf, what: &str, found: &mut Vec<Finding>) {
    let (name, span) = match of {
        LabelOf::Symbol(symbol) => (circuit.symbols[symbol].name.value.clone(), circuit.symbols[symbol].span),
        LabelOf::Wire(wire) => {
            let wire = &circuit.wires[wire];
            (format!("{} to {}", wire.from.value, wire.to.value), wire.span)
        }
    };
    let message = format!("there is no room for {what} at `{}`", shown(&name));
    found.push(
        Finding::error("no-room", message, span, "too crowded here")
            .help("move symbols apart, or write fewer words: `label = \"…\"`"),
    );
}

/// The words of a thing in every shape and place that they may have, best first; none for what has no words.
fn shapes(circuit: &Circuit, ways: &[Way], scenes: &Scenes, of: LabelOf) -> Vec<PlacedLabel> {
    let words = match of {
        LabelOf::Symbol(symbol) => &circuit.symbols[symbol].label,
        LabelOf::Wire(wire) => &circuit.wires[wire].label,
    };
    let values: Vec<&str> = scenes
        .values
        .iter()
        .filter(|(other, _, _)| *other == of)
        .map(|(_, _, words)| words.as_str())
        .collect();
    let value_lines = values.iter().map(|words| words.split(", ").count()).max().unwrap_or(0);
    let owner = owner(circuit, ways, of);
    let mut shapes = Vec::new();
    for longest in LONGEST_LINES {
        let lines = lines(words, longest);
        if lines.is_empty() && value_lines == 0 {
            continue;
        }
        let parts = values.iter().flat_map(|words| words.split(", "));
        let widest = lines.iter().map(String::as_str).chain(parts).map(|line| width(line, LABEL_SIZE));
        let size = (widest.fold(0.0, f64::max), (lines.len() + value_lines) as f64 * LINE * LABEL_SIZE);
        let middles: Vec<(f64, f64)> = match of {
            LabelOf::Symbol(_) => around(owner, size, REACH),
            LabelOf::Wire(wire) => beside(&ways[wire], size),
        };
        shapes.extend(middles.into_iter().map(|middle| PlacedLabel {
            of,
            middle,
            size,
            lines: lines.clone(),
            value_lines,
            values_first: middle.1 + size.1 / 2.0 <= owner.top,
        }));
    }
    shapes
}

/// The room that a thing takes itself.
fn owner(circuit: &Circuit, ways: &[Way], of: LabelOf) -> Rect {
    match of {
        LabelOf::Symbol(symbol) => {
            let [left, top, right, bottom] = circuit.symbols[symbol].turned.body();
            fine(left, top).with(fine(right, bottom))
        }
        LabelOf::Wire(wire) => {
            let all = ways[wire].iter().map(|(x, y)| fine(*x, *y)).reduce(Rect::with);
            all.unwrap_or_else(|| fine(0, 0))
        }
    }
}

/// Places beside a wire: by its longest stretch first, near its middle first, close to it first.
fn beside(way: &[Point], size: (f64, f64)) -> Vec<(f64, f64)> {
    const SHARES: [f64; 7] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95];
    const GAPS: [f64; 3] = [4.0, 9.0, 15.0];
    let mut stretches: Vec<Rect> =
        way.windows(2).map(|pair| fine(pair[0].0, pair[0].1).with(fine(pair[1].0, pair[1].1))).collect();
    stretches.sort_by(|a, b| (b.width() + b.height()).total_cmp(&(a.width() + a.height())));
    let mut places = Vec::new();
    for gap in GAPS {
        for stretch in &stretches {
            for share in SHARES {
                let x = stretch.left + share * stretch.width();
                let y = stretch.top + share * stretch.height();
                if stretch.height() == 0.0 {
                    let by = size.1 / 2.0 + gap;
                    places.extend([(x, y - by), (x, y + by)]);
                } else {
                    let by = size.0 / 2.0 + gap;
                    places.extend([(x + by, y), (x - by, y)]);
                }
            }
        }
    }
    places
}
