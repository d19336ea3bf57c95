//! Which names of files survive on other systems: a course is carried home on a stick, and its site goes to a server.
//!
//! The rules are those that Windows and macOS state for their own disks. They were worked from the rules alone; no such
//! machine was at hand to try them on.

use unicode_normalization::{UnicodeNormalization, is_nfc};

/// Names that Windows keeps for devices, with any ending.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "conin$", "conout$"];
/// Signs that have a meaning in paths of Windows.
const SIGNS: [char; 9] = ['<', '>', ':', '"', '|', '?', '*', '\\', '/'];
/// Windows ends a path at 260 units with the drive and its end; so much is left for the folder it is carried to.
pub const LONGEST: usize = 180;

/// Why a path below a course or a site does not survive elsewhere; nothing when it does.
pub fn unfit(path: &str) -> Option<String> {
    let units = path.encode_utf16().count();
    if units > LONGEST {
        return Some(format!("the path has {units} letters; beyond {LONGEST} Windows may not copy it"));
    }
    path.split('/').find_map(unfit_name)
}

fn unfit_name(name: &str) -> Option<String> {
    if is_device(name) {
        return Some(format!("Windows keeps the name `{name}` for a device"));
    }
    if let Some(sign) = name.chars().find(|c| SIGNS.contains(c)) {
        return Some(format!("Windows takes no `{sign}` in a name"));
    }
    if name.chars().any(char::is_control) {
        return Some("the name has an invisible character".to_owned());
    }
    if name.ends_with(['.', ' ']) {
        return Some("Windows drops a full stop or a blank at the end of a name".to_owned());
    }
    if !is_nfc(name) {
        return Some(
            "a letter of the name is written in two parts, letter and mark; systems differ in that"
                .to_owned(),
        );
    }
    None
}

/// Is it the name of a device? Those of Windows count with any ending: `con.md` is the console.
pub fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end_matches(' ').to_lowercase();
    let numbered = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
    DEVICES.contains(&stem.as_str())
        || numbered.is_some_and(|rest| {
            matches!(rest, "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "¹" | "²" | "³")
        })
}

/// Two paths with one key are one file on a disk that does not tell capitals from small letters.
pub fn key(path: &str) -> String {
    path.nfc().flat_map(char::to_lowercase).nfc().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordinary_names_of_every_script_survive() {
        for path in [
            "10-safety.md",
            "pictures/bench layout.svg",
            "30-cables/20_joints.md",
            "10-Anlaßer-für-é.md",
            "10-電気.md",
            "console.md",
            "com.md",
            "com10.md",
            "lpt.md",
            "common/auxiliary.md",
            ".hidden",
        ] {
            assert_eq!(unfit(path), None, "{path}");
        }
    }

    #[test]
    fn names_that_windows_or_macos_change_do_not() {
        for (path, word) in [
            ("con.md", "device"),
            ("CON", "device"),
            ("Aux.tar.md", "device"),
            ("pictures/nul.png", "device"),
            ("com1/a.md", "device"),
            ("lpt9.md", "device"),
            ("com\u{b9}.md", "device"),
            ("con .md", "device"),
            ("what?.md", "`?`"),
            ("a:b.md", "`:`"),
            ("a\\b.md", "takes no"),
            ("10-end./a.md", "at the end"),
            ("10-end /a.md", "at the end"),
            ("10-a\u{7}.md", "invisible"),
            ("10-cafe\u{301}.md", "two parts"),
        ] {
            let problem = unfit(path).unwrap_or_default();
            assert!(problem.contains(word), "{path}: {problem}");
        }
    }

    #[test]
    fn length_counts_as_windows_counts_it() {
        let path = |letter: &str, count: usize| format!("{}.md", letter.repeat(count));
        assert_eq!(unfit(&path("a", LONGEST - 3)), None);
        assert!(unfit(&path("a", LONGEST - 2)).is_some());
        // A sign outside the first plane counts twice there.
        assert_eq!(unfit(&path("\u{10330}", (LONGEST - 3) / 2)), None);
        assert!(unfit(&path("\u{10330}", LONGEST / 2)).is_some());
    }

    #[test]
    fn capitals_and_marks_do_not_tell_names_apart() {
        assert_eq!(key("Pictures/Bench.PNG"), key("pictures/bench.png"));
        assert_eq!(key("caf\u{e9}.md"), key("cafe\u{301}.md"));
        assert_eq!(key("CAF\u{c9}.md"), key("cafe\u{301}.md"));
        assert_ne!(key("bench-1.png"), key("bench-2.png"));
    }
}
