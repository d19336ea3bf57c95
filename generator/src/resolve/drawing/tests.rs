//! Drawings that are fit, and those that are not.

use super::*;

fn cleaned(text: &str) -> (Option<Drawing>, Vec<&'static str>) {
    let mut found = Vec::new();
    let drawing = clean(FileId(0), text, &mut found);
    (drawing, found.iter().map(|finding| finding.code).collect())
}

fn with(content: &str) -> String {
    format!("<svg xmlns=\"{SVG}\" xmlns:xlink=\"{XLINK}\" viewBox=\"0 0 9 9\">{content}</svg>")
}

#[test]
fn a_drawing_goes_into_a_page_with_its_own_identifiers() {
    let text = with(
        "<title>t</title><desc>Long &amp; clear</desc><defs><marker id=\"a\"><path d=\"M0 0\"/></marker></defs>\n \
         <path marker-end=\"url(#a)\" style=\"stroke:#000;-x-y:1\" d=\"M1 1\"/><use xlink:href=\"#a\"/>\
         <text x=\"1\">U &lt; 12 V</text><!-- remark -->",
    );
    let (drawing, codes) = cleaned(&text);
    assert_eq!(codes, [""; 0]);
    assert_eq!(
        drawing.expect("nothing is wrong with it").in_page("figure-1", "A \"clamp\""),
        "<svg role=\"img\" aria-label=\"A &quot;clamp&quot;\" aria-describedby=\"figure-1-desc\" \
         viewBox=\"0 0 9 9\"><desc id=\"figure-1-desc\">Long &amp; clear</desc><defs><marker id=\"figure-1-a\">\
         <path d=\"M0 0\"></path></marker></defs><path marker-end=\"url(#figure-1-a)\" stroke=\"#000\" d=\"M1 1\">\
         </path><use href=\"#figure-1-a\"></use><text x=\"1\">U &lt; 12 V</text></svg>"
    );
}

#[test]
fn what_could_run_or_load_is_refused() {
    for (content, code) in [
        ("<script>alert(1)</script>", "drawing-element"),
        ("<style>*{}</style>", "drawing-element"),
        ("<foreignObject><p/></foreignObject>", "drawing-element"),
        ("<image href=\"x.png\"/>", "drawing-element"),
        ("<a href=\"https://example.org\"><path/></a>", "drawing-element"),
        ("<animate attributeName=\"href\"/>", "drawing-element"),
        ("<set/>", "drawing-element"),
        ("<feImage/>", "drawing-element"),
        ("<path onclick=\"alert(1)\"/>", "drawing-attribute"),
        ("<path OnLoad=\"alert(1)\"/>", "drawing-attribute"),
        ("<use href=\"https://example.org/x.svg#a\"/>", "drawing-reference"),
        ("<use href=\"javascript:alert(1)\"/>", "drawing-reference"),
        ("<use xlink:href=\"data:image/svg+xml,x\"/>", "drawing-reference"),
        ("<use href=\"#missing\"/>", "drawing-reference"),
        ("<path fill=\"url(https://example.org/x)\"/>", "drawing-reference"),
        ("<path fill=\"URL(#a)\"/>", "drawing-reference"),
        ("<path style=\"fill:url(//example.org)\"/>", "drawing-reference"),
        ("<g id=\"a\"/><g id=\"a\"/>", "drawing-attribute"),
        ("<g id=\"a b\"/>", "drawing-attribute"),
        ("<g id=\"a\"><use href=\"#a\"/></g>", "drawing-reference"),
    ] {
        let (drawing, codes) = cleaned(&with(content));
        assert_eq!((drawing, codes), (None, vec![code]), "{content}");
    }
}

#[test]
fn foreign_data_of_drawing_programs_is_dropped() {
    let text = with(
        "<metadata><x/></metadata><p:view xmlns:p=\"urn:p\" p:a=\"1\"/><g xmlns:p=\"urn:p\" p:onclick=\"1\"/>",
    );
    let (drawing, codes) = cleaned(&text);
    assert_eq!(codes, [""; 0]);
    assert_eq!(drawing.expect("fit").parts.concat(), " viewBox=\"0 0 9 9\"><g></g></svg>");
    assert_eq!(cleaned(&with("<g style=\"fill:red;colour-mix:1\"/>")).1, ["drawing-style"]);
}

#[test]
fn broken_and_hostile_files_are_findings() {
    for (text, code) in [
        ("", "broken-drawing"),
        ("<svg", "broken-drawing"),
        ("<html/>", "broken-drawing"),
        ("<svg viewBox=\"0 0 1 1\"/>", "broken-drawing"),
        ("<!DOCTYPE svg [<!ENTITY a \"b\">]><svg/>", "broken-drawing"),
        (&format!("<svg xmlns=\"{SVG}\"/>"), "no-view-box"),
        (&with(&"<g>".repeat(100_000)), "broken-drawing"),
        (&with(&format!("{}{}", "<g>".repeat(9000), "</g>".repeat(9000))), "drawing-element"),
        (&with(&"<g/>".repeat(100_000)), "broken-drawing"),
    ] {
        assert_eq!(cleaned(text).1, [code], "{}", &text[..text.len().min(80)]);
    }
}
