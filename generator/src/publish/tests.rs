//! Publishing into folders of every kind.

use std::fs;
use std::path::Path;

use super::*;
use crate::site::Site;

fn site(files: &[(&str, &str)]) -> Site {
    Site { files: files.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect() }
}

fn list(files: &[(&str, &str)]) -> FileList {
    FileList {
        made: Made::Site,
        made_from: None,
        files: files.iter().map(|(path, _)| ((*path).to_owned(), String::new())).collect(),
    }
}

fn is_made_from(out: &Path, made: Made, what: &str) -> bool {
    Standing::of(out, made).is_made_from(what)
}

/// Every file below a folder with its text, the list left out.
fn files(folder: &Path) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
        let entry = entry.expect("readable");
        if entry.file_type().is_file() && entry.file_name() != LIST {
            let path = entry.path().strip_prefix(folder).expect("below").to_string_lossy().into_owned();
            found.push((path, fs::read_to_string(entry.path()).expect("text")));
        }
    }
    found
}

fn pairs(files: &[(&str, &str)]) -> Vec<(String, String)> {
    files.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .expect("readable")
        .map(|entry| entry.expect("readable").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

const OLD: &[(&str, &str)] = &[("a/b.html", "b"), ("index.html", "1"), ("z.html", "z")];
const NEW: &[(&str, &str)] = &[("c/d/e.html", "e"), ("index.html", "2"), ("z.html", "z")];

#[test]
fn a_new_site_takes_the_place_of_the_old_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("deep/site");
    assert_eq!(
        publish(&site(OLD), Made::Site, None, &out, false).expect("published"),
        Published { bytes: 3, written: 3, removed: 0 }
    );
    assert_eq!(files(&out), pairs(OLD));
    assert_eq!(
        publish(&site(NEW), Made::Site, None, &out, false).expect("published"),
        Published { bytes: 3, written: 2, removed: 1 }
    );
    assert_eq!(files(&out), pairs(NEW));
    assert_eq!(names(&folder.path().join("deep")), ["site"], "nothing is left beside it");
}

#[cfg(unix)]
#[test]
fn an_unchanged_site_is_not_touched() {
    use std::os::unix::fs::MetadataExt;
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    let numbers = |path: &str| {
        fs::metadata(out.join(path)).map(|about| (about.ino(), about.mtime_nsec())).expect("there")
    };
    let before = (numbers(""), numbers("index.html"), numbers(LIST));
    assert!(publish(&site(OLD), Made::Site, None, &out, false).expect("published").is_unchanged());
    assert_eq!((numbers(""), numbers("index.html"), numbers(LIST)), before);

    // One changed file: the others keep their bytes on the disk.
    let before = numbers("z.html");
    publish(&site(NEW), Made::Site, None, &out, false).expect("published");
    assert_eq!(numbers("z.html"), before);
}

/// Whoever asks is told of every change of a file, as far as the disk's clock shows it.
#[test]
fn a_site_knows_what_it_was_made_from() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    let made_from = || Some("one".to_owned());
    assert!(!is_made_from(&out, Made::Site, "one"), "there is nothing");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    assert!(!is_made_from(&out, Made::Site, "one"), "nobody said what from");
    publish(&site(OLD), Made::Site, made_from(), &out, false).expect("published");
    assert_eq!(files(&out), pairs(OLD));
    assert!(is_made_from(&out, Made::Site, "one"));
    assert!(!is_made_from(&out, Made::Site, "two") && !is_made_from(&out, Made::Grades, "one"));

    let later = std::time::SystemTime::now() + std::time::Duration::from_secs(1);
    let touched = fs::File::options().append(true).open(out.join("z.html")).expect("there");
    touched.set_modified(later).expect("a new time");
    assert!(!is_made_from(&out, Made::Site, "one"), "a file is younger than the list");
    fs::remove_file(out.join("z.html")).expect("removed");
    assert!(!is_made_from(&out, Made::Site, "one"), "a file is gone");
    publish(&site(OLD), Made::Site, made_from(), &out, false).expect("published");
    assert!(is_made_from(&out, Made::Site, "one"), "mended");
}

#[test]
fn a_damaged_site_is_written_anew() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    fs::remove_file(out.join("z.html")).expect("removed");
    fs::write(out.join("index.html"), "x").expect("written");
    assert_eq!(
        publish(&site(OLD), Made::Site, None, &out, false).expect("published"),
        Published { bytes: 3, written: 2, removed: 0 }
    );
    assert_eq!(files(&out), pairs(OLD));
}

#[test]
fn files_of_others_are_not_deleted_unasked() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    fs::write(out.join("thesis.doc"), "years of work").expect("written");
    let refusal = publish(&site(NEW), Made::Site, None, &out, false).expect_err("refused").to_string();
    assert!(refusal.contains("`thesis.doc`") && refusal.contains("--take-over"), "{refusal}");
    assert!(check_folder(&out, Made::Site, folder.path(), false).is_err());
    assert_eq!(fs::read_to_string(out.join("index.html")).expect("there"), "1");
    assert_eq!(names(folder.path()), ["site"]);

    publish(&site(NEW), Made::Site, None, &out, true).expect("taken over");
    assert_eq!(files(&out), pairs(NEW));
    assert_eq!(names(folder.path()), ["site"]);
}

