//! Rules of taking readings.

use super::moment::{Broken, Moment};
use super::path::second_way;
use crate::course::{Action, Bench, Part, Taken, WorksheetReading};

fn reading<'m>(moment: &'m Moment) -> Option<&'m WorksheetReading> {
    moment.reading.filter(|_| moment.does(Action::Read))
}

/// A reading is taken in the state in which it means something.
///
/// Most are taken while current flows: a drop without current is no drop. One that the sheet marks
/// `taken = "after-release"` (a peak that the meter holds, the pinion's way back) may also be read straight after it;
/// anything but looking and reading ends that. One marked `taken = "at-rest"` (a rested voltage) is the other way round.
pub fn in_state(moment: &Moment) -> Option<Broken> {
    let state = moment.state;
    let reading = reading(moment)?;
    let name = &reading.name.value;
    match (reading.taken, state.energized) {
        (Taken::Energized, None) => Some(Broken::new(
            format!("`{name}` is read while no current flows"),
            "not energized",
            "move the step between `energize` and `release`, or mark the reading on the sheet `taken = \"after-release\"` or `taken = \"at-rest\"`",
        )),
        (Taken::AfterRelease, None) if !state.just_released => Some(Broken::new(
            format!("`{name}` is read while no current flows"),
            "neither energized nor just released",
            "move the step between `energize` and `rest`",
        )),
        (Taken::Energized, Some(_)) if is_opened(moment) => Some(Broken::new(
            format!("`{name}` is read while no current flows: the only return is open"),
            "the switch in the pull-in return is off",
            "move the step before the one that switches `pull-in-switch` off, or attach `case-return` as well",
        )),
        (Taken::Energized | Taken::AfterRelease, _) if is_of_other_state(moment, reading) => {
            let wanted = reading.during.as_deref().unwrap_or_default();
            let is = state.current_for.as_deref().unwrap_or("not named");
            Some(Broken::new(
                format!("`{name}` is a reading of `{wanted}`, and the state here is {is}"),
                "another state",
                format!("move the step after one that has `state = \"{wanted}\"`"),
            ))
        }
        (Taken::AtRest, Some(since)) => Some(
            Broken::new(
                format!("`{name}` is a reading at rest and is taken while current flows"),
                "energized here",
                "move the step before `energize`, or after `rest`",
            )
            .since(Some(since), "energized here"),
        ),
        (Taken::AtRest, None) if state.unrested.is_some() => Some(
            Broken::new(
                format!("`{name}` is a reading at rest and is taken before the rest is over"),
                "not rested here",
                "move the step before `energize`, or after `rest`",
            )
            .since(state.unrested, "released here"),
        ),
        _ => None,
    }
}

/// Does the sheet name a state in which the current is for something else?
fn is_of_other_state(moment: &Moment, reading: &WorksheetReading) -> bool {
    reading.during.is_some() && reading.during != moment.state.current_for
}

/// Does the current have no way back but a switch that has been opened?
fn is_opened(moment: &Moment) -> bool {
    let state = moment.state;
    state.has(Part::PullInReturn)
        && !state.has(Part::CaseReturn)
        && state.known_off.contains(&Part::PullInSwitch)
}

/// What a reading is taken with is in its place. An ohmmeter wants nothing else connected.
pub fn with_meter(moment: &Moment) -> Option<Broken> {
    let reading = reading(moment)?;
    let name = &reading.name.value;
    let state = moment.state;
    if let Some(broken) = elsewhere(moment, name) {
        return Some(broken);
    }
    let (there, meter, mend) = match reading.unit.as_str() {
        "V" | "mV" => (
            state.has_any(&[Part::VoltmeterLeads, Part::VoltmeterOnMotor]),
            "voltmeter",
            "put a step `do = \"attach\"`, `part = \"voltmeter-leads\"` before this one",
        ),
        "A" => (
            state.has_any(&[Part::ClampMeter, Part::Ammeter]),
            "clamp meter or ammeter",
            "put a step `do = \"attach\"`, `part = \"clamp-meter\"` in the hookup list",
        ),
        "rpm" => (
            state.has(Part::Tachometer) || state.fastened.contains(&Part::Tachometer),
            "fixed tachometer",
            "put a step `do = \"fasten\"`, `part = \"tachometer\"` in the hookup list",
        ),
        "Ω" | "mΩ" => return ohms(moment, name),
        _ => return None,
    };
    (!there)
        .then(|| Broken::new(format!("`{name}` is read and no {meter} is in place"), "nothing to read", mend))
}

/// The leads of the voltmeter were put on for another reading, and for this one they are put on at another step.
fn elsewhere(moment: &Moment, name: &str) -> Option<Broken> {
    let other = moment.state.meter_for.as_ref().filter(|other| *other != name)?;
    let own = moment.hookup.steps.iter().find(|step| {
        step.action.value == Action::Attach
            && step.reading.as_ref().is_some_and(|reading| reading.value == name)
    })?;
    let message = format!("`{name}` is read while the voltmeter leads are where `{other}` is read");
    let mend = "move this step after the one that attaches the voltmeter for it";
    Some(
        Broken::new(message, "the leads are elsewhere", mend)
            .since(Some(own.action.span), "put on for it here"),
    )
}

fn ohms(moment: &Moment, name: &str) -> Option<Broken> {
    let state = moment.state;
    let connected = match moment.hookup.bench {
        Bench::Supply => &[Part::StartTerminal, Part::MainTerminal, Part::MotorTerminal][..],
        Bench::Battery | Bench::Vehicle => &[Part::SourceNegative, Part::LoadNegative],
    };
    if second_way(moment) {
        let message =
            format!("`{name}` is a resistance and is read while the {} is on", Part::MotorLead.label());
        let mend = "move this step after the one that detaches `motor-lead`";
        return Some(Broken::new(message, "the motor is measured along", mend));
    }
    let lead = connected.iter().find(|lead| state.has(**lead))?;
    let message = format!("`{name}` is a resistance and is read while the {} is on", lead.label());
    let mend = format!("move this step before the one that attaches `{}`, or after it is off", lead.word());
    let since = state.attached.get(lead).copied().flatten();
    Some(Broken::new(message, "a source is connected", mend).since(since, "attached here"))
}
