//! What each student has shown of each outcome: points of the problems that assess it, and sheets that practise it.

use std::collections::BTreeMap;

use super::Class;

/// One student and one outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeRow {
    /// The student's place on the roster.
    pub student: usize,
    /// The outcome's name.
    pub outcome: String,
    /// Points got of the problems that assess it, those by hand counted.
    pub points: f64,
    /// Of so many.
    pub possible: f64,
    /// Sheets that practise it on which at least one reading was handed in.
    pub sheets: usize,
    /// Of so many.
    pub sheets_possible: usize,
}

/// All rows, by student and then in the order of the outcomes' names; outcomes that nothing graded names have none.
pub fn rows(class: &Class) -> Vec<OutcomeRow> {
    let mut all: BTreeMap<(usize, &str), OutcomeRow> = BTreeMap::new();
    for entry in &class.entries {
        let lesson = class.lesson(entry);
        let mut row = |outcome, change: &dyn Fn(&mut OutcomeRow)| {
            change(all.entry((entry.student, outcome)).or_insert_with(|| OutcomeRow {
                student: entry.student,
                outcome: outcome.to_owned(),
                points: 0.0,
                possible: 0.0,
                sheets: 0,
                sheets_possible: 0,
            }));
        };
        for (at, (homework, _)) in lesson.homework.iter().enumerate() {
            let points = entry.marked.as_ref().map_or(0.0, |marked| marked.problems[at].points());
            for outcome in &homework.outcomes {
                row(&outcome.value, &|row| {
                    row.points += points;
                    row.possible += homework.points();
                });
            }
        }
        for (at, sheet) in lesson.sheets.iter().enumerate() {
            let is_in = entry.marked.as_ref().is_some_and(|marked| marked.has_sheet(at));
            for outcome in &sheet.practises {
                row(&outcome.value, &|row| {
                    row.sheets += usize::from(is_in);
                    row.sheets_possible += 1;
                });
            }
        }
    }
    all.into_values().collect()
}
