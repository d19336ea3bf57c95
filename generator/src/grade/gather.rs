//! Who handed in what: hand-ins and paper brought together by student and lesson, and what does not fit flagged.

use std::collections::{BTreeMap, BTreeSet};

use fieldcoil_calc::homework::code::Code;
use fieldcoil_calc::homework::draw;

use super::flag::{Flag, FlagKind};
use super::handin::{Checklist, HandIn, Moment};
use super::paper::{Entry, Row};
use super::plan::{GradedLesson, Plan};
use crate::finding::nearest::{distance, nearest};
use crate::finding::shown;
use crate::roster::Roster;

/// What a student handed in for a lesson.
#[derive(Debug, Clone, Default)]
pub struct Submission {
    /// When, by the student's clock; nothing on paper.
    pub handed_in: Option<Moment>,
    /// Is there a file?
    pub in_file: bool,
    /// Is there paper?
    pub on_paper: bool,
    /// Answers as written, by the places of problem and ask.
    pub answers: BTreeMap<(usize, usize), String>,
    /// Answers in words, by the places of problem and reason.
    pub reasons: BTreeMap<(usize, usize), String>,
    /// Points given by hand, by the places of problem and reason.
    pub by_hand: BTreeMap<(usize, usize), f64>,
    /// Readings as written, by the places of sheet and reading.
    pub readings: BTreeMap<(usize, usize), String>,
    /// Checklists.
    pub checklists: Vec<Checklist>,
}

impl Submission {
    /// How it came.
    pub fn how(&self) -> &'static str {
        match (self.in_file, self.on_paper) {
            (true, true) => "file and paper",
            (true, false) => "file",
            _ => "paper",
        }
    }
}

/// All that was handed in.
#[derive(Debug, Default)]
pub struct Gathered {
    /// By the places of student and lesson.
    pub work: BTreeMap<(usize, usize), Submission>,
    /// Lessons that are graded, in teaching order.
    pub lessons: Vec<usize>,
    /// What does not fit.
    pub flags: Vec<Flag>,
}

/// Brings everything together. Without wanted lessons, those count for which anything was handed in.
pub fn gather(
    plan: &Plan,
    roster: &Roster,
    hand_ins: Vec<HandIn>,
    rows: Vec<Row>,
    wanted: &BTreeSet<usize>,
) -> Gathered {
    let codes = roster.students.iter().enumerate().filter_map(|(at, student)| Some((student.code?, at)));
    let mut gathering =
        Gathering { plan, codes: codes.collect(), wanted, work: BTreeMap::new(), flags: Vec::new() };
    gathering.files(hand_ins);
    gathering.paper(rows);
    let mut lessons: BTreeSet<usize> = wanted.clone();
    if wanted.is_empty() {
        lessons.extend(gathering.work.keys().map(|(_, lesson)| *lesson));
    }
    for lesson in &lessons {
        for (code, student) in &gathering.codes {
            if !gathering.work.contains_key(&(*student, *lesson)) {
                let flag =
                    (plan.lessons[*lesson].address, FlagKind::Missing, "Nothing was handed in.".to_owned());
                gathering.flags.push(Flag::of(code.to_string(), flag.0, flag.1, flag.2));
            }
        }
    }
    Gathered { work: gathering.work, lessons: lessons.into_iter().collect(), flags: gathering.flags }
}

struct Gathering<'g> {
    plan: &'g Plan<'g>,
    codes: BTreeMap<Code, usize>,
    wanted: &'g BTreeSet<usize>,
    work: BTreeMap<(usize, usize), Submission>,
    flags: Vec<Flag>,
}

