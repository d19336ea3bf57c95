//! The circuit solver against circuits that others worked, the laws of networks, and the calculator of a motor's draw.

mod laws;
mod motor;
mod published;
