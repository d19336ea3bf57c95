//! The order of the lessons, their addresses, and what must come before what.

use std::collections::BTreeMap;

use super::names::unknown_lesson;
use crate::course::{Outline, Role};
use crate::finding::Finding;
use crate::portable;
use crate::source::{FileId, SourceSet, Span};

/// Pages that every site has; a lesson cannot take their place.
const TAKEN: &[&str] = &["index", "404", "outcomes", "sign-off"];

/// Sorts, numbers and checks.
pub fn order(lessons: &mut [Outline], pages: &mut [Outline], sources: &SourceSet, found: &mut Vec<Finding>) {
    let place = |text: &Outline| key(sources.text(text.file).map_or("", |text| text.path.as_str()));
    lessons.sort_by_cached_key(place);
    pages.sort_by_cached_key(place);
    for (number, lesson) in (1..).zip(lessons.iter_mut()) {
        lesson.number = number;
    }
    if lessons.is_empty() {
        found.push(
            Finding::of_course("no-lessons", "the course has no lessons")
                .help("add a file such as `10-safety.md` with a `lesson` block at its top"),
        );
    }
    check_addresses(lessons.iter().chain(&*pages), found);
    check_before(lessons, found);
}

/// Files sort by their numbers, so that 9 comes before 10, then by name; parts of the path are compared one by one.
fn key(path: &str) -> Vec<(u64, String)> {
    path.split('/')
        .map(|name| {
            let end = name.find(|c: char| !c.is_ascii_digit()).unwrap_or(name.len());
            (name[..end].parse().unwrap_or(u64::MAX), name[end..].to_owned())
        })
        .collect()
}

fn check_addresses<'l>(lessons: impl Iterator<Item = &'l Outline>, found: &mut Vec<Finding>) {
    let mut taken: BTreeMap<String, &Outline> = BTreeMap::new();
    for lesson in lessons {
        let address = &lesson.address;
        if let Some(problem) = unfit(address) {
            found.push(
                Finding::error(
                    "unfit-address",
                    problem,
                    top(lesson.file),
                    "the file's name gives the page's address",
                )
                .help("rename the file: `40-voltage-drop.md` becomes the page `voltage-drop.html`"),
            );
        }
        let sheet = lesson.holds.for_bench.then(|| format!("{address}-sheet"));
        for page in [Some(address.clone()), sheet].into_iter().flatten() {
            if let Some(first) = taken.get(&page) {
                found.push(
                    Finding::error(
                        "same-address",
                        format!("two files make the page `{page}.html`"),
                        top(lesson.file),
                        if lesson.role == Role::Lesson {
                            "this lesson makes it too"
                        } else {
                            "this page makes it too"
                        },
                    )
                    .also(top(first.file), "the first one")
                    .help("rename one of the files; the number before the name does not count"),
                );
            } else {
                taken.insert(page, lesson);
            }
        }
    }
}

fn unfit(address: &str) -> Option<String> {
    if address.split('/').any(str::is_empty) {
        Some("the name of this file has no letter or figure to make an address of".to_owned())
    } else if TAKEN.contains(&address) || address.starts_with("assets/") {
        Some(format!("the address `{address}` is taken by the site itself"))
    } else if address.split('/').any(portable::is_device) {
        Some(format!("some systems cannot have a file named `{address}`"))
    } else if address.len() > 200 {
        Some(format!("the address has {} bytes; some systems end at 255 for a whole path", address.len()))
    } else {
        None
    }
}

fn check_before(lessons: &[Outline], found: &mut Vec<Finding>) {
    let numbers: BTreeMap<&str, usize> =
        lessons.iter().map(|lesson| (lesson.address.as_str(), lesson.number)).collect();
    for lesson in lessons {
        for before in &lesson.before {
            let name = before.value.as_str();
            match numbers.get(name) {
                None => found.push(unknown_lesson(name, before.span, "not found", lessons)),
                Some(number) if *number == lesson.number => found.push(
                    Finding::error(
                        "before-itself",
                        "a lesson cannot come before itself",
                        before.span,
                        "this lesson",
                    )
                    .help("take the line out"),
                ),
                Some(number) if *number > lesson.number => found.push(
                    Finding::error(
                        "comes-later",
                        format!("`{name}` comes later in the course"),
                        before.span,
                        format!("lesson {number}; this is lesson {}", lesson.number),
                    )
                    .help("change the numbers before the files' names, or take the line out"),
                ),
                Some(_) => {}
            }
        }
    }
}

fn top(file: FileId) -> Span {
    Span::new(file, 0..0)
}
