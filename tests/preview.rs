//! A preview in a real browser: the open page follows what is saved, keeps what was typed, and shows what was found.

#[path = "injections/strings.rs"]
mod strings;

use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::{Chromium, shared};
use fieldcoil_tests::checker::{axe, violations};
use fieldcoil_tests::preview::Preview;
use serde_json::json;

const COURSE: &str = "title = \"Preview\"\nsummary = \"For a test.\"\nschool = \"No school (invented)\"\nauthor = \"Nobody\"\n\
                      edition = \"1\"\n";
const BOX: &str = "[data-calculator=\"voltage-drop\"] [data-field=\"current_a\"] [data-part=\"number\"]";
/// The strip's fold.
const FOLD: &str = "document.querySelector('fieldcoil-preview').shadowRoot.querySelector('details')";
const STRIP: &str = "(document.querySelector('fieldcoil-preview')?.shadowRoot.textContent ?? '')";

fn lesson(text: &str) -> String {
    format!(
        "```lesson\ntitle = \"Cable\"\nsummary = \"A cable.\"\nminutes = 5\noutcomes = [\"Work a drop.\"]\n```\n\n{text}\n\n## The drop\n\n\
         ```calculator\nuse = \"voltage-drop\"\n[start]\nconductor_size = \"35 mm2\"\nrun_out_m = 1\nrun_return_m = 1\n\
         current_a = 150\nallowed_drop_v = 0.5\n```\n"
    )
}

/// A preview of a course with one lesson, in a folder of this name.
fn preview(name: &str, lesson: &str) -> Result<Preview> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join("course.toml"), COURSE)?;
    std::fs::write(folder.join("10-cable.md"), lesson)?;
    Preview::of(&folder)
}

/// Waits until an expression holds in the page; one that is being loaded again has no answer meanwhile.
fn until(browser: &mut Chromium, expression: &str) -> Result<()> {
    let begun = Instant::now();
    let body = format!("return Boolean({expression})");
    while !browser.run(&body, &[]).is_ok_and(|holds| holds == json!(true)) {
        let seen = browser.run(&format!("return document.body.innerText + {STRIP}"), &[]);
        ensure!(begun.elapsed() < Duration::from_secs(30), "never: {expression}; the page: {seen:?}");
        std::thread::sleep(Duration::from_millis(25));
    }
    Ok(())
}

fn typed(browser: &mut Chromium) -> Result<String> {
    let value = browser.run("return document.querySelector(arguments[0]).value", &[json!(BOX)])?;
    Ok(value.as_str().context("a box")?.to_owned())
}

#[test]
fn the_open_page_follows_a_save_and_keeps_what_was_typed() -> Result<()> {
    let preview = preview("preview", &lesson("As it was."))?;
    let mut browser = shared();
    browser.open(&format!("http://{}/cable.html", preview.address))?;
    until(&mut browser, &format!("{STRIP}.includes('Preview: nothing found.')"))?;
    until(&mut browser, "document.querySelector('.result[data-state=live]')")?;
    browser.type_into(BOX, "137")?;
    browser.run("window.before = true", &[])?;

    // Saved in the very moment of the last key.
    preview.save("10-cable.md", &lesson("As it is now."))?;
    until(&mut browser, "!window.before && document.body.innerText.includes('As it is now.')")?;
    until(&mut browser, "document.querySelector('.result[data-state=live]')")?;
    ensure!(typed(&mut browser)? == "137", "typed before the save: {}", typed(&mut browser)?);

    // A lesson that is broken changes nothing in the page but the strip, which names the place.
    browser.run("window.before = true", &[])?;
    preview.save("10-cable.md", &lesson("[Lost](nowhere.md) and <b>gone</b>."))?;
    until(&mut browser, &format!("{STRIP}.includes('2 errors. The last good site is shown.')"))?;
    let strip = browser.run(&format!("return {STRIP}"), &[])?.to_string();
    ensure!(strip.contains("10-cable.md:8:8") && strip.contains("there is no `nowhere.md`"), "{strip}");
    ensure!(browser.run(&format!("return {FOLD}.open"), &[])? == json!(false), "it begins folded");
    browser.run(&format!("{FOLD}.querySelector('summary').click()"), &[])?;
    until(&mut browser, &format!("{FOLD}.open && {FOLD}.querySelector('li').offsetHeight > 0"))?;
    ensure!(browser.run("return window.before", &[])? == json!(true), "the page was not loaded again");
    ensure!(browser.text("main")?.contains("As it is now."), "the last good site");

    // Mended; whoever unfolded the strip finds it so.
    preview.save("10-cable.md", &lesson("Mended."))?;
    until(&mut browser, "!window.before && document.body.innerText.includes('Mended.')")?;
    until(&mut browser, &format!("{STRIP}.includes('nothing found') && {FOLD}.open"))?;
    until(&mut browser, "document.querySelector('.result[data-state=live]')")?;
    ensure!(typed(&mut browser)? == "137", "typed before both saves");

    // A page that waits is connected: it says nothing else however long nobody saves.
    std::thread::sleep(Duration::from_secs(4));
    ensure!(browser.run(&format!("return {STRIP}.includes('nothing found')"), &[])? == json!(true));

    // On paper there is no strip.
    browser.media("print", "light")?;
    let shown = "return getComputedStyle(document.querySelector('fieldcoil-preview')).display";
    let display = browser.run(shown, &[])?;
    browser.media("", "light")?;
    ensure!(display == json!("none"), "{display} on paper");

    // A page whose preview has ended says so.
    drop(preview);
    until(&mut browser, &format!("{STRIP}.includes('it has ended')"))
}

