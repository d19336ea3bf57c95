//! SHA-256 (FIPS 180-4) and the first bytes of ChaCha20 (RFC 8439), written for size: the module in the page carries
//! these. Everywhere else the general libraries do the same, and a test holds the two against each other.

/// First 32 bits of the fractional parts of the cube roots of the first 64 primes, as FIPS 180-4 lists them.
const ROOTS: [u32; 64] = [
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
];

/// The hash of a text, as eight words.
fn sha256(text: &[u8]) -> [u32; 8] {
    let mut message = text.to_vec();
    message.push(0x80);
    while message.len() % 64 != 56 {
        message.push(0);
    }
    message.extend((text.len() as u64 * 8).to_be_bytes());
    let mut hash =
        [0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19_u32];
    for block in message.chunks(64) {
        let mut words = [0_u32; 64];
        for (at, byte) in block.iter().enumerate() {
            words[at / 4] = words[at / 4] << 8 | u32::from(*byte);
        }
        for at in 16..64 {
            let (low, high) = (words[at - 15], words[at - 2]);
            let low = low.rotate_right(7) ^ low.rotate_right(18) ^ low >> 3;
            let high = high.rotate_right(17) ^ high.rotate_right(19) ^ high >> 10;
            words[at] = words[at - 16].wrapping_add(low).wrapping_add(words[at - 7]).wrapping_add(high);
        }
        let mut state = hash;
        for (word, root) in words.iter().zip(ROOTS) {
            let [a, b, c, _, e, f, g, h] = state;
            let mixed = e.rotate_right(6) ^ e.rotate_right(11) ^ e.rotate_right(25);
            let chosen = e & f ^ !e & g;
            let first = h.wrapping_add(mixed).wrapping_add(chosen).wrapping_add(root).wrapping_add(*word);
            let mixed = a.rotate_right(2) ^ a.rotate_right(13) ^ a.rotate_right(22);
            let most = a & b ^ a & c ^ b & c;
            state.rotate_right(1);
            state[4] = state[4].wrapping_add(first);
            state[0] = first.wrapping_add(mixed).wrapping_add(most);
        }
        for (sum, one) in hash.iter_mut().zip(state) {
            *sum = sum.wrapping_add(one);
        }
    }
    hash
}

/// The first eight bytes of the key stream with nonce and counter zero, the lowest first.
fn chacha20(key: [u32; 8]) -> u64 {
    let mut start = [0_u32; 16];
    start[..4].copy_from_slice(&[0x61707865, 0x3320646e, 0x79622d32, 0x6b206574]);
    start[4..12].copy_from_slice(&key);
    let mut state = start;
    for round in 0..80 {
        let column = round % 4;
        // Four rounds down the columns, then four along the diagonals.
        let slant = (round / 4) % 2;
        let [a, b, c, d] = [0, 1, 2, 3].map(|row| row * 4 + (column + row * slant) % 4);
        for (to, from, turned, by) in [(a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)] {
            state[to] = state[to].wrapping_add(state[from]);
            state[turned] = (state[turned] ^ state[to]).rotate_left(by);
        }
    }
    let word = |at: usize| u64::from(state[at].wrapping_add(start[at]));
    word(0) | word(1) << 32
}

/// The first eight bytes of the key stream whose key is the hash of a text.
pub(super) fn first(text: &[u8]) -> u64 {
    // A word of the hash is written highest byte first, and read as a word of the key lowest byte first.
    chacha20(sha256(text).map(u32::swap_bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standards_own_examples() {
        // FIPS 180-4's examples: one block, and two.
        assert_eq!(
            sha256(b"abc"),
            [0xba7816bf, 0x8f01cfea, 0x414140de, 0x5dae2223, 0xb00361a3, 0x96177a9c, 0xb410ff61, 0xf20015ad]
        );
        assert_eq!(
            sha256(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            [0x248d6a61, 0xd20638b8, 0xe5c02693, 0x0c3e6039, 0xa33ce459, 0x64ff2167, 0xf6ecedd4, 0x19db06c1]
        );
        // RFC 8439, appendix A.1, test vector 1: key, nonce and counter zero.
        assert_eq!(chacha20([0; 8]), u64::from_le_bytes([0x76, 0xb8, 0xe0, 0xad, 0xa0, 0xf1, 0x3d, 0x90]));
    }

    #[test]
    fn the_libraries_give_the_same() {
        for length in 0..300_usize {
            let text: Vec<u8> = (0..length).map(|at| (at * at * 31 + length * 7 + at) as u8).collect();
            assert_eq!(first(&text), super::super::draw::first(&text), "{length} bytes");
        }
    }
}
