//! A checklist at the bench, in a real browser: with the keyboard alone, with a thumb on a telephone, over a reload.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::Chromium;
use fieldcoil_tests::checklist::{
    List, PAGE, bench, box_of, click, done, forward, is_shown, open_fresh, pause, said, status, tick, timed,
    timer_of, until_says,
};
use fieldcoil_tests::server::Server;
use fieldcoil_tests::site::Built;
use serde_json::json;

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench")).expect("the default course builds")
});
static AT: LazyLock<List> = LazyLock::new(|| {
    let (_, html) = SITE.pages().find(|(path, _)| *path == PAGE).expect("the page");
    List::of(html).expect("a list with every kind of step")
});
static SERVER: LazyLock<Server> =
    LazyLock::new(|| Server::start(&SITE.folder, "/shop/course/").expect("a port is free"));

fn addresses(page: &str) -> [String; 2] {
    [format!("{}{page}", SERVER.address), SITE.file_address(page)]
}

const TAB: &str = "\u{e004}";
const SHIFT: &str = "\u{e008}";
const SPACE: &str = " ";

fn initials_of(step: u64) -> String {
    format!("#hookup-1-{step}-initials")
}

/// What has the focus, as a selector.
fn focused(browser: &mut Chromium) -> Result<String> {
    let focused = browser.run("return '#' + document.activeElement.id", &[])?;
    Ok(focused.as_str().context("a name")?.to_owned())
}

// --- The keyboard ---------------------------------------------------------------------------------------------------

/// Presses the Tab key until the focus is there, and fails when it goes past the checklist.
fn tab_to(browser: &mut Chromium, selector: &str) -> Result<()> {
    let script = "return document.activeElement.matches(arguments[0])";
    for _ in 0..400 {
        if browser.run(script, &[json!(selector)])? == json!(true) {
            return Ok(());
        }
        browser.keys(TAB)?;
    }
    anyhow::bail!("the Tab key does not reach {selector}")
}

fn press_at(browser: &mut Chromium, selector: &str, key: &str) -> Result<()> {
    tab_to(browser, selector)?;
    let seen = browser.run(
        "const box = document.activeElement.getBoundingClientRect(); \
         const at = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2); \
         return [document.activeElement.matches(':focus-visible'), document.activeElement.contains(at), \
                 parseFloat(getComputedStyle(document.activeElement).outlineWidth)]",
        &[],
    )?;
    let marked = seen[2].as_f64().is_some_and(|width| width >= 2.0);
    ensure!(seen[0] == json!(true) && marked, "the focus is not to be seen at {selector}: {seen}");
    ensure!(seen[1] == json!(true), "{selector} has the focus and something lies over it");
    browser.keys(key)
}

/// Moves the focus back by so many stops.
fn tab_back(browser: &mut Chromium, stops: usize) -> Result<()> {
    for _ in 0..stops {
        browser.chord(SHIFT, TAB)?;
    }
    Ok(())
}

