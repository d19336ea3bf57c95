//! The hand-in file, version 1: what a student did on one lesson, as JSON.

use super::json::{Json, quote};

/// The version of the file.
pub const VERSION: u64 = 1;
/// A larger file is none of ours.
pub const LARGEST: usize = 256_000;

/// What is handed in. All texts are as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct HandIn {
    /// Title of the course.
    pub course: String,
    /// Its edition.
    pub edition: String,
    /// The term's name.
    pub term: String,
    /// The lesson's address.
    pub lesson: String,
    /// The student's code with its hyphen.
    pub code: String,
    /// Version of the rule that draws.
    pub draw: u64,
    /// The term's key.
    pub key: String,
    /// Version of the program that made the page.
    pub tool: String,
    /// When the student began, by the student's clock: `2026-11-26T15:48:00Z`.
    pub started: String,
    /// When the file was made, by the same clock.
    pub handed_in: String,
    /// Problems.
    pub homework: Vec<Work>,
    /// Worksheets.
    pub readings: Vec<Work>,
    /// Checklists.
    pub checklists: Vec<List>,
}

/// What was filled in on one problem, or on one worksheet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Work {
    /// The problem's name, or the sheet's anchor.
    pub name: String,
    /// Names of asks or readings, and what was typed for each.
    pub values: Vec<(String, String)>,
    /// What was written for reasons or questions, in order.
    pub words: Vec<String>,
}

/// What the file calls a list of works and their name, values and words.
type Called = [&'static str; 4];
const HOMEWORK: Called = ["homework", "name", "answers", "reasons"];
const READINGS: Called = ["readings", "sheet", "values", "answers"];

/// How far a checklist is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct List {
    /// The hookup's name, or else its anchor.
    pub list: String,
    /// Steps done.
    pub done: u64,
    /// Steps there are.
    pub of: u64,
    /// What stands in the boxes for initials.
    pub initials: Vec<String>,
    /// Steps energized, and for how many milliseconds.
    pub energized_ms: Vec<(String, u64)>,
}

/// Why a file is no hand-in of this version.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandInProblem {
    /// It is too large.
    Large,
    /// It is no JSON, or says nothing of a hand-in.
    Other,
    /// It is of another version.
    Version,
}

impl HandIn {
    /// The file's text.
    pub fn write(&self) -> String {
        let mut out = Writer::default();
        out.open('{');
        out.number("fieldcoil_hand_in", VERSION);
        for (name, text) in [
            ("course", &self.course),
            ("edition", &self.edition),
            ("term", &self.term),
            ("lesson", &self.lesson),
            ("code", &self.code),
        ] {
            out.text(name, text);
        }
        out.number("draw", self.draw);
        for (name, text) in [
            ("key", &self.key),
            ("tool", &self.tool),
            ("started", &self.started),
            ("handed_in", &self.handed_in),
        ] {
            out.text(name, text);
        }
        out.works(HOMEWORK, &self.homework);
        out.works(READINGS, &self.readings);
        out.name("checklists");
        out.open('[');
        for list in &self.checklists {
            out.open('{');
            out.text("list", &list.list);
            out.number("done", list.done);
            out.number("of", list.of);
            out.texts("initials", &list.initials);
            out.name("energized_ms");
            out.open('{');
            for (step, ms) in &list.energized_ms {
                out.number(step, *ms);
            }
            out.close('}');
            out.close('}');
        }
        out.close(']');
        out.close('}');
        out.text.push('\n');
        out.text
    }

    /// What a file says. Unknown names are passed over, and what is missing is empty.
    ///
    /// # Errors
    /// Why it is no hand-in.
    pub fn read(text: &str) -> Result<HandIn, HandInProblem> {
        if text.len() > LARGEST {
            return Err(HandInProblem::Large);
        }
        let file = Json::read(text).ok_or(HandInProblem::Other)?;
        match file.number("fieldcoil_hand_in") {
            Some(VERSION) => {}
            Some(_) => return Err(HandInProblem::Version),
            None => return Err(HandInProblem::Other),
        }
        let text = |name: &str| file.text(name).unwrap_or_default().to_owned();
        Ok(HandIn {
            course: text("course"),
            edition: text("edition"),
            term: text("term"),
            lesson: text("lesson"),
            code: text("code"),
            draw: file.number("draw").unwrap_or_default(),
            key: text("key"),
            tool: text("tool"),
            started: text("started"),
            handed_in: text("handed_in"),
            homework: works(&file, HOMEWORK),
            readings: works(&file, READINGS),
            checklists: file.list("checklists").iter().map(list).collect(),
        })
    }

    /// The name of the file.
    pub fn file_name(&self) -> String {
        ["handin_", &self.lesson.replace('/', "-"), "_", &self.code, ".json"].concat()
    }
}

fn name_of(one: &Json, name: &str) -> String {
    one.text(name).unwrap_or_default().to_owned()
}

