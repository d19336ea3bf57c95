//! A class set on paper: sheets with each student's own numbers, and apart from them the answer keys.
//!
//! [`class_set`] makes a folder's files from a course and a roster in which every student has a code; it draws nothing at
//! random itself, so the same two give the same bytes. What stands in `students/` is for the class; what stands in
//! `instructor/` is for nobody else, and every page of it says so.

mod codes;
mod frame;
mod key;
mod qr;
mod quiz;
mod sheet;
mod sign_off;
mod steps;
mod work;

use std::sync::Arc;

use anyhow::Context as _;
use serde::Serialize;

pub use codes::draw as draw_codes;
pub use work::{choose, has_work};

use self::frame::{FrameView, LinkView};
use crate::course::Course;
use crate::render::link;
use crate::render::templates;
use crate::render::words::Words;
use crate::resolve::Read;
use crate::roster::{self, Roster};
use crate::site::Site;

/// Where the completed roster stands in the folder.
pub const ROSTER: &str = "instructor/roster.csv";
/// Where the warning stands in the folder.
pub const WARNING: &str = "instructor/README.txt";

/// Where the sign-off sheets stand in the folder.
pub const SIGN_OFF: &str = "students/sign-off.html";

/// The paper in the printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub enum Paper {
    /// 210 mm × 297 mm
    #[default]
    A4,
    /// 8.5 in × 11 in
    Letter,
}

/// How the sheets are set.
#[derive(Debug, Clone, Copy, Default)]
pub struct Settings {
    /// On which paper.
    pub paper: Paper,
    /// In letters of 18 points?
    pub large_print: bool,
    /// Does each student begin on a right-hand page?
    pub double_sided: bool,
    /// Are names printed on the students' sheets?
    pub names: bool,
}

/// A page that lists others.
#[derive(Serialize)]
struct ListPage {
    frame: FrameView,
    text: Vec<String>,
    links: Vec<LinkView>,
}

/// The files of a class set for these lessons, which [`choose`] gives. The sign-off sheets are of the whole course, so
/// they are left out when some of its lessons are `picked`.
pub fn class_set(
    course: &Course,
    roster: &Roster,
    lessons: &[Arc<Read<'_>>],
    picked: bool,
    settings: Settings,
) -> anyhow::Result<Site> {
    let words = Words::of(&course.about.language);
    let parts = [("students", "handout.students"), ("instructor", "handout.instructor")];
    let parts = parts.map(|(folder, label)| LinkView {
        href: format!("{folder}/index.html"),
        title: words.get(label).to_owned(),
    });
    let mut site = around(roster, &course.about.title, words, &course.about.language, parts.into())?;
    let mut add = |path: String, html: anyhow::Result<String>| -> anyhow::Result<()> {
        let html = html.with_context(|| format!("cannot make the page {path}"))?;
        site.files.insert(path, html.into_bytes());
        Ok(())
    };
    let (mut sets, mut keys) = (Vec::new(), Vec::new());
    for read in lessons {
        let lesson = &read.lesson;
        let title = format!("{}. {}", lesson.number, lesson.title);
        let path = link::page_path(&lesson.address);
        sets.push(LinkView { href: path.clone(), title: title.clone() });
        let context = frame::Place { course, lesson, words, settings };
        add(format!("students/{path}"), sheet::page(&context, roster))?;
        let mut answers = Vec::new();
        if work::homework(lesson).next().is_some() {
            answers.push(("key", "handout.key", key::page(&context, roster)));
            answers.push(("steps", "handout.steps", steps::page(&context, roster)));
        }
        if work::selfchecks(lesson).next().is_some() {
            answers.push(("quiz", "handout.quiz_key", quiz::key(&context)));
        }
        for (ending, label, html) in answers {
            let path = link::page_path(&format!("{}-{ending}", lesson.address));
            keys.push(LinkView { href: path.clone(), title: format!("{title}: {}", words.get(label)) });
            add(format!("instructor/{path}"), html)?;
        }
    }
    if let Some(html) = sign_off::page(course, roster, settings, words).filter(|_| !picked) {
        sets.push(LinkView {
            href: "sign-off.html".to_owned(),
            title: words.get("outcomes.sign_off").to_owned(),
        });
        add(SIGN_OFF.to_owned(), html)?;
    }
    let language = &course.about.language;
    let mut list = |path: &str, title: &str, text: Vec<String>, links, secret| {
        let title = format!("{} · {}", words.get(title), course.about.title);
        let frame = FrameView::plain(language, title, settings, secret, words);
        add(path.to_owned(), templates::page("handouts/list.html", words, &ListPage { frame, text, links }))
    };
    let count = roster.students.len().to_string();
    let advice = [
        Some(words.fill("handout.students_text", &[("count", &count)])),
        Some(words.get("handout.print").to_owned()),
        settings.double_sided.then(|| words.get("handout.print_double").to_owned()),
    ];
    list("students/index.html", "handout.students", advice.into_iter().flatten().collect(), sets, false)?;
    keys.push(LinkView { href: "roster.csv".to_owned(), title: words.get("handout.roster").to_owned() });
    list("instructor/index.html", "handout.instructor", words.list("handout.instructor_text"), keys, true)?;
    Ok(site)
}

/// The files of a folder that holds a roster and nothing else yet.
pub fn roster_alone(roster: &Roster, title: &str) -> anyhow::Result<Site> {
    around(roster, title, Words::of("en"), "en", Vec::new())
}

/// What every folder of handouts has: the roster, the warning and a first page, with these links to what else is there.
fn around(
    roster: &Roster,
    title: &str,
    words: &Words,
    language: &str,
    links: Vec<LinkView>,
) -> anyhow::Result<Site> {
    let mut site = Site::default();
    site.files.insert(ROSTER.to_owned(), roster::write(roster).into_bytes());
    let warning =
        format!("{}\n\n{}\n", words.get("handout.warning"), words.list("handout.readme").join("\n"));
    site.files.insert(WARNING.to_owned(), warning.into_bytes());
    let title = [words.get("handout.handouts"), title].join(" · ");
    let frame = FrameView::plain(language, title, Settings::default(), false, words);
    let page = ListPage { frame, text: words.list("handout.folders"), links };
    let html = templates::page("handouts/list.html", words, &page).context("cannot make the first page")?;
    site.files.insert("index.html".to_owned(), html.into_bytes());
    Ok(site)
}
