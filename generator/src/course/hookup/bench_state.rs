//! What a bench is like between two steps, and what a step does to it: for the rules of hookups, and for diagrams that
//! show what is connected.

use std::collections::{BTreeMap, BTreeSet};

use super::{Action, Bench, HookupStep, Part};
use crate::source::Span;

/// The leads on the motor through which current comes in.
pub const MOTOR_SUPPLY: &[Part] = &[Part::MainTerminal, Part::StartTerminal, Part::MotorTerminal];
/// All leads on the side of the supply.
pub const SUPPLY_SIDE: &[Part] =
    &[Part::MainTerminal, Part::StartTerminal, Part::MotorTerminal, Part::SourcePositive];
/// All leads on the side of the return.
pub const RETURN_SIDE: &[Part] = &[Part::CaseReturn, Part::PullInReturn, Part::SourceNegative];
/// Controls that let current through a load tester, not through a motor.
pub const LOADS: &[Part] = &[Part::LoadSwitch, Part::CarbonPile];

/// What a vehicle brings along.
const OWN_OF_VEHICLE: &[Part] = &[
    Part::CaseReturn,
    Part::MainTerminal,
    Part::StartTerminal,
    Part::SourcePositive,
    Part::SourceNegative,
    Part::MotorLead,
];

/// How long a motor rests after a run: US Army TM 9-2920-242-35 and TM 5-3820-256-24-4 have 2 minutes after at most 30 s.
const MOTOR_REST_MS: u64 = 120_000;
/// The same as a share, for what makes less heat than a motor: four times as long as the current flowed.
const REST_SHARE: u64 = 4;

/// The connection that goes on last of all where a battery feeds: everything is dead until then.
pub const LAST_NEGATIVE: &[Part] = &[Part::SourceNegative, Part::LoadNegative];

/// Does the lead carry the current of a motor or a load tester? Meters do not.
pub fn is_power_lead(part: Part) -> bool {
    SUPPLY_SIDE.contains(&part)
        || RETURN_SIDE.contains(&part)
        || matches!(part, Part::MotorLead | Part::LoadPositive | Part::LoadNegative)
}

/// The bench between two steps.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BenchState {
    /// Protection that is worn.
    pub worn: BTreeSet<Part>,
    /// What has been taken away: rings, a charger.
    pub removed: BTreeSet<Part>,
    /// What is bolted or clamped down; a vehicle with brake, neutral and chocks.
    pub fastened: BTreeSet<Part>,
    /// What has been made clear.
    pub cleared: BTreeSet<Part>,
    /// What somebody has looked at and found in order; a positive clip only since a lead on the motor was last moved.
    pub seen: BTreeSet<Part>,
    /// Leads and meters that are on, and the step that put them on; nothing for those of a vehicle as it comes in.
    pub attached: BTreeMap<Part, Option<Span>>,
    /// Leads of a vehicle or a motor that have been taken off.
    pub taken_off: BTreeMap<Part, Span>,
    /// The reading that the leads of the voltmeter were put where they are for, where the step says so.
    pub meter_for: Option<String>,
    /// Switches that are closed.
    pub closed: BTreeMap<Part, Span>,
    /// Switches and controls that are known to be open: switched off, or let go.
    pub known_off: BTreeSet<Part>,
    /// The step that made ignition and fuel dead, until they are put back.
    pub disabled: Option<Span>,
    /// What the current is for, or was for last, where a step says so.
    pub current_for: Option<String>,
    /// The step since which current flows.
    pub energized: Option<Span>,
    /// What is held while current flows; nothing when the step does not say.
    pub control: Option<Part>,
    /// The release after which nothing has rested enough.
    pub unrested: Option<Span>,
    /// How long the rest has to be yet.
    pub rest_due_ms: u64,
    /// Has nothing happened since the release but looking and reading? A meter that holds its value still shows it.
    pub just_released: bool,
    /// Has an instructor looked since a power lead was last moved?
    pub checked: bool,
    /// The last step that made an earlier check worthless.
    pub moved: Option<Span>,
}

