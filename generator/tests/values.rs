//! Calculated numbers in texts are those of the calculator: in prose, tables, headings, formulas, captions and blocks.

use fieldcoil::pipeline;
use fieldcoil::site::Site;
use fieldcoil::source::{SourceSet, SourceText};

const COURSE: &str = "title = \"Test course\"\nsummary = \"For tests.\"\nschool = \"No school\"\nauthor = \"Nobody\"\n\
                      edition = \"1\"\n";
const HEAD: &str =
    "```lesson\ntitle = \"Test\"\nsummary = \"A test.\"\nminutes = 5\noutcomes = [\"Test.\"]\n```\n\n";
const RUN: &str = r#"
```calculator
use = "voltage-drop"
name = "run"
[start]
conductor_size = "35 mm2"
conductor_class = "class 5"
run_out_m = 1.4
run_return_m = 1.0
joint_count = 4
joint_resistance_ohm = "0.1 mΩ"
current_a = "150 ± 2 A"
allowed_drop_v = 0.4
```

"#;

fn text(path: &str, text: &str) -> SourceText {
    SourceText { path: path.to_owned(), text: text.to_owned() }
}

fn pages(lesson: &str, more: Option<&str>) -> Site {
    let mut texts = vec![text("10-run.md", &format!("{HEAD}{RUN}{lesson}"))];
    texts.extend(more.map(|more| text("20-more.md", &format!("{HEAD}{more}"))));
    site(texts)
}

fn site(mut texts: Vec<SourceText>) -> Site {
    texts.push(text("course.toml", COURSE));
    texts.sort_by(|one, other| one.path.cmp(&other.path));
    let sources = SourceSet { texts, ..SourceSet::default() };
    let (checked, found) = pipeline::check(&sources, Vec::new());
    assert!(found.is_empty(), "{found:#?}");
    pipeline::site(&checked).expect("it builds")
}

/// The lesson's page, spaces that hold number and unit together shown as `~`.
fn page(site: &Site, path: &str) -> String {
    let bytes = site.files.get(path).expect("the page").clone();
    String::from_utf8(bytes).expect("a text").replace('\u{a0}', "~")
}

fn of(lesson: &str) -> String {
    page(&pages(lesson, None), "run.html")
}

fn holds(html: &str, wanted: &str) {
    assert!(html.contains(wanted), "no `{wanted}` in\n{html}");
}

/// 150 A through 2.4 m of 0.554 mΩ/m (IEC 60228, class 5, 35 mm²) and four joints of 0.1 mΩ: 0.25944 V.
#[test]
fn numbers_have_figures_unit_and_uncertainty() {
    let html = of("`value run.drop_v in mV to 2`; `value run.drop_v in V bare`; `value run.drop_v to 3`; \
         `value run.run_out_m`; `value run.current_a`; `value run.loop_resistance_ohm`; `value run.verdict`.");
    holds(&html, "<data class=\"calculated\" value=\"0.25944\">260~mV</data>; ");
    holds(&html, ">0.259~V</data>; <data class=\"calculated\" value=\"1.4\">1.4~m</data>; ");
    holds(&html, ">150~±~2~A</data>; <data class=\"calculated\" value=\"0.0017296\">1.730~mΩ</data>; ");
    holds(&html, "<span class=\"calculated\">within limits</span>.");
}

/// Without the way back and its joints: 150 A · (1.4 · 0.554 + 2 · 0.1) mΩ = 0.14634 V.
#[test]
fn a_calculator_is_worked_again_with_changed_values() {
    let html = of("`value run.drop_v to 3 with run_return_m = 0, joint_count = 2`");
    holds(&html, "value=\"0.14634\">0.146~V</data>");
}