impl Gathering<'_> {
    fn is_wanted(&self, lesson: usize) -> bool {
        self.wanted.is_empty() || self.wanted.contains(&lesson)
    }

    /// Hand-ins that belong to a student and a lesson, the latest of each.
    fn files(&mut self, hand_ins: Vec<HandIn>) {
        let mut all: BTreeMap<(usize, usize), Vec<HandIn>> = BTreeMap::new();
        for hand_in in hand_ins {
            if let Some(place) = self.place_of(&hand_in) {
                all.entry(place).or_default().push(hand_in);
            }
        }
        for ((student, lesson), mut several) in all {
            several.sort_by(|one, other| (&one.handed_in, &one.file).cmp(&(&other.handed_in, &other.file)));
            let Some(latest) = several.pop() else { continue };
            for earlier in &several {
                let when =
                    |hand_in: &HandIn| hand_in.handed_in.as_ref().map_or("no time", Moment::text).to_owned();
                let says = format!(
                    "Handed in more than once: `{}` ({}) counts, this one ({}) does not.",
                    shown(&latest.file),
                    when(&latest),
                    when(earlier)
                );
                self.flag(earlier, FlagKind::Duplicate, says);
            }
            let submission = self.submission(&latest, &self.plan.lessons[lesson]);
            self.work.insert((student, lesson), submission);
        }
    }

    fn flag(&mut self, hand_in: &HandIn, kind: FlagKind, says: String) {
        let code = hand_in.code.map_or_else(|| shown(&hand_in.code_text), |code| code.to_string());
        self.flags.push(Flag::of(code, &shown(&hand_in.lesson), kind, says).in_file(&hand_in.file));
    }

    /// Whose work it is and for which lesson; what else does not fit is flagged.
    fn place_of(&mut self, hand_in: &HandIn) -> Option<(usize, usize)> {
        let plan = self.plan;
        if hand_in.course != plan.course {
            let says = format!(
                "It is for the course “{}”, not “{}”, and was not counted.",
                shown(&hand_in.course),
                plan.course
            );
            self.flag(hand_in, FlagKind::OtherCourse, says);
            return None;
        }
        let Some(lesson) = plan.lesson(&hand_in.lesson) else {
            let near = nearest(&hand_in.lesson, plan.lessons.iter().map(|lesson| lesson.address));
            let near = near.map(|near| format!(" Did it mean `{near}`?")).unwrap_or_default();
            let says = format!(
                "The course has no lesson `{}` with anything to hand in; it was not counted.{near}",
                shown(&hand_in.lesson)
            );
            self.flag(hand_in, FlagKind::UnknownLesson, says);
            return None;
        };
        if !self.is_wanted(lesson) {
            return None;
        }
        let Some(student) = hand_in.code.and_then(|code| self.codes.get(&code).copied()) else {
            let says = self.not_on_the_roster(&hand_in.code_text);
            self.flag(hand_in, FlagKind::UnknownCode, says);
            return None;
        };
        for (kind, what, own, other) in [
            (FlagKind::OtherEdition, "edition", plan.edition, &hand_in.edition),
            (FlagKind::OtherTerm, "term", plan.term.name.as_str(), &hand_in.term),
            (FlagKind::OtherKey, "key", plan.term.key.as_str(), &hand_in.key),
        ] {
            // Each term has a key of its own: another term says all.
            let is_said = kind == FlagKind::OtherKey && plan.term.name != hand_in.term;
            if own != other && !is_said {
                let says = format!(
                    "It was made with the {what} “{}”, and the course has “{own}”; it was marked with this course's numbers.",
                    shown(other)
                );
                self.flag(hand_in, kind, says);
            }
        }
        if hand_in.draw != u64::from(draw::VERSION) {
            let says = format!(
                "Its numbers were drawn by version {} of the rule; they were worked by version {}.",
                hand_in.draw,
                draw::VERSION
            );
            self.flag(hand_in, FlagKind::OtherDraw, says);
        }
        match (&hand_in.started, &hand_in.handed_in) {
            (_, None) => {
                self.flag(hand_in, FlagKind::Times, "It does not say when it was handed in.".to_owned());
            }
            (Some(started), Some(handed_in)) if handed_in < started => {
                let says = format!(
                    "Handed in at {}, before it was begun at {}: the clock was wrong or the file was edited.",
                    handed_in.text(),
                    started.text()
                );
                self.flag(hand_in, FlagKind::Times, says);
            }
            _ => {}
        }
        Some((student, lesson))
    }

    fn not_on_the_roster(&self, written: &str) -> String {
        let mut near: Vec<String> = Vec::new();
        let plain: String = written.chars().filter(|c| c.is_ascii_alphanumeric()).take(20).collect();
        for code in self.codes.keys() {
            if distance(&plain, &code.plain()) == 1 {
                near.push(code.to_string());
            }
        }
        let near =
            if near.is_empty() { String::new() } else { format!(" One letter off: {}.", near.join(", ")) };
        format!("The code “{}” is not on the roster; it was not counted.{near}", shown(written))
    }

    fn submission(&mut self, hand_in: &HandIn, lesson: &GradedLesson) -> Submission {
        let mut unknown: BTreeSet<String> = BTreeSet::new();
        let mut all = Submission {
            handed_in: hand_in.handed_in.clone(),
            in_file: true,
            checklists: hand_in.checklists.clone(),
            ..Submission::default()
        };
        for work in &hand_in.homework {
            let Some(at) = lesson.homework.iter().position(|(own, _)| own.name.value == work.name) else {
                unknown.insert(format!("the problem `{}`", shown(&work.name)));
                continue;
            };
            let (homework, item) = lesson.homework[at];
            for (name, answer) in &work.answers {
                match item.asks.iter().position(|ask| ask.name == *name) {
                    Some(ask) => drop(all.answers.insert((at, ask), answer.clone())),
                    None => drop(unknown.insert(format!("the answer `{}.{}`", work.name, shown(name)))),
                }
            }
            for (place, reason) in work.reasons.iter().enumerate() {
                if place < homework.reasons.len() {
                    all.reasons.insert((at, place), reason.clone());
                } else if !reason.trim().is_empty() {
                    unknown.insert(format!("the reason {} of `{}`", place + 1, work.name));
                }
            }
        }
        for sheet in &hand_in.sheets {
            let Some(at) = lesson.sheets.iter().position(|own| own.id == sheet.sheet) else {
                unknown.insert(format!("the sheet `{}`", shown(&sheet.sheet)));
                continue;
            };
            for (name, value) in &sheet.values {
                let readings = &lesson.sheets[at].readings;
                match readings.iter().position(|reading| reading.name.value == *name) {
                    Some(reading) => drop(all.readings.insert((at, reading), value.clone())),
                    None => drop(unknown.insert(format!("the reading `{}`", shown(name)))),
                }
            }
        }
        for list in &hand_in.checklists {
            if lesson.hookup(&list.list).is_none() {
                unknown.insert(format!("the checklist `{}`", shown(&list.list)));
            }
        }
        if !unknown.is_empty() {
            let more = unknown.len().saturating_sub(MOST_NAMED);
            let named: Vec<String> = unknown.into_iter().take(MOST_NAMED).collect();
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            let says = format!(
                "The lesson has not got {}{more}: the page was of another edition, or the file was edited.",
                named.join(", ")
            );
            self.flag(hand_in, FlagKind::UnknownItem, says);
        }
        all
    }

    /// Paper, laid over the files: what was typed in a file counts before it, and differences are flagged.
    fn paper(&mut self, rows: Vec<Row>) {
        // What paper has said, and whether it counts: else a file had said it before.
        let mut said: BTreeMap<(usize, usize, Slot), bool> = BTreeMap::new();
        for row in rows {
            let Some((lesson, slot, text)) = self.slot(&row) else { continue };
            if !self.is_wanted(lesson) {
                continue;
            }
            let Some(student) = self.codes.get(&row.code).copied() else {
                let says = self.not_on_the_roster(&row.code.to_string());
                self.flag_row(&row, FlagKind::UnknownCode, says);
                continue;
            };
            let earlier = said.get(&(student, lesson, slot)).copied();
            let is_second = earlier == Some(true);
            let submission = self.work.entry((student, lesson)).or_default();
            let by_hand = matches!(slot, Slot::Points(..));
            submission.on_paper |= !by_hand || !submission.in_file;
            let before = submission.put(slot, text.clone(), is_second);
            said.insert((student, lesson, slot), is_second || before.is_none());
            match before {
                Some(before) if is_second && before != text => {
                    let says = format!(
                        "{} stands twice on paper: “{}” counts, “{}” does not.",
                        self.slot_words(lesson, slot),
                        shown(&text),
                        shown(&before)
                    );
                    self.flag_row(&row, FlagKind::Duplicate, says);
                }
                Some(before) if !is_second && before.trim() != text.trim() => {
                    let says = format!(
                        "{} is “{}” in the file, which counts, and “{}” on paper.",
                        self.slot_words(lesson, slot),
                        shown(&before),
                        shown(&text)
                    );
                    self.flag_row(&row, FlagKind::PaperAndFile, says);
                }
                _ => {}
            }
        }
    }

    fn flag_row(&mut self, row: &Row, kind: FlagKind, says: String) {
        let lesson = match &row.entry {
            Entry::Reading { lesson, .. } => shown(lesson),
            Entry::Answer { homework, .. } | Entry::Points { homework, .. } => self
                .plan
                .problem(homework)
                .map_or(String::new(), |(lesson, _)| self.plan.lessons[lesson].address.to_owned()),
        };
        let says = format!("Line {}: {says}", row.line);
        self.flags.push(Flag::of(row.code.to_string(), &lesson, kind, says).in_file(&row.file));
    }

    /// Where a row belongs: lesson, slot and what it says. What the course has not got is flagged.
    fn slot(&mut self, row: &Row) -> Option<(usize, Slot, String)> {
        let found = self.find_slot(row);
        match found {
            Ok(found) => Some(found),
            Err((kind, says)) => {
                self.flag_row(row, kind, says);
                None
            }
        }
    }

    fn find_slot(&self, row: &Row) -> Result<(usize, Slot, String), (FlagKind, String)> {
        let plan = self.plan;
        let unknown = |says: String| (FlagKind::UnknownItem, says);
        let problem = |name: &str| {
            plan.problem(name).ok_or_else(|| unknown(format!("The course has no problem `{}`.", shown(name))))
        };
        match &row.entry {
            Entry::Answer { homework, ask, answer } => {
                let (lesson, at) = problem(homework)?;
                let asks = &plan.lessons[lesson].homework[at].1.asks;
                let ask = asks.iter().position(|own| own.name == *ask).ok_or_else(|| {
                    unknown(format!("The problem `{}` asks for no `{}`.", shown(homework), shown(ask)))
                })?;
                Ok((lesson, Slot::Answer(at, ask), answer.clone()))
            }
            Entry::Points { homework, reason, points } => {
                let (lesson, at) = problem(homework)?;
                let reasons = &plan.lessons[lesson].homework[at].0.reasons;
                let possible = reasons.get(reason - 1).map(|own| own.points).ok_or_else(|| {
                    unknown(format!("The problem `{}` has no reason {reason}.", shown(homework)))
                })?;
                if *points > possible {
                    let says = format!(
                        "{points} points were given, and there are {possible}; they were not counted."
                    );
                    return Err((FlagKind::Points, says));
                }
                Ok((lesson, Slot::Points(at, reason - 1), points.to_string()))
            }
            Entry::Reading { lesson, sheet, reading, value } => {
                let lesson = plan.lesson(lesson).ok_or_else(|| {
                    let says = format!("The course has no lesson `{}` with a sheet.", shown(lesson));
                    (FlagKind::UnknownLesson, says)
                })?;
                let mut found = Vec::new();
                for (at, own) in plan.lessons[lesson].sheets.iter().enumerate() {
                    let is_meant = sheet.as_ref().is_none_or(|sheet| *sheet == own.id);
                    let place = own.readings.iter().position(|own| own.name.value == *reading);
                    found.extend(place.filter(|_| is_meant).map(|place| (at, place)));
                }
                match found[..] {
                    [(at, place)] => Ok((lesson, Slot::Reading(at, place), value.clone())),
                    [] => Err(unknown(format!("No sheet of the lesson has a reading `{}`.", shown(reading)))),
                    _ => {
                        let says = format!(
                            "Several sheets have a reading `{}`: name one in a column `sheet`.",
                            shown(reading)
                        );
                        Err(unknown(says))
                    }
                }
            }
        }
    }

    fn slot_words(&self, lesson: usize, slot: Slot) -> String {
        let lesson = &self.plan.lessons[lesson];
        match slot {
            Slot::Answer(at, ask) => {
                let (homework, item) = lesson.homework[at];
                format!("The answer `{}.{}`", homework.name.value, item.asks[ask].name)
            }
            Slot::Reading(at, reading) => {
                format!("The reading `{}`", lesson.sheets[at].readings[reading].name.value)
            }
            Slot::Points(at, reason) => {
                format!("The reason {} of `{}`", reason + 1, lesson.homework[at].0.name.value)
            }
        }
    }
}

/// How many things a flag names.
const MOST_NAMED: usize = 5;

/// A place that a row fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Slot {
    Answer(usize, usize),
    Reading(usize, usize),
    Points(usize, usize),
}

impl Submission {
    /// Fills a place from paper; gives what was there. What stands in a file stays, what stood on paper is replaced.
    fn put(&mut self, slot: Slot, text: String, is_second: bool) -> Option<String> {
        let texts = match slot {
            Slot::Points(problem, reason) => {
                let points = text.parse().unwrap_or_default();
                return self.by_hand.insert((problem, reason), points).map(|points| points.to_string());
            }
            Slot::Answer(problem, ask) => self.answers.entry((problem, ask)),
            Slot::Reading(sheet, reading) => self.readings.entry((sheet, reading)),
        };
        let own = texts.or_default();
        if own.trim().is_empty() {
            *own = text;
            return None;
        }
        let before = own.clone();
        if is_second {
            *own = text;
        }
        Some(before)
    }
}
