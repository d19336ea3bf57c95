//! What a run needs, already checked.

use core::net::IpAddr;
use std::path::PathBuf;

use crate::handouts::Settings;

/// Where a course is, and how it is judged.
#[derive(Debug, Clone)]
pub struct CourseOptions {
    /// The course folder.
    pub folder: PathBuf,
    /// Do warnings count as errors?
    pub strict: bool,
}

impl CourseOptions {
    /// The folder as messages name it.
    pub fn folder_words(&self) -> String {
        let words = self.folder.to_string_lossy().into_owned();
        match words.trim_end_matches('/') {
            "" => words,
            "." => String::new(),
            trimmed => trimmed.to_owned(),
        }
    }
}

/// Where a site goes.
#[derive(Debug, Clone)]
pub struct SiteOptions {
    /// The course.
    pub course: CourseOptions,
    /// The folder of the site.
    pub out: PathBuf,
    /// A file for the whole site as one zip.
    pub zip: Option<PathBuf>,
    /// Compressed twins beside the texts?
    pub compressed: bool,
    /// May files of others in that folder be deleted?
    pub take_over: bool,
}

/// Where a preview is served.
#[derive(Debug, Clone)]
pub struct PreviewOptions {
    /// The course.
    pub course: CourseOptions,
    /// The address.
    pub listen: IpAddr,
    /// The port; 0 for any that is free.
    pub port: u16,
}

/// A class set on paper.
#[derive(Debug, Clone)]
pub struct HandoutsOptions {
    /// The course.
    pub course: CourseOptions,
    /// The class.
    pub roster: PathBuf,
    /// The folder of the handouts.
    pub out: PathBuf,
    /// Addresses of the lessons; all when there are none.
    pub lessons: Vec<String>,
    /// How sheets are set.
    pub settings: Settings,
    /// Only draw codes?
    pub codes_only: bool,
    /// May files of others and codes in that folder be deleted?
    pub take_over: bool,
}

/// Which class is graded, and where that goes.
#[derive(Debug, Clone)]
pub struct GradeOptions {
    /// The course.
    pub course: CourseOptions,
    /// The folder of hand-ins.
    pub hand_ins: PathBuf,
    /// The class.
    pub roster: PathBuf,
    /// The folder for grades.
    pub out: PathBuf,
    /// Addresses of the lessons to grade; all for which anything was handed in when there are none.
    pub lessons: Vec<String>,
    /// Do names go into the output?
    pub names: bool,
    /// May files of others in that folder be deleted?
    pub take_over: bool,
}

/// What is drafted, and where.
#[derive(Debug, Clone)]
pub enum DraftOptions {
    /// A course.
    Course {
        /// Its folder.
        folder: PathBuf,
        /// Its title.
        title: String,
    },
    /// A lesson.
    Lesson {
        /// Its file.
        file: PathBuf,
        /// Its title.
        title: String,
    },
    /// The schemas of blocks and files.
    Schemas {
        /// Their folder.
        folder: PathBuf,
    },
}

/// How findings are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// For people, with the text underlined.
    Text,
    /// One line each.
    Short,
    /// A JSON array.
    Json,
}

/// A calculation at the terminal.
#[derive(Debug, Clone)]
pub struct WorkOptions {
    /// Which calculator; the list of them without one.
    pub name: Option<String>,
    /// `field=value`, in the order given.
    pub set: Vec<String>,
    /// Print the full report as JSON?
    pub json: bool,
    /// Print the fields in place of a result?
    pub fields: bool,
    /// Where the charts go.
    pub chart: Option<PathBuf>,
}
