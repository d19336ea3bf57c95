//! Turns a folder of Markdown lessons on starting systems into a course.
//!
//! Data runs one way, and every step gives a value and a list of findings:
//!
//! 1. [`source`] reads the course folder into texts;
//! 2. [`parse`] makes each text a lesson;
//! 3. [`resolve`] binds names (calculators, links, pictures) and gives the [`course`];
//! 4. [`proof`] looks for what would teach or do harm;
//! 5. [`render`] makes pages from the course and the theme;
//! 6. [`handouts`] makes a class set on paper from the course and a [`roster`];
//! 7. [`publish`] puts them on the disk beside the old ones and swaps.
//!
//! A [`preview`] shows such a site from memory while its course is written.
//!
//! Only the first and the last touch the disk, and only [`pipeline`] calls more than one of them.

pub mod asset;
pub mod cli;
pub mod command;
pub mod complaint;
pub mod course;
pub mod draft;
pub mod finding;
pub mod formula;
pub mod grade;
pub mod handouts;
pub mod layout;
pub mod memo;
pub mod options;
pub mod packed;
pub mod parse;
pub mod pipeline;
pub mod portable;
pub mod preview;
pub mod proof;
pub mod publish;
pub mod render;
pub mod resolve;
pub mod roster;
pub mod site;
pub mod source;
pub mod symbol;
pub mod threads;
pub mod web_address;
pub mod worked;
