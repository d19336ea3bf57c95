//! Helpers of the tests, in the order in which the tests use them.

pub mod browser;
pub mod case;
pub mod close;
pub mod draw;
pub mod repository;
pub mod server;
