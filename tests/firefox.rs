//! The smoke path in a second browser: Firefox, over http and from a file.

use std::path::Path;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::Firefox;
use fieldcoil_tests::server::Server;
use fieldcoil_tests::site::Built;
use serde_json::json;

#[test]
fn readings_typed_in_firefox_give_the_verdict_and_ticks_are_kept() -> Result<()> {
    let site = Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("firefox"))?;
    let server = Server::start(&site.folder, "/shop/course/")?;
    let page = "the-free-spin-bench-test.html";
    let mut firefox = Firefox::start().context("firefox-esr (apt: firefox-esr) must start")?;
    for address in [format!("{}{page}", server.address), site.file_address(page)] {
        firefox.open(&address)?;
        let state = firefox.run("return document.querySelector('.result').dataset.state", &[])?;
        ensure!(state == json!("live"), "{address}: the module did not start: {state}");
        let field = |name: &str| {
            format!("[data-calculator=\"bench-verdict\"] [data-field=\"{name}\"] [data-part=\"number\"]")
        };
        firefox.type_into(&field("settled_current_a"), "118")?;
        firefox.type_into(&field("speed_rpm"), "4400")?;
        let said = firefox.run("return document.querySelector('[data-part=readings]').textContent", &[])?;
        ensure!(said.as_str().is_some_and(|said| said.contains("outside limits")), "{address}: {said}");

        firefox.run("document.querySelector('[data-step=\"1\"]').click()", &[])?;
        // What was typed is in the address bar, as in Chromium.
        let hash = firefox.run("return location.hash", &[])?;
        ensure!(hash.as_str().is_some_and(|hash| hash.contains("118")), "{address}: {hash}");
        firefox.open("about:blank")?;
        firefox.open(&address)?;
        let ticked = firefox.run("return document.querySelector('[data-step=\"1\"]').checked", &[])?;
        ensure!(ticked == json!(true), "{address}: the tick is gone");
        let kept =
            firefox.run("return document.querySelector(arguments[0]).value", &[json!(field("speed_rpm"))])?;
        ensure!(kept == json!("4400"), "{address}: the speed is {kept}");
    }
    let refused = server.refused();
    ensure!(refused.is_empty(), "asked for and not there: {refused:?}");
    Ok(())
}