/// By day and by night, on a telephone and a wide screen, folded and unfolded, with and without a site above it.
#[test]
fn the_strip_is_as_sound_as_the_pages() -> Result<()> {
    let axe = axe()?;
    let preview = preview("preview-strip", "No lesson yet.")?;
    let mut browser = shared();
    let good = lesson("As it was.");
    let bad =
        lesson(&format!("[Lost](nowhere.md) and <b>gone</b>. {}", "[lost](also-nowhere.md) ".repeat(12)));
    let states = [
        ("No lesson yet.", "There is no site to show yet."),
        (&good, "Preview: "),
        (&bad, "The last good site is shown."),
    ];
    for (text, words) in states {
        preview.save("10-cable.md", text)?;
        for (width, height) in [(360, 640), (1280, 800)] {
            for scheme in ["light", "dark"] {
                browser.area(width, height)?;
                browser.media("", scheme)?;
                browser.open(&format!("http://{}/cable.html", preview.address))?;
                until(&mut browser, &format!("{STRIP}.includes('{words}')"))?;
                for open in [false, true] {
                    browser.run(&format!("{FOLD}.open = {open}"), &[])?;
                    let place = format!("{words} {width} {scheme} {open}");
                    let faults = violations(&mut browser, &axe)?;
                    ensure!(faults.is_empty(), "{place}: {faults:?}");
                    let wide = browser.run("return document.documentElement.scrollWidth", &[])?;
                    ensure!(wide.as_u64().is_some_and(|wide| wide <= u64::from(width)), "{place}: {wide}");
                    let look = format!(
                        "scrollTo(0, document.documentElement.scrollHeight); \
                         const strip = {FOLD}.getBoundingClientRect(), frame = document.querySelector('.frame'); \
                         return [strip.top, strip.bottom, strip.height, frame.getBoundingClientRect().bottom]"
                    );
                    let seen = browser.run(&look, &[])?;
                    let [top, bottom, size, frame] =
                        [0, 1, 2, 3].map(|at| seen[at].as_f64().unwrap_or(f64::NAN));
                    ensure!(frame <= top + 1.0, "{place}: it covers the end of the page: {seen}");
                    ensure!((bottom - f64::from(height)).abs() <= 1.0, "{place}: it is not below: {seen}");
                    let most = if open { 0.6 * f64::from(height) } else { 80.0 };
                    ensure!((24.0..=most + 4.0).contains(&size), "{place}: {seen}");
                }
            }
        }
    }
    browser.media("", "light")?;
    browser.area(1280, 800)
}

/// Everything that is not text in the strip, and whatever could act there.
const ACTIVE: &str = "
const root = document.querySelector('fieldcoil-preview').shadowRoot;
const faults = [];
for (const element of root.querySelectorAll('*')) {
    if (!['LINK', 'ASIDE', 'DETAILS', 'SUMMARY', 'UL', 'LI', 'P', 'CODE'].includes(element.tagName)) faults.push(element.tagName);
    for (const { name } of element.attributes) {
        if (!['rel', 'href', 'aria-label', 'open', 'lang', 'data-severity', 'data-state'].includes(name)) faults.push(name);
    }
    element.click?.();
}
return [faults, root.querySelectorAll('li').length, root.textContent];
";

/// What is found carries texts of the course, in the strip, in the page that stands for no site, and in the events.
#[test]
fn no_hostile_text_acts_in_the_strip() -> Result<()> {
    let strings = strings::all()?;
    ensure!(strings.iter().filter(|string| string.is_live).count() > 10, "strings that would act");
    let blocks: String = strings
        .iter()
        .map(|string| format!("```calculator\nuse = {}\n```\n\n", json!(string.text)))
        .collect();
    let preview = preview("preview-hostile", &lesson(&blocks))?;
    let mut browser = shared();
    for has_site in [false, true] {
        if has_site {
            preview.save("10-cable.md", &lesson("Good."))?;
            browser.open(&format!("http://{}/cable.html", preview.address))?;
            until(&mut browser, &format!("{STRIP}.includes('nothing found')"))?;
            preview.save("10-cable.md", &lesson(&blocks))?;
        } else {
            browser.open(&format!("http://{}/cable.html", preview.address))?;
        }
        until(&mut browser, &format!("{STRIP}.includes('unknown calculator')"))?;
        // A dialog that a script had opened would end this with an error of the browser.
        let seen = browser.run(ACTIVE, &[])?;
        ensure!(seen[0] == json!([]), "with a site: {has_site}; {}", seen[0]);
        ensure!(seen[1].as_u64().is_some_and(|lines| lines >= 50), "{} lines", seen[1]);
        ensure!(seen[2].as_str().is_some_and(|text| text.contains("<script")), "they are shown as they are");
    }
    Ok(())
}
