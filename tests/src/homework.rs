//! A course with homework, and what a student does on its pages.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fieldcoil::course::Piece;
use fieldcoil::pipeline;
use fieldcoil::source::load;
use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::item::Item;
use serde_json::{Value, json};

use crate::browser::Chromium;
use crate::checklist::{click, pause};
use crate::repository;

/// The page with most of it.
pub const PAGE: &str = "cables-and-a-run.html";
/// Another lesson of the course.
pub const SECOND: &str = "second-sheet.html";
/// The term's key.
pub const KEY: &str = "quillmoor-autumn-26";

/// The course's folder.
pub fn course() -> PathBuf {
    repository::root().join("tests/homework/course")
}

/// The course without its term, in a folder of its own.
pub fn without_term(folder: &Path) -> Result<()> {
    std::fs::create_dir_all(folder)?;
    for file in ["course.toml", "10-cables-and-a-run.md"] {
        let text = std::fs::read_to_string(course().join(file))?;
        let text = text.split("\n[term]").next().unwrap_or_default();
        std::fs::write(folder.join(file), text)?;
    }
    Ok(())
}

/// The problems of the first lesson, in the order in which they stand there.
pub fn items() -> Result<Vec<Item>> {
    let (sources, found) = load::course(&course())?;
    let (checked, _) = pipeline::check(&sources, found);
    let lessons = checked.lessons();
    let pieces = lessons.first().context("a lesson")?.lesson.pieces.iter();
    let items: Vec<Item> = pieces
        .filter_map(|piece| match piece {
            Piece::Homework(homework) => homework.item.clone(),
            _ => None,
        })
        .collect();
    ensure!(items.len() == 3, "{} problems", items.len());
    Ok(items)
}

/// So many codes, all different.
pub fn codes(count: usize) -> Vec<Code> {
    let mut codes: Vec<Code> = Vec::new();
    let mut state = 1_u32;
    while codes.len() < count {
        let drawn = [0; 6].map(|_: u8| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            ((state >> 16) % 28) as u8
        });
        codes.extend(Code::of(drawn).filter(|code| !codes.contains(code)));
    }
    codes
}

/// Enters a code at the first problem, and gives what the page says to it.
pub fn enter(browser: &mut Chromium, text: &str) -> Result<String> {
    browser.type_into("#homework-1-code", &format!("{text}\n"))?;
    said(browser, "#homework-1 [data-part=code-said]")
}

/// The text of an element, shown or not.
pub fn said(browser: &mut Chromium, selector: &str) -> Result<String> {
    let text = browser.run("return document.querySelector(arguments[0]).textContent", &[json!(selector)])?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// What stands in a box.
pub fn value(browser: &mut Chromium, selector: &str) -> Result<String> {
    let text = browser.run("return document.querySelector(arguments[0]).value", &[json!(selector)])?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Types into a box and leaves it.
pub fn answer(browser: &mut Chromium, selector: &str, text: &str) -> Result<()> {
    browser.run(
        "document.querySelector(arguments[0]).scrollIntoView({ block: 'center' })",
        &[json!(selector)],
    )?;
    browser.type_into(selector, text)?;
    browser.run("document.activeElement.blur()", &[])?;
    Ok(())
}

/// Presses a button, a second after the last press.
pub fn press(browser: &mut Chromium, selector: &str) -> Result<()> {
    pause(browser)?;
    click(browser, selector)
}

/// Hands in, saves the file and reads it.
pub fn hand_in(browser: &mut Chromium, folder: &Path) -> Result<(PathBuf, Value)> {
    press(browser, "[data-do=hand-in]")?;
    let name = browser.run("return document.querySelector('[data-part=link]').download", &[])?;
    let file = folder.join(name.as_str().context("a name")?);
    browser.downloads_to(folder)?;
    click(browser, "[data-part=link]")?;
    let start = Instant::now();
    while !file.exists() {
        ensure!(start.elapsed() < Duration::from_secs(20), "{} never comes", file.display());
        std::thread::sleep(Duration::from_millis(20));
    }
    let text = std::fs::read_to_string(&file)?;
    let json = serde_json::from_str(&text).with_context(|| format!("no JSON: {text}"))?;
    Ok((file, json))
}
