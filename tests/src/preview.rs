//! A running preview, and what a page that waits for a change is told.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};

use anyhow::{Context, Result, ensure};

use crate::program;

/// A preview of a course; it ends with this value.
pub struct Preview {
    program: Child,
    course: PathBuf,
    /// Where it answers.
    pub address: SocketAddr,
}

impl Preview {
    /// Starts one and waits until it answers.
    pub fn of(course: &Path) -> Result<Self> {
        let folder = course.to_str().context("a path that is text")?;
        let mut command = program::command(&["preview", folder, "--port", "0"]);
        let mut program = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn()?;
        let said = BufReader::new(program.stdout.take().context("piped")?);
        let mut lines = said.lines();
        let address = loop {
            let line = lines.next().context("it ended without an address")??;
            if let Some(address) = line.strip_prefix("Open it: http://") {
                break address.trim_end_matches('/').parse()?;
            }
        };
        // What it says later has to go somewhere, or it would stop when the pipe is full.
        std::thread::spawn(move || lines.for_each(drop));
        Ok(Preview { program, course: course.to_path_buf(), address })
    }

    /// Saves a file of the course as most editors do: beside it first.
    pub fn save(&self, name: &str, text: &str) -> Result<()> {
        let beside = self.course.join(format!(".{name}.new"));
        std::fs::write(&beside, text)?;
        Ok(std::fs::rename(beside, self.course.join(name))?)
    }

    /// The mark of a page: at once, or as soon as it is no longer the one that was `seen`.
    pub fn mark(&self, page: &str, seen: Option<&str>) -> Result<String> {
        let mut stream = TcpStream::connect(self.address)?;
        let seen = seen.map(|seen| format!("Last-Event-ID: {seen}\r\n")).unwrap_or_default();
        let head =
            format!("GET /_preview/events?page={page} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n");
        stream.write_all(format!("{head}{seen}\r\n").as_bytes())?;
        let mut answer = String::new();
        stream.read_to_string(&mut answer)?;
        ensure!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        let mark =
            answer.lines().find_map(|line| line.strip_prefix("id: ")).context("nothing new for long")?;
        Ok(mark.to_owned())
    }
}

impl Drop for Preview {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}
