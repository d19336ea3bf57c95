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
pub const RETURN_SIDE: &[Part] = &[Part::CaseReturn, Part::SourceNegative];

/// Does the lead carry the motor's current? Meters do not.
pub fn is_power_lead(part: Part) -> bool {
    SUPPLY_SIDE.contains(&part) || RETURN_SIDE.contains(&part)
}

/// The bench between two steps.
#[derive(Debug, Clone)]
pub struct BenchState {
    /// Protection that is worn.
    pub worn: BTreeSet<Part>,
    /// What is bolted or clamped down.
    pub fastened: BTreeSet<Part>,
    /// What has been made clear.
    pub cleared: BTreeSet<Part>,
    /// Leads and meters that are on, and the step that put them on; nothing for those of a vehicle as it comes in.
    pub attached: BTreeMap<Part, Option<Span>>,
    /// Leads of a vehicle that have been taken off.
    pub taken_off: BTreeMap<Part, Span>,
    /// Switches that are closed.
    pub closed: BTreeMap<Part, Span>,
    /// The step since which current flows.
    pub energized: Option<Span>,
    /// The release after which nothing has rested yet.
    pub unrested: Option<Span>,
    /// Has nothing happened since the release but looking and reading? A meter that holds its value still shows it.
    pub just_released: bool,
    /// Has the positive clip been looked at since a lead on the motor was last moved?
    pub clip_seen: bool,
    /// Has an instructor looked since a power lead was last moved?
    pub checked: bool,
    /// The last step that made an earlier check worthless.
    pub moved: Option<Span>,
}

impl BenchState {
    /// A bare bench, or a vehicle as it comes in: the motor sits in it and everything is connected.
    pub fn at_start(bench: Bench) -> Self {
        let mut state = BenchState {
            worn: BTreeSet::new(),
            fastened: BTreeSet::new(),
            cleared: BTreeSet::new(),
            attached: BTreeMap::new(),
            taken_off: BTreeMap::new(),
            closed: BTreeMap::new(),
            energized: None,
            unrested: None,
            just_released: false,
            clip_seen: false,
            checked: false,
            moved: None,
        };
        if bench == Bench::Vehicle {
            state.fastened.insert(Part::Motor);
            state.cleared.insert(Part::DriveOpening);
            state.attached.extend(SUPPLY_SIDE.iter().chain(RETURN_SIDE).map(|part| (*part, None)));
        }
        state
    }

    /// Is one of these on?
    pub fn has_any(&self, parts: &[Part]) -> bool {
        parts.iter().any(|part| self.attached.contains_key(part))
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
        match (step.action.value, part) {
            (Action::Wear, Some(part)) => {
                self.worn.insert(part);
            }
            (Action::Fasten, Some(part)) => {
                self.fastened.insert(part);
            }
            (Action::Loosen | Action::Remove, Some(part)) => {
                self.fastened.remove(&part);
                self.worn.remove(&part);
                if part == Part::Motor {
                    self.move_lead(at);
                }
            }
            (Action::Clear, Some(part)) => {
                self.cleared.insert(part);
            }
            (Action::Attach, Some(part)) => {
                // A vehicle's own lead that goes back is as it was.
                let own = self.taken_off.remove(&part).is_some();
                self.attached.insert(part, (!own).then_some(at));
                self.power_lead_moved(part, at);
            }
            (Action::Detach, Some(part)) => {
                if let Some(None) = self.attached.remove(&part) {
                    self.taken_off.insert(part, at);
                }
                self.power_lead_moved(part, at);
            }
            (Action::SwitchOn, Some(part)) => {
                self.closed.insert(part, at);
            }
            (Action::SwitchOff, Some(part)) => {
                self.closed.remove(&part);
            }
            (Action::SwitchOff, None) => self.closed.clear(),
            (Action::Energize, _) => self.energized = Some(at),
            (Action::Release, _) if self.energized.is_some() => {
                self.energized = None;
                self.unrested = Some(at);
                self.just_released = true;
            }
            (Action::Rest, _) => self.unrested = None,
            (Action::Look, Some(Part::PositiveClip)) => self.clip_seen = true,
            (Action::InstructorCheck, _) => self.checked = true,
            _ => {}
        }
    }

    fn power_lead_moved(&mut self, part: Part, at: Span) {
        if MOTOR_SUPPLY.contains(&part) {
            self.clip_seen = false;
        }
        // Meter leads are moved between two runs; what was checked stays as it is.
        if is_power_lead(part) {
            self.move_lead(at);
        }
    }

    fn move_lead(&mut self, at: Span) {
        self.moved = self.checked.then_some(at).or(self.moved);
        self.checked = false;
    }

    /// The state in words, for a finding.
    pub fn words(&self) -> String {
        let names = |parts: Vec<Part>| match parts.as_slice() {
            [] => "nothing".to_owned(),
            parts => parts.iter().map(|part| part.label()).collect::<Vec<_>>().join(", "),
        };
        let put_on: Vec<Part> =
            self.attached.iter().filter(|(_, since)| since.is_some()).map(|(part, _)| *part).collect();
        // The leads of a vehicle are many and are told by what is missing.
        let own = self.attached.values().any(Option::is_none) || !self.taken_off.is_empty();
        let attached = match (own, self.taken_off.is_empty(), put_on.is_empty()) {
            (false, ..) => names(put_on),
            (true, true, true) => "the vehicle's own leads".to_owned(),
            (true, true, false) => format!("the vehicle's own leads, {}", names(put_on)),
            (true, false, _) => {
                let off = names(self.taken_off.keys().copied().collect());
                format!("the vehicle's own leads without {off}; besides them {}", names(put_on))
            }
        };
        let closed = names(self.closed.keys().copied().collect());
        let live = if self.energized.is_some() { "energized" } else { "not energized" };
        format!("attached: {attached}; switched on: {closed}; {live}")
    }
}
