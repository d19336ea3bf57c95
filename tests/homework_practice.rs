//! Practice, and homework where a browser gives less: no script, no storage, a telephone, paper, Firefox.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_tests::browser::{A4, Chromium, Firefox, shared};
use fieldcoil_tests::checklist::{bench, is_shown, open_fresh};
use fieldcoil_tests::homework::{
    KEY, PAGE, answer, codes, course, enter, items, press, said, value, without_term,
};
use fieldcoil_tests::pdf::{read, squeezed};
use fieldcoil_tests::repository;
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> =
    LazyLock::new(|| Built::of(&course(), &folder().join("practice")).expect("the course builds"));

const AREA: &str = "#homework-1-practice";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).to_path_buf()
}

/// The numbers that stand in a problem, field by field.
fn shown(browser: &mut Chromium, inside: &str) -> Result<Value> {
    let script = "return Object.fromEntries([...document.querySelectorAll(arguments[0] + ' [data-drawn]')] \
                  .map(place => [place.dataset.drawn, place.textContent]))";
    browser.run(script, &[json!(inside)])
}

/// Practises the first problem, drawn by this key for this word.
fn practise(browser: &mut Chromium, key: &str, code: &str) -> Result<()> {
    let item = items()?.remove(0);
    let told = |attempt: u32| {
        let numbers = item.numbers(&Lot { key, code, attempt });
        (json!(item.told_all(&numbers).into_iter().collect::<std::collections::BTreeMap<_, _>>()), numbers)
    };
    ensure!(!is_shown(browser, "#homework-1 .hint")?, "a hint shows beside a graded problem");
    press(browser, "#homework-1 [data-do=practise]")?;
    ensure!(browser.text(&format!("{AREA} h4"))? == "Practice 1, not handed in");
    ensure!(browser.run("return document.activeElement.dataset.part", &[])? == json!("practice-title"));
    let (first, numbers) = told(1);
    ensure!(shown(browser, AREA)? == first, "{} {first}", shown(browser, AREA)?);
    let right = item.answers(&numbers);
    let [Some(ohm), Some(volt)] = right[..] else { anyhow::bail!("no answers") };

    // A hint on demand; the answer after a try, and not before.
    ensure!(
        is_shown(browser, &format!("{AREA} .hint"))? && browser.text(&format!("{AREA} .hint p"))?.is_empty()
    );
    press(browser, &format!("{AREA} .hint summary"))?;
    ensure!(browser.text(&format!("{AREA} .hint p"))?.contains("counts twice"));
    let said_at =
        |browser: &mut Chromium, ask: &str| said(browser, &format!("#homework-1-{ask}-said-practice"));
    press(browser, &format!("{AREA} [data-do=check]"))?;
    ensure!(said_at(browser, "a")? == "Nothing was answered.");
    let working = "return [...document.querySelectorAll('#homework-1-practice [data-part=working]')] \
                   .map(part => part.textContent.length > 0)";
    ensure!(browser.run(working, &[])? == json!([false, false]));
    let typed = |value: f64, unit: &str| format!("{value:.4} {unit}").replace('.', ",");
    for (text, says) in [
        (typed(ohm * 2e3, "mΩ"), "Not right yet."),
        (typed(ohm * 1e3, "V"), "The number is right. Its unit is missing or wrong."),
        (
            typed(ohm * 1e6, "mΩ"),
            "The figures are right. The power of ten is not: look at the prefix of the unit.",
        ),
        (typed(ohm * 1e3, "mΩ"), "Right."),
    ] {
        answer(browser, "#homework-1-a-practice", &text)?;
        ensure!(said_at(browser, "a")? == says, "{text}: {}", said_at(browser, "a")?);
        ensure!(browser.run(working, &[])? == json!([true, false]), "{text}");
    }
    answer(browser, "#homework-1-b-practice", &typed(volt, "V"))?;
    ensure!(said_at(browser, "b")? == "Right.");
    press(browser, &format!("{AREA} [data-part=working] summary"))?;
    let steps = browser.text(&format!("{AREA} [data-part=working]"))?;
    let answer = item.asks[0].shown(ohm).replace('\u{a0}', " ");
    ensure!(steps.contains(&format!("Right is {answer}.")), "{steps}");
    ensure!(steps.contains("Resistance"), "{steps}");

    // Kept over a reload; new numbers are the next attempt, with empty boxes.
    browser.reload()?;
    press(browser, "#homework-1 [data-do=practise]")?;
    ensure!(shown(browser, AREA)? == first && !value(browser, "#homework-1-a-practice")?.is_empty());
    press(browser, &format!("{AREA} [data-do=new-numbers]"))?;
    ensure!(browser.text(&format!("{AREA} h4"))?.starts_with("Practice 2"));
    ensure!(shown(browser, AREA)? == told(2).0 && value(browser, "#homework-1-a-practice")?.is_empty());
    ensure!(said_at(browser, "a")?.is_empty() && browser.run(working, &[])? == json!([false, false]));
    press(browser, &format!("{AREA} [data-do=end-practice]"))?;
    ensure!(!is_shown(browser, AREA)?);
    ensure!(browser.run("return faults", &[])? == json!([]));
    Ok(())
}

