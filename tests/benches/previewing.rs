//! How soon a preview of the default course shows what was saved.

use std::path::Path;
use std::time::Instant;

use anyhow::Result;
use fieldcoil_tests::preview::Preview;
use fieldcoil_tests::{program, repository};

use super::row;

/// So many saves of each lesson are timed.
const SAVES: usize = 15;
/// A lesson with tables and recordings, and one with the longest homework.
const LESSONS: [(&str, &str); 3] = [
    ("20-the-source.md", "/the-source.html"),
    ("55-the-free-spin-bench-test.md", "/the-free-spin-bench-test.html"),
    ("75-reading-a-trace.md", "/reading-a-trace.html"),
];

/// From the save of a lesson, as an editor does it, until an open page has been told of its new state.
pub fn previewing() -> Result<()> {
    let course = Path::new(env!("CARGO_TARGET_TMPDIR")).join("preview-course");
    if course.exists() {
        std::fs::remove_dir_all(&course)?;
    }
    program::course_copy(&course);
    let preview = Preview::of(&course)?;
    for (file, page) in LESSONS {
        let text = repository::read(&format!("content/{file}"));
        let mut seen = preview.mark(page, None)?;
        let mut times = Vec::new();
        for number in 0..SAVES {
            let begun = Instant::now();
            preview.save(file, &format!("{text}\nSave {number}.\n"))?;
            seen = preview.mark(page, Some(&seen))?;
            times.push(begun.elapsed().as_secs_f64() * 1000.0);
        }
        times.sort_by(f64::total_cmp);
        let figure = format!("{:.0} ms (best {:.0})", times[SAVES / 2], times[0]);
        row(&format!("preview: {file} saved to told"), &figure, "150 ms");
    }
    Ok(())
}
