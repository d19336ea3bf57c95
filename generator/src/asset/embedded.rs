//! The files that the build put into the program.

mod table {
    include!(concat!(env!("OUT_DIR"), "/embedded.rs"));
}

/// A file of the theme by its path below `theme/`.
///
/// # Panics
/// When the theme has no such file: paths are written in this crate and covered by its tests.
pub fn theme(path: &str) -> &'static str {
    find_theme(path).unwrap_or_else(|| panic!("the theme has no file `{path}`"))
}

/// A file of the theme, if it has one of this path.
pub fn find_theme(path: &str) -> Option<&'static str> {
    table::THEME.iter().find(|(name, _)| *name == path).map(|(_, text)| *text)
}

/// The files of the theme whose path starts with `folder`, sorted, each with its path below `theme/`.
pub fn theme_below(folder: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
    table::THEME.iter().copied().filter(move |(path, _)| path.starts_with(folder))
}

/// The file of the built calculators whose name ends so, if they were built.
pub fn calculators(ending: &str) -> Option<&'static [u8]> {
    table::CALCULATORS.iter().find(|(path, _)| path.ends_with(ending)).map(|(_, bytes)| *bytes)
}
