//! Work that was handed in, graded: tables for the instructor and a page for each student.
//!
//! Nothing that is read is trusted: `handin` and `paper` say what is wrong with a file and go on with the next.
//! `gather` brings files and paper together by student and lesson, `marked` works every answer again with the same
//! library as the page and the handouts, and `bench` and `copied` look for what cannot be. All of it is a function
//! of the course, the roster and the files: the same input gives the same bytes.

mod bench;
mod books;
mod copied;
mod flag;
mod gather;
pub mod handin;
mod marked;
mod outcome;
mod pages;
pub mod paper;
mod plan;
mod statistics;
mod table;
mod torn;

use std::collections::{BTreeMap, BTreeSet};
use std::thread;

use anyhow::Result;
use fieldcoil_calc::homework::code::Code;

pub use flag::{Flag, FlagKind};
use gather::{Gathered, Submission};
use marked::{Marked, RightAnswers};
pub use plan::{GradedLesson, Plan};

use crate::complaint::Complaint;
use crate::course::Course;
use crate::roster::Roster;
use crate::site::Site;

/// A file as it was found in the folder of hand-ins.
#[derive(Debug, Clone)]
pub struct Given {
    /// Its path below the folder.
    pub file: String,
    /// Its bytes; why there are none when it could not or must not be read.
    pub bytes: Result<Vec<u8>, Complaint>,
}

/// How it is graded.
#[derive(Debug, Clone, Default)]
pub struct Wishes {
    /// Places of the lessons to grade in the plan; those for which anything was handed in when there are none.
    pub lessons: BTreeSet<usize>,
    /// Do names of students go into the output?
    pub names: bool,
}

/// What came of it.
#[derive(Debug)]
pub struct Graded {
    /// Tables and pages.
    pub site: Site,
    /// Files and rows that could not be read.
    pub complaints: Vec<Complaint>,
    /// Students on the roster who have a code.
    pub students: usize,
    /// Lessons that were graded.
    pub lessons: usize,
    /// How many flags there are.
    pub flags: usize,
    /// Reasons that are still to be marked by hand.
    pub to_mark: usize,
}

/// A class with its work, as tables and pages see it.
#[derive(Debug)]
struct Class<'c> {
    course: &'c Course,
    plan: &'c Plan<'c>,
    roster: &'c Roster,
    names: bool,
    /// One for each student and lesson, in the order of the roster and of the lessons.
    entries: Vec<Entry<'c>>,
    flags: Vec<Flag>,
    /// Places of the graded lessons.
    lessons: &'c [usize],
}

/// One student and one lesson.
#[derive(Debug)]
struct Entry<'c> {
    student: usize,
    code: Code,
    lesson: usize,
    submission: Option<&'c Submission>,
    marked: Option<Marked>,
    /// What of the readings cannot be or is no number: the student sees it too.
    remarks: Vec<String>,
    /// How many flags are about it.
    flags: usize,
}

impl<'c> Class<'c> {
    fn lesson(&self, entry: &Entry) -> &'c GradedLesson<'c> {
        &self.plan.lessons[entry.lesson]
    }

    /// Entries for which something was handed in.
    fn with_work(&self) -> impl Iterator<Item = (&Entry<'c>, &Marked)> {
        self.entries.iter().filter_map(|entry| Some((entry, entry.marked.as_ref()?)))
    }

    /// A student's name, where names are wanted.
    fn name_of(&self, student: usize) -> String {
        if self.names { self.roster.students[student].name.clone() } else { String::new() }
    }

    /// The name of who has a code, where names are wanted.
    fn name_by(&self, code: &str) -> String {
        let student = Code::read(code).ok().and_then(|code| self.roster.find(code));
        student.filter(|_| self.names).map(|student| student.name.clone()).unwrap_or_default()
    }

    fn entries_code(&self, student: usize) -> String {
        self.roster.students[student].code.map(|code| code.to_string()).unwrap_or_default()
    }
}

/// Grades a class. `progress` is told how many students of how many are done.
///
/// # Errors
/// When a template of the theme is broken, which no input can bring about.
pub fn class(
    course: &Course,
    plan: &Plan,
    roster: &Roster,
    given: Vec<Given>,
    wishes: &Wishes,
    progress: &mut dyn FnMut(usize, usize),
) -> Result<Graded> {
    let mut complaints = Vec::new();
    let mut hand_ins = Vec::new();
    let mut rows = Vec::new();
    for Given { file, bytes } in given {
        match bytes {
            Err(complaint) => complaints.push(complaint),
            Ok(bytes) if is_table(&file) => {
                let (more, found) = paper::read(&file, &bytes);
                rows.extend(more);
                complaints.extend(found);
            }
            Ok(bytes) => match handin::read(&file, &bytes) {
                Ok(hand_in) => hand_ins.push(hand_in),
                Err(found) => complaints.extend(found),
            },
        }
    }
    let Gathered { work, lessons, mut flags } = gather::gather(plan, roster, hand_ins, rows, &wishes.lessons);
    flags.extend(complaints.iter().map(paper::as_flag));
    torn::connect(plan, roster, &mut flags);

    let mut entries = entries(plan, roster, &lessons, &work, progress);
    // With numbers of another draw an answer that fits somebody's numbers fits them by chance.
    let drawn_otherwise: BTreeSet<(String, String)> = flags
        .iter()
        .filter(|flag| matches!(flag.kind, FlagKind::OtherTerm | FlagKind::OtherKey | FlagKind::OtherDraw))
        .map(|flag| (flag.code.clone(), flag.lesson.clone()))
        .collect();
    let copied = others_numbers(plan, &lessons, &entries);
    flags.extend(
        copied
            .into_iter()
            .filter(|flag| !drawn_otherwise.contains(&(flag.code.clone(), flag.lesson.clone()))),
    );
    flags.extend(remark(plan, &mut entries));
    flags.sort();
    flags.dedup();
    count_flags(plan, &mut entries, &flags);

    let students = roster.students.iter().filter(|student| student.code.is_some()).count();
    let class = Class { course, plan, roster, names: wishes.names, entries, flags, lessons: &lessons };
    let to_mark = class.with_work().map(|(_, marked)| marked.points_by_hand().1).sum();
    let site = pages::site(&class)?;
    Ok(Graded { site, complaints, students, lessons: lessons.len(), flags: class.flags.len(), to_mark })
}

