//! Self-checks in a real browser: every kind answered wrongly and rightly with the keyboard alone, over a reload, with a
//! checker of accessibility, on a telephone, without script, and on paper.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::{A4, Chromium, LETTER, shared};
use fieldcoil_tests::checker::{axe, nu, violations};
use fieldcoil_tests::pdf::{read, squeezed};
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::course("tests/courses/checks", &folder().join("selfchecks")).expect("the course of checks builds")
});

const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const DOWN: &str = "\u{e015}";
const SHIFT: &str = "\u{e008}";
const SPACE: &str = " ";

/// The questions of the course by their number.
const ONE: usize = 1;
const SEVERAL: usize = 2;
const WORKED: usize = 3;
const SAID: usize = 4;
const STEPS: usize = 5;
const SENTENCES: usize = 6;
const LABEL: usize = 7;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).to_path_buf()
}

fn page() -> String {
    SITE.file_address("checks.html")
}

fn question(number: usize) -> String {
    format!("#selfcheck-1-{number}")
}

/// Presses the Tab key until the focus is there, with the Shift key when that is the shorter way.
fn tab_to(browser: &mut Chromium, selector: &str) -> Result<()> {
    let script = "const [at, to] = [document.activeElement, document.querySelector(arguments[0])]; \
         const seen = at.matches(':focus-visible') && parseFloat(getComputedStyle(at).outlineWidth) >= 2; \
         return [at.matches(arguments[0]), seen, \
             Boolean(at.compareDocumentPosition(to) & Node.DOCUMENT_POSITION_PRECEDING)]";
    for _ in 0..90 {
        let found = browser.run(script, &[json!(selector)])?;
        if found[0] == json!(true) {
            ensure!(found[1] == json!(true), "the focus is not to be seen at {selector}");
            return Ok(());
        }
        match found[2] == json!(true) {
            true => browser.chord(SHIFT, TAB)?,
            false => browser.keys(TAB)?,
        }
    }
    anyhow::bail!("the Tab key does not reach {selector}")
}

fn check(browser: &mut Chromium, number: usize) -> Result<(Value, String)> {
    tab_to(browser, &format!("{} [data-do=check]", question(number)))?;
    browser.keys(SPACE)?;
    said(browser, number)
}

/// The state of a question and what stands under it.
fn said(browser: &mut Chromium, number: usize) -> Result<(Value, String)> {
    let script = "const question = document.querySelector(arguments[0]); \
         return [question.dataset.state ?? null, question.querySelector('[data-part=says]').textContent]";
    let answer = browser.run(script, &[json!(question(number))])?;
    Ok((answer[0].clone(), answer[1].as_str().context("a text")?.to_owned()))
}

fn count(browser: &mut Chromium) -> Result<String> {
    browser.text("#selfcheck-1 [data-part=count]")
}

/// The selector of the box whose text begins so.
fn choice(browser: &mut Chromium, number: usize, text: &str) -> Result<String> {
    let script = "return [...document.querySelectorAll(arguments[0] + ' .choice')] \
             .find(row => row.textContent.trim().startsWith(arguments[1])).querySelector('input').value";
    let value = browser.run(script, &[json!(question(number)), json!(text)])?;
    Ok(format!("{} [value=\"{}\"]", question(number), value.as_str().context("a value")?))
}

/// Goes to the first box of a question and with the arrow keys on to the one with this text.
fn choose(browser: &mut Chromium, number: usize, text: &str) -> Result<()> {
    let wanted = choice(browser, number, text)?;
    tab_to(browser, &format!("{} input", question(number)))?;
    browser.keys(SPACE)?;
    for _ in 0..4 {
        let is_there = "return document.querySelector(arguments[0]).checked";
        if browser.run(is_there, &[json!(wanted)])? == json!(true) {
            return Ok(());
        }
        browser.keys(DOWN)?;
    }
    anyhow::bail!("the arrow keys do not reach “{text}”")
}

