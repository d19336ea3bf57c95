//! A reference to a calculated number as a lesson writes it: `value run.drop_v in mV to 2 with joint_count = 0`.

use std::ops::Range;

use crate::finding::nearest::distance;

/// Figures that may be asked for.
const MOST_FIGURES: usize = 9;
/// Words that may follow the name of the number, in this order.
const OPTIONS: [&str; 4] = ["in", "to", "bare", "with"];

/// What a stretch of code is.
#[derive(Debug, PartialEq)]
pub enum Read<'t> {
    /// Ordinary code.
    Code,
    /// Meant as a reference, and not understood.
    Unclear(Unclear),
    /// A reference.
    Reference(Reference<'t>),
}

/// What is not understood, and where in the text.
#[derive(Debug, PartialEq)]
pub struct Unclear {
    /// In words, lower case.
    pub message: String,
    /// Bytes of the text.
    pub place: Range<usize>,
    /// What to do.
    pub help: String,
}

/// A text and where it stands in the whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Part<'t> {
    /// The text.
    pub text: &'t str,
    /// Its bytes in the whole.
    pub place: Range<usize>,
}

/// A reference, its names not looked up yet.
#[derive(Debug, PartialEq)]
pub struct Reference<'t> {
    /// The address of another lesson.
    pub lesson: Option<Part<'t>>,
    /// Names parted by dots: the calculator and its output; or `limits`, the limit, and which of its sides.
    pub names: Vec<Part<'t>>,
    /// The unit wanted.
    pub unit: Option<Part<'t>>,
    /// How many figures, when not as many as the output has.
    pub figures: Option<usize>,
    /// Without its unit?
    pub bare: bool,
    /// Fields that are set before the calculator is worked again.
    pub with: Vec<(Part<'t>, Part<'t>)>,
}

/// Reads the text between the marks of a stretch of code.
pub fn read(text: &str) -> Read<'_> {
    let words = words(text);
    let (Some(first), Some(second)) = (words.first(), words.get(1)) else { return Read::Code };
    let looks_named = has_name_with_dot(second.text);
    if first.text != "value" {
        let plain = first.text.trim_end_matches(':');
        return match looks_named && distance(plain, "value") <= 1 {
            true => unclear(
                format!("`{}` looks like a calculated number, which begins with `value`", first.text),
                first.place.clone(),
                format!("write `value {}`", second.text),
            ),
            false => Read::Code,
        };
    }
    if !looks_named {
        let is_output = |word: &str| word.contains('_') && !word.contains(['(', ')', '=', ';']);
        let nearly = is_output(second.text) || words.get(2).is_some_and(|third| is_output(third.text));
        return match nearly && words.iter().all(|word| word.text != "=") {
            true => unclear(
                "no dot stands between the name of a calculator and what it gives".to_owned(),
                second.place.clone(),
                "write `value run.drop_v`, where `run` is the `name` of a calculator of this lesson"
                    .to_owned(),
            ),
            false => Read::Code,
        };
    }
    match reference(text, second, &words[2..]) {
        Ok(reference) => Read::Reference(reference),
        Err(problem) => Read::Unclear(problem),
    }
}

fn unclear<'t>(message: String, place: Range<usize>, help: String) -> Read<'t> {
    Read::Unclear(Unclear { message, place, help })
}

