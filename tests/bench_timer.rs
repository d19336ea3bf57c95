//! The timer of a checklist in a real browser, what else helps at the bench, and the plain list without script.

use std::path::Path;
use std::sync::LazyLock;

use anyhow::{Context, Result, ensure};
use fieldcoil_tests::browser::Chromium;
use fieldcoil_tests::checklist::{
    List, PAGE, bench, box_of, click, done, forward, hold, is_shown, open_fresh, pause, said, status, tick,
    timed, timer_of, until, until_says,
};
use fieldcoil_tests::program;
use fieldcoil_tests::site::Built;
use serde_json::{Value, json};

static SITE: LazyLock<Built> = LazyLock::new(|| {
    Built::into(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench-timer"))
        .expect("the default course builds")
});
static AT: LazyLock<List> = LazyLock::new(|| {
    let (_, html) = SITE.pages().find(|(path, _)| *path == PAGE).expect("the page");
    List::of(html).expect("a list with every kind of step")
});

const PANEL: &str = "#hookup-1 [data-part=timer]";
const LET_GO: &str = "#hookup-1 [data-do=timer-stop]";

fn open(browser: &mut Chromium) -> Result<()> {
    open_fresh(browser, &SITE.file_address(PAGE))
}

/// Writes down whatever the live region of the timer says from now on.
fn listen(browser: &mut Chromium) -> Result<()> {
    browser.run(
        "window.heard = []; const alarm = document.querySelector('#hookup-1 [data-part=alarm]'); \
         new MutationObserver(() => heard.push(alarm.textContent)).observe(alarm, { childList: true, characterData: true, subtree: true })",
        &[],
    )?;
    Ok(())
}

fn heard(browser: &mut Chromium) -> Result<Vec<String>> {
    Ok(serde_json::from_value(browser.run("return heard", &[])?)?)
}

/// What the timer's panel looks like: its state, its figures, and the shape before its words.
fn panel(browser: &mut Chromium) -> Result<(String, String, String)> {
    let found = browser.run(
        "const panel = document.querySelector(arguments[0]); \
         const shape = getComputedStyle(panel.querySelector('[data-part=timer-says]'), '::before'); \
         return [panel.dataset.state, panel.querySelector('[data-part=timer-figures]').textContent, \
                 shape.content === 'none' ? 'none' : shape.clipPath]",
        &[json!(PANEL)],
    )?;
    Ok(serde_json::from_value(found)?)
}

fn until_figures(browser: &mut Chromium, figures: &str) -> Result<()> {
    let part = "document.querySelector('#hookup-1 [data-part=timer-figures]').textContent";
    until(browser, &format!("{part} === '{figures}'"))
}

#[test]
fn an_energized_stretch_warns_by_words_and_shape_and_is_written_down() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    hold(&mut browser)?;
    tick(&mut browser, 1..=AT.press - 1)?;
    listen(&mut browser)?;
    click(&mut browser, &timer_of(AT.press))?;
    ensure!(done(&mut browser)? == AT.press, "its start is its tick");
    let (state, _, shape) = panel(&mut browser)?;
    ensure!(state == "running" && shape == "none", "{state}, {shape}");
    let size = browser.run(
        "const size = node => parseFloat(getComputedStyle(node).fontSize); \
         return size(document.querySelector('#hookup-1 [data-part=timer-figures]')) / size(document.documentElement)",
        &[],
    )?;
    ensure!(size.as_f64().is_some_and(|size| size >= 3.0), "the figures are {size} times as large as text");
    let (role, _) = browser.spoken("#hookup-1 [data-part=timer-figures]")?;
    ensure!(
        role == "timer",
        "whatever has the role `timer` is read when asked for, not at each tenth: {role}"
    );

    for (ms, figures, state) in [(2950, "2.1", "running"), (50, "2.0", "warning"), (1999, "0.1", "warning")] {
        forward(&mut browser, ms)?;
        until_figures(&mut browser, figures)?;
        ensure!(panel(&mut browser)?.0 == state, "{figures} s before the limit it is not {state}");
    }
    let (_, _, triangle) = panel(&mut browser)?;
    ensure!(said(&mut browser, "timer-says")? == "Get ready to let go");
    forward(&mut browser, 1251)?;
    until_figures(&mut browser, "+1.2")?;
    let (over, _, octagon) = panel(&mut browser)?;
    ensure!(over == "over" && said(&mut browser, "timer-says")? == "Let go now");
    let sides = |shape: &str| shape.split(',').count();
    ensure!((sides(&triangle), sides(&octagon)) == (3, 8), "{triangle}, {octagon}");

    click(&mut browser, LET_GO)?;
    let written = timed(&mut browser, AT.press)?;
    ensure!(written == "Energized for 6.2\u{a0}s. The limit is 5\u{a0}s.", "{written}");
    let heard = heard(&mut browser)?;
    let wanted = ["Energized: 5\u{a0}s at most", "Get ready to let go", "Let go now", written.as_str()];
    ensure!(heard == wanted, "said aloud: {heard:?}");
    ensure!(!is_shown(&mut browser, PANEL)?);

    browser.reload()?;
    ensure!(timed(&mut browser, AT.press)? == written, "the time is kept");
    // Energized again at once, without a rest: not with this timer.
    pause(&mut browser)?;
    click(&mut browser, &timer_of(AT.press))?;
    ensure!(!is_shown(&mut browser, PANEL)? && status(&mut browser)?.contains("Take its tick away"));
    Ok(())
}

