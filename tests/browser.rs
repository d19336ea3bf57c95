//! What a student does in a page, done in a real browser: over http below a path, and from plain files.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::catalog::CATALOG;
use fieldcoil_tests::browser::{Chromium, shared};
use fieldcoil_tests::case::all;
use fieldcoil_tests::draw::{self, Dice, Form};
use fieldcoil_tests::page::{CHOOSE_FILE, expected, say};
use fieldcoil_tests::server::Server;
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("browser")).expect("the default course builds")
});
static SERVER: LazyLock<Server> =
    LazyLock::new(|| Server::start(&SITE.folder, "/shop/course/").expect("a port is free"));

/// A page's address over http and from the disk.
fn addresses(page: &str) -> [String; 2] {
    [format!("{}{page}", SERVER.address), SITE.file_address(page)]
}

/// The page with this calculator.
fn page_of(calculator: &str) -> &'static str {
    SITE.page_with(&format!("data-calculator=\"{calculator}\""))
}

fn part(calculator: &str, part: &str) -> String {
    format!("[data-calculator=\"{calculator}\"] .result [data-part=\"{part}\"]")
}

fn number_box(calculator: &str, field: &str) -> String {
    format!("[data-calculator=\"{calculator}\"] [data-field=\"{field}\"] [data-part=\"number\"]")
}

fn value_of(browser: &mut Chromium, selector: &str) -> Result<String> {
    let value = browser.run("return document.querySelector(arguments[0]).value", &[json!(selector)])?;
    Ok(value.as_str().context("a box with a value")?.to_owned())
}

#[test]
fn readings_typed_give_the_verdict() -> Result<()> {
    let mut browser = shared();
    for address in addresses(page_of("bench-verdict")) {
        browser.open(&address)?;
        let (amps, rpm) =
            (number_box("bench-verdict", "settled_current_a"), number_box("bench-verdict", "speed_rpm"));
        let stamp = part("bench-verdict", "readings");
        // The sheet's limits of the lesson's invented motor: 40 A to 80 A, 6000 rpm to 9000 rpm at 11.0 V.
        for (current, speed, verdict) in [
            ("62", "7300", "within limits"),
            ("118", "4400", "outside limits"),
            ("82", "7300", "too close to call"),
            ("2000", "0", "outside limits"),
            ("62", "7300", "within limits"),
        ] {
            let peak = if current == "2000" { "2400" } else { "290" };
            browser.type_into(&number_box("bench-verdict", "peak_current_a"), peak)?;
            browser.type_into(&amps, current)?;
            browser.type_into(&rpm, speed)?;
            let said = browser.text(&stamp)?;
            ensure!(said.to_lowercase().contains(verdict), "{address}: {current} A, {speed} rpm: {said}");
        }
        let findings = browser.text(&part("bench-verdict", "findings"))?;
        ensure!(findings.contains("Check next"), "{findings}");
    }
    Ok(())
}

#[test]
fn the_page_says_what_the_library_says_to_two_hundred_forms() -> Result<()> {
    let mut browser = shared();
    for (seed, calculator) in CATALOG.iter().enumerate() {
        let forms = drawn(calculator, 2026 + seed as u64);
        for (address, forms) in addresses(page_of(calculator.name)).iter().zip([&forms[..], &forms[..60]]) {
            browser.open(address)?;
            let said = say(&mut browser, calculator.name, forms)?;
            ensure!(said.len() == forms.len());
            for (form, said) in forms.iter().zip(said) {
                let here = expected(&draw::work(calculator, form));
                ensure!(said == here, "{form:#?}\nthe page: {said:#?}\nhere: {here:#?}");
            }
        }
    }
    Ok(())
}

/// Forms enough that 220 of them are worked; those that are refused on the way are compared too.
fn drawn(calculator: &'static Calculator, seed: u64) -> Vec<Form> {
    let mut dice = Dice(seed);
    let (mut forms, mut worked) = (Vec::new(), 0);
    while worked < 220 {
        let form = draw::form(calculator, &mut dice);
        worked += usize::from(draw::work(calculator, &form).is_ok());
        forms.push(form);
        assert!(forms.len() < 5000, "{}: {worked} of 5000 forms were worked", calculator.name);
    }
    forms
}

