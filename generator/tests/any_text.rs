//! Whatever is typed into a lesson, a drawing or `course.toml`: there is an answer, it is well formed, and it comes soon.

use std::time::{Duration, Instant};

use made_up::BLOCKS;
use proptest::prelude::*;

#[path = "support/answered.rs"]
mod answered;
#[path = "support/made_up.rs"]
#[allow(dead_code, reason = "files that are changed by chance need the rest")]
mod made_up;

/// A course in whose lessons HTML may stand.
const ALLOWING: &str =
    "title = \"x\"\nsummary = \"x\"\nschool = \"x\"\nauthor = \"x\"\nedition = \"1\"\nallow_html = true\n";

/// Pieces out of which lessons are made, broken ones among them.
const PIECES: &[&str] = &[
    "```lesson\n",
    "```caution\n",
    "```hookup\n",
    "```calculator\n",
    "```worksheet\n",
    "```circuit\n",
    "```selfcheck\n",
    "```\n",
    "~~~\n",
    "title = \"x\"\n",
    "signal = \"danger\"\n",
    "[[hookup]]\n",
    "[[run]]\n",
    "[[unhook]]\n",
    "[start]\n",
    "[[reading]]\n",
    "[[question]]\nask = \"x\"\n",
    "[[question.choice]]\ntext = \"x\"\n",
    "[[question.wrong]]\nvalue = 1e300\n",
    "[[question.place]]\nat = \"a.b\"\n",
    "kind = \"several\"\n",
    "kind = \"number\"\nanswer = -1e-300\nunit = \"V\"\n",
    "kind = \"number\"\nuse = \"voltage-drop\"\noutput = \"drop_v\"\nunit = \"V\"\n",
    "kind = \"order\"\nhookup = \"x\"\nsteps = [0, 1, 4000000000]\n",
    "sentences = [\"x\", \"y\", \"x\"]\n",
    "kind = \"label\"\ncircuit = \"x\"\n",
    "[[rule]]\n",
    "at = { do = \"attach\" }\n",
    "before = { do = \"look\", part = \"main-switch\" }\n",
    "never = \"live\"\n",
    "danger = \"x\"\n",
    "do = \"attach\"\n",
    "do = \"energize\"\n",
    "do = \"detach\"\n",
    "do = \"release\"\n",
    "part = \"case-return\"\n",
    "part = \"voltmeter-leads\"\nreading = \"a_v\"\n",
    "part = \"pull-in-return\"\n",
    "part = \"main-terminal\"\n",
    "part = \"source-negative\"\n",
    "seconds = 5\n",
    "seconds = -1e999\n",
    "say = \"x\"\n",
    "bench = \"supply\"\n",
    "bench = \"vehicle\"\n",
    "use = \"voltage-drop\"\n",
    "current_a = 1e400\n",
    "name = 'a_v'\n",
    "minimum = nan\n",
    "x = [",
    "]",
    "{ a = ",
    "}",
    "'''",
    "\"\"\"",
    "\"",
    "= ",
    ".",
    "0x",
    "1979-05-27",
    "\\u0000",
    "# ",
    "## a\n",
    "### ü\n",
    "#\n",
    "- ",
    "1. ",
    "> ",
    "| a | b |\n",
    "|---|---|\n",
    "[a](b.md#c)",
    "[a](javascript:x)",
    "![](d.svg)",
    "![a](d.svg \"t\")",
    "[a][b]",
    "[^1]",
    "[^1]: x\n",
    "$x$",
    "$$",
    "$",
    "\\frac{",
    "\\operatorname{<i>}",
    "<b>",
    "</b>",
    "<!--",
    "-->",
    "<script>",
    "<details>\n",
    "</details>\n",
    "<summary>",
    "<dt lang=\"",
    "<b title='>",
    "<br/>",
    "<?",
    "&amp;",
    "\\",
    "`",
    "*",
    "_",
    "    ",
    "\t",
    "\n",
    "\n\n",
    "\u{202e}",
    "Ω",
    "é",
    "\u{feff}",
    "\u{0}",
    "\r",
];

