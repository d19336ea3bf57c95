//! Prints every page of the default course on A4 and Letter, as PDFs and as grey pictures to be looked at:
//! `cargo run -p fieldcoil-tests --example print -- FOLDER`. Words after the folder choose pages by a part of their name.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::{A4, Chromium, LETTER};
use fieldcoil_tests::site::Built;

fn main() -> Result<()> {
    let mut words = std::env::args().skip(1);
    let out = PathBuf::from(words.next().context("name a folder for the PDFs")?);
    let wanted: Vec<String> = words.collect();
    fs::create_dir_all(&out)?;
    let site = Built::into(&out.join("site"))?;
    let mut browser = Chromium::start()?;
    println!("{:<58} {:>6} {:>6}", "page", A4.name, LETTER.name);
    for (page, _) in site.pages() {
        if !wanted.is_empty() && !wanted.iter().any(|word| page.contains(word.as_str())) {
            continue;
        }
        let mut counts = Vec::new();
        for paper in [A4, LETTER] {
            browser.open(&site.file_address(page))?;
            let name = page.trim_end_matches(".html").replace('/', "-");
            let folder = out.join(paper.name);
            fs::create_dir_all(&folder)?;
            let pdf = folder.join(format!("{name}.pdf"));
            fs::write(&pdf, browser.print(paper)?)?;
            counts.push(pictures(&pdf, &folder, &name)?);
        }
        println!("{page:<58} {:>6} {:>6}", counts[0], counts[1]);
    }
    Ok(())
}

/// Each sheet as a grey picture; how many there are.
fn pictures(pdf: &Path, folder: &Path, name: &str) -> Result<usize> {
    let stem = folder.join(name);
    let done =
        Command::new("pdftoppm").args(["-r", "50", "-gray", "-png"]).args([pdf, stem.as_path()]).status();
    ensure!(
        done.context("pdftoppm (apt: poppler-utils) cannot be started")?.success(),
        "no pictures of {name}"
    );
    let is_own = |file: &str| {
        let number = file.strip_prefix(name).and_then(|rest| rest.strip_prefix('-'));
        number.and_then(|rest| rest.strip_suffix(".png")).is_some_and(|rest| rest.parse::<u32>().is_ok())
    };
    let files = fs::read_dir(folder)?.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    Ok(files.filter(|file| is_own(file)).count())
}