/// With another compiler than the recorded one, this is what proves a rebuilt module equal: see `calc-wasm/rebuild`.
#[test]
fn published_values_read_the_same_in_the_page() -> Result<()> {
    let mut browser = shared();
    let cases = all()?;
    for calculator in CATALOG {
        let ours: Vec<_> =
            cases.iter().filter(|case| case.calculator.as_deref() == Some(calculator.name)).collect();
        let forms: Vec<Form> = ours.iter().map(|case| draw::form_of(calculator, &case.set)).collect();
        browser.open(&addresses(page_of(calculator.name))[0])?;
        let said = say(&mut browser, calculator.name, &forms)?;
        ensure!(said.len() == ours.len() && !ours.is_empty(), "{}: nothing was compared", calculator.name);
        for (case, said) in ours.iter().zip(said) {
            let report = case.report()?;
            ensure!(said == expected(&Ok(report)), "{}: the page says {said:#?}", case.id);
        }
    }
    Ok(())
}

#[test]
fn without_script_the_result_of_the_lessons_values_stands_there() -> Result<()> {
    let mut browser = shared();
    for calculator in CATALOG {
        for address in addresses(page_of(calculator.name)) {
            let readings = part(calculator.name, "readings");
            browser.open(&address)?;
            let live = browser.text(&readings)?;
            ensure!(
                browser.run("return document.querySelector('.result').dataset.state", &[])? == json!("live")
            );
            browser.open("about:blank")?;
            browser.scripts(false)?;
            browser.open(&address)?;
            let still = browser.text(&readings)?;
            browser.scripts(true)?;
            ensure!(!live.is_empty() && live == still, "{address}: “{live}” live, “{still}” without script");
        }
    }
    Ok(())
}

#[test]
fn a_button_that_needs_script_is_not_shown_without_it() -> Result<()> {
    for (page, html) in SITE.pages() {
        for (at, _) in html.match_indices("<button") {
            let tag = html[at..].split('>').next().unwrap_or_default();
            // The line for a student's code is hidden as a whole, and so is the question about a loaded file.
            let around = html[..at].rfind("<div").map(|open| &html[open..at]);
            let enclosed = around.is_some_and(|inside| {
                inside.split('>').next().is_some_and(|tag| tag.ends_with(" hidden"))
                    && !inside.contains("</div>")
            });
            ensure!(tag.contains(" hidden") || enclosed, "{page}: {tag}>");
        }
    }
    let mut browser = shared();
    browser.open(&addresses(page_of("voltage-drop"))[1])?;
    let hidden = browser.run("return document.querySelectorAll('button[hidden]').length", &[])?;
    ensure!(hidden == json!(0), "{hidden} buttons stay hidden");
    Ok(())
}

#[test]
fn inputs_are_in_the_address_and_outlive_a_reload_until_reset() -> Result<()> {
    let mut browser = shared();
    let current = number_box("voltage-drop", "current_a");
    let readings = part("voltage-drop", "readings");
    for address in addresses(page_of("voltage-drop")) {
        browser.open(&address)?;
        let (first, before) = (value_of(&mut browser, &current)?, browser.text(&readings)?);
        browser.type_into(&current, "271")?;
        let after = browser.text(&readings)?;
        ensure!(after != before, "the result follows what is typed");
        let link = browser.address()?;
        ensure!(link.contains('#') && link.contains("271"), "{link}");

        browser.reload()?;
        ensure!(
            value_of(&mut browser, &current)? == "271" && browser.text(&readings)? == after,
            "after a reload"
        );

        // The plain address, without what the link carries: this browser remembers.
        browser.open("about:blank")?;
        browser.open(&address)?;
        ensure!(value_of(&mut browser, &current)? == "271", "on another visit");

        browser.click("[data-calculator=\"voltage-drop\"] [data-do=\"reset\"]")?;
        ensure!(value_of(&mut browser, &current)? == first, "after Reset");
        ensure!(browser.text(&readings)? == before, "after Reset");
        browser.reload()?;
        ensure!(value_of(&mut browser, &current)? == first, "after Reset and a reload");

        // A link opened by somebody else, whose browser remembers nothing.
        browser.run("localStorage.clear()", &[])?;
        browser.open("about:blank")?;
        browser.open(&link)?;
        ensure!(
            value_of(&mut browser, &current)? == "271" && browser.text(&readings)? == after,
            "by the link"
        );
        browser.click("[data-calculator=\"voltage-drop\"] [data-do=\"reset\"]")?;
    }
    Ok(())
}

