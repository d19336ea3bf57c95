//! Noise that is the same on every run, for tests of what noise does.

/// Even noise between −0.5 and 0.5 of a fixed seed.
pub(crate) fn noise(count: usize, mut seed: u64) -> Vec<f64> {
    let mut next = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
    };
    (0..count).map(|_| next()).collect()
}
