//! Where the lines and the words of a diagram go: pure geometry on a grid.
//!
//! [`route`] leads wires round bodies with few bends and crossings; [`label`] finds room for words, beside what they
//! belong to and over nothing else. Neither knows what the diagram is of.

pub mod label;
pub mod rect;
pub mod route;

/// A point of the grid, in steps.
pub type Point = (i32, i32);
