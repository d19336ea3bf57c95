//! Checkers of pages, installed by `tests/run`: axe-core in the browser and the Nu HTML checker.

use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, Result, ensure};
use serde_json::Value;

use crate::browser::Chromium;
use crate::repository;

fn tool(path: &str) -> Result<PathBuf> {
    let file = repository::root().join("tests/tools/node_modules").join(path);
    ensure!(file.exists(), "{} is missing: tests/run installs it", file.display());
    Ok(file)
}

/// The text of axe-core.
pub fn axe() -> Result<String> {
    Ok(std::fs::read_to_string(tool("axe-core/axe.min.js")?)?)
}

/// Runs axe-core in the open page and gives each violation with the places where it was seen.
pub fn violations(browser: &mut Chromium, axe: &str) -> Result<Vec<Value>> {
    browser.run(axe, &[])?;
    let found = browser.run_later(
        "const done = arguments[0]; \
         axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }) \
             .then(run => done(run.violations.map(one => [one.id, one.help, one.nodes.map(node => node.target.join(' '))])))
             .catch(problem => done([['axe', String(problem), []]]))",
        &[],
    )?;
    found.as_array().cloned().context("a list")
}

/// What the Nu HTML checker says to files: are they clean, and its words.
pub fn nu(files: &[PathBuf]) -> Result<(bool, String)> {
    let run = Command::new("java")
        .arg("-jar")
        .arg(tool("vnu-jar/build/dist/vnu.jar")?)
        .args(["--stdout", "--errors-only", "--format", "gnu"])
        .args(files)
        .output()
        .context("java (apt: default-jre-headless) cannot be started")?;
    Ok((run.status.success(), String::from_utf8_lossy(&run.stdout).into_owned()))
}
