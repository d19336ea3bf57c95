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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::roster::read;

    /// Chance that anybody can foretell, which is what a test wants.
    fn counting() -> impl FnMut(&mut [u8]) -> Result<(), &'static str> {
        let mut state = 7u32;
        move |bytes| {
            for byte in bytes {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                *byte = (state >> 24) as u8;
            }
            Ok(())
        }
    }

    #[test]
    fn who_has_a_code_keeps_it_and_all_others_get_their_own() {
        let own = Code::of([1, 2, 3, 4, 5, 6]).expect("a code");
        let rows = ",Ben,\n".repeat(500);
        let (mut roster, complaints) = read("class.csv", &format!("code,name,group\n{own},Ada,\n{rows}"));
        assert_eq!(complaints, []);
        assert_eq!(draw(&mut roster, counting()), Ok(500));
        assert_eq!(roster.students[0].code, Some(own));
        let codes: BTreeSet<Code> = roster.students.iter().filter_map(|student| student.code).collect();
        assert_eq!(codes.len(), 501, "every student has a code, and no two the same");
        let again = roster.clone();
        assert_eq!(draw(&mut roster, counting()), Ok(0));
        assert_eq!(roster, again);
    }

    #[test]
    fn a_code_that_is_taken_is_drawn_again() {
        let (mut roster, _) = read("class.csv", "code,name\n,Ada\n,Ben\n");
        // The same bytes come twice before others do, and 252 to 255 are passed over.
        let mut calls = 0;
        let chance = |bytes: &mut [u8]| {
            calls += 1;
            bytes.fill(if calls < 3 { 28 } else { 29 });
            bytes[0] = 255;
            Ok::<(), ()>(())
        };
        assert_eq!(draw(&mut roster, chance), Ok(2));
        let codes: Vec<_> = roster.students.iter().filter_map(|student| student.code).collect();
        assert_eq!(codes, [Code::of([0; DRAWN]), Code::of([1; DRAWN])].map(|code| code.expect("a code")));
    }

    #[test]
    fn without_chance_there_are_no_codes() {
        let (mut roster, _) = read("class.csv", "code,name\n,Ada\n");
        assert_eq!(draw(&mut roster, |_| Err("none")), Err("none"));
        assert_eq!(roster.students[0].code, None);
    }
}
