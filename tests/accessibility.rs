//! Pages as checkers see them: axe-core in the browser, the Nu HTML checker, and the width of a telephone.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use anyhow::{Result, ensure};
use fieldcoil_tests::browser::{Chromium, shared};
use fieldcoil_tests::checker::{axe, nu, violations};
use fieldcoil_tests::site::Built;
use serde_json::json;

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("accessibility"))
        .expect("the default course builds")
});

#[test]
fn axe_finds_nothing_on_any_page_in_any_medium() -> Result<()> {
    let axe = axe()?;
    // The longest of these tests, beside the others.
    let mut browser = Chromium::start_unlogged()?;
    let mut faults = Vec::new();
    for (page, _) in SITE.pages() {
        for (media, scheme) in [("", "light"), ("", "dark"), ("print", "light")] {
            browser.media(media, scheme)?;
            browser.open(&SITE.file_address(page))?;
            for fault in violations(&mut browser, &axe)? {
                // Nobody touches paper: boxes are for a pencil there.
                if media == "print" && fault[0] == "target-size" {
                    continue;
                }
                faults.push(format!("{page} ({media}{scheme}): {fault}"));
            }
        }
    }
    ensure!(faults.is_empty(), "{}", faults.join("\n"));
    Ok(())
}

/// What is shown only after something was done is looked at too.
#[test]
fn axe_finds_nothing_with_refusals_shown_and_working_unfolded() -> Result<()> {
    let axe = axe()?;
    let mut browser = shared();
    for scheme in ["light", "dark"] {
        browser.media("", scheme)?;
        for (page, _) in SITE.pages().filter(|(_, html)| html.contains("data-calculator")) {
            browser.open(&SITE.file_address(page))?;
            browser.run("document.querySelectorAll('details').forEach(part => part.open = true)", &[])?;
            let faults = violations(&mut browser, &axe)?;
            ensure!(faults.is_empty(), "{page}, unfolded, {scheme}: {faults:?}");
            browser.type_into("[data-calculator] [data-part=\"number\"]:not([readonly])", "no number")?;
            let faults = violations(&mut browser, &axe)?;
            ensure!(faults.is_empty(), "{page}, refused, {scheme}: {faults:?}");
            browser.click("[data-do=\"reset\"]")?;
        }
    }
    Ok(())
}

/// A checker that finds nothing anywhere would prove nothing.
#[test]
fn axe_finds_faults_where_there_are_some() -> Result<()> {
    let mut browser = shared();
    browser.open("data:text/html,<title>x</title><img src=x><input>")?;
    let found = violations(&mut browser, &axe()?)?;
    for name in ["html-has-lang", "image-alt", "label"] {
        ensure!(found.iter().any(|fault| fault[0] == json!(name)), "{name} was not found: {found:?}");
    }
    Ok(())
}

#[test]
fn the_nu_checker_finds_no_error_on_any_page() -> Result<()> {
    let files: Vec<PathBuf> = SITE.pages().map(|(page, _)| SITE.folder.join(page)).collect();
    let (clean, words) = nu(&files)?;
    ensure!(clean && words.is_empty(), "{words}");
    let bad = SITE.folder.join("bad.html.txt");
    std::fs::write(&bad, "<!doctype html><title>x</title><p><div id=a id=a></p>")?;
    ensure!(!nu(&[bad])?.0, "a bad page passes");
    Ok(())
}

/// A chart whose drawing waits until it comes near is no part of what assistive software is given, nor is its caption
/// (Chromium 156): so nothing waits.
#[test]
fn charts_far_below_the_window_are_heard() -> Result<()> {
    let mut browser = shared();
    browser.area(360, 740)?;
    browser.open(&SITE.file_address(SITE.page_with("class=\"trace\"")))?;
    for chart in [".trace .chart", ".result .chart"] {
        let (role, name) = browser.spoken(&format!("{chart} svg"))?;
        ensure!(role == "image" && name.starts_with("Chart: "), "{chart}: {role} “{name}”");
        let (role, _) = browser.spoken(&format!("{chart} figcaption"))?;
        ensure!(role.eq_ignore_ascii_case("figcaption"), "{chart}: its caption is {role}");
    }
    Ok(())
}

/// What is cut off and cannot be scrolled to: text wider than a box that hides or clips what does not fit.
const CUT: &str = "
document.querySelectorAll('details').forEach(part => part.open = true);
const hides = node => ['hidden', 'clip'].includes(getComputedStyle(node).overflowX);
return [document.documentElement.scrollWidth, [...document.querySelectorAll('.sheet *')].filter(node =>
    node.clientWidth > 1 && node.scrollWidth > node.clientWidth && hides(node) && node.checkVisibility()
    && !node.closest('svg')).map(node => node.className + ': ' + node.textContent.slice(0, 60))];";

/// WCAG 2.2, success criterion 1.4.10: 320 pixels are a small telephone, and a window of 1280 at 400 %.
#[test]
fn every_page_fits_a_small_telephone_and_loses_nothing() -> Result<()> {
    let mut browser = shared();
    browser.area(320, 640)?;
    for (page, _) in SITE.pages() {
        browser.open(&SITE.file_address(page))?;
        let seen = browser.run(CUT, &[])?;
        ensure!(seen[0].as_u64().is_some_and(|width| width <= 320), "{page} is {} pixels wide", seen[0]);
        ensure!(seen[1] == json!([]), "{page} cuts off {}", seen[1]);
    }
    browser.open(
        "data:text/html,<p class=sheet><b style='display:block;width:9px;overflow:clip'>abcdefgh</b>",
    )?;
    ensure!(browser.run(CUT, &[])?[1][0] == json!(": abcdefgh"), "what is cut off is not found");
    Ok(())
}

/// WCAG 2.2, success criterion 2.5.8: at least 24 by 24, but for links inside text.
#[test]
fn what_is_touched_is_large_enough_for_a_thumb() -> Result<()> {
    let mut browser = shared();
    browser.area(360, 780)?;
    for (page, _) in SITE.pages() {
        browser.open(&SITE.file_address(page))?;
        let small = browser.run(
            "return [...document.querySelectorAll('button, input, select, summary, .lessons a, .neighbours a')] \
             .filter(node => node.offsetParent && (node.offsetWidth < 24 || node.offsetHeight < 24)) \
             .map(node => [node.tagName, node.className, node.id, node.offsetWidth, node.offsetHeight])",
            &[],
        )?;
        ensure!(small == json!([]), "{page}: {small}");
    }
    Ok(())
}