#[test]
fn the_keyboard_alone_goes_through_a_whole_hookup() -> Result<()> {
    let mut browser = bench();
    let address = &addresses(PAGE)[1];
    open_fresh(&mut browser, address)?;
    browser.run(
        "document.querySelector('#hookup-1').previousElementSibling.tabIndex = -1; \
                 document.querySelector('#hookup-1').previousElementSibling.focus()",
        &[],
    )?;
    for step in 1..AT.check {
        press_at(&mut browser, &box_of(step), SPACE)?;
        ensure!(done(&mut browser)? == step);
    }

    // The instructor: without initials no tick; the focus goes where they are missing.
    press_at(&mut browser, &box_of(AT.check), SPACE)?;
    ensure!(done(&mut browser)? == AT.check - 1 && status(&mut browser)?.contains("initials"));
    ensure!(focused(&mut browser)? == initials_of(AT.check));
    browser.keys("MB")?;
    tab_back(&mut browser, 1)?;
    pause(&mut browser)?;
    browser.keys(SPACE)?;
    ensure!(done(&mut browser)? == AT.check);

    // The first list is done: it folds, and the focus stands on the first step of the next one.
    ensure!(focused(&mut browser)? == box_of(AT.check + 1));
    ensure!(!is_shown(&mut browser, &box_of(3))?);
    pause(&mut browser)?;
    for step in AT.check + 1..AT.press {
        press_at(&mut browser, &box_of(step), SPACE)?;
    }

    // A press of the timer's button is the tick.
    press_at(&mut browser, &timer_of(AT.press), SPACE)?;
    ensure!(done(&mut browser)? == AT.press && said(&mut browser, "alarm")?.starts_with("Energized"));
    for step in AT.press + 1..=AT.release {
        press_at(&mut browser, &box_of(step), SPACE)?;
    }
    ensure!(timed(&mut browser, AT.press)?.starts_with("Energized for"), "Release ends the stretch");
    for step in AT.release + 1..AT.rest {
        press_at(&mut browser, &box_of(step), SPACE)?;
    }
    browser.reload()?;
    ensure!(done(&mut browser)? == AT.rest - 1, "after a reload");

    // A rest is timed, and ticked when it is over. The box stands before its timer.
    press_at(&mut browser, &timer_of(AT.rest), SPACE)?;
    forward(&mut browser, 120_000)?;
    until_says(&mut browser, "The rest is over")?;
    tab_back(&mut browser, 1)?;
    browser.keys(SPACE)?;
    ensure!(done(&mut browser)? == AT.rest, "{}", status(&mut browser)?);

    press_at(&mut browser, &timer_of(AT.second_press), SPACE)?;
    browser.keys(SPACE)?;
    ensure!(timed(&mut browser, AT.second_press)?.is_empty(), "a bounce is no letting go");
    pause(&mut browser)?;
    browser.keys(SPACE)?;
    ensure!(timed(&mut browser, AT.second_press)?.starts_with("Energized for"), "the same button lets go");
    for step in AT.second_press + 1..AT.last_rest {
        press_at(&mut browser, &box_of(step), SPACE)?;
    }
    // No timer has seen this rest: it takes a second press.
    press_at(&mut browser, &box_of(AT.last_rest), SPACE)?;
    ensure!(done(&mut browser)? == AT.last_rest - 1 && status(&mut browser)?.contains("2:00"));
    pause(&mut browser)?;
    browser.keys(SPACE)?;
    pause(&mut browser)?;
    for step in AT.last_rest + 1..=AT.steps {
        press_at(&mut browser, &box_of(step), SPACE)?;
    }
    ensure!(
        done(&mut browser)? == AT.steps
            && status(&mut browser)? == format!("{0} of {0} steps done.", AT.steps)
    );

    // Start again asks once, in its own place.
    let again = "#hookup-1 [data-do=start-again]";
    press_at(&mut browser, again, SPACE)?;
    ensure!(done(&mut browser)? == AT.steps && browser.text(again)?.contains("wipe"));
    pause(&mut browser)?;
    browser.keys(SPACE)?;
    ensure!(done(&mut browser)? == 0 && browser.text(again)? == "Start again");
    ensure!(browser.run("return document.activeElement.dataset.do", &[])? == json!("start-again"));
    ensure!(said(&mut browser, "timed")?.is_empty() && is_shown(&mut browser, &box_of(3))?);
    browser.reload()?;
    ensure!(done(&mut browser)? == 0);
    ensure!(browser.run("return faults", &[])? == json!([]));
    Ok(())
}

#[test]
fn a_question_left_unanswered_is_taken_back() -> Result<()> {
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[1])?;
    tick(&mut browser, 1..=3)?;
    let again = "#hookup-1 [data-do=start-again]";
    for leave in [
        "document.activeElement.blur()",
        "document.querySelector('#hookup-1-4').click()",
        "document.querySelector('#hookup-1 [data-do=fold]').click()",
    ] {
        pause(&mut browser)?;
        click(&mut browser, again)?;
        click(&mut browser, again)?;
        ensure!(done(&mut browser)? >= 3 && browser.text(again)?.contains("wipe"), "a double click wipes");
        browser.run(leave, &[])?;
        ensure!(browser.text(again)? == "Start again", "{leave}");
        pause(&mut browser)?;
        click(&mut browser, again)?;
        ensure!(done(&mut browser)? >= 3, "{leave}: what was asked before is no answer now");
        browser.run("document.activeElement.blur()", &[])?;
    }
    Ok(())
}

