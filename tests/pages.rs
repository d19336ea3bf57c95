//! Every page as text: links lead somewhere, nothing comes from elsewhere, and the same course gives the same bytes.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::LazyLock;

use fieldcoil_tests::html::{attributes, tags};
use fieldcoil_tests::repository::{files, read};
use fieldcoil_tests::site::Built;

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages")).expect("the default course builds")
});

const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
                      img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'";

#[test]
fn the_same_course_gives_the_same_bytes() {
    let again =
        Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages-again")).expect("it builds again");
    assert!(SITE.site == again.site, "two builds differ");
}

#[test]
fn the_site_has_its_files() {
    let names: Vec<&str> = SITE.site.files.keys().map(String::as_str).collect();
    assert!(names.contains(&"index.html") && names.contains(&"404.html"), "{names:?}");
    let lessons =
        names.iter().filter(|name| name.ends_with(".html") && !name.ends_with("-sheet.html")).count() - 2;
    assert!(lessons >= 4, "{lessons} lessons");
    for asset in names.iter().filter(|name| name.starts_with("assets/")) {
        let hash = asset.rsplit_once('-').and_then(|(_, rest)| rest.split('.').next()).unwrap_or_default();
        let is_hash = hash.len() == 8 && hash.bytes().all(|byte| byte.is_ascii_hexdigit());
        assert!(is_hash, "{asset} does not carry the start of its hash");
    }
}

#[test]
fn styles_and_scripts_keep_their_budget() {
    let styles: usize =
        SITE.site.files.iter().filter(|(path, _)| path.ends_with(".css")).map(|(_, bytes)| bytes.len()).sum();
    assert!((1000..=48 * 1024).contains(&styles), "{styles} bytes of styles");
    let scripts: usize = files("theme/js", "js").iter().map(|path| read(path).len()).sum();
    assert!(scripts <= 20_000, "{scripts} bytes of own scripts");
}

#[test]
fn every_page_has_the_policy_and_keeps_it() {
    for (page, html) in SITE.pages() {
        let first = tags(html).into_iter().find(|tag| tag.starts_with("meta")).unwrap_or_default();
        assert!(first.contains("Content-Security-Policy") && first.contains(POLICY), "{page}: {first}");
        for tag in tags(html) {
            let name = tag.split_whitespace().next().unwrap_or_default();
            assert!(name != "style", "{page} has a style element");
            // Data of this kind is read by catalogues and run by no browser.
            let is_data = tag == "script type=\"application/ld+json\"";
            let inline = name == "script" && !tag.contains(" src=") && !is_data;
            assert!(!inline, "{page} has an inline script");
            for (attribute, _) in attributes(tag) {
                assert!(attribute != "style" && !attribute.starts_with("on"), "{page}: <{tag}>");
                assert!(attribute != "integrity" && attribute != "crossorigin", "{page}: <{tag}>");
            }
            assert!(!(name == "script" && tag.contains("module")), "{page} asks for a module");
        }
    }
}

#[test]
fn nothing_comes_from_another_host() {
    for (page, html) in SITE.pages() {
        for tag in tags(html) {
            let name = tag.split_whitespace().next().unwrap_or_default();
            for (attribute, value) in attributes(tag) {
                let leads_away =
                    value.starts_with("http:") || value.starts_with("https:") || value.starts_with("//");
                // A link is followed by a person; everything else would be followed by the browser.
                let may = name == "a" || attribute.starts_with("xmlns");
                assert!(may || !leads_away, "{page}: <{tag}>");
            }
        }
    }
    for (path, bytes) in SITE.site.files.iter().filter(|(path, _)| path.ends_with(".css")) {
        let text = String::from_utf8_lossy(bytes);
        assert!(!text.contains("url(http") && !text.contains("@import"), "{path} asks for something");
    }
}

#[test]
fn every_link_leads_to_a_file_and_an_anchor_that_is_there() {
    let anchors = |page: &str| -> BTreeSet<String> {
        let html = String::from_utf8_lossy(&SITE.site.files[page]).into_owned();
        tags(&html)
            .iter()
            .flat_map(|tag| attributes(tag))
            .filter(|(name, _)| *name == "id")
            .map(|(_, value)| value.to_owned())
            .collect()
    };
    let mut count = 0;
    for (page, html) in SITE.pages() {
        for (attribute, value) in tags(html).iter().flat_map(|tag| attributes(tag)) {
            if !["href", "src", "data"].contains(&attribute) || value.contains(':') {
                continue;
            }
            assert!(!value.starts_with('/'), "{page}: {value} holds only at the top of a host");
            let (file, anchor) = value.split_once('#').unwrap_or((value, ""));
            let target = if file.is_empty() { page.to_owned() } else { joined(page, file) };
            assert!(SITE.site.files.contains_key(&target), "{page}: {value} leads to no file");
            assert!(
                anchor.is_empty() || anchors(&target).contains(anchor),
                "{page}: {value} leads to no anchor"
            );
            count += 1;
        }
    }
    assert!(count > 50, "only {count} links were looked at");
}

/// A relative address as seen from a page.
fn joined(page: &str, address: &str) -> String {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in address.split('/') {
        match part {
            ".." => drop(parts.pop()),
            "." => {}
            part => parts.push(part),
        }
    }
    parts.join("/")
}

#[test]
fn every_page_has_one_heading_of_the_first_level_and_skips_none() {
    for (page, html) in SITE.pages() {
        let levels: Vec<u8> = tags(html)
            .iter()
            .filter_map(|tag| tag.strip_prefix('h')?.split_whitespace().next()?.parse().ok())
            .filter(|level| (1..=6).contains(level))
            .collect();
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{page}: {levels:?}");
        let steps_down = levels.windows(2).all(|pair| pair[1] <= pair[0] + 1);
        assert!(levels.first() == Some(&1) && steps_down, "{page}: {levels:?}");
    }
}

#[test]
fn ids_are_unique_and_labels_find_their_boxes() {
    for (page, html) in SITE.pages() {
        let mut ids = BTreeSet::new();
        let all = tags(html);
        let values = |wanted: &'static str| {
            all.iter()
                .flat_map(|tag| attributes(tag))
                .filter(move |(name, _)| *name == wanted)
                .map(|(_, value)| value)
        };
        for id in values("id") {
            assert!(ids.insert(id), "{page}: two elements are called {id}");
        }
        for name in values("for").chain(values("aria-labelledby").flat_map(str::split_whitespace)) {
            assert!(ids.contains(name), "{page}: nothing is called {name}");
        }
        for name in values("aria-describedby").flat_map(str::split_whitespace) {
            assert!(ids.contains(name), "{page}: nothing is called {name}");
        }
    }
}
