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

fn pages(lesson: &str, more: Option<&str>) -> Site {
    let text = |path: &str, text: &str| SourceText { path: path.to_owned(), text: text.to_owned() };
    let mut texts = vec![text("10-run.md", &format!("{HEAD}{RUN}{lesson}"))];
    texts.extend(more.map(|more| text("20-more.md", &format!("{HEAD}{more}"))));
    texts.push(text("course.toml", COURSE));
    let sources = SourceSet { texts, ..SourceSet::default() };
    let (course, found) = pipeline::check(&sources, Vec::new());
    assert!(found.is_empty(), "{found:#?}");
    pipeline::site(&course, &sources).expect("it builds")
}

/// The lesson's page, spaces that hold number and unit together shown as `~`.
fn page(site: &Site, path: &str) -> String {
    let bytes = site.files.iter().find(|(own, _)| own.to_string() == path).expect("the page").1;
    String::from_utf8(bytes.to_vec()).expect("a text").replace('\u{a0}', "~")
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