#[test]
fn a_stretch_of_a_second_warns_and_ends_by_the_real_clock() -> Result<()> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench-second");
    let (course, site) = (folder.join("course"), folder.join("site"));
    program::course_copy(&course);
    let lesson = course.join("55-the-free-spin-bench-test.md");
    let text = std::fs::read_to_string(&lesson)?;
    let short =
        text.replace("\nseconds = 5\n", "\nseconds = 1\n").replace("\nlimit_s = 5\n", "\nlimit_s = 1\n");
    ensure!(short.matches("\nseconds = 1\n").count() >= 2, "the list has other stretches");
    std::fs::write(&lesson, short)?;
    let course = course.to_str().context("a path")?;
    let built = program::run(&["site", course, "--out", site.to_str().context("a path")?]);
    ensure!(built.status == 0, "{}", built.errors);

    let mut browser = bench();
    open_fresh(&mut browser, &format!("file://{}", site.join(PAGE).display()))?;
    tick(&mut browser, 1..=AT.press - 1)?;
    listen(&mut browser)?;
    let begin = browser.run("return performance.now()", &[])?.as_f64().context("a time")?;
    click(&mut browser, &timer_of(AT.press))?;
    until_says(&mut browser, "Get ready to let go")?;
    until_says(&mut browser, "Let go now")?;
    let end = browser.run("return performance.now()", &[])?.as_f64().context("a time")?;
    ensure!((1000.0..5000.0).contains(&(end - begin)), "a second took {} ms", end - begin);
    ensure!(heard(&mut browser)?[1..] == ["Get ready to let go", "Let go now"]);
    Ok(())
}

#[test]
fn a_rest_goes_on_while_the_page_is_away_or_out_of_sight() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    tick(&mut browser, 1..=AT.rest - 1)?;
    hold(&mut browser)?;
    click(&mut browser, &timer_of(AT.rest))?;
    ensure!(done(&mut browser)? == AT.rest - 1, "a rest that begins is not done");
    ensure!(panel(&mut browser)?.1 == "2:00");
    forward(&mut browser, 30_000)?;
    browser.open("about:blank")?;
    browser.open(&SITE.file_address(PAGE))?;
    let (state, figures, _) = panel(&mut browser)?;
    ensure!(is_shown(&mut browser, PANEL)? && state == "running");
    ensure!(figures.starts_with("1:2") || figures == "1:30", "{figures}");

    // Back in sight it is right at once: it counts no ticks of its own.
    let figures = browser.run(
        "hold(); forward(60000); document.dispatchEvent(new Event('visibilitychange')); \
         return document.querySelector('#hookup-1 [data-part=timer-figures]').textContent",
        &[],
    )?;
    let figures = figures.as_str().context("figures")?;
    ensure!(figures.starts_with("0:2") || figures == "0:30", "{figures}");

    listen(&mut browser)?;
    forward(&mut browser, 30_000)?;
    until_says(&mut browser, "The rest is over")?;
    ensure!(heard(&mut browser)? == ["The rest is over"]);
    click(&mut browser, &box_of(AT.rest))?;
    ensure!(done(&mut browser)? == AT.rest && !is_shown(&mut browser, PANEL)?);
    let written = timed(&mut browser, AT.rest)?;
    ensure!(written.starts_with("Rested for 2:0"), "{written}");
    Ok(())
}

