//! Any bytes as a hand-in of the tests' course: read, and graded with all tables and pages when they can be read.
#![no_main]

use std::path::Path;
use std::sync::LazyLock;

use fieldcoil::pipeline::Checked;
use fieldcoil::grade::{self, Given, Plan, Wishes, handin};
use fieldcoil::roster::{self, Roster};
use fieldcoil::source::SourceSet;
use libfuzzer_sys::fuzz_target;

static SOURCES: LazyLock<SourceSet> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../generator/tests/grade/course");
    fieldcoil::source::load::course(&folder).expect("the tests' course").0
});

thread_local! {
    // Worked once: the proof of the course's draws takes longer than a hand-in.
    static COURSE: &'static Checked<'static> = Box::leak(Box::new(fieldcoil::pipeline::check(&SOURCES, Vec::new()).0));
}

static ROSTER: LazyLock<Roster> =
    LazyLock::new(|| roster::read("class.csv", include_str!("../seeds/roster/class.csv")).0);

fuzz_target!(|bytes: &[u8]| {
    if handin::read("x.json", bytes).is_err() {
        return;
    }
    let checked = COURSE.with(|checked| *checked);
    let lessons = checked.lessons();
    let plan = Plan::of(checked.course(), &lessons).expect("there is a term");
    let given = vec![Given { file: "x.json".to_owned(), bytes: Ok(bytes.to_vec()) }];
    let wishes = Wishes::default();
    let graded = grade::class(checked.course(), &plan, &ROSTER, given, &wishes, &mut |_, _| ()).expect("graded");
    for (name, bytes) in graded.site.files.iter().filter(|(name, _)| name.ends_with(".html")) {
        let html = String::from_utf8_lossy(bytes);
        assert!(!html.contains("<script"), "{name}");
    }
});
