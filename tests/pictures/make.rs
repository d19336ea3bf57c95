//! Takes the pictures of the README from the default course: `cargo run -p fieldcoil-tests --example pictures`.

use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Result, ensure};
use fieldcoil_tests::browser::{A4, Chromium};
use fieldcoil_tests::repository;
use fieldcoil_tests::site::Built;

const LESSON: &str = "the-free-spin-bench-test.html";

fn main() -> Result<()> {
    let scratch = tempfile::tempdir()?;
    let site = Built::into(&scratch.path().join("site"))?;
    let pictures = repository::root().join("tests/pictures");
    let mut browser = Chromium::start()?;

    browser.area(1280, 860)?;
    browser.open(&site.file_address(LESSON))?;
    show(&mut browser, ".calculator", -90)?;
    save(&mut browser, &pictures.join("lesson-desktop.png"))?;

    browser.area(390, 780)?;
    browser.open(&site.file_address("voltage-drop-in-the-cranking-circuit.html"))?;
    show(&mut browser, ".calculator .result", -12)?;
    save(&mut browser, &pictures.join("calculator-phone.png"))?;

    browser.media("", "dark")?;
    browser.open(&site.file_address(LESSON))?;
    for step in 1..=9 {
        browser.run("document.querySelector(arguments[0]).click()", &[format!("#hookup-1-{step}").into()])?;
    }
    show(&mut browser, "#hookup-1-9", -330)?;
    save(&mut browser, &pictures.join("hookup-dark.png"))?;

    browser.media("", "light")?;
    browser.open(&site.file_address("voltage-drop-in-the-cranking-circuit-sheet.html"))?;
    let pdf = scratch.path().join("sheet.pdf");
    fs::write(&pdf, browser.print(A4)?)?;
    paper(&pdf, 3, &pictures.join("sheet-paper"))
}

/// Scrolls so that an element stands below the upper edge by so much.
fn show(browser: &mut Chromium, selector: &str, above: i32) -> Result<()> {
    let script = "const at = document.querySelector(arguments[0]).getBoundingClientRect().top;
        scrollTo({ top: scrollY + at + arguments[1], behavior: 'instant' });";
    browser.run(script, &[selector.into(), above.into()])?;
    Ok(())
}

fn save(browser: &mut Chromium, file: &Path) -> Result<()> {
    Ok(fs::write(file, browser.picture()?)?)
}

/// One page of a PDF as a picture.
fn paper(pdf: &Path, page: u32, file: &Path) -> Result<()> {
    let page = page.to_string();
    let done = Command::new("pdftoppm")
        .args(["-r", "56", "-png", "-singlefile", "-f", &page, "-l", &page])
        .args([pdf, file])
        .status()?;
    ensure!(done.success(), "pdftoppm made no picture");
    Ok(())
}
