//! Very many of one thing in a course: each ends in a page or in findings, and soon.

use std::fmt::Write;
use std::time::{Duration, Instant};

use fieldcoil_calc::calculator::{Calculator, Kind, Output, OutputKind};
use fieldcoil_calc::catalog::CATALOG;

#[path = "support/answered.rs"]
mod answered;

const COURSE: &str = "title = \"x\"\nsummary = \"x\"\nschool = \"x\"\nauthor = \"x\"\nedition = \"1\"\n";
const HEAD: &str = "```lesson\ntitle = \"x\"\nsummary = \"x\"\nminutes = 9\n```\n\n## A\n\n";

/// The limit of issue and promise; these tests run with little optimisation and beside others.
const SOON: Duration = Duration::from_secs(10);

fn many(count: usize, one: impl Fn(usize) -> String) -> String {
    (0..count).map(one).collect()
}

fn in_block(name: &str, body: &str) -> String {
    format!("```{name}\n{body}```\n")
}

/// Checks a course of one lesson, its files beside it; what it says when that took too long.
fn slow(what: &str, lesson: &str, beside: &[(&str, &str)]) -> Option<String> {
    let lesson = format!("{HEAD}{lesson}");
    let mut files = vec![("10-a.md", lesson.as_str()), ("course.toml", COURSE)];
    files.retain(|(path, _)| beside.iter().all(|(other, _)| other != path));
    files.extend(beside);
    let sources = answered::course_of(&files);
    let begun = Instant::now();
    let published = answered::check(&sources);
    let spent = begun.elapsed();
    println!("{:6} ms {} {what}", spent.as_millis(), if published { "page    " } else { "findings" });
    (spent > SOON).then(|| format!("{what}: {spent:?}"))
}

#[track_caller]
fn all_soon(cases: &[(&str, String)]) {
    let slow: Vec<_> = cases.iter().filter_map(|(what, lesson)| slow(what, lesson, &[])).collect();
    assert_eq!(slow, [""; 0]);
}

#[test]
fn much_text_is_answered_soon() {
    all_soon(&[
        ("headings of one name", "## A heading\n\nText.\n\n".repeat(5000)),
        ("headings", many(5000, |n| format!("## Heading {n}\n\nText.\n\n"))),
        ("footnotes", many(5000, |n| format!("Text[^{n}].\n\n[^{n}]: Note {n}.\n\n"))),
        ("footnotes that are nowhere", many(5000, |n| format!("Text[^{n}].\n\n"))),
        ("one footnote marked often", format!("{}\n\n[^1]: Note.\n", "Text[^1]. ".repeat(5000))),
        ("links to one place", "[a](10-a.md#a) ".repeat(10_000)),
        (
            "links to places",
            format!(
                "{}\n\n{}",
                many(3000, |n| format!("[a](#h-{n}) ")),
                many(3000, |n| format!("## H {n}\n\nx\n\n"))
            ),
        ),
        ("links to nowhere", many(5000, |n| format!("[a](b{n}.md#c{n}) "))),
        ("links outside", many(10_000, |n| format!("<https://example.org/{n}> "))),
        (
            "reference links",
            format!(
                "{}\n\n{}",
                many(5000, |n| format!("[a][r{n}] ")),
                many(5000, |n| format!("[r{n}]: https://example.org/{n}\n"))
            ),
        ),
        ("rows", format!("| a | b |\n|---|---|\n{}", "| 1 | 2 |\n".repeat(10_000))),
        (
            "columns",
            format!(
                "|{}\n|{}\n{}",
                " a |".repeat(2000),
                "---|".repeat(2000),
                format!("|{}\n", " 1 |".repeat(2000)).repeat(50)
            ),
        ),
        (
            "columns that the rows leave empty",
            format!("|{}\n|{}\n{}", " a |".repeat(1000), "---|".repeat(1000), "|a\n".repeat(5000)),
        ),
        ("lists in lists", many(1000, |n| format!("{}- a\n", "  ".repeat(n)))),
        ("items", "- an item\n".repeat(20_000)),
        ("quotations in quotations", many(1000, |n| format!("{} a\n", ">".repeat(n)))),
        ("formulas", many(5000, |n| format!("$\\frac{{x_{{{n}}}}}{{2}}$ and "))),
        ("one formula", format!("$$\n{}x\n$$\n", "\\frac{x}{2} + ".repeat(5000))),
        ("fractions in fractions", format!("$${}x{}$$\n", "\\frac{1}{".repeat(700), "}".repeat(700))),
        ("wrong formulas", many(5000, |_| "$\\nothing{x}$ and ".to_owned())),
        ("one word of a million letters", "a".repeat(1_000_000)),
        ("one sentence", "word and more words ".repeat(50_000)),
        ("sentences", "This is a sentence of words. ".repeat(30_000)),
        ("listings", "```rust\nfn main() { let a = 1; }\n```\n\n".repeat(1000)),
        ("one listing", format!("```rust\n{}```\n", "fn main() { let a = \"b\"; }\n".repeat(5000))),
        ("a listing of one line", format!("```rust\n{}\n```\n", "(\"a\", [1, 2]), ".repeat(10_000))),
        ("marks that are never closed", "**a _b `c [d ".repeat(5000)),
    ]);
}

