//! Orthogonal wires: round bodies, seldom bent, never on top of each other.
//!
//! Each wire is the cheapest way over the grid (A*): a step costs little, a bend more, a crossing still more, and so does
//! keeping close to something else. Two wires that share a terminal may run together near it and nowhere else; all others
//! may only cross, square and without a bend at the crossing, so that a crossing is never taken for a junction. When a
//! wire finds no way, it is led first in the next try; when all have one, each is led once more, knowing the others.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use super::Point;

/// A terminal: which one, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct End {
    /// Wires with the same number here meet at this terminal.
    pub terminal: usize,
    /// Its place.
    pub at: Point,
}

/// A wire from terminal to terminal, as the corners of its way.
pub type Way = Vec<Point>;

/// The area of a body, borders included: left, top, right, bottom.
pub type Area = [i32; 4];

const STEP: u32 = 10;
const BEND: u32 = 25;
const CROSSING: u32 = 60;
const NEAR_BODY: u32 = 4;
const NEAR_WIRE: u32 = 7;
/// Running along a wire of the same terminal, each step.
const SHARED: u32 = 12;
/// How far from their terminal wires may run together.
const LONGEST_SHARED: usize = 3;
/// Free steps around everything, through which wires may go.
const MARGIN: i32 = 4;
const TRIES: usize = 40;
/// Points that are looked at, in all tries together: after that, what has found no way will hardly find one. The fullest
/// diagram of the default course takes less than a hundredth of it.
const MOST_LOOKED_AT: usize = 3_000_000;

/// The corners of each wire; or the wires that found no way in any order tried.
pub fn wires(bodies: &[Area], ends: &[(End, End)]) -> Result<Vec<Way>, Vec<usize>> {
    let field = Field::new(bodies, ends);
    let mut order: Vec<usize> = (0..ends.len()).collect();
    order.sort_by_key(|wire| (distance(ends[*wire].0.at, ends[*wire].1.at), *wire));
    let mut never = BTreeSet::new();
    let mut looked_at = 0;
    for _ in 0..TRIES {
        if looked_at > MOST_LOOKED_AT {
            break;
        }
        match all_in(&field, ends, &order, &mut looked_at) {
            Ok(mut paths) => {
                improve(&field, ends, &order, &mut paths, &mut looked_at);
                return Ok(paths.iter().map(|path| corners(path)).collect());
            }
            Err(failed) => {
                never.insert(failed);
                let at = order.iter().position(|wire| *wire == failed).expect("it is in the order");
                order.remove(at);
                order.insert(0, failed);
            }
        }
    }
    Err(never.into_iter().collect())
}

/// Where at least three lines meet: junctions that get a dot. `ends` and `ways` are those of [`wires`]; at the terminals in
/// `leads` the symbol itself is one of the lines.
pub fn junctions(ends: &[(End, End)], ways: &[Way], leads: &BTreeSet<usize>) -> BTreeSet<Point> {
    let mut spokes: BTreeMap<(usize, Point), BTreeSet<Point>> = BTreeMap::new();
    for ((from, to), way) in ends.iter().zip(ways) {
        for end in [from, to] {
            for pair in points(way).windows(2) {
                let [a, b] = [pair[0], pair[1]];
                spokes.entry((end.terminal, a)).or_default().insert((b.0 - a.0, b.1 - a.1));
                spokes.entry((end.terminal, b)).or_default().insert((a.0 - b.0, a.1 - b.1));
            }
            if leads.contains(&end.terminal) {
                spokes.entry((end.terminal, end.at)).or_default().insert((0, 0));
            }
        }
    }
    spokes.into_iter().filter(|(_, spokes)| spokes.len() >= 3).map(|((_, point), _)| point).collect()
}

/// Every grid point of a way.
pub fn points(way: &[Point]) -> Vec<Point> {
    let mut all: Vec<Point> = way.first().copied().into_iter().collect();
    for pair in way.windows(2) {
        let step = ((pair[1].0 - pair[0].0).signum(), (pair[1].1 - pair[0].1).signum());
        let mut at = pair[0];
        while at != pair[1] {
            at = (at.0 + step.0, at.1 + step.1);
            all.push(at);
        }
    }
    all
}

fn corners(path: &[Point]) -> Way {
    let mut way = Way::new();
    for (index, point) in path.iter().enumerate() {
        let straight = index > 0
            && path.get(index + 1).is_some_and(|next| {
                let before = path[index - 1];
                (point.0 - before.0, point.1 - before.1) == (next.0 - point.0, next.1 - point.1)
            });
        if !straight {
            way.push(*point);
        }
    }
    way
}

fn distance(a: Point, b: Point) -> i32 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}

/// What does not change from wire to wire.
struct Field {
    left: i32,
    top: i32,
    width: i32,
    height: i32,
    /// May a wire be here?
    free: Vec<bool>,
    /// Is a body next to it?
    near: Vec<bool>,
}

