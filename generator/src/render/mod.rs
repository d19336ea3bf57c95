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
pub use homework::drawn_text;
pub use templates::page as template_page;
pub use words::Words;

use crate::asset::ASSETS;
use crate::course::Course;
use crate::site::Files;
use crate::source::SourceSet;

/// A site that can be made: which files it has is known, each page is made when it is asked for.
pub struct Plan<'c> {
    files: BTreeMap<String, Content<'c>>,
}

enum Content<'c> {
    Page(Box<page::Page<'c>>),
    Bytes(Cow<'c, [u8]>),
}

/// Every file of the site: pages, styles, the calculators where a page needs them, pictures that a page shows.
pub fn site<'c>(course: &'c Course<'_>, sources: &'c SourceSet) -> Plan<'c> {
    let mut files = BTreeMap::new();
    let mut needs_calculators = false;
    let mut addresses = Vec::new();
    for page in page::pages(course) {
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
    // The files that lessons show or link to. One that is not there was reported by `resolve`.
    for (place, path) in &course.files {
        let asset = sources.find_asset(path).map(|asset| asset.bytes.as_slice());
        let text = || sources.find_text(path).map(|(_, text)| text.text.as_bytes());
        if let Some(bytes) = asset.or_else(text) {
            files.insert(place.clone(), Content::Bytes(Cow::Borrowed(bytes)));
        }
    }
    Plan { files }
}

impl Files for Plan<'_> {
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
}
