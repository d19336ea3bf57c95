//! Every page of the default course on A4 and on Letter: no word is cut, no heading stands alone at a sheet's end.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Result, ensure};
use fieldcoil_tests::browser::{A4, Chromium, LETTER, Paper, shared};
use fieldcoil_tests::pdf::{Sheet, Word, read, squeezed};
use fieldcoil_tests::site::Built;

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("printed")).expect("the default course builds")
});

/// Points that a printer leaves white at each edge: 5 mm.
const WHITE: f64 = 5.0 / 25.4 * 72.0;
/// A heading whose end is nearer to the end of the sheet's text than this has nothing below it, in points.
const BELOW: f64 = 8.0;

fn printed(browser: &mut Chromium, page: &str, paper: Paper) -> Result<Vec<Sheet>> {
    browser.open(&SITE.file_address(page))?;
    let pdf = browser.print(paper)?;
    let name = format!("{}-{}.pdf", page.replace('/', "-"), paper.name);
    read(&pdf, &Path::new(env!("CARGO_TARGET_TMPDIR")).join(name))
}

/// The texts of the headings that are printed, in order.
fn headings(browser: &mut Chromium) -> Result<Vec<String>> {
    browser.media("print", "light")?;
    let script = "return [...document.querySelectorAll('main :is(h2, h3, h4)')] \
        .filter(node => node.checkVisibility()).map(node => node.innerText)";
    let found = browser.run(script, &[])?;
    browser.media("", "light")?;
    Ok(serde_json::from_value(found)?)
}

#[test]
fn no_word_of_any_page_is_cut_and_no_sheet_is_empty() -> Result<()> {
    let mut browser = shared();
    let mut sheets_seen = 0;
    for (page, _) in SITE.pages() {
        for (paper, width, height) in [(A4, 595.0, 842.0), (LETTER, 612.0, 792.0)] {
            let sheets = printed(&mut browser, page, paper)?;
            for (index, sheet) in sheets.iter().enumerate() {
                ensure!(!sheet.words.is_empty(), "{page}, {}: sheet {} is empty", paper.name, index + 1);
                for word in &sheet.words {
                    let [left, top, right, bottom] = word.edges;
                    let inside =
                        left >= WHITE && top >= WHITE && right <= width - WHITE && bottom <= height - WHITE;
                    ensure!(inside, "{page}, {}: “{}” stands at {:?}", paper.name, word.text, word.edges);
                }
            }
            sheets_seen += sheets.len();
        }
    }
    ensure!(sheets_seen > 100, "only {sheets_seen} sheets");
    Ok(())
}

#[test]
fn no_heading_is_the_last_thing_on_a_sheet() -> Result<()> {
    let mut browser = shared();
    let mut looked_at = 0;
    let mut alone = Vec::new();
    for (page, _) in SITE.pages() {
        for paper in [A4, LETTER] {
            let sheets = printed(&mut browser, page, paper)?;
            let headings = headings(&mut browser)?;
            for (index, sheet) in sheets.iter().enumerate().take(sheets.len() - 1) {
                let Some(last) = last_line(sheet) else { continue };
                looked_at += 1;
                // The lowest line of a sheet is a heading when it ends one and the heading ends there.
                if headings.iter().any(|heading| is_end_of(heading, &last)) {
                    alone.push(format!("{page}, {}: “{last}” ends sheet {}", paper.name, index + 1));
                }
            }
        }
    }
    ensure!(alone.is_empty(), "{alone:#?}");
    ensure!(looked_at > 60, "only {looked_at} sheets were looked at");
    Ok(())
}

/// The words of a sheet's lowest line.
fn last_line(sheet: &Sheet) -> Option<String> {
    let bottom = |word: &Word| word.edges[3];
    let lowest = sheet.words.iter().map(bottom).max_by(f64::total_cmp)?;
    let line = sheet.words.iter().filter(|word| bottom(word) > lowest - BELOW);
    Some(line.map(|word| word.text.as_str()).collect::<Vec<_>>().join(" "))
}

/// Is this line the end of the heading, or all of it? A heading is set in larger type, so a line that merely has its last
/// word in it would be longer than the heading.
fn is_end_of(heading: &str, line: &str) -> bool {
    let (heading, line) = (squeezed(heading).to_lowercase(), squeezed(line).to_lowercase());
    line.chars().count() > 3 && heading.ends_with(&line)
}