impl BenchState {
    /// A bare bench with a motor, or a vehicle as it comes in: the motor sits in it and everything is connected.
    pub fn at_start(bench: Bench) -> Self {
        let mut state = BenchState {
            worn: BTreeSet::new(),
            removed: BTreeSet::new(),
            fastened: BTreeSet::new(),
            cleared: BTreeSet::new(),
            seen: BTreeSet::new(),
            attached: BTreeMap::from([(Part::MotorLead, None)]),
            taken_off: BTreeMap::new(),
            meter_for: None,
            closed: BTreeMap::new(),
            known_off: BTreeSet::new(),
            disabled: None,
            current_for: None,
            energized: None,
            control: None,
            unrested: None,
            rest_due_ms: 0,
            just_released: false,
            checked: false,
            moved: None,
        };
        if bench == Bench::Vehicle {
            state.fastened.insert(Part::Motor);
            state.cleared.insert(Part::DriveOpening);
            state.attached.extend(OWN_OF_VEHICLE.iter().map(|part| (*part, None)));
        }
        state
    }

    /// Is it on?
    pub fn has(&self, part: Part) -> bool {
        self.attached.contains_key(&part)
    }

    /// Is one of these on?
    pub fn has_any(&self, parts: &[Part]) -> bool {
        parts.iter().any(|part| self.has(*part))
    }

    /// The step through which the bench is live, if it is: current flows, or the main switch feeds the leads.
    pub fn live_since(&self) -> Option<Span> {
        self.energized.or_else(|| self.closed.get(&Part::MainSwitch).copied())
    }

    /// Carries out a step.
    pub fn take(&mut self, step: &HookupStep) {
        let at = step.action.span;
        let part = step.part.as_ref().map(|part| part.value);
        self.just_released &= matches!(step.action.value, Action::Read | Action::Look | Action::SwitchOff);
        if step.action.value == Action::Energize || step.state.is_some() {
            self.current_for = step.state.as_ref().map(|state| state.value.clone());
        }
        match (step.action.value, part) {
            (Action::Wear, Some(part)) => {
                self.worn.insert(part);
            }
            (Action::Fasten, Some(part)) => {
                self.fastened.insert(part);
            }
            (Action::Loosen | Action::Remove, Some(part)) => self.take_away(part, at),
            (Action::Clear, Some(part)) => {
                self.cleared.insert(part);
            }
            (Action::Look, Some(part)) => {
                self.seen.insert(part);
            }
            (Action::Attach, Some(part)) => {
                // An own lead of vehicle or motor that goes back is as it was.
                let own = self.taken_off.remove(&part).is_some();
                self.attached.insert(part, (!own).then_some(at));
                if matches!(part, Part::VoltmeterLeads | Part::VoltmeterOnMotor) {
                    self.meter_for = step.reading.as_ref().map(|reading| reading.value.clone());
                }
                // The last connection of all is made after the check, and under it.
                if !LAST_NEGATIVE.contains(&part) {
                    self.lead_moved(part, at);
                }
            }
            (Action::Detach, Some(part)) => {
                if let Some(None) = self.attached.remove(&part) {
                    self.taken_off.insert(part, at);
                }
                self.lead_moved(part, at);
            }
            (Action::SwitchOn, Some(part)) => self.switch_on(part, at),
            (Action::SwitchOff, part) => self.switch_off(part, at),
            (Action::Energize, part) => self.energize(part, milliseconds(step), at),
            (Action::Release, part) => self.release(part, at),
            (Action::Rest, _) => self.rest(milliseconds(step)),
            (Action::InstructorCheck, _) => self.checked = true,
            _ => {}
        }
    }

    fn take_away(&mut self, part: Part, at: Span) {
        self.fastened.remove(&part);
        self.worn.remove(&part);
        self.removed.insert(part);
        if part == Part::Motor {
            self.check_is_worthless(at);
        }
    }

