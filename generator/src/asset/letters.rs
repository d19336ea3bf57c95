//! Bytes as text for a script: a letter for each of the commonest bytes, two for the others.
//!
//! Base64 spreads every three bytes over four letters, so a server's compression no longer sees what repeats: the
//! calculators weighed 69 kB that way and 53 kB this way when this was chosen (the benches print today's figure). The
//! text is plain ASCII, so a server that names a wrong character set does no harm.

/// The first letter, `#`; the letters go on to `~` and leave out the backslash.
const FIRST: u8 = 35;
const BACKSLASH: u8 = 92;
/// How many letters stand for a byte on their own. The two after them say that the next letter stands for a byte of
/// the second or the third such set.
const SET: usize = 89;

/// Bytes as text, and the order of all bytes that is needed to read it.
pub(super) struct Lettered {
    /// The text; it needs no escaping between double quotes.
    pub(super) text: String,
    /// Every byte, the commonest first.
    pub(super) order: [u8; 256],
}

/// Writes bytes as letters.
pub(super) fn lettered(bytes: &[u8]) -> Lettered {
    let mut counts = [0_usize; 256];
    for byte in bytes {
        counts[usize::from(*byte)] += 1;
    }
    let mut order: [u8; 256] = std::array::from_fn(|index| u8::try_from(index).expect("an index below 256"));
    order.sort_by_key(|byte| std::cmp::Reverse(counts[usize::from(*byte)]));
    let mut places = [0_usize; 256];
    for (place, byte) in order.iter().enumerate() {
        places[usize::from(*byte)] = place;
    }
    let mut text = String::with_capacity(bytes.len() * 5 / 4);
    for byte in bytes {
        let place = places[usize::from(*byte)];
        if place >= SET {
            text.push(letter(SET - 1 + place / SET));
        }
        text.push(letter(place % SET));
    }
    Lettered { text, order }
}

fn letter(index: usize) -> char {
    let code = FIRST + u8::try_from(index).expect("there are 91 letters");
    char::from(if code >= BACKSLASH { code + 1 } else { code })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the loader does in the page.
    fn bytes_of(lettered: &Lettered) -> Vec<u8> {
        let (mut bytes, mut set) = (Vec::new(), 0);
        for code in lettered.text.bytes() {
            let index = usize::from(code - FIRST) - usize::from(code > BACKSLASH);
            if index >= SET {
                set = index - SET + 1;
            } else {
                bytes.push(lettered.order[set * SET + index]);
                set = 0;
            }
        }
        bytes
    }

    #[test]
    fn every_byte_comes_back() {
        let all: Vec<u8> = (0..=255).chain(0..=255).chain([7; 300]).collect();
        for bytes in [&all[..], &all[..256], &[], &[0]] {
            assert_eq!(bytes_of(&lettered(bytes)), bytes);
        }
    }

    #[test]
    fn the_text_needs_no_escaping() {
        let all: Vec<u8> = (0..=255).collect();
        assert!(
            lettered(&all).text.bytes().all(|code| code.is_ascii_graphic() && code != b'"' && code != b'\\')
        );
    }
}
