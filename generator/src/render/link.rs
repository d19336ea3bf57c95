//! Addresses inside a site, and from outside.

use crate::course::About;

/// What leads from the page at `address` to the root of the site: `cables/joints` gives `../`.
pub fn to_root(address: &str) -> String {
    "../".repeat(address.matches('/').count())
}

/// The file of a page.
pub fn page_path(address: &str) -> String {
    format!("{address}.html")
}

/// The address of a lesson's bench sheet.
pub fn bench_sheet_address(address: &str) -> String {
    format!("{address}-sheet")
}

/// Where the site will stand, with a slash at its end; nothing when the course does not say.
pub fn root_address(about: &About) -> Option<String> {
    about.address.as_ref().map(|address| format!("{}/", address.trim_end_matches('/')))
}

/// The full address of a file of a site at `root`. The first page goes without its name: that is how people link it.
pub fn full(root: &str, path: &str) -> String {
    let mut out = root.to_owned();
    for byte in path.bytes().filter(|_| path != "index.html") {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'~' | b'/' => {
                out.push(byte.into());
            }
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}

/// The path part of a full address: `/starting/` of `https://school.example/starting/`.
pub fn path_of(root: &str) -> &str {
    let host = root.find("://").map_or(0, |at| at + 3);
    root[host..].find('/').map_or("/", |at| &root[host + at..])
}

/// A title as a key: small letters and digits, hyphens between.
pub fn slug(text: &str) -> String {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nested_pages_climb_to_the_root() {
        assert_eq!(to_root("joints"), "");
        assert_eq!(to_root("cables/joints"), "../");
        assert_eq!(to_root("a/b/c"), "../../");
    }

    #[test]
    fn full_addresses_need_no_escape_in_a_page_or_a_map() {
        let address = |address: &str| {
            let about = About { address: Some(address.to_owned()), ..About::default() };
            root_address(&about).expect("it has one")
        };
        for (root, path, wanted, top) in [
            ("https://a.example", "index.html", "https://a.example/", "/"),
            ("https://a.example/b", "c/d.html", "https://a.example/b/c/d.html", "/b/"),
            ("http://a.example:80/b//", "ω.html", "http://a.example:80/b/%CF%89.html", "/b/"),
        ] {
            let root = address(root);
            assert_eq!((full(&root, path).as_str(), path_of(&root)), (wanted, top));
        }
        assert_eq!(root_address(&About::default()), None);
    }

    #[test]
    fn slugs_keep_letters_of_every_script() {
        assert_eq!(slug("Starting systems, part 1"), "starting-systems-part-1");
        assert_eq!(slug("  Anlaßer & Kabel "), "anlaßer-kabel");
    }
}
