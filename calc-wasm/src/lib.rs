//! The calculations of a course on starting systems, the same natively and in a page.
//!
//! Data runs one way: what a person typed becomes [`Inputs`](input::Inputs) (with [`number`] and [`mod@unit`]),
//! a [`Calculator`](calculator::Calculator) checks them against its fields and works them with the laws of
//! [`physics`] into a [`Report`](report::Report), and [`view`] writes the report as HTML that the
//! generator puts into a page and the page into itself. Every sentence that a reader sees about a result is made
//! here, once. [`mod@bench`] is what a checklist in the page reckons with. Nothing in this crate knows Markdown, files or the course; only `browser` knows the page.
//!
//! [`circuit`] gives the operating point of a netlist; no calculator uses it, and so the module in the page has none of it.
//!
//! The list of calculators is [`CATALOG`](catalog::CATALOG).
#![deny(missing_docs)]
// The module is compiled for size; what works on many numbers is marked to be compiled for speed.
#![cfg_attr(target_arch = "wasm32", feature(optimize_attribute))]

pub mod bench;
pub mod calculator;
pub mod catalog;
pub mod chart;
pub mod circuit;
pub mod homework;
pub mod input;
pub mod math;
pub mod measurement;
pub mod number;
pub mod numeric;
pub mod physics;
pub mod quantity;
pub mod recording;
pub mod refusal;
pub mod report;
pub mod unit;
pub mod view;

#[cfg(target_arch = "wasm32")]
mod browser;
