//! Numbers that are the same for the same student wherever they are drawn, and say nothing about anybody else's.
//!
//! Version 1, in full, so that another program can draw the same: the bytes of the UTF-8 lines `fieldcoil draw 1`, the
//! term's key, the item's name, the field's name, the student's code without its hyphen and the number of the attempt in
//! decimal digits, joined by line feeds and without one at the end, are hashed with SHA-256 (FIPS 180-4). The 32 bytes
//! are the key of ChaCha20 (RFC 8439) with nonce and counter zero. The first 8 bytes of its key stream, the lowest first,
//! are a number below 2⁶⁴; times the count of choices, over 2⁶⁴, rounded down, it is the choice.
//!
//! Each field is drawn by itself: a field that is added to an item, or another item, changes no number that was drawn.

/// The version of the rule above; hand-in files carry it.
pub const VERSION: u32 = 1;

/// Whose number is drawn, and for what.
#[derive(Debug, Clone, Copy)]
pub struct Lot<'a> {
    /// The term's key: public, and the same for the whole class.
    pub key: &'a str,
    /// The student's code without its hyphen, or any word in practice.
    pub code: &'a str,
    /// 0 for graded work; practice counts up.
    pub attempt: u32,
}

impl Lot<'_> {
    /// A number below `count` for a field of an item; 0 when there is no choice.
    pub fn draw(&self, item: &str, field: &str, count: u64) -> u64 {
        let attempt = self.attempt.to_string();
        let text = ["fieldcoil draw 1", self.key, item, field, self.code, &attempt].join("\n");
        let word = first(text.as_bytes());
        ((u128::from(word) * u128::from(count)) >> 64) as u64
    }
}

/// The first eight bytes of the key stream whose key is the hash of a text.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn first(text: &[u8]) -> u64 {
    use rand_chacha::ChaCha20Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};
    use sha2::{Digest, Sha256};

    ChaCha20Rng::from_seed(Sha256::digest(text).into()).next_u64()
}

/// The libraries would be a twentieth of the module in the page.
#[cfg(target_arch = "wasm32")]
use super::stream::first;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_choices_come_about_equally_often() {
        // 6000 students, 20 choices: each 300 times on average, with a standard deviation of 17.
        let mut counts = [0u32; 20];
        for student in 0..6000 {
            let code = student.to_string();
            let lot = Lot { key: "a", code: &code, attempt: 0 };
            counts[lot.draw("item", "field", 20) as usize] += 1;
        }
        // Chi-squared with 19 degrees of freedom: above 43.8 once in a thousand (NIST handbook, table 1.3.6.7.4).
        let off = |count: &u32| f64::from(*count) - 300.0;
        let chi: f64 = counts.iter().map(|count| off(count) * off(count) / 300.0).sum();
        assert!(chi < 43.8, "{chi} {counts:?}");
    }

    #[test]
    fn key_item_field_code_and_attempt_each_change_the_number() {
        let base = Lot { key: "a", code: "b", attempt: 0 };
        let draw = |lot: Lot, item, field| lot.draw(item, field, u64::MAX);
        let all = [
            draw(base, "i", "f"),
            draw(Lot { key: "c", ..base }, "i", "f"),
            draw(Lot { code: "c", ..base }, "i", "f"),
            draw(Lot { attempt: 1, ..base }, "i", "f"),
            draw(base, "j", "f"),
            draw(base, "i", "g"),
        ];
        for (at, number) in all.iter().enumerate() {
            assert!(all[..at].iter().all(|other| other != number));
        }
        assert_eq!(base.draw("i", "f", 1), 0);
        assert_eq!(base.draw("i", "f", 0), 0);
    }
}
