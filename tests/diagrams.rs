//! Diagrams as a browser draws them: at every moment of every diagram of the default course, no words lie on other words
//! or on a line.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::shared;
use fieldcoil_tests::site::Built;
use serde_json::json;

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("diagrams")).expect("the default course builds")
});

/// Lights every moment of every diagram in turn and gives what overlaps, and how many texts were looked at.
const LOOK: &str = r#"
const holds = (ranges, moment) => ranges.split(" ").filter(Boolean).some(range => {
    const [first, last = first] = range.split("-").map(Number);
    return first <= moment && moment <= last;
});
const faults = [];
let [texts, moments] = [0, 0];
for (const circuit of document.querySelectorAll("[data-circuit]")) {
    const svg = circuit.querySelector("svg");
    const toggle = circuit.querySelector(".live-values input");
    if (toggle && !toggle.checked) toggle.click();
    const parts = [...svg.querySelectorAll("[data-on]")];
    const ends = parts.flatMap(part => part.dataset.on.split(/[ -]/).filter(Boolean).map(Number));
    // Something changes only where a stretch begins or ends.
    const times = new Set([0, ...ends, ...ends.map(end => end + 1)]);
    const last = Math.max(0, ...ends);
    for (const moment of times) {
        if (moment > last) continue;
        moments += 1;
        for (const part of parts) part.toggleAttribute("data-lit", holds(part.dataset.on, moment));
        const seen = [...svg.querySelectorAll("text")].filter(text => text.getClientRects().length > 0);
        texts += seen.length;
        const scale = svg.getScreenCTM().a;
        const boxes = seen.map(text => {
            const box = text.getBoundingClientRect();
            // The box is as high as the face's tallest letters; capitals and figures fill about 0.7 of the size.
            const idle = box.height - 0.75 * Number(text.getAttribute("font-size")) * scale;
            return { text: text.textContent, mark: text.closest(".step-mark") !== null,
                left: box.left + scale, right: box.right - scale, top: box.top + idle / 2, bottom: box.bottom - idle / 2 };
        });
        const frame = svg.getBoundingClientRect();
        boxes.forEach((box, at) => {
            if (box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom)
                faults.push(`${circuit.id} at ${moment}: “${box.text}” is cut`);
            for (const other of boxes.slice(0, at))
                if (box.left < other.right && other.left < box.right && box.top < other.bottom && other.top < box.bottom)
                    faults.push(`${circuit.id} at ${moment}: “${box.text}” lies on “${other.text}”`);
        });
        for (const path of svg.querySelectorAll("path, circle")) {
            if (path.getClientRects().length === 0) continue;
            const to = path.getScreenCTM();
            const length = path.getTotalLength();
            for (let at = 0; at <= length; at += 1.5) {
                const point = path.getPointAtLength(at).matrixTransform(to);
                // The number of a step stands on its wire, on paper of its own.
                const on = boxes.find(box => !box.mark
                    && box.left < point.x && point.x < box.right && box.top < point.y && point.y < box.bottom);
                if (on) { faults.push(`${circuit.id} at ${moment}: a line goes through “${on.text}”`); break; }
            }
        }
    }
}
return [[...new Set(faults)], texts, moments];
"#;

#[test]
fn no_words_lie_on_words_or_lines() -> Result<()> {
    let mut browser = shared();
    let (mut faults, mut texts, mut moments, mut pages) = (Vec::new(), 0, 0, 0);
    for (page, _) in SITE.pages().filter(|(_, html)| html.contains("data-circuit")) {
        browser.open(&SITE.file_address(page))?;
        let said = browser.run(LOOK, &[])?;
        let found = said[0].as_array().context("a list")?;
        faults.extend(found.iter().map(|fault| format!("{page}: {fault}")));
        texts += said[1].as_u64().context("a count")?;
        moments += said[2].as_u64().context("a count")?;
        pages += 1;
    }
    println!("{texts} texts at {moments} moments on {pages} pages");
    ensure!(faults.is_empty(), "{}", faults.join("\n"));
    ensure!(pages > 0 && texts > 50 && moments >= 3, "{texts} texts at {moments} moments on {pages} pages");
    Ok(())
}

