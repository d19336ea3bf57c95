//! Programs that end when the tests end, however they end.
//!
//! A test binary never drops its statics, and a killed one drops nothing: a browser would stay behind. So each program
//! runs under a small shell that reads from a pipe; when this process is gone the pipe closes, and the shell ends the
//! program with every process it was told of, and removes their folder.

use std::io::Write;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};
use tempfile::TempDir;

/// Arguments: the folder, then the program with its own. Each line read is one more process to end.
const SHELL: &str = r#"
trap '' INT
folder=$1; shift
"$@" & all=$!
while read -r process; do all="$process $all"; done
kill $all 2>/dev/null
for process in $all; do
    tries=0
    while kill -0 "$process" 2>/dev/null && [ $tries -lt 50 ]; do sleep 0.1; tries=$((tries + 1)); done
done
rm -rf "$folder"
"#;

/// A running program with a folder of its own.
pub struct Kept {
    keeper: Child,
}

impl Kept {
    /// Starts `program`; its home and temporary files go into `folder`, which is removed at the end.
    pub fn start(folder: &Path, program: &str, arguments: &[String]) -> Result<Self> {
        let keeper = Command::new("sh")
            .args(["-c", SHELL, "keeper"])
            .arg(folder)
            .arg(program)
            .args(arguments)
            .envs([("HOME", folder), ("TMPDIR", folder), ("XDG_RUNTIME_DIR", folder)])
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .with_context(|| format!("{program} cannot be started"))?;
        Ok(Kept { keeper })
    }

    /// Names one more process that has to end with the program.
    pub fn also_end(&mut self, process: u64) -> Result<()> {
        let pipe = self.keeper.stdin.as_mut().context("the keeper has no pipe")?;
        writeln!(pipe, "{process}")?;
        Ok(())
    }
}

impl Drop for Kept {
    fn drop(&mut self) {
        drop(self.keeper.stdin.take());
        // Nothing is left to do when the keeper itself cannot be waited for.
        let _ = self.keeper.wait();
    }
}

/// A new folder for a program, which its keeper removes.
pub fn folder() -> Result<std::path::PathBuf> {
    Ok(TempDir::with_prefix("fieldcoil-")?.keep())
}

/// A port that was free a moment ago.
pub fn free_port() -> Result<u16> {
    Ok(TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?.local_addr()?.port())
}

/// Connects to a program that may still be starting.
pub fn connect(port: u16) -> Result<TcpStream> {
    let start = Instant::now();
    loop {
        match TcpStream::connect((Ipv4Addr::LOCALHOST, port)) {
            Ok(stream) => return Ok(stream),
            // Trying at once again would take the processor from the program that is starting.
            Err(_) if start.elapsed() < Duration::from_secs(60) => {
                std::thread::sleep(Duration::from_millis(10));
            }
            Err(error) => bail!("nothing listens on port {port}: {error}"),
        }
    }
}
