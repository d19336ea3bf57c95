//! A college's lessons, 100 to 10,000 of them: the least that any program has to do, and what `fieldcoil site` takes.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fieldcoil::threads;
use fieldcoil_tests::{college, program};
use pulldown_cmark::{Options, Parser, html};

use super::row;

/// So large are the courses.
const SIZES: [usize; 3] = [100, 1000, 10_000];
/// Each time is the best of so many, since others use the machine too.
const TIMES: usize = 3;

/// Times of every size, with goals where there are any.
pub fn college() -> Result<()> {
    let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join("college");
    for size in SIZES {
        if place.exists() {
            fs::remove_dir_all(&place)?;
        }
        let course = place.join("course");
        college::write(&course, size)?;
        of(&place, &course, size)?;
    }
    fs::remove_dir_all(&place)?;
    Ok(())
}

fn of(place: &Path, course: &Path, size: usize) -> Result<()> {
    let out = place.join("site");
    let least = best(|| {
        clear(&out)?;
        let begun = Instant::now();
        floor(course, &out)?;
        Ok((begun.elapsed(), 0))
    })?;
    let cold = best(|| {
        clear(&out)?;
        site(course, &out, "new or changed")
    })?;
    let again = best(|| site(course, &out, "Nothing has changed"))?;
    let one = course.join(college::file_name(size / 2));
    let text = fs::read_to_string(&one)?;
    let mut saves = 0;
    let changed = best(|| {
        saves += 1;
        fs::write(&one, format!("{text}\nSave {saves}.\n"))?;
        site(course, &out, "new or changed")
    })?;

    let share = |part: Duration| format!("{:.0} %", 100.0 * part.as_secs_f64() / cold.0.as_secs_f64());
    let shown = |(time, kilobytes): (Duration, u64)| {
        format!("{:.2} s, {} MB", time.as_secs_f64(), kilobytes.div_ceil(1000))
    };
    row(&format!("{size} lessons: read, parse, write HTML"), &shown(least), "");
    row(&format!("{size} lessons: site, cold"), &shown(cold), "150 MB");
    let times = cold.0.as_secs_f64() / least.0.as_secs_f64();
    row(&format!("{size} lessons: cold to the least"), &format!("{times:.1} times"), "2 times");
    let each = cold.0.as_secs_f64() * 1e6 / size as f64;
    row(&format!("{size} lessons: cold, each"), &format!("{each:.0} µs"), "flat");
    row(&format!("{size} lessons: nothing changed"), &shown(again), "");
    row(&format!("{size} lessons: nothing changed, of cold"), &share(again.0), "15 %");
    row(&format!("{size} lessons: one changed"), &shown(changed), "");
    row(&format!("{size} lessons: one changed, of cold"), &share(changed.0), "20 %");
    Ok(())
}

/// The shortest of some runs, and the largest memory.
fn best(mut run: impl FnMut() -> Result<(Duration, u64)>) -> Result<(Duration, u64)> {
    let mut best = (Duration::MAX, 0);
    for _ in 0..TIMES {
        let (time, memory) = run()?;
        best = (best.0.min(time), best.1.max(memory));
    }
    Ok(best)
}

fn clear(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    Ok(())
}

/// Reads each lesson, makes HTML of it with the parser's own writer, and writes it; with as many threads as the program.
fn floor(course: &Path, out: &Path) -> Result<()> {
    const OPTIONS: Options = Options::ENABLE_TABLES
        .union(Options::ENABLE_FOOTNOTES)
        .union(Options::ENABLE_TASKLISTS)
        .union(Options::ENABLE_MATH);
    fs::create_dir_all(out)?;
    let mut files: Vec<PathBuf> = Vec::new();
    for entry in fs::read_dir(course)? {
        files.push(entry?.path());
    }
    threads::try_each(files.len(), |index| -> Result<()> {
        let text = fs::read_to_string(&files[index])?;
        let mut page = String::with_capacity(text.len() * 2);
        html::push_html(&mut page, Parser::new_ext(&text, OPTIONS));
        let name = files[index].file_stem().context("a file has a name")?.to_owned();
        Ok(fs::write(out.join(name).with_extension("html"), page)?)
    })?;
    Ok(())
}

/// One run of the program, how long it took, and the most memory that it held at once, in kilobytes.
fn site(course: &Path, out: &Path, says: &str) -> Result<(Duration, u64)> {
    let arguments = ["site", &course.display().to_string(), "--out", &out.display().to_string()];
    let mut command = program::command(&arguments);
    let begun = Instant::now();
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn()?;
    let mut most = 0;
    while child.try_wait()?.is_none() {
        most = memory(&child).unwrap_or(most);
        thread::sleep(Duration::from_millis(2));
    }
    let time = begun.elapsed();
    let said = child.wait_with_output()?;
    let text = String::from_utf8_lossy(&said.stdout);
    ensure!(said.status.success() && text.contains(says), "{text}{}", String::from_utf8_lossy(&said.stderr));
    Ok((time, most))
}

/// The most memory that a process has held so far, as Linux keeps it.
fn memory(child: &Child) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}
