//! What can be typed. Nothing is done here.

use core::net::{IpAddr, Ipv4Addr};
use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::handouts::{Paper, Settings};
use crate::options::{
    CourseOptions, DraftOptions, Format, GradeOptions, HandoutsOptions, PreviewOptions, SiteOptions,
    WorkOptions,
};

/// The command line.
#[derive(Debug, Parser)]
#[command(
    name = "fieldcoil",
    version,
    about = "Turns a folder of lessons on starting systems into a course",
    after_help = "Exit status: 0 fine, 1 errors in the content, 2 a bad call or a failing machine."
)]
pub struct Cli {
    /// What is wanted.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands, in the order of a term; each is named after what it leaves in your hands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Begin a course or a lesson that `proof` has nothing against
    Draft(DraftArgs),
    /// Look for mistakes in the lessons and report all of them
    Proof(ProofArgs),
    /// Show the site at an address of this machine and follow every save
    Preview(PreviewArgs),
    /// Make the course site
    Site(SiteArgs),
    /// Make a class set on paper, with answer keys apart, and draw the codes of students
    Handouts(HandoutsArgs),
    /// Grade what a class has handed in
    Grade(GradeArgs),
    /// Work one calculation; without a name, list the calculators
    Work(WorkArgs),
}

/// Arguments of `site`.
#[derive(Debug, clap::Args)]
pub struct SiteArgs {
    /// The course folder
    #[arg(value_name = "COURSE", default_value = "content")]
    course: PathBuf,
    /// Folder for the site; the old site in it is replaced at the very end
    #[arg(long, value_name = "DIR", default_value = "site")]
    out: PathBuf,
    /// Also write the whole site as one zip file, for a stick or an upload
    #[arg(long, value_name = "FILE")]
    zip: Option<PathBuf>,
    /// Put compressed twins (.gz, .br) beside the pages, for a server that sends them
    #[arg(long)]
    compressed: bool,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    /// Replace the folder even if it holds files that this program did not write; they are deleted
    #[arg(long)]
    take_over: bool,
}

/// Arguments of `preview`.
#[derive(Debug, clap::Args)]
pub struct PreviewArgs {
    /// The course folder
    #[arg(value_name = "COURSE", default_value = "content")]
    course: PathBuf,
    /// The port; 0 takes any that is free. What a browser keeps of a page belongs to the port
    #[arg(long, value_name = "NUMBER", default_value_t = 8040)]
    port: u16,
    /// Serve at this address in place of the loopback address: others can then read the course
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    listen: IpAddr,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
}

/// Arguments of `draft`.
#[derive(Debug, clap::Args)]
pub struct DraftArgs {
    #[command(subcommand)]
    what: Draft,
}

/// What can be drafted. Nothing that is there is written over.
#[derive(Debug, Subcommand)]
enum Draft {
    /// A course with one lesson that has each common block
    Course {
        /// A folder that is not there yet, or is empty
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
        /// What the course is called
        #[arg(long, default_value = "Starting systems")]
        title: String,
    },
    /// A lesson that has each common block
    Lesson {
        /// A file that is not there yet, such as my-course/20-ground-side.md
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// What the lesson is called
        #[arg(long)]
        title: String,
    },
    /// A JSON Schema for each block and each TOML file, for editors
    Schemas {
        /// The folder for them
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
    },
}

/// Arguments of `proof`.
#[derive(Debug, clap::Args)]
pub struct ProofArgs {
    /// The course folder
    #[arg(value_name = "COURSE", default_value = "content")]
    course: PathBuf,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    /// How to print findings
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// Arguments of `handouts`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "The roster is a CSV file whose first line is `code,name,group`. Students without a code get one; the \
                  completed roster stands in the folder `instructor` of the handouts.\n\nExample: fieldcoil handouts my-course --roster class.csv --lesson ground-side"
)]
pub struct HandoutsArgs {
    /// The course folder
    #[arg(value_name = "COURSE", default_value = "content")]
    course: PathBuf,
    /// The class: a CSV file with the columns code, name, group; it is never changed
    #[arg(long, value_name = "FILE")]
    roster: PathBuf,
    /// Folder for the handouts, away from the site; old handouts in it are replaced at the very end
    #[arg(long, value_name = "DIR", default_value = "handouts")]
    out: PathBuf,
    /// Only this lesson, by its address, such as cables/joints; may be given many times
    #[arg(long = "lesson", value_name = "ADDRESS")]
    lessons: Vec<String>,
    /// The paper in the printer
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    paper: Paper,
    /// Set everything in 18 points
    #[arg(long)]
    large_print: bool,
    /// Begin each student on a right-hand page, for printing on both sides
    #[arg(long)]
    double_sided: bool,
    /// Print the roster's names on the students' sheets, in place of a blank line
    #[arg(long)]
    names: bool,
    /// Only draw the missing codes and write the completed roster
    #[arg(long, conflicts_with_all = ["lessons", "paper", "large_print", "double_sided", "names"])]
    codes_only: bool,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    /// Replace the folder even if files of others or codes of students who are not in the roster are lost
    #[arg(long)]
    take_over: bool,
}