#[test]
fn a_list_that_is_not_ours_lists_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    fs::create_dir(&out).expect("made");
    fs::write(out.join(LIST), "index.html\n").expect("written");
    fs::write(out.join("index.html"), "mine").expect("written");
    assert!(publish(&site(NEW), Made::Site, None, &out, false).is_err());
    assert_eq!(fs::read_to_string(out.join("index.html")).expect("there"), "mine");
}

#[test]
fn an_empty_folder_will_do_and_a_file_will_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    fs::create_dir(&out).expect("made");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    let file = folder.path().join("file");
    fs::write(&file, "x").expect("written");
    assert!(publish(&site(OLD), Made::Site, None, &file, true).is_err());
    assert!(publish(&site(OLD), Made::Site, None, &file.join("below"), true).is_err());
    assert_eq!(fs::read_to_string(&file).expect("there"), "x");
}

#[test]
fn folders_that_must_not_be_a_site_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let course = folder.path().join("content");
    fs::create_dir_all(course.join("pictures")).expect("made");
    for out in ["content", "", ".", "content/site", "content/pictures", "content/../content"] {
        assert!(check_folder(&folder.path().join(out), Made::Site, &course, true).is_err(), "{out}");
    }
    for out in [Path::new("/"), Path::new("."), Path::new(".."), Path::new("/nowhere/../../x")] {
        assert!(check_folder(out, Made::Site, &course, true).is_err(), "{}", out.display());
    }
    assert!(check_folder(&folder.path().join("site"), Made::Site, &course, false).is_ok());
    assert!(check_folder(&folder.path().join("content2"), Made::Site, &course, false).is_ok());
}

#[test]
fn remains_of_dead_runs_are_cleared_and_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    let dead = folder.path().join(".site.new-99999999");
    fs::create_dir_all(dead.join("a")).expect("made");
    drop(list(OLD).write(&dead).expect("written"));
    fs::write(dead.join("a/b.html"), "half").expect("written");
    fs::create_dir(folder.path().join(".site.new-88888888")).expect("made");
    // Not made by a run, or of one that is still at work, or with something else in it.
    fs::create_dir(folder.path().join(".site.new-mine")).expect("made");
    fs::create_dir(folder.path().join(".other.new-99999999")).expect("made");
    let foreign = folder.path().join(".site.new-77777777");
    fs::create_dir(&foreign).expect("made");
    fs::write(foreign.join("x"), "x").expect("written");
    let alive = folder.path().join(".site.new-66666666");
    fs::create_dir(&alive).expect("made");
    let _lock = list(OLD).write(&alive).expect("written");

    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    let left = [".other.new-99999999", ".site.new-66666666", ".site.new-77777777", ".site.new-mine", "site"];
    assert_eq!(names(folder.path()), left);
}

#[test]
fn without_exchange_two_renames_do_it_and_a_kill_between_is_mended() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    let new = folder.path().join(".site.new-1");
    fs::create_dir(&new).expect("made");
    fs::write(new.join("index.html"), "2").expect("written");
    swap::by_two_renames(&new, &out).expect("swapped");
    assert_eq!(files(&out), pairs(&[("index.html", "2")]));
    assert_eq!(files(&new), pairs(OLD));

    // Killed between the two renames: the old site stands aside, and there is none in its place.
    fs::remove_dir_all(&out).expect("removed");
    fs::rename(&new, folder.path().join(".site.old-99999999")).expect("renamed");
    assert!(publish(&site(OLD), Made::Site, None, &out, false).expect("published").is_unchanged());
    assert_eq!(names(folder.path()), ["site"]);
}

#[test]
fn a_failure_leaves_the_old_site_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    // A name that no file system takes, found out after other files have been written.
    let long = format!("x/{}.html", "n".repeat(300));
    let broken = site(&[("a.html", "a"), ("index.html", "2"), (&long, "")]);
    assert!(publish(&broken, Made::Site, None, &out, false).is_err());
    assert_eq!(files(&out), pairs(OLD));
    assert_eq!(names(folder.path()), ["site"], "nothing is left beside it");
}

#[test]
fn paths_that_lead_out_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    for path in ["../x.html", "/x.html", "a//b.html", "a/./b.html", "a\\b.html", LIST] {
        let result = publish(
            &site(&[("index.html", ""), (path, "")]),
            Made::Site,
            None,
            &folder.path().join("site"),
            false,
        );
        assert!(result.is_err(), "{path}");
    }
    assert_eq!(names(folder.path()), [""; 0]);
}

#[cfg(unix)]
#[test]
fn a_link_to_a_folder_stays_a_link() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("real")).expect("made");
    let out = folder.path().join("site");
    std::os::unix::fs::symlink("real", &out).expect("linked");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    publish(&site(NEW), Made::Site, None, &out, false).expect("published");
    assert!(fs::symlink_metadata(&out).expect("there").is_symlink());
    assert_eq!(files(&folder.path().join("real")), pairs(NEW));
}

#[test]
fn two_runs_at_once_leave_one_whole_site() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    publish(&site(OLD), Made::Site, None, &out, false).expect("published");
    // Within one process the folders beside the site would have one name, so the second run is the reader.
    std::thread::scope(|scope| {
        let reader = scope.spawn(|| {
            for _ in 0..2000 {
                let index = fs::read_to_string(out.join("index.html")).expect("there is always a site");
                assert!(index == "1" || index == "2");
            }
        });
        for round in 0..40 {
            publish(&site(if round % 2 == 0 { NEW } else { OLD }), Made::Site, None, &out, false)
                .expect("published");
        }
        reader.join().expect("the reader always found a page");
    });
}
