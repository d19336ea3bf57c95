//! The line of text in which a browser keeps how far a checklist is.
//!
//! `16 MB| 16=4200,24@1764170000000`: sixteen steps done, `MB` in the first box for initials, step 16 energized for
//! 4200 ms, step 24 resting since that time of the clock. Lines without the third part were kept before there were
//! timers, and are read.

/// How far a checklist is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// How many steps are done.
    pub done: usize,
    /// What stands in each box for initials.
    pub initials: Vec<String>,
    /// Steps with a stretch, and what became of it.
    pub timed: Vec<(usize, Timed)>,
}

/// What became of a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Timed {
    /// It lasted so many milliseconds.
    Lasted(u64),
    /// It is a rest that began at this time, in milliseconds since 1970: it goes on while the page is away.
    Since(u64),
    /// It was an energized stretch that ran when the page went away: nobody knows how long it was.
    Interrupted,
}

impl Timed {
    /// The word for it: `=4200`, `@1764170000000` or `!`.
    pub fn write(self) -> String {
        match self {
            Timed::Lasted(ms) => ["=", &ms.to_string()].concat(),
            Timed::Since(ms) => ["@", &ms.to_string()].concat(),
            Timed::Interrupted => "!".to_owned(),
        }
    }

    /// What a word says, when it is one.
    pub fn read(word: &str) -> Option<Timed> {
        if word == "!" {
            return Some(Timed::Interrupted);
        }
        let ms = word.get(1..)?.parse().ok()?;
        match word.as_bytes().first()? {
            b'=' => Some(Timed::Lasted(ms)),
            b'@' => Some(Timed::Since(ms)),
            _ => None,
        }
    }
}

impl Kept {
    /// The line for it.
    pub fn write(&self) -> String {
        let initials: Vec<String> = self.initials.iter().map(|text| text.replace(['|', ' '], "")).collect();
        let timed: Vec<String> = self
            .timed
            .iter()
            .map(|(step, timed)| [&step.to_string(), timed.write().as_str()].concat())
            .collect();
        [&self.done.to_string(), " ", &initials.join("|"), " ", &timed.join(",")].concat()
    }

    /// What a line says; what cannot be read was never kept.
    pub fn read(line: &str) -> Kept {
        let mut parts = line.split(' ');
        let mut part = || parts.next().unwrap_or_default();
        let (done, initials, timed) = (part(), part(), part());
        Kept {
            done: done.parse().unwrap_or(0),
            initials: initials.split('|').map(str::to_owned).collect(),
            timed: timed.split(',').filter_map(read_timed).collect(),
        }
    }
}

fn read_timed(text: &str) -> Option<(usize, Timed)> {
    let at = text.find(|c: char| !c.is_ascii_digit())?;
    Some((text[..at].parse().ok()?, Timed::read(&text[at..])?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_read_as_it_was_written() {
        let kept = Kept {
            done: 16,
            initials: vec!["MB".to_owned(), String::new()],
            timed: vec![
                (16, Timed::Lasted(4200)),
                (24, Timed::Since(1_764_170_000_000)),
                (25, Timed::Interrupted),
            ],
        };
        assert_eq!(kept.write(), "16 MB| 16=4200,24@1764170000000,25!");
        assert_eq!(Kept::read(&kept.write()), kept);
    }

    #[test]
    fn initials_cannot_break_the_line() {
        let kept = Kept { done: 1, initials: vec!["a b|c".to_owned()], timed: vec![] };
        assert_eq!(Kept::read(&kept.write()).initials, ["abc"]);
    }

    #[test]
    fn lines_of_before_there_were_timers_are_read() {
        let kept = Kept::read("14 MB");
        assert_eq!((kept.done, kept.initials, kept.timed), (14, vec!["MB".to_owned()], vec![]));
    }

    #[test]
    fn nonsense_is_nothing() {
        for line in ["", "x", "-3 a b", "é é é", "1  16=,=5,!,16?3,16=é,99999999999999999999999=1"] {
            assert_eq!(Kept::read(line).timed, [], "{line}");
        }
        assert_eq!(Timed::read("é"), None);
    }
}
