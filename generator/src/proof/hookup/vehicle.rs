//! Rules of cranking in a vehicle.

use super::moment::{Broken, Moment};
use crate::course::{Bench, Part};

fn cranks(moment: &Moment) -> bool {
    moment.hookup.bench == Bench::Vehicle && moment.turns_motor()
}

/// The vehicle cannot roll: brake, neutral, chocks.
pub fn secured(moment: &Moment) -> Option<Broken> {
    (cranks(moment) && !moment.state.fastened.contains(&Part::Vehicle)).then(|| {
        let mend = "put a step `do = \"fasten\"`, `part = \"vehicle\"` in the hookup list";
        Broken::new("the vehicle is cranked and can roll", "it moves here", mend)
    })
}

/// The engine cannot start.
pub fn cannot_start(moment: &Moment) -> Option<Broken> {
    (cranks(moment) && moment.state.disabled.is_none()).then(|| {
        let mend = "put a step `do = \"switch-off\"`, `part = \"ignition-and-fuel\"` in the hookup list";
        Broken::new("the vehicle is cranked and the engine can start", "it can fire here", mend)
    })
}

/// Nobody and nothing is near fan and belts.
pub fn clear(moment: &Moment) -> Option<Broken> {
    (cranks(moment) && !moment.state.cleared.contains(&Part::Vehicle)).then(|| {
        let mend = "put a step `do = \"clear\"`, `part = \"vehicle\"` in the hookup list";
        Broken::new("nobody has cleared fan and belts", "they turn here", mend)
    })
}
