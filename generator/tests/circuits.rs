//! Diagrams of hookups: what is connected, lit and read at which step, against lists made by hand.

use std::path::Path;

use fieldcoil::course::{Circuit, Lesson, Moments, Piece};
use fieldcoil::source::{SourceSet, load};
use fieldcoil::{finding::Finding, pipeline};

/// A course of one lesson, read from a folder of its own.
fn with_course<T>(lesson: &str, look: impl FnOnce(&Lesson, &[Finding]) -> T) -> T {
    let folder = tempfile::tempdir().expect("a folder");
    let about = "title = \"T\"\nsummary = \"S.\"\nschool = \"A school (invented)\"\nauthor = \"A\"\nedition = \"1\"\n";
    std::fs::write(folder.path().join("course.toml"), about).expect("written");
    std::fs::write(folder.path().join("10-a.md"), lesson).expect("written");
    let (sources, found): (SourceSet, _) = load::course(folder.path()).expect("read");
    let (checked, found) = pipeline::check(&sources, found);
    look(&checked.lessons()[0].lesson, &found)
}

fn circuit<'c>(lesson: &'c Lesson) -> &'c Circuit {
    let circuit = lesson.pieces.iter().find_map(|piece| match piece {
        Piece::Circuit(circuit) => Some(&**circuit),
        _ => None,
    });
    circuit.expect("the lesson has a circuit")
}

const HEAD: &str = "```lesson\ntitle = \"A\"\nsummary = \"A.\"\nminutes = 5\noutcomes = [\"x\"]\n```\n\n";

/// The first block of this kind in a Markdown text, with its fences.
fn block(text: &str, word: &str) -> String {
    let from = text.find(&format!("```{word}\n")).expect("a block");
    let to = text[from + 3..].find("\n```").expect("its end");
    text[from..from + 3 + to + 5].to_owned()
}

#[test]
fn the_diagram_of_the_readme_is_in_order() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(readme).expect("text");
    with_course(&format!("{HEAD}{}", block(&readme, "circuit")), |lesson, found| {
        assert_eq!(found, []);
        let circuit = circuit(lesson);
        let drawn = circuit.drawn.as_ref().expect("drawn");
        assert_eq!(drawn.scenes.count, 2);
        // 12.6 V through 6 mΩ and 1.5 m of 25 mm² (0.780 mΩ/m, IEC 60228) into a motor that draws 70 A at 11.5 V.
        let reading = drawn.scenes.meters.values().next().expect("a meter")[1].expect("a reading");
        assert!((70.0..75.0).contains(&reading), "{reading}");
    });
}

const CAUTION: &str = "```caution\nsignal = \"warning\"\nhazard = \"Acid, and a short circuit.\"\nconsequence = \"Burns.\"\navoid = [\"Goggles.\"]\n```\n\n";

