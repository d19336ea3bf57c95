//! Wires on all kinds of grids: what must hold for each.

use proptest::prelude::*;

use super::*;

fn end(terminal: usize, at: Point) -> End {
    End { terminal, at }
}

/// What must hold of wires, whatever the diagram.
fn check(bodies: &[Area], ends: &[(End, End)], ways: &[Way]) {
    for ((from, to), way) in ends.iter().zip(ways) {
        assert_eq!((way.first(), way.last()), (Some(&from.at), Some(&to.at)));
        for pair in way.windows(2) {
            assert!(pair[0].0 == pair[1].0 || pair[0].1 == pair[1].1, "square: {way:?}");
        }
        let all = points(way);
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len(), "no loop: {way:?}");
        for point in &all[1..all.len() - 1] {
            for [left, top, right, bottom] in bodies {
                let inside = (*left..=*right).contains(&point.0) && (*top..=*bottom).contains(&point.1);
                assert!(!inside, "{point:?} of {way:?} lies on a body");
            }
        }
    }
    for (a, way) in ways.iter().enumerate() {
        for (b, other) in ways.iter().enumerate().take(a) {
            let common = |end: End| end.terminal == ends[b].0.terminal || end.terminal == ends[b].1.terminal;
            if !common(ends[a].0) && !common(ends[a].1) {
                no_common_stretch(way, other);
            }
        }
    }
}

/// Strangers cross square, away from bends and ends.
fn no_common_stretch(a: &Way, b: &Way) {
    let (a, b) = (points(a), points(b));
    for at in 0..a.len() {
        let Some(on) = b.iter().position(|point| *point == a[at]) else { continue };
        let inside = at > 0 && at + 1 < a.len() && on > 0 && on + 1 < b.len();
        assert!(inside, "{:?} is an end", a[at]);
        let across = |path: &[Point], at: usize| (path[at - 1].1 == path[at].1, path[at + 1].1 == path[at].1);
        let (one, other) = (across(&a, at), across(&b, on));
        assert!(one.0 == one.1 && other.0 == other.1 && one.0 != other.0, "{:?} is no crossing", a[at]);
    }
}

#[test]
fn a_free_wire_is_straight() {
    let ends = [(end(0, (0, 0)), end(1, (9, 0)))];
    assert_eq!(wires(&[], &ends).expect("a way"), [vec![(0, 0), (9, 0)]]);
}

#[test]
fn a_body_is_gone_round() {
    let ends = [(end(0, (0, 0)), end(1, (10, 0)))];
    let bodies = [[4, -2, 6, 2]];
    let ways = wires(&bodies, &ends).expect("a way");
    check(&bodies, &ends, &ways);
    assert_eq!(ways[0].len(), 4, "two bends: {:?}", ways[0]);
}

#[test]
fn wires_of_one_terminal_join_with_a_dot() {
    // A terminal on the right border of a body can only be left to the right, so the second wire joins the first.
    let bodies = [[-2, -1, 0, 1]];
    let ends = [(end(0, (0, 0)), end(1, (10, 0))), (end(0, (0, 0)), end(2, (5, 6)))];
    let ways = wires(&bodies, &ends).expect("ways");
    check(&bodies, &ends, &ways);
    let dots = junctions(&ends, &ways, &BTreeSet::from([0]));
    assert_eq!(dots.len(), 1, "{ways:?} {dots:?}");
    assert!(dots.iter().all(|(x, y)| *y == 0 && (1..=3).contains(x)), "close to the terminal: {dots:?}");
}

#[test]
fn a_crossing_has_no_dot() {
    let ends = [(end(0, (0, 5)), end(1, (10, 5))), (end(2, (5, 0)), end(3, (5, 10)))];
    let ways = wires(&[], &ends).expect("ways");
    check(&[], &ends, &ways);
    assert_eq!(junctions(&ends, &ways, &BTreeSet::new()), BTreeSet::new());
}

#[test]
fn a_walled_in_terminal_has_no_way() {
    let bodies =
        [[-1, -1, 1, 1], [-1, -3, 3, -1], [2, -2, 4, 3], [-3, 1, 3, 3], [-4, -3, -2, 3], [-4, -4, 4, -2]];
    let ends = [(end(0, (1, 0)), end(1, (20, 0)))];
    assert_eq!(wires(&bodies, &ends), Err(vec![0]));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Parts in a raster, each with four terminals, and wires between any of them.
    #[test]
    fn whatever_is_wired_is_wired_cleanly(pairs in prop::collection::vec((0..48usize, 0..48usize), 1..16)) {
        let parts: Vec<Point> = (0..12).map(|index| ((index % 4) * 12, (index / 4) * 12)).collect();
        let bodies: Vec<Area> = parts.iter().map(|(x, y)| [x - 2, y - 2, x + 2, y + 2]).collect();
        let pin = |index: usize| {
            let (x, y) = parts[index / 4];
            let at = [(x + 2, y), (x - 2, y), (x, y + 2), (x, y - 2)][index % 4];
            end(index, at)
        };
        let mut seen = BTreeSet::new();
        let ends: Vec<(End, End)> = pairs
            .into_iter()
            .filter(|(a, b)| a != b && seen.insert((*a.min(b), *a.max(b))))
            .map(|(a, b)| (pin(a), pin(b)))
            .collect();
        if let Ok(ways) = wires(&bodies, &ends) {
            check(&bodies, &ends, &ways);
        }
    }
}
