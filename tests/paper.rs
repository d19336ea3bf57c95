//! What leaves the printer, on A4 and on Letter: sheets for the bench, and lessons.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::{A4, Chromium, LETTER, Paper, shared};
use fieldcoil_tests::pdf::{Sheet, read, squeezed};
use fieldcoil_tests::site::Built;
use serde_json::json;

static SITE: LazyLock<Built> =
    LazyLock::new(|| Built::into(&folder().join("paper")).expect("the default course builds"));

/// Most pages that a bench sheet may take: what a lab assistant staples, printed on both sides. Two long hookups take
/// three pages each, in letters for arm's length.
const MOST_SHEETS: usize = 9;
/// Most pages of one hookup.
const MOST_OF_A_HOOKUP: usize = 3;
/// Height of a row in which somebody writes by hand, in CSS pixels: 10 mm.
const ROW: f64 = 10.0 / 25.4 * 96.0;
/// Points that a printer leaves white at each edge: 5 mm.
const WHITE: f64 = 5.0 / 25.4 * 72.0;

const CELL: &str = ".readings-table tbody th";
const SIGN_OFF: &str = ".sign-off li span:nth-child(2)";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).to_path_buf()
}

fn bench_sheets() -> Vec<&'static str> {
    let is_sheet = |html: &str| html.contains("<main class=\"sheet bench-sheet\"");
    let sheets: Vec<&str> = SITE.pages().filter(|(_, html)| is_sheet(html)).map(|(path, _)| path).collect();
    assert!(sheets.len() >= 14, "bench sheets: {sheets:?}");
    sheets
}

/// The sheets of a page.
type Printed = Arc<Vec<Sheet>>;

/// A page as it leaves the printer; it is open in the browser afterwards. Each is printed once for all tests.
fn printed(browser: &mut Chromium, page: &str, paper: Paper) -> Result<Printed> {
    static PRINTED: Mutex<BTreeMap<(String, &str), Printed>> = Mutex::new(BTreeMap::new());
    browser.open(&SITE.file_address(page))?;
    let key = (page.to_owned(), paper.name);
    let mut known = PRINTED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(sheets) = known.get(&key) {
        return Ok(Arc::clone(sheets));
    }
    let pdf = browser.print(paper)?;
    let file = folder().join(format!("{}-{}.pdf", page.replace('/', "-"), paper.name));
    let sheets = Arc::new(read(&pdf, &file)?);
    known.insert(key, Arc::clone(&sheets));
    Ok(sheets)
}

/// The texts of all elements that a selector finds in the open page.
fn texts(browser: &mut Chromium, selector: &str) -> Result<Vec<String>> {
    let script = "return [...document.querySelectorAll(arguments[0])].map(node => node.textContent)";
    Ok(serde_json::from_value(browser.run(script, &[json!(selector)])?)?)
}

#[test]
fn bench_sheets_fit_their_paper_and_no_word_is_cut() -> Result<()> {
    let mut browser = shared();
    for page in bench_sheets() {
        for (paper, width, height) in [(A4, 595.0, 842.0), (LETTER, 612.0, 792.0)] {
            let sheets = printed(&mut browser, page, paper)?;
            let count = sheets.len();
            ensure!((1..=MOST_SHEETS).contains(&count), "{page} takes {count} sheets of {}", paper.name);
            for (index, sheet) in sheets.iter().enumerate() {
                let fits = (sheet.width - width).abs() < 1.5 && (sheet.height - height).abs() < 1.5;
                ensure!(fits, "{page}: sheet {index} is {} by {}", sheet.width, sheet.height);
                ensure!(sheet.words.len() > 20, "{page}: sheet {} of {count} is as good as empty", index + 1);
                for word in &sheet.words {
                    let [left, top, right, bottom] = word.edges;
                    let inside =
                        left >= WHITE && top >= WHITE && right <= width - WHITE && bottom <= height - WHITE;
                    ensure!(inside, "{page}, {}: “{}” stands at {:?}", paper.name, word.text, word.edges);
                }
            }
        }
    }
    Ok(())
}

#[test]
fn every_reading_step_and_sign_off_is_on_paper_whole() -> Result<()> {
    let mut browser = shared();
    for page in bench_sheets() {
        for paper in [A4, LETTER] {
            let printed = printed(&mut browser, page, paper)?;
            let whole = printed.iter().map(Sheet::squeezed);
            let sheets: Vec<String> = whole.chain(printed.iter().map(steps_of)).collect();
            let rows = [CELL, ".step-say", SIGN_OFF, ".questions li p", "h1"];
            for selector in rows {
                for text in texts(&mut browser, selector)? {
                    let found = match selector {
                        CELL | SIGN_OFF => printed.iter().any(|sheet| sheet.has_in_order(&text)),
                        _ => sheets.iter().any(|sheet| sheet.contains(&squeezed(&text))),
                    };
                    ensure!(found, "{page}, {}: “{text}” is on no sheet in one piece", paper.name);
                }
            }
        }
    }
    Ok(())
}