#[test]
fn a_rest_that_was_stopped_too_soon_takes_a_second_press() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    tick(&mut browser, 1..=AT.rest - 1)?;
    hold(&mut browser)?;
    click(&mut browser, &timer_of(AT.rest))?;
    forward(&mut browser, 40_000)?;
    click(&mut browser, LET_GO)?;
    let written = timed(&mut browser, AT.rest)?;
    ensure!(written == "Rested for 0:40 of 2:00.", "{written}");
    click(&mut browser, &box_of(AT.rest))?;
    let warned = status(&mut browser)?;
    ensure!(done(&mut browser)? == AT.rest - 1 && warned.contains("not shown a rest of 2:00"), "{warned}");
    // What is pressed in between takes the question back.
    click(&mut browser, &box_of(AT.rest + 5))?;
    click(&mut browser, &box_of(AT.rest))?;
    ensure!(done(&mut browser)? == AT.rest - 1, "an old question is answered by a new press");
    pause(&mut browser)?;
    click(&mut browser, &box_of(AT.rest))?;
    ensure!(done(&mut browser)? == AT.rest);
    Ok(())
}

#[test]
fn a_stretch_cut_off_by_a_reload_says_let_go_and_rest() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    tick(&mut browser, 1..=AT.press - 1)?;
    click(&mut browser, &timer_of(AT.press))?;
    browser.reload()?;
    ensure!(done(&mut browser)? == AT.press && panel(&mut browser)?.0 == "interrupted");
    for part in ["timer-says", "alarm"] {
        let said = said(&mut browser, part)?;
        ensure!(said.contains("let go, then rest"), "{part}: {said}");
    }
    ensure!(timed(&mut browser, AT.press)?.starts_with("Interrupted"));
    click(&mut browser, LET_GO)?;
    ensure!(!is_shown(&mut browser, PANEL)?);
    browser.reload()?;
    ensure!(timed(&mut browser, AT.press)?.starts_with("Interrupted"), "it is kept with the step");
    // The list goes on from there.
    pause(&mut browser)?;
    click(&mut browser, &box_of(AT.press + 1))?;
    ensure!(done(&mut browser)? == AT.press + 1);
    Ok(())
}

/// Ticks what is left after the first press, the rests by a second press, as who looks at another clock.
fn finish(browser: &mut Chromium) -> Result<()> {
    for (rest, next) in [(AT.rest, AT.last_rest), (AT.last_rest, AT.steps + 1)] {
        for _ in 0..2 {
            pause(browser)?;
            click(browser, &box_of(rest))?;
        }
        tick(browser, rest + 1..=next - 1)?;
    }
    Ok(())
}

#[test]
fn a_hand_that_slips_does_not_stop_the_timer_and_the_timer_is_never_forced() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    tick(&mut browser, 1..=AT.press - 1)?;
    // In one go, for a driver's clicks may lie farther apart than a bounce.
    browser.run(
        "for (const at of arguments) document.querySelector(at).click()",
        &[json!(timer_of(AT.press)), json!(timer_of(AT.press)), json!(LET_GO)],
    )?;
    ensure!(panel(&mut browser)?.0 == "running", "the bounce of the start is no letting go");
    for _ in 0..2 {
        pause(&mut browser)?;
        click(&mut browser, "#hookup-1 [data-do=start-again]")?;
    }
    ensure!(!is_shown(&mut browser, PANEL)? && timed(&mut browser, AT.press)?.is_empty());
    // Without any timer the list is gone through all the same.
    tick(&mut browser, 1..=AT.rest - 1)?;
    finish(&mut browser)?;
    ensure!(done(&mut browser)? == AT.steps);
    Ok(())
}