#[test]
fn a_refused_input_gets_its_sentence_at_the_field_and_no_result() -> Result<()> {
    let mut browser = shared();
    for address in addresses(page_of("voltage-drop")) {
        browser.open(&address)?;
        for (typed, words) in
            [("-5", "accepted are"), ("abc", "not a number"), ("1,250", "thousands"), ("", "empty")]
        {
            browser.type_into(
                &number_box("voltage-drop", "current_a"),
                if typed.is_empty() { "\u{e003}" } else { typed },
            )?;
            let field = "[data-calculator=\"voltage-drop\"] [data-field=\"current_a\"]";
            let sentence = browser.text(&format!("{field} .field-error"))?;
            ensure!(sentence.contains("Current") && sentence.contains(words), "{typed}: {sentence}");
            let readings = browser.text(&part("voltage-drop", "readings"))?;
            ensure!(readings.contains(&sentence), "{typed}: {readings}");
            let invalid =
                browser.run("return document.querySelectorAll('[aria-invalid=true]').length", &[])?;
            ensure!(invalid.as_u64().is_some_and(|count| count > 0), "{typed}: no box is marked");
        }
        browser.type_into(&number_box("voltage-drop", "current_a"), "180")?;
        let error =
            browser.run("return document.querySelectorAll('.field-error:not([hidden])').length", &[])?;
        ensure!(error == json!(0), "a mended field keeps its sentence");
        browser.click("[data-calculator=\"voltage-drop\"] [data-do=\"reset\"]")?;
    }
    Ok(())
}

#[test]
fn a_number_in_place_of_a_listed_size_is_worked() -> Result<()> {
    let mut browser = shared();
    browser.open(&addresses(page_of("voltage-drop"))[0])?;
    let field = "[data-calculator=\"voltage-drop\"] [data-field=\"conductor_size\"]";
    let choose = "const list = document.querySelector(arguments[0]); list.value = arguments[1]; \
                  list.dispatchEvent(new Event('input', { bubbles: true }))";
    browser.run(choose, &[json!(format!("{field} select")), json!("other")])?;
    browser.type_into(&format!("{field} [data-part=\"other\"]"), "27")?;
    let findings = browser.text(&part("voltage-drop", "findings"))?;
    ensure!(findings.contains("area you typed"), "{findings}");
    browser.click("[data-calculator=\"voltage-drop\"] [data-do=\"reset\"]")?;
    let shown = browser.run(
        "return document.querySelector(arguments[0]).offsetParent !== null",
        &[json!(format!("{field} [data-part=\"other\"]"))],
    )?;
    ensure!(shown == json!(false), "the box for another area closes again");
    Ok(())
}

#[test]
fn the_keyboard_alone_reaches_the_sheet_and_works_a_calculator() -> Result<()> {
    let mut browser = shared();
    browser.open(&addresses(page_of("voltage-drop"))[0])?;
    browser.keys("\u{e004}")?;
    let focused = browser.run("return document.activeElement.getAttribute('href')", &[])?;
    ensure!(focused == json!("#sheet"), "the first stop is the way past the lessons, not {focused}");
    let current = number_box("voltage-drop", "current_a");
    let reached = "return document.activeElement === document.querySelector(arguments[0])";
    let mut stops = 0;
    while browser.run(reached, &[json!(current)])? != Value::Bool(true) {
        browser.keys("\u{e004}")?;
        stops += 1;
        ensure!(stops < 200, "the Tab key never reaches the current's box");
    }
    let before = browser.text(&part("voltage-drop", "readings"))?;
    browser.keys("77")?;
    ensure!(browser.text(&part("voltage-drop", "readings"))? != before, "the result follows the keys");
    browser.click("[data-calculator=\"voltage-drop\"] [data-do=\"reset\"]")?;
    Ok(())
}

