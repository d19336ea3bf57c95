//! A run that is killed at any moment leaves one whole site, and whoever reads the site meanwhile sees whole pages.
//!
//! Where the system can exchange two folders in one step (Linux), there is a whole site at every moment. A page that was
//! read just before that step may name an asset which only the old site had; read again, it is the new page.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Result, bail, ensure};
use fieldcoil_tests::college;
use fieldcoil_tests::draw::Dice;
use fieldcoil_tests::folder::content;
use fieldcoil_tests::html::{attributes, tags};
use fieldcoil_tests::program::{command, run};
use tempfile::TempDir;

/// Runs that are killed.
const KILLS: usize = 200;
/// Lessons of the course.
const LESSONS: usize = 12;

type Files = BTreeMap<String, Vec<u8>>;

/// The two editions between which a course goes back and forth: other words in a lesson and another file beside it.
const EDITIONS: [&str; 2] = ["old", "new"];

fn write_edition(course: &Path, edition: usize) -> Result<()> {
    let word = EDITIONS[edition];
    fs::write(course.join("readings.csv"), format!("bench,current_a\n{word},62\n").repeat(200))?;
    let text = college::lesson(1, LESSONS);
    let more = format!("\n## The {word} edition\n\n[Readings](readings.csv) of the {word} bench.\n");
    fs::write(course.join(college::file_name(1)), text + &more)?;
    let about = fs::read_to_string(course.join("course.toml"))?;
    let lines = about.lines().map(|line| match line.starts_with("edition") {
        true => format!("edition = \"{word}\"\n"),
        false => format!("{line}\n"),
    });
    Ok(fs::write(course.join("course.toml"), lines.collect::<String>())?)
}

/// The assets that a page names, as paths in the site. All pages stand in its root.
fn assets(page: &str) -> Vec<String> {
    let named = tags(page).into_iter().flat_map(attributes);
    let named = named.filter(|(name, value)| matches!(*name, "href" | "src") && value.starts_with("assets/"));
    named.map(|(_, value)| value.to_owned()).collect()
}

/// Reads one page and all the assets it names, and holds each against the two editions. What was on its way through a
/// folder that was exchanged meanwhile is read again.
fn read_page(site: &Path, path: &str, editions: &[Files]) -> Result<()> {
    for _ in 0..20 {
        let Ok(page) = fs::read(site.join(path)) else { continue };
        let whole: Vec<&Files> = editions.iter().filter(|files| files[path] == page).collect();
        ensure!(!whole.is_empty(), "{path} is neither the old nor the new page");
        let all = assets(std::str::from_utf8(&page)?).into_iter().all(|asset| {
            let known = whole.iter().find_map(|files| files.get(&asset)).expect("an edition has its assets");
            fs::read(site.join(&asset)).is_ok_and(|bytes| bytes == *known)
        });
        if all {
            return Ok(());
        }
        let now = fs::read(site.join(path)).unwrap_or_default();
        ensure!(now != page, "{path} names an asset that is not there");
    }
    bail!("{path} never comes with all its assets")
}

#[test]
fn two_hundred_killed_runs_leave_whole_sites_and_a_reader_sees_nothing_else() -> Result<()> {
    let folder = TempDir::new()?;
    let (course, site) = (folder.path().join("course"), folder.path().join("site"));
    college::write(&course, LESSONS)?;
    let arguments =
        ["site", &course.display().to_string(), "--out", &site.display().to_string()].map(str::to_owned);
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();

    // The program is compiled before times are taken.
    ensure!(run(&["--version"]).status == 0);
    let mut editions = Vec::new();
    let mut time = Duration::ZERO;
    for edition in [0, 1] {
        write_edition(&course, edition)?;
        let begun = Instant::now();
        let said = run(&arguments);
        time = begun.elapsed();
        ensure!(said.status == 0, "{}", said.errors);
        editions.push(content(&site)?);
    }
    let pages: Vec<String> = editions[0].keys().filter(|path| path.ends_with(".html")).cloned().collect();
    ensure!(pages.len() > LESSONS && pages.iter().all(|page| editions[1].contains_key(page)));
    ensure!(editions[0] != editions[1]);

    let ended = AtomicBool::new(false);
    let read = AtomicUsize::new(0);
    thread::scope(|scope| -> Result<()> {
        let reader = scope.spawn(|| -> Result<()> {
            let mut dice = Dice(7);
            while !ended.load(Ordering::Relaxed) {
                read_page(&site, dice.one_of::<String>(&pages), &editions)?;
                read.fetch_add(1, Ordering::Relaxed);
            }
            Ok(())
        });
        let killed = kill_and_look(&course, &site, &arguments, &editions, time);
        ended.store(true, Ordering::Relaxed);
        reader.join().expect("the reader does not fall over")?;
        killed
    })?;
    ensure!(read.load(Ordering::Relaxed) > KILLS, "the reader saw {} pages", read.load(Ordering::Relaxed));

    // The next run that is left alone clears away what the killed ones left beside the site, and nothing else.
    fs::write(folder.path().join(".site.new-notes"), "mine")?;
    ensure!(run(&arguments).status == 0);
    let mut left: Vec<PathBuf> = Vec::new();
    for entry in fs::read_dir(folder.path())? {
        left.push(entry?.file_name().into());
    }
    left.sort();
    ensure!(left == [".site.new-notes", "course", "site"].map(PathBuf::from), "{left:?}");
    Ok(())
}

fn kill_and_look(
    course: &Path,
    site: &Path,
    arguments: &[&str],
    editions: &[Files],
    time: Duration,
) -> Result<()> {
    let mut dice = Dice(2026);
    let mut changed = 0;
    // Up to when it is killed. How long a run takes hangs on what else the machine does, the reader first of all: so a
    // run that came to its exchange makes the next ones shorter, and one that did not makes them longer.
    let mut reach = time;
    for round in 0..KILLS {
        let before = content(site)?;
        // Always to the edition that is not there, so that there is something to be killed in.
        write_edition(course, usize::from(before == editions[0]))?;
        let mut child = command(arguments).stdout(Stdio::null()).stderr(Stdio::null()).spawn()?;
        let moment = Instant::now() + reach.mul_f64(dice.unit());
        while Instant::now() < moment && child.try_wait()?.is_none() {
            thread::sleep(Duration::from_micros(200));
        }
        child.kill()?;
        child.wait()?;
        let left = content(site)?;
        ensure!(editions.contains(&left), "round {round}: the folder holds no whole site");
        let is_new = left != before;
        changed += usize::from(is_new);
        reach = reach.mul_f64(if is_new { 0.96 } else { 1.04 });
    }
    // Some were killed before the exchange, some after it.
    ensure!((10..KILLS - 10).contains(&changed), "{changed} of {KILLS} runs came to their exchange");
    Ok(())
}
