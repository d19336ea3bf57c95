//! What of a lesson is given out on paper, and which lessons have any.

use anyhow::{Result, bail};

use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_calc::homework::item::{Item, Numbers};

use crate::course::selfcheck::Selfcheck;
use crate::course::{Course, Homework, Lesson, Outline, Piece, Term, Worksheet};
use crate::finding::nearest::nearest;
use crate::finding::shown;

/// The problems of a lesson that can be worked. A problem that cannot is a finding, which stops a class set before.
pub fn homework<'l>(lesson: &'l Lesson<'_>) -> impl Iterator<Item = (&'l Homework, &'l Item)> {
    lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Homework(homework) => Some((&**homework, homework.item.as_ref()?)),
        _ => None,
    })
}

/// The worksheets of a lesson.
pub fn worksheets<'l>(lesson: &'l Lesson<'_>) -> impl Iterator<Item = &'l Worksheet> {
    lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Worksheet(worksheet) => Some(worksheet),
        _ => None,
    })
}

/// The self-checks of a lesson.
pub fn selfchecks<'l>(lesson: &'l Lesson<'_>) -> impl Iterator<Item = &'l Selfcheck> {
    lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Selfcheck(selfcheck) => Some(selfcheck),
        _ => None,
    })
}

/// Is there anything of this lesson to give out?
pub fn has_work(lesson: &Outline) -> bool {
    heading(lesson).is_some()
}

/// The name of the words for what a lesson gives out; nothing when there is none.
pub fn heading(lesson: &Outline) -> Option<&'static str> {
    Some(match (lesson.holds.homework, lesson.holds.worksheet, lesson.holds.selfcheck) {
        (true, true, true) => "handout.all",
        (true, true, false) => "handout.sheet",
        (true, false, true) => "handout.homework_and_selfcheck",
        (true, false, false) => "handout.homework",
        (false, true, true) => "handout.worksheet_and_selfcheck",
        (false, true, false) => "handout.worksheet",
        (false, false, true) => "handout.selfcheck",
        (false, false, false) => return None,
    })
}

/// A student's numbers in graded work.
pub fn numbers(item: &Item, term: &Term, code: &str) -> Numbers {
    item.numbers(&Lot { key: &term.key, code, attempt: 0 })
}

/// The lessons that are wanted: those with these addresses, in the course's order, or all with something to give out.
///
/// # Errors
/// An address that no lesson has, a lesson without work, a course without any, or without a term where there are numbers to draw.
pub fn choose<'c>(course: &'c Course, wanted: &[String]) -> Result<Vec<&'c Outline>> {
    let addresses = || course.lessons.iter().map(|lesson| lesson.address.as_str());
    let ready: Vec<&str> = course
        .lessons
        .iter()
        .filter(|lesson| has_work(lesson))
        .map(|lesson| lesson.address.as_str())
        .collect();
    for address in wanted {
        let Some(lesson) = course.lessons.iter().find(|lesson| lesson.address == *address) else {
            let help = match nearest(address, addresses()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are `{}`", addresses().collect::<Vec<_>>().join("`, `")),
            };
            bail!("no lesson has the address `{}`; {help}", shown(address));
        };
        if !has_work(lesson) {
            let others = match ready.as_slice() {
                [] => "no lesson of this course has".to_owned(),
                ready => format!("`{}` have", ready.join("`, `")),
            };
            bail!("the lesson `{address}` has no homework, worksheet or self-check to give out; {others}");
        }
    }
    if ready.is_empty() {
        bail!(
            "no lesson of this course has homework, a worksheet or a self-check to give out; add a block `homework`, \
             `worksheet` or `selfcheck`"
        );
    }
    let chosen = |lesson: &&Outline| match wanted {
        [] => has_work(lesson),
        wanted => wanted.contains(&lesson.address),
    };
    let chosen: Vec<&Outline> = course.lessons.iter().filter(chosen).collect();
    let draws = chosen.iter().any(|lesson| lesson.holds.homework);
    if course.about.term.is_none() && draws {
        bail!(
            "the course has no term to draw numbers for; add a table `[term]` to its `course.toml` with \
             `name = \"Autumn 2026\"`, `starts = 2026-09-07` and a `key`, any text that is new each term"
        );
    }
    Ok(chosen)
}
