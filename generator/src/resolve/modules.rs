//! Modules: each lesson is in one, and their order is that of the lessons' files.

use std::collections::{BTreeMap, BTreeSet};

use super::names::unknown_lesson;
use crate::course::{About, Outline};
use crate::finding::{Finding, shown};
use crate::source::Spanned;

/// Gives lessons their modules; a course without any has nothing to check.
pub fn bind(about: &About, lessons: &mut [Outline], found: &mut Vec<Finding>) {
    if about.modules.is_empty() {
        return;
    }
    bind_names(about, lessons, found);
    check_order(about, lessons, found);
    for lesson in lessons.iter().filter(|lesson| lesson.module == 0) {
        found.push(
            Finding::warning(
                "lesson-without-module",
                "this lesson is in no module",
                lesson.span,
                "listed after all modules",
            )
            .help(format!(
                "add \"{}\" to the `lessons` of a module in `course.toml`",
                shown(&lesson.address)
            )),
        );
    }
}

fn bind_names(about: &About, lessons: &mut [Outline], found: &mut Vec<Finding>) {
    let places: BTreeMap<String, usize> =
        lessons.iter().enumerate().map(|(place, lesson)| (lesson.address.clone(), place)).collect();
    let mut named: BTreeMap<&str, &Spanned<String>> = BTreeMap::new();
    for (number, module) in (1..).zip(&about.modules) {
        for lesson in &module.lessons {
            if let Some(first) = named.get(lesson.value.as_str()) {
                let message = format!("`{}` is in a module already", shown(&lesson.value));
                found.push(
                    Finding::error("lesson-in-two-modules", message, lesson.span, "the second time")
                        .also(first.span, "the first")
                        .help("take it out at one of the places"),
                );
                continue;
            }
            named.insert(&lesson.value, lesson);
            match places.get(&lesson.value) {
                Some(place) => lessons[*place].module = number,
                None => found.push(unknown_lesson(&lesson.value, lesson.span, "in no file", lessons)),
            }
        }
    }
}

/// The numbers of the lessons follow the names of files, so a module that has them in another order would show
/// numbers that jump.
fn check_order(about: &About, lessons: &[Outline], found: &mut Vec<Finding>) {
    let by_address: BTreeMap<&str, &Outline> =
        lessons.iter().map(|lesson| (lesson.address.as_str(), lesson)).collect();
    let mut last: Option<(&Outline, &Spanned<String>)> = None;
    let mut seen = BTreeSet::new();
    for named in about.modules.iter().flat_map(|module| &module.lessons) {
        if !seen.insert(&named.value) {
            continue;
        }
        let Some(lesson) = by_address.get(named.value.as_str()) else { continue };
        match last {
            Some((before, at)) if lesson.number < before.number => found.push(
                Finding::error(
                    "module-order",
                    format!("`{}` comes before `{}`", shown(&lesson.address), shown(&before.address)),
                    named.span,
                    format!("lesson {} by the number of its file", lesson.number),
                )
                .also(at.span, format!("lesson {}", before.number))
                .help("change the numbers before the files' names, or the order in the modules"),
            ),
            _ => last = Some((lesson, named)),
        }
    }
}