#[test]
fn sound_is_off_until_its_switch_is_pressed() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    let switch = "#hookup-1 [data-do=sound]";
    let state = "return [document.querySelector(arguments[0]).getAttribute('aria-pressed'), outs, beeps]";
    tick(&mut browser, 1..=AT.press - 1)?;
    click(&mut browser, &timer_of(AT.press))?;
    forward(&mut browser, 6000)?;
    until_says(&mut browser, "Let go now")?;
    ensure!(browser.run(state, &[json!(switch)])? == json!(["false", 0, 0]), "no noise unasked");
    click(&mut browser, LET_GO)?;
    click(&mut browser, &box_of(AT.press))?;
    ensure!(done(&mut browser)? == AT.press - 1, "taken back, to be timed anew");

    click(&mut browser, switch)?;
    let first = browser.run(state, &[json!(switch)])?;
    ensure!(first == json!(["true", 1, 1]), "one beep to be heard: {first}");
    click(&mut browser, &timer_of(AT.press))?;
    forward(&mut browser, 3000)?;
    until_says(&mut browser, "Get ready to let go")?;
    ensure!(browser.run("return beeps", &[])? == json!(2));
    forward(&mut browser, 2000)?;
    until_says(&mut browser, "Let go now")?;
    ensure!(browser.run("return beeps", &[])? == json!(5));
    click(&mut browser, switch)?;
    ensure!(browser.run(state, &[json!(switch)])? == json!(["false", 1, 5]));

    // Where there is no sound the switch stays off, and nothing breaks.
    browser.run("window.silent = true", &[])?;
    pause(&mut browser)?;
    click(&mut browser, switch)?;
    ensure!(browser.run(state, &[json!(switch)])? == json!(["false", 1, 5]));
    ensure!(browser.run("return faults", &[])? == json!([]));
    browser.run("window.silent = false", &[])?;
    click(&mut browser, switch)?;
    browser.reload()?;
    ensure!(
        browser.run(state, &[json!(switch)])? == json!(["false", 0, 0]),
        "off again whenever it is opened"
    );
    Ok(())
}

/// Stands for the browser's lock of the screen.
const SCREEN: &str = "
window.asked = []; window.released = 0; window.lock = null;
const locks = { request: kind => {
    asked.push(kind);
    lock = { release() { released += 1; this.onrelease(); return Promise.resolve(); } };
    return arguments[0] ? Promise.resolve(lock) : Promise.reject(new Error('no'));
} };
Object.defineProperty(navigator, 'wakeLock', { value: locks, configurable: true });";

#[test]
fn the_screen_is_held_on_while_a_list_is_under_way_and_only_then_said_to_be() -> Result<()> {
    let mut browser = bench();
    let note = "#hookup-1 [data-part=awake]";
    let noted = "document.querySelector('#hookup-1 [data-part=awake]').checkVisibility()";
    open(&mut browser)?;
    browser.run(SCREEN, &[json!(true)])?;
    ensure!(!is_shown(&mut browser, note)?);
    click(&mut browser, &box_of(1))?;
    until(&mut browser, noted)?;
    click(&mut browser, &box_of(2))?;
    ensure!(browser.run("return asked", &[])? == json!(["screen"]), "it is asked for once");
    // Out of sight the browser lets go; back in sight it is asked again.
    browser.run("lock.onrelease()", &[])?;
    ensure!(!is_shown(&mut browser, note)?);
    browser.run("document.dispatchEvent(new Event('visibilitychange'))", &[])?;
    until(&mut browser, noted)?;
    for _ in 0..2 {
        pause(&mut browser)?;
        click(&mut browser, "#hookup-1 [data-do=start-again]")?;
    }
    ensure!(browser.run("return [asked.length, released]", &[])? == json!([2, 1]));
    ensure!(!is_shown(&mut browser, note)?);

    // A browser that refuses, and one that knows no such thing: no note, no fault.
    for stand_in in
        [SCREEN, "Object.defineProperty(navigator, 'wakeLock', { value: undefined, configurable: true })"]
    {
        open(&mut browser)?;
        browser.run(stand_in, &[json!(false)])?;
        click(&mut browser, &box_of(1))?;
        click(&mut browser, &box_of(2))?;
        browser.run_later("setTimeout(arguments[0])", &[])?;
        ensure!(done(&mut browser)? == 2 && !is_shown(&mut browser, note)?);
        ensure!(browser.run("return faults", &[])? == json!([]));
    }
    Ok(())
}

#[test]
fn a_finished_list_lets_the_screen_go() -> Result<()> {
    let mut browser = bench();
    open(&mut browser)?;
    browser.run(SCREEN, &[json!(true)])?;
    tick(&mut browser, 1..=AT.rest - 1)?;
    until(&mut browser, "lock && document.querySelector('#hookup-1 [data-part=awake]').checkVisibility()")?;
    finish(&mut browser)?;
    ensure!(browser.run("return released", &[])? == json!(1), "the list is finished");
    Ok(())
}