#[test]
fn practice_marks_at_once_and_nothing_of_it_is_handed_in() -> Result<()> {
    let code = codes(1)[0];
    let mut browser = bench();
    open_fresh(&mut browser, &SITE.file_address(PAGE))?;
    practise(&mut browser, KEY, "practice")?;
    open_fresh(&mut browser, &SITE.file_address(PAGE))?;
    enter(&mut browser, &code.to_string())?;
    practise(&mut browser, KEY, &code.plain())?;
    ensure!(value(&mut browser, "#homework-1-a")?.is_empty());
    press(&mut browser, "[data-do=hand-in]")?;
    ensure!(said(&mut browser, "[data-part=handin-status]")?.starts_with("0 of 8"));
    Ok(())
}

#[test]
fn without_a_term_there_is_practice_and_no_handing_in() -> Result<()> {
    let source = folder().join("termless-course");
    without_term(&source)?;
    let site = Built::of(&source, &folder().join("termless"))?;
    let (_, html) = site.pages().find(|(path, _)| *path == PAGE).context("the page")?;
    for absent in ["data-term-key", "data-code-line", "data-handin", KEY] {
        ensure!(!html.contains(absent), "{absent} is on the page");
    }
    let mut browser = bench();
    open_fresh(&mut browser, &site.file_address(PAGE))?;
    practise(&mut browser, "", "practice")
}

#[test]
fn without_script_the_problem_reads_and_says_where_its_numbers_are() -> Result<()> {
    let mut browser = shared();
    browser.scripts(false)?;
    browser.open(&SITE.file_address(PAGE))?;
    browser.scripts(true)?;
    let text = browser.text("#homework-1")?;
    ensure!(
        text.contains("A motor draws ____ through ____ of ____") && text.contains("paper handout"),
        "{text}"
    );
    for hidden in
        ["#homework-1-a", "#homework-1-code", "#worksheet-1 input", "[data-do=practise]", "#hand-in-load"]
    {
        ensure!(!is_shown(&mut browser, hidden)?, "{hidden} shows, and nothing would answer it");
    }
    Ok(())
}

#[test]
fn where_nothing_can_be_kept_the_page_says_so_and_works_on() -> Result<()> {
    let [first, second] = [0, 1].map(|at| codes(2)[at].to_string());
    let mut browser = Chromium::start_unlogged()?;
    browser.before_every_page(
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } }); \
         let ms = 0; performance.now = () => ms += 1000; window.forward = () => {};",
    )?;
    browser.open(&SITE.file_address(PAGE))?;
    enter(&mut browser, &first)?;
    answer(&mut browser, "#homework-1-a", "1 mΩ")?;
    ensure!(said(&mut browser, "#homework-1 [data-part=saved]")?.contains("keeps nothing"));
    for code in [&second, &first] {
        press(&mut browser, "#homework-1 [data-do=change-code]")?;
        press(&mut browser, "#homework-1 [data-do=change-code]")?;
        enter(&mut browser, code)?;
    }
    ensure!(value(&mut browser, "#homework-1-a")? == "1 mΩ");
    press(&mut browser, "[data-do=hand-in]")?;
    ensure!(is_shown(&mut browser, "[data-part=link]")?);
    Ok(())
}

