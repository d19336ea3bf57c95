//! The default course, built once for each test binary.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use fieldcoil::site::Site;

use crate::repository;

/// A built site in memory and in a folder.
pub struct Built {
    /// Every file by its path.
    pub site: Site,
    /// Where the files stand.
    pub folder: PathBuf,
}

impl Built {
    /// Builds the default course into a folder, which is emptied first.
    pub fn into(folder: &Path) -> Result<Self> {
        if folder.exists() {
            std::fs::remove_dir_all(folder)?;
        }
        let site = build(&repository::root().join("content"))?;
        for (path, bytes) in &site.files {
            let file = folder.join(path);
            std::fs::create_dir_all(file.parent().context("a file stands in a folder")?)?;
            std::fs::write(file, bytes)?;
        }
        Ok(Built { site, folder: folder.to_path_buf() })
    }

    /// The pages, by path, with their HTML.
    pub fn pages(&self) -> impl Iterator<Item = (&str, &str)> {
        self.site.files.iter().filter(|(path, _)| path.ends_with(".html")).map(|(path, bytes)| {
            let text = std::str::from_utf8(bytes).expect("pages are UTF-8");
            (path.as_str(), text)
        })
    }

    /// The first page that holds this text.
    pub fn page_with(&self, text: &str) -> &str {
        let found = self.pages().find(|(_, html)| html.contains(text));
        found.map_or_else(|| panic!("no page holds `{text}`"), |(path, _)| path)
    }

    /// The address of a page opened from the disk.
    pub fn file_address(&self, page: &str) -> String {
        format!("file://{}", self.folder.join(page).display())
    }
}

fn build(content: &Path) -> Result<Site> {
    let (sources, mut findings) = fieldcoil::source::load::course(content)?;
    let (about, lessons, more) = fieldcoil::parse::course(&sources);
    findings.extend(more);
    let (course, more) = fieldcoil::resolve::course(about, lessons, &sources);
    findings.extend(more);
    if !findings.is_empty() {
        eprintln!("{findings:#?}");
    }
    fieldcoil::render::site(&course, &sources)
}
