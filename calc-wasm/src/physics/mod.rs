//! The laws, as functions of quantities.

pub mod adiabatic;
pub mod battery;
pub mod conductor;
pub mod drive;
pub mod motor;
pub mod motor_fit;
pub mod run;
pub mod run_csv;
pub mod solenoid;
pub mod steady;
pub mod winding;