fn texts(browser: &mut Chromium, number: usize) -> Result<Vec<String>> {
    let script =
        "return [...document.querySelectorAll(arguments[0] + ' .order-text')].map(node => node.textContent)";
    Ok(serde_json::from_value(browser.run(script, &[json!(question(number))])?)?)
}

/// Puts things in order with the buttons alone: each is moved up until it stands where it belongs.
fn put_in_order(browser: &mut Chromium, number: usize, wanted: &[&str]) -> Result<()> {
    for (place, text) in wanted.iter().enumerate() {
        let script = "return [...document.querySelectorAll(arguments[0] + ' [data-item]')] \
                 .find(item => item.textContent.includes(arguments[1])).dataset.item";
        let key = browser.run(script, &[json!(question(number)), json!(text)])?;
        let up = format!("{}-{}-up", question(number), key.as_str().context("a key")?);
        ensure!(
            browser.spoken(&up)? == ("button".to_owned(), format!("Move up: {text}")),
            "{:?}",
            browser.spoken(&up)?
        );
        let mut at = texts(browser, number)?.iter().position(|other| other == text).context("it is there")?;
        while at > place {
            tab_to(browser, &up)?;
            browser.keys(SPACE)?;
            at -= 1;
            ensure!(texts(browser, number)?[at] == *text, "“{text}” has not moved up");
            let (_, words) = said(browser, number)?;
            ensure!(words == format!("“{text}” is now number {} of {}.", at + 1, wanted.len()), "{words}");
            let focused = browser.run("return '#' + document.activeElement.id", &[])?;
            ensure!(focused == json!(up), "the button keeps the focus: {focused}");
        }
    }
    Ok(())
}

fn answer_wrongly(browser: &mut Chromium) -> Result<()> {
    let wrong = json!("wrong");
    let (state, words) = check(browser, ONE)?;
    ensure!(state == json!(null) && words == "Answer the question first.", "{words}");
    choose(browser, ONE, "A shorted armature")?;
    let (state, words) = check(browser, ONE)?;
    ensure!(state == wrong && words == "Not yet. A short draws more current, not less.", "{words}");

    for text in ["Rings", "Safety glasses"] {
        let box_ = choice(browser, SEVERAL, text)?;
        tab_to(browser, &box_)?;
        browser.keys(SPACE)?;
    }
    let (state, words) = check(browser, SEVERAL)?;
    let expected = "Not yet. Glasses stay on until the bench is cleared.\nOne right answer is still missing.";
    ensure!(state == wrong && words == expected, "{words}");
    Ok(())
}

fn type_number(browser: &mut Chromium, number: usize, text: &str) -> Result<(Value, String)> {
    let entry = format!("{} [data-part=number]", question(number));
    tab_to(browser, &entry)?;
    // Control and A choose what stands there.
    browser.chord("\u{e009}", "a")?;
    browser.keys(text)?;
    let (state, words) = said(browser, number)?;
    ensure!(
        state == json!(null) && words.is_empty(),
        "what was said does not speak of what is typed: {words}"
    );
    browser.keys(ENTER)?;
    said(browser, number)
}

/// The number of the question that a calculator works, worked here with so much of a way back.
fn drop_v(run_return_m: &str) -> f64 {
    let calculator = fieldcoil_calc::catalog::find("voltage-drop").expect("in the catalog");
    let mut inputs = fieldcoil_calc::input::Inputs::starting(calculator);
    for (field, text) in [
        ("current_a", "180"),
        ("run_out_m", "6 ft"),
        ("run_return_m", run_return_m),
        ("conductor_size", "35 mm2"),
    ] {
        inputs.set(field, text).expect("a value");
    }
    let report = calculator.evaluate(&inputs).expect("it can be worked");
    let answer = report.answers.iter().find(|answer| answer.output.name == "drop_v").expect("an answer");
    match answer.value {
        fieldcoil_calc::report::Value::Number(value, _) => value,
        _ => panic!("no number"),
    }
}

