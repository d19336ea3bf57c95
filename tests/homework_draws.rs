//! Drawn numbers are those of an independent program, and stay so: no later version may change a term's numbers.

use fieldcoil_calc::homework::draw::{Lot, VERSION};
use fieldcoil_tests::repository::read;
use serde::Deserialize;

#[derive(Deserialize)]
struct Draws {
    draw: Vec<Draw>,
}

#[derive(Deserialize)]
struct Draw {
    key: String,
    item: String,
    field: String,
    code: String,
    attempt: u32,
    count: u64,
    drawn: u64,
}

#[test]
fn a_hundred_draws_are_those_of_another_program() {
    let draws: Draws = toml::from_str(&read("tests/homework/draws.toml")).expect("a list of draws");
    assert_eq!((VERSION, draws.draw.len()), (1, 100));
    for one in &draws.draw {
        let lot = Lot { key: &one.key, code: &one.code, attempt: one.attempt };
        assert_eq!(
            lot.draw(&one.item, &one.field, one.count),
            one.drawn,
            "{} {} {}",
            one.item,
            one.field,
            one.code
        );
    }
}