impl Field {
    fn new(bodies: &[Area], ends: &[(End, End)]) -> Field {
        let pins = || ends.iter().flat_map(|(from, to)| [from.at, to.at]);
        let xs = || bodies.iter().flat_map(|area| [area[0], area[2]]).chain(pins().map(|at| at.0));
        let ys = || bodies.iter().flat_map(|area| [area[1], area[3]]).chain(pins().map(|at| at.1));
        let left = xs().min().unwrap_or(0) - MARGIN;
        let top = ys().min().unwrap_or(0) - MARGIN;
        let width = xs().max().unwrap_or(0) + MARGIN + 1 - left;
        let height = ys().max().unwrap_or(0) + MARGIN + 1 - top;
        let size = (width * height) as usize;
        let mut field = Field { left, top, width, height, free: vec![true; size], near: vec![false; size] };
        for [x0, y0, x1, y1] in bodies {
            for y in y0 - 1..=y1 + 1 {
                for x in x0 - 1..=x1 + 1 {
                    let Some(at) = field.index((x, y)) else { continue };
                    if (*x0..=*x1).contains(&x) && (*y0..=*y1).contains(&y) {
                        field.free[at] = false;
                    } else {
                        field.near[at] = true;
                    }
                }
            }
        }
        field
    }

    fn index(&self, (x, y): Point) -> Option<usize> {
        let (x, y) = (x - self.left, y - self.top);
        ((0..self.width).contains(&x) && (0..self.height).contains(&y))
            .then_some((y * self.width + x) as usize)
    }
}

/// Leads all wires in this order; or names the first that finds no way.
fn all_in(
    field: &Field,
    ends: &[(End, End)],
    order: &[usize],
    looked_at: &mut usize,
) -> Result<Vec<Vec<Point>>, usize> {
    let mut paths: Vec<Vec<Point>> = vec![Vec::new(); ends.len()];
    for wire in order {
        paths[*wire] = lead(field, ends, &paths, *wire, looked_at).ok_or(*wire)?;
    }
    Ok(paths)
}

/// Leads each wire once more with all others in their places, which never makes it dearer.
fn improve(
    field: &Field,
    ends: &[(End, End)],
    order: &[usize],
    paths: &mut [Vec<Point>],
    looked_at: &mut usize,
) {
    for _ in 0..2 {
        for wire in order {
            let old = std::mem::take(&mut paths[*wire]);
            paths[*wire] = lead(field, ends, paths, *wire, looked_at).unwrap_or(old);
        }
    }
}

/// What runs over a grid point.
#[derive(Clone, Copy, Default, PartialEq)]
struct Taken {
    across: bool,
    down: bool,
    ends: bool,
    /// By a wire with a common terminal, which is neither crossed nor run along.
    barred: bool,
    /// By a wire without one.
    foreign: bool,
}

impl Taken {
    fn any(self) -> bool {
        self != Taken::default()
    }

    fn along(self, across: bool) -> bool {
        if across { self.across } else { self.down }
    }

    /// May a wire that goes on straight in this direction cross here? It may where others run square to it.
    fn may_be_crossed(self, across: bool) -> bool {
        !self.ends && !self.barred && !self.along(across)
    }
}

/// The other wires as one of them sees them, point by point.
fn others(field: &Field, ends: &[(End, End)], paths: &[Vec<Point>], wire: usize) -> Vec<Taken> {
    let mut others = vec![Taken::default(); field.free.len()];
    let own = [ends[wire].0.terminal, ends[wire].1.terminal];
    for (index, path) in paths.iter().enumerate().filter(|(index, _)| *index != wire) {
        let related = own.contains(&ends[index].0.terminal) || own.contains(&ends[index].1.terminal);
        for (at, point) in path.iter().enumerate() {
            let Some(place) = field.index(*point) else { continue };
            let taken = &mut others[place];
            taken.barred |= related;
            taken.foreign |= !related;
            for next in [at.checked_sub(1).map(|at| path[at]), path.get(at + 1).copied()] {
                match next {
                    Some(next) if next.1 == point.1 => taken.across = true,
                    Some(_) => taken.down = true,
                    None => taken.ends = true,
                }
            }
        }
    }
    others
}

