//! `fieldcoil preview`: the site at an address of this machine, made anew in memory after every save.

use std::any::Any;
use std::io::{self, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::Instant;

use anyhow::{Context, Result, anyhow};

use super::{Outcome, styled_errors, write_findings};
use crate::finding::{Finding, render};
use crate::options::PreviewOptions;
use crate::pipeline::Checked;
use crate::preview::server::{Board, serve};
use crate::preview::shown::{Report, Shown, Words};
use crate::preview::watch::{Wake, Watch};
use crate::site::Site;
use crate::source::SourceSet;
use crate::{pipeline, source};

/// Runs the command until it is stopped.
pub fn run(options: &PreviewOptions) -> Result<Outcome> {
    // A folder that is not there is a wrong call; one that goes away later may come back.
    let first = source::load::course(&options.course.folder)?;
    let mut watch = Watch::new(&options.course.folder);
    let stopper = watch.stopper();
    ctrlc::set_handler(move || stopper.stop()).context("cannot listen for Ctrl-C")?;
    let mut writer = Writer::new(options, pipeline::site);
    let board = Arc::clone(&writer.board);
    writer.take(first)?;

    let address = serve(&board, options.listen, options.port)?;
    if !options.listen.is_loopback() {
        say(&format!(
            "Anybody who reaches this machine at {} can read the course, its unpublished state too.",
            options.listen
        ))?;
    }
    say(&format!("Open it: http://{address}/"))?;
    say("It follows every save; Ctrl-C ends it.")?;
    while watch.wait() == Wake::Changed {
        match source::load::course(&options.course.folder) {
            Ok(read) => writer.take(read)?,
            Err(error) => writer.fail(&error)?,
        }
    }
    say("Stopped.")?;
    Ok(Outcome::Fine)
}

/// Takes what was read of the course, shows it and tells what was found.
struct Writer<'o> {
    options: &'o PreviewOptions,
    board: Arc<Board>,
    /// What makes the site of a course.
    make: Make,
    /// The words of the strip, in the language that the course had last.
    words: Words,
    /// What was read last.
    last: Option<(SourceSet, Vec<Finding>)>,
    /// What was told last: each finding as it was printed, and the closing line.
    told: Vec<u8>,
}

type Make = fn(&Checked) -> Result<Site>;

/// What became of a course.
struct Made {
    found: Vec<Finding>,
    language: String,
    /// Nothing when the findings keep the course from being shown.
    site: Option<Site>,
}

impl<'o> Writer<'o> {
    fn new(options: &'o PreviewOptions, make: Make) -> Self {
        let words = words("en");
        let board = Arc::new(Board::new(Shown::nothing(Report::default(), &words)));
        Writer { options, board, make, words, last: None, told: Vec::new() }
    }

    fn take(&mut self, read: (SourceSet, Vec<Finding>)) -> Result<()> {
        // Saved as it was: there is nothing to do.
        if self.last.as_ref() == Some(&read) {
            return Ok(());
        }
        let begun = Instant::now();
        let (sources, found) = self.last.insert(read);
        // A fault of this program or of its theme ends `site`; it does not end a preview, whose next save may be without.
        let made = catch_unwind(AssertUnwindSafe(|| {
            made(sources, found.clone(), self.options.course.strict, self.make)
        }));
        let Made { found, language, site } = match made {
            Ok(Ok(made)) => made,
            Ok(Err(error)) => return self.fail(&error),
            Err(panic) => return self.fail(&fault(panic.as_ref())),
        };
        self.words = words(&language);
        let shown = self.board.shown();
        let (had_site, is_stopped) = (shown.has_site(), site.is_none());
        let folder = self.options.course.folder_words();
        let stale = |has_site| Report::stale(&found, sources, &folder, has_site, &self.words);
        let next = match site {
            Some(site) => shown.rebuilt(site, Report::fresh(&found, sources, &folder, &self.words)),
            None if had_site => shown.reported(stale(true)),
            None => Shown::nothing(stale(false), &self.words),
        };
        let changed = next.changed_pages(&shown);
        self.board.show(next);
        let mut words = Vec::new();
        // Hints too: whoever follows a preview is writing.
        write_findings(&mut words, styled_errors(), &found, sources, &folder)?;
        let closing = match (is_stopped, render::count_words(&found)) {
            (true, counted) => format!("{counted}: {}.\n", kept_words(had_site)),
            (false, counted) if counted.is_empty() => counted,
            (false, counted) => format!("{counted}.\n"),
        };
        words.extend(closing.into_bytes());
        self.tell(words)?;
        if !is_stopped {
            let time = begun.elapsed().as_millis();
            let pages = if changed == 1 { "1 page".to_owned() } else { format!("{changed} pages") };
            say(&format!("Made in {time} ms: {pages} new or changed."))?;
        }
        Ok(())
    }