/// Everything open: practice with marks and working, the list of what is handed in.
fn open_all(browser: &mut Chromium) -> Result<()> {
    enter(browser, &codes(1)[0].to_string())?;
    answer(browser, "#homework-1-a", "much")?;
    press(browser, "#homework-1 [data-do=practise]")?;
    answer(browser, "#homework-1-a-practice", "1 mΩ")?;
    press(browser, "#homework-1-practice [data-do=check]")?;
    press(browser, "[data-do=hand-in]")?;
    browser.run("document.querySelectorAll('details').forEach(part => part.open = true)", &[])?;
    Ok(())
}

#[test]
fn a_telephone_shows_all_of_it_in_reach_of_a_glove() -> Result<()> {
    let mut browser = bench();
    browser.telephone(360, 740)?;
    open_fresh(&mut browser, &SITE.file_address(PAGE))?;
    for open in [false, true] {
        if open {
            open_all(&mut browser)?;
        }
        let width = browser.run("return document.documentElement.scrollWidth", &[])?;
        ensure!(width == json!(360), "{width} wide");
        let found = browser.run(
            "const all = [...document.querySelectorAll(':is(.homework, .handin, .worksheet) \
                 :is(button, input, textarea, summary, .handin-file a)')].filter(node => node.checkVisibility()); \
             return [all.length, all.filter(node => node.getBoundingClientRect().height < 47.9) \
                 .map(node => [node.id || node.dataset.do || node.textContent, node.offsetHeight])]",
            &[],
        )?;
        ensure!(found[1] == json!([]), "too small: {}", found[1]);
        let count = found[0].as_u64().context("a number")?;
        ensure!(count > if open { 25 } else { 12 }, "only {count} were looked at");
    }
    Ok(())
}

#[test]
fn axe_finds_nothing_with_all_of_it_open() -> Result<()> {
    let tool = repository::root().join("tests/tools/node_modules/axe-core/axe.min.js");
    let axe = std::fs::read_to_string(&tool)
        .with_context(|| format!("{} is missing: tests/run installs it", tool.display()))?;
    let mut browser = bench();
    for scheme in ["light", "dark"] {
        browser.media("", scheme)?;
        open_fresh(&mut browser, &SITE.file_address(PAGE))?;
        for open in [false, true] {
            if open {
                open_all(&mut browser)?;
            }
            browser.run(&axe, &[])?;
            let found = browser.run_later(
                "const done = arguments[0]; \
                 axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }) \
                     .then(run => done(run.violations.map(one => [one.id, one.nodes.map(node => node.target.join(' '))]))) \
                     .catch(problem => done(String(problem)))",
                &[],
            )?;
            ensure!(found == json!([]), "{scheme}, open: {open}: {found}");
        }
    }
    Ok(())
}

#[test]
fn labels_say_what_a_box_is_for() -> Result<()> {
    let mut browser = bench();
    open_fresh(&mut browser, &SITE.file_address(PAGE))?;
    open_all(&mut browser)?;
    for (selector, name) in [
        ("#homework-1-a", "What is the resistance of the loop?"),
        ("#homework-1-a-practice", "What is the resistance of the loop?"),
        ("#homework-1-reason-1", "Would you fit this cable? Say why."),
        ("#worksheet-1 [data-box=settled_current_a]", "Settled current, A"),
        ("#worksheet-1 textarea", "Which reading was the hardest to take?"),
    ] {
        ensure!(browser.spoken(selector)? == ("textbox".to_owned(), name.to_owned()), "{selector}");
    }
    ensure!(browser.spoken("#hand-in-load")?.1 == "Load a hand-in");
    // Telephones have no Ω among their keys.
    let unit = browser.text("#homework-1-a-unit")?;
    ensure!(unit == "number and unit, in mΩ or mohm", "{unit}");
    Ok(())
}

