//! Helpers of the tests: cases, drawn inputs, the built site, and real browsers.

pub mod browser;
pub mod case;
pub mod checker;
pub mod checklist;
pub mod close;
pub mod college;
pub mod draw;
pub mod folder;
pub mod homework;
pub mod html;
pub mod motor;
pub mod pack;
pub mod page;
pub mod pdf;
pub mod preview;
pub mod program;
pub mod repository;
pub mod rust;
pub mod server;
pub mod site;
