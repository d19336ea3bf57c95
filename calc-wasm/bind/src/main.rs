//! Binds a compiled module.
fn main() {}
