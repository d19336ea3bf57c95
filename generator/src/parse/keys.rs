//! TOML read key by key, so that all mistakes of a block show at once and each at its own place.

use std::ops::Range;

use toml::Spanned as TomlSpanned;
use toml::de::{DeTable, DeValue};

use super::asked::{self, Asked, Shape};
use super::slip;
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span, Spanned};

/// How many mistakes in the spelling of one block are shown; the rest are usually echoes of these.
const SYNTAX_FINDINGS: usize = 8;

/// Where a text starts in its file.
#[derive(Debug, Clone, Copy)]
pub struct Start {
    /// The file.
    pub file: FileId,
    /// Byte of the file.
    pub offset: usize,
}

impl Start {
    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, self.offset + range.start..self.offset + range.end)
    }
}

/// The text of a block, and where it stands.
#[derive(Debug, Clone, Copy)]
pub struct Body<'s> {
    /// Where it starts.
    pub at: Start,
    /// The TOML.
    pub text: &'s str,
}

impl Body<'_> {
    /// Reads as much as can be read and hands the keys to `reader`; mistakes in spelling and keys that the reader did
    /// not ask for become findings. `what` names the block in them; `place` is where missing keys are shown.
    ///
    /// The parser stops at some mistakes, and at others it reports every line that follows. So the line of the first
    /// one is blanked and the rest is read again, until it reads or there have been enough.
    pub fn read<T>(
        &self,
        what: &'static str,
        place: Span,
        found: &mut Vec<Finding>,
        reader: impl FnOnce(&mut Keys, &mut Vec<Finding>) -> T,
    ) -> T {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        let Some(mut slip) = slip::first(self.text, &errors) else {
            return self.hand_over(table.get_ref(), false, what, place, found, reader);
        };
        let mut text = self.text.to_owned();
        for _ in 0..SYNTAX_FINDINGS {
            let finding =
                Finding::error("toml", slip.message, self.at.span(slip.place), "not understood here");
            found.push(finding.help(slip.help));
            slip::blank(&mut text, slip.lines);
            let (table, errors) = DeTable::parse_recoverable(&text);
            match slip::first(&text, &errors) {
                Some(next) => slip = next,
                None => return self.hand_over(table.get_ref(), true, what, place, found, reader),
            }
        }
        self.hand_over(&DeTable::new(), true, what, place, found, reader)
    }

    fn hand_over<T>(
        &self,
        table: &DeTable,
        broken: bool,
        what: &'static str,
        span: Span,
        found: &mut Vec<Finding>,
        reader: impl FnOnce(&mut Keys, &mut Vec<Finding>) -> T,
    ) -> T {
        let mut keys = Keys { table, at: self.at, what, span, asked: Vec::new(), above: Vec::new(), broken };
        let value = reader(&mut keys, found);
        keys.finish(found);
        value
    }
}

/// A table that is read key by key; the keys that nothing asked for are findings.
#[derive(Debug)]
pub struct Keys<'t, 's> {
    table: &'t DeTable<'s>,
    at: Start,
    what: &'static str,
    /// Where the table stands, for missing keys.
    pub span: Span,
    asked: Vec<&'static str>,
    /// The keys of the block around it that were asked for before.
    above: Vec<&'static str>,
    /// Spelling mistakes may have swallowed keys: missing ones are not reported then.
    broken: bool,
}

/// A value with its place.
pub type Found<'t, 's> = (&'t DeValue<'s>, Span);

