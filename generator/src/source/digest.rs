//! Several parts as one digest: each counts with its length, so that no two rows of parts run into the same.

use sha2::{Digest as _, Sha256};

/// A digest that grows part by part.
#[derive(Default)]
pub struct Digest(Sha256);

impl Digest {
    /// Takes one more part in.
    pub fn add(&mut self, part: impl AsRef<[u8]>) {
        self.0.update((part.as_ref().len() as u64).to_le_bytes());
        self.0.update(part);
    }

    /// The digest, two figures a byte.
    pub fn hex(self) -> String {
        self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
    }
}
