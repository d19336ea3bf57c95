//! Homework in a real browser: a code is entered, work is done and kept, handed in as a file, and loaded again.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_calc::homework::draw::Lot;
use fieldcoil_tests::browser::Chromium;
use fieldcoil_tests::checklist::{
    bench, done, forward, hold, is_shown, open_fresh, pause, tick, timer_of, until,
};
use fieldcoil_tests::homework::{
    KEY, PAGE, SECOND, answer, codes, course, enter, hand_in, items, press, said, value,
};
use fieldcoil_tests::server::Server;
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> =
    LazyLock::new(|| Built::of(&course(), &folder().join("homework")).expect("the course builds"));
static SERVER: LazyLock<Server> =
    LazyLock::new(|| Server::start(&SITE.folder, "/shop/course/").expect("a port is free"));

const STATUS: &str = "[data-part=handin-status]";
const LOAD: &str = "#hand-in-load";
const SETTLED: &str = "#worksheet-1 [data-box=settled_current_a]";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).to_path_buf()
}

fn addresses(page: &str) -> [String; 2] {
    [format!("{}{page}", SERVER.address), SITE.file_address(page)]
}

/// What a self-check shows: answers, what is said to them, and whether the right ones can be unfolded.
const SELFCHECK: &str = "const all = selector => [...document.querySelectorAll('#selfcheck-1 ' + selector)]; \
    return { states: all('[data-question]').map(one => one.dataset.state), \
        texts: all(':is(.order-text, [data-part=says], [data-part=count])').map(one => one.textContent), \
        chosen: all('input').map(one => one.checked), shut: all('details').map(one => one.hidden) }";

/// An empty folder for what is saved.
fn saved(name: &str) -> Result<PathBuf> {
    let folder = folder().join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    Ok(folder)
}

/// Enters one code after the other and gives the numbers that the page shows to each.
const ENTER_ALL: &str = r##"
const line = document.querySelector("#homework-1 [data-code-line]");
const [change, typed] = ["[data-do=change-code]", "[data-part=code-typed]"].map(part => line.querySelector(part));
return arguments[0].map(code => {
    if (line.querySelector("[data-part=code-entry]").hidden) {
        for (let press = 0; press < 2; press += 1) { forward(1000); change.click(); }
    }
    typed.value = code;
    typed.form.requestSubmit();
    return [...document.querySelectorAll("[data-part=problem]")].map(problem =>
        [...problem.querySelectorAll("[data-drawn]")].map(place => [place.dataset.drawn, place.textContent]));
});
"##;

#[test]
fn two_hundred_students_have_the_same_numbers_in_the_page_and_natively() -> Result<()> {
    let items = items()?;
    let codes = codes(200);
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[0])?;
    let shown: Vec<String> = codes.iter().map(ToString::to_string).collect();
    let found = browser.run(ENTER_ALL, &[json!(shown)])?;
    let mut seen = 0;
    for (code, problems) in codes.iter().zip(found.as_array().context("a list")?) {
        let plain = code.plain();
        for (item, problem) in items.iter().zip(problems.as_array().context("problems")?) {
            let told = item.told_all(&item.numbers(&Lot { key: KEY, code: &plain, attempt: 0 }));
            let mut told: Vec<Value> = told.iter().map(|(field, text)| json!([field, text])).collect();
            let mut problem = problem.as_array().context("numbers")?.clone();
            // The text tells them in an order of its own.
            told.sort_by_key(Value::to_string);
            problem.sort_by_key(Value::to_string);
            ensure!(told == problem, "{code}, {}: {told:?} natively, {problem:?} in the page", item.name);
            seen += told.len();
        }
    }
    ensure!(seen == 200 * 9, "{seen} numbers");
    Ok(())
}

