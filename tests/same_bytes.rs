//! The same course gives the same bytes: on another day, in another time zone and language, in another folder, on one
//! processor in place of several, from files in another order on the disk, and over the site of another edition.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use fieldcoil_tests::folder::content;
use fieldcoil_tests::{program, repository};

/// Everything that a site can be made as.
const WHOLE: &[&str] = &["--compressed", "--zip", "site.zip"];

/// Builds the course into `site` in a folder, where `before` stands before the program's name.
fn build(course: &Path, into: &Path, wishes: &[&str], before: &[&str], environment: &[(&str, &str)]) {
    let own = program::command(&[]);
    let mut command = Command::new(before[0]);
    command.args(&before[1..]).arg(own.get_program()).arg("site").arg(course).args(wishes);
    command.current_dir(into).envs(environment.iter().copied());
    let output = command.output().unwrap_or_else(|error| panic!("{}: {error}", before[0]));
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// The number of a processor that this machine lets the test use.
fn a_processor() -> String {
    let status = fs::read_to_string("/proc/self/status").expect("Linux");
    let list = status.lines().find_map(|line| line.strip_prefix("Cpus_allowed_list:")).expect("a list");
    list.trim().split([',', '-']).next().expect("a number").to_owned()
}

#[test]
fn no_day_place_language_or_machine_is_seen_in_a_site() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path().join("here");
    let there = folder.path().join("dort drüben, zweiter Ordner");
    let courses = [here.join("course"), there.join("kurs").join("тест")];

    // The second copy is written from the last file to the first, and long ago.
    let mut files = repository::files("content", "");
    for course in &courses {
        for path in &files {
            let place = course.join(path.trim_start_matches("content/"));
            fs::create_dir_all(place.parent().expect("a file stands in a folder")).expect("a folder");
            fs::copy(repository::root().join(path), &place).expect("a copy");
            if *course == courses[1] {
                let long_ago = std::time::UNIX_EPOCH + std::time::Duration::from_secs(86_400);
                let file = fs::File::options().append(true).open(&place).expect("a file");
                file.set_modified(long_ago).expect("a time");
            }
        }
        files.reverse();
    }
    build(&courses[0], &here, WHOLE, &["env"], &[("TZ", "UTC"), ("LC_ALL", "C")]);

    // Another edition is there already: most of its files are the same, one is not, and one is gone after.
    let title = fs::read_to_string(courses[1].join("course.toml")).expect("a course file");
    fs::write(courses[1].join("course.toml"), title.replace("edition = \"1\"", "edition = \"0\""))
        .expect("text");
    fs::write(
        courses[1].join("pages/more.md"),
        "```page\ntitle = \"More\"\nsummary = \"A page.\"\n```\n\nText.\n",
    )
    .expect("text");
    build(&courses[1], &there, &[], &["env"], &[]);
    fs::write(courses[1].join("course.toml"), title).expect("text");
    fs::remove_file(courses[1].join("pages/more.md")).expect("gone");
    let other = [("TZ", "Pacific/Kiritimati"), ("LC_ALL", "tr_TR.UTF-8"), ("LANGUAGE", "tr"), ("HOME", "/")];
    let odd = ["taskset", "-c", &a_processor(), "faketime", "2031-02-28 23:59:50"];
    build(&courses[1], &there, WHOLE, &odd, &other);

    let only_made = |folder: &Path| -> BTreeMap<String, Vec<u8>> {
        let all = content(folder).expect("readable").into_iter();
        all.filter(|(path, _)| path.starts_with("site/") || path == "site.zip").collect()
    };
    let (first, second) = (only_made(&here), only_made(&there));
    let paths = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(paths(&first), paths(&second));
    assert!(first.len() > 100 && first.contains_key("site.zip"), "{} files", first.len());
    for (path, bytes) in &first {
        assert!(second[path] == *bytes, "{path} differs");
    }

    // Without twins the list also says what each page was made from.
    let list = |course: &Path, folder: &Path, before: &[&str], environment: &[(&str, &str)]| {
        build(course, folder, &[], before, environment);
        fs::read_to_string(folder.join("site/.fieldcoil-files")).expect("a list")
    };
    let list_here = list(&courses[0], &here, &["env"], &[]);
    assert!(list_here.lines().filter(|line| line.contains(".html // ")).count() > 15, "{list_here}");
    assert_eq!(list_here, list(&courses[1], &there, &odd, &other));
}