#[test]
fn every_kind_is_answered_wrongly_and_rightly_with_the_keyboard_alone() -> Result<()> {
    let mut browser = shared();
    browser.open(&page())?;
    ensure!(count(&mut browser)? == "0 of 7 right");
    let hidden = "return [...document.querySelectorAll('.check-answer')].every(part => part.hidden)";
    ensure!(browser.run(hidden, &[])? == json!(true), "answers are out of sight until one is given");
    answer_wrongly(&mut browser)?;

    let (right, one_way) = (drop_v("1"), drop_v("0"));
    ensure!(one_way < 0.9 * right, "{one_way} of {right}");
    for (text, expected) in [
        ("lots".to_owned(), "Not yet. This is no number with a unit."),
        (format!("{right:.4}"), "Not yet. The number is right. Its unit is missing or wrong."),
        (
            format!("{one_way:.4} V"),
            "Not yet. That is the drop of the way out alone: current comes back too.",
        ),
        ("9 V".to_owned(), "Not yet. So much would stop the motor."),
        ("3 V".to_owned(), "Not yet."),
        (
            format!("{right:.4} mV"),
            "Not yet. The figures are right. The power of ten is not: look at the prefix of the unit.",
        ),
    ] {
        let (state, words) = type_number(&mut browser, WORKED, &text)?;
        ensure!(state == json!("wrong") && words == expected, "{text}: {words}");
    }
    let (state, words) = type_number(&mut browser, SAID, "12,6 V")?;
    ensure!(state == json!("wrong") && words.ends_with("taken away, not added."), "{words}");

    // As it comes, the order is not the right one.
    let (state, words) = check(&mut browser, STEPS)?;
    ensure!(state == json!("wrong") && words.contains("comes too early"), "{words}");
    let (state, words) = check(&mut browser, SENTENCES)?;
    ensure!(state == json!("wrong") && words.contains("comes too early"), "{words}");

    for (place, keys) in [(1, "Mot"), (2, "Mai")] {
        tab_to(&mut browser, &format!("{}-{place}", question(LABEL)))?;
        browser.keys(keys)?;
    }
    let (state, words) = check(&mut browser, LABEL)?;
    ensure!(state == json!(null) && words == "Answer the question first.", "a place is left: {words}");
    tab_to(&mut browser, &format!("{}-3", question(LABEL)))?;
    browser.keys("+")?;
    let (state, words) = check(&mut browser, LABEL)?;
    let expected = "Not yet. Number 1 is not “Motor”. A switch stands in a line that can be opened.\n\
                    Number 2 is not “Main switch”.";
    ensure!(state == json!("wrong") && words == expected, "{words}");
    ensure!(count(&mut browser)? == "0 of 7 right");

    answer_rightly(&mut browser, right)?;
    keeps_and_forgets(&mut browser)
}

fn answer_rightly(browser: &mut Chromium, drop_v: f64) -> Result<()> {
    let right = json!("right");
    choose(browser, ONE, "High resistance")?;
    let (state, words) = check(browser, ONE)?;
    ensure!(state == right && words.starts_with("Right. A free motor that turns slowly"), "{words}");
    for text in ["Safety glasses", "A watch"] {
        let box_ = choice(browser, SEVERAL, text)?;
        tab_to(browser, &box_)?;
        browser.keys(SPACE)?;
    }
    ensure!(check(browser, SEVERAL)? == (right.clone(), "Right.".to_owned()));
    let (state, words) = type_number(browser, WORKED, &format!("{:.1} mV", drop_v * 1000.0))?;
    ensure!(state == right && words == "Right. Current runs through the whole loop.", "{words}");
    ensure!(type_number(browser, SAID, "12,21 V")? == (right.clone(), "Right.".to_owned()));
    let steps = [
        "Clip the return lead to the bare case.",
        "Connect the supply lead to the main terminal.",
        "Connect the start lead to the start terminal.",
        "Call the instructor.",
    ];
    put_in_order(browser, STEPS, &steps)?;
    ensure!(check(browser, STEPS)?.0 == right);
    put_in_order(browser, SENTENCES, &["Set the range.", "Connect the leads.", "Read the display."])?;
    ensure!(check(browser, SENTENCES)?.0 == right);
    for (place, keys) in [(1, "Mai"), (2, "Mot")] {
        tab_to(browser, &format!("{}-{place}", question(LABEL)))?;
        browser.keys(keys)?;
    }
    ensure!(check(browser, LABEL)? == (right, "Right. Terminal 31 is the return.".to_owned()));
    ensure!(count(browser)? == "7 of 7 right");
    Ok(())
}