/// What a student does on the page, code and all.
fn work(browser: &mut Chromium, code: &str) -> Result<()> {
    ensure!(said(browser, "#homework-1 .problem [data-drawn=current_a]")? == "____");
    ensure!(!is_shown(browser, "#homework-1-a")?, "there is a box for an answer, and no problem yet");
    ensure!(enter(browser, "BK4-7TX0")?.contains("No code has a “0”"));
    ensure!(enter(browser, "BK4")?.contains("7 letters"));
    let refused = "return document.querySelectorAll('[data-part=code-typed][aria-invalid]').length";
    ensure!(browser.run(refused, &[])? == json!(1), "the box does not say that its code was refused");
    // As people type it: small letters, no hyphen.
    ensure!(enter(browser, &code.to_lowercase().replace('-', ""))?.is_empty());
    ensure!(browser.run(refused, &[])? == json!(0));
    for id in ["homework-1", "homework-2", "homework-3", "hand-in"] {
        ensure!(browser.text(&format!("#{id} [data-part=code]"))? == code, "{id} does not show the code");
    }
    answer(browser, "#homework-1-a", "1,73 mΩ")?;
    ensure!(said(browser, "#homework-1-a-said")?.is_empty(), "nothing is said of right and wrong");
    for (typed, says) in
        [("much", "This is no number."), ("3 kA", "“kA” is no unit for this."), ("3", "No unit is written.")]
    {
        answer(browser, "#homework-1-b", typed)?;
        ensure!(said(browser, "#homework-1-b-said")? == says, "{typed}");
    }
    answer(browser, "#homework-1-b", "480 mV")?;
    ensure!(said(browser, "#homework-1-b-said")?.is_empty());
    answer(browser, "#homework-1-reason-1", "No: \"too thin\" <b>&\\\nand too long")?;
    answer(browser, SETTLED, "62.5")?;
    answer(browser, "#worksheet-1 [data-box=pinion]", "out, and back in")?;
    answer(browser, "#worksheet-1 textarea", "The first one")?;
    ensure!(said(browser, "#worksheet-1 [data-part=saved]")?.starts_with("Saved at "));
    tick(browser, 1..=12)?;
    press(browser, &timer_of(13))?;
    hold(browser)?;
    forward(browser, 4200)?;
    press(browser, &timer_of(13))?;
    tick(browser, 14..=16)?;
    Ok(())
}

fn expected(code: &str) -> Value {
    json!({
        "fieldcoil_hand_in": 1,
        "course": "Fixture \"course\" & more", "edition": "3", "term": "Autumn 2026",
        "lesson": "cables-and-a-run",
        "code": code,
        "draw": 1, "key": KEY,
        "tool": env!("CARGO_PKG_VERSION"),
        "homework": [
            { "name": "drop-of-a-run", "answers": { "a": "1,73 mΩ", "b": "480 mV" },
              "reasons": ["No: \"too thin\" <b>&\\\nand too long"] },
            { "name": "inside-a-battery", "answers": { "a": "" }, "reasons": [] },
            { "name": "cold-cable", "answers": { "a": "" }, "reasons": [] },
        ],
        "readings": [{ "sheet": "worksheet-1",
            "values": { "settled_current_a": "62.5", "pinion": "out, and back in" }, "answers": ["The first one"] }],
        "checklists": [{ "list": "bench-run", "done": 16, "of": 23, "initials": ["MB"] }],
    })
}

/// Takes the times out of a file, which they have to be in.
fn timeless(mut file: Value) -> Result<Value> {
    for name in ["started", "handed_in"] {
        let time = file[name].as_str().with_context(|| format!("{name} is no text"))?.to_owned();
        ensure!(time.len() == 20 && time.ends_with('Z') && time.starts_with("20"), "{name}: {time}");
        file.as_object_mut().context("a table")?.remove(name);
    }
    let list = file["checklists"][0].as_object_mut().context("a checklist")?;
    let ms = list.remove("energized_ms").context("times energized")?;
    let lasted = ms["13"].as_u64().with_context(|| format!("{ms}"))?;
    // The clocks stood still but for what they were put forward.
    ensure!((4200..9200).contains(&lasted) && ms.as_object().is_some_and(|all| all.len() == 1), "{ms}");
    Ok(file)
}