// --- A thumb --------------------------------------------------------------------------------------------------------

const MIDDLE: (i32, i32) = (0, 0);

/// Touches a row at one of its places: the box, the sentence, the empty place right of the number, the lower edge.
fn touch_row(browser: &mut Chromium, step: u64) -> Result<()> {
    let (selector, place) = match step % 4 {
        0 => (box_of(step), MIDDLE),
        1 => (format!("label[for=\"hookup-1-{step}\"] .step-say"), MIDDLE),
        2 => (format!("li:has(> #hookup-1-{step})"), (-140, 0)),
        _ => (format!("label[for=\"hookup-1-{step}\"] .step-do"), MIDDLE),
    };
    browser.tap(&selector, place)
}

#[test]
fn a_thumb_goes_through_a_whole_hookup_on_a_telephone() -> Result<()> {
    let mut browser = bench();
    browser.telephone(360, 740)?;
    for address in addresses(PAGE) {
        open_fresh(&mut browser, &address)?;
        ensure!(
            browser.run("return [innerWidth, matchMedia('(pointer: coarse)').matches]", &[])?
                == json!([360, true])
        );
        for step in 1..AT.check {
            touch_row(&mut browser, step)?;
            ensure!(done(&mut browser)? == step, "one touch of step {step} is one tick");
        }
        browser.tap(&format!("label[for=\"hookup-1-{}\"]", AT.check), MIDDLE)?;
        ensure!(done(&mut browser)? == AT.check - 1);
        browser.keys("MB")?;
        pause(&mut browser)?;
        // Touching the box for initials again does not tick the row in which it stands.
        browser.tap(&initials_of(AT.check), MIDDLE)?;
        browser.tap(&format!("li:has(> {}) .step-initials", box_of(AT.check)), (60, 10))?;
        ensure!(done(&mut browser)? == AT.check - 1);
        browser.tap(&box_of(AT.check), MIDDLE)?;
        ensure!(done(&mut browser)? == AT.check && !is_shown(&mut browser, &box_of(1))?);
        pause(&mut browser)?;

        for step in AT.check + 1..AT.press {
            touch_row(&mut browser, step)?;
        }
        browser.tap(&timer_of(AT.press), MIDDLE)?;
        ensure!(done(&mut browser)? == AT.press);
        // The figures stay in sight at the lower edge, wherever the list is.
        for step in AT.press + 1..AT.release {
            touch_row(&mut browser, step)?;
            ensure!(done(&mut browser)? == step);
            let place = browser.run(
                "const box = document.querySelector('#hookup-1 [data-part=timer-figures]').getBoundingClientRect(); \
                 return box.top > innerHeight / 2 && box.bottom <= innerHeight && box.left >= 0 && box.right <= innerWidth",
                &[],
            )?;
            ensure!(place == json!(true), "the figures are out of sight at step {step}");
        }
        browser.tap("#hookup-1 [data-do=timer-stop]", MIDDLE)?;
        ensure!(timed(&mut browser, AT.press)?.starts_with("Energized for"), "the panel's button lets go");
        ensure!(!is_shown(&mut browser, "#hookup-1 [data-part=timer]")?);

        browser.reload()?;
        ensure!(
            done(&mut browser)? == AT.release - 1
                && timed(&mut browser, AT.press)?.starts_with("Energized for")
        );
        for step in AT.release..AT.rest {
            touch_row(&mut browser, step)?;
        }
        browser.tap(&timer_of(AT.rest), MIDDLE)?;
        touch_row(&mut browser, AT.rest)?;
        ensure!(done(&mut browser)? == AT.rest - 1 && status(&mut browser)?.contains("of the rest is left"));
        touch_row(&mut browser, AT.rest)?;
        ensure!(done(&mut browser)? == AT.rest - 1, "a bounce is no second press");
        pause(&mut browser)?;
        touch_row(&mut browser, AT.rest)?;
        ensure!(done(&mut browser)? == AT.rest && timed(&mut browser, AT.rest)?.contains("of 2:00"));

        // A glove that brushes a row high up opens nothing; a second touch does.
        tick(&mut browser, AT.rest + 1..=AT.rest + 3)?;
        touch_row(&mut browser, AT.press + 2)?;
        ensure!(done(&mut browser)? == AT.rest + 3 && status(&mut browser)?.contains("would be open again"));
        pause(&mut browser)?;
        touch_row(&mut browser, AT.press + 2)?;
        ensure!(done(&mut browser)? == AT.press + 1);

        browser.tap("#hookup-1 [data-do=start-again]", MIDDLE)?;
        pause(&mut browser)?;
        browser.tap("#hookup-1 [data-do=start-again]", MIDDLE)?;
        ensure!(done(&mut browser)? == 0);
        let width = browser.run("return document.documentElement.scrollWidth", &[])?;
        ensure!(width == json!(360), "{width}");
        ensure!(browser.run("return faults", &[])? == json!([]));
    }
    Ok(())
}

