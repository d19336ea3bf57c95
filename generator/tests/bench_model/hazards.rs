//! What can go wrong in a step, and with a bench that is left as it is.

use fieldcoil::course::{Action, Hookup, HookupStep, Part, Phase, Taken, WorksheetReading};

use super::world::{Bench3, CONDUCTORS, Contact, TESTER, VOLTMETER, World};

/// Something that can go wrong, in a few words.
pub type Hazard = &'static str;

impl World {
    /// Does a step, and tells what could go wrong in it.
    pub fn step(
        &mut self,
        step: &HookupStep,
        hookup: &Hookup,
        reading: Option<&WorksheetReading>,
    ) -> Vec<Hazard> {
        let before = self.clone();
        self.change(step);
        let mut hazards = Vec::new();
        before.hands(step, &mut hazards);
        before.sparks(step, self, &mut hazards);
        before.attention(step, &mut hazards);
        self.power(step, &before, hookup, &mut hazards);
        self.circuit_hazards(&mut hazards);
        if let Some(reading) = reading.filter(|_| step.action.value == Action::Read) {
            hazards.extend(self.void(reading));
        }
        hazards
    }

    /// What is wrong with a bench that is left like this.
    pub fn left(&self) -> Vec<Hazard> {
        let mut hazards = Vec::new();
        let mut add = |wrong: bool, hazard| hazards.extend(wrong.then_some(hazard));
        add(self.pressed.is_some(), "left: current still flows");
        add(self.main == Contact::Closed || self.key_on || self.pull_in_closed, "left: a switch is on");
        add(!self.on.is_subset(&self.as_found), "left: a lead or a meter is forgotten");
        add(!self.as_found.is_subset(&self.on), "left: a lead is missing");
        add(self.engine_dead, "left: the engine cannot start");
        add(self.cooling_s > 0, "left: hot");
        hazards
    }

    fn turns(&self) -> bool {
        self.pressed.is_some_and(|control| !TESTER.contains(&control))
    }

    /// Hands at leads: arcs, shafts that turn, metal that is hot, spanners that slip.
    fn hands(&self, step: &HookupStep, hazards: &mut Vec<Hazard>) {
        let part = step.part.as_ref().map(|part| part.value);
        let mut add = |wrong: bool, hazard| hazards.extend(wrong.then_some(hazard));
        if step.action.value == Action::Loosen && part == Some(Part::Motor) {
            let hangs = self.on.iter().any(|lead| match self.bench {
                Bench3::Vehicle => *lead == Part::SourceNegative || *lead == Part::MainTerminal,
                _ => CONDUCTORS[..4].contains(lead) || *lead == Part::PullInReturn,
            });
            add(hangs, "a motor is loosened that hangs on its leads");
        }
        let (Action::Attach | Action::Detach, Some(part)) = (step.action.value, part) else { return };
        add(self.pressed.is_some(), "a lead is moved while current flows");
        add(self.main == Contact::Closed, "a lead is moved that the main switch feeds");
        add(
            self.main == Contact::Unknown && self.bench == Bench3::Supply,
            "a lead is moved, and the main switch may be on",
        );
        add(self.pressed.is_none() && self.cooling_s > 0, "hands go where it turns or is hot");
        add(
            self.bench == Bench3::Vehicle && !self.seen_open.contains(&Part::Key) && self.pressed.is_none(),
            "hands go into an engine bay, and the key may be turned",
        );
        let touches = VOLTMETER.contains(&part) && step.action.value == Action::Attach;
        add(touches && !self.meter_looked_at, "a meter may be a short circuit");
        add(self.slips(part), "a spanner can short the battery");
        add(self.is_return_in_hand(part, step.action.value), "the return is the switch, in the hand");
    }

