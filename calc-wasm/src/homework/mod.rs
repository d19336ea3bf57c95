//! Homework in which every student has their own numbers: what is drawn, what the answers are, what they are worth.
//!
//! The same code draws and marks in the page (practice), on paper (handouts and keys) and when work is graded. An
//! [`Item`](item::Item) says what is drawn and what is asked; [`draw`] draws from a key that is public and the student's
//! [`code`]; [`mark`] gives points.

pub mod code;
pub mod draw;
pub mod handin;
pub mod item;
pub mod json;
pub mod mark;
#[cfg(any(test, target_arch = "wasm32"))]
mod stream;
mod told;
pub mod wire;
