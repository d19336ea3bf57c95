//! The only door to functions whose last digits differ between platforms.
//!
//! Addition, multiplication, division and the square root are exact everywhere (IEEE 754); powers and logarithms are
//! not, so they come from one pure-Rust library and a number worked at build time equals the page's to the bit.

/// `base` to the power `exponent`.
pub fn power(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// The square root; exact on every platform.
pub fn square_root(value: f64) -> f64 {
    value.sqrt()
}

/// The angle whose tangent is `value`, in radians.
pub fn arc_tangent(value: f64) -> f64 {
    libm::atan(value)
}

/// One less the error function.
pub fn complementary_error(value: f64) -> f64 {
    libm::erfc(value)
}

/// Euler's number to the power `exponent`; infinite above some 709.
pub fn exponential(exponent: f64) -> f64 {
    libm::exp(exponent)
}

/// The sine of an angle in radians.
pub fn sine(angle: f64) -> f64 {
    libm::sin(angle)
}

/// The cosine of an angle in radians.
pub fn cosine(angle: f64) -> f64 {
    libm::cos(angle)
}

/// The natural logarithm.
pub fn natural_logarithm(value: f64) -> f64 {
    libm::log(value)
}