fn keeps_and_forgets(browser: &mut Chromium) -> Result<()> {
    let all = "return [...document.querySelectorAll('#selfcheck-1 :is(input, select)')] \
             .map(node => node.type === 'text' || node.matches('select') ? node.value : node.checked) \
         .concat([...document.querySelectorAll('.order-text, [data-part=says]')].map(node => node.textContent))";
    let before = browser.run(all, &[])?;
    browser.reload()?;
    ensure!(count(browser)? == "7 of 7 right", "after a reload");
    let after = browser.run(all, &[])?;
    // What was said of the last move is not said again.
    ensure!(before == after, "{before}\n{after}");
    // An answer that is not checked is kept too, and stays unchecked.
    type_number(browser, SAID, "1 V")?;
    tab_to(browser, &format!("{} [data-part=number]", question(SAID)))?;
    browser.keys("1")?;
    browser.reload()?;
    ensure!(count(browser)? == "6 of 7 right");
    let entry = format!("{} [data-part=number]", question(SAID));
    ensure!(browser.run("return document.querySelector(arguments[0]).value", &[json!(entry)])? != json!(""));
    ensure!(said(browser, SAID)?.0 == json!(null));

    tab_to(browser, "#selfcheck-1 [data-do=start-again]")?;
    browser.keys(SPACE)?;
    ensure!(count(browser)? == "All questions are open again.");
    browser.reload()?;
    let fresh = browser.run(all, &[])?;
    browser.run("localStorage.clear()", &[])?;
    browser.reload()?;
    ensure!(fresh == browser.run(all, &[])?, "nothing is left");
    ensure!(count(browser)? == "0 of 7 right");
    let console = browser.console()?;
    ensure!(console.is_empty(), "{console:?}");
    Ok(())
}

#[test]
fn checkers_find_nothing_before_and_after_answers() -> Result<()> {
    let axe = axe()?;
    let mut browser = shared();
    for (media, scheme) in [("", "light"), ("", "dark"), ("print", "light")] {
        browser.media(media, scheme)?;
        browser.open(&page())?;
        // What a checker does not look at: words in a drawing have the colours of the page.
        let ink = "const [text, mark] = ['.check svg .name', '.ask-mark text'] \
                 .map(part => getComputedStyle(document.querySelector(part)).fill); \
             return [text === getComputedStyle(document.querySelector('.check')).color, mark !== 'rgb(0, 0, 0)']";
        ensure!(
            media == "print" || browser.run(ink, &[])? == json!([true, true]),
            "{scheme}: words are lost"
        );
        for answered in [false, true] {
            if answered {
                browser.run(
                    "document.querySelectorAll('.selfcheck :is(input:not([type=text]))').forEach(box => box.checked = true); \
                     document.querySelectorAll('.selfcheck [type=text]').forEach(box => box.value = '12.2 V'); \
                     document.querySelectorAll('.selfcheck select').forEach(list => list.selectedIndex = 1); \
                     document.querySelectorAll('[data-do=check]').forEach(button => button.click()); \
                     document.querySelectorAll('details').forEach(part => part.open = true)",
                    &[],
                )?;
                let states = "return document.querySelectorAll('.check[data-state]').length";
                ensure!(browser.run(states, &[])? == json!(7), "every question is answered");
            }
            let mut faults = violations(&mut browser, &axe)?;
            // Nobody touches paper: boxes are for a pencil there.
            faults.retain(|fault| !(media == "print" && fault[0] == "target-size"));
            ensure!(faults.is_empty(), "{media}{scheme}, answered: {answered}: {faults:?}");
        }
    }
    let (clean, words) = nu(&[SITE.folder.join("checks.html")])?;
    ensure!(clean && words.is_empty(), "{words}");
    Ok(())
}