fn reference<'t>(text: &'t str, target: &Part<'t>, rest: &[Part<'t>]) -> Result<Reference<'t>, Unclear> {
    let (lesson, name) = match target.text.rfind('/') {
        Some(at) => (Some(target.cut(0..at)), target.cut(at + 1..target.text.len())),
        None => (None, target.clone()),
    };
    let mut names = Vec::new();
    let mut from = 0;
    for part in name.text.split('.') {
        names.push(name.cut(from..from + part.len()));
        from += part.len() + 1;
    }
    let is_name = |name: &Part| {
        !name.text.is_empty()
            && name.text.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_'))
    };
    if let Some(odd) = names.iter().find(|name| !is_name(name)) {
        let place = if odd.text.is_empty() { target.place.clone() } else { odd.place.clone() };
        return Err(Unclear {
            message: format!("`{}` names no calculated number", target.text),
            place,
            help: "write `value run.drop_v`: the `name` of a calculator, a dot, and an output or a field"
                .to_owned(),
        });
    }
    let mut reference = Reference { lesson, names, unit: None, figures: None, bare: false, with: Vec::new() };
    options(text, rest, &mut reference)?;
    Ok(reference)
}

fn options<'t>(text: &'t str, rest: &[Part<'t>], into: &mut Reference<'t>) -> Result<(), Unclear> {
    let mut last = None;
    let mut rest = rest.iter();
    while let Some(word) = rest.next() {
        let Some(option) = OPTIONS.iter().position(|option| *option == word.text) else {
            return Err(Unclear {
                message: format!("`{}` is not understood here", word.text),
                place: word.place.clone(),
                help: ORDER.to_owned(),
            });
        };
        if last >= Some(option) {
            return Err(Unclear {
                message: format!("`{}` stands in the wrong place", word.text),
                place: word.place.clone(),
                help: ORDER.to_owned(),
            });
        }
        last = Some(option);
        match word.text {
            "in" => into.unit = Some(rest.next().cloned().ok_or_else(|| nothing_after(word, "a unit"))?),
            "to" => {
                let number = rest.next().ok_or_else(|| nothing_after(word, "how many figures"))?;
                let figures = number.text.parse().ok().filter(|figures| (1..=MOST_FIGURES).contains(figures));
                into.figures = Some(figures.ok_or_else(|| Unclear {
                    message: format!("`{}` is no number of figures", number.text),
                    place: number.place.clone(),
                    help: format!("write a whole number from 1 to {MOST_FIGURES}: `to 3`"),
                })?);
            }
            "bare" => into.bare = true,
            _ => {
                into.with = changes(text, word.place.end)?;
                return Ok(());
            }
        }
    }
    Ok(())
}

const ORDER: &str =
    "what follows the name stands in this order: `in mV`, `to 2`, `bare`, `with joint_count = 0`";

fn nothing_after(word: &Part, wanted: &str) -> Unclear {
    Unclear {
        message: format!("`{}` is followed by nothing", word.text),
        place: word.place.clone(),
        help: format!("write {wanted} after it, or take it out"),
    }
}

/// `run_return_m = 0, conductor_size = "16 mm2"`, from this byte of the text on.
fn changes(text: &str, from: usize) -> Result<Vec<(Part<'_>, Part<'_>)>, Unclear> {
    let mut list = Vec::new();
    let mut start = from;
    let mut quoted = false;
    let ends = text[from..].char_indices().filter_map(|(at, c)| {
        quoted ^= c == '"';
        (c == ',' && !quoted).then_some(from + at)
    });
    for end in ends.collect::<Vec<_>>().into_iter().chain([text.len()]) {
        let one = Part { text: &text[start..end], place: start..end };
        list.push(change(&one)?);
        start = end + 1;
    }
    Ok(list)
}

fn change<'t>(one: &Part<'t>) -> Result<(Part<'t>, Part<'t>), Unclear> {
    let parts =
        one.text.find('=').map(|at| (one.cut(0..at).trimmed(), one.cut(at + 1..one.text.len()).trimmed()));
    let whole = one.clone().trimmed();
    let fits = parts.and_then(|(field, value)| {
        let value = match value.text.strip_prefix('"') {
            Some(rest) => {
                let inner = rest.strip_suffix('"')?;
                value.cut(1..1 + inner.len())
            }
            None => value,
        };
        (!field.text.is_empty() && !value.text.is_empty() && !value.text.contains('"'))
            .then_some((field, value))
    });
    fits.ok_or_else(|| Unclear {
        message: match whole.text {
            "" => "`with` changes nothing".to_owned(),
            text => format!("`{text}` sets no field"),
        },
        place: if whole.text.is_empty() { one.place.clone() } else { whole.place },
        help: "write `with joint_count = 2, run_out_m = 6 ft`; a value with a comma in it stands in quotes"
            .to_owned(),
    })
}

