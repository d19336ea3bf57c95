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

use anyhow::Context as _;
pub use homework::drawn_text;
pub use templates::page as template_page;
pub use words::Words;

use crate::asset::{ASSETS, Asset};
use crate::course::Course;
use crate::site::Site;
use crate::source::SourceSet;

/// Every file of the site: pages, styles, the calculators where a page needs them, pictures that a page shows.
pub fn site(course: &Course<'_>, sources: &SourceSet) -> anyhow::Result<Site> {
    let mut site = Site::default();
    let mut needs_calculators = false;
    let mut addresses = Vec::new();
    for page in page::pages(course) {
        let path = page.path();
        let html = page.html().with_context(|| format!("cannot make the page {path}"))?;
        needs_calculators |= page.is_scripted();
        addresses.extend(Some(page.canonical()).filter(|address| !address.is_empty()));
        site.files.insert(path, html.into_bytes());
    }
    if !addresses.is_empty() {
        site.files.insert("sitemap.xml".to_owned(), sitemap::xml(&addresses).into_bytes());
    }
    add(&mut site, &ASSETS.styles);
    add(&mut site, &ASSETS.icon);
    if let Some(calculators) = ASSETS.calculators.as_ref().filter(|_| needs_calculators) {
        add(&mut site, calculators);
    }
    add_files(&mut site, course, sources);
    Ok(site)
}

fn add(site: &mut Site, asset: &Asset) {
    site.files.insert(asset.path.clone(), asset.bytes.clone());
}

/// Puts the files that lessons show or link to beside the pages. A file that is not there was reported by `resolve`.
fn add_files(site: &mut Site, course: &Course<'_>, sources: &SourceSet) {
    for (place, path) in &course.files {
        let asset =
            sources.assets.iter().find(|asset| asset.path == *path).map(|asset| asset.bytes.as_slice());
        let text = || sources.texts.iter().find(|text| text.path == *path).map(|text| text.text.as_bytes());
        if let Some(bytes) = asset.or_else(text) {
            site.files.insert(place.clone(), bytes.to_vec());
        }
    }
}