#[test]
fn on_a_telephone_all_of_it_fits_and_is_large_enough_for_a_glove() -> Result<()> {
    let mut browser = shared();
    browser.telephone(360, 740)?;
    browser.open(&page())?;
    let box_ = choice(&mut browser, ONE, "High resistance")?;
    browser.tap(&format!(".choice:has({})", box_.split(' ').next_back().context("a value")?), (100, 0))?;
    browser.tap(&format!("{} [data-do=check]", question(ONE)), (0, 0))?;
    ensure!(said(&mut browser, ONE)?.0 == json!("right"));
    let found = browser.run(
        "const parts = [...document.querySelectorAll('.selfcheck :is(.choice, button, select, [type=text], summary)')] \
             .filter(node => node.offsetParent); \
         return [document.documentElement.scrollWidth, parts.length, parts \
             .filter(node => node.offsetWidth < 48 || node.offsetHeight < 48) \
             .map(node => [node.className, node.id, node.offsetWidth, node.offsetHeight])]",
        &[],
    )?;
    ensure!(found[0] == json!(360), "{found}");
    ensure!(found[1].as_u64() > Some(25) && found[2] == json!([]), "{found}");
    Ok(())
}

#[test]
fn without_script_every_question_can_be_read_and_unfolds_its_answer() -> Result<()> {
    let mut browser = shared();
    browser.scripts(false)?;
    browser.open(&page())?;
    browser.scripts(true)?;
    let seen = browser.run(
        "const shown = node => node.checkVisibility(); \
         return [...document.querySelectorAll('.check')].map(check => [ \
             shown(check.querySelector('.check-ask')), shown(check.querySelector('summary')), \
             check.querySelector('details').open, \
             [...check.querySelectorAll('button')].some(shown), \
             check.querySelector('details').textContent.trim().length > 3])",
        &[],
    )?;
    ensure!(seen == json!(vec![json!([true, true, false, false, true]); 7]), "{seen}");
    browser.click(&format!("{} summary", question(STEPS)))?;
    let answer = browser.text(&format!("{} details", question(STEPS)))?;
    let places = ["Clip the return", "Connect the supply", "Connect the start", "Call the instructor"]
        .map(|text| answer.find(text));
    ensure!(places.iter().all(Option::is_some) && places.is_sorted(), "{answer}");
    Ok(())
}

#[test]
fn on_paper_it_is_a_quiz_without_answers() -> Result<()> {
    let mut browser = shared();
    browser.open(&page())?;
    // Answered and unfolded on the screen, it prints as if nothing had been done.
    choose(&mut browser, ONE, "High resistance")?;
    check(&mut browser, ONE)?;
    type_number(&mut browser, SAID, "12.2 V")?;
    browser.run("document.querySelectorAll('details').forEach(part => part.open = true)", &[])?;
    for paper in [A4, LETTER] {
        let sheets = read(&browser.print(paper)?, &folder().join(format!("selfchecks-{}.pdf", paper.name)))?;
        let all: String = sheets.iter().map(|sheet| sheet.squeezed()).collect();
        for text in [
            "What does that point to?",
            "A shorted armature",
            "Safety glasses",
            "How many volts are lost?",
            "Clip the return lead to the bare case.",
            "What is what in this diagram?",
            "Number 3",
            "Main switch",
        ] {
            ensure!(all.contains(&squeezed(text)), "{}: “{text}” is on no sheet", paper.name);
        }
        for text in [
            "Not yet.",
            "Right.",
            "A short draws more current",
            "has resistance in its path",
            "Current runs through the whole loop",
            "accepted",
            "of 7 right",
            "Start again",
            "Terminal 31 is the return",
            "12.2 V",
        ] {
            ensure!(!all.contains(&squeezed(text)), "{}: “{text}” is on paper", paper.name);
        }
    }
    Ok(())
}