/// A hookup that switches on and off so many times.
fn hookup(times: usize) -> String {
    let steps = "{ do = \"energize\", part = \"start-button\", seconds = 1, say = \"x\" }, \
                 { do = \"read\", reading = \"r_a\", say = \"x\" }, { do = \"release\", say = \"x\" }, ";
    let lists = format!(
        "hookup = [{{ do = \"attach\", part = \"start-terminal\", say = \"x\" }}]\nrun = [{}]\n",
        steps.repeat(times)
    );
    in_block("hookup", &format!("title = \"x\"\nname = \"h\"\nbench = \"supply\"\n{lists}"))
}

/// Lamps that go with such a hookup.
fn lamps_of_hookup(times: usize) -> String {
    let part = "part = \"start-button\"\nreads = \"r_a\"\n";
    let circuit = lamps(10, 10, "").replace("kind = \"lamp\"", "kind = \"push-switch\"");
    let circuit = circuit.replacen("kind = \"push-switch\"\n", &format!("kind = \"push-switch\"\n{part}"), 5);
    let circuit = circuit.replace("[[wire]]\n", "[[wire]]\npart = \"start-terminal\"\nreads = \"r_a\"\n");
    format!("{}\n{}", hookup(times), in_block("circuit", &format!("hookup = \"h\"\n{circuit}")))
}

#[test]
fn many_blocks_are_answered_soon() {
    let question = "[[question]]\nkind = \"one\"\nask = \"x\"\nwhy = \"y\"\n[[question.choice]]\ntext = \"a\"\nright = true\n[[question.choice]]\ntext = \"b\"\n";
    let choice = |n| format!("[[question.choice]]\ntext = \"t {n}\"\nright = true\n");
    all_soon(&[
        ("cautions", in_block("caution", "signal = \"notice\"\nhazard = \"x\"\n").repeat(2000)),
        (
            "calculators",
            many(300, |n| in_block("calculator", &format!("name = \"c-{n}\"\nuse = \"voltage-drop\"\n"))),
        ),
        (
            "calculated values",
            format!(
                "{}\n{}",
                in_block("calculator", "name = \"c\"\nuse = \"voltage-drop\"\n"),
                many(5000, |n| format!("`value c.drop_v with current_a = {}` ", n + 1))
            ),
        ),
        ("questions", in_block("selfcheck", &format!("title = \"x\"\n{}", question.repeat(3000)))),
        (
            "choices",
            in_block(
                "selfcheck",
                &format!(
                    "title = \"x\"\n[[question]]\nkind = \"several\"\nask = \"x\"\nwhy = \"y\"\n{}",
                    many(5000, choice)
                ),
            ),
        ),
        (
            "sentences in order",
            in_block(
                "selfcheck",
                &format!(
                    "title = \"x\"\n[[question]]\nkind = \"order\"\nask = \"x\"\nwhy = \"y\"\nsentences = [{}]\n",
                    many(5000, |n| format!("\"s {n}\", "))
                ),
            ),
        ),
        (
            "wrong numbers",
            in_block(
                "selfcheck",
                &format!(
                    "title = \"x\"\n[[question]]\nkind = \"number\"\nask = \"x\"\nwhy = \"y\"\nanswer = 5\nunit = \"V\"\n{}",
                    many(3000, |n| format!("[[question.wrong]]\nvalue = {}\nsays = \"x\"\n", n + 10))
                ),
            ),
        ),
        ("self-checks", in_block("selfcheck", &format!("title = \"x\"\n{question}")).repeat(500)),
        (
            "readings",
            in_block(
                "worksheet",
                &format!(
                    "title = \"x\"\n{}",
                    many(3000, |n| format!(
                        "[[reading]]\nname = \"r{n}_v\"\nlabel = \"x\"\nunit = \"V\"\nlimit = \"any\"\nsource = \"x\"\n"
                    ))
                ),
            ),
        ),
        ("steps", hookup(5000)),
        ("hookups", hookup(5).repeat(300)),
        ("unknown keys", in_block("caution", &many(5000, |n| format!("key-{n} = 1\n")))),
        ("slips of the pen", in_block("caution", &"= x\n".repeat(20_000))),
        (
            "one long text",
            in_block("caution", &format!("signal = \"notice\"\nhazard = \"{}\"\n", "words ".repeat(50_000))),
        ),
        ("inner tables", in_block("hookup", &format!("x{} = 1\n", ".a".repeat(5000)))),
    ]);
}

