//! Rows into the order of time: late ones moved, those of one time made one, gaps counted.

use super::{Recording, median};

/// A step of more than so many median steps is a gap.
pub const GAP: f64 = 1.5;

/// Lines of one kind: how many, and the numbers of the first of them in the file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lines {
    /// How many.
    pub count: usize,
    /// Line numbers, counted from 1, of the first few.
    pub first: Vec<u32>,
}

impl Lines {
    /// One more, at this line.
    pub fn add(&mut self, line: u32) {
        self.count += 1;
        if self.first.len() < 3 {
            self.first.push(line);
        }
    }
}

/// What was found when rows were put in order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Order {
    /// Rows whose time is below that of the row before them; rows are sorted when there are any.
    pub late: Lines,
    /// Rows that repeat a time; averaged with it.
    pub repeated: Lines,
    /// Rows before which a step of more than [`GAP`] median steps lies.
    pub gaps: Lines,
    /// The longest step, in seconds.
    pub longest_step_s: f64,
    /// The median step, in seconds.
    pub step_s: f64,
}

/// Puts the rows of a recording in order; `lines` gives the line of each row.
pub fn put_in_order(recording: &mut Recording, lines: &mut Vec<u32>) -> Order {
    let mut order = Order::default();
    let mut before = f64::NEG_INFINITY;
    for (time, line) in recording.time_s.iter().zip(lines.iter()) {
        if *time < before {
            order.late.add(*line);
        }
        before = *time;
    }
    if order.late.count > 0 {
        sort(recording, lines);
    }
    merge_repeated(recording, lines, &mut order.repeated);
    let mut steps: Vec<f64> = recording.time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    order.longest_step_s = steps.iter().copied().fold(0.0, f64::max);
    order.step_s = median(&mut steps);
    for (pair, line) in recording.time_s.windows(2).zip(&lines[1.min(lines.len())..]) {
        // A recorder prints rounded times: the last digit alone makes no gap.
        if pair[1] - pair[0] > GAP * order.step_s * (1.0 + 1e-9) {
            order.gaps.add(*line);
        }
    }
    order
}

/// Sorts by time; rows of one time stay as they stood.
fn sort(recording: &mut Recording, lines: &mut Vec<u32>) {
    let time = &recording.time_s;
    let mut places: Vec<u32> = (0..time.len() as u32).collect();
    places.sort_unstable_by(|a, b| time[*a as usize].total_cmp(&time[*b as usize]).then(a.cmp(b)));
    for column in columns(recording) {
        *column = places.iter().map(|place| column[*place as usize]).collect();
    }
    *lines = places.iter().map(|place| lines[*place as usize]).collect();
}

/// The columns that were recorded.
fn columns(recording: &mut Recording) -> impl Iterator<Item = &mut Vec<f64>> {
    [&mut recording.time_s, &mut recording.current_a, &mut recording.voltage_v, &mut recording.speed_rpm]
        .into_iter()
        .filter(|column| !column.is_empty())
}

/// Makes rows of one time one row with the means of their values.
fn merge_repeated(recording: &mut Recording, lines: &mut Vec<u32>, repeated: &mut Lines) {
    let time = &recording.time_s;
    // Where each time begins.
    let mut begins: Vec<usize> = Vec::new();
    for index in 0..time.len() {
        if index > 0 && time[index] == time[index - 1] {
            if begins.is_empty() {
                begins.extend(0..index);
            }
            repeated.add(lines[index]);
        } else if repeated.count > 0 {
            begins.push(index);
        }
    }
    if repeated.count == 0 {
        return;
    }
    let ends: Vec<usize> = begins[1..].iter().copied().chain([time.len()]).collect();
    for column in columns(recording) {
        *column = begins.iter().zip(&ends).map(|(from, to)| super::mean(&column[*from..*to])).collect();
    }
    *lines = begins.iter().map(|from| lines[*from]).collect();
}

#[cfg(test)]
mod tests {
    use super::*;

    fn recording(rows: &[(f64, f64)]) -> (Recording, Vec<u32>) {
        let recording = Recording {
            time_s: rows.iter().map(|row| row.0).collect(),
            current_a: rows.iter().map(|row| row.1).collect(),
            ..Recording::default()
        };
        (recording, (1..=rows.len() as u32).collect())
    }

    #[test]
    fn late_rows_move_and_equal_times_become_one() {
        let (mut rows, mut lines) =
            recording(&[(0.0, 1.0), (2.0, 3.0), (1.0, 2.0), (2.0, 5.0), (3.0, 7.0), (9.0, 8.0)]);
        let order = put_in_order(&mut rows, &mut lines);
        assert_eq!(rows.time_s, [0.0, 1.0, 2.0, 3.0, 9.0]);
        assert_eq!(rows.current_a, [1.0, 2.0, 4.0, 7.0, 8.0]);
        assert_eq!(lines, [1, 3, 2, 5, 6]);
        assert_eq!(order.late, Lines { count: 1, first: vec![3] });
        assert_eq!(order.repeated, Lines { count: 1, first: vec![4] });
        assert_eq!(order.gaps, Lines { count: 1, first: vec![6] });
        assert_eq!((order.step_s, order.longest_step_s), (1.0, 6.0));
    }

    #[test]
    fn two_rows_exchanged_are_two_out_of_place() {
        let mut rows: Vec<(f64, f64)> = (0..30).map(|row| (f64::from(row), 1.0)).collect();
        rows.swap(10, 20);
        let (mut rows, mut lines) = recording(&rows);
        let order = put_in_order(&mut rows, &mut lines);
        assert_eq!(order.late, Lines { count: 2, first: vec![12, 21] });
    }

    #[test]
    fn any_order_of_rows_gives_the_same_recording() {
        let ordered: Vec<(f64, f64)> =
            (0..500).map(|row| (f64::from(row) * 0.01, f64::from(row * row))).collect();
        let mut mixed = ordered.clone();
        for index in 0..mixed.len() {
            mixed.swap(index, (index * 7919 + 13) % 500);
        }
        let (mut rows, mut lines) = recording(&mixed);
        put_in_order(&mut rows, &mut lines);
        assert_eq!(rows, recording(&ordered).0);
    }

    #[test]
    fn one_time_alone_leaves_one_row() {
        let (mut rows, mut lines) = recording(&[(1.0, 1.0), (1.0, 3.0), (1.0, 5.0)]);
        let order = put_in_order(&mut rows, &mut lines);
        assert_eq!((rows.time_s, rows.current_a, order.step_s), (vec![1.0], vec![3.0], 0.0));
    }
}
