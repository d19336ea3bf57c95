//! What stands beside the pages of every site: styles, the calculators' script, and the theme they come from.
//!
//! Every file carries the start of its hash in its name, so that a browser may keep it for good and a changed file
//! is never taken for the old one.

mod embedded;
mod letters;
mod scripts;
mod sign;
mod styles;

use std::sync::LazyLock;

pub use embedded::{theme, theme_below};
pub use scripts::script_of;
pub use sign::{Sign, sign, signs};

use crate::site::asset_path;

/// A file of the site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asset {
    /// Its path in the site: `assets/sheet-1a2b3c4d.css`.
    pub path: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// The files that the theme and the calculators give to every site.
#[derive(Debug)]
pub struct Assets {
    /// All styles in one file.
    pub styles: Asset,
    /// The picture in the browser's tab.
    pub icon: Asset,
    /// The calculators with their loader; nothing when the program was built without the WebAssembly module.
    pub calculators: Option<Asset>,
}

/// The files that the theme and the calculators give to every site.
pub static ASSETS: LazyLock<Assets> = LazyLock::new(|| Assets {
    styles: named("sheet.css", styles::joined().into_bytes()),
    icon: named("icon.svg", theme("icons/fieldcoil.svg").as_bytes().to_vec()),
    calculators: scripts::calculators().map(|script| named("calculators.js", script.into_bytes())),
});

fn named(name: &str, bytes: Vec<u8>) -> Asset {
    Asset { path: asset_path(name, &bytes), bytes }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn budgets_hold() {
        assert!(ASSETS.styles.bytes.len() <= 48 * 1024, "styles are {} bytes", ASSETS.styles.bytes.len());
        let loader = theme("js/load.js").len();
        assert!(loader <= 20_000, "own script is {loader} bytes");
    }
}
