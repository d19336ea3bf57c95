//! The laws, as functions of quantities.

pub mod conductor;
pub mod motor;
