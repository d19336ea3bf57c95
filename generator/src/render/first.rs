//! The first page: the lessons by modules, and the pages to look something up.

use super::page::{LIMITS, OUTCOMES, SOURCES};
use super::view::{FirstView, LessonGroupView, LessonRowView, PageLinkView};
use super::words::Words;
use super::{caution, facts, lesson, link};
use crate::course::{Course, Outline, Role};

/// The first page as its template sees it.
pub fn view(course: &Course, words: &Words) -> FirstView {
    FirstView {
        school: course.about.school.clone(),
        title: course.about.title.clone(),
        summary: course.about.summary.clone(),
        groups: groups(course, words),
        term: lesson::term_words(course, words),
        limits: if course.limits.is_empty() { String::new() } else { link::page_path(LIMITS) },
        sources: if facts::has_sources(course) { link::page_path(SOURCES) } else { String::new() },
        outcomes: if course.outcomes.is_empty() { String::new() } else { link::page_path(OUTCOMES) },
        look_up: pages(course, false),
        instructor: pages(course, true),
        warning: caution::of_first_page(words),
    }
}

fn groups(course: &Course, words: &Words) -> Vec<LessonGroupView> {
    let view = |lesson: &&Outline| row(course, lesson, words);
    if course.about.modules.is_empty() {
        let lessons = course.lessons.iter().map(|lesson| view(&lesson)).collect();
        return vec![LessonGroupView { title: String::new(), summary: String::new(), lessons }];
    }
    let mut groups: Vec<_> = (1..)
        .zip(&course.about.modules)
        .map(|(number, module)| LessonGroupView {
            title: words.fill("page.module", &[("number", &number.to_string()), ("title", &module.title)]),
            summary: module.summary.clone(),
            lessons: Vec::new(),
        })
        .collect();
    let mut rest = Vec::new();
    for lesson in &course.lessons {
        let group = lesson.module.checked_sub(1).and_then(|index| groups.get_mut(index));
        group.map_or(&mut rest, |group| &mut group.lessons).push(view(&lesson));
    }
    if !rest.is_empty() {
        let title = words.get("first_page.no_module").to_owned();
        groups.push(LessonGroupView { title, summary: String::new(), lessons: rest });
    }
    groups
}

fn row(course: &Course, lesson: &Outline, words: &Words) -> LessonRowView {
    LessonRowView {
        title: lesson.title.clone(),
        href: link::page_path(&lesson.address),
        summary: lesson.summary.clone(),
        minutes: words.fill("first_page.minutes", &[("minutes", &lesson.minutes.to_string())]),
        week: lesson::week_words(course, lesson, words),
        outcomes: lesson.outcomes.clone(),
        sheet: lesson::sheet_path(lesson),
    }
}

fn pages(course: &Course, instructor: bool) -> Vec<PageLinkView> {
    let wanted = course.pages.iter().filter(|page| page.role == Role::Page { instructor });
    wanted
        .map(|page| PageLinkView {
            title: page.title.clone(),
            href: link::page_path(&page.address),
            summary: page.summary.clone(),
        })
        .collect()
}
