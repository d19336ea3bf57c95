//! `fieldcoil preview`: the site at an address of this machine, made anew in memory after every save.

use std::io::{self, Write};
use std::sync::Arc;
use std::time::Instant;

use anyhow::{Context, Result};

use super::{Outcome, styled_errors, write_findings};
use crate::finding::{Finding, render};
use crate::options::PreviewOptions;
use crate::preview::server::{Board, serve};
use crate::preview::shown::{Report, Shown, kept_words};
use crate::preview::watch::{Wake, Watch};
use crate::source::SourceSet;
use crate::{pipeline, source};

/// Runs the command until it is stopped.
pub fn run(options: &PreviewOptions) -> Result<Outcome> {
    // A folder that is not there is a wrong call; one that goes away later may come back.
    let first = source::load::course(&options.course.folder)?;
    let mut watch = Watch::new(&options.course.folder);
    let stopper = watch.stopper();
    ctrlc::set_handler(move || stopper.stop()).context("cannot listen for Ctrl-C")?;
    let board = Arc::new(Board::new(Shown::nothing(Report::default())));
    let mut writer = Writer { options, board: Arc::clone(&board), last: None, told: Vec::new() };
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
    /// What was read last.
    last: Option<(SourceSet, Vec<Finding>)>,
    /// What was told last: each finding as it was printed, and the closing line.
    told: Vec<u8>,
}

impl Writer<'_> {
    fn take(&mut self, read: (SourceSet, Vec<Finding>)) -> Result<()> {
        // Saved as it was: there is nothing to do.
        if self.last.as_ref() == Some(&read) {
            return Ok(());
        }
        let begun = Instant::now();
        let (sources, found) = self.last.insert(read);
        let (course, found) = pipeline::check(sources, found.clone());
        let is_stopped = pipeline::is_stopped(&found, self.options.course.strict);
        let shown = self.board.shown();
        let folder = self.options.course.folder_words();
        let report = Report::new(&found, sources, &folder, is_stopped, shown.has_site());
        let next = match is_stopped {
            true => shown.reported(report),
            false => match pipeline::site(&course, sources) {
                Ok(site) => shown.rebuilt(site, report),
                Err(error) => return self.fail(&error),
            },
        };
        let changed = next.changed_pages(&shown);
        let had_site = shown.has_site();
        self.board.show(next);
        let mut words = Vec::new();
        write_findings(&mut words, styled_errors(), &found, sources, &folder)?;
        let counted = render::count_words(&found);
        let closing = match (is_stopped, counted.as_str()) {
            (true, counted) => format!("{counted}: {}.\n", kept_words(had_site)),
            (false, "") => String::new(),
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
        let report = Report::failure(format!("{error:#}"), shown.has_site());
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

fn say(words: &str) -> io::Result<()> {
    writeln!(io::stdout().lock(), "{words}")
}
