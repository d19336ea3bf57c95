//! How far a number may be off, and what may be said of it all the same: JCGM 100 (the GUM) and JCGM 106.

pub mod conformity;
pub mod distribution;
pub mod meter;
pub mod propagation;
pub mod rounding;
pub mod words;