    /// Metal that is moved, sits at the positive post, and is one slip away from the negative one.
    fn slips(&self, part: Part) -> bool {
        let body = match self.bench {
            Bench3::Supply => return false,
            Bench3::Battery => self.on.contains(&Part::SourceNegative) && self.on.contains(&Part::CaseReturn),
            Bench3::Vehicle => self.on.contains(&Part::SourceNegative),
        };
        let fed = self.on.contains(&Part::SourcePositive);
        match part {
            Part::SourcePositive => body,
            // So does the clip of a meter beside stud 30.
            Part::MainTerminal | Part::StartTerminal | Part::MotorTerminal | Part::VoltmeterOnMotor => {
                body && fed
            }
            Part::LoadPositive => body || self.on.contains(&Part::LoadNegative),
            _ => false,
        }
    }

    /// On a bench supply: a motor that is joined to the positive side, and whose return is made or broken by hand.
    fn is_return_in_hand(&self, part: Part, action: Action) -> bool {
        let positive = [Part::MainTerminal, Part::StartTerminal, Part::MotorTerminal];
        let returns = [Part::CaseReturn, Part::PullInReturn];
        let on = |parts: &[Part]| parts.iter().any(|part| self.on.contains(part));
        self.bench == Bench3::Supply
            && match action {
                Action::Attach if positive.contains(&part) => !on(&returns),
                _ => returns.contains(&part) && on(&positive),
            }
    }

    /// Eyes and fingers where something can spark, and circuits that close by themselves.
    fn sparks(&self, step: &HookupStep, after: &World, hazards: &mut Vec<Hazard>) {
        let part = step.part.as_ref().map(|part| part.value);
        let moves = matches!(step.action.value, Action::Attach | Action::Detach);
        let attaches = step.action.value == Action::Attach;
        let switches_on = step.action.value == Action::SwitchOn && part == Some(Part::MainSwitch);
        let posts = [
            Part::SourcePositive,
            Part::SourceNegative,
            Part::LoadPositive,
            Part::LoadNegative,
            Part::VoltmeterLeads,
        ];
        let at_battery = moves
            && match self.bench {
                Bench3::Supply => false,
                Bench3::Battery => part.is_some_and(|part| posts.contains(&part)),
                Bench3::Vehicle => true,
            };
        let energizes = step.action.value == Action::Energize;
        let mut add = |wrong: bool, hazard| hazards.extend(wrong.then_some(hazard));
        let spark = energizes || switches_on || at_battery;
        add(spark && !self.goggles, "eyes are bare where it can spark");
        add(spark && self.rings, "a ring is on where metal is live");
        add(
            spark && self.bench != Bench3::Supply && !self.battery_looked_at,
            "a spark at a battery that nobody looked at",
        );
        let closes = energizes || switches_on || (attaches && part == Some(Part::SourceNegative));
        add(closes && self.clip_may_touch && after.feeds_motor(), "a clip may touch the case");
        let tester = TESTER.iter().all(|control| !self.seen_open.contains(control));
        let remote = !self.seen_open.contains(&Part::RemoteSwitch);
        let joins = attaches && self.bench == Bench3::Battery && self.pressed.is_none();
        add(
            joins && part == Some(Part::SourceNegative) && remote && after.feeds_motor(),
            "the last connection may start the motor",
        );
        let loaded = after.on.contains(&Part::LoadPositive) && after.on.contains(&Part::LoadNegative);
        add(
            joins && loaded && matches!(part, Some(Part::LoadPositive | Part::LoadNegative)) && tester,
            "the last clamp may make the load",
        );
    }

    /// Is a lead of the list on a stud of the motor through which current comes in?
    fn feeds_motor(&self) -> bool {
        let studs = [Part::MainTerminal, Part::StartTerminal, Part::MotorTerminal];
        studs.iter().any(|part| self.on.contains(part) && !self.as_found.contains(part))
    }