#[test]
fn numbers_stand_in_tables_lists_headings_and_formulas() {
    let html = of(
        "## The drop is `value run.drop_v to 2`\n\n## More\n\n- `value run.drop_v to 3`\n\n| a | b |\n| --- | --- |\n\
         | x | `value run.joint_count` |\n\n$U = \\value{run.drop_v in V to 3 bare}$ and $\\value{run.drop_v to 3}$",
    );
    holds(&html, ">The drop is <data");
    holds(&html, ">The drop is 0.26~V</a>");
    holds(&html, "<li><data class=\"calculated\" value=\"0.25944\">0.259~V</data></li>");
    holds(&html, "<td><data class=\"calculated\" value=\"4\">4</data></td>");
    holds(&html, "<mi>U</mi><mo>=</mo><mn>0.259</mn></math>");
    holds(&html, "<mn>0.259</mn><mtext>~</mtext><mtext>V</mtext></math>");
}

#[test]
fn numbers_stand_in_the_texts_of_blocks_and_come_from_other_lessons() {
    let caution = "```caution\nsignal = \"notice\"\nhazard = \"A drop of `value run/run.drop_v to 2`, not `x`.\"\n\
         consequence = \"It turns slowly.\"\navoid = [\"Clean it.\"]\n```\n";
    let html = page(&pages("", Some(caution)), "more.html");
    holds(&html, "A drop of 0.26~V, not `x`.");
}

#[test]
fn what_is_no_reference_stays_code() {
    holds(&of("`value = 3` and `value`"), "<code>value = 3</code> and <code>value</code>");
}

const LIMITS: &str = r#"
[[limit]]
name = "demo-current"
of = "demo motor"
what = "settled current"
unit = "A"
minimum = 40
maximum = 80
at = "at 11.0 V"
demo = true

[[limit]]
name = "cranking-volts"
of = "battery"
what = "volts while cranking"
unit = "V"
minimum = 9.6
source = "tm"
"#;
const REFERENCES: &str = r#"
[[reference]]
key = "tm"
title = "Technical manual"
number = "TM 1-2-3, p. 4"
cite = "Army TM 1-2-3"
note = "Volts while cranking."
"#;
const SHEET: &str = r#"
The limit is in Army TM 1-2-3: `value limits.cranking-volts.minimum to 2`.

```worksheet
title = "Sheet"
[[reading]]
name = "settled_current_a"
label = "Settled current"
limit_from = "demo-current"
[[reading]]
name = "battery_voltage_v"
label = "Volts"
limit_from = "cranking-volts"
```
"#;

#[test]
fn limits_come_from_the_list_with_unit_and_source() {
    let lesson = text("10-run.md", &format!("{HEAD}{RUN}{SHEET}"));
    let site = site(vec![lesson, text("limits.toml", LIMITS), text("references.toml", REFERENCES)]);
    let html = page(&site, "run.html");
    holds(&html, "<data class=\"calculated\" value=\"9.6\">9.6~V</data>");
    holds(&html, "demo motor (invented): at 11.0~V");
    holds(&html, "Army TM 1-2-3</");
    let limits = page(&site, "limits.html");
    holds(
        &limits,
        "<td>demo motor</td><td>settled current</td><td>40 to 80~A</td><td>at 11.0~V</td><td>invented, for the demo</td>",
    );
    let sources = page(&site, "sources.html");
    assert!(!sources.contains("settled current"), "an invented limit is no published fact");
    holds(&sources, "<td>at least 9.6~V</td><td></td><td>Army TM 1-2-3</td>");
    holds(
        &sources,
        "<td>TM 1-2-3, p. 4</td><td>Technical manual</td><td>Volts while cranking.</td><td><a href=\"run.html\">1. Test</a></td>",
    );
    // The calculator's own facts.
    holds(&sources, "IEC 60228");
    let first = page(&site, "index.html");
    holds(&first, "href=\"limits.html\"");
    holds(&first, "href=\"sources.html\"");
}

#[test]
fn a_course_without_lists_has_no_pages_of_them() {
    let site = pages("Text.", None);
    assert!(!site.files.contains_key("limits.html") && !site.files.contains_key("sources.html"));
}