#[test]
fn drawings_beside_a_list_light_what_is_live() -> Result<()> {
    // As the generator puts a drawing beside a list: before the script runs.
    let address = SITE.file_address(PAGE).replace(".html", "-drawn.html");
    let html = SITE.pages().find(|(path, _)| *path == PAGE).context("the page")?.1;
    let drawing = "<div data-hookup-of=\"hookup-1\"><i id=\"a\" data-on=\"2-3 5\"></i><i id=\"b\" data-on=\"0-1 4-99\"></i>\
                   <i id=\"c\"></i></div><div data-hookup-of=\"hookup-9\"><i id=\"d\" data-on=\"0-99\"></i></div>";
    let place = html.find("<section class=\"hookup\"").context("a list")?;
    let file = address.strip_prefix("file://").context("a file")?;
    std::fs::write(file, [&html[..place], drawing, &html[place..]].concat())?;

    let mut browser = bench();
    open_fresh(&mut browser, &address)?;
    let lit = |browser: &mut Chromium| -> Result<Value> {
        browser.run("return [...document.querySelectorAll('i[data-lit]')].map(wire => wire.id).join('')", &[])
    };
    ensure!(lit(&mut browser)? == json!("b"), "on waking");
    for (step, wires) in [(1, "b"), (2, "a"), (3, "a"), (4, "b"), (5, "ab"), (6, "b")] {
        click(&mut browser, &box_of(step))?;
        let lit = lit(&mut browser)?;
        ensure!(lit == json!(wires), "after step {step}: {lit}");
    }
    pause(&mut browser)?;
    click(&mut browser, &box_of(6))?;
    ensure!(lit(&mut browser)? == json!("ab"), "a step taken back");
    browser.reload()?;
    ensure!(lit(&mut browser)? == json!("ab"), "after a reload");
    for _ in 0..2 {
        pause(&mut browser)?;
        click(&mut browser, "#hookup-1 [data-do=start-again]")?;
    }
    ensure!(lit(&mut browser)? == json!("b"), "after Start again");
    Ok(())
}

/// A telephone on its side, and a window of 1280 by 900 at 400 %: the timer takes less than half of the height, the line
/// of progress scrolls away, and what the keyboard is at is not covered.
#[test]
fn in_a_low_window_the_timer_leaves_room_for_the_steps() -> Result<()> {
    let mut browser = bench();
    for (width, height) in [(740, 360), (320, 225)] {
        browser.area(width, height)?;
        open(&mut browser)?;
        let seen = browser.run(
            "const panel = document.querySelector(arguments[0]); \
             panel.hidden = false; \
             panel.dataset.state = 'running'; \
             for (const button of panel.querySelectorAll('button')) button.hidden = false; \
             const say = (part, text) => { panel.querySelector(`[data-part=${part}]`).textContent = text; }; \
             say('timer-what', 'Energize: start button, 5 s'); \
             say('timer-figures', '4.2'); \
             say('timer-of', '0.8 s of 5 s'); \
             say('timer-says', 'Energized: 5 s at most'); \
             const box = document.querySelector(arguments[1]); \
             box.focus(); \
             const [above, below] = [box.getBoundingClientRect(), panel.getBoundingClientRect()]; \
             return [below.height < innerHeight / 2, above.top > 0 && above.bottom <= below.top, \
                     getComputedStyle(document.querySelector('#hookup-1 .hookup-status')).position]",
            &[json!(PANEL), json!(box_of(AT.check))],
        )?;
        ensure!(seen == json!([true, true, "static"]), "{width} by {height}: {seen}");
    }
    Ok(())
}

#[test]
fn without_script_it_is_a_plain_list() -> Result<()> {
    let mut browser = bench();
    browser.scripts(false)?;
    for (width, height) in [(360, 740), (1280, 900)] {
        browser.area(width, height)?;
        browser.open(&SITE.file_address(PAGE))?;
        let seen = browser.run(
            "const seen = selector => [...document.querySelector('#hookup-1').querySelectorAll(selector)].filter(node => node.checkVisibility() && node.offsetHeight > 1).length; \
             return [seen('.step'), seen('.step-say'), seen(':is(button, [data-part=timer], [data-part=awake], .step-timer, .hookup-tools)')]",
            &[],
        )?;
        ensure!(seen == json!([AT.steps, AT.steps, 0]), "{seen}");
        browser.click(&box_of(1))?;
        browser.click(&format!("label[for=\"hookup-1-{}\"]", AT.check))?;
        let ticked = browser.run("return document.querySelectorAll('#hookup-1 :checked').length", &[])?;
        ensure!(ticked == json!(2), "boxes are the browser's own: {ticked}");
    }
    Ok(())
}