/// Is it a table of paper work? Else it is a hand-in.
pub fn is_table(file: &str) -> bool {
    file.rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("csv"))
}

fn entries<'c>(
    plan: &Plan,
    roster: &Roster,
    lessons: &[usize],
    work: &'c BTreeMap<(usize, usize), Submission>,
    progress: &mut dyn FnMut(usize, usize),
) -> Vec<Entry<'c>> {
    let places: Vec<usize> = (0..roster.students.len()).collect();
    let mut entries = Vec::with_capacity(places.len() * lessons.len());
    for batch in places.chunks(BATCH) {
        entries.extend(side_by_side(batch, |&student| {
            let Some(code) = roster.students[student].code else { return Vec::new() };
            let own = lessons.iter().map(|&lesson| {
                let submission = work.get(&(student, lesson));
                let marked = submission
                    .map(|submission| marked::marked(plan, &plan.lessons[lesson], code, submission));
                Entry { student, code, lesson, submission, marked, remarks: Vec::new(), flags: 0 }
            });
            own.collect()
        }));
        progress(batch.last().map_or(0, |last| last + 1), places.len());
    }
    entries
}

/// How many students are marked between two words about how far it is.
const BATCH: usize = 16;

/// What `work` gives for each of `all`, in their order, whatever number of processors shares it.
fn side_by_side<I: Sync, O: Send>(all: &[I], work: impl Fn(&I) -> Vec<O> + Sync) -> Vec<O> {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let share = all.len().div_ceil(threads).max(1);
    let work = &work;
    thread::scope(|scope| {
        let parts: Vec<_> = all
            .chunks(share)
            .map(|part| scope.spawn(move || part.iter().flat_map(work).collect::<Vec<O>>()))
            .collect();
        let done = parts.into_iter().flat_map(|part| part.join().expect("a panic would be a bug in marking"));
        done.collect()
    })
}

/// Answers that are right for somebody else's numbers.
fn others_numbers(plan: &Plan, lessons: &[usize], entries: &[Entry]) -> Vec<Flag> {
    side_by_side(lessons, |&at| {
        let lesson = &plan.lessons[at];
        let own = entries.iter().filter(|entry| entry.lesson == at);
        let class = || own.clone().map(|entry| (entry.code, entry.marked.as_ref()));
        let problems = lesson.homework.iter().enumerate();
        let right: Vec<RightAnswers> =
            problems.map(|(problem, (_, item))| RightAnswers::gather(plan, item, problem, class())).collect();
        let flags = own.clone().filter_map(|entry| {
            let says = copied::of_others(lesson, entry.marked.as_ref()?, entry.code, &right)?;
            Some(Flag::of(entry.code.to_string(), lesson.address, FlagKind::OthersNumbers, says))
        });
        flags.collect()
    })
}

/// Readings that cannot be true or are no numbers.
fn remark(plan: &Plan, entries: &mut [Entry]) -> Vec<Flag> {
    let mut flags = Vec::new();
    for entry in entries {
        let lesson = &plan.lessons[entry.lesson];
        let (Some(marked), Some(submission)) = (&entry.marked, entry.submission) else { continue };
        let kinds = [
            (FlagKind::Impossible, bench::impossible(lesson, marked, submission)),
            (FlagKind::NoReading, bench::unreadable(lesson, marked)),
        ];
        for (kind, found) in kinds {
            for says in found {
                entry.remarks.push(says.clone());
                flags.push(Flag::of(entry.code.to_string(), lesson.address, kind, says));
            }
        }
    }
    flags
}

fn count_flags(plan: &Plan, entries: &mut [Entry], flags: &[Flag]) {
    let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for flag in flags {
        *counts.entry((&flag.code, &flag.lesson)).or_default() += 1;
    }
    for entry in entries {
        let code = entry.code.to_string();
        let address = plan.lessons[entry.lesson].address;
        entry.flags = counts.get(&(code.as_str(), address)).copied().unwrap_or_default();
    }
}
