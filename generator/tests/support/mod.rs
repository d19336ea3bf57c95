//! Small courses for tests: a lesson written from a list of steps.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// A `course.toml` that says what it must.
pub const COURSE: &str = "title = \"Test course\"\nsummary = \"For tests.\"\nschool = \"No school\"\nauthor = \"Nobody\"\n\
                      edition = \"1\"\n";

/// The `lesson` block of a lesson about nothing.
pub const HEAD: &str =
    "```lesson\ntitle = \"Test\"\nsummary = \"A test.\"\nminutes = 5\noutcomes = [\"Test.\"]\n```\n\n";

/// A lesson with one hookup and a sheet that has what it reads.
pub fn steps(options: &str, lines: &str) -> String {
    let bench = options.split(' ').next().unwrap_or_default();
    // The safety note above the list: `note=words_with_low_lines`, or one that tells of every hazard.
    let note = options.split(' ').find_map(|option| option.strip_prefix("note="));
    let note =
        note.unwrap_or("Hot parts, gas, short circuit; pinion, fan and vehicle start.").replace('_', " ");
    let options = options.split(' ').skip(1).filter(|option| !option.starts_with("note="));
    let mut out = format!(
        "{HEAD}```caution\nsignal = \"notice\"\nhazard = \"{note}\"\n```\n\n\
         ```hookup\ntitle = \"Test\"\nbench = \"{bench}\"\n"
    );
    let mut readings = BTreeSet::new();
    let mut taken = BTreeMap::new();
    for option in options {
        match option.split_once('=') {
            Some((state @ ("at-rest" | "after-release"), name)) => {
                taken.insert(name.to_owned(), state);
            }
            _ => {
                let _ = writeln!(out, "{}", option.replacen('=', " = ", 1));
            }
        }
    }
    for list in ["hookup", "run", "unhook"] {
        let own: Vec<&str> = lines.lines().filter(|line| line.split(' ').next() == Some(list)).collect();
        if own.is_empty() {
            continue;
        }
        let _ = writeln!(out, "{list} = [");
        for line in own {
            let mut words = line.split(' ').skip(1);
            let action = words.next().expect("a step has an action");
            let _ = write!(out, "  {{ do = \"{action}\"");
            for word in words {
                let key = match action {
                    _ if word.parse::<f64>().is_ok() => "seconds",
                    "read" => "reading",
                    _ => "part",
                };
                if key == "reading" {
                    readings.insert(word.to_owned());
                }
                let quote = if key == "seconds" { "" } else { "\"" };
                let _ = write!(out, ", {key} = {quote}{word}{quote}");
            }
            let _ = writeln!(out, ", say = \"Do it.\" }},");
        }
        out.push_str("]\n");
    }
    out.push_str("```\n");
    if !readings.is_empty() {
        out.push_str("\n```worksheet\ntitle = \"Test\"\n");
        for name in readings {
            let _ =
                write!(out, "[[reading]]\nname = \"{name}\"\nlabel = \"Test\"\nunit = \"{}\"\n", unit(&name));
            out.push_str("limit = \"any\"\nsource = \"invented\"\n");
            if let Some(state) = taken.get(&name) {
                let _ = writeln!(out, "taken = \"{state}\"");
            }
        }
        out.push_str("```\n");
    }
    out
}

/// The unit that the name of a reading ends in.
fn unit(name: &str) -> &'static str {
    let units = [("_a", "A"), ("_v", "V"), ("_ohm", "Ω"), ("_rpm", "rpm")];
    units.iter().find(|(ending, _)| name.ends_with(ending)).map_or("", |(_, unit)| unit)
}