#[test]
fn whatever_is_touched_is_large_enough_for_a_glove() -> Result<()> {
    let mut browser = bench();
    let mut looked_at = 0;
    for (width, height) in [(360, 740), (1280, 900)] {
        browser.area(width, height)?;
        for (page, _) in SITE.pages().filter(|(_, html)| html.contains("data-hookup ")) {
            browser.open(&SITE.file_address(page))?;
            // All that ever shows: the timer's panel and the note about the screen too.
            browser.run(
                "document.querySelectorAll('.hookup [hidden]').forEach(part => part.hidden = false)",
                &[],
            )?;
            let found = browser.run(
                "const all = [...document.querySelectorAll('.hookup :is(button, input)')]; \
                 const small = all.filter(node => node.offsetWidth < 48 || node.offsetHeight < 48) \
                     .map(node => [node.id || node.dataset.do, node.offsetWidth, node.offsetHeight]); \
                 const rows = [...document.querySelectorAll('.step')].filter(row => { \
                     row.scrollIntoView({ block: 'center', behavior: 'instant' }); \
                     const box = row.getBoundingClientRect(), label = row.querySelector('label'); \
                     const hits = [[3, 3], [box.width - 3, box.height - 3]].map(([x, y]) => \
                         document.elementFromPoint(box.left + x, box.top + y)); \
                     return box.height < 48 || hits.some(hit => hit !== label); \
                 }).map(row => row.textContent); \
                 return [all.length, small, rows]",
                &[],
            )?;
            ensure!(found[1] == json!([]), "{page}, {width} wide, too small: {}", found[1]);
            ensure!(found[2] == json!([]), "{page}, {width} wide, rows that do not tick: {}", found[2]);
            looked_at += found[0].as_u64().context("a number")?;
        }
    }
    ensure!(looked_at > 400, "only {looked_at} controls were looked at");
    Ok(())
}

// --- Order ----------------------------------------------------------------------------------------------------------

#[test]
fn a_ticked_step_is_still_ticked_after_a_reload_and_steps_keep_their_order() -> Result<()> {
    let mut browser = bench();
    for address in addresses(PAGE) {
        open_fresh(&mut browser, &address)?;
        click(&mut browser, &box_of(1))?;
        click(&mut browser, &box_of(2))?;
        ensure!(done(&mut browser)? == 2);

        click(&mut browser, &box_of(5))?;
        ensure!(done(&mut browser)? == 2, "a step out of order stays open");
        let status = status(&mut browser)?;
        ensure!(status == format!("Step 3 comes first: {}", AT.says[2]), "{status}");
        let (role, _) = browser.spoken("#hookup-1 [data-part=status]")?;
        ensure!(role == "status", "it is said aloud: {role}");

        // Nor is a stretch timed before its turn.
        click(&mut browser, &timer_of(AT.press))?;
        ensure!(done(&mut browser)? == 2 && !is_shown(&mut browser, "#hookup-1 [data-part=timer]")?);

        browser.reload()?;
        ensure!(done(&mut browser)? == 2, "{address}: after a reload");

        // The label is as good as the box, and a step taken back opens what came after it.
        click(&mut browser, "label[for=\"hookup-1-3\"]")?;
        ensure!(done(&mut browser)? == 3);
        click(&mut browser, &box_of(3))?;
        ensure!(done(&mut browser)? == 3, "a double click is one tick");
        pause(&mut browser)?;
        click(&mut browser, &box_of(3))?;
        ensure!(done(&mut browser)? == 2, "the last tick is taken back at once");
        click(&mut browser, &box_of(1))?;
        ensure!(done(&mut browser)? == 2);
        pause(&mut browser)?;
        click(&mut browser, &box_of(1))?;
        ensure!(done(&mut browser)? == 0);
        browser.reload()?;
        ensure!(done(&mut browser)? == 0);
    }
    Ok(())
}