    /// The course could not be read or shown at all; what is shown stays.
    fn fail(&mut self, error: &anyhow::Error) -> Result<()> {
        self.last = None;
        let shown = self.board.shown();
        let report = Report::failure(format!("{error:#}"), shown.has_site(), &self.words);
        self.board.show(shown.reported(report));
        self.tell(format!("error: {error:#}: {}.\n", kept_words(shown.has_site())).into_bytes())
    }

    /// Prints what was found, unless it is what was printed last.
    fn tell(&mut self, words: Vec<u8>) -> Result<()> {
        if words == self.told {
            return Ok(());
        }
        let mut errors = io::stderr().lock();
        if words.is_empty() {
            writeln!(errors, "Nothing found any more.")?;
        } else {
            errors.write_all(&words)?;
        }
        self.told = words;
        Ok(())
    }
}

fn made(sources: &SourceSet, found: Vec<Finding>, strict: bool, make: Make) -> Result<Made> {
    let (checked, found) = pipeline::check(sources, found);
    let is_stopped = pipeline::is_stopped(&found, strict);
    let site = if is_stopped { None } else { Some(make(&checked)?) };
    Ok(Made { found, language: checked.course().about.language.clone(), site })
}

/// What is told of a fault of this program.
fn fault(panic: &(dyn Any + Send)) -> anyhow::Error {
    let words = panic.downcast_ref::<&str>().map(|words| (*words).to_owned());
    let words = words.or_else(|| panic.downcast_ref::<String>().cloned());
    anyhow!("a fault of this program, not of the course: {}", words.unwrap_or_else(|| "unknown".to_owned()))
}

/// What a terminal says is shown while a course has errors.
fn kept_words(has_site: bool) -> &'static str {
    match has_site {
        true => "the last good site is shown",
        false => "there is no site to show yet",
    }
}

/// The strip's words in a language, or in English.
fn words(language: &str) -> Words {
    Words { language: language.to_owned(), texts: pipeline::words(language, "preview") }
}

fn say(words: &str) -> io::Result<()> {
    writeln!(io::stdout().lock(), "{words}")
}

#[cfg(test)]
mod tests {
    use std::net::{IpAddr, Ipv4Addr};

    use super::*;
    use crate::options::CourseOptions;
    use crate::source::SourceText;

    const COURSE: &str = "title = \"A\"\nsummary = \"B.\"\nschool = \"C\"\nauthor = \"D\"\nedition = \"1\"\n";

    fn read(text: &str) -> (SourceSet, Vec<Finding>) {
        let lesson = format!(
            "```lesson\ntitle = \"First\"\nsummary = \"A test.\"\nminutes = 5\noutcomes = [\"Test.\"]\n```\n\n{text}\n"
        );
        let texts = [("10-first.md", lesson), ("course.toml", COURSE.to_owned())];
        let texts = texts.map(|(path, text)| SourceText { path: path.to_owned(), text });
        (SourceSet { texts: texts.into(), ..SourceSet::default() }, Vec::new())
    }

    fn page(writer: &Writer) -> String {
        String::from_utf8_lossy(&writer.board.shown().file("first.html").1.bytes).into_owned()
    }

    /// The theme is inside the program; a template that cannot be filled, or that is broken, shows as here.
    #[test]
    fn a_broken_theme_keeps_the_last_good_site() {
        let options = PreviewOptions {
            course: CourseOptions { folder: "content".into(), strict: false },
            listen: IpAddr::V4(Ipv4Addr::LOCALHOST),
            port: 0,
        };
        let mut writer = Writer::new(&options, pipeline::site);
        writer.take(read("Good.")).expect("told");
        let broken: [(Make, &str); 2] = [
            (|_| Err(anyhow!("no variable `x` in lesson.html")), "no variable `x` in lesson.html"),
            (
                |_| panic!("the theme: no end of a block"),
                "a fault of this program, not of the course: the theme: no end",
            ),
        ];
        for (make, words) in broken {
            writer.make = make;
            writer.take(read(words)).expect("told");
            let shown = writer.board.shown();
            assert!(page(&writer).contains("Good."));
            assert_eq!(shown.report.summary, "Preview: 1 error. The last good site is shown.");
            assert!(shown.report.lines[0].message.starts_with(words), "{:?}", shown.report.lines);
            let told = String::from_utf8_lossy(&writer.told).into_owned();
            assert!(told.contains(words) && told.ends_with("the last good site is shown.\n"), "{told}");
        }
        writer.make = pipeline::site;
        writer.take(read("Mended.")).expect("told");
        assert!(page(&writer).contains("Mended.") && !writer.board.shown().report.is_stale);
    }
}