/// Arguments of `grade`.
#[derive(Debug, clap::Args)]
#[command(
    allow_missing_positional = true,
    after_help = "Example: fieldcoil grade my-course handed-in --roster class.csv --lesson ground-side\n\nThe folder of grades holds marks, answers and a key: keep it private."
)]
pub struct GradeArgs {
    /// The course folder
    #[arg(value_name = "COURSE", default_value = "content")]
    course: PathBuf,
    /// Folder with the hand-in files (*.json) and tables of paper work (*.csv)
    #[arg(value_name = "HANDINS_FOLDER", required = true)]
    hand_ins: PathBuf,
    /// The class: a CSV file with the column code, and if wanted name and group
    #[arg(long, value_name = "FILE")]
    roster: PathBuf,
    /// Folder for gradebook and pages; what was graded into it before is replaced at the very end
    #[arg(long, value_name = "DIR", default_value = "grades")]
    out: PathBuf,
    /// Grade this lesson, by its address; may be given many times. Else every lesson for which anything was handed in
    #[arg(long, value_name = "ADDRESS")]
    lesson: Vec<String>,
    /// Put the names of the roster into gradebook and pages; without it codes stand alone
    #[arg(long)]
    names: bool,
    /// Treat warnings about the course as errors
    #[arg(long)]
    strict: bool,
    /// Replace the folder even if it holds files that this program did not write; they are deleted
    #[arg(long)]
    take_over: bool,
}

/// Arguments of `work`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example: fieldcoil work voltage-drop --set current_a=180 --set conductor_size=\"AWG 2\" --json"
)]
pub struct WorkArgs {
    /// Name of a calculator, such as voltage-drop
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// Set a field, with a unit if it is not the one in the field's name: run_out_m="6 ft"; text from a file: trace=@PATH; may be given many times
    #[arg(long, value_name = "FIELD=VALUE", requires = "name", allow_hyphen_values = true)]
    set: Vec<String>,
    /// List the fields with their units, ranges and starting values, and work nothing
    #[arg(long, requires = "name", conflicts_with_all = ["set", "json"])]
    fields: bool,
    /// Print the full report as JSON
    #[arg(long, requires = "name")]
    json: bool,
    /// Write the charts as SVG drawings: the first to FILE, others beside it with -2, -3 before the ending
    #[arg(long, value_name = "FILE", requires = "name", conflicts_with = "fields")]
    chart: Option<PathBuf>,
}

impl SiteArgs {
    /// What the run needs.
    pub fn into_options(self) -> SiteOptions {
        SiteOptions {
            course: CourseOptions { folder: self.course, strict: self.strict },
            out: self.out,
            zip: self.zip,
            compressed: self.compressed,
            take_over: self.take_over,
        }
    }
}

impl PreviewArgs {
    /// What the run needs.
    pub fn into_options(self) -> PreviewOptions {
        PreviewOptions {
            course: CourseOptions { folder: self.course, strict: self.strict },
            listen: self.listen,
            port: self.port,
        }
    }
}

impl DraftArgs {
    /// What the run needs.
    pub fn into_options(self) -> DraftOptions {
        match self.what {
            Draft::Course { folder, title } => DraftOptions::Course { folder, title },
            Draft::Lesson { file, title } => DraftOptions::Lesson { file, title },
            Draft::Schemas { folder } => DraftOptions::Schemas { folder },
        }
    }
}

impl ProofArgs {
    /// What the run needs.
    pub fn into_options(self) -> (CourseOptions, Format) {
        (CourseOptions { folder: self.course, strict: self.strict }, self.format)
    }
}

impl HandoutsArgs {
    /// What the run needs.
    pub fn into_options(self) -> HandoutsOptions {
        HandoutsOptions {
            course: CourseOptions { folder: self.course, strict: self.strict },
            roster: self.roster,
            out: self.out,
            lessons: self.lessons,
            settings: Settings {
                paper: self.paper,
                large_print: self.large_print,
                double_sided: self.double_sided,
                names: self.names,
            },
            codes_only: self.codes_only,
            take_over: self.take_over,
        }
    }
}

impl GradeArgs {
    /// What the run needs.
    pub fn into_options(self) -> GradeOptions {
        GradeOptions {
            course: CourseOptions { folder: self.course, strict: self.strict },
            hand_ins: self.hand_ins,
            roster: self.roster,
            out: self.out,
            lessons: self.lesson,
            names: self.names,
            take_over: self.take_over,
        }
    }
}

impl WorkArgs {
    /// What the run needs.
    pub fn into_options(self) -> WorkOptions {
        WorkOptions {
            name: self.name,
            set: self.set,
            json: self.json,
            fields: self.fields,
            chart: self.chart,
        }
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_command_line_is_sound() {
        Cli::command().debug_assert();
    }
}
