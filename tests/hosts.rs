//! The site on servers with ways of their own and on a stick: it works, or the page says that its script did not run.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::{Chromium, shared};
use fieldcoil_tests::server::{Manner, Server};
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> = LazyLock::new(|| {
    let stick = Path::new(env!("CARGO_TARGET_TMPDIR")).join("Stick für Übung 1, #2");
    Built::into(&stick).expect("the default course builds")
});

/// The address of a page on the stick, as a browser writes it after a double click.
fn on_the_stick(page: &str) -> String {
    SITE.file_address(page).replace('#', "%23")
}

const NOSNIFF: &str = "X-Content-Type-Options: nosniff";

/// What a server does, what it is called here, and does the script run then?
const MANNERS: &[(&str, Manner, bool)] = &[
    ("sniffing forbidden", Manner { headers: &[NOSNIFF], types: &[] }, true),
    ("scripts as text", Manner { headers: &[], types: &[("js", "text/plain")] }, true),
    ("scripts as bytes", Manner { headers: &[], types: &[("js", "application/octet-stream")] }, true),
    (
        "scripts as text, sniffing forbidden",
        Manner { headers: &[NOSNIFF], types: &[("js", "text/plain")] },
        false,
    ),
    (
        "a policy without WebAssembly",
        Manner { headers: &["Content-Security-Policy: default-src 'self'"], types: &[] },
        false,
    ),
    (
        "a policy with WebAssembly and without pictures as data",
        Manner {
            headers: &["Content-Security-Policy: default-src 'self'; script-src 'self' 'wasm-unsafe-eval'"],
            types: &[],
        },
        true,
    ),
    (
        "the policy of the README",
        Manner {
            headers: &["Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
                        style-src 'self'; img-src 'self' data:"],
            types: &[],
        },
        true,
    ),
];

/// Of the page in the window: the lesson's result, does each note about the script show, is the first tick to be seen?
const LOOK: &str = "
const shown = node => node.checkVisibility();
const box = document.querySelector('[data-hookup] [type=checkbox]');
box.click();
const tick = getComputedStyle(box, '::before');
return {
    result: document.querySelector('.result [data-part=readings]').textContent,
    notes: [...new Set([...document.querySelectorAll('.asleep')].map(shown))],
    buttons: [...document.querySelectorAll('[data-do=reset], [data-do=hand-in]')].some(shown),
    ticked: box.checked && tick.clipPath.startsWith('polygon') && tick.maskImage === 'none'
        && tick.backgroundColor !== 'rgba(0, 0, 0, 0)',
};";

fn look(browser: &mut Chromium, address: &str, runs: bool) -> Result<Value> {
    browser.open(address)?;
    let mut seen = browser.run(LOOK, &[])?;
    let result = seen["result"].take();
    let wanted = json!({ "result": null, "notes": [!runs], "buttons": runs, "ticked": true });
    ensure!(seen == wanted, "{address}: {seen}");
    Ok(result)
}

#[test]
fn a_server_with_ways_of_its_own_gives_a_page_that_works_or_says_why_not() -> Result<()> {
    let mut browser = shared();
    let (page, _) = SITE
        .pages()
        .find(|(_, html)| html.contains("data-hookup ") && html.contains("data-calculator="))
        .context("a lesson with a checklist and a calculator")?;
    let result = look(&mut browser, &on_the_stick(page), true)?;
    ensure!(result.as_str().is_some_and(|text| !text.is_empty()), "{result}");
    for (name, manner, runs) in MANNERS {
        let server = Server::start_as(&SITE.folder, "/shop/course/", *manner)?;
        let there = look(&mut browser, &format!("{}{page}", server.address), *runs)
            .with_context(|| (*name).to_owned())?;
        ensure!(there == result, "{name}: {there}, not {result}");
        ensure!(server.refused().is_empty(), "{name}: something was asked for that is not there");
    }
    Ok(())
}

#[test]
fn on_a_stick_with_blanks_and_umlauts_every_page_finds_its_files() -> Result<()> {
    let mut browser = shared();
    let mut asked_for = 0;
    // Shown for a path in a subfolder, the page for what is not there looks in the folders above itself too.
    for (page, _) in SITE.pages().filter(|(page, _)| *page != "404.html") {
        browser.open(&on_the_stick(page))?;
        for address in browser.requests()?.iter().filter(|address| !address.starts_with("data:")) {
            ensure!(
                address.contains("/Stick%20f%C3%BCr%20%C3%9Cbung%201,%20%232/"),
                "{page} asks for {address}"
            );
            asked_for += 1;
        }
        let quiet = browser.console()?;
        ensure!(quiet.is_empty(), "{page}: {quiet:?}");
    }
    ensure!(asked_for > 2 * SITE.pages().count(), "{asked_for}");
    Ok(())
}
