//! Watches the course folder: says when there is a reason to read it again.
//!
//! The system tells of changes at once. Where it cannot (a network drive, a folder that was moved away and put back),
//! sizes and times of the files are looked at once a second.

use std::fs;
use std::path::{Component, Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant, SystemTime};

use notify::event::{AccessKind, AccessMode, EventKind};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher as _};
use walkdir::WalkDir;

/// A save is over when nothing has happened for so long: editors write in several steps.
const QUIET: Duration = Duration::from_millis(10);
/// Something that never stops writing is read in between.
const LONGEST: Duration = Duration::from_secs(1);
/// How often sizes and times are looked at.
const LOOK: Duration = Duration::from_secs(1);

/// Why the waiting ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wake {
    /// Something may have changed.
    Changed,
    /// The program is to end.
    Stop,
}

/// One message to whoever waits.
enum Message {
    Touched,
    Stop,
}

/// A way to end the waiting.
#[derive(Clone)]
pub struct Stopper(Sender<Message>);

impl Stopper {
    /// Ends it.
    pub fn stop(&self) {
        // Nobody waits any more when nobody listens.
        let _ = self.0.send(Message::Stop);
    }
}

/// Watches one folder.
pub struct Watch {
    folder: PathBuf,
    messages: Receiver<Message>,
    sender: Sender<Message>,
    watcher: Option<RecommendedWatcher>,
    seen: Vec<Seen>,
}

/// A file's path, size and time.
type Seen = (PathBuf, u64, Option<SystemTime>);

impl Watch {
    /// Begins to watch.
    pub fn new(folder: &Path) -> Self {
        let (sender, messages) = channel();
        let mut watch =
            Watch { folder: folder.to_path_buf(), messages, sender, watcher: None, seen: Vec::new() };
        watch.begin();
        watch
    }

    /// A way to end the waiting from elsewhere.
    pub fn stopper(&self) -> Stopper {
        Stopper(self.sender.clone())
    }

    /// Waits until the folder may have changed and has come to rest.
    pub fn wait(&mut self) -> Wake {
        loop {
            match self.messages.recv_timeout(LOOK) {
                Ok(Message::Stop) | Err(RecvTimeoutError::Disconnected) => return Wake::Stop,
                Ok(Message::Touched) => {
                    let wake = self.settle();
                    self.seen = self.look();
                    return wake;
                }
                Err(RecvTimeoutError::Timeout) => {
                    let now = self.look();
                    if now != self.seen {
                        // Nobody told of it, so what was watched may no longer be what is there.
                        self.begin();
                        return Wake::Changed;
                    }
                }
            }
        }
    }

    fn settle(&self) -> Wake {
        let begun = Instant::now();
        while begun.elapsed() < LONGEST {
            match self.messages.recv_timeout(QUIET) {
                Ok(Message::Touched) => {}
                Ok(Message::Stop) | Err(RecvTimeoutError::Disconnected) => return Wake::Stop,
                Err(RecvTimeoutError::Timeout) => return Wake::Changed,
            }
        }
        Wake::Changed
    }

    fn begin(&mut self) {
        self.seen = self.look();
        let sender = self.sender.clone();
        let folder = fs::canonicalize(&self.folder).unwrap_or_else(|_| self.folder.clone());
        let root = folder.clone();
        let told = move |event: notify::Result<Event>| {
            if event.map_or(true, |event| matters(&event, &root)) {
                // After the end nobody listens.
                let _ = sender.send(Message::Touched);
            }
        };
        self.watcher = notify::recommended_watcher(told).ok().and_then(|mut watcher| {
            // Without a watcher the look once a second is left.
            watcher.watch(&folder, RecursiveMode::Recursive).ok().map(|()| watcher)
        });
    }

    /// Size and time of every file that may be part of the course.
    fn look(&self) -> Vec<Seen> {
        let entries = WalkDir::new(&self.folder).follow_links(false).sort_by_file_name().into_iter();
        let is_own = |name: &std::ffi::OsStr| !is_left_out(name.as_encoded_bytes());
        entries
            .filter_entry(|entry| entry.depth() == 0 || is_own(entry.file_name()))
            .filter_map(Result::ok)
            .filter_map(|entry| {
                // Of a link, what it leads to.
                let about = fs::metadata(entry.path()).ok()?;
                about.is_file().then(|| (entry.into_path(), about.len(), about.modified().ok()))
            })
            .collect()
    }
}

/// Can this event have changed the course? Reading, which the program does itself, cannot.
fn matters(event: &Event, folder: &Path) -> bool {
    let is_change = match event.kind {
        EventKind::Access(kind) => kind == AccessKind::Close(AccessMode::Write),
        EventKind::Any
        | EventKind::Create(_)
        | EventKind::Modify(_)
        | EventKind::Remove(_)
        | EventKind::Other => true,
    };
    // Events without a path say that some were lost.
    is_change && (event.paths.is_empty() || event.paths.iter().any(|path| is_of_course(path, folder)))
}

/// Names that begin with `.` or `_` are no part of a course.
fn is_of_course(path: &Path, folder: &Path) -> bool {
    let Ok(below) = path.strip_prefix(folder) else { return true };
    !below.components().any(|part| match part {
        Component::Normal(name) => is_left_out(name.as_encoded_bytes()),
        Component::Prefix(_) | Component::RootDir | Component::CurDir | Component::ParentDir => false,
    })
}

fn is_left_out(name: &[u8]) -> bool {
    matches!(name.first(), Some(b'.' | b'_'))
}

#[cfg(test)]
mod tests {
    use notify::event::{CreateKind, ModifyKind};

    use super::*;

    #[test]
    fn reading_and_hidden_names_are_no_reason() {
        let event = |kind, path: &str| Event::new(kind).add_path(PathBuf::from(path));
        let written = EventKind::Access(AccessKind::Close(AccessMode::Write));
        for (event, wanted) in [
            (event(EventKind::Create(CreateKind::File), "/c/a.md"), true),
            (event(EventKind::Modify(ModifyKind::Any), "/c/b/a.md"), true),
            (event(written, "/c/a.md"), true),
            (event(EventKind::Modify(ModifyKind::Any), "/elsewhere/a.md"), true),
            (event(EventKind::Access(AccessKind::Read), "/c/a.md"), false),
            (event(EventKind::Access(AccessKind::Close(AccessMode::Read)), "/c/a.md"), false),
            (event(EventKind::Create(CreateKind::File), "/c/.a.md.swp"), false),
            (event(EventKind::Create(CreateKind::File), "/c/.git/index"), false),
            (event(EventKind::Create(CreateKind::File), "/c/_drafts/a.md"), false),
            (Event::new(EventKind::Other), true),
        ] {
            assert_eq!(matters(&event, Path::new("/c")), wanted, "{event:?}");
        }
    }
}
