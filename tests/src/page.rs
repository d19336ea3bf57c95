//! What tests do in a page with a calculator: fill in its form and read what it says.

use anyhow::{Context, Result};
use fieldcoil_calc::refusal::Refusal;
use fieldcoil_calc::report::Report;
use fieldcoil_calc::view::{parts, refused};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::browser::Chromium;
use crate::draw::{Form, as_json};

/// What a calculator says in answer to a form.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Said {
    /// `live` or `refused`.
    pub state: String,
    /// The texts of readings, findings, steps and sources, in this order.
    pub parts: [String; 4],
    /// Each output's name and text, in the order shown.
    pub outputs: Vec<(String, String)>,
}

/// Fills in one form after another in the calculator and gives what it said to each.
///
/// One `input` event follows each form: the calculator reads its whole form at every event.
const FILL: &str = r#"
const [name, forms] = arguments;
const section = document.querySelector(`[data-calculator="${name}"]`);
const result = section.querySelector(".result");
for (const part of section.querySelectorAll("details")) part.open = true;
const text = part => result.querySelector(`[data-part="${part}"]`).textContent;
return forms.map(form => {
    for (const { name, ...boxes } of form) {
        const field = section.querySelector(`[data-field="${name}"]`);
        for (const [part, value] of Object.entries(boxes)) {
            const box = field.querySelector(`:is(input, select, textarea)[data-part="${part}"]`);
            if (!box) continue;
            box.value = value;
            if (box.value !== value) throw new Error(`${name} does not take ${value}`);
        }
    }
    section.querySelector("form").dispatchEvent(new Event("input", { bubbles: true }));
    return {
        state: result.dataset.state,
        parts: ["readings", "findings", "steps", "sources"].map(text),
        outputs: [...result.querySelectorAll("[data-output]")].map(node => [node.dataset.output, node.textContent]),
    };
});
"#;

/// Chooses a file in place of a recording: so many rows of a kick of 350 A that falls to 62 A, with some ripple.
///
/// Gives the milliseconds until its result is live, the longest time in which no timer of the page came in between, and
/// whether the page said meanwhile that it was working.
pub const CHOOSE_FILE: &str = r#"
const [rows, done] = [arguments[0], arguments[arguments.length - 1]];
const lines = ["Time (s),Current (A),Voltage (V)"];
for (let i = 0; i < rows; i += 1) {
    const time = 2 * i / rows;
    const on = time - 0.1;
    const current = on < 0 ? 0.2 : 62 + 288 * Math.exp(-on / 0.05) + 3 * Math.sin(2 * Math.PI * 700 * time);
    lines.push(`${time.toFixed(7)},${current.toFixed(2)},${(12.6 - current / 100).toFixed(3)}`);
}
const file = new File([lines.join("\n")], "bench.csv", { type: "text/csv" });
const section = document.querySelector('[data-calculator="trace-reading"]');
const input = section.querySelector("[data-part=file]");
const result = section.querySelector(".result");
const transfer = new DataTransfer();
transfer.items.add(file);
const start = performance.now();
let [last, still, said] = [start, 0, false];
const timer = setInterval(() => {
    const now = performance.now();
    still = Math.max(still, now - last);
    last = now;
    said = said || !section.querySelector("[data-part=waiting]").hidden;
}, 4);
new MutationObserver((_, watch) => {
    if (result.dataset.state === "working") { said = !section.querySelector("[data-part=waiting]").hidden; return; }
    if (!said) return;
    watch.disconnect();
    clearInterval(timer);
    const now = performance.now();
    done([now - start, Math.max(still, now - last), said, result.dataset.state,
        result.querySelector("[data-part=readings]").textContent]);
}).observe(result, { attributes: true, attributeFilter: ["data-state"] });
input.files = transfer.files;
input.dispatchEvent(new Event("input", { bubbles: true }));
"#;

/// What the open page's calculator says to each form.
pub fn say(browser: &mut Chromium, calculator: &str, forms: &[Form]) -> Result<Vec<Said>> {
    let forms: Vec<Value> = forms.iter().map(as_json).collect();
    let said = browser.run(FILL, &[json!(calculator), Value::Array(forms)])?;
    serde_json::from_value(said).context("the page says something else")
}

/// What a page has to say when the library comes to this.
pub fn expected(worked: &Result<Report, Refusal>) -> Said {
    let (state, parts) = match worked {
        Ok(report) => ("live", parts(report)),
        Err(refusal) => ("refused", refused(refusal)),
    };
    let all = [&parts.readings, &parts.findings, &parts.steps, &parts.sources];
    Said {
        state: state.to_owned(),
        parts: all.map(|html| text(html)),
        outputs: all.iter().flat_map(|html| outputs(html)).collect(),
    }
}

/// The text of HTML as a page gives it: tags left out, the four escapes undone.
fn text(html: &str) -> String {
    let mut text = String::new();
    let mut rest = html;
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        rest = after.split_once('>').map_or("", |(_, after)| after);
    }
    text.push_str(rest);
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&amp;", "&")]
        .iter()
        .fold(text, |text, (escape, character)| text.replace(escape, character))
}

/// The outputs of HTML: each stands in an element of its own that names it.
fn outputs(html: &str) -> Vec<(String, String)> {
    html.split("<span data-output=\"")
        .skip(1)
        .filter_map(|rest| {
            let (name, rest) = rest.split_once("\">")?;
            Some((name.to_owned(), text(rest.split_once("</span>")?.0)))
        })
        .collect()
}
