//! The whole program on the default course: published values, and mistakes in two lessons. Its calls one by one
//! are tested beside it.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::case::{Expected, all};
use fieldcoil_tests::close::Tolerance;
use fieldcoil_tests::folder::content;
use fieldcoil_tests::program::{course_copy, run};
use serde_json::Value;
use tempfile::TempDir;

/// A course of its own, a folder for its site, and the arguments that make it.
struct Workshop {
    folder: TempDir,
}

impl Workshop {
    fn new() -> Result<Self> {
        let folder = TempDir::new()?;
        course_copy(&folder.path().join("course"));
        Ok(Workshop { folder })
    }

    fn path(&self, below: &str) -> String {
        self.folder.path().join(below).display().to_string()
    }

    fn edit(&self, file: &str, change: impl Fn(&str) -> String) -> Result<()> {
        let path = self.path(&format!("course/{file}"));
        let text = fs::read_to_string(&path)?;
        let changed = change(&text);
        ensure!(changed != text, "{file} is not changed");
        Ok(fs::write(path, changed)?)
    }

    fn lesson(&self, word: &str) -> Result<String> {
        let names = fs::read_dir(self.path("course"))?.map(|entry| Ok(entry?.file_name().into_string().ok()));
        let names: Vec<Option<String>> = names.collect::<Result<_>>()?;
        let found = names.into_iter().flatten().find(|name| name.contains(word) && name.ends_with(".md"));
        found.with_context(|| format!("no lesson is called {word}"))
    }
}

#[test]
fn published_values_come_out_of_work_as_json() -> Result<()> {
    let mut count = 0;
    for case in all()? {
        let (Some(calculator), Some(output)) = (&case.calculator, &case.output) else { continue };
        let settings: Vec<String> = case.set.iter().map(|(field, text)| format!("{field}={text}")).collect();
        let mut arguments = vec!["work", calculator, "--json"];
        arguments.extend(settings.iter().flat_map(|setting| ["--set", setting]));
        let said = run(&arguments);
        ensure!(said.status == 0, "{}: {said:?}", case.id);
        let report: Value = serde_json::from_str(&said.out)?;
        for part in ["calculator", "inputs", "outputs", "steps", "findings", "sources"] {
            ensure!(report.get(part).is_some(), "{}: no {part}", case.id);
        }
        let given = &report["outputs"][output]["value"];
        match case.value {
            Some(Expected::Number(_)) => {
                let here = case.report()?.number_of(output).context("a number")?;
                let same = given.as_f64().is_some_and(|given| Tolerance::Rounding.holds(given, here));
                ensure!(same, "{}: {given}, here {here}", case.id);
            }
            Some(Expected::Words(words)) => ensure!(given.as_str() == Some(&words), "{}: {given}", case.id),
            None => ensure!(given.is_string(), "{}: {given}", case.id),
        }
        count += 1;
    }
    ensure!(count >= 150, "only {count} cases were worked");
    Ok(())
}

#[test]
fn a_broken_lesson_is_reported_with_its_place_and_leaves_the_old_site() -> Result<()> {
    let shop = Workshop::new()?;
    let (course, site) = (shop.path("course"), shop.path("site"));
    ensure!(run(&["site", &course, "--out", &site]).status == 0);
    let before = content(Path::new(&site))?;

    let (bench, drop) = (shop.lesson("free-spin")?, shop.lesson("voltage-drop")?);
    shop.edit(&bench, |text| text.replace("use = \"bench-verdict\"", "use = \"bench-verdit\""))?;
    shop.edit(&drop, |text| text.replacen("](", "](no-such-lesson.md#", 1))?;
    let said = run(&["site", &course, "--out", &site]);
    ensure!(said.status == 1, "{said:?}");
    let line = fs::read_to_string(shop.path(&format!("course/{bench}")))?
        .lines()
        .position(|line| line.contains("bench-verdit"))
        .context("the broken line")?;
    // Both lessons' mistakes, each with file, line, column, the text itself and what to do.
    for words in
        [format!("{bench}:{}:", line + 1), "bench-verdit".into(), "bench-verdict".into(), drop, "^^^".into()]
    {
        ensure!(said.errors.contains(&words), "“{words}” is missing in {}", said.errors);
    }
    ensure!(content(Path::new(&site))? == before, "the old site was touched");
    ensure!(run(&["proof", &course]).status == 1, "proof says so too");
    Ok(())
}

#[test]
fn the_site_is_the_same_from_any_folder_and_a_second_run_writes_nothing() -> Result<()> {
    let (here, there) = (Workshop::new()?, Workshop::new()?);
    for shop in [&here, &there] {
        ensure!(run(&["site", &shop.path("course"), "--out", &shop.path("site")]).status == 0);
    }
    let first = content(here.folder.path().join("site").as_path())?;
    ensure!(first == content(there.folder.path().join("site").as_path())?, "two folders give two sites");
    let said = run(&["site", &here.path("course"), "--out", &here.path("site")]);
    ensure!(said.status == 0 && said.out.contains("index.html"), "{said:?}");
    ensure!(first == content(here.folder.path().join("site").as_path())?);
    Ok(())
}
