//! The world at a bench, and what a step changes in it.

use std::collections::BTreeSet;

use fieldcoil::course::{Action, Bench, Hookup, HookupStep, Part};

/// The world at a bench. Two worlds that are equal have the same future.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct World {
    pub(super) bench: Bench3,
    /// The ends of leads and meters that touch something.
    pub(super) on: BTreeSet<Part>,
    /// Those that touched it before the list began.
    pub(super) as_found: BTreeSet<Part>,
    pub(super) goggles: bool,
    pub(super) rings: bool,
    pub(super) motor_held: bool,
    pub(super) opening_clear: bool,
    pub(super) vehicle_held: bool,
    pub(super) fan_clear: bool,
    pub(super) engine_dead: bool,
    pub(super) tachometer_held: bool,
    pub(super) battery_looked_at: bool,
    pub(super) meter_looked_at: bool,
    pub(super) stud_30_looked_at: bool,
    /// A test of coils, in which the motor is to get no current.
    pub(super) motor_lead_off: bool,
    /// A clip on the motor was moved and nobody has looked at it since.
    pub(super) clip_may_touch: bool,
    pub(super) main: Contact,
    pub(super) key_on: bool,
    pub(super) pull_in_closed: bool,
    pub(super) pull_in_has_switch: bool,
    /// Controls that somebody has seen open or has let go of.
    pub(super) seen_open: BTreeSet<Part>,
    pub(super) pressed: Option<Part>,
    /// What a list says that the current is for.
    pub(super) current_for: Option<String>,
    /// Current flowed until the last step but looking and reading.
    pub(super) just_let_go: bool,
    /// The reading for which a list put the voltmeter's leads where they are, and all that have such a place.
    pub(super) meter_for: Option<String>,
    pub(super) placed: BTreeSet<String>,
    /// Seconds until nothing turns and nothing is hot.
    pub(super) cooling_s: u32,
    /// The leads as an instructor saw them.
    pub(super) inspected: Option<BTreeSet<Part>>,
}

/// The kind of bench, in an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Bench3 {
    Supply,
    Battery,
    Vehicle,
}

/// A switch, as far as anybody knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Contact {
    Unknown,
    Open,
    Closed,
}

/// Metal through which the current of a motor or a tester can go.
pub(super) const CONDUCTORS: &[Part] = &[
    Part::CaseReturn,
    Part::MainTerminal,
    Part::StartTerminal,
    Part::MotorTerminal,
    Part::MotorLead,
    Part::PullInReturn,
    Part::SourcePositive,
    Part::SourceNegative,
    Part::LoadPositive,
    Part::LoadNegative,
];

pub(super) const VOLTMETER: [Part; 2] = [Part::VoltmeterLeads, Part::VoltmeterOnMotor];
pub(super) const TESTER: [Part; 2] = [Part::LoadSwitch, Part::CarbonPile];

impl World {
    /// Before the first step.
    pub fn new(hookup: &Hookup) -> Self {
        let bench = match hookup.bench {
            Bench::Supply => Bench3::Supply,
            Bench::Battery => Bench3::Battery,
            Bench::Vehicle => Bench3::Vehicle,
        };
        let in_vehicle = bench == Bench3::Vehicle;
        let mut on = BTreeSet::from([Part::MotorLead]);
        if in_vehicle {
            on.extend([Part::CaseReturn, Part::MainTerminal, Part::StartTerminal]);
            on.extend([Part::SourcePositive, Part::SourceNegative]);
        }
        let names_switch =
            |step: &HookupStep| step.part.as_ref().is_some_and(|part| part.value == Part::PullInSwitch);
        let takes_motor_lead_off = |step: &HookupStep| {
            let part = step.part.as_ref().map(|part| part.value);
            step.action.value == Action::Detach && part == Some(Part::MotorLead)
        };
        let placed = |step: &HookupStep| {
            let reading = step.reading.as_ref().filter(|_| step.action.value == Action::Attach)?;
            Some(reading.value.clone())
        };
        World {
            bench,
            as_found: on.clone(),
            on,
            goggles: false,
            rings: true,
            motor_held: in_vehicle,
            opening_clear: in_vehicle,
            vehicle_held: false,
            fan_clear: false,
            engine_dead: false,
            tachometer_held: false,
            battery_looked_at: false,
            meter_looked_at: false,
            stud_30_looked_at: false,
            motor_lead_off: hookup.steps.iter().any(takes_motor_lead_off),
            clip_may_touch: false,
            main: Contact::Unknown,
            key_on: false,
            pull_in_closed: false,
            pull_in_has_switch: hookup.steps.iter().any(names_switch),
            seen_open: BTreeSet::new(),
            pressed: None,
            current_for: None,
            just_let_go: false,
            meter_for: None,
            placed: hookup.steps.iter().filter_map(placed).collect(),
            cooling_s: 0,
            inspected: None,
        }
    }