impl<'t, 's> Keys<'t, 's> {
    /// Text, its white space made single spaces; an empty one is a finding.
    pub fn text(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Option<Spanned<String>> {
        self.note(key, || Shape::Text);
        let (value, span) = self.take(key)?;
        self.as_text(key, value, span, found)
    }

    /// Text that may be empty: a unit of things that have none.
    pub fn maybe_empty_text(
        &mut self,
        key: &'static str,
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<String>> {
        self.note(key, || Shape::MaybeEmptyText);
        match self.table.get(key).map(TomlSpanned::get_ref) {
            Some(DeValue::String(text)) if text.is_empty() => {
                self.asked.push(key);
                None
            }
            _ => self.text(key, found),
        }
    }

    /// Text that must be there; empty when it is not.
    pub fn needed_text(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Spanned<String> {
        self.need(key, "\"text\"", found);
        self.text(key, found).unwrap_or(Spanned::new(String::new(), self.span))
    }

    /// A list of texts.
    pub fn texts(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Vec<Spanned<String>> {
        self.note(key, || Shape::Texts);
        match self.take(key) {
            None => Vec::new(),
            Some((DeValue::Array(array), _)) => array
                .iter()
                .filter_map(|item| self.as_text(key, item.get_ref(), self.at.span(item.span()), found))
                .collect(),
            Some((value, span)) => {
                wrong_type(key, value, span, "a list of texts", "key = [\"one\", \"two\"]", found);
                // What was meant is plain enough, and its absence would only be reported as well.
                match value {
                    DeValue::String(_) => self.as_text(key, value, span, found).into_iter().collect(),
                    _ => Vec::new(),
                }
            }
        }
    }

    /// One text or a list of them.
    pub fn text_or_texts(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Vec<Spanned<String>> {
        self.note(key, || Shape::TextOrTexts);
        match self.table.get(key).map(TomlSpanned::get_ref) {
            Some(DeValue::String(_)) => self.text(key, found).into_iter().collect(),
            _ => self.texts(key, found),
        }
    }

    /// A number between two bounds, the bounds with it.
    pub fn number(
        &mut self,
        key: &'static str,
        accepted: (f64, f64),
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<f64>> {
        self.note(key, || Shape::Number(accepted.0, accepted.1));
        let (value, span) = self.take(key)?;
        let Some(number) = number_of(value) else {
            wrong_type(key, value, span, "a number", "key = 5", found);
            return None;
        };
        let (minimum, maximum) = accepted;
        if !(number >= minimum && number <= maximum) {
            let message = format!("`{key}` is {number}; accepted are {minimum} to {maximum}");
            found.push(Finding::error("out-of-range", message, span, "no sensible number here"));
            return None;
        }
        Some(Spanned::new(number, span))
    }

    /// A number that must be there.
    pub fn needed_number(
        &mut self,
        key: &'static str,
        accepted: (f64, f64),
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<f64>> {
        self.need(key, "5", found);
        self.number(key, accepted, found)
    }

    /// Yes or no.
    pub fn flag(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Option<bool> {
        self.note(key, || Shape::Flag);
        match self.take(key)? {
            (DeValue::Boolean(flag), _) => Some(*flag),
            (value, span) => {
                wrong_type(key, value, span, "true or false", "key = true", found);
                None
            }
        }
    }

    /// Two whole numbers: how far to the right, how far down. Both bounds hold for both.
    pub fn needed_place(
        &mut self,
        key: &'static str,
        accepted: (i32, i32),
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<(i32, i32)>> {
        self.note(key, || Shape::Place(accepted.0, accepted.1));
        self.need(key, "[10, 5]", found);
        let (value, span) = self.take(key)?;
        let numbers: Option<Vec<f64>> = match value {
            DeValue::Array(array) => array.iter().map(|item| number_of(item.get_ref())).collect(),
            _ => None,
        };
        let Some([x, y]) = numbers.as_deref() else {
            wrong_type(key, value, span, "a place, two whole numbers", "key = [10, 5]", found);
            return None;
        };
        let (from, to) = (f64::from(accepted.0), f64::from(accepted.1));
        let fits = |number: f64| number.fract() == 0.0 && (from..=to).contains(&number);
        if !fits(*x) || !fits(*y) {
            let message = format!("`{key}` is [{x}, {y}]; accepted are whole numbers from {from} to {to}");
            found.push(Finding::error("out-of-range", message, span, "no place on the grid"));
            return None;
        }
        Some(Spanned::new((*x as i32, *y as i32), span))
    }

    /// A whole number between two bounds, the bounds with it.
    pub fn whole(
        &mut self,
        key: &'static str,
        accepted: (u32, u32),
        found: &mut Vec<Finding>,
    ) -> Option<u32> {
        self.note(key, || Shape::Whole(accepted.0, accepted.1));
        let number = self.number(key, (accepted.0.into(), accepted.1.into()), found)?;
        if number.value.fract() != 0.0 {
            let message = format!("`{key}` is {}; whole numbers are wanted", number.value);
            found.push(Finding::error("out-of-range", message, number.span, "not whole"));
            return None;
        }
        Some(number.value as u32)
    }

    /// A whole number that must be there; the smallest accepted when it is not.
    pub fn needed_whole(&mut self, key: &'static str, accepted: (u32, u32), found: &mut Vec<Finding>) -> u32 {
        self.need(key, "45", found);
        self.whole(key, accepted, found).unwrap_or(accepted.0)
    }

    /// A list of whole numbers, each between two bounds.
    pub fn wholes(
        &mut self,
        key: &'static str,
        accepted: (u32, u32),
        found: &mut Vec<Finding>,
    ) -> Vec<Spanned<u32>> {
        self.note(key, || Shape::Wholes(accepted.0, accepted.1));
        let items: &'t [TomlSpanned<DeValue<'s>>] = match self.take(key) {
            None => return Vec::new(),
            Some((DeValue::Array(array), _)) => array,
            Some((value, span)) => {
                wrong_type(key, value, span, "a list of whole numbers", "key = [9, 11, 12]", found);
                return Vec::new();
            }
        };
        let whole = |item: &'t TomlSpanned<DeValue<'s>>| {
            let span = self.at.span(item.span());
            let number = self.whole_value(key, (item.get_ref(), span), accepted, found)?;
            Some(Spanned::new(number, span))
        };
        items.iter().filter_map(whole).collect()
    }

    /// One of a list of words.
    pub fn word<T: Copy>(
        &mut self,
        key: &'static str,
        words: impl Iterator<Item = (&'static str, T)> + Clone,
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<T>> {
        self.note(key, || Shape::Word(words.clone().map(|(word, _)| word).collect()));
        let typed = self.text(key, found)?;
        if let Some((_, value)) = words.clone().find(|(word, _)| *word == typed.value) {
            return Some(Spanned::new(value, typed.span));
        }
        let message = format!("`{key}` cannot be `{}`", shown(&typed.value));
        let all: Vec<_> = words.clone().map(|(word, _)| format!("`{word}`")).collect();
        found.push(
            Finding::error("unknown-word", message, typed.span, "not one of the words known here")
                .near(&typed.value, words.map(|(word, _)| word))
                .help(format!("known are {}", all.join(", "))),
        );
        None
    }

    /// One of a list of words that must be there.
    pub fn needed_word<T: Copy>(
        &mut self,
        key: &'static str,
        words: impl Iterator<Item = (&'static str, T)> + Clone,
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<T>> {
        let example = words.clone().next().map(|(word, _)| format!("\"{word}\"")).unwrap_or_default();
        self.need(key, &example, found);
        self.word(key, words, found)
    }

    /// The tables under `[[key]]`, in order; `what` names each in findings.
    pub fn tables(
        &mut self,
        key: &'static str,
        what: &'static str,
        found: &mut Vec<Finding>,
    ) -> Vec<Keys<'t, 's>> {
        self.note(key, || Shape::Tables(what));
        let items: &'t [TomlSpanned<DeValue<'s>>] = match self.take(key) {
            None => return Vec::new(),
            Some((DeValue::Array(array), _)) => array,
            Some((value, span)) => {
                wrong_type(key, value, span, "a table for each", "[[key]]", found);
                return Vec::new();
            }
        };
        let mut tables = Vec::new();
        for item in items {
            let span = self.at.span(item.span());
            match item.get_ref() {
                DeValue::Table(table) => tables.push(self.below(table, what, span)),
                other => wrong_type(key, other, span, "a table for each", "[[key]]", found),
            }
        }
        tables
    }

    /// The table `key = { … }`; `what` names it in findings, `example` shows one.
    pub fn table(
        &mut self,
        key: &'static str,
        what: &'static str,
        example: &'static str,
        found: &mut Vec<Finding>,
    ) -> Option<Keys<'t, 's>> {
        self.note(key, || Shape::Table(what));
        let (value, span) = self.take(key)?;
        match value {
            DeValue::Table(table) => Some(self.below(table, what, span)),
            other => {
                wrong_type(key, other, span, "a table", &format!("key = {example}"), found);
                None
            }
        }
    }

    /// A table inside an entry: `{ from = 1, to = 2 }`.
    pub fn inner(&self, value: &'t DeValue<'s>, what: &'static str, span: Span) -> Option<Keys<'t, 's>> {
        match value {
            DeValue::Table(table) => Some(self.below(table, what, span)),
            _ => None,
        }
    }

    /// A number that must be there, as it is written: `1.0` has one decimal place.
    pub fn needed_decimal(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Option<String> {
        self.note(key, || Shape::Decimal);
        self.need(key, "5", found);
        let (value, span) = self.take(key)?;
        let written = match value {
            DeValue::Integer(number) => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            _ => "",
        };
        let plain = !written.is_empty()
            && written.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+'));
        if !plain {
            wrong_type(key, value, span, "a plain number", "key = 0.5", found);
        }
        plain.then(|| written.to_owned())
    }

    /// Two numbers, the smaller first.
    pub fn pair(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Option<Spanned<(f64, f64)>> {
        self.note(key, || Shape::Pair);
        let (value, span) = self.take(key)?;
        let numbers: Option<Vec<f64>> = match value {
            DeValue::Array(array) => array.iter().map(|item| number_of(item.get_ref())).collect(),
            _ => None,
        };
        match numbers.as_deref() {
            Some([low, high]) if low <= high => Some(Spanned::new((*low, *high), span)),
            _ => {
                wrong_type(key, value, span, "two numbers, the smaller first", "key = [0, 5]", found);
                None
            }
        }
    }

    /// A date that must be there: year, month, day.
    pub fn needed_date(&mut self, key: &'static str, found: &mut Vec<Finding>) -> Option<(i32, u8, u8)> {
        self.note(key, || Shape::Date);
        self.need(key, "2026-09-07", found);
        let (value, span) = self.take(key)?;
        if let DeValue::Datetime(when) = value
            && let (Some(date), None) = (when.date, when.time)
        {
            return Some((i32::from(date.year), date.month, date.day));
        }
        wrong_type(key, value, span, "a date without quotes", "key = 2026-09-07", found);
        None
    }

    /// An entry's whole number between two bounds.
    pub fn whole_value(
        &self,
        name: &str,
        (value, span): Found<'t, 's>,
        (minimum, maximum): (u32, u32),
        found: &mut Vec<Finding>,
    ) -> Option<u32> {
        let number = number_of(value).filter(|number| number.fract() == 0.0);
        let number = number.filter(|number| (f64::from(minimum)..=f64::from(maximum)).contains(number));
        if number.is_none() {
            let message = format!("`{}` wants a whole number from {minimum} to {maximum}", shown(name));
            found.push(Finding::error("out-of-range", message, span, "no such number"));
        }
        number.map(|number| number as u32)
    }

    /// The entries of the table `[key]`, in the order written.
    pub fn entries(
        &mut self,
        key: &'static str,
        found: &mut Vec<Finding>,
    ) -> Vec<(Spanned<String>, Found<'t, 's>)> {
        self.note(key, || Shape::Entries);
        let table: &'t DeTable<'s> = match self.take(key) {
            None => return Vec::new(),
            Some((DeValue::Table(table), _)) => table,
            Some((value, span)) => {
                wrong_type(key, value, span, "a table", "[key]", found);
                return Vec::new();
            }
        };
        let mut entries: Vec<_> = table
            .iter()
            .map(|(name, value)| {
                let span = self.at.span(name.span());
                let value = (value.get_ref(), self.at.span(value.span()));
                (Spanned::new(name.get_ref().to_string(), span), value)
            })
            .collect();
        entries.sort_by_key(|(name, _)| name.span);
        entries
    }

    /// Is the key there at all?
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Where the key stands, or the table when it is not there.
    pub fn span_of(&self, key: &str) -> Span {
        self.table.get_key_value(key).map_or(self.span, |(key, _)| self.at.span(key.span()))
    }

    /// Reports the keys that nothing asked for.
    pub fn finish(&self, found: &mut Vec<Finding>) {
        asked::note(self.what, self.span.start, || Asked::Finished);
        let unknown = self.table.keys().filter(|key| !self.asked.contains(&key.get_ref().as_ref()));
        for key in unknown {
            let name = key.get_ref();
            let wanted: Vec<_> = self.asked.iter().map(|key| format!("`{key}`")).collect();
            let message = format!("{} has no key `{}`", self.what, shown(name));
            let mut finding =
                Finding::error("unknown-key", message, self.at.span(key.span()), "not known here")
                    .near(name, self.asked.iter().copied());
            if self.above.contains(&name.as_ref()) {
                finding = finding.help(format!(
                    "move the line up: `{}` is a key of the block, and those stand before its first `[[`",
                    shown(name)
                ));
            } else if matches!(self.table.get(key).map(TomlSpanned::get_ref), Some(DeValue::Table(_))) {
                finding = finding.help("a line in brackets begins a table: all lines below belong to it");
            }
            found.push(finding.help(format!("its keys are {}", wanted.join(", "))));
        }
    }

    /// Reports a key that is not there.
    pub fn need(&mut self, key: &'static str, example: &str, found: &mut Vec<Finding>) {
        asked::note(self.what, self.span.start, || Asked::Needed(key));
        if !self.broken && !self.table.contains_key(key) {
            let message = format!("{} has no `{key}`", self.what);
            found.push(
                Finding::error("missing-key", message, self.span, format!("`{key}` is missing"))
                    .help(format!("add a line `{key} = {example}`")),
            );
        }
    }

    fn note(&self, key: &'static str, shape: impl FnOnce() -> Shape) {
        asked::note(self.what, self.span.start, || Asked::Key(key, shape()));
    }

    fn take(&mut self, key: &'static str) -> Option<Found<'t, 's>> {
        self.asked.push(key);
        let value = self.table.get(key)?;
        Some((value.get_ref(), self.at.span(value.span())))
    }

    fn below(&self, table: &'t DeTable<'s>, what: &'static str, span: Span) -> Keys<'t, 's> {
        let above = self.above.iter().chain(&self.asked).copied().collect();
        Keys { table, at: self.at, what, span, asked: Vec::new(), above, broken: self.broken }
    }

    fn as_text(
        &self,
        key: &str,
        value: &DeValue,
        span: Span,
        found: &mut Vec<Finding>,
    ) -> Option<Spanned<String>> {
        let DeValue::String(text) = value else {
            wrong_type(key, value, span, "text in quotes", "key = \"text\"", found);
            return None;
        };
        if let Some(stray) = text.chars().find(|c| c.is_control() && !c.is_whitespace()) {
            let message = format!("character U+{:04X} cannot be shown in a page", stray as u32);
            found
                .push(Finding::error("control-character", message, span, "in this text").help("take it out"));
            return None;
        }
        let words: Vec<&str> = text.split_whitespace().collect();
        if words.is_empty() {
            found.push(
                Finding::error(
                    "empty-text",
                    format!("`{key}` is empty"),
                    span,
                    "nothing stands between the quotes",
                )
                .help("write something, or take the line out"),
            );
            return None;
        }
        Some(Spanned::new(words.join(" "), span))
    }
}

/// Reports a value of the wrong kind; `example` shows a right one, with `key` in the place of the key.
fn wrong_type(key: &str, value: &DeValue, span: Span, wanted: &str, example: &str, found: &mut Vec<Finding>) {
    let is = match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a number",
        DeValue::Float(_) if number_of(value).is_none() => "not a number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    let message = format!("`{}` is {is}; wanted is {wanted}", shown(key));
    // What was written, in the form that is wanted, is a better example than any other.
    let example = match value {
        DeValue::String(text) if wanted == "a number" && text.trim().parse::<f64>().is_ok() => {
            format!("{key} = {}", text.trim())
        }
        DeValue::Integer(number) if wanted == "text in quotes" => format!("{key} = \"{}\"", number.as_str()),
        _ => example.replace("key", key),
    };
    found.push(
        Finding::error("wrong-type", message, span, "of the wrong kind").help(format!("write `{example}`")),
    );
}

/// The number that a value is, if it is one; `inf` and `nan` are none.
pub fn number_of(value: &DeValue) -> Option<f64> {
    let number = match value {
        DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix()).ok()? as f64,
        DeValue::Float(float) => float.as_str().parse().ok()?,
        _ => return None,
    };
    Some(number).filter(|number| number.is_finite())
}