#[test]
fn every_box_and_list_has_a_role_and_a_name() -> Result<()> {
    let mut browser = shared();
    for calculator in CATALOG {
        browser.open(&addresses(page_of(calculator.name))[0])?;
        for field in calculator.fields {
            let control = format!(
                "[data-calculator=\"{}\"] [data-field=\"{}\"] :is(input, select, textarea)",
                calculator.name, field.name
            );
            let (role, name) = browser.spoken(&control)?;
            ensure!(["textbox", "combobox"].contains(&role.as_str()), "{control}: {role}");
            ensure!(name.starts_with(field.label), "{control}: {name}");
        }
    }
    Ok(())
}

#[test]
fn pages_ask_for_nothing_outside_and_say_nothing_in_the_console() -> Result<()> {
    let mut browser = shared();
    // Shown for a path in a subfolder, this page alone looks for its styles in the folders above itself too.
    let styles = SITE.site.files.keys().find(|path| path.starts_with("assets/sheet-")).context("styles")?;
    let looks_above = |page: &str, asked: &str| page == "404.html" && asked.ends_with(styles.as_str());
    for (page, _) in SITE.pages() {
        for (address, base) in addresses(page).iter().zip(addresses("")) {
            browser.open(address)?;
            let outside: Vec<String> = browser
                .requests()?
                .into_iter()
                .filter(|asked| {
                    !asked.starts_with(&base)
                        && !asked.starts_with("data:")
                        && asked != "about:blank"
                        && !looks_above(page, asked)
                })
                .collect();
            ensure!(outside.is_empty(), "{page} asks for {outside:?}");
            let mut console = browser.console()?;
            console.retain(|line| !(page == "404.html" && line.contains(styles.as_str())));
            ensure!(console.is_empty(), "{page} says {console:?}");
        }
    }
    let mut refused = SERVER.refused();
    refused.retain(|asked| !asked.ends_with(styles.as_str()));
    ensure!(refused.is_empty(), "asked for and not there: {refused:?}");
    Ok(())
}

#[test]
fn a_blocked_module_leaves_the_precomputed_result() -> Result<()> {
    // As an old browser or a school's filter would: the page's script fails at its first line.
    let mut browser = shared();
    let page = page_of("voltage-drop");
    browser.open(&addresses(page)[0])?;
    let live = browser.text(&part("voltage-drop", "readings"))?;
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("browser-blocked");
    let blocked = Built::into(&folder)?;
    for path in blocked.site.files.keys().filter(|path| path.ends_with(".js")) {
        std::fs::write(folder.join(path), "throw new Error('blocked by a filter')")?;
    }
    browser.open(&blocked.file_address(page))?;
    ensure!(browser.text(&part("voltage-drop", "readings"))? == live);
    browser.console()?;
    Ok(())
}

#[test]
fn a_long_recording_is_read_beside_the_page_and_the_page_says_so() -> Result<()> {
    let mut browser = shared();
    for address in addresses(page_of("trace-reading")) {
        browser.open(&address)?;
        let done = browser.run_later(CHOOSE_FILE, &[json!(60_000)])?;
        let (said, state, readings) = (&done[2], &done[3], done[4].as_str().context("readings")?);
        ensure!(*said == json!(true), "{address}: the page did not say that it was working");
        ensure!(*state == json!("live"), "{address}: {state}: {readings}");
        // The kick is 350 A with a ripple of 3 A; the settled mean is 62 A, less the 0.2 A before the run.
        ensure!(readings.contains("61.8") && readings.contains("35"), "{address}: {readings}");
        // The recording is neither kept nor linked.
        let kept = browser.run("return JSON.stringify(localStorage).length + location.href.length", &[])?;
        ensure!(kept.as_u64().is_some_and(|kept| kept < 20_000), "{address}: {kept} letters are kept");
    }
    Ok(())
}
