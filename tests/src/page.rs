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