#[test]
fn a_student_works_reloads_and_hands_in_and_goes_on_elsewhere() -> Result<()> {
    let code = codes(3)[2].to_string();
    for (index, address) in addresses(PAGE).iter().enumerate() {
        let folder = saved(&format!("handed-in-{index}"))?;
        let mut browser = bench();
        open_fresh(&mut browser, address)?;
        work(&mut browser, &code)?;
        let numbers = said(&mut browser, "#homework-1 .homework-text")?;
        browser.reload()?;
        ensure!(said(&mut browser, "#homework-1 .homework-text")? == numbers && !numbers.contains("__"));
        ensure!(
            value(&mut browser, "#homework-1-a")? == "1,73 mΩ" && value(&mut browser, SETTLED)? == "62.5"
        );
        ensure!(done(&mut browser)? == 16);

        let (file, read) = hand_in(&mut browser, &folder)?;
        let focused = browser.run("return document.activeElement.dataset.part", &[])?;
        ensure!(focused == json!("link"), "the next key does not save the file: {focused}");
        let name = format!("handin_cables-and-a-run_{code}.json");
        ensure!(file.file_name().is_some_and(|found| found == name.as_str()), "{}", file.display());
        ensure!(timeless(read.clone())? == expected(&code), "{read:#}");
        ensure!(said(&mut browser, STATUS)?.starts_with("6 of 8 boxes are filled in."));
        let list = said(&mut browser, "[data-part=list]")?;
        for wanted in
            ["1,73 mΩ", "<b>&\\", "62.5", "empty", "16 of 23 steps done, initials MB", &code, &numbers]
        {
            ensure!(list.contains(wanted), "“{wanted}” is not in the list: {list}");
        }
        // A change makes the file an old one.
        answer(&mut browser, "#homework-2-a", "5 mΩ")?;
        ensure!(
            !is_shown(&mut browser, "[data-part=file]")? && said(&mut browser, STATUS)?.contains("changed")
        );
        ensure!(browser.run("return faults", &[])? == json!([]));
        drop(browser);

        // Another device: a browser that has never been there, and the other kind of address.
        let mut other = Chromium::start_unlogged()?;
        other.before_every_page(
            "let ms = 0; performance.now = () => ms += 1000; window.forward = () => {};",
        )?;
        other.open(&addresses(PAGE)[1 - index])?;
        other.choose_file(LOAD, &file)?;
        let loaded = format!("document.querySelector('{STATUS}').textContent.startsWith('Loaded: 6 of 8')");
        until(&mut other, &loaded)?;
        ensure!(said(&mut other, "#homework-1 .homework-text")? == numbers);
        ensure!(other.text("#homework-1 [data-part=code]")? == code);
        ensure!(done(&mut other)? == 16);
        other.reload()?;
        let (_, again) = hand_in(&mut other, &saved(&format!("handed-in-again-{index}"))?)?;
        ensure!(again["started"] == read["started"]);
        ensure!(timeless(again.clone())? == expected(&code), "{again:#}");
    }
    Ok(())
}