/// The check can fail: a label moved onto another one, and one moved onto a wire, are found.
#[test]
fn words_that_are_moved_are_found() -> Result<()> {
    let mut browser = shared();
    browser.open(&SITE.file_address(SITE.page_with("data-circuit")))?;
    let moved = browser.run(
        "const names = document.querySelectorAll('[data-circuit] svg .name'); \
         for (const axis of ['x', 'y']) names[0].setAttribute(axis, names[1].getAttribute(axis)); \
         const wire = document.querySelector('[data-circuit] svg .wire').getPointAtLength(20); \
         const words = document.querySelector('[data-circuit] svg .wire-name'); \
         words.setAttribute('x', wire.x); words.setAttribute('y', wire.y + 4); \
         return [names[0].textContent, words.textContent]",
        &[],
    )?;
    let said = browser.run(LOOK, &[json!(null)])?;
    let faults = said[0].to_string();
    let name = moved[0].as_str().context("words")?;
    ensure!(
        faults.contains(&format!("lies on “{name}”")) || faults.contains(&format!("“{name}” lies on")),
        "{faults}"
    );
    let words = moved[1].as_str().context("words")?;
    ensure!(faults.contains(&format!("through “{words}”")), "{faults}");
    Ok(())
}

/// The moments at which the wire with this many wires before it is lit, asked of the page after each of these steps.
const WIRES: &str = r#"
const circuit = document.querySelector("[data-hookup-of]");
return [...circuit.querySelectorAll(".circuit-view .wire")].map(wire => [wire.dataset.on, wire.hasAttribute("data-lit")]);
"#;

#[test]
fn each_ticked_step_lights_its_connection() -> Result<()> {
    let mut browser = shared();
    browser.open(&SITE.file_address("the-free-spin-bench-test.html"))?;
    let mut seen = std::collections::BTreeSet::new();
    // The first list of steps has no timer in it; initials come first where they are asked for.
    let steps = browser.run("return document.querySelector('.steps-of').children.length", &[])?;
    for done in 0..=steps.as_u64().context("a count")? {
        if done > 0 {
            browser.run(
                "const box = document.querySelector(`[data-hookup] [data-step=\"${arguments[0]}\"]`); \
                 const initials = box.closest('li').querySelector('[data-part=initials]'); \
                 if (initials) initials.value = 'MB'; \
                 box.click()",
                &[json!(done)],
            )?;
        }
        for wire in browser.run(WIRES, &[])?.as_array().context("wires")? {
            let ranges = wire[0].as_str().context("moments")?;
            let lit = ranges.split(' ').filter(|range| !range.is_empty()).any(|range| {
                let (first, last) = range.split_once('-').unwrap_or((range, range));
                (first.parse().unwrap_or(u64::MAX)..=last.parse().unwrap_or(0)).contains(&done)
            });
            ensure!(wire[1] == json!(lit), "after step {done}, a wire that is on at {ranges}: {}", wire[1]);
            seen.insert((ranges.to_owned(), lit));
        }
    }
    let both = seen.iter().filter(|(ranges, lit)| *lit && seen.contains(&(ranges.clone(), false))).count();
    ensure!(both >= 4, "{both} leads came on");
    Ok(())
}

#[test]
fn a_chosen_moment_lights_what_flows_then() -> Result<()> {
    let mut browser = shared();
    browser.open(&SITE.file_address(SITE.page_with("data-do=\"moment\"")))?;
    let flows = |browser: &mut fieldcoil_tests::browser::Chromium, moment: u64| -> Result<u64> {
        browser.run(
            "document.querySelectorAll('[data-circuit] [type=radio]')[arguments[0]].click()",
            &[json!(moment)],
        )?;
        let lit = browser.run(
            "return document.querySelectorAll('[data-circuit] .circuit-view .flow[data-lit]').length",
            &[],
        )?;
        lit.as_u64().context("a count")
    };
    let (rest, start) = (flows(&mut browser, 0)?, flows(&mut browser, 1)?);
    ensure!(rest == 0 && start >= 5, "{rest} wires carry current at rest, {start} when the key is turned");
    Ok(())
}
