//! The program, run as a person runs it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

use crate::repository;

/// The program itself, compiled with the tests' own profile.
static PROGRAM: LazyLock<PathBuf> = LazyLock::new(|| {
    let release = if cfg!(debug_assertions) { &[][..] } else { &["--release"][..] };
    let mut build = Command::new(env!("CARGO"));
    build.current_dir(repository::root()).args(["build", "--quiet", "-p", "fieldcoil"]).args(release);
    assert!(build.status().expect("cargo starts").success(), "the program compiles");
    let here = std::env::current_exe().expect("a test is a file");
    // A test binary stands in `deps`, the program one folder above.
    here.ancestors().nth(2).expect("target/debug/deps").join("fieldcoil")
});

/// The program with these arguments, to be started.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(&*PROGRAM);
    command.current_dir(repository::root()).args(arguments);
    command
}

/// What the program said, and its exit status.
#[derive(Debug)]
pub struct Said {
    /// On the standard output.
    pub out: String,
    /// On the standard error.
    pub errors: String,
    /// Exit status; -1 when it was killed.
    pub status: i32,
}

/// Runs the program to its end.
pub fn run(arguments: &[&str]) -> Said {
    let Output { status, stdout, stderr } = command(arguments).output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
    Said { out: text(stdout), errors: text(stderr), status: status.code().unwrap_or(-1) }
}

/// Copies the default course into a folder of its own, where a test may spoil it.
pub fn course_copy(folder: &Path) {
    for path in repository::files("content", "") {
        let place = folder.join(path.trim_start_matches("content/"));
        std::fs::create_dir_all(place.parent().expect("a file stands in a folder")).expect("a folder");
        std::fs::copy(repository::root().join(&path), place).expect("a copy");
    }
}
