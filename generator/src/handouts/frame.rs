//! What stands around every page of a class set: its styles, its title block, and the warning of the instructor's pages.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use sha2::{Digest, Sha256};

use super::{Paper, Settings};
use crate::asset::theme;
use crate::course::{Course, Lesson, iso};
use crate::render::words::Words;

/// The lesson that a page is made of, and how.
#[derive(Clone, Copy)]
pub struct Place<'c> {
    /// The course.
    pub course: &'c Course,
    /// The lesson.
    pub lesson: &'c Lesson<'c>,
    /// The interface's words.
    pub words: &'static Words,
    /// How sheets are set.
    pub settings: Settings,
}

/// What stands around a page.
#[derive(Debug, Serialize)]
pub struct FrameView {
    pub language: String,
    pub head_title: String,
    /// The styles: a class set is carried to a printer, so each page has all that it needs in itself.
    styles: String,
    /// The hash by which the page's policy knows these styles and no others.
    styles_hash: String,
    pub large: bool,
    pub double: bool,
    /// The warning of the instructor's pages; empty on others.
    pub warning: String,
}

/// The title block of a sheet.
#[derive(Debug, Serialize)]
pub struct BlockView {
    pub school: String,
    pub course: String,
    pub title: String,
    /// Empty when the sheet belongs to no lesson.
    pub lesson: String,
    pub edition: String,
    pub term: String,
}

/// A link in a list.
#[derive(Debug, Serialize)]
pub struct LinkView {
    pub href: String,
    pub title: String,
}

impl Place<'_> {
    /// The frame of a page of this lesson.
    pub fn frame(&self, label: &str, settings: Settings, secret: bool, lying: bool) -> FrameView {
        let title = format!("{} · {}", self.words.get(label), self.lesson.title);
        let mut frame = FrameView::plain(&self.course.about.language, title, settings, secret, self.words);
        frame.put_on(styles(settings, lying));
        frame
    }

    /// The title block.
    pub fn block(&self) -> BlockView {
        let about = &self.course.about;
        let count = self.course.lessons.len().to_string();
        let number = self.lesson.number.to_string();
        let term = about.term.as_ref().map(|term| match term.date_of(&self.lesson.address) {
            Some(date) => self.words.fill("handout.week_of", &[("term", &term.name), ("date", &iso(date))]),
            None => term.name.clone(),
        });
        BlockView {
            school: about.school.clone(),
            course: about.title.clone(),
            title: self.lesson.title.clone(),
            lesson: self.words.fill("page.lesson_of", &[("number", &number), ("count", &count)]),
            edition: about.edition.clone(),
            term: term.unwrap_or_default(),
        }
    }
}

impl BlockView {
    /// The title block of a sheet that belongs to no lesson.
    pub fn of_course(course: &Course, title: &str) -> Self {
        let about = &course.about;
        BlockView {
            school: about.school.clone(),
            course: about.title.clone(),
            title: title.to_owned(),
            lesson: String::new(),
            edition: about.edition.clone(),
            term: about.term.as_ref().map(|term| term.name.clone()).unwrap_or_default(),
        }
    }
}

impl FrameView {
    /// The frame of a page that belongs to no lesson.
    pub fn plain(language: &str, title: String, settings: Settings, secret: bool, words: &Words) -> Self {
        let mut frame = FrameView {
            language: language.to_owned(),
            head_title: title,
            styles: String::new(),
            styles_hash: String::new(),
            large: settings.large_print,
            double: settings.double_sided,
            warning: if secret { words.get("handout.warning").to_owned() } else { String::new() },
        };
        frame.put_on(styles(settings, false));
        frame
    }

    fn put_on(&mut self, styles: String) {
        self.styles_hash = format!("sha256-{}", STANDARD.encode(Sha256::digest(&styles)));
        self.styles = styles;
    }
}

/// The styles with the rules of the paper before them.
///
/// Browsers do not begin a page on the right when asked to. Before a student's sheets there is therefore a line of 1 px on
/// a new page and after it a box as high as what is left of a right page, and so too high for a left one, which is made
/// 2 mm shorter: where the line came on a left page, the box moves on to the next, and the left one stays white. The box
/// takes no room where it stands, since the sheets are drawn up over it.
fn styles(settings: Settings, lying: bool) -> String {
    let (name, height) = match settings.paper {
        Paper::A4 => ("A4", 297.0),
        Paper::Letter => ("letter", 279.4),
    };
    let turned = if lying { " landscape" } else { "" };
    let mut rules = format!("@page{{size:{name}{turned};margin:12mm 12mm 15mm}}\n");
    if settings.double_sided {
        let right = height - 27.0 - 1.0;
        rules.push_str("@page :left{margin-bottom:17mm}\n");
        rules.push_str(&format!(".recto{{height:{right}mm;margin-bottom:-{right}mm}}\n"));
    }
    rules.push_str(theme("css/handouts.css"));
    rules
}