/// The sheets, by number, on which a hookup begins and ends, and what of the list is on none of them in one piece: a step
/// with its reason stands on one sheet, in order.
fn sheets_of_a_hookup(
    browser: &mut Chromium,
    sheets: &[Sheet],
    hookup: &str,
) -> Result<(usize, usize, Vec<String>)> {
    let script = "const text = node => node ? node.textContent : ''; \
         const list = document.getElementById(arguments[0]); \
         return [[text(list.querySelector('h3')), text(list.querySelector('.hookup-bench'))], \
             ...[...list.querySelectorAll('.step')].map(step => \
                 [text(step.querySelector('.step-say')), text(step.querySelector('.step-why'))])]";
    let steps: Vec<[String; 2]> = serde_json::from_value(browser.run(script, &[json!(hookup)])?)?;
    ensure!(steps.len() > 15, "too little to look for: {steps:?}");
    let pages: Vec<String> = sheets.iter().map(|sheet| steps_of(sheet) + &sheet.squeezed()).collect();
    let mut place = None;
    let (mut first, mut missing) = (0, Vec::new());
    for [say, more] in steps {
        let has = |page: &String| [&say, &more].into_iter().all(|text| page.contains(&squeezed(text)));
        let from = place.unwrap_or(0);
        match pages[from..].iter().position(has) {
            Some(at) => {
                first = if place.is_none() { at } else { first };
                place = Some(from + at);
            }
            None => missing.push(say),
        }
    }
    Ok((first, place.context("the list is on no sheet")?, missing))
}

/// What steps say, between their boxes and the column for initials.
fn steps_of(sheet: &Sheet) -> String {
    const LEFT: f64 = 32.0 / 25.4 * 72.0;
    const RIGHT: f64 = 23.0 / 25.4 * 72.0;
    sheet.column(LEFT, sheet.width - RIGHT)
}

fn hookups(browser: &mut Chromium) -> Result<Vec<String>> {
    let script = "return [...document.querySelectorAll('[data-hookup]')].map(list => list.id)";
    Ok(serde_json::from_value(browser.run(script, &[])?)?)
}

#[test]
fn a_hookup_is_printed_on_at_most_three_pages_and_no_step_is_parted() -> Result<()> {
    let mut browser = shared();
    let (mut lists, mut longest) = (0, 0);
    for page in bench_sheets() {
        for paper in [A4, LETTER] {
            let sheets = printed(&mut browser, page, paper)?;
            for hookup in hookups(&mut browser)? {
                let (first, last, missing) = sheets_of_a_hookup(&mut browser, &sheets, &hookup)?;
                ensure!(missing.is_empty(), "{page}, {}, parted or lost: {missing:?}", paper.name);
                let pages = last - first + 1;
                ensure!(pages <= MOST_OF_A_HOOKUP, "{page}, {}: {hookup} takes {pages} pages", paper.name);
                let text: String = sheets[first..=last].iter().map(Sheet::squeezed).collect();
                ensure!(text.contains("Initials"), "{page}: no column for initials");
                // A step names its reading too; the questions are the worksheet's own.
                for ask in texts(&mut browser, ".questions li p")? {
                    ensure!(
                        !text.contains(&squeezed(&ask)),
                        "{page}: the worksheet's “{ask}” is on the list's sheets"
                    );
                }
                lists += 1;
                longest = longest.max(texts(&mut browser, &format!("#{hookup} .step"))?.len());
            }
        }
    }
    ensure!(lists >= 8, "only {lists} lists were printed");
    // What the styles promise is forty steps; the course's longest list is near that.
    ensure!(longest >= 39, "the longest list has {longest} steps");
    Ok(())
}

/// Steps are read from 70 cm, boxes are large enough to tick with a pen, reasons are small but legible.
#[test]
fn a_printed_list_has_large_steps_boxes_places_for_initials_and_small_reasons() -> Result<()> {
    let mut browser = shared();
    browser.area(703, 1000)?;
    browser.media("print", "light")?;
    for page in bench_sheets() {
        browser.open(&SITE.file_address(page))?;
        let found = browser.run(
            "const mm = 96 / 25.4, pt = 96 / 72; const wrong = []; \
             for (const step of document.querySelectorAll('.bench-sheet .step')) { \
                 const box = step.querySelector('[data-step]').getBoundingClientRect(); \
                 if (box.width < 4.9 * mm || box.height < 4.9 * mm) wrong.push(['box', box.width, box.height]); \
                 const sign = step.querySelector('[data-part=initials]'); \
                 const width = sign ? sign.offsetWidth : parseFloat(getComputedStyle(step, '::after').width); \
                 if (!(width >= 9 * mm)) wrong.push(['initials', width]); \
                 const why = step.querySelector('.step-why'), say = step.querySelector('.step-say'); \
                 const size = node => parseFloat(getComputedStyle(node).fontSize) / pt; \
                 if (size(say) < 11.9 || (why && (size(why) < 8.9 || size(why) > 0.85 * size(say)))) wrong.push(['type', size(say)]); \
                 const live = step.querySelector('.step-live'); \
                 if (step.hasAttribute('data-live') !== Boolean(live && live.checkVisibility() && live.querySelector('svg'))) wrong.push(['live']); \
             } \
             return wrong",
            &[],
        )?;
        ensure!(found == json!([]), "{page}: {found}");
    }
    browser.media("", "light")?;
    Ok(())
}

