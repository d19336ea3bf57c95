//! Self-checks on paper and their key, and the sheets on which outcomes are signed.

use anyhow::{Result, ensure};
use fieldcoil::handouts::Settings;
use fieldcoil_tests::browser::{A4, shared};
use fieldcoil_tests::pdf::{Sheet, read, squeezed};

use super::{CHECKS, CLASS, SIGN_OFF, WARNING, all_inside, open, owners, printed, settings};

/// The questions of the fixture's self-check, each with what has to stand on one sheet with it.
const QUESTIONS: [(&str, &[&str]); 6] = [
    (
        "What does that point to?",
        &["High resistance in the circuit", "A shorted armature", "Nothing: 62 A is within"],
    ),
    ("What comes off before", &["Rings", "A watch with a metal strap", "Safety glasses"]),
    ("How many volts are lost?", &["Write the number with its unit."]),
    ("What is left?", &["Write the number with its unit."]),
    (
        "In which order is a reading taken?",
        &["Set the range.", "Connect the leads.", "Read the display.", "Write 1"],
    ),
    ("What is what in this diagram?", &["Main switch", "Motor", "Write beside each number"]),
];

/// What only the key may say.
const SAID: [&str; 6] = [
    "A short draws more current, not less.",
    "Glasses stay on until the bench is cleared.",
    "That is the drop of the way out alone",
    "12.2 V",
    "A switch stands in a line that can be opened.",
    "Terminal 31 is the return.",
];

#[test]
fn a_printed_quiz_has_every_question_whole_and_the_key_is_apart() -> Result<()> {
    let mut browser = shared();
    let mut looked_at = 0;
    for (settings, name) in settings() {
        let sheets = printed(&mut browser, settings, &name, CHECKS)?;
        let owners = owners(&sheets, &CLASS.roster)?;
        for at in 0..CLASS.roster.students.len() {
            let own: Vec<String> = sheets
                .iter()
                .zip(&owners)
                .filter(|(_, owner)| **owner == Some(at))
                .map(|(sheet, _)| sheet.squeezed())
                .collect();
            for (ask, parts) in QUESTIONS {
                let with: Vec<&String> = own.iter().filter(|text| text.contains(&squeezed(ask))).collect();
                ensure!(with.len() == 1, "{settings:?}: student {at} has “{ask}” {} times", with.len());
                for part in parts {
                    ensure!(with[0].contains(&squeezed(part)), "{settings:?}: “{part}” is not with “{ask}”");
                    looked_at += 1;
                }
            }
            for said in SAID {
                ensure!(
                    !own.iter().any(|text| text.contains(&squeezed(said))),
                    "{settings:?}: a sheet says “{said}”"
                );
            }
        }
    }
    ensure!(looked_at == 8 * 30 * 15, "{looked_at}");

    let (_, folder) = CLASS.made("keys", Settings::default())?;
    open(&mut browser, &folder, &format!("instructor/{CHECKS}-quiz.html"))?;
    let sheets = read(&browser.print(A4)?, &folder.join("quiz.pdf"))?;
    let all: String = sheets.iter().map(Sheet::squeezed).collect();
    for said in SAID.iter().chain(QUESTIONS.iter().map(|(ask, _)| ask)) {
        ensure!(all.contains(&squeezed(said)), "the key has no “{said}”");
    }
    for sheet in &sheets {
        ensure!(
            sheet.squeezed().contains(&squeezed(WARNING)),
            "a page of the key does not warn: {}",
            sheet.text()
        );
        all_inside(sheet, Settings::default())?;
    }
    Ok(())
}

#[test]
fn every_student_has_every_outcome_to_be_signed() -> Result<()> {
    let mut browser = shared();
    ensure!(CLASS.checked.course().outcomes.len() == 3);
    for (settings, name) in settings() {
        let sheets = printed(&mut browser, settings, &name, SIGN_OFF)?;
        let owners = owners(&sheets, &CLASS.roster)?;
        for at in 0..CLASS.roster.students.len() {
            let own = || {
                sheets.iter().zip(&owners).filter(|(_, owner)| **owner == Some(at)).map(|(sheet, _)| sheet)
            };
            for outcome in &CLASS.checked.course().outcomes {
                let row =
                    squeezed(&format!("{} {}", outcome.name.value.replace('-', "\u{2011}"), outcome.text));
                let has = own().filter(|sheet| sheet.squeezed().contains(&row)).count();
                ensure!(has == 1, "{settings:?}: student {at} has “{row}” {has} times");
            }
            for sheet in own() {
                for head in ["Priority", "Date", "How shown", "Initials", "Assessed at:"] {
                    ensure!(
                        sheet.squeezed().contains(&squeezed(head)),
                        "{settings:?}: no “{head}”: {}",
                        sheet.text()
                    );
                }
            }
        }
    }
    Ok(())
}
