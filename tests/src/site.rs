//! The default course or another one, built once for each test binary.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};
use fieldcoil::asset::script_of;
use fieldcoil::finding::Severity;
use fieldcoil::pipeline;
use fieldcoil::site::Site;
use fieldcoil::source::load;

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
        Built::course("content", folder)
    }

    /// Builds a course of the repository into a folder, which is emptied first.
    pub fn course(course: &str, folder: &Path) -> Result<Self> {
        Built::of(&repository::root().join(course), folder)
    }

    /// Builds a course into a folder, which is emptied first.
    pub fn of(course: &Path, folder: &Path) -> Result<Self> {
        if folder.exists() {
            std::fs::remove_dir_all(folder)?;
        }
        let site = build(course)?;
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

/// A course in memory; it has to be free of findings, warnings too, but for hints.
fn build(folder: &Path) -> Result<Site> {
    let (sources, found) = load::course(folder)?;
    let (checked, found) = pipeline::check(&sources, found);
    let faults: Vec<_> = found.iter().filter(|finding| finding.severity != Severity::Hint).collect();
    ensure!(faults.is_empty(), "{} has findings: {faults:#?}", folder.display());
    let mut site = pipeline::site(&checked)?;
    if let Some(folder) = std::env::var_os("FIELDCOIL_MODULE") {
        exchange_module(&mut site, Path::new(&folder))?;
    }
    Ok(site)
}

/// Puts a rebuilt module and its glue in place of the recorded ones, as `tests/run` asks when their bytes differ.
fn exchange_module(site: &mut Site, rebuilt: &Path) -> Result<()> {
    let script =
        site.files.iter_mut().find(|(path, _)| path.ends_with(".js")).context("the site has a script")?.1;
    let glue = std::fs::read_to_string(rebuilt.join("calc.js"))?;
    *script = script_of(&glue, &std::fs::read(rebuilt.join("calc.wasm"))?).into_bytes();
    Ok(())
}
