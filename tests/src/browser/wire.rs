//! JSON over HTTP/1.1 on one kept connection: as much as a WebDriver needs.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

use anyhow::{Context, Result, bail};
use serde_json::Value;

/// Longest wait for one answer; printing and accessibility runs take a few seconds.
const PATIENCE: Duration = Duration::from_secs(120);

/// A connection to a driver on the loopback address.
pub struct Wire {
    port: u16,
    stream: BufReader<TcpStream>,
}

impl Wire {
    /// Connects, waiting until the driver listens.
    pub fn to(port: u16) -> Result<Self> {
        let stream = super::keeper::connect(port)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        Ok(Wire { port, stream: BufReader::new(stream) })
    }

    /// Sends a command and gives the `value` of its answer; a driver's error becomes an error with its words.
    pub fn call(&mut self, method: &str, path: &str, body: &Value) -> Result<Value> {
        let body = if method == "POST" { body.to_string() } else { String::new() };
        write!(
            self.stream.get_mut(),
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\n\r\n{body}",
            self.port,
            body.len()
        )?;
        let (status, text) = self.answer().with_context(|| format!("no answer to {method} {path}"))?;
        let mut answer: Value =
            serde_json::from_str(&text).context("the driver answered with something else")?;
        let value = answer["value"].take();
        if status != 200 {
            bail!("{method} {path}: {}: {}", value["error"], value["message"].as_str().unwrap_or_default());
        }
        Ok(value)
    }

    /// The driver ignores `Connection: close`, so an answer ends where its `Content-Length` says.
    fn answer(&mut self) -> Result<(u16, String)> {
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        let status = line.split(' ').nth(1).context("no status line")?.parse()?;
        let mut length = 0;
        loop {
            line.clear();
            self.stream.read_line(&mut line)?;
            match line.trim_end().split_once(':') {
                Some((name, value)) if name.eq_ignore_ascii_case("content-length") => {
                    length = value.trim().parse()?;
                }
                Some(_) => {}
                None => break,
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body)?;
        Ok((status, String::from_utf8(body)?))
    }
}
