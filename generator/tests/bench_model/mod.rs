//! What can happen to people and metal at a bench: a little world that is worked out from the steps alone.
//!
//! It knows nothing of the rules of the program. Who wears what, what is bolted, which lead is on which stud and what
//! could be live are facts here; the circuit is a graph of nodes, and current, short circuits and a motor that runs by
//! itself are paths in it. [`World::step`] does a step and tells what could have hurt somebody or spoiled a reading.

mod circuit;
mod hazards;
mod world;

pub use hazards::Hazard;
pub use world::World;
