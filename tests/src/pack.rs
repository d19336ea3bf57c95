//! How large something is once a server has compressed it.

use std::io::Write;
use std::process::{Command, Stdio};

use anyhow::{Context, Result};

/// Bytes left by `gzip -9`.
pub fn gzip(bytes: &[u8]) -> Result<usize> {
    let mut gzip =
        Command::new("gzip").args(["-9", "-n", "-c"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn()?;
    let mut pipe = gzip.stdin.take().context("a pipe")?;
    let bytes = bytes.to_vec();
    // Written beside the reading: a full pipe would otherwise hold both ends up.
    let writer = std::thread::spawn(move || pipe.write_all(&bytes));
    let out = gzip.wait_with_output()?;
    writer.join().ok().context("the writer ends")??;
    Ok(out.stdout.len())
}