fn lesson() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        8 => proptest::sample::select(PIECES).prop_map(str::to_owned),
        1 => any::<String>(),
    ];
    proptest::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

fn check(lesson: &str, course: &str, drawing: &str) {
    answered::check(&answered::course_of(&[
        ("10-a.md", lesson),
        ("course.toml", course),
        ("d.svg", drawing),
    ]));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_lesson_is_answered(lesson in lesson()) {
        check(&lesson, "", "");
        check(&lesson, ALLOWING, "");
    }

    #[test]
    fn any_block_is_answered(body in lesson(), block in proptest::sample::select(&BLOCKS)) {
        check(&format!("```{block}\n{body}\n```\n"), "", "");
    }

    #[test]
    fn any_course_file_is_answered(course in lesson()) {
        check("", &course, "");
    }

    #[test]
    fn any_drawing_is_answered(inner in "(<[a-z]{1,4}( [a-z]{1,4}=\"[^\"]{0,4}\")?/?>|</[a-z]{1,4}>|&[a-z]{1,3};|.){0,12}") {
        let drawing = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\">{inner}</svg>");
        check("![a](d.svg)", "", &drawing);
        check("![a](d.svg)", "", &inner);
    }

    #[test]
    fn any_characters_are_answered(text in any::<String>()) {
        check(&text, &text, &text);
    }
}

/// A long sentence that ends in a character of three bytes, after one that is read as another.
#[test]
fn a_long_sentence_ends_where_its_last_character_ends() {
    let words = "word ".repeat(25);
    for lesson in
        [format!("a\u{0}{words}\u{feff}]$x$"), format!("&amp;{words}\u{feff}"), format!("{words}`Ω`")]
    {
        check(&lesson, "", "");
    }
}

/// Nesting and repetition that have brought parsers down elsewhere.
#[test]
fn deep_and_long_texts_are_answered_soon() {
    let head = "```lesson\ntitle = \"x\"\nsummary = \"x\"\nminutes = 1\n```\n\n";
    for part in [
        "> ",
        "- ",
        "  - ",
        "[",
        "![",
        "*a ",
        "**",
        "_a",
        "`",
        "<a ",
        "<b>",
        "<div>\n\n",
        "<div x='",
        "<details>\n<summary>",
        "</div>\n",
        "<",
        "$",
        "$$",
        "\\(",
        "{",
        "|",
        "| a ",
        "#",
        "[^1]",
        "&",
        "~",
        "a\n",
        "\n",
        "[a](",
        "[a][b]",
        "<!--",
        "1. ",
        "\t",
        "```\n",
        "```caution\n",
        "$\\frac{",
        "{\\hat ",
    ] {
        for count in [1_000, 20_000] {
            let begun = Instant::now();
            check(
                &format!("{head}{}", part.repeat(count)),
                if part.contains('<') { ALLOWING } else { "" },
                "",
            );
            let spent = begun.elapsed();
            assert!(spent < Duration::from_secs(10), "{count} times {part:?} took {spent:?}");
        }
    }
    for part in ["[", "{a=", "a.", "[[a]]\n", "a = 1\n", "\"", "'''", "x\n"] {
        check("", &part.repeat(10_000), "");
        check(&format!("{head}```hookup\n{}\n```\n", part.repeat(10_000)), "", "");
        check(&format!("{head}```selfcheck\n{}\n```\n", part.repeat(10_000)), "", "");
    }
    for part in ["[[question]]\nkind = \"one\"\nask = \"x\"\n", "[[question.choice]]\ntext = \"x\"\n"] {
        let body = format!("[[question]]\nkind = \"several\"\nask = \"y\"\n{}", part.repeat(10_000));
        check(&format!("{head}```selfcheck\n{body}\n```\n"), "", "");
    }
    for part in ["<g>", "<g id=\"a\"><use href=\"#a\"/>", "<!--", "<![CDATA[", "&lt;"] {
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\">";
        check("![a](d.svg)", "", &format!("{svg}{}", part.repeat(10_000)));
    }
}
