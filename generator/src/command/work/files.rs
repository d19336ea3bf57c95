//! Files that `work` reads and writes: recordings in, charts out.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use fieldcoil_calc::report::Report;

use crate::finding::shown;

/// The text of a file; bytes that are no text are replaced, and the calculator says what is wrong with the line.
pub(super) fn read(path: &str) -> Result<String, String> {
    match fs::read(path) {
        Ok(bytes) => Ok(String::from_utf8_lossy(&bytes).into_owned()),
        Err(error) => Err(format!("`{}` cannot be read: {error}", shown(path))),
    }
}

/// Writes the charts of a report: the first to `path`, the others beside it.
pub(super) fn write_charts(report: &Report, path: &Path) -> Result<()> {
    if report.charts.is_empty() {
        bail!("these inputs give no chart, so `{}` was not written", path.display());
    }
    for (number, chart) in (1..).zip(&report.charts) {
        let path = numbered(path, number);
        fs::write(&path, chart.file() + "\n")
            .with_context(|| format!("the chart cannot be written to `{}`", path.display()))?;
    }
    Ok(())
}

/// `draw.svg` for the first, `draw-2.svg` for the second.
fn numbered(path: &Path, number: usize) -> PathBuf {
    if number == 1 {
        return path.to_owned();
    }
    let mut name: OsString = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{number}"));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn charts_after_the_first_are_numbered() {
        assert_eq!(numbered(Path::new("out/draw.svg"), 1), Path::new("out/draw.svg"));
        assert_eq!(numbered(Path::new("out/draw.svg"), 3), Path::new("out/draw-3.svg"));
        assert_eq!(numbered(Path::new("draw"), 2), Path::new("draw-2"));
    }
}
