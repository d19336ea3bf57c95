//! What keeps the code readable: who may use whom, where the disk is touched, how files begin and how long they are.

use std::collections::BTreeSet;

use fieldcoil_calc::catalog::CATALOG;
use fieldcoil_tests::repository::{files, read, root};
use fieldcoil_tests::rust::{code, names_after};
use sha2::{Digest, Sha256};

/// What stands at the top for a reader, and what tools and builds put there.
const TOP: [&str; 10] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "calc-wasm",
    "content",
    "generator",
    "tests",
    "theme",
];
const BUILT: [&str; 4] = ["grades", "handouts", "site", "target"];

/// The steps from texts to a folder, first to last, with what they share between them. None uses a later one; texts
/// and findings belong together, since a finding points into a text and reading texts gives findings.
const STEPS: [&[&str]; 10] = [
    &[
        "source",
        "finding",
        "formula",
        "symbol",
        "layout",
        "memo",
        "threads",
        "worked",
        "complaint",
        "portable",
        "roster",
        "web_address",
    ],
    &["course"],
    &["site"],
    &["asset"],
    &["parse"],
    &["resolve"],
    &["proof"],
    &["render"],
    &["handouts", "grade"],
    &["publish"],
];

/// Where the generator may touch the disk, the network, other programs and the clock.
const DOORS: [&str; 7] =
    ["source/load.rs", "publish", "asset/", "preview/server.rs", "preview/watch.rs", "command/", "main.rs"];

fn rust_files() -> Vec<String> {
    ["generator", "calc-wasm", "tests"].iter().flat_map(|folder| files(folder, "rs")).collect()
}

fn written_files() -> Vec<String> {
    let mut all = rust_files();
    for ending in ["css", "js", "html", "toml"] {
        all.extend(files("theme", ending));
    }
    all
}