#[test]
fn a_copy_is_printed_alone_and_the_sheet_stays_blank() -> Result<()> {
    let code = codes(1)[0].to_string();
    let mut browser = bench();
    open_fresh(&mut browser, &SITE.file_address(PAGE))?;
    enter(&mut browser, &code)?;
    answer(&mut browser, "#homework-1-a", "1,73 mΩ")?;
    answer(&mut browser, "#worksheet-1 [data-box=settled_current_a]", "62.625")?;
    let printed = |browser: &mut Chromium, name: &str| -> Result<String> {
        let pdf = browser.print(A4)?;
        let sheets = read(&pdf, &folder().join(name))?;
        Ok(sheets.iter().map(|sheet| sheet.squeezed()).collect())
    };
    let page = printed(&mut browser, "homework-page.pdf")?;
    ensure!(page.contains(&squeezed("Drop of a run")));
    ensure!(!page.contains(&squeezed("Hand in")) && !page.contains(&squeezed("Practise with")), "{page}");

    browser.run("window.print = () => {}", &[])?;
    press(&mut browser, "[data-do=print-hand-in]")?;
    let copy = printed(&mut browser, "homework-copy.pdf")?;
    for wanted in
        [code.as_str(), "1,73 mΩ", "62.625", "What is the resistance of the loop?", "0 of 23 steps done."]
    {
        ensure!(copy.contains(&squeezed(wanted)), "“{wanted}” is not on the copy: {copy}");
    }
    ensure!(!copy.contains(&squeezed("It can throw what is loose")), "{copy}");
    browser.run("dispatchEvent(new Event('afterprint'))", &[])?;
    ensure!(browser.run("return document.documentElement.dataset.print ?? null", &[])? == Value::Null);

    // The bench sheet keeps the same readings, and is for a pencil.
    browser.open(&SITE.file_address(&PAGE.replace(".html", "-sheet.html")))?;
    let sheet = printed(&mut browser, "homework-sheet.pdf")?;
    ensure!(sheet.contains(&squeezed("Settled current")) && !sheet.contains("62.625"), "{sheet}");
    Ok(())
}

#[test]
fn firefox_draws_keeps_and_hands_in() -> Result<()> {
    let item = items()?.remove(0);
    let code = codes(1)[0];
    let plain = code.plain();
    let numbers = item.told_all(&item.numbers(&Lot { key: KEY, code: &plain, attempt: 0 }));
    let mut firefox = Firefox::start().context("firefox-esr (apt: firefox-esr) must start")?;
    firefox.open(&SITE.file_address(PAGE))?;
    firefox.run(
        "const typed = document.querySelector('#homework-1-code'); typed.value = arguments[0]; typed.form.requestSubmit()",
        &[json!(code.to_string())],
    )?;
    firefox.type_into("#homework-1-a", "1,73 mΩ")?;
    firefox.open("about:blank")?;
    firefox.open(&SITE.file_address(PAGE))?;
    for (field, text) in numbers {
        let shown = firefox.run(
            "return document.querySelector(`#homework-1 [data-drawn=${arguments[0]}]`).textContent",
            &[json!(field)],
        )?;
        ensure!(shown == json!(text), "{field}: {shown}");
    }
    let kept = firefox.run("return document.querySelector('#homework-1-a').value", &[])?;
    ensure!(kept == json!("1,73 mΩ"), "{kept}");
    let link = firefox.run(
        "document.querySelector('[data-do=hand-in]').click(); \
         const link = document.querySelector('[data-part=link]'); return [link.checkVisibility(), link.download, link.protocol]",
        &[],
    )?;
    ensure!(link == json!([true, format!("handin_cables-and-a-run_{code}.json"), "blob:"]), "{link}");
    Ok(())
}
