//! Codes of students: drawn at random, easy to copy by hand, and proof against one slip of the pen.
//!
//! A code has six letters and figures drawn at random and a seventh that checks them: `BK4-7TXQ`. Letters that look like
//! figures are left out, and vowels, so that no code spells a word.

use std::fmt::{self, Display, Formatter};

/// Letters and figures of a code, each worth its place in this list.
pub const LETTERS: &[u8; 28] = b"23456789BCDFGHJKMNPQRSTVWXYZ";
/// How many are drawn.
pub const DRAWN: usize = 6;
/// A prime above the number of letters: every single wrong letter and every exchange of two neighbours changes the check.
const PRIME: u32 = 29;

/// A code that checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code([u8; DRAWN + 1]);

/// Why a text is no code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeProblem {
    /// It has another length.
    Length(usize),
    /// It has a letter that no code has.
    Letter(char),
    /// Its last letter does not fit the others.
    Check,
}

impl Code {
    /// The code with these places of letters; nothing when no letter is left for its check, or a place is beyond the list.
    pub fn of(drawn: [u8; DRAWN]) -> Option<Code> {
        let mut code = [0; DRAWN + 1];
        let mut sum = 0;
        for (index, place) in drawn.iter().enumerate() {
            code[index] = *LETTERS.get(usize::from(*place))?;
            sum += (index as u32 + 2) * u32::from(*place);
        }
        // The check makes the weighted sum a multiple of the prime; its own weight is 1.
        let check = (PRIME - sum % PRIME) % PRIME;
        code[DRAWN] = *LETTERS.get(check as usize)?;
        Some(Code(code))
    }

    /// The code that was typed; blanks and hyphens in it do not count, nor does the size of its letters.
    pub fn read(text: &str) -> Result<Code, CodeProblem> {
        let mut places = Vec::with_capacity(DRAWN + 1);
        for letter in
            text.chars().filter(|letter| !matches!(letter, ' ' | '-' | '\u{2010}'..='\u{2015}' | '\u{a0}'))
        {
            let upper = letter.to_ascii_uppercase();
            let place = LETTERS.iter().position(|known| char::from(*known) == upper);
            places.push(place.ok_or(CodeProblem::Letter(letter))? as u8);
        }
        let drawn: [u8; DRAWN] = match places.get(..DRAWN) {
            Some(drawn) if places.len() == DRAWN + 1 => drawn.try_into().map_err(|_| CodeProblem::Check)?,
            _ => return Err(CodeProblem::Length(places.len())),
        };
        let code = Code::of(drawn).ok_or(CodeProblem::Check)?;
        if code.0[DRAWN] == LETTERS[usize::from(places[DRAWN])] { Ok(code) } else { Err(CodeProblem::Check) }
    }

    /// The code without its hyphen, as it goes into a draw.
    pub fn plain(&self) -> String {
        self.0.iter().map(|letter| char::from(*letter)).collect()
    }
}

impl Display for Code {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let plain = self.plain();
        f.write_str(&plain[..3])?;
        f.write_str("-")?;
        f.write_str(&plain[3..])
    }
}

impl CodeProblem {
    /// What is wrong and what to do, a sentence.
    pub fn words(self) -> String {
        match self {
            CodeProblem::Length(length) => {
                ["A code has 7 letters and figures, and this one has ", &length.to_string(), "."].concat()
            }
            CodeProblem::Letter(letter) => {
                ["No code has a “", &letter.to_string(), "”. Look at the sheet again."].concat()
            }
            CodeProblem::Check => "This code has a slip in it. Look at the sheet again.".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some() -> impl Iterator<Item = Code> {
        (0..500u32).filter_map(|seed| {
            let mut drawn = [0; DRAWN];
            let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(12345);
            for place in &mut drawn {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                *place = ((state >> 16) % 28) as u8;
            }
            Code::of(drawn)
        })
    }

    #[test]
    fn a_code_is_read_as_people_write_it() {
        for code in some() {
            let shown = code.to_string();
            for written in [shown.clone(), shown.to_lowercase(), code.plain(), shown.replace('-', " ")] {
                assert_eq!(Code::read(&written), Ok(code), "{written}");
            }
        }
    }

    #[test]
    fn every_wrong_letter_and_every_exchange_is_seen() {
        for code in some().take(100) {
            let plain = code.plain().into_bytes();
            for at in 0..plain.len() {
                for letter in LETTERS.iter().filter(|letter| **letter != plain[at]) {
                    let mut wrong = plain.clone();
                    wrong[at] = *letter;
                    let wrong = String::from_utf8(wrong).expect("letters");
                    assert_eq!(Code::read(&wrong), Err(CodeProblem::Check), "{wrong}");
                }
                if at + 1 < plain.len() && plain[at] != plain[at + 1] {
                    let mut wrong = plain.clone();
                    wrong.swap(at, at + 1);
                    let wrong = String::from_utf8(wrong).expect("letters");
                    assert_eq!(Code::read(&wrong), Err(CodeProblem::Check), "{wrong}");
                }
            }
        }
    }

    #[test]
    fn what_is_no_code_is_said() {
        assert_eq!(Code::read(""), Err(CodeProblem::Length(0)));
        assert_eq!(Code::read("BK4-7TX"), Err(CodeProblem::Length(6)));
        assert_eq!(Code::read("BK4-7TX0"), Err(CodeProblem::Letter('0')));
        assert!(CodeProblem::Letter('0').words().contains('0'));
        assert_eq!(Code::of([28; DRAWN]), None);
    }
}
