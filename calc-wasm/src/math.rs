//! The only door to functions whose last digits differ between platforms.
//!
//! Addition, multiplication, division and the square root are exact everywhere (IEEE 754); powers and logarithms are
//! not, so they come from one pure-Rust library and a number worked at build time equals the page's to the bit.

/// `base` to the power `exponent`.
pub fn power(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}