/// A bench with everything that a diagram follows: a lead that goes on and comes off, a meter that is moved, a load that
/// stands for two readings.
const BENCH: &str = r#"```hookup
name = "bench"
title = "A bench"
bench = "battery"
[[hookup]]
do = "wear"
part = "eye-protection"
say = "Goggles on."
[[hookup]]
do = "remove"
part = "jewellery"
say = "Rings off."
[[hookup]]
do = "look"
part = "battery"
say = "Look."
[[hookup]]
do = "look"
part = "voltmeter"
say = "Look."
[[hookup]]
do = "switch-off"
part = "load-switch"
say = "Tester off."
[[hookup]]
do = "attach"
part = "voltmeter-leads"
say = "On the posts."
[[hookup]]
do = "read"
reading = "rested_v"
say = "Read."
[[hookup]]
do = "attach"
part = "load-positive"
say = "Positive."
[[hookup]]
do = "instructor-check"
say = "Call."
[[hookup]]
do = "attach"
part = "load-negative"
say = "Negative."
[[run]]
do = "energize"
part = "load-switch"
seconds = 5
say = "On."
[[run]]
do = "read"
reading = "loaded_v"
say = "Read."
[[run]]
do = "release"
part = "load-switch"
say = "Off."
[[run]]
do = "rest"
seconds = 120
say = "Wait."
[[unhook]]
do = "detach"
part = "load-negative"
say = "Negative off."
[[unhook]]
do = "detach"
part = "load-positive"
say = "Positive off."
[[unhook]]
do = "detach"
part = "voltmeter-leads"
say = "Meter off."
```

```worksheet
title = "Sheet"
[[reading]]
name = "rested_v"
minimum = 11.5
source = "invented"
label = "Rested"
unit = "V"
taken = "at-rest"
[[reading]]
name = "loaded_v"
label = "Loaded"
unit = "V"
```

```circuit
title = "A load on a battery"
text = "A load tester across a battery, and a voltmeter."
hookup = "bench"
[[symbol]]
name = "battery"
kind = "battery"
at = [4, 8]
source_voltage_v = 12.0
source_resistance_ohm = 0.5
[[symbol]]
name = "load"
kind = "carbon-pile"
at = [18, 8]
turn = "right"
part = "load-switch"
resistance_ohm = 5.5
[[symbol]]
name = "volts"
kind = "voltmeter"
at = [10, 8]
turn = "right"
part = "voltmeter-leads"
[[wire]]
from = "battery.+"
to = "load.1"
part = "load-positive"
[[wire]]
from = "load.2"
to = "battery.-"
part = "load-negative"
[[wire]]
from = "volts.+"
to = "battery.+"
part = "voltmeter-leads"
[[wire]]
from = "volts.-"
to = "battery.-"
part = "voltmeter-leads"
[[reading]]
meter = "volts"
when = "rested_v"
value = 12.0
tolerance = 0.001
[[reading]]
meter = "volts"
when = "loaded_v"
value = 11.0
tolerance = 0.001
```
"#;

#[test]
fn wires_come_and_go_with_the_steps() {
    with_course(&format!("{HEAD}{CAUTION}{BENCH}"), |lesson, found| {
        assert_eq!(found, []);
        let circuit = circuit(lesson);
        let scenes = &circuit.drawn.as_ref().expect("drawn").scenes;
        assert_eq!(scenes.count, 18, "before the first step, and after each of 17");
        let joined: Vec<&Moments> = scenes.joined.iter().collect();
        // By hand: attached at steps 8, 10, 6 and 6; off at 16, 15, 17 and 17.
        assert_eq!(joined, [&vec![(8, 15)], &vec![(10, 14)], &vec![(6, 16)], &vec![(6, 16)]]);
        // Current flows in the load's leads from the switch at step 11 until it is let go of at step 13.
        assert_eq!(scenes.flow, [vec![(11, 12)], vec![(11, 12)], vec![], vec![]]);
        // The positive lead is at the battery's voltage as long as it is on and carries nothing.
        assert_eq!(scenes.hot[0], [(8, 10), (13, 15)]);
        assert_eq!(scenes.worked[1], [(11, 12)], "the load's switch");
        assert_eq!(scenes.shown, 11, "the moment at which current flows first");
        let volts = &scenes.meters[&2];
        // 12 V · 5.5 Ω / 6 Ω = 11 V; nothing while the leads are off.
        assert_eq!(volts[5], None);
        assert!((volts[7].expect("on") - 12.0).abs() < 1e-5);
        assert!((volts[11].expect("on") - 11.0).abs() < 1e-5);
        assert_eq!(volts[17], None);
    });
}

#[test]
fn a_wrong_stated_reading_does_not_publish() {
    let wrong = BENCH.replace("value = 11.0", "value = 11.2");
    with_course(&format!("{HEAD}{CAUTION}{wrong}"), |_, found| {
        let codes: Vec<_> = found.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, ["stated-reading"]);
    });
}

/// A lamp whose way back is open, and whose only link with the battery's + is a voltmeter; beside it a second lamp that
/// hangs on the + itself.
const BEHIND_A_METER: &str = r#"```circuit
title = "Behind a voltmeter"
text = "A switch in the return of two lamps."
[[symbol]]
name = "battery"
kind = "battery"
at = [4, 8]
source_voltage_v = 12.0
source_resistance_ohm = 0.5
[[symbol]]
name = "volts"
kind = "voltmeter"
at = [12, 3]
[[symbol]]
name = "metered"
kind = "lamp"
at = [20, 8]
turn = "right"
resistance_ohm = 4
[[symbol]]
name = "fed"
kind = "lamp"
at = [30, 8]
turn = "right"
resistance_ohm = 4
[[symbol]]
name = "one"
kind = "main-switch"
at = [14, 14]
[[symbol]]
name = "other"
kind = "main-switch"
at = [14, 18]
[[wire]]
from = "battery.+"
to = "volts.+"
[[wire]]
from = "volts.-"
to = "metered.1"
[[wire]]
from = "metered.2"
to = "one.2"
[[wire]]
from = "one.1"
to = "battery.-"
[[wire]]
from = "battery.+"
to = "fed.1"
[[wire]]
from = "fed.2"
to = "other.2"
[[wire]]
from = "other.1"
to = "battery.-"
[[state]]
name = "open"
```
"#;

#[test]
fn what_only_a_voltmeter_joins_to_a_source_is_not_hot() {
    with_course(&format!("{HEAD}{BEHIND_A_METER}"), |lesson, found| {
        assert_eq!(found, []);
        let scenes = &circuit(lesson).drawn.as_ref().expect("drawn").scenes;
        let hot: Vec<bool> = scenes.hot.iter().map(|at| !at.is_empty()).collect();
        assert_eq!(hot, [true, false, false, false, true, true, false]);
    });
}