#[test]
fn a_file_that_does_not_belong_here_is_refused_with_a_sentence() -> Result<()> {
    let folder = saved("refused")?;
    let code = codes(1)[0].to_string();
    let good = json!({ "fieldcoil_hand_in": 1, "course": "Fixture \"course\" & more", "lesson": "cables-and-a-run",
        "code": code, "draw": 1, "key": KEY, "homework": [{ "name": "drop-of-a-run", "answers": { "a": "1 mΩ" } }] });
    let changed = |name: &str, to: Value| {
        let mut file = good.clone();
        file[name] = to;
        file.to_string()
    };
    let cases = [
        ("no-json", "a reading: 62 A".to_owned(), "This file is no hand-in."),
        ("cut", good.to_string()[..80].to_owned(), "This file is no hand-in."),
        ("deep", "[".repeat(200_000), "This file is no hand-in."),
        ("large", " ".repeat(300_000), "This file is too large"),
        ("version", changed("fieldcoil_hand_in", json!(2)), "made by another version"),
        ("course", changed("course", json!("<img src=x>")), "another course: <img src=x>."),
        ("lesson", changed("lesson", json!("second-sheet")), "another lesson: second-sheet."),
        ("lesson-kind", changed("lesson", json!(5)), "another lesson"),
        ("draw", changed("draw", json!(2)), "made for another term"),
        ("key", changed("key", json!("spring")), "made for another term"),
        ("code", changed("code", json!("BK4-7TXQQ")), "has a slip in it"),
    ];
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[0])?;
    for (name, text, says) in &cases {
        let file = folder.join(format!("{name}.json"));
        std::fs::write(&file, text)?;
        browser.run("document.querySelector(arguments[0]).textContent = ''", &[json!(STATUS)])?;
        browser.choose_file(LOAD, &file)?;
        until(&mut browser, &format!("document.querySelector('{STATUS}').textContent"))?;
        let said = said(&mut browser, STATUS)?;
        ensure!(said.contains(says), "{name}: {said}");
        ensure!(
            browser.run("return Object.keys(localStorage).filter(key => key !== 'wall')", &[])? == json!([])
        );
    }
    // What is missing is empty, and what nobody knows is passed over.
    let file = folder.join("good.json");
    std::fs::write(&file, changed("checklists", json!([{ "list": "bench-run", "done": 99, "of": 7 }, 5])))?;
    browser.choose_file(LOAD, &file)?;
    until(
        &mut browser,
        &format!("document.querySelector('{STATUS}').textContent.startsWith('Loaded: 1 of 8')"),
    )?;
    ensure!(done(&mut browser)? == 0, "ticks of a list of another length were taken");
    ensure!(browser.run("return faults", &[])? == json!([]));
    Ok(())
}

#[test]
fn answers_stay_with_their_code_and_the_code_with_the_course() -> Result<()> {
    let [first, second] = [0, 1].map(|at| codes(2)[at].to_string());
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[1])?;
    // A reading taken before there is a code belongs to the first one.
    answer(&mut browser, SETTLED, "61")?;
    press(&mut browser, "[data-do=hand-in]")?;
    ensure!(said(&mut browser, STATUS)? == "Enter your code first.");
    ensure!(browser.run("return document.activeElement.id", &[])? == json!("hand-in-code"));
    enter(&mut browser, &first)?;
    ensure!(value(&mut browser, SETTLED)? == "61");
    answer(&mut browser, "#homework-1-a", "1 mΩ")?;
    let numbers = said(&mut browser, "#homework-1 .homework-text")?;

    let change = "#homework-1 [data-do=change-code]";
    press(&mut browser, change)?;
    ensure!(browser.text(change)?.starts_with("Press again"));
    browser.run("document.activeElement.blur()", &[])?;
    ensure!(browser.text(change)? == "Change code", "a question left is taken back");
    press(&mut browser, change)?;
    press(&mut browser, change)?;
    enter(&mut browser, &second)?;
    ensure!(value(&mut browser, "#homework-1-a")?.is_empty() && value(&mut browser, SETTLED)?.is_empty());
    ensure!(said(&mut browser, "#homework-1 .homework-text")? != numbers);
    answer(&mut browser, "#homework-1-a", "2 mΩ")?;

    // The bench sheet keeps readings together with the lesson, and another lesson knows the code.
    browser.open(&addresses("cables-and-a-run-sheet.html")[1])?;
    answer(&mut browser, SETTLED, "63")?;
    browser.open(&addresses(SECOND)[1])?;
    ensure!(browser.text("#homework-1 [data-part=code]")? == second);
    browser.open(&addresses(PAGE)[1])?;
    ensure!(value(&mut browser, SETTLED)? == "63");
    press(&mut browser, change)?;
    press(&mut browser, change)?;
    enter(&mut browser, &first)?;
    ensure!(value(&mut browser, "#homework-1-a")? == "1 mΩ" && value(&mut browser, SETTLED)? == "61");

    tick(&mut browser, 1..=3)?;
    let untouched = browser.run(SELFCHECK, &[])?;
    for button in
        ["[data-do=down]", "[data-question=order] [data-do=check]", "[data-question=one] [data-do=check]"]
    {
        let first = "#selfcheck-1 [data-question=one] label:last-of-type input";
        browser.run("document.querySelector(arguments[0]).click()", &[json!(first)])?;
        press(&mut browser, &format!("#selfcheck-1 {button}"))?;
    }
    let answered = browser.run(SELFCHECK, &[])?;
    let states = answered["states"].as_array().context("states")?;
    ensure!(states.iter().all(Value::is_string) && answered["texts"] != untouched["texts"], "{answered}");
    browser.run("localStorage.setItem('fieldcoil:another-course:code', 'X')", &[])?;
    let delete = "[data-do=delete]";
    press(&mut browser, delete)?;
    ensure!(browser.text(delete)?.starts_with("Press again") && done(&mut browser)? == 3);
    press(&mut browser, delete)?;
    let kept = browser.run("return Object.keys(localStorage).filter(key => key !== 'wall')", &[])?;
    ensure!(kept == json!(["fieldcoil:another-course:code"]), "{kept}");
    ensure!(said(&mut browser, "[data-part=deleted]")?.starts_with("Nothing of yours"));
    for reload in [false, true] {
        if reload {
            browser.reload()?;
        }
        ensure!(value(&mut browser, SETTLED)?.is_empty() && done(&mut browser)? == 0);
        let now = browser.run(SELFCHECK, &[])?;
        ensure!(now == untouched, "reload {reload}: {now}");
        ensure!(said(&mut browser, "#homework-1 .problem [data-drawn=current_a]")? == "____");
        ensure!(
            value(&mut browser, "#homework-1-a")?.is_empty() && is_shown(&mut browser, "#homework-1-code")?
        );
    }
    ensure!(browser.run("return faults", &[])? == json!([]));
    Ok(())
}

