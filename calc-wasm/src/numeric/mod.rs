//! Methods of numerical mathematics that the laws need.

pub mod fft;
pub mod linear;
#[cfg(test)]
pub(crate) mod noise;
pub mod ode;
pub mod stiff;
