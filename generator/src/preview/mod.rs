//! What a preview shows and how it answers a browser; nothing of it goes into a published site.
//!
//! [`shown`] holds the last good site and what was found since; [`answer`] answers one request from it. Two modules
//! touch the outside, one thing each: [`server`] the network, [`watch`] the course folder.

pub mod answer;
pub mod kind;
pub mod range;
pub mod server;
pub mod shown;
pub mod target;
pub mod watch;
