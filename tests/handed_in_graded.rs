//! From the page to the gradebook: a student answers in a browser, hands in, and `grade` gives the marks that are due.

use std::path::Path;

use anyhow::{Context, Result, ensure};
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_calc::homework::item::Item;
use fieldcoil_calc::number::figures;
use fieldcoil_tests::checklist::{bench, open_fresh};
use fieldcoil_tests::homework::{KEY, PAGE, answer, codes, course, enter, hand_in, items};
use fieldcoil_tests::program;
use fieldcoil_tests::site::Built;

/// The right answer to an ask with these numbers, in the unit wanted, without it.
fn right(item: &Item, ask: usize, code: &str) -> Result<f64> {
    let numbers = item.numbers(&Lot { key: KEY, code, attempt: 0 });
    let answers = item.answers(&numbers);
    let base = answers[ask].context("these numbers have an answer")?;
    Ok(item.asks[ask].unit.of_base(base))
}

#[test]
fn what_a_student_hands_in_gets_the_marks_that_are_due() -> Result<()> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("graded");
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    let files = folder.join("handed-in");
    std::fs::create_dir_all(&files)?;
    let site = Built::of(&course(), &folder.join("site"))?;
    let code = codes(1)[0];
    let items = items()?;
    let mut browser = bench();
    open_fresh(&mut browser, &site.file_address(PAGE))?;
    enter(&mut browser, &code.to_string())?;
    let plain = code.plain();
    // Right; right figures with the wrong prefix; the right number without its unit; nothing.
    let loop_milliohm = figures(right(&items[0], 0, &plain)?, 4);
    let drop = figures(right(&items[0], 1, &plain)?, 4);
    let inside = figures(right(&items[1], 0, &plain)?, 4);
    answer(&mut browser, "#homework-1-a", &format!("{loop_milliohm} mΩ"))?;
    answer(&mut browser, "#homework-1-b", &format!("{drop} mV"))?;
    answer(&mut browser, "#homework-2-a", &inside)?;
    hand_in(&mut browser, &files)?;
    drop_browser(browser);

    let roster = folder.join("class.csv");
    std::fs::write(&roster, format!("code,name,group\n{code},Somebody Invented,red\n"))?;
    let out = folder.join("grades");
    let path = |path: &Path| path.display().to_string();
    let said = program::run(&[
        "grade",
        &path(&course()),
        &path(&files),
        "--roster",
        &path(&roster),
        "--out",
        &path(&out),
    ]);
    ensure!(said.status == 0, "{said:?}");
    let gradebook = std::fs::read_to_string(out.join("gradebook.csv"))?;
    let mut lines = gradebook.lines();
    let heads: Vec<&str> = lines.next().context("heads")?.split(',').collect();
    let row: Vec<&str> = lines.next().context("a row")?.split(',').collect();
    let cell = |head: &str| -> Result<&str> {
        let at =
            heads.iter().position(|found| *found == head).with_context(|| format!("no column {head}"))?;
        row.get(at).copied().context("a cell")
    };
    ensure!(cell("code")? == code.to_string() && cell("lesson")? == "cables-and-a-run", "{gradebook}");
    // 1 point, half of 2, half of 1, none of 1; the reason is still to be marked.
    ensure!(cell("by_program")? == "2.5" && cell("by_program_possible")? == "5", "{gradebook}");
    for (verdict, count) in
        [("right", "1"), ("power-of-ten", "1"), ("unit", "1"), ("blank", "1"), ("wrong", "0")]
    {
        ensure!(cell(verdict)? == count, "{verdict}: {gradebook}");
    }
    ensure!(!gradebook.contains("Somebody"), "names stay out unless asked for");
    Ok(())
}

/// The next test waits for the browser.
fn drop_browser<T>(browser: T) {
    drop(browser);
}
