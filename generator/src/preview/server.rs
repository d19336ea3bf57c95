//! The network side of a preview: takes requests, gives what [`answer`](super::answer) says.

use std::io::Cursor;
use std::net::{IpAddr, SocketAddr};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use anyhow::{Result, anyhow};
use tiny_http::{Header, Request, Response, StatusCode};

use super::answer::{self, Answer, Asked, Guests, Outcome};
use super::shown::Shown;

/// A page that waits is told to ask again after so long, so that none is kept that has long been closed.
const LONGEST_WAIT: Duration = Duration::from_secs(20);
/// So many pages may wait at once; each holds a thread.
const MOST_WAITING: usize = 64;
/// So many requests are answered at once.
const THREADS: usize = 4;

/// What is shown, for all threads, with a bell for those who wait.
#[derive(Debug)]
pub struct Board {
    shown: Mutex<Arc<Shown>>,
    changed: Condvar,
    waiting: AtomicUsize,
}

impl Board {
    /// A board that shows this.
    pub fn new(shown: Shown) -> Self {
        Board { shown: Mutex::new(Arc::new(shown)), changed: Condvar::new(), waiting: AtomicUsize::new(0) }
    }

    /// What is shown now.
    pub fn shown(&self) -> Arc<Shown> {
        Arc::clone(&self.shown.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Shows something else and tells who waits.
    pub fn show(&self, shown: Shown) {
        *self.shown.lock().unwrap_or_else(PoisonError::into_inner) = Arc::new(shown);
        self.changed.notify_all();
    }

    /// The event for a page whose mark is no longer the one it has seen.
    fn wait(&self, page: &str, seen: &str) -> Answer {
        let shown = self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        let (shown, limit) = self
            .changed
            .wait_timeout_while(shown, LONGEST_WAIT, |shown| shown.mark(page) == seen)
            .unwrap_or_else(PoisonError::into_inner);
        let shown = Arc::clone(&shown);
        if limit.timed_out() { answer::nothing_new() } else { answer::event(&shown, page) }
    }
}

/// Serves what the board shows until the process ends; gives the address that was taken.
pub fn serve(board: &Arc<Board>, address: IpAddr, port: u16) -> Result<SocketAddr> {
    let server = tiny_http::Server::http(SocketAddr::new(address, port)).map_err(|error| {
        let place = SocketAddr::new(address, port);
        anyhow!("cannot serve at {place}: {error}; `--port 0` takes any port that is free")
    })?;
    let taken = server.server_addr().to_ip().ok_or_else(|| anyhow!("the server has no address"))?;
    let guests = if address.is_loopback() { Guests::ThisMachine } else { Guests::Everybody };
    let server = Arc::new(server);
    for _ in 0..THREADS {
        let (server, board) = (Arc::clone(&server), Arc::clone(board));
        thread::spawn(move || {
            while let Ok(request) = server.recv() {
                take(request, &board, guests);
            }
        });
    }
    Ok(taken)
}

fn take(request: Request, board: &Arc<Board>, guests: Guests) {
    match answer::answer(&asked(&request), &board.shown(), guests) {
        Outcome::Now(answer) => send(request, answer),
        Outcome::Wait { page, seen } => {
            if board.waiting.fetch_add(1, Ordering::SeqCst) >= MOST_WAITING {
                board.waiting.fetch_sub(1, Ordering::SeqCst);
                return send(request, answer::too_many());
            }
            let board = Arc::clone(board);
            thread::spawn(move || {
                let answer = board.wait(&page, &seen);
                board.waiting.fetch_sub(1, Ordering::SeqCst);
                send(request, answer);
            });
        }
    }
}

fn asked(request: &Request) -> Asked {
    let header = |name: &'static str| {
        let found = request.headers().iter().find(|header| header.field.equiv(name));
        found.map(|header| header.value.as_str().to_owned())
    };
    Asked {
        method: request.method().to_string(),
        target: request.url().to_owned(),
        host: header("Host"),
        if_none_match: header("If-None-Match"),
        range: header("Range"),
        if_range: header("If-Range"),
        last_event: header("Last-Event-ID"),
    }
}

fn send(request: Request, answer: Answer) {
    let size = answer.body.len();
    let headers = answer.headers.iter().filter_map(|(name, value)| {
        // What cannot stand in a header is left out of the answer; names and values here all can.
        Header::from_bytes(name.as_bytes(), value.as_bytes()).ok()
    });
    let response = Response::new(
        StatusCode(answer.status),
        headers.collect(),
        Cursor::new(answer.body),
        Some(size),
        None,
    )
    // Browsers show how far they are, and ask for parts, only where the size is told.
    .with_chunked_threshold(usize::MAX);
    // A browser that goes away in the middle of an answer is no fault.
    let _ = request.respond(response);
}
