//! Rules of what is put on, taken off and looked at before anything can spark.

use super::moment::{Broken, Moment};
use crate::course::hookup::{LOADS, MOTOR_SUPPLY};
use crate::course::{Action, Bench, HookupStep, Part};

/// Eyes are covered at every step that can spark.
pub fn eye_protection(moment: &Moment) -> Option<Broken> {
    let bare = moment.can_spark() && !moment.state.worn.contains(&Part::EyeProtection);
    bare.then(|| {
        let mend = "put a step `do = \"wear\"`, `part = \"eye-protection\"` at the start";
        Broken::new("no eye protection is worn", "can spark here", mend)
    })
}

/// Rings and watch are off at every step that can spark.
pub fn rings(moment: &Moment) -> Option<Broken> {
    let on = moment.can_spark() && !moment.state.removed.contains(&Part::Jewellery);
    on.then(|| {
        let mend = "put a step `do = \"remove\"`, `part = \"jewellery\"` at the start";
        Broken::new("rings and watch are still on", "metal can touch live metal here", mend)
    })
}

/// Somebody has looked at the battery: whole, no charger on it, aired.
pub fn battery_seen(moment: &Moment) -> Option<Broken> {
    let has_battery = moment.hookup.bench != Bench::Supply;
    let unseen = has_battery && moment.can_spark() && !moment.state.seen.contains(&Part::Battery);
    unseen.then(|| {
        let mend = "put a step `do = \"look\"`, `part = \"battery\"` at the start";
        Broken::new("nobody has looked at the battery", "can spark here", mend)
    })
}

/// The positive clip has been looked at since a lead on the motor was last moved, before it can be live.
pub fn clip_seen(moment: &Moment) -> Option<Broken> {
    let state = moment.state;
    let makes_live = match moment.step.action.value {
        Action::Energize => true,
        Action::SwitchOn => moment.part() == Some(Part::MainSwitch),
        Action::Attach => moment.part() == Some(Part::SourceNegative) && moment.hookup.bench != Bench::Supply,
        _ => false,
    };
    if !makes_live || state.seen.contains(&Part::PositiveClip) {
        return None;
    }
    let lead = MOTOR_SUPPLY.iter().find_map(|part| state.attached.get(part).copied().flatten())?;
    let mend = "put a step `do = \"look\"`, `part = \"positive-clip\"` before this one";
    let message = "nobody has looked whether the positive clip is clear of bare metal";
    Some(
        Broken::new(message, "can be live from here", mend)
            .since(Some(lead), "a lead of the supply side goes on here"),
    )
}

/// A voltmeter is looked at before its leads touch anything: its range and its sockets.
pub fn meter_set(moment: &Moment) -> Option<Broken> {
    let leads = [Some(Part::VoltmeterLeads), Some(Part::VoltmeterOnMotor)];
    let attaches = moment.does(Action::Attach) && leads.contains(&moment.part());
    (attaches && !moment.state.seen.contains(&Part::Voltmeter)).then(|| {
        let mend = "put a step `do = \"look\"`, `part = \"voltmeter\"` before this one";
        Broken::new(
            "nobody has looked at the voltmeter's range and sockets",
            "touches a source from here",
            mend,
        )
    })
}

/// The main switch of a bench supply is known to be off before a lead is moved.
pub fn switch_known_off(moment: &Moment) -> Option<Broken> {
    let known = moment.state.known_off.contains(&Part::MainSwitch)
        || moment.state.closed.contains_key(&Part::MainSwitch);
    let moves = moment.hookup.bench == Bench::Supply && moment.moved().is_some();
    (moves && !known).then(|| {
        let mend = "put a step `do = \"switch-off\"`, `part = \"main-switch\"` at the start";
        Broken::new("nobody has seen that the main switch is off", "a lead is moved here", mend)
    })
}

/// What starts the current is known to be open before the connection that completes the circuit.
pub fn control_known_off(moment: &Moment) -> Option<Broken> {
    let part = moment.moved()?;
    let attaches = moment.does(Action::Attach);
    let (kinds, always): (&[Part], Part) = match (moment.hookup.bench, part) {
        // Hands in a vehicle: whoever turns the key now turns fan and belts.
        (Bench::Vehicle, _) => (&[Part::Key, Part::RemoteSwitch], Part::Key),
        (Bench::Battery, Part::SourceNegative) if attaches => (&[Part::RemoteSwitch], Part::RemoteSwitch),
        (Bench::Battery, Part::LoadPositive | Part::LoadNegative) if attaches => (LOADS, LOADS[0]),
        _ => return None,
    };
    let used = |control: &Part| {
        let uses = |step: &HookupStep| {
            step.action.value == Action::Energize
                && step.part.as_ref().is_some_and(|part| part.value == *control)
        };
        moment.hookup.steps.iter().any(uses)
    };
    // Those that the list uses; and a vehicle has its key also when the list does not turn it.
    let mut wanted: Vec<Part> = kinds.iter().copied().filter(used).collect();
    if wanted.is_empty() || moment.hookup.bench == Bench::Vehicle {
        wanted.push(always);
    }
    // One that is held is no news: the lead is then moved under power.
    let state = moment.state;
    let control = wanted
        .into_iter()
        .find(|control| !state.known_off.contains(control) && state.control != Some(*control))?;
    let message = format!("nobody has seen that the {} is off", control.label());
    let mend = format!("put a step `do = \"switch-off\"`, `part = \"{}\"` before this one", control.word());
    Some(Broken::new(message, "a circuit is completed or hands go in here", mend))
}