fn works(file: &Json, [list, name, values, words]: Called) -> Vec<Work> {
    let work =
        |one: &Json| Work { name: name_of(one, name), values: one.pairs(values), words: one.texts(words) };
    file.list(list).iter().map(work).collect()
}

fn list(one: &Json) -> List {
    let energized = match one.of("energized_ms") {
        Some(Json::Table(pairs)) => pairs.as_slice(),
        _ => &[],
    };
    let number = |value: &Json| match value {
        Json::Number(number) => *number,
        _ => None,
    };
    List {
        list: name_of(one, "list"),
        done: one.number("done").unwrap_or_default(),
        of: one.number("of").unwrap_or_default(),
        initials: one.texts("initials"),
        energized_ms: energized
            .iter()
            .filter_map(|(step, value)| Some((step.clone(), number(value)?)))
            .collect(),
    }
}

/// Text that grows; a comma goes before whatever is not the first thing inside its braces.
#[derive(Default)]
struct Writer {
    text: String,
}

impl Writer {
    fn part(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with(['{', '[', ':']) {
            self.text.push(',');
        }
    }

    fn open(&mut self, brace: char) {
        self.part();
        self.text.push(brace);
    }

    fn close(&mut self, brace: char) {
        self.text.push(brace);
    }

    fn name(&mut self, name: &str) {
        self.string(name);
        self.text.push(':');
    }

    fn string(&mut self, text: &str) {
        self.part();
        quote(&mut self.text, text);
    }

    fn text(&mut self, name: &str, text: &str) {
        self.name(name);
        self.string(text);
    }

    fn number(&mut self, name: &str, number: u64) {
        self.name(name);
        self.text.push_str(&number.to_string());
    }

    fn pairs(&mut self, name: &str, pairs: &[(String, String)]) {
        self.name(name);
        self.open('{');
        for (name, text) in pairs {
            self.text(name, text);
        }
        self.close('}');
    }

    fn texts(&mut self, name: &str, texts: &[String]) {
        self.name(name);
        self.open('[');
        for text in texts {
            self.string(text);
        }
        self.close(']');
    }

    fn works(&mut self, [list, name, values, words]: Called, all: &[Work]) {
        self.name(list);
        self.open('[');
        for work in all {
            self.open('{');
            self.text(name, &work.name);
            self.pairs(values, &work.values);
            self.texts(words, &work.words);
            self.close('}');
        }
        self.close(']');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(name: &str, text: &str) -> (String, String) {
        (name.to_owned(), text.to_owned())
    }

    fn full() -> HandIn {
        HandIn {
            course: "Starting \"systems\"".to_owned(),
            edition: "1".to_owned(),
            lesson: "cables/joints".to_owned(),
            code: "BK4-7TXQ".to_owned(),
            draw: 1,
            homework: vec![Work {
                name: "drop".to_owned(),
                values: vec![pair("a", "1.73 mΩ"), pair("b", "")],
                words: vec!["two\nlines, {braces: [".to_owned()],
            }],
            readings: vec![
                Work {
                    name: "worksheet-1".to_owned(),
                    values: vec![pair("pinion", "out,")],
                    ..Work::default()
                },
                Work::default(),
            ],
            checklists: vec![List {
                list: "free-spin".to_owned(),
                done: 40,
                of: 40,
                initials: vec!["MB".to_owned(), "{".to_owned()],
                energized_ms: vec![("17".to_owned(), 4200), ("24".to_owned(), 3)],
            }],
            ..HandIn::default()
        }
    }

    #[test]
    fn a_hand_in_comes_back_as_it_was() {
        for one in [full(), HandIn::default()] {
            assert_eq!(HandIn::read(&one.write()), Ok(one));
        }
        assert_eq!(full().file_name(), "handin_cables-joints_BK4-7TXQ.json");
    }

    #[test]
    fn a_file_says_why_it_is_none() {
        let text = full().write();
        let read = |text: &str| HandIn::read(text).err();
        assert_eq!(read("{}"), Some(HandInProblem::Other));
        assert_eq!(read(&text[..text.len() - 3]), Some(HandInProblem::Other));
        assert_eq!(read("{\"fieldcoil_hand_in\":\"1\"}"), Some(HandInProblem::Other));
        assert_eq!(read("{\"fieldcoil_hand_in\":2}"), Some(HandInProblem::Version));
        assert_eq!(read(&" ".repeat(LARGEST + 1)), Some(HandInProblem::Large));
    }

    #[test]
    fn wrong_kinds_and_unknown_names_are_passed_over() {
        let text = "{\"fieldcoil_hand_in\":1,\"course\":5,\"homework\":[7,{\"name\":[],\"answers\":{\"a\":3,\"b\":\"x\"}}],\
                    \"checklists\":{\"list\":\"x\"},\"new\":{\"deep\":[[[]]]}}";
        let read = HandIn::read(text).expect("a hand-in");
        assert_eq!(read.course, "");
        assert_eq!(read.homework.len(), 2);
        assert_eq!(read.homework[1].values, [pair("b", "x")]);
        assert!(read.checklists.is_empty());
    }
}
