//! Addresses inside a site.

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
    fn slugs_keep_letters_of_every_script() {
        assert_eq!(slug("Starting systems, part 1"), "starting-systems-part-1");
        assert_eq!(slug("  Anlaßer & Kabel "), "anlaßer-kabel");
    }
}
