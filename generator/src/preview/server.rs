//! The network side of a preview: takes requests, gives what [`answer`] says.
//!
//! One thread serves everybody. Nobody holds it for long, and nobody can fill it: connections are counted, and one
//! that says nothing makes room for the next.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use anyhow::{Context, Result, anyhow};
use http_body_util::Full;
use hyper::body::{Bytes, Incoming};
use hyper::header::{HeaderName, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::TcpStream;
use tokio::runtime;
use tokio::sync::watch;
use tokio::task::AbortHandle;
use tokio::time::{sleep, timeout};

use super::answer::{self, Answer, Asked, Guests, Outcome};
use super::shown::Shown;

/// A page that waits is told to ask again after so long, so that none is kept that has long been closed.
const LONGEST_WAIT: Duration = Duration::from_secs(20);
/// So many pages may wait at once.
const MOST_WAITING: usize = 64;
/// So many connections may be open at once; some systems give a program no more than 256 files.
const MOST_CONNECTIONS: usize = 192;
/// A connection on which no whole request has come for so long is closed.
const LONGEST_SILENCE: Duration = Duration::from_secs(15);
/// A request, its headers and all, may be so long. Browsers send less than 2 kB.
const LONGEST_REQUEST: usize = 16 * 1024;

/// What is shown, for all who ask, with a bell for those who wait.
#[derive(Debug)]
pub struct Board {
    shown: watch::Sender<Arc<Shown>>,
    waiting: AtomicUsize,
}

impl Board {
    /// A board that shows this.
    pub fn new(shown: Shown) -> Self {
        Board { shown: watch::Sender::new(Arc::new(shown)), waiting: AtomicUsize::new(0) }
    }

    /// What is shown now.
    pub fn shown(&self) -> Arc<Shown> {
        Arc::clone(&self.shown.borrow())
    }

    /// Shows something else and tells who waits.
    pub fn show(&self, shown: Shown) {
        self.shown.send_replace(Arc::new(shown));
    }

    /// The event for a page whose mark is no longer the one it has seen.
    async fn wait(&self, page: &str, seen: &str) -> Answer {
        let Some(_place) = Waiting::of(&self.waiting) else { return answer::too_many() };
        let mut shown = self.shown.subscribe();
        let changed = shown.wait_for(|shown| shown.mark(page) != seen);
        match timeout(LONGEST_WAIT, changed).await {
            Ok(Ok(shown)) => answer::event(&shown, page),
            // Too long, or the board is gone, and with it the program.
            Ok(Err(_)) | Err(_) => answer::nothing_new(),
        }
    }
}

/// A place among those who wait. It is free again when the waiting ends, however that comes about.
struct Waiting<'b>(&'b AtomicUsize);

impl<'b> Waiting<'b> {
    fn of(count: &'b AtomicUsize) -> Option<Self> {
        let place = Waiting(count);
        (count.fetch_add(1, Ordering::SeqCst) < MOST_WAITING).then_some(place)
    }
}

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}

/// Serves what the board shows until the process ends; gives the address that was taken.
pub fn serve(board: &Arc<Board>, address: IpAddr, port: u16) -> Result<SocketAddr> {
    let place = SocketAddr::new(address, port);
    let listener = TcpListener::bind(place).map_err(|error| {
        anyhow!("cannot serve at {place}: {error}; `--port 0` takes any port that is free")
    })?;
    let taken = listener.local_addr().context("the server has no address")?;
    listener.set_nonblocking(true).context("cannot listen")?;
    let guests = if address.is_loopback() { Guests::ThisMachine } else { Guests::Everybody };
    let runtime = runtime::Builder::new_current_thread().enable_all().build().context("cannot serve")?;
    let board = Arc::clone(board);
    thread::spawn(move || runtime.block_on(listen(listener, board, guests)));
    Ok(taken)
}

async fn listen(listener: TcpListener, board: Arc<Board>, guests: Guests) -> Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    let mut open = Open::default();
    loop {
        match listener.accept().await {
            Ok((stream, _)) => open.take(stream, &board, guests),
            // The program has no files left, or whoever came has gone again. Others follow.
            Err(_) => sleep(Duration::from_millis(50)).await,
        }
    }
}

/// The open connections, the oldest first.
#[derive(Default)]
struct Open(VecDeque<Connection>);

struct Connection {
    /// Is a request being answered on it?
    is_busy: Arc<AtomicBool>,
    end: AbortHandle,
}

impl Open {
    /// Takes a connection. Where there are too many, the oldest one on which nothing is asked makes room for it; where
    /// something is asked on each, it is closed again.
    fn take(&mut self, stream: TcpStream, board: &Arc<Board>, guests: Guests) {
        self.0.retain(|connection| !connection.end.is_finished());
        if self.0.len() >= MOST_CONNECTIONS {
            let idle = self.0.iter().position(|connection| !connection.is_busy.load(Ordering::SeqCst));
            let Some(idle) = idle.and_then(|at| self.0.remove(at)) else { return };
            idle.end.abort();
        }
        let is_busy = Arc::new(AtomicBool::new(false));
        let talk = talk(stream, Arc::clone(board), guests, Arc::clone(&is_busy));
        self.0.push_back(Connection { is_busy, end: tokio::spawn(talk).abort_handle() });
    }
}

/// Answers what is asked on one connection until it ends.
async fn talk(stream: TcpStream, board: Arc<Board>, guests: Guests, is_busy: Arc<AtomicBool>) {
    let service = service_fn(|request| {
        let (board, is_busy) = (Arc::clone(&board), Arc::clone(&is_busy));
        async move {
            is_busy.store(true, Ordering::SeqCst);
            let outcome = answer::answer(&asked(&request), &board.shown(), guests);
            let answer = match outcome {
                Outcome::Now(answer) => answer,
                Outcome::Wait { page, seen } => board.wait(&page, &seen).await,
            };
            is_busy.store(false, Ordering::SeqCst);
            Ok::<_, Infallible>(response(answer))
        }
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(LONGEST_SILENCE)
        .max_buf_size(LONGEST_REQUEST)
        .serve_connection(TokioIo::new(stream), service);
    // A browser that goes away in the middle of an answer is no fault; bytes that are no request were answered.
    let _ = connection.await;
}

fn asked(request: &Request<Incoming>) -> Asked {
    let header = |name: &str| {
        let value = request.headers().get(name)?;
        Some(String::from_utf8_lossy(value.as_bytes()).into_owned())
    };
    Asked {
        method: request.method().to_string(),
        target: request.uri().to_string(),
        host: header("Host"),
        if_none_match: header("If-None-Match"),
        range: header("Range"),
        if_range: header("If-Range"),
        last_event: header("Last-Event-ID"),
    }
}

fn response(answer: Answer) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(Bytes::from(answer.body)));
    *response.status_mut() = StatusCode::from_u16(answer.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    for (name, value) in answer.headers {
        // What cannot stand in a header is left out of the answer; names and values here all can.
        if let (Ok(name), Ok(value)) = (HeaderName::try_from(name), HeaderValue::try_from(value)) {
            response.headers_mut().insert(name, value);
        }
    }
    response
}