#[test]
fn nothing_is_asked_of_the_network_but_the_page_itself() -> Result<()> {
    let folder = saved("unsent")?;
    let code = codes(1)[0].to_string();
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[0])?;
    browser.requests()?;
    enter(&mut browser, &code)?;
    answer(&mut browser, "#homework-1-a", "1 mΩ")?;
    let (file, _) = hand_in(&mut browser, &folder)?;
    browser.choose_file(LOAD, &file)?;
    until(&mut browser, &format!("document.querySelector('{STATUS}').textContent.startsWith('Loaded')"))?;
    let asked: Vec<String> =
        browser.requests()?.into_iter().filter(|address| !address.starts_with("blob:")).collect();
    ensure!(asked.is_empty(), "asked for: {asked:?}");
    Ok(())
}

const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const QUESTION: &str = "#hand-in-question";

/// Loads a file of which the page has to ask first, and gives what it asks.
fn asked(browser: &mut Chromium, file: &Path) -> Result<String> {
    pause(browser)?;
    browser.choose_file(LOAD, file)?;
    until(browser, &format!("document.querySelector('{QUESTION}').checkVisibility()"))?;
    let active = browser.run("return document.activeElement.id", &[])?;
    ensure!(active == json!("hand-in-question"), "whoever sees nothing hears the question: {active}");
    said(browser, QUESTION)
}

