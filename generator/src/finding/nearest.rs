//! The known name that a mistyped one is nearest to.

/// The nearest of `known`, when it is near enough to be what was meant.
pub fn nearest<'k>(typed: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let letters = typed.chars().count();
    // A third of the letters may be wrong, and never more than three: beyond that a hint is a guess.
    let allowed = (letters / 3).clamp(1, 3);
    known
        .into_iter()
        .filter(|name| name.chars().count().abs_diff(letters) <= allowed)
        .map(|name| (distance(typed, name), name))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// How many letters must be changed, added, taken out or swapped with their neighbour; case does not count.
pub fn distance(one: &str, other: &str) -> usize {
    let one: Vec<char> = one.chars().flat_map(char::to_lowercase).collect();
    let other: Vec<char> = other.chars().flat_map(char::to_lowercase).collect();
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for (row, letter) in one.iter().enumerate() {
        let mut current = vec![row + 1];
        for (column, wanted) in other.iter().enumerate() {
            let changed = last[column] + usize::from(letter != wanted);
            let mut best = changed.min(last[column + 1] + 1).min(current[column] + 1);
            let swapped = row > 0 && column > 0 && one[row - 1] == *wanted && *letter == other[column - 1];
            if swapped {
                best = best.min(before_last[column - 1] + 1);
            }
            current.push(best);
        }
        before_last = std::mem::replace(&mut last, current);
    }
    last[other.len()]
}

/// The symbol of a unit whose name was written out; another text as it is.
pub fn symbol_of(written: &str) -> &str {
    let name = written.trim().to_lowercase();
    let name = name.strip_suffix('s').unwrap_or(&name);
    let all = [
        ("volt", "V"),
        ("millivolt", "mV"),
        ("amp", "A"),
        ("ampere", "A"),
        ("ampère", "A"),
        ("ohm", "Ω"),
        ("milliohm", "mΩ"),
        ("watt", "W"),
        ("second", "s"),
        ("metre", "m"),
        ("meter", "m"),
        ("degree celsiu", "°C"),
        ("celsiu", "°C"),
        ("percent", "%"),
        ("u/min", "rpm"),
        ("1/min", "rpm"),
        ("tr/min", "rpm"),
    ];
    all.iter().find(|(known, _)| *known == name).map_or(written, |(_, symbol)| symbol)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_a_finger_are_one_step_each() {
        for (one, other, steps) in [
            ("voltage-drop", "voltage-drop", 0),
            ("voltage-drp", "voltage-drop", 1),
            ("votlage-drop", "voltage-drop", 1),
            ("Hazard", "hazard", 0),
            ("", "abc", 3),
            ("abc", "", 3),
        ] {
            assert_eq!(distance(one, other), steps, "{one} to {other}");
        }
    }

    #[test]
    fn far_names_are_no_hint() {
        let known = ["hazard", "consequence", "avoid"];
        assert_eq!(nearest("hazzard", known), Some("hazard"));
        assert_eq!(nearest("aviod", known), Some("avoid"));
        assert_eq!(nearest("title", known), None);
        assert_eq!(nearest("x", known), None);
    }
}
