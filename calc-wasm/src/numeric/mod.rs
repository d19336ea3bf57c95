//! Methods of numerical mathematics that the laws need.

pub mod fft;
pub mod ode;
pub mod stiff;
