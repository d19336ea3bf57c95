//! Every code that a finding can have, with what it means in one line.

/// Code and meaning, in the order of the stages that report it.
pub const CODES: &[(&str, &str)] = &[
    // Reading the folder.
    ("unreadable", "a file or folder of the course cannot be read"),
    ("too-large", "a file is larger than a course can use"),
    ("no-lesson", "a file is numbered like a lesson and has the ending of another program"),
    ("link-out-of-course", "a file is a link to something outside the course folder and is left out"),
    ("not-utf-8", "a text has bytes that are not UTF-8"),
    ("control-character", "a text has an invisible character that no page can show"),
    ("no-course-file", "the course folder has no `course.toml`"),
    ("no-lessons", "the course has no lessons"),
    ("unportable-name", "the name of a file would not survive on Windows or macOS"),
    // TOML.
    ("toml", "a block or file is not TOML"),
    ("missing-key", "something that must be said is missing"),
    ("unknown-key", "a key is not known where it stands"),
    ("wrong-type", "a value is of the wrong kind: a number in place of text, and so on"),
    ("empty-text", "a text is empty"),
    ("out-of-range", "a number makes no sense where it stands"),
    ("unknown-word", "a word is not one of those known at its place"),
    ("language", "the language of the course is not named as BCP 47 has it"),
    ("address", "the address of the site is no web address"),
    // Markdown.
    ("no-lesson-block", "a lesson does not begin with a `lesson` block"),
    ("late-lesson-block", "the `lesson` block is not first"),
    ("second-lesson-block", "a lesson has two `lesson` blocks"),
    ("no-page-block", "a page that is no lesson does not begin with a `page` block"),
    ("wrong-head", "a lesson begins with a `page` block, or a page with a `lesson` block"),
    ("homework-on-page", "homework stands on a page that is no lesson"),
    ("unknown-block", "an info word is nearly the name of a block"),
    ("words-after-block", "words after the name of a block say nothing"),
    ("nested-block", "a block stands inside a list or a quotation"),
    ("open-fence", "a block is never closed"),
    ("short-fence", "a block begins with fewer than three marks, or away from the margin"),
    ("table-without-rule", "lines between strokes have no line of dashes and are no table"),
    ("top-heading", "a heading is of the first level, which is the title's"),
    ("skipped-heading", "a level of headings is left out"),
    ("empty-heading", "a heading has no words"),
    ("raw-html", "a lesson has HTML in it and the course does not allow any"),
    ("html-element", "an element of HTML may not stand in a lesson and was taken out"),
    ("html-attribute", "an attribute of HTML may not stand in a lesson and was taken out"),
    ("html-nesting", "an element of HTML does not begin or end where it can"),
    ("formula", "a formula cannot be read or shown"),
    ("unknown-reference", "a link uses a name that nothing defines"),
    ("unknown-footnote", "the text marks a footnote that is not there"),
    ("idle-footnote", "nothing points to a footnote"),
    ("second-footnote", "a footnote is written twice"),
    // Blocks.
    ("sign-number", "the number of a safety sign is not of the form that ISO 7010 has"),
    ("reading-name", "the name of a reading is not in small letters, figures and low lines"),
    ("limits-crossed", "the minimum of a reading is above its maximum"),
    ("useless-key", "a step says something that its action has no use for"),
    ("unfit-part", "an action cannot be done to this part"),
    ("empty-hookup", "a hookup has no steps"),
    ("long-hookup", "a hookup has more steps than its bench sheet holds"),
    ("endless-hookup", "a hookup has more steps than can be proofed"),
    ("mixed-phases", "the lists of a hookup are mixed"),
    ("empty-circuit", "a circuit has no symbols"),
    ("large-circuit", "a circuit has more in it than a diagram holds"),
    ("long-label", "a label of a circuit is a text"),
    ("symbol-name", "the name of a symbol has a dot in it"),
    ("upright-symbol", "a symbol with words inside lies on its side"),
    ("cable-size", "a size of cable is in no list"),
    ("rule-name", "a rule of the school has a name that it cannot have"),
    ("rule-asks", "a rule of the school asks for nothing, or for two things"),
    ("term-key", "the key of a term is short"),
    ("second-outcome", "two outcomes have one name"),
    ("no-ask", "a homework problem asks for nothing"),
    ("many-asks", "a homework problem has more asks than letters"),
    ("limit-name", "the name of a limit is not in small letters, figures and hyphens"),
    ("limit-unit", "a limit has a unit that is not known"),
    ("limit-origin", "a limit comes from nowhere, or from two places"),
    ("limit-twice", "a reading has a limit of the list and says more of it"),
    ("second-limit", "two limits have one name"),
    ("second-reference", "two references have one key"),
    ("run-name", "the name of a calculator is not in small letters, figures and hyphens"),
    ("homework-name", "the name of a problem or an ask is not in small letters, figures and hyphens"),
    ("no-question", "a self-check asks nothing"),
    ("number-source", "a number of a self-check comes from nowhere, or from two places"),
    ("order-source", "a self-check has nothing to put in order, or two things"),
    // Names.
    ("unfit-address", "the name of a lesson's file makes no address that a page can have"),
    ("same-address", "two files make the same page"),
    ("unknown-lesson", "a lesson is named that is not there"),
    ("empty-module", "a module has no lessons"),
    ("lesson-without-module", "there are modules, and a lesson is in none"),
    ("lesson-in-two-modules", "a lesson is in modules twice"),
    ("module-order", "modules have lessons in another order than their files"),
    ("before-itself", "a lesson is to come before itself"),
    ("comes-later", "a lesson that must come before comes later"),
    ("refused-link", "a link is of a kind that is refused"),
    ("dead-link", "a link leads to a file that is not there"),
    ("dead-anchor", "a link leads to an anchor that is not there"),
    ("missing-alt", "a picture is not described in words"),
    ("no-picture", "a picture is not there"),
    ("heavy-picture", "a picture is so large that a phone waits long for it"),
    ("no-recording", "a file of a trace cannot be read as a recording"),
    ("no-table", "a table that is named is not there"),
    ("long-start", "a calculator starts with more text than a page should carry"),
    ("outside-picture", "a picture stands on another host"),
    ("broken-picture", "a picture is not of the kind that its name says"),
    ("broken-drawing", "an SVG file is no drawing"),
    ("no-view-box", "a drawing cannot grow and shrink"),
    ("drawing-element", "a drawing has a part that is more than shapes and text"),
    ("drawing-attribute", "a drawing has an attribute that is refused"),
    ("drawing-reference", "a drawing refers to something that is not in it"),
    ("drawing-style", "styles of a drawing were left out"),
    ("unknown-calculator", "there is no calculator of this name"),
    ("unknown-field", "a calculator has no field of this name"),
    ("unfit-value", "a calculator does not accept a starting value"),
    ("second-calculator", "two calculators of a lesson have one name"),
    ("value-syntax", "a reference to a calculated number cannot be read"),
    ("unknown-run", "a text refers to a calculator that is not there"),
    ("value-unit", "a calculated number has no such unit"),
    ("value-refused", "a calculated number cannot be worked with the changed values"),
    ("no-value", "a calculator does not give a number with its inputs"),
    ("unknown-limit", "a limit is named that `limits.toml` has not got"),
    ("unknown-source", "a limit has a source that `references.toml` has not got"),
    ("second-reading", "two readings of a lesson have one name"),
    ("unknown-reading", "a hookup reads what no worksheet of its lesson has"),
    ("second-homework", "two problems of a course have one name"),
    ("second-ask", "two asks of a problem have one name"),
    ("unknown-outcome", "an outcome is named that the school's list has not got"),
    ("unknown-output", "a calculator gives no such number"),
    ("unknown-ask", "an ask goes on from one that is not above it"),
    ("unknown-placeholder", "a problem's text names a field that is neither drawn nor given"),
    ("untold-draw", "a value is drawn and the problem's text does not say it"),
    ("given-and-drawn", "a field is given and drawn"),
    ("draw-steps", "a range to draw from has no whole number of steps"),
    ("ask-unit", "an answer has no such unit"),
    ("ask-tolerance", "a tolerance cannot be read"),
    ("second-word", "a word is in the glossary twice"),
    ("second-glossary", "the glossary is shown twice"),
    ("empty-glossary", "the glossary is shown and has no words"),
    ("glossary-not-shown", "there are words in the glossary and no page shows them"),
    ("idle-word", "no lesson uses a word of the glossary"),
    // Diagrams.
    ("unknown-hookup", "a diagram or a question goes with a hookup that the lesson has not got"),
    ("second-hookup", "two hookups of a lesson have one name"),
    ("unknown-step", "a self-check names a step that its hookup has not got"),
    ("unknown-circuit", "a self-check names a diagram that the lesson has not got"),
    ("nameless-place", "a place of a diagram has no words that could be asked for"),
    ("second-symbol", "two symbols of a circuit have one name"),
    ("unknown-terminal", "a wire leads to a terminal that is not there"),
    ("idle-wire", "a wire joins a terminal with itself, or two that are joined already"),
    ("symbols-overlap", "two symbols lie on each other"),
    ("idle-part", "a part of a diagram belongs to no step of its hookup"),
    ("idle-state", "a diagram has states of its own beside the steps of its hookup"),
    ("unknown-switch", "a state closes something that cannot be closed"),
    ("unknown-meter", "a reading is stated of something that is no meter"),
    ("unknown-moment", "a reading is stated for a moment that never comes"),
    ("open-terminal", "a terminal is connected to nothing"),
    ("shorted-source", "nothing but wires leads from one pole of a source to the other"),
    ("missing-value", "a circuit cannot be worked without this value"),
    ("motor-values", "the values of a motor make no motor"),
    ("unsolved-circuit", "a circuit has no operating point"),
    ("no-way", "a wire of a diagram finds no way"),
    ("no-room", "words of a diagram find no room"),
    ("stated-reading", "a stated reading is not what its circuit gives"),
    // Rules on lessons.
    ("no-outcomes", "a lesson does not say what a student can do afterwards"),
    ("caution-part", "a danger or warning note lacks one of its three parts"),
    ("no-caution", "a lesson energizes and has no safety note before"),
    ("unknown-sign", "the theme has no drawing of a safety sign"),
    ("limit-without-source", "a reading has a limit and no source"),
    ("no-limits", "no reading of a sheet has a limit"),
    ("hazard-not-told", "a step brings a hazard that no safety note of the lesson tells of"),
    ("long-sentence", "sentences have more words than the course allows"),
    ("reading-grade", "a lesson is harder to read than the course allows"),
    ("idle-reading", "a reading on the sheet is not taken by a hookup of the lesson"),
    ("outcome-not-taught", "an outcome of the school's list is in no lesson"),
    ("outcome-not-assessed", "an outcome is taught and never assessed"),
    ("lesson-without-outcome", "a lesson teaches no outcome of the school's list"),
    ("idle-reference", "nothing refers to a text of `references.toml`"),
    ("no-answer", "a draw or a question has no answer"),
    ("senseless-answer", "a draw has an answer that makes no sense"),
    ("vague-answer", "a tolerance is as large as the answer"),
    ("answers-alike", "too large a share of a class would have one answer"),
    ("right-choices", "no choice of a question is right, all are, or too many"),
    ("equal-choices", "two questions, or two things of one, read the same"),
    ("no-feedback", "a wrong choice says nothing to whoever takes it"),
    ("wrong-is-right", "a wrong number is right within the tolerance"),
    ("too-few", "a question has so few things that it can be guessed"),
    // Rules on hookups.
    ("impossible-step", "a step cannot be done as the bench is"),
    ("no-eye-protection", "something can spark and no eye protection is worn"),
    ("rings-on", "something can spark and rings and watch are still on"),
    ("battery-not-seen", "nobody has looked at the battery before work on it"),
    ("clip-not-seen", "nobody has looked whether the positive clip is clear of bare metal"),
    ("meter-not-set", "a voltmeter goes on and nobody has looked at its range and sockets"),
    ("switch-not-seen", "a lead is moved and nobody has seen that the main switch is off"),
    ("control-not-seen", "a circuit is completed and nobody has seen that its control is off"),
    ("changed-live", "a lead is moved under power"),
    ("hands-before-rest", "a lead is moved before the rest after a run is over"),
    ("return-first", "on a bench supply a supply lead goes on before the return"),
    ("return-last", "on a bench supply the return comes off before a supply lead"),
    ("negative-last", "with a battery a lead goes on after the negative post"),
    ("negative-first", "with a battery a lead comes off before the negative post"),
    ("no-control", "a supply lead goes past the main contact"),
    ("contact-shorted", "the main contact would short the source"),
    ("stud-not-seen", "a solenoid is tested and nobody has seen that nothing is on terminal 30"),
    ("motor-lead-on", "current is sent while the motor's own lead, which the list takes off, is on"),
    ("loosened-connected", "the motor is loosened with leads on"),
    ("wrong-control", "a control is used that the bench does not have"),
    ("wrong-list", "the bench is live outside the run list"),
    ("check-live", "the instructor checks with the main switch on"),
    ("loose-motor", "the motor is energized and not fastened"),
    ("drive-not-clear", "the motor is energized and the drive opening was not cleared"),
    ("vehicle-can-roll", "a vehicle is cranked without brake, neutral and chocks"),
    ("engine-can-start", "a vehicle is cranked with ignition and fuel in order"),
    ("fan-not-clear", "a vehicle is cranked and nobody has cleared fan and belts"),
    ("no-instructor-check", "the motor is energized and no instructor has checked the hookup as it is"),
    ("no-power", "something is to be energized and nothing can flow"),
    ("too-long", "current flows longer than the limit"),
    ("long-limit", "a limit is above the usual one and has no source"),
    ("busy-while-energized", "something else is done while current flows"),
    ("wrong-release", "another control is released than the one that is held"),
    ("no-rest", "a run is not followed by a rest that is long enough"),
    ("reading-out-of-state", "a reading is taken when it means nothing"),
    ("reading-without-meter", "a reading is taken without its meter in place"),
    ("never-released", "the current is never released"),
    ("left-on", "a switch is left on"),
    ("left-attached", "a lead is never taken off"),
    ("not-put-back", "a lead of a vehicle or a motor is never put back"),
    ("school-rule", "a rule of the school in `course.toml` does not hold"),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::path::Path;

    use super::*;

    /// Codes that the sources report: the texts after the calls and fields that take one.
    fn used() -> BTreeSet<String> {
        let before = [
            "error(",
            "warning(",
            "hint(",
            "of_course(",
            "at_step(",
            "at_end(",
            "once(",
            "code: ",
            "Finding::error(",
        ];
        let mut used = BTreeSet::new();
        let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        for entry in walkdir::WalkDir::new(sources) {
            let entry = entry.expect("readable");
            if entry.path().extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let text = std::fs::read_to_string(entry.path()).expect("text");
            let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
            for start in before {
                for (at, _) in text.match_indices(start) {
                    let rest = text[at + start.len()..].trim_start();
                    let code = rest.strip_prefix('"').and_then(|rest| rest.split('"').next());
                    let is_code = |code: &str| {
                        code.bytes()
                            .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-')
                    };
                    used.extend(code.filter(|code| !code.is_empty() && is_code(code)).map(str::to_owned));
                }
            }
        }
        used
    }

    #[test]
    fn the_table_and_the_sources_have_the_same_codes() {
        let table: BTreeSet<String> = CODES.iter().map(|(code, _)| (*code).to_owned()).collect();
        assert_eq!(table.len(), CODES.len(), "each code stands once");
        assert_eq!(table, used());
    }
}