#[test]
fn every_sheet_says_whose_it_is_and_what_it_belongs_to() -> Result<()> {
    let mut browser = shared();
    for page in bench_sheets() {
        let sheets = printed(&mut browser, page, A4)?;
        let heading = texts(&mut browser, ".name-line-title b")?.first().cloned().context("a title")?;
        for (index, sheet) in sheets.iter().enumerate() {
            let text = sheet.squeezed();
            for words in [heading.as_str(), "Name", "Date", "Checked by"] {
                ensure!(text.contains(&squeezed(words)), "{page}: sheet {} has no “{words}”", index + 1);
            }
        }
    }
    Ok(())
}

#[test]
fn rows_leave_room_for_handwriting_and_nothing_is_wider_than_the_paper() -> Result<()> {
    let mut browser = shared();
    // The sheet's width less the margins of the print styles, 12 mm on both sides.
    for (paper, width) in [(A4, 703), (LETTER, 725)] {
        browser.area(width, 1000)?;
        browser.media("print", "light")?;
        for page in SITE.pages().map(|(path, _)| path).collect::<Vec<_>>() {
            browser.open(&SITE.file_address(page))?;
            let wide = browser.run(WIDER_THAN_THE_PAGE, &[])?;
            ensure!(wide == json!([]), "{page} on {}: {wide}", paper.name);
            let narrow = browser.run(NARROW_READINGS, &[])?;
            ensure!(narrow == json!([]), "{page} on {}: {narrow}", paper.name);
            let heights = browser.run(
                "return [...document.querySelectorAll('.bench-sheet .readings-table tbody tr')] \
                 .map(row => row.getBoundingClientRect().height)",
                &[],
            )?;
            let heights: Vec<f64> = serde_json::from_value(heights)?;
            ensure!(heights.iter().all(|height| *height >= ROW - 0.5), "{page}: rows are {heights:?} high");
        }
        browser.media("", "light")?;
    }
    Ok(())
}

/// Elements that reach over the page's edge, or whose text is wider than they show.
const WIDER_THAN_THE_PAGE: &str = "
const page = document.documentElement.clientWidth;
const name = node => node.tagName.toLowerCase() + '.' + (node.getAttribute('class') || '');
return [...document.body.querySelectorAll('*')].filter(node => {
    if (node.closest('svg, math') || getComputedStyle(node).position === 'absolute') return false;
    const box = node.getBoundingClientRect();
    if (box.width < 2 || box.height < 2) return false;
    const clips = getComputedStyle(node).overflowX !== 'visible' && node.scrollWidth > node.clientWidth + 1;
    return box.right > page + 1 || box.left < -1 || clips;
}).map(name);
";

/// Readings with less room than 25 mm to write them in.
const NARROW_READINGS: &str = "
return [...document.querySelectorAll('.bench-sheet .worksheet td.read-here')]
    .map(box => box.getBoundingClientRect().width / 96 * 25.4).filter(width => width < 25);
";

#[test]
fn a_lesson_prints_with_the_working_unfolded() -> Result<()> {
    let mut browser = shared();
    let mut found = BTreeMap::new();
    for (page, _) in SITE.pages().filter(|(_, html)| html.contains("data-calculator")) {
        for paper in [A4, LETTER] {
            let sheets = printed(&mut browser, page, paper)?;
            let text = sheets.iter().map(Sheet::squeezed).collect::<String>().to_lowercase();
            for step in
                texts(&mut browser, ".calculator :is(.step-result, [data-output], .reading-plus-minus)")?
            {
                // A stamp is set in capitals, and facts stand in two columns.
                let printed = text.contains(&squeezed(&step).to_lowercase())
                    || sheets.iter().any(|sheet| sheet.has_in_order(&step));
                ensure!(printed, "{page}, {}: “{step}” is not printed", paper.name);
                *found.entry(page).or_insert(0) += 1;
            }
        }
    }
    ensure!(
        found.len() >= 3 && found.values().all(|count| *count > 10),
        "too little was looked for: {found:?}"
    );
    Ok(())
}