/// Lamps in rows, one wire through all of them and the battery, in an order that leads it to and fro.
fn lamps(count: usize, pitch: usize, label: &str) -> String {
    let mut text = String::from("title = \"x\"\ntext = \"x\"\n");
    text.push_str("\n[[symbol]]\nname = \"b\"\nkind = \"battery\"\nat = [3, 3]\n");
    let across = (110 / pitch).clamp(1, 11);
    for at in 0..count {
        let (x, y) = (12 + at % across * pitch, 5 + at / across * pitch);
        let _ = write!(text, "\n[[symbol]]\nname = \"l{at}\"\nkind = \"lamp\"\nat = [{x}, {y}]\n{label}");
    }
    let mut from = "b.+".to_owned();
    for at in (0..count).map(|at| at * 7 % count) {
        let _ = write!(text, "\n[[wire]]\nfrom = \"{from}\"\nto = \"l{at}.1\"\n");
        from = format!("l{at}.2");
    }
    let _ = write!(text, "\n[[wire]]\nfrom = \"{from}\"\nto = \"b.-\"\n");
    text
}

#[test]
fn large_circuits_are_answered_soon() {
    let wide = format!("label = \"{}\"\n", "W".repeat(80));
    let words = format!("label = \"{}\"\n", "word ".repeat(400));
    let apart = |count, label: &str| in_block("circuit", &lamps(count, 10, label));
    let states = many(500, |n| format!("\n[[state]]\nname = \"s{n}\"\n"));
    all_soon(&[
        ("lamps", apart(10, "")),
        ("more lamps", apart(31, "")),
        ("very many lamps", apart(60, "")),
        ("lamps by the hundred", apart(121, "")),
        ("lamps by the thousand", in_block("circuit", &lamps(1000, 5, ""))),
        ("crowded lamps", in_block("circuit", &lamps(31, 5, ""))),
        ("lamps without room for wires", in_block("circuit", &lamps(31, 6, ""))),
        ("long words", apart(31, &wide)),
        ("very long words", apart(31, &words)),
        ("states", in_block("circuit", &format!("{}{states}", lamps(10, 10, "")))),
        ("moments of a hookup", lamps_of_hookup(2000)),
        ("diagrams", many(100, |n| in_block("circuit", &format!("name = \"c{n}\"\n{}", lamps(4, 10, ""))))),
    ]);
}

/// Asks that are each worked anew with every draw, of a recording that is read each time.
fn homework_of_a_recording() -> String {
    let trace = many(2500, |n| format!("{n}e-3,{}\\n", if n < 100 { 0 } else { 100 + n % 7 }));
    let asks = many(26, |n| {
        let uses = if n == 0 { "" } else { "uses = { settled_to_s = \"a0\" }\n" };
        format!("[[ask]]\nname = \"a{n}\"\ntext = \"x\"\noutput = \"window_to_s\"\nunit = \"s\"\n{uses}")
    });
    let given = format!("[given]\ntrace = \"time (s),current (A)\\n{trace}\"\n");
    let draw = "[draw]\nsettled_from_s = { from = 0.3, to = 1.2, step = 0.0001 }\n";
    let head = "name = \"h\"\ntitle = \"x\"\nuse = \"trace-reading\"\ntext = \"x {settled_from_s}\"\n";
    in_block("homework", &format!("{head}{given}{draw}{asks}"))
}

