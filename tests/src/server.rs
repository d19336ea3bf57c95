//! A file server on the loopback address that serves one folder below one path, and nothing else.

use std::io::{BufRead, BufReader, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use anyhow::Result;

/// How a server differs from a plain one.
#[derive(Debug, Clone, Copy, Default)]
pub struct Manner {
    /// Headers sent with every file.
    pub headers: &'static [&'static str],
    /// Types sent in place of the right ones, by the ending of the file.
    pub types: &'static [(&'static str, &'static str)],
}

/// A running server; it ends with the process.
pub struct Server {
    /// Where the folder's files are: `http://127.0.0.1:40000/shop/course/`.
    pub address: String,
    refused: Arc<Mutex<Vec<String>>>,
}

impl Server {
    /// Serves the files of `folder` below `path`, which begins and ends with a slash.
    pub fn start(folder: &Path, path: &'static str) -> Result<Self> {
        Server::start_as(folder, path, Manner::default())
    }

    /// The same, by a server with ways of its own.
    pub fn start_as(folder: &Path, path: &'static str, manner: Manner) -> Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        let address = format!("http://127.0.0.1:{}{path}", listener.local_addr()?.port());
        let refused = Arc::new(Mutex::new(Vec::new()));
        let (folder, log) = (folder.to_path_buf(), Arc::clone(&refused));
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let (folder, log) = (folder.clone(), Arc::clone(&log));
                std::thread::spawn(move || {
                    // A browser that goes away in the middle of an answer is no fault of the site.
                    let _ = converse(stream, &folder, path, manner, &log);
                });
            }
        });
        Ok(Server { address, refused })
    }

    /// Paths asked for that are not there, since the last call.
    pub fn refused(&self) -> Vec<String> {
        std::mem::take(&mut *self.refused.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

fn converse(
    stream: TcpStream,
    folder: &Path,
    path: &str,
    manner: Manner,
    log: &Mutex<Vec<String>>,
) -> Result<()> {
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream.try_clone()?);
    let mut stream = stream;
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line)? == 0 {
            return Ok(());
        }
        let wanted = line.split(' ').nth(1).unwrap_or_default().to_owned();
        while reader.read_line(&mut line)? > 2 {}
        let file = wanted.split(['?', '#']).next().and_then(|plain| plain.strip_prefix(path)).map(|below| {
            let below = if below.is_empty() || below.ends_with('/') {
                format!("{below}index.html")
            } else {
                below.to_owned()
            };
            folder.join(below)
        });
        let (status, body, kind) =
            match file.as_ref().and_then(|file| Some((std::fs::read(file).ok()?, kind(file, manner)))) {
                Some((body, kind)) => ("200 OK", body, kind),
                None => {
                    log.lock().unwrap_or_else(PoisonError::into_inner).push(wanted);
                    ("404 Not Found", b"not here".to_vec(), "text/plain")
                }
            };
        let length = body.len();
        let more: String = manner.headers.iter().map(|header| format!("{header}\r\n")).collect();
        let head =
            format!("HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\n{more}\r\n");
        // In one piece: head and body apart would wait for each other's acknowledgement.
        stream.write_all(&[head.into_bytes(), body].concat())?;
    }
}

fn kind(file: &Path, manner: Manner) -> &'static str {
    let ending = file.extension().and_then(|ending| ending.to_str());
    if let Some((_, odd)) = manner.types.iter().find(|(of, _)| Some(*of) == ending) {
        return odd;
    }
    match ending {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css",
        Some("js") => "text/javascript",
        Some("svg") => "image/svg+xml",
        _ => "application/octet-stream",
    }
}