/// Points at which a wire may leave (or reach) its terminal: the terminal, and the first few points of wires that are
/// already there, each with the way from it to the terminal.
fn doors(end: End, ends: &[(End, End)], paths: &[Vec<Point>], wire: usize) -> BTreeMap<Point, Vec<Point>> {
    let mut doors = BTreeMap::from([(end.at, vec![end.at])]);
    for (index, path) in paths.iter().enumerate().filter(|(index, path)| *index != wire && !path.is_empty()) {
        let (from, to) = ends[index];
        let mut path = path.clone();
        if to.terminal == end.terminal {
            path.reverse();
        } else if from.terminal != end.terminal {
            continue;
        }
        // Never as far as the other end of that wire, for that is another terminal.
        let shared = LONGEST_SHARED.min(path.len().saturating_sub(3));
        for length in 1..=shared {
            let mut way = path[..=length].to_vec();
            way.reverse();
            doors.entry(path[length]).or_insert(way);
        }
    }
    doors
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Here {
    point: Point,
    /// 0 to 3; 4 before the first step.
    direction: u8,
}

const DIRECTIONS: [Point; 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

fn lead(
    field: &Field,
    ends: &[(End, End)],
    paths: &[Vec<Point>],
    wire: usize,
    looked_at: &mut usize,
) -> Option<Vec<Point>> {
    let (from, to) = ends[wire];
    let others = others(field, ends, paths, wire);
    let sources = doors(from, ends, paths, wire);
    let targets = doors(to, ends, paths, wire);
    let mut search = Search { best: vec![None; field.free.len() * 5], field };
    let mut open = BinaryHeap::new();
    let is_joinable = |point: &Point| field.index(*point).is_some_and(|at| !others[at].foreign);
    for (point, way) in sources.iter().filter(|(point, _)| is_joinable(point)) {
        let here = Here { point: *point, direction: 4 };
        let cost = SHARED * (way.len() as u32 - 1);
        search.note(here, cost, None);
        open.push(Reverse((cost + guess(*point, to.at), cost, here)));
    }
    while let Some(Reverse((_, cost, here))) = open.pop() {
        *looked_at += 1;
        if search.cost(here).is_some_and(|known| known < cost) {
            continue;
        }
        if let Some(way) = targets.get(&here.point).filter(|_| here.direction != 4) {
            return Some(search.whole(here, &sources, way));
        }
        // A wire that crosses goes on straight behind the crossing.
        let crosses = here.direction != 4 && field.index(here.point).is_some_and(|at| others[at].any());
        for (direction, step) in DIRECTIONS.iter().enumerate() {
            let direction = direction as u8;
            let next = Here { point: (here.point.0 + step.0, here.point.1 + step.1), direction };
            let back = here.direction != 4 && (here.direction + 2) % 4 == direction;
            let bends = here.direction != 4 && here.direction != direction;
            let Some(at) = field.index(next.point).filter(|_| !(back || crosses && bends)) else { continue };
            let across = direction.is_multiple_of(2);
            let price = match targets.get(&next.point) {
                // Not where a stranger crosses the wire that is joined.
                Some(_) if others[at].foreign => continue,
                Some(way) => STEP + SHARED * (way.len() as u32 - 1),
                None if sources.contains_key(&next.point) => continue,
                None if !field.free[at] || !others[at].may_be_crossed(across) => continue,
                None => step_price(field, &others, next.point, at),
            };
            let total = cost + price + if bends { BEND } else { 0 };
            if search.cost(next).is_none_or(|known| total < known) {
                search.note(next, total, Some(here));
                open.push(Reverse((total + guess(next.point, to.at), total, next)));
            }
        }
    }
    None
}

fn step_price(field: &Field, others: &[Taken], point: Point, at: usize) -> u32 {
    let beside = |(x, y): &Point| field.index((point.0 + x, point.1 + y)).is_some_and(|at| others[at].any());
    let mut price = STEP;
    if others[at].any() {
        price += CROSSING;
    } else if DIRECTIONS.iter().any(beside) {
        price += NEAR_WIRE;
    }
    if field.near[at] {
        price += NEAR_BODY;
    }
    price
}

/// The cheapest ways found so far, to each point in each direction.
struct Search<'f> {
    field: &'f Field,
    best: Vec<Option<(u32, Option<Here>)>>,
}

impl Search<'_> {
    fn place(&self, here: Here) -> usize {
        self.field.index(here.point).expect("only points of the field are reached") * 5
            + usize::from(here.direction)
    }

    fn cost(&self, here: Here) -> Option<u32> {
        self.best[self.place(here)].map(|(cost, _)| cost)
    }

    fn note(&mut self, here: Here, cost: u32, before: Option<Here>) {
        let place = self.place(here);
        self.best[place] = Some((cost, before));
    }

    /// The way from terminal to terminal: along a wire that is there, over the new stretch, along a wire that is there.
    fn whole(&self, last: Here, sources: &BTreeMap<Point, Vec<Point>>, way_in: &[Point]) -> Vec<Point> {
        let mut back = vec![last.point];
        let mut here = last;
        while let Some((_, Some(before))) = self.best[self.place(here)] {
            back.push(before.point);
            here = before;
        }
        // A door's way runs from the door to the terminal.
        let mut path: Vec<Point> = sources[&here.point].iter().rev().copied().collect();
        path.extend(back.iter().rev().skip(1));
        path.extend(way_in.iter().skip(1));
        path
    }
}

fn guess(a: Point, b: Point) -> u32 {
    // A door saves at most its distance to the terminal.
    STEP * (distance(a, b) - LONGEST_SHARED as i32).max(0) as u32
}

#[cfg(test)]
mod tests;