#[test]
fn the_instructors_step_wants_initials_and_keeps_them() -> Result<()> {
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[0])?;
    tick(&mut browser, 1..=AT.check - 1)?;
    browser.type_into(&initials_of(AT.check), "  ")?;
    click(&mut browser, &box_of(AT.check))?;
    ensure!(done(&mut browser)? == AT.check - 1, "blanks are no initials");
    browser.type_into(&initials_of(AT.check), "MB")?;
    pause(&mut browser)?;
    click(&mut browser, &box_of(AT.check))?;
    ensure!(done(&mut browser)? == AT.check);
    browser.reload()?;
    ensure!(done(&mut browser)? == AT.check, "initials and ticks are kept");
    let initials = format!("return document.querySelector('{}').value", initials_of(AT.check));
    ensure!(browser.run(&initials, &[])? == json!("MB"));
    // Initials that are taken back take the check back with them, once the box is left; after a reload too.
    click(&mut browser, "#hookup-1-hookup-fold")?;
    browser.type_into(&initials_of(AT.check), "\u{e003}")?;
    browser.run("document.activeElement.blur()", &[])?;
    ensure!(done(&mut browser)? == AT.check - 1, "a check that nobody signs is open");
    ensure!(status(&mut browser)?.contains("initials"), "{}", status(&mut browser)?);
    for _ in 0..2 {
        pause(&mut browser)?;
        click(&mut browser, "#hookup-1 [data-do=start-again]")?;
    }
    ensure!(browser.run(&initials, &[])? == json!(""));
    Ok(())
}

/// The three headings, with so many steps of the first list done.
fn counts(done: u64) -> [String; 3] {
    let run = AT.last_rest - AT.check;
    [
        format!("Hookup {done} of {} done", AT.check),
        format!("Run 0 of {run} done"),
        format!("Unhook 0 of {} done", AT.steps - AT.last_rest),
    ]
}

#[test]
fn a_done_list_folds_to_one_line_and_opens_again() -> Result<()> {
    let mut browser = bench();
    open_fresh(&mut browser, &addresses(PAGE)[1])?;
    let heads = "return [...document.querySelectorAll('#hookup-1 .phase-head h4')].map(h => h.innerText.replace(/\\s+/g, ' '))";
    ensure!(browser.run(heads, &[])? == json!(counts(0)));
    tick(&mut browser, 1..=AT.check)?;
    let fold = "#hookup-1-hookup-fold";
    for reloaded in [false, true] {
        if reloaded {
            browser.reload()?;
        }
        ensure!(!is_shown(&mut browser, &box_of(1))? && is_shown(&mut browser, &box_of(AT.check + 1))?);
        ensure!(browser.run(heads, &[])? == json!(counts(AT.check)));
        let (role, name) = browser.spoken(fold)?;
        ensure!(role == "button" && name == format!("Show {}", counts(AT.check)[0]), "{role}, {name}");
        ensure!(
            browser.run("return document.querySelector(arguments[0]).ariaExpanded", &[json!(fold)])?
                == json!("false")
        );
    }
    // Paper shows every step, folded or not: that is the bench sheet, which the lesson refers to.
    browser.media("print", "light")?;
    ensure!(!is_shown(&mut browser, &box_of(AT.check + 1))?);
    browser.open(&addresses(&PAGE.replace(".html", "-sheet.html"))[1])?;
    ensure!(is_shown(&mut browser, &box_of(1))?);
    browser.media("", "light")?;
    browser.open(&addresses(PAGE)[1])?;
    click(&mut browser, fold)?;
    ensure!(is_shown(&mut browser, &box_of(1))?);
    ensure!(
        browser.run("return document.querySelector(arguments[0]).ariaExpanded", &[json!(fold)])?
            == json!("true")
    );
    Ok(())
}