    /// What people do and believe.
    fn attention(&self, step: &HookupStep, hazards: &mut Vec<Hazard>) {
        let part = step.part.as_ref().map(|part| part.value);
        let mut add = |wrong: bool, hazard| hazards.extend(wrong.then_some(hazard));
        let action = step.action.value;
        let watches =
            matches!(action, Action::Read | Action::Look | Action::Release | Action::Attach | Action::Detach)
                || (action == Action::SwitchOff && part == Some(Part::PullInSwitch));
        add(self.pressed.is_some() && !watches, "hands and eyes are elsewhere while current flows");
        add(self.pressed.is_some() && step.phase == Phase::Unhook, "people take apart what is live");
        let other =
            action == Action::Release && part.is_some() && self.pressed.is_some() && part != self.pressed;
        add(other, "people believe it is off");
        let on = action == Action::Energize || (action == Action::SwitchOn && part == Some(Part::MainSwitch));
        add(on && step.phase != Phase::Run, "power comes when nobody expects it");
        add(
            action == Action::InstructorCheck && self.main == Contact::Closed,
            "the instructor pulls at live leads",
        );
    }

    /// The moment in which current begins to flow.
    fn power(&self, step: &HookupStep, before: &World, hookup: &Hookup, hazards: &mut Vec<Hazard>) {
        let mut add = |wrong: bool, hazard| hazards.extend(wrong.then_some(hazard));
        let unseen = self.inspected.as_ref() != Some(&self.conductors());
        let part = step.part.as_ref().map(|part| part.value);
        let last = step.action.value == Action::Attach
            && matches!(part, Some(Part::SourceNegative | Part::LoadNegative))
            && self.bench == Bench3::Battery;
        let runs = hookup.steps.iter().any(|step| step.action.value == Action::Energize);
        add(last && runs && unseen, "leads that nobody has looked at become live");
        if step.action.value != Action::Energize {
            return;
        }
        add(self.turns() && !self.motor_held, "a loose motor starts");
        add(self.turns() && !self.opening_clear, "the pinion comes out among hands");
        if self.bench == Bench3::Vehicle && self.turns() {
            add(!self.vehicle_held, "the vehicle can roll");
            add(!self.engine_dead, "the engine can start");
            add(!self.fan_clear, "fan and belts catch something");
        }
        let pull_in = self.on.contains(&Part::PullInReturn);
        let open = self.pull_in_has_switch && !(pull_in && self.pull_in_closed);
        add(open, "a coil is tested that gets no current");
        let moves = self.turns() && self.pressed != Some(Part::OutputButton);
        add(moves && pull_in && !self.stud_30_looked_at, "a lead that was forgotten on stud 30 is shorted");
        add(
            self.motor_lead_off && self.on.contains(&Part::MotorLead),
            "the motor gets current that is not for it",
        );
        add(before.cooling_s > 0, "a hot motor runs again");
        add(step.seconds.as_ref().is_some_and(|seconds| seconds.value > hookup.limit_s), "too long");
        add(unseen, "nobody has looked at this hookup");
    }

    /// Why a reading means nothing, if it does.
    fn void(&self, reading: &WorksheetReading) -> Option<Hazard> {
        let has = |part| self.on.contains(&part);
        let source = match self.bench {
            Bench3::Supply => self.on.iter().any(|part| CONDUCTORS[1..4].contains(part)),
            _ => has(Part::SourceNegative) || has(Part::LoadNegative),
        };
        let second_way = self.motor_lead_off && has(Part::MotorLead);
        let meter = match reading.unit.as_str() {
            "V" => VOLTMETER.into_iter().any(has),
            "A" => has(Part::ClampMeter) || has(Part::Ammeter),
            "rpm" => self.tachometer_held || has(Part::Tachometer),
            "Ω" => !source && !second_way,
            _ => true,
        };
        let state = match reading.taken {
            Taken::Energized => self.current_flows(),
            Taken::AfterRelease => self.current_flows() || self.just_let_go,
            Taken::AtRest => self.pressed.is_none() && self.cooling_s == 0,
        };
        let name = &reading.name.value;
        let elsewhere = self.placed.contains(name) && self.meter_for.as_ref() != Some(name);
        let other = reading.during.is_some() && reading.during != self.current_for;
        (!meter || !state || elsewhere || other).then_some("a number that means nothing")
    }
}