#[test]
fn a_file_over_other_work_asks_first_and_is_answered_with_the_keyboard() -> Result<()> {
    let folder = saved("over-work")?;
    let [first, second] = [0, 1].map(|at| codes(2)[at].to_string());
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[1])?;
    let never = "for (const name of ['confirm', 'alert', 'prompt']) window[name] = () => { faults.push(name); return true; }";
    browser.run(never, &[])?;
    enter(&mut browser, &first)?;
    answer(&mut browser, "#homework-1-a", "1 mΩ")?;
    answer(&mut browser, SETTLED, "61")?;
    tick(&mut browser, 1..=3)?;
    let (file, _) = hand_in(&mut browser, &folder)?;
    let loaded = format!("document.querySelector('{STATUS}').textContent.startsWith('Loaded: 2 of 8')");

    // The same work is nothing to ask about.
    browser.choose_file(LOAD, &file)?;
    until(&mut browser, &loaded)?;

    answer(&mut browser, "#homework-1-a", "2 mΩ")?;
    answer(&mut browser, "#homework-2-a", "7 mΩ")?;
    tick(&mut browser, 4..=4)?;
    let question = asked(&mut browser, &file)?;
    for words in [
        format!("Under {first} this browser keeps 3 filled boxes and 4 ticked steps, last saved "),
        "The file has 2 boxes and 3 steps, handed in ".to_owned(),
    ] {
        ensure!(question.contains(&words), "{question}");
    }
    // Both times are told by day and hour of this place.
    let here = browser.run("return new Date().toString().slice(0, 15)", &[])?;
    ensure!(
        question.matches(here.as_str().context("a day")?).count() == 2,
        "{question}, and today is {here}"
    );
    ensure!(
        value(&mut browser, "#homework-1-a")? == "2 mΩ" && done(&mut browser)? == 4,
        "nothing is replaced yet"
    );

    // What stands here stays.
    pause(&mut browser)?;
    browser.keys(TAB)?;
    ensure!(browser.run("return document.activeElement.dataset.do", &[])? == json!("keep"));
    browser.keys(ENTER)?;
    ensure!(said(&mut browser, STATUS)?.starts_with("Nothing was loaded."));
    ensure!(!is_shown(&mut browser, QUESTION)? && value(&mut browser, "#homework-1-a")? == "2 mΩ");
    ensure!(browser.run("return document.activeElement.id", &[])? == json!("hand-in-load"));
    browser.reload()?;
    browser.run(never, &[])?;
    ensure!(value(&mut browser, "#homework-1-a")? == "2 mΩ" && done(&mut browser)? == 4);

    // A question that is left for other work is taken back.
    asked(&mut browser, &file)?;
    answer(&mut browser, "#homework-2-a", "8 mΩ")?;
    ensure!(!is_shown(&mut browser, QUESTION)?);

    // The file takes its place.
    asked(&mut browser, &file)?;
    pause(&mut browser)?;
    browser.keys(TAB)?;
    browser.keys(TAB)?;
    browser.keys(ENTER)?;
    until(&mut browser, &loaded)?;
    for reload in [false, true] {
        if reload {
            browser.reload()?;
            browser.run(never, &[])?;
        }
        ensure!(
            value(&mut browser, "#homework-1-a")? == "1 mΩ" && done(&mut browser)? == 3,
            "reload {reload}"
        );
        ensure!(value(&mut browser, "#homework-2-a")?.is_empty() && !is_shown(&mut browser, QUESTION)?);
    }

    // Ticks stand under no code, and the file of somebody else has others.
    let mut others: Value = serde_json::from_str(&std::fs::read_to_string(&file)?)?;
    others["code"] = json!(second);
    others["handed_in"] = json!("<b>some day</b>");
    others["checklists"][0]["done"] = json!(2);
    let other = folder.join("other.json");
    std::fs::write(&other, others.to_string())?;
    let question = asked(&mut browser, &other)?;
    ensure!(
        question.contains(&format!("Under {second} this browser keeps 0 filled boxes and 3 ticked")),
        "{question}"
    );
    ensure!(question.contains("handed in at a time that is not known."), "{question}");
    // Without ticks nobody has to be asked: that code has no work here.
    others["checklists"] = json!([]);
    std::fs::write(&other, others.to_string())?;
    pause(&mut browser)?;
    browser.choose_file(LOAD, &other)?;
    until(&mut browser, &loaded)?;
    ensure!(browser.text("#homework-1 [data-part=code]")? == second && !is_shown(&mut browser, QUESTION)?);
    ensure!(browser.run("return faults", &[])? == json!([]));
    Ok(())
}
