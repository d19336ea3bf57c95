//! The answer to one request, from what is shown. Nothing is read or written here.

use serde_json::json;

use super::range::{self, Part};
use super::shown::{OWN, Shown};
use super::{kind, target};

/// What is looked at of a request.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// `GET`, `HEAD` …
    pub method: String,
    /// The path with what follows it, as it was sent.
    pub target: String,
    /// Header `Host`.
    pub host: Option<String>,
    /// Header `If-None-Match`.
    pub if_none_match: Option<String>,
    /// Header `Range`.
    pub range: Option<String>,
    /// Header `If-Range`.
    pub if_range: Option<String>,
    /// Header `Last-Event-ID`.
    pub last_event: Option<String>,
}

/// What is sent back. A server leaves the body out where the method is `HEAD`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Status.
    pub status: u16,
    /// Header lines.
    pub headers: Vec<(&'static str, String)>,
    /// Content.
    pub body: Vec<u8>,
}

impl Answer {
    fn new(status: u16, kind: &'static str, body: Vec<u8>) -> Self {
        let headers = vec![
            ("Content-Type", kind.to_owned()),
            // A browser asks every time; what has not changed is answered without its bytes.
            ("Cache-Control", "no-cache".to_owned()),
            ("X-Content-Type-Options", "nosniff".to_owned()),
            ("Cross-Origin-Resource-Policy", "same-origin".to_owned()),
        ];
        Answer { status, headers, body }
    }

    fn words(status: u16, words: &str) -> Self {
        Answer::new(status, "text/plain; charset=utf-8", format!("{words}\n").into_bytes())
    }

    fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.headers.push((name, value.into()));
        self
    }
}

/// Who may ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Guests {
    /// This machine, by its own names: a page of another site whose name leads here is turned away.
    ThisMachine,
    /// Whoever reaches the address.
    Everybody,
}

/// What a request comes to.
#[derive(Debug, PartialEq, Eq)]
pub enum Outcome {
    /// This answer.
    Now(Answer),
    /// A page waits until it, or what was found, has another mark than this.
    Wait {
        /// Path of the page.
        page: String,
        /// The mark that it has seen.
        seen: String,
    },
}

/// Answers a request.
pub fn answer(asked: &Asked, shown: &Shown, guests: Guests) -> Outcome {
    if guests == Guests::ThisMachine && !asked.host.as_deref().is_none_or(is_this_machine) {
        return Outcome::Now(Answer::words(403, "This preview answers to localhost alone."));
    }
    if !matches!(asked.method.as_str(), "GET" | "HEAD") {
        return Outcome::Now(Answer::words(405, "Only GET and HEAD.").with("Allow", "GET, HEAD"));
    }
    let path = match target::path(&asked.target) {
        Ok(path) => path,
        Err(refusal) => return Outcome::Now(Answer::words(refusal.status(), &refusal.to_string())),
    };
    if path != format!("{OWN}events") {
        return Outcome::Now(file(asked, shown, &path));
    }
    let page = target::query(&asked.target, "page").and_then(|page| target::path(&page).ok());
    let Some(page) = page else { return Outcome::Now(Answer::words(400, "`page` has no path.")) };
    match &asked.last_event {
        Some(seen) if *seen == shown.mark(&page) => Outcome::Wait { page, seen: seen.clone() },
        Some(_) | None => Outcome::Now(event(shown, &page)),
    }
}

/// What a waiting page is told. The browser asks again by itself and says which event it had last.
pub fn event(shown: &Shown, page: &str) -> Answer {
    let data = json!({ "page": shown.file(page).1.tag(), "report": shown.report });
    let text = format!("retry: 100\nid: {}\ndata: {data}\n\n", shown.mark(page));
    Answer::new(200, "text/event-stream; charset=utf-8", text.into_bytes())
}

/// What a page is told that has waited long enough: nothing new, ask again.
pub fn nothing_new() -> Answer {
    Answer::new(200, "text/event-stream; charset=utf-8", b"retry: 100\n\n".to_vec())
}

/// What a page is told when too many wait.
pub fn too_many() -> Answer {
    Answer::words(503, "Too many pages wait.").with("Retry-After", "5")
}

fn file(asked: &Asked, shown: &Shown, path: &str) -> Answer {
    let (status, file) = shown.file(path);
    let kind = if status == 200 { kind::kind(path) } else { kind::kind("404.html") };
    let tag = format!("\"{}\"", file.tag());
    if status != 200 {
        return Answer::new(status, kind, file.bytes.clone());
    }
    if asked.if_none_match.as_deref().is_some_and(|list| names(list, &tag)) {
        return Answer::new(304, kind, Vec::new()).with("ETag", tag);
    }
    let wanted = asked.range.as_deref().filter(|_| asked.method == "GET");
    // A part of another version would not fit to what the browser has.
    let wanted = wanted.filter(|_| asked.if_range.as_deref().is_none_or(|own| own.trim() == tag));
    let size = file.bytes.len();
    match wanted.map_or(Part::Whole, |header| range::part(header, size)) {
        Part::Whole => Answer::new(200, kind, file.bytes.clone()),
        Part::Bytes(part) => Answer::new(206, kind, file.bytes[part.clone()].to_vec())
            .with("Content-Range", format!("bytes {}-{}/{size}", part.start, part.end - 1)),
        Part::Outside => {
            Answer::words(416, "The file has no such part.").with("Content-Range", format!("bytes */{size}"))
        }
    }
    .with("Accept-Ranges", "bytes")
    .with("ETag", tag)
}

/// Does a list of tags name this one? A weak tag will do (RFC 9110, section 13.1.2).
fn names(list: &str, tag: &str) -> bool {
    list.trim() == "*"
        || list.split(',').any(|one| one.trim().strip_prefix("W/").unwrap_or(one.trim()) == tag)
}

/// Is this one of the machine's names for itself, with or without a port?
fn is_this_machine(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if !port.is_empty() && port.bytes().all(|byte| byte.is_ascii_digit()) => name,
        _ => host,
    };
    let name = name.trim_end_matches('.').to_ascii_lowercase();
    let is_loopback = |digits: &str| {
        digits.split('.').count() == 4 && digits.split('.').all(|part| part.parse::<u8>().is_ok())
    };
    name == "localhost" || name == "[::1]" || name.starts_with("127.") && is_loopback(&name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_other_sites_are_turned_away() {
        for host in ["localhost:8040", "127.0.0.1", "127.0.0.1:80", "[::1]:8040", "LOCALHOST"] {
            assert!(is_this_machine(host), "{host}");
        }
        for host in ["evil.test", "127.0.0.1.evil.test", "localhost.evil.test:8040", "10.0.0.1", "", "127."] {
            assert!(!is_this_machine(host), "{host}");
        }
    }

    #[test]
    fn tags_are_compared_weakly() {
        assert!(names("\"a\", W/\"b\"", "\"b\"") && names("*", "\"b\"") && !names("\"a\"", "\"b\""));
    }
}
