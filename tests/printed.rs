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
fn every_page_is_printed_whole_and_no_heading_stands_alone() -> Result<()> {
    let mut browser = shared();
    let (mut sheets_seen, mut ends_seen) = (0, 0);
    let mut wrong = Vec::new();
    for (page, _) in SITE.pages() {
        for (paper, width, height) in [(A4, 595.0, 842.0), (LETTER, 612.0, 792.0)] {
            let sheets = printed(&mut browser, page, paper)?;
            let headings = headings(&mut browser)?;
            for (index, sheet) in sheets.iter().enumerate() {
                let at = format!("{page}, {}, sheet {}", paper.name, index + 1);
                if sheet.words.is_empty() {
                    wrong.push(format!("{at} is empty"));
                }
                for word in &sheet.words {
                    let [left, top, right, bottom] = word.edges;
                    let inside =
                        left >= WHITE && top >= WHITE && right <= width - WHITE && bottom <= height - WHITE;
                    if !inside {
                        wrong.push(format!("{at}: “{}” stands at {:?}", word.text, word.edges));
                    }
                }
                // The lowest line of a sheet is a heading when it ends one; the last sheet may end as it likes.
                let last = last_line(sheet).filter(|_| index + 1 < sheets.len());
                ends_seen += usize::from(last.is_some());
                if let Some(last) =
                    last.filter(|last| headings.iter().any(|heading| is_end_of(heading, last)))
                {
                    wrong.push(format!("{at} ends with the heading “{last}”"));
                }
            }
            sheets_seen += sheets.len();
        }
    }
    ensure!(wrong.is_empty(), "{wrong:#?}");
    ensure!(
        sheets_seen > 300 && ends_seen > 200,
        "only {sheets_seen} sheets, {ends_seen} of them not the last"
    );
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
