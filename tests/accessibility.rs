//! Pages as checkers see them: axe-core in the browser, the Nu HTML checker, and the width of a telephone.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use anyhow::{Result, ensure};
use fieldcoil_tests::browser::shared;
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
    let mut browser = shared();
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

#[test]
fn every_page_fits_a_telephone() -> Result<()> {
    let mut browser = shared();
    browser.area(360, 780)?;
    for (page, html) in SITE.pages() {
        browser.open(&SITE.file_address(page))?;
        let width = browser.run("return document.documentElement.scrollWidth", &[])?;
        ensure!(
            width.as_u64().is_some_and(|width| width <= 360),
            "{page} is {width} pixels wide on a telephone"
        );
        if html.contains("data-calculator") {
            browser.run("document.querySelectorAll('details').forEach(part => part.open = true)", &[])?;
            let width = browser.run("return document.documentElement.scrollWidth", &[])?;
            ensure!(
                width.as_u64().is_some_and(|width| width <= 360),
                "{page}, unfolded, is {width} pixels wide"
            );
        }
    }
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
