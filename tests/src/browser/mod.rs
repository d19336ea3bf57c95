//! Real browsers: Chromium over WebDriver for the behaviours, Firefox over Marionette for the smoke path.

mod chromium;
mod firefox;
mod keeper;
mod wire;

pub use chromium::{A4, Chromium, LETTER, Paper, shared};
pub use firefox::Firefox;