/// A letter first, and a dot in it.
fn has_name_with_dot(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_alphabetic()) && word.contains('.')
}

fn words(text: &str) -> Vec<Part<'_>> {
    let mut from = 0;
    let part = |word: &'_ str| {
        let start = from + text[from..].find(word).unwrap_or(0);
        from = start + word.len();
        start..from
    };
    text.split_whitespace()
        .zip(text.split_whitespace().map(part))
        .map(|(text, place)| Part { text, place })
        .collect()
}

impl<'t> Part<'t> {
    /// A stretch of it.
    fn cut(&self, range: Range<usize>) -> Part<'t> {
        let place = self.place.start + range.start..self.place.start + range.end;
        Part { text: &self.text[range], place }
    }

    /// Without white space at its ends.
    fn trimmed(self) -> Part<'t> {
        let start = self.text.len() - self.text.trim_start().len();
        let text = self.text.trim();
        self.cut(start..start + text.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(text: &str) -> Reference<'_> {
        match read(text) {
            Read::Reference(reference) => reference,
            other => panic!("`{text}` is {other:?}"),
        }
    }

    #[test]
    fn references_are_read_to_their_parts() {
        let all =
            taken("value cables/joints/run.drop_v in mV to 2 bare with run_out_m = 6 ft, parts = \"a, b\"");
        let texts = |parts: &[Part]| parts.iter().map(|part| part.text.to_owned()).collect::<Vec<_>>();
        assert_eq!(all.lesson.map(|part| part.text), Some("cables/joints"));
        assert_eq!(texts(&all.names), ["run", "drop_v"]);
        assert_eq!((all.unit.map(|part| part.text), all.figures, all.bare), (Some("mV"), Some(2), true));
        let with: Vec<_> = all.with.iter().map(|(field, value)| (field.text, value.text)).collect();
        assert_eq!(with, [("run_out_m", "6 ft"), ("parts", "a, b")]);
        let limit = taken("value limits.fc-12.maximum");
        assert_eq!(texts(&limit.names), ["limits", "fc-12", "maximum"]);
        assert_eq!(&"value limits.fc-12.maximum"[limit.names[1].place.clone()], "fc-12");
    }

    #[test]
    fn code_that_only_begins_alike_stays_code() {
        for text in [
            "value",
            "value = 3",
            "value 2.5",
            "values.get x",
            "let value",
            "value of",
            "value: str",
            "x.y",
            "",
        ] {
            assert_eq!(read(text), Read::Code, "{text}");
        }
    }

    #[test]
    fn what_is_nearly_a_reference_is_told() {
        for (text, at) in [
            ("vlaue run.drop_v", "vlaue"),
            ("Value run.drop_v", "Value"),
            ("value: run.drop_v", "value:"),
            ("value run drop_v", "run"),
            ("value run,drop_v", "run,drop_v"),
            ("value run.", "run."),
            ("value run.drop_v in", "in"),
            ("value run.drop_v mV", "mV"),
            ("value run.drop_v to 2 in mV", "in"),
            ("value run.drop_v to many", "many"),
            ("value run.drop_v with joint_count", "joint_count"),
            ("value run.drop_v with a = \"6 ft", "a = \"6 ft"),
            ("value run.drop_v()", "drop_v()"),
        ] {
            match read(text) {
                Read::Unclear(problem) => assert_eq!(&text[problem.place], at, "{text}"),
                other => panic!("`{text}` is {other:?}"),
            }
        }
    }
}