/// Twenty asks of one calculator with thousands of draws of its first number that has room around its start.
fn homework(calculator: &Calculator) -> Option<String> {
    let numbers = |output: &Output| match output.kind {
        OutputKind::Number(quantity, _) => Some((output.name, quantity.base().symbol)),
        _ => None,
    };
    let numbers: Vec<_> = calculator.outputs.iter().filter_map(numbers).collect();
    let (field, start) = calculator.fields.iter().find_map(|field| match &field.kind {
        Kind::Number(number) => {
            let start = number.start.unwrap_or(number.maximum / 2.0);
            (start > 1e-3 && number.minimum <= start / 2.0 && start * 1.5 <= number.maximum)
                .then_some((field.name, start))
        }
        _ => None,
    })?;
    let step = start / 10_000.0;
    let (from, to) = (5000.0 * step, 14_000.0 * step);
    let mut body =
        format!("name = \"h\"\ntitle = \"x\"\nuse = \"{}\"\ntext = \"x {{{field}}}\"\n", calculator.name);
    let _ = writeln!(body, "[draw]\n{field} = {{ from = {from:.7}, to = {to:.7}, step = {step:.7} }}");
    for n in 0..20 {
        let (output, unit) = numbers.get(n % numbers.len().max(1))?;
        let _ = writeln!(
            body,
            "[[ask]]\nname = \"a{n}\"\ntext = \"x\"\noutput = \"{output}\"\nunit = \"{unit}\""
        );
    }
    Some(in_block("homework", &body))
}

#[test]
fn large_homework_is_answered_soon() {
    let mut cases: Vec<_> = CATALOG.iter().filter_map(|one| Some((one.name, homework(one)?))).collect();
    assert_eq!(cases.len(), CATALOG.len());
    cases.push(("a recording", homework_of_a_recording()));
    all_soon(&cases);
}

#[test]
fn long_files_beside_the_lessons_are_answered_soon() {
    let words = many(3000, |n| format!("[[word]]\nword = \"word {n}\"\nmeans = \"A word {n}.\"\n"));
    let text = many(10_000, |n| format!("A word {n} of text. "));
    let limits = many(5000, |n| {
        format!(
            "[[limit]]\nname = \"l-{n}\"\nof = \"x\"\nwhat = \"x\"\nunit = \"A\"\nmaximum = 8\ndemo = true\n"
        )
    });
    let outcomes = many(5000, |n| format!("[[outcome]]\nname = \"A-{n}\"\ntext = \"x\"\npriority = 1\n"));
    let references = many(5000, |n| {
        format!("[[reference]]\nkey = \"k-{n}\"\ntitle = \"x\"\nnumber = \"1\"\nnote = \"x\"\n")
    });
    let modules = format!(
        "{COURSE}{}",
        many(3000, |n| format!("[[module]]\ntitle = \"m {n}\"\nsummary = \"x\"\nlessons = [\"a{n}\"]\n"))
    );
    let rules = format!(
        "{COURSE}{}",
        many(3000, |n| format!(
            "[[rule]]\nname = \"r-{n}\"\ndanger = \"x\"\nsource = \"x\"\nat = {{ do = \"loosen\" }}\nnever = \"live\"\n"
        ))
    );
    let uses = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\"><g id=\"a\">{}</g>{}</svg>",
        "<g/>".repeat(9000),
        "<use href=\"#a\"/>".repeat(9000)
    );
    let styles = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\"><g style=\"{}\"/></svg>",
        many(20_000, |n| format!("a{n}:1;"))
    );
    let ids = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\">{}</svg>",
        "<g id=\"a\"/>".repeat(9000)
    );
    let slow: Vec<_> = [
        slow("words of the glossary", &text, &[("glossary.toml", &words)]),
        slow("limits", "Text.", &[("limits.toml", &limits)]),
        slow("outcomes", "Text.", &[("outcomes.toml", &outcomes)]),
        slow("references", "Text.", &[("references.toml", &references)]),
        slow("modules", "Text.", &[("course.toml", &modules)]),
        slow("rules", "Text.", &[("course.toml", &rules)]),
        slow("uses in a drawing", "![x](d.svg)", &[("d.svg", &uses)]),
        slow("styles in a drawing", "![x](d.svg)", &[("d.svg", &styles)]),
        slow("one name in a drawing", "![x](d.svg)", &[("d.svg", &ids)]),
    ]
    .into_iter()
    .flatten()
    .collect();
    assert_eq!(slow, [""; 0]);
}
