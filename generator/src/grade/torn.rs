//! Files that cannot be read, told apart by their names: a page names a hand-in after its lesson and its student.

use fieldcoil_calc::homework::code::Code;

use super::flag::{Flag, FlagKind};
use super::plan::Plan;
use crate::finding::shown;
use crate::roster::Roster;

/// Gives flags about files that cannot be read the student and the lesson in the file's name, and says in the flag of
/// who handed nothing in that there is such a file.
pub fn connect(plan: &Plan, roster: &Roster, flags: &mut [Flag]) {
    let mut torn = Vec::new();
    for flag in flags.iter_mut().filter(|flag| flag.kind == FlagKind::Unreadable && flag.code.is_empty()) {
        let Some((lesson, code)) = named(plan, &flag.file) else { continue };
        if roster.find(code).is_some() {
            flag.code = code.to_string();
            lesson.clone_into(&mut flag.lesson);
            torn.push((flag.code.clone(), flag.lesson.clone(), flag.file.clone()));
        }
    }
    for flag in flags.iter_mut().filter(|flag| flag.kind == FlagKind::Missing) {
        if let Some((.., file)) =
            torn.iter().find(|(code, lesson, _)| *code == flag.code && *lesson == flag.lesson)
        {
            flag.says = format!("Nothing that can be read was handed in: see `{}`.", shown(file));
        }
    }
}

/// Lesson and code of `handin_LESSON_CODE.json`; a browser puts ` (1)` behind a name that is taken.
fn named<'p>(plan: &'p Plan, file: &str) -> Option<(&'p str, Code)> {
    let name = file.rsplit('/').next()?.strip_prefix("handin_")?;
    let (lesson, rest) = name.rsplit_once('_')?;
    let code: String = rest.chars().take_while(|sign| sign.is_ascii_alphanumeric() || *sign == '-').collect();
    let code = Code::read(&code).ok()?;
    let lesson = plan.lessons.iter().find(|one| one.address.replace('/', "-") == lesson)?;
    Some((lesson.address, code))
}