    /// Only what the step changes.
    pub(super) fn change(&mut self, step: &HookupStep) {
        let part = step.part.as_ref().map(|part| part.value);
        let seconds = step.seconds.as_ref().map_or(0, |seconds| seconds.value.ceil() as u32);
        let action = step.action.value;
        self.just_let_go &= matches!(action, Action::Read | Action::Look | Action::SwitchOff);
        match (action, part) {
            (Action::Wear, Some(Part::EyeProtection)) => self.goggles = true,
            (Action::Remove | Action::Loosen, Some(part)) => self.give_up(part),
            (Action::Fasten | Action::Clear, Some(part)) => self.hold(part, action == Action::Fasten),
            (Action::Look, Some(Part::PositiveClip)) => self.clip_may_touch = false,
            (Action::Look, Some(Part::Battery)) => self.battery_looked_at = true,
            (Action::Look, Some(Part::Voltmeter)) => self.meter_looked_at = true,
            (Action::Look, Some(Part::MainTerminal)) => self.stud_30_looked_at = true,
            (Action::Attach | Action::Detach, Some(part)) => {
                if action == Action::Attach {
                    self.on.insert(part);
                } else {
                    self.on.remove(&part);
                }
                if VOLTMETER.contains(&part) {
                    self.meter_for = step.reading.as_ref().map(|reading| reading.value.clone());
                }
                self.clip_may_touch |=
                    matches!(part, Part::MainTerminal | Part::StartTerminal | Part::MotorTerminal);
            }
            (Action::SwitchOn, Some(part)) => self.switch(part, true),
            (Action::SwitchOff, Some(part)) => {
                self.switch(part, false);
                if let Some(state) = &step.state {
                    self.current_for = Some(state.value.clone());
                }
            }
            (Action::SwitchOff, None) => {
                for part in [Part::MainSwitch, Part::Key, Part::PullInSwitch] {
                    self.switch(part, false);
                }
            }
            (Action::Energize, _) => {
                self.current_for = step.state.as_ref().map(|state| state.value.clone());
                self.pressed = part;
                self.seen_open.retain(|control| Some(*control) != part);
                let light = matches!(part, Some(Part::OutputButton | Part::LoadSwitch | Part::CarbonPile));
                self.cooling_s = if light { 4 * seconds } else { 120 };
            }
            (Action::Release, part) if part.is_none() || part == self.pressed => {
                self.just_let_go = self.pressed.is_some();
                self.seen_open.extend(self.pressed.take());
            }
            (Action::Rest, _) if self.pressed.is_none() => {
                self.cooling_s = self.cooling_s.saturating_sub(seconds);
            }
            (Action::InstructorCheck, _) => self.inspected = Some(self.conductors()),
            _ => {}
        }
    }

    fn give_up(&mut self, part: Part) {
        match part {
            Part::EyeProtection => self.goggles = false,
            Part::Jewellery => self.rings = false,
            Part::Motor => self.motor_held = false,
            Part::Vehicle => self.vehicle_held = false,
            Part::Tachometer => self.tachometer_held = false,
            _ => {}
        }
    }

    fn hold(&mut self, part: Part, fasten: bool) {
        match part {
            Part::Motor if fasten => self.motor_held = true,
            Part::Vehicle if fasten => self.vehicle_held = true,
            Part::Vehicle => self.fan_clear = true,
            Part::DriveOpening => self.opening_clear = true,
            Part::Tachometer => self.tachometer_held = true,
            _ => {}
        }
    }

    fn switch(&mut self, part: Part, on: bool) {
        match part {
            Part::MainSwitch => self.main = if on { Contact::Closed } else { Contact::Open },
            Part::Key => self.key_on = on,
            Part::PullInSwitch => self.pull_in_closed = on,
            Part::IgnitionAndFuel => self.engine_dead = !on,
            _ => {}
        }
        if !on {
            self.seen_open.insert(part);
        }
    }

    pub(super) fn conductors(&self) -> BTreeSet<Part> {
        // Whoever looks says yes to the last connection too, which is the negative one.
        let last = [Part::SourceNegative, Part::LoadNegative];
        self.on.iter().copied().filter(|part| CONDUCTORS.contains(part) && !last.contains(part)).collect()
    }
}
