//! What each page of the default course weighs on its way to a browser, before and with the calculators.

use anyhow::{Context, Result};
use fieldcoil_tests::html::{attributes, tags};
use fieldcoil_tests::pack;
use fieldcoil_tests::site::Built;

use super::row;

/// Heads of an answer, by the byte: what a plain server sends before each file, and a little more.
const HEAD: usize = 300;

/// Bytes that a first visit transfers for each page from a server that compresses, heads of the answers with them; pages
/// after the first have styles, icon and calculators already.
pub fn weights(site: &Built) -> Result<()> {
    let mut most = (0, "");
    for (page, html) in site.pages() {
        let (mut before, mut script) = (HEAD + pack::gzip(html.as_bytes())?, None);
        for tag in tags(html) {
            let name = tag.split_whitespace().next().unwrap_or_default();
            for (attribute, value) in attributes(tag) {
                match (name, attribute) {
                    ("link", "href") if value.starts_with("assets/") => before += HEAD + sent(site, value)?,
                    ("img", "src") => before += HEAD + sent(site, value)?,
                    ("script", "src") => script = Some(HEAD + sent(site, value)?),
                    _ => {}
                }
            }
        }
        let with = script.map_or("no calculators".to_owned(), |script| format!("{} B with", before + script));
        row(&format!("{page}: {with}"), &format!("{before} B"), "100000 B");
        most = most.max((before, page));
    }
    row(&format!("heaviest before the calculators: {}", most.1), &format!("{} B", most.0), "100000 B");
    Ok(())
}

fn sent(site: &Built, path: &str) -> Result<usize> {
    pack::gzip(site.site.files.get(path).with_context(|| format!("the site has no {path}"))?)
}
