//! Makes the pages of a site from a course and the theme.
//!
//! [`site`] is the way in. What templates may see stands in `view`; everything that is computed is computed before,
//! so that a template only repeats and leaves out.

mod calculator;
mod caution;
mod circuit;
pub(crate) mod escape;
mod facts;
mod figure;
mod first;
mod handin;
pub(crate) mod homework;
mod hookup;
mod lesson;
mod lesson_data;
mod library;
pub(crate) mod link;
mod listing;
mod outcomes;
mod page;
mod prose;
pub mod selfcheck;
mod sitemap;
pub(crate) mod templates;
mod trace;
pub(crate) mod typeset;
pub(crate) mod view;
pub(crate) mod words;
pub(crate) mod worksheet;

#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::collections::BTreeMap;

use anyhow::Context as _;
pub use facts::has_sources;
pub use homework::drawn_text;
pub use page::paths as page_paths;
pub use templates::page as template_page;
pub use words::Words;

use crate::asset::ASSETS;
use crate::resolve::Reader;
use crate::site::Files;

/// A site that can be made: which files it has is known, each page is made when it is asked for.
pub struct Plan<'c, 's> {
    files: BTreeMap<String, Content<'c, 's>>,
    origins: &'c BTreeMap<String, String>,
}

enum Content<'c, 's> {
    Page(Box<page::Page<'c, 's>>),
    Bytes(Cow<'c, [u8]>),
}

/// Every file of the site: pages, styles, the calculators where a page needs them, and the files of the course that its
/// pages show or link to (place in the site to path below the course folder). `origins` are those of its pages.
pub fn site<'c, 's>(
    reader: &'c Reader<'s>,
    shown: &BTreeMap<String, String>,
    origins: &'c BTreeMap<String, String>,
) -> Plan<'c, 's> {
    let mut files = BTreeMap::new();
    let mut needs_calculators = false;
    let mut addresses = Vec::new();
    for page in page::pages(reader) {
        needs_calculators |= page.is_scripted();
        addresses.extend(Some(page.canonical()).filter(|address| !address.is_empty()));
        files.insert(page.path(), Content::Page(Box::new(page)));
    }
    if !addresses.is_empty() {
        let list = sitemap::xml(&addresses).into_bytes();
        files.insert("sitemap.xml".to_owned(), Content::Bytes(Cow::Owned(list)));
    }
    let calculators = ASSETS.calculators.iter().filter(|_| needs_calculators);
    for asset in [&ASSETS.styles, &ASSETS.icon].into_iter().chain(calculators) {
        files.insert(asset.path.clone(), Content::Bytes(Cow::Borrowed(&asset.bytes)));
    }
    // One that is not there was reported by `resolve`.
    for (place, path) in shown {
        let asset = reader.sources.find_asset(path).map(|asset| asset.bytes.as_slice());
        let text = || reader.sources.find_text(path).map(|(_, text)| text.text.as_bytes());
        if let Some(bytes) = asset.or_else(text) {
            files.insert(place.clone(), Content::Bytes(Cow::Borrowed(bytes)));
        }
    }
    Plan { files, origins }
}

impl Files for Plan<'_, '_> {
    fn paths(&self) -> Vec<&str> {
        self.files.keys().map(String::as_str).collect()
    }

    fn bytes(&self, path: &str) -> anyhow::Result<Cow<'_, [u8]>> {
        match self.files.get(path) {
            Some(Content::Page(page)) => {
                let html = page.html().with_context(|| format!("cannot make the page {path}"))?;
                Ok(Cow::Owned(html.into_bytes()))
            }
            Some(Content::Bytes(bytes)) => Ok(Cow::Borrowed(bytes)),
            None => anyhow::bail!("the site has no file `{path}`"),
        }
    }

    fn origin(&self, path: &str) -> Option<&str> {
        self.origins.get(path).map(String::as_str)
    }
}