#[test]
fn the_top_level_is_what_the_readme_shows() {
    let found: BTreeSet<String> = std::fs::read_dir(root())
        .expect("a readable folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && !BUILT.contains(&name.as_str()))
        .collect();
    assert_eq!(found, TOP.iter().map(|name| (*name).to_owned()).collect());
}

#[test]
fn every_rust_file_opens_with_what_it_is_for() {
    for path in rust_files() {
        let text = read(&path);
        let sentence = text.lines().next().and_then(|line| line.strip_prefix("//! ")).unwrap_or_default();
        assert!(sentence.len() > 10, "{path} opens with “{sentence}”");
    }
}

#[test]
fn no_file_is_longer_than_a_person_reads() {
    for path in written_files() {
        let lines = read(&path).lines().count();
        assert!(lines <= 600, "{path} has {lines} lines");
    }
}

fn rank(step: &str) -> Option<usize> {
    STEPS.iter().position(|names| names.contains(&step))
}

#[test]
fn no_step_uses_a_later_one() {
    for path in files("generator/src", "rs") {
        let below = path.strip_prefix("generator/src/").expect("below src");
        let step = below.split(['/', '.']).next().expect("a name");
        let Some(rank) = rank(step) else { continue };
        for used in names_after(&code(&read(&path)), "crate::") {
            let earlier = self::rank(&used).is_some_and(|other| other <= rank);
            assert!(earlier, "{path} uses `{used}`, which is no earlier step");
        }
    }
}

#[test]
fn only_the_pipeline_goes_through_several_steps() {
    for path in files("generator/src", "rs") {
        let below = path.strip_prefix("generator/src/").expect("below src");
        let step = below.split(['/', '.']).next().expect("a name");
        if rank(step).is_some() || matches!(step, "pipeline" | "lib") {
            continue;
        }
        let used: Vec<String> = names_after(&code(&read(&path)), "crate::")
            .into_iter()
            .filter(|name| ["parse", "resolve", "proof", "render"].contains(&name.as_str()))
            .collect();
        assert!(used.is_empty(), "{path} uses {used:?} past the pipeline");
    }
}

#[test]
fn the_disk_and_the_clock_are_touched_at_the_doors_alone() {
    for path in files("generator/src", "rs") {
        let below = path.strip_prefix("generator/src/").expect("below src");
        if DOORS.iter().any(|door| below.starts_with(door)) {
            continue;
        }
        assert_touches_nothing(&path);
        // Chance too comes in at a door: codes are drawn there, and everything else follows from what is given.
        assert!(!code(&read(&path)).contains("getrandom"), "{path} draws at random");
        // So do requests, changes of files and signals.
        for library in ["hyper", "tokio", "notify::", "ctrlc"] {
            assert!(!code(&read(&path)).contains(library), "{path} uses {library}");
        }
    }
    for path in files("calc-wasm/src", "rs") {
        assert_touches_nothing(&path);
    }
}

fn assert_touches_nothing(path: &str) {
    for name in names_after(&code(&read(path)), "std::") {
        assert!(!["fs", "net", "process", "time", "env"].contains(&name.as_str()), "{path} uses std::{name}");
    }
}

#[test]
fn only_the_page_side_of_the_library_knows_a_page() {
    for path in files("calc-wasm/src", "rs").iter().filter(|path| !path.contains("/browser/")) {
        let text = code(&read(path));
        for name in ["wasm_bindgen", "web_sys", "js_sys"] {
            assert!(!text.contains(name), "{path} names {name}");
        }
    }
    for path in files("calc-wasm/src", "rs").iter().chain(&files("theme", "js")) {
        let text = code(&read(path));
        for word in ["fetch(", "XMLHttpRequest", "WebSocket", "sendBeacon", "innerHTML"] {
            assert!(!text.contains(word), "{path} has {word}");
        }
        // One door for HTML into the page, for what `view` has escaped.
        let doors = if path.ends_with("browser/dom.rs") { 1 } else { 0 };
        assert_eq!(text.matches("inner_html").count(), doors, "{path} writes HTML into the page");
    }
}

/// Their last digits differ between platforms, so a number in a lesson would not be the page's.
#[test]
fn functions_that_differ_between_platforms_come_through_one_door() {
    let forbidden = [
        ".powf(", ".powi(", ".exp(", ".exp2(", ".ln(", ".log(", ".log2(", ".log10(", ".sin(", ".cos(",
        ".tan(", ".cbrt(",
    ];
    for path in files("calc-wasm/src", "rs").iter().filter(|path| !path.ends_with("math.rs")) {
        let text = code(&read(path));
        for name in forbidden {
            assert!(!text.contains(name), "{path} calls {name})");
        }
    }
}

#[test]
fn nothing_is_left_for_later_or_switched_off() {
    for path in rust_files().iter().filter(|path| *path != "tests/tidy.rs") {
        let text = read(path);
        for word in ["todo!(", "unimplemented!(", "dbg!(", "FIXME", "XXX", "#[ignore", "#[should_panic"] {
            assert!(!text.contains(word), "{path} has {word}");
        }
    }
}

#[test]
fn a_module_is_one_file_or_one_folder_with_a_list() {
    for path in rust_files() {
        if let Some(folder) = path.strip_suffix("/mod.rs") {
            assert!(!root().join(format!("{folder}.rs")).exists(), "{folder} is both");
            let lines = read(&path).lines().count();
            assert!(lines <= 300, "{path} has {lines} lines: a list and one way in");
        }
    }
}

#[test]
fn no_file_speaks_of_the_machine_it_was_written_on() {
    let mut all = written_files();
    all.extend(files("content", ""));
    all.extend(["README.md", "DEVELOPERS.md", "Cargo.toml"].map(str::to_owned));
    for path in all.iter().filter(|path| *path != "tests/tidy.rs") {
        let Ok(text) = String::from_utf8(std::fs::read(root().join(path)).expect("readable")) else {
            continue;
        };
        for place in ["/work/", "/root/", "../shared", "/tmp/target"] {
            assert!(!text.contains(place), "{path} names {place}");
        }
    }
}

/// The hash that `calc-wasm/rebuild` writes: every source with its own, then the versions that shape the module.
fn sources_hash() -> String {
    let mut list: Vec<String> = files("calc-wasm/src", "");
    list.push("calc-wasm/Cargo.toml".to_owned());
    list.sort();
    let mut text = String::new();
    for path in list {
        let bytes = std::fs::read(root().join(&path)).expect("readable");
        text.push_str(&format!("{}  {path}\n", hash(&bytes)));
    }
    let lock: toml::Table = read("Cargo.lock").parse().expect("a lock file");
    let packages = lock["package"].as_array().expect("packages");
    for name in ["libm", "wasm-bindgen", "web-sys"] {
        let package = packages.iter().find(|package| package["name"].as_str() == Some(name)).expect("locked");
        text.push_str(&format!("{name} {}\n", package["version"].as_str().expect("a version")));
    }
    hash(text.as_bytes())
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn the_module_in_dist_is_the_one_of_these_sources() {
    let record: toml::Table = read("calc-wasm/dist/manifest.toml").parse().expect("a record");
    let recorded = |name: &str| record[name].as_str().expect("text").to_owned();
    assert_eq!(recorded("sources"), sources_hash(), "the sources have changed: run calc-wasm/rebuild");
    for (file, name) in [("calc.wasm", "module_sha256"), ("calc.js", "glue_sha256")] {
        let bytes = std::fs::read(root().join("calc-wasm/dist").join(file)).expect("readable");
        assert_eq!(recorded(name), hash(&bytes), "{file} is not the recorded one");
    }
    let packed = |name: &str| record["bytes"][name].as_integer().expect("a size");
    assert!(packed("module_gzip") + packed("glue_gzip") <= 222_000, "the module outgrows 222 kB compressed");
}

#[test]
fn the_module_carries_no_path_of_a_machine() {
    let bytes = std::fs::read(root().join("calc-wasm/dist/calc.wasm")).expect("readable");
    let text = String::from_utf8_lossy(&bytes);
    for place in ["/root/", "/home/", "/work/", "/tmp/", ".cargo/registry"] {
        assert!(!text.contains(place), "the module carries {place}");
    }
}

#[test]
fn every_calculator_is_in_a_lesson() {
    let lessons: String = files("content", "md").iter().map(|path| read(path)).collect();
    for calculator in CATALOG {
        assert!(
            lessons.contains(&format!("use = \"{}\"", calculator.name)),
            "{} is in no lesson",
            calculator.name
        );
    }
}
