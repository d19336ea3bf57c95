//! The pages of a site: which there are, and what stands around each sheet.

use serde::Serialize;

use super::view::{
    BenchSheetView, BlockView, FactsView, FirstView, LessonLink, LessonView, LinkView, Neighbour,
    OutcomeView, PageView,
};
use super::words::Words;
use super::{facts, first, lesson, lesson_data, link, outcomes, templates};
use crate::asset::ASSETS;
use crate::course::{Course, Outline, Role};
use crate::resolve::Reader;

/// Names of the pages with limits, with published facts, and with the school's outcomes.
pub const LIMITS: &str = "limits";
pub const SOURCES: &str = "sources";
pub const OUTCOMES: &str = "outcomes";
const SIGN_OFF: &str = "sign-off";
/// So many lessons stand in the strip at the top at most.
const IN_STRIP: usize = 50;

/// One page that is to be made.
pub struct Page<'c, 's> {
    reader: &'c Reader<'s>,
    course: &'c Course,
    kind: Kind<'c>,
}

#[derive(Clone, Copy)]
enum Kind<'c> {
    First,
    Lesson(&'c Outline),
    /// A page that is no lesson.
    LookUp(&'c Outline),
    BenchSheet(&'c Outline),
    /// The school's outcomes, and where each is taught, practised and assessed.
    Outcomes,
    /// The same list with room for initials: one for each student.
    SignOff,
    /// The limits, each with its source.
    Limits,
    /// Every published fact with its source.
    Sources,
    NotFound,
}

#[derive(Serialize)]
struct FirstPage {
    page: PageView,
    first: FirstView,
}

#[derive(Serialize)]
struct LessonPage {
    page: PageView,
    lesson: LessonView,
}

#[derive(Serialize)]
struct BenchSheetPage {
    page: PageView,
    sheet: BenchSheetView,
}

#[derive(Serialize)]
struct OutcomesPage {
    page: PageView,
    outcomes: Vec<OutcomeView>,
}

#[derive(Serialize)]
struct FactsPage {
    page: PageView,
    facts: FactsView,
}

#[derive(Serialize)]
struct NotFoundPage {
    page: PageView,
}

/// The files of a lesson's page and of its bench sheet, if it has one.
pub fn paths(outline: &Outline) -> Vec<String> {
    let sheet = Some(lesson::sheet_path(outline)).filter(|path| !path.is_empty());
    [Some(link::page_path(&outline.address)), sheet].into_iter().flatten().collect()
}

/// Every page of the course.
pub fn pages<'c, 's>(reader: &'c Reader<'s>) -> impl Iterator<Item = Page<'c, 's>> {
    let course = &reader.course;
    let lessons = course.lessons.iter().chain(&course.pages).flat_map(|one| {
        let own = if one.role == Role::Lesson { Kind::Lesson(one) } else { Kind::LookUp(one) };
        let sheet = one.holds.for_bench.then_some(Kind::BenchSheet(one));
        [Some(own), sheet].into_iter().flatten()
    });
    let lists: &[Kind] = if course.outcomes.is_empty() { &[] } else { &[Kind::Outcomes, Kind::SignOff] };
    [Kind::First]
        .into_iter()
        .chain(lessons)
        .chain(lists.iter().copied())
        .chain((!course.limits.is_empty()).then_some(Kind::Limits))
        .chain(facts::has_sources(course).then_some(Kind::Sources))
        .chain([Kind::NotFound])
        .map(move |kind| Page { reader, course, kind })
}

impl<'c> Page<'c, '_> {
    /// Its file in the site.
    pub fn path(&self) -> String {
        match self.kind {
            Kind::First => link::page_path("index"),
            Kind::Lesson(text) | Kind::LookUp(text) => link::page_path(&text.address),
            Kind::BenchSheet(lesson) => lesson::sheet_path(lesson),
            Kind::Outcomes => link::page_path(OUTCOMES),
            Kind::SignOff => link::page_path(SIGN_OFF),
            Kind::Limits => link::page_path(LIMITS),
            Kind::Sources => link::page_path(SOURCES),
            Kind::NotFound => link::page_path("404"),
        }
    }

    /// Does it need the calculators' script?
    pub fn is_scripted(&self) -> bool {
        match self.kind {
            Kind::Lesson(text) | Kind::LookUp(text) | Kind::BenchSheet(text) => text.holds.for_script,
            Kind::First | Kind::Outcomes | Kind::SignOff | Kind::Limits | Kind::Sources | Kind::NotFound => {
                false
            }
        }
    }

    /// Its text.
    pub fn html(&self) -> anyhow::Result<String> {
        let words = Words::of(&self.course.about.language);
        let page = self.around(words);
        match self.kind {
            Kind::First => {
                let first = first::view(self.course, words);
                templates::page("first_page.html", words, &FirstPage { page, first })
            }
            Kind::Lesson(one) | Kind::LookUp(one) => {
                let lesson = lesson::view(self.course, &self.reader.read(one).lesson, words)?;
                templates::page("lesson.html", words, &LessonPage { page, lesson })
            }
            Kind::BenchSheet(one) => {
                let sheet = lesson::bench_sheet(self.course, &self.reader.read(one).lesson, words);
                templates::page("bench_sheet.html", words, &BenchSheetPage { page, sheet })
            }
            Kind::Outcomes => {
                let outcomes = outcomes::view(self.course);
                templates::page("outcomes.html", words, &OutcomesPage { page, outcomes })
            }
            Kind::SignOff => {
                let outcomes = outcomes::view(self.course);
                templates::page("sign_off.html", words, &OutcomesPage { page, outcomes })
            }
            Kind::Limits => {
                let facts = facts::limits(self.course, words);
                templates::page("facts.html", words, &FactsPage { page, facts })
            }
            Kind::Sources => {
                let facts = facts::sources(self.course, words);
                templates::page("facts.html", words, &FactsPage { page, facts })
            }
            Kind::NotFound => templates::page("not_found.html", words, &NotFoundPage { page }),
        }
    }

    /// What stands around the sheet.
    fn around(&self, words: &Words) -> PageView {
        let about = &self.course.about;
        let title = self.title(words);
        let (previous, next) = self.neighbours(words);
        let root = self.root();
        let linked = !matches!(self.kind, Kind::NotFound) || about.address.is_some();
        PageView {
            language: about.language.clone(),
            course: about.title.clone(),
            course_slug: link::slug(&about.title),
            address: self.address(),
            head_title: match self.kind {
                Kind::First => about.title.clone(),
                _ => format!("{title} · {}", about.title),
            },
            description: self.text().map_or(&about.summary, |text| &text.summary).clone(),
            canonical: self.canonical(),
            data: match self.kind {
                Kind::Lesson(lesson) => lesson_data::json(self.course, lesson),
                _ => String::new(),
            },
            style_roots: if linked { vec![root.clone()] } else { self.any_root() },
            root,
            linked,
            styles: ASSETS.styles.path.clone(),
            icon: ASSETS.icon.path.clone(),
            script: match &ASSETS.calculators {
                Some(script) if self.is_scripted() => script.path.clone(),
                _ => String::new(),
            },
            is_first: matches!(self.kind, Kind::First),
            lessons: self.lessons(),
            previous,
            next,
            look_up: self.look_up(),
            block: self.block(title, words),
        }
    }

    /// What leads to the root of the site. A server shows the page for what is not there at any address, so there the
    /// way is the whole path, if the course says where it stands.
    fn root(&self) -> String {
        match (self.kind, link::root_address(&self.course.about)) {
            (Kind::NotFound, Some(root)) => link::path_of(&root).to_owned(),
            _ => self.text().map(|lesson| link::to_root(&lesson.address)).unwrap_or_default(),
        }
    }

    /// Every way to the root from the folders of this course. A browser asks for styles in each and takes the one it
    /// finds; so the page is styled wherever it is shown inside the course, whatever the path of the site.
    fn any_root(&self) -> Vec<String> {
        let texts = self.course.lessons.iter().chain(&self.course.pages);
        let deepest = texts.map(|text| text.address.matches('/').count()).max().unwrap_or_default();
        // One more than there are: `cables/` where `cables.html` was meant.
        (0..=deepest + 1).map(|up| "../".repeat(up)).collect()
    }

    /// Its full address; empty when nobody knows it, and for the page that has none.
    pub fn canonical(&self) -> String {
        match (self.kind, link::root_address(&self.course.about)) {
            (Kind::NotFound, _) | (_, None) => String::new(),
            (_, Some(root)) => link::full(&root, &self.path()),
        }
    }

    /// The text of the course that the page shows.
    fn text(&self) -> Option<&'c Outline> {
        match self.kind {
            Kind::Lesson(text) | Kind::LookUp(text) | Kind::BenchSheet(text) => Some(text),
            Kind::First | Kind::Outcomes | Kind::SignOff | Kind::Limits | Kind::Sources | Kind::NotFound => {
                None
            }
        }
    }

    /// The lesson that the page belongs to.
    fn lesson(&self) -> Option<&'c Outline> {
        self.text().filter(|text| text.role == Role::Lesson)
    }

    /// The pages that everybody may want to look something up in, but for this one.
    fn look_up(&self) -> Vec<LinkView> {
        let here = self.path();
        let all = self.course.pages.iter().filter(|page| page.role == Role::Page { instructor: false });
        all.map(|page| LinkView { title: page.title.clone(), href: link::page_path(&page.address) })
            .filter(|page| page.href != here)
            .collect()
    }

    /// A bench sheet keeps its ticks together with its lesson, so both have the lesson's address.
    fn address(&self) -> String {
        match self.kind {
            Kind::First => "index".to_owned(),
            Kind::Outcomes => OUTCOMES.to_owned(),
            Kind::SignOff => SIGN_OFF.to_owned(),
            Kind::Limits => LIMITS.to_owned(),
            Kind::Sources => SOURCES.to_owned(),
            Kind::NotFound => "404".to_owned(),
            Kind::Lesson(text) | Kind::LookUp(text) | Kind::BenchSheet(text) => text.address.clone(),
        }
    }

    fn title(&self, words: &Words) -> String {
        match self.kind {
            Kind::First => self.course.about.title.clone(),
            Kind::Lesson(text) | Kind::LookUp(text) => text.title.clone(),
            Kind::BenchSheet(lesson) => words.fill("sheet.title", &[("title", &lesson.title)]),
            Kind::Outcomes => words.get("outcomes.title").to_owned(),
            Kind::SignOff => words.get("outcomes.sign_off").to_owned(),
            Kind::Limits => words.get("facts.limits").to_owned(),
            Kind::Sources => words.get("facts.title").to_owned(),
            Kind::NotFound => words.get("not_found.title").to_owned(),
        }
    }

    fn lessons(&self) -> Vec<LessonLink> {
        let here = self.lesson().map(|lesson| lesson.number);
        let lesson = |lesson: &Outline| LessonLink {
            number: lesson.number,
            title: lesson.title.clone(),
            href: link::page_path(&lesson.address),
            current: match (self.kind, here == Some(lesson.number)) {
                (Kind::Lesson(_), true) => "page",
                (_, true) => "true",
                (_, false) => "",
            },
        };
        self.near().iter().map(lesson).collect()
    }

    /// The lessons that stand in the strip: all of them while they are few, then those around this one. The first
    /// page lists all.
    fn near(&self) -> &'c [Outline] {
        let lessons = self.course.lessons.as_slice();
        if lessons.len() <= IN_STRIP {
            return lessons;
        }
        let Some(here) = self.lesson().map(|lesson| lesson.number.saturating_sub(1)) else { return &[] };
        let first = here.saturating_sub(IN_STRIP / 2).min(lessons.len() - IN_STRIP);
        &lessons[first..first + IN_STRIP]
    }

    fn neighbours(&self, words: &Words) -> (Option<Neighbour>, Option<Neighbour>) {
        let neighbour = |lesson: &Outline, label: &str| Neighbour {
            label: words.get(label).to_owned(),
            title: lesson.title.clone(),
            href: link::page_path(&lesson.address),
        };
        let first_page = || Neighbour {
            label: words.get("page.previous").to_owned(),
            title: words.get("page.first").to_owned(),
            href: link::page_path("index"),
        };
        let lessons = &self.course.lessons;
        match self.kind {
            Kind::First => (None, lessons.first().map(|lesson| neighbour(lesson, "page.next"))),
            Kind::Lesson(here) => {
                let at = here.number.saturating_sub(1);
                let before = at.checked_sub(1).and_then(|at| lessons.get(at));
                let previous =
                    before.map(|lesson| neighbour(lesson, "page.previous")).unwrap_or_else(first_page);
                (Some(previous), lessons.get(at + 1).map(|lesson| neighbour(lesson, "page.next")))
            }
            Kind::BenchSheet(here) => (Some(neighbour(here, "sheet.back")), None),
            Kind::LookUp(_)
            | Kind::Outcomes
            | Kind::SignOff
            | Kind::Limits
            | Kind::Sources
            | Kind::NotFound => (None, None),
        }
    }

    fn block(&self, title: String, words: &Words) -> BlockView {
        let about = &self.course.about;
        let of = |number: usize, count: usize| {
            words.fill("page.lesson_of", &[("number", &number.to_string()), ("count", &count.to_string())])
        };
        let sheets = |lesson: &Outline| if lesson.holds.for_bench { 2 } else { 1 };
        BlockView {
            school: about.school.clone(),
            course: about.title.clone(),
            module: self
                .lesson()
                .map(|lesson| lesson::module_words(self.course, lesson, words))
                .unwrap_or_default(),
            title,
            lesson: self
                .lesson()
                .map(|lesson| of(lesson.number, self.course.lessons.len()))
                .unwrap_or_default(),
            sheet: match self.kind {
                Kind::Lesson(text) | Kind::LookUp(text) => of(1, sheets(text)),
                Kind::BenchSheet(lesson) => of(2, sheets(lesson)),
                Kind::First
                | Kind::Outcomes
                | Kind::SignOff
                | Kind::Limits
                | Kind::Sources
                | Kind::NotFound => of(1, 1),
            },
            edition: about.edition.clone(),
            author: self
                .text()
                .and_then(|lesson| lesson.author.clone())
                .unwrap_or_else(|| about.author.clone()),
        }
    }
}
