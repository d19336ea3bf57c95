//! The list of a site's pages for search engines, as <https://www.sitemaps.org/protocol.html> has it.
//!
//! It bears no dates: the program does not look at the clock, and a date that says nothing is better left out.

use super::escape::text;

/// The list; addresses are full ones.
pub fn xml(addresses: &[String]) -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<urlset xmlns=\"http://www.sitemaps.org/schemas/sitemap/0.9\">\n",
    );
    for address in addresses {
        out.push_str(&format!("<url><loc>{}</loc></url>\n", text(address)));
    }
    out.push_str("</urlset>\n");
    out
}
