//! The files of a site by their paths: made one at a time, or all of them in memory.

use std::borrow::Cow;
use std::collections::BTreeMap;

use anyhow::{Context as _, Result};
use sha2::{Digest, Sha256};

use crate::threads;

/// Files that are made when somebody asks for them, so that nobody has to hold a large site at once.
///
/// Paths are relative, with `/` between names.
pub trait Files: Sync {
    /// The path of every file, sorted.
    fn paths(&self) -> Vec<&str>;
    /// The bytes of one of these files. Asking twice gives the same bytes.
    fn bytes(&self, path: &str) -> Result<Cow<'_, [u8]>>;
    /// What one of these files comes from, in one line, where that is known without making it.
    fn origin(&self, _path: &str) -> Option<&str> {
        None
    }
}

/// The files of a site; paths are relative, with `/` between names.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Site {
    /// Path to content, sorted.
    pub files: BTreeMap<String, Vec<u8>>,
}

impl Site {
    /// All the files, in memory.
    pub fn of(files: &dyn Files) -> Result<Site> {
        let paths = files.paths();
        let made = threads::try_each(paths.len(), |index| {
            files.bytes(paths[index]).map(|bytes| (paths[index].to_owned(), bytes.into_owned()))
        });
        Ok(Site { files: made?.into_iter().collect() })
    }
}

impl Files for Site {
    fn paths(&self) -> Vec<&str> {
        self.files.keys().map(String::as_str).collect()
    }

    fn bytes(&self, path: &str) -> Result<Cow<'_, [u8]>> {
        let bytes = self.files.get(path).with_context(|| format!("the site has no file `{path}`"))?;
        Ok(Cow::Borrowed(bytes))
    }
}

/// Where a file of this path stands in the site: its name with eight digits of its content's hash, so that a changed file has a
/// new name and no browser shows an old copy: `assets/bench-1f2e3d4c.png`.
pub fn asset_path(path: &str, bytes: &[u8]) -> String {
    let name = path.rsplit('/').next().unwrap_or(path);
    let hash = Sha256::digest(bytes);
    let digits: String = hash[..4].iter().map(|byte| format!("{byte:02x}")).collect();
    // Letters, figures, hyphens and low lines alone, so that the name needs no escape in a link.
    let plain = |text: &str| -> String {
        text.chars()
            .map(|c| if c.is_ascii_alphanumeric() || c == '_' { c.to_ascii_lowercase() } else { '-' })
            .collect()
    };
    match name.rsplit_once('.') {
        Some((stem, ending)) if !stem.is_empty() => {
            format!("assets/{}-{digits}.{}", plain(stem), plain(ending))
        }
        _ => format!("assets/{}-{digits}", plain(name)),
    }
}

/// The way from one page or file of the site to another, both given as paths below its root.
pub fn relative(from: &str, to: &str) -> String {
    let up = from.matches('/').count();
    // Names that both share are left out: `cables/a.html` to `cables/b.html` is `b.html`.
    let shared = from
        .split('/')
        .zip(to.split('/'))
        .take(up.min(to.matches('/').count()))
        .take_while(|(one, other)| one == other)
        .count();
    let mut way = "../".repeat(up - shared);
    way.push_str(&to.split('/').skip(shared).collect::<Vec<_>>().join("/"));
    way
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_between_pages_are_relative() {
        for (from, to, way) in [
            ("index.html", "bench.html", "bench.html"),
            ("cables/joints.html", "index.html", "../index.html"),
            ("cables/joints.html", "cables/lugs.html", "lugs.html"),
            ("a/b/c.html", "a/d/e.html", "../d/e.html"),
            ("a/b.html", "a/b/c.html", "b/c.html"),
            ("index.html", "assets/x.png", "assets/x.png"),
        ] {
            assert_eq!(relative(from, to), way, "{from} to {to}");
        }
    }

    #[test]
    fn assets_are_named_after_their_content() {
        // First digits of the SHA-256 of nothing, as published with the standard.
        assert_eq!(asset_path("bench.png", b""), "assets/bench-e3b0c442.png");
        assert_eq!(asset_path("pictures/bench.png", b""), "assets/bench-e3b0c442.png");
        assert_eq!(asset_path("notes", b""), "assets/notes-e3b0c442");
        assert_eq!(asset_path("Bench 2.PNG", b""), "assets/bench-2-e3b0c442.png");
    }
}
