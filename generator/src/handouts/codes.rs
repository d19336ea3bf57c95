//! Codes for students who have none: drawn from chance that the caller brings.

use std::collections::BTreeSet;

use fieldcoil_calc::homework::code::{Code, DRAWN, LETTERS};

use crate::roster::Roster;

/// Bytes from here on would make the first letters likelier than the last: they are drawn again.
const FAIR: u8 = (u8::MAX / LETTERS.len() as u8) * LETTERS.len() as u8;

/// Gives every student without a code one that nobody has; says how many. `chance` fills bytes at random.
///
/// # Errors
/// What `chance` says when there is none; the roster may then have some of its codes.
pub fn draw<E>(roster: &mut Roster, mut chance: impl FnMut(&mut [u8]) -> Result<(), E>) -> Result<usize, E> {
    let mut taken: BTreeSet<Code> = roster.students.iter().filter_map(|student| student.code).collect();
    let mut count = 0;
    for student in roster.students.iter_mut().filter(|student| student.code.is_none()) {
        // One code in 29 sets of letters has no letter for its check, and a class is small beside 28⁶ codes.
        while student.code.is_none() {
            student.code = Code::of(places(&mut chance)?).filter(|code| taken.insert(*code));
        }
        count += 1;
    }
    Ok(count)
}

fn places<E>(chance: &mut impl FnMut(&mut [u8]) -> Result<(), E>) -> Result<[u8; DRAWN], E> {
    let mut places = [0; DRAWN];
    let mut filled = 0;
    while filled < DRAWN {
        let mut bytes = [0; 2 * DRAWN];
        chance(&mut bytes)?;
        for byte in bytes.into_iter().filter(|byte| *byte < FAIR).take(DRAWN - filled) {
            places[filled] = byte % LETTERS.len() as u8;
            filled += 1;
        }
    }
    Ok(places)
}
