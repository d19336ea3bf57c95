//! The laws, as functions of quantities.

pub mod battery;
pub mod conductor;
pub mod motor;
pub mod motor_fit;
pub mod run;
pub mod run_csv;
pub mod steady;
