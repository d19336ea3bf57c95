//! Rules of taking readings.

use super::{Broken, Moment};
use crate::course::{Action, Taken};

/// A reading is taken in the state in which it means something.
///
/// Most are taken while current flows. Straight after the release one may still be read: a meter that holds its peak
/// shows it, and the pinion and the seconds are known only then. Anything but looking and reading ends that. A reading
/// that the sheet marks `taken = "at-rest"` (a rested voltage) is the other way round.
pub fn in_state(moment: &Moment) -> Option<Broken> {
    let Moment { state, step, taken, .. } = moment;
    if step.action.value != Action::Read {
        return None;
    }
    let name = step.reading.as_ref().map_or("", |reading| reading.value.as_str());
    match (taken, state.energized) {
        (Taken::Energized, None) if !state.just_released => Some(Broken {
            message: format!("`{name}` is read while no current flows"),
            label: "neither energized nor just released",
            since: None,
            mend: "move the step between `energize` and `rest`, or mark the reading on the sheet `taken = \"at-rest\"`"
                .to_owned(),
        }),
        (Taken::AtRest, Some(since)) => Some(Broken {
            message: format!("`{name}` is a reading at rest and is taken while current flows"),
            label: "energized here",
            since: Some((since, "energized here")),
            mend: "move the step before `energize`, or after `rest`".to_owned(),
        }),
        _ => None,
    }
}