    fn lead_moved(&mut self, part: Part, at: Span) {
        if MOTOR_SUPPLY.contains(&part) {
            self.seen.remove(&Part::PositiveClip);
        }
        // Meter leads are moved between two runs; what was checked stays as it is.
        if is_power_lead(part) {
            self.check_is_worthless(at);
        }
    }

    fn check_is_worthless(&mut self, at: Span) {
        self.moved = self.checked.then_some(at).or(self.moved);
        self.checked = false;
    }

    fn switch_on(&mut self, part: Part, at: Span) {
        self.closed.insert(part, at);
        self.known_off.remove(&part);
        if part == Part::IgnitionAndFuel {
            self.disabled = None;
        }
    }

    fn switch_off(&mut self, part: Option<Part>, at: Span) {
        match part {
            Some(part) => {
                self.closed.remove(&part);
                self.known_off.insert(part);
            }
            None => {
                let closed = std::mem::take(&mut self.closed);
                self.known_off.extend(closed.into_keys());
            }
        }
        if part == Some(Part::IgnitionAndFuel) {
            self.disabled = Some(at);
        }
    }

    fn energize(&mut self, control: Option<Part>, milliseconds: u64, at: Span) {
        self.energized = Some(at);
        self.control = control;
        self.rest_due_ms = match control {
            Some(Part::OutputButton | Part::LoadSwitch | Part::CarbonPile) => REST_SHARE * milliseconds,
            _ => MOTOR_REST_MS,
        };
        if let Some(control) = control {
            self.known_off.remove(&control);
        }
    }

    /// Letting go of another control than the one that is held changes nothing.
    fn release(&mut self, part: Option<Part>, at: Span) {
        let other = part.is_some() && part != self.control;
        if self.energized.is_none() || other {
            return;
        }
        self.energized = None;
        self.known_off.extend(self.control.take());
        self.unrested = Some(at);
        self.just_released = true;
    }

    fn rest(&mut self, milliseconds: u64) {
        if self.energized.is_some() {
            return;
        }
        self.rest_due_ms = self.rest_due_ms.saturating_sub(milliseconds);
        if self.rest_due_ms == 0 {
            self.unrested = None;
        }
    }

    /// The state in words, for a finding.
    pub fn words(&self) -> String {
        let attached = match (self.attached_by_steps(), self.vehicle_words()) {
            (own, None) => names(own),
            (own, Some(vehicle)) if own.is_empty() => vehicle,
            (own, Some(vehicle)) => format!("{vehicle}; besides them {}", names(own)),
        };
        let live = if self.energized.is_some() { "energized" } else { "not energized" };
        format!(
            "attached: {attached}; fastened: {}; worn: {}; switched on: {}; {live}",
            names(self.fastened.iter().copied().collect()),
            names(self.worn.iter().copied().collect()),
            names(self.closed.keys().copied().collect()),
        )
    }

    fn attached_by_steps(&self) -> Vec<Part> {
        self.attached.iter().filter(|(_, since)| since.is_some()).map(|(part, _)| *part).collect()
    }

    /// A vehicle's leads are many and are told by what is missing; a motor alone brings one that matters when it is off.
    fn vehicle_words(&self) -> Option<String> {
        let off: Vec<Part> = self.taken_off.keys().copied().collect();
        let mut own =
            self.attached.iter().filter(|(_, since)| since.is_none()).map(|(part, _)| part).chain(&off);
        if own.all(|part| *part == Part::MotorLead) {
            return (!off.is_empty()).then(|| "the motor without its own lead".to_owned());
        }
        Some(match off.is_empty() {
            true => "the vehicle's own leads".to_owned(),
            false => format!("the vehicle's own leads without {}", names(off)),
        })
    }
}

fn names(parts: Vec<Part>) -> String {
    match parts.as_slice() {
        [] => "nothing".to_owned(),
        parts => parts.iter().map(|part| part.label()).collect::<Vec<_>>().join(", "),
    }
}

/// How long a step takes, in whole milliseconds, so that states can be compared.
fn milliseconds(step: &HookupStep) -> u64 {
    step.seconds.as_ref().map_or(0, |seconds| (seconds.value * 1000.0).round() as u64)
}
