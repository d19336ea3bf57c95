//! What the fields of `voltage-drop` say, as quantities: one run there and back, or a list of parts.

use crate::calculator::voltage_drop::parts::{self, Part};
use crate::calculator::voltage_drop::size::size_of;
use crate::input::Inputs;
use crate::physics::conductor::{self, Metal, Size, StrandClass, resistance_per_metre};
use crate::quantity::{Ampere, Celsius, Metre, Ohm, OhmPerMetre, Second, Volt};
use crate::refusal::Refusal;

/// The circuit and what flows through it.
pub(super) struct Run {
    pub(super) size: Size,
    pub(super) metal: Metal,
    pub(super) class: StrandClass,
    pub(super) temperature: Celsius,
    pub(super) out: Metre,
    pub(super) back: Metre,
    /// Parts that were listed, in order; none for a run there and back.
    pub(super) parts: Vec<Part>,
    joint_count: f64,
    pub(super) joint: Ohm,
    pub(super) current: Ampere,
    pub(super) system: Volt,
    pub(super) allowed: Volt,
    pub(super) heavy: bool,
    pub(super) crank: Second,
}

impl Run {
    pub(super) fn of(inputs: &Inputs) -> Result<Self, Refusal> {
        let mut run = Run {
            size: size_of(inputs.entry("conductor_size")),
            metal: if inputs.choice("conductor_material") == "aluminium" {
                Metal::Aluminium
            } else {
                Metal::Copper
            },
            class: match inputs.choice("conductor_class") {
                "class 2" => StrandClass::Stranded,
                _ => StrandClass::Flexible,
            },
            temperature: Celsius(inputs.number("conductor_temperature_c")),
            out: Metre(inputs.number("run_out_m")),
            back: Metre(inputs.number("run_return_m")),
            parts: Vec::new(),
            joint_count: inputs.number("joint_count"),
            joint: Ohm(inputs.number("joint_resistance_ohm")),
            current: Ampere(inputs.number("current_a")),
            system: Volt(inputs.number("system_voltage_v")),
            allowed: Volt(inputs.number("allowed_drop_v")),
            heavy: inputs.choice("circuit_duty") == "heavy",
            crank: Second(inputs.number("crank_time_s")),
        };
        run.parts = parts::read(inputs, &run)?;
        Ok(run)
    }

    /// Were parts listed?
    pub(super) fn listed(&self) -> bool {
        !self.parts.is_empty()
    }

    /// Length of cable, there and back or of all parts.
    pub(super) fn length(&self) -> Metre {
        if self.listed() {
            Metre(self.parts.iter().filter(|part| part.size.is_some()).map(|part| part.length.0).sum())
        } else {
            self.out + self.back
        }
    }

    pub(super) fn joint_count(&self) -> f64 {
        if self.listed() { self.parts.iter().map(|part| part.joints).sum() } else { self.joint_count }
    }

    pub(super) fn joints(&self) -> Ohm {
        self.joint * self.joint_count()
    }

    /// Resistance of switches and contacts that were listed with one.
    pub(super) fn switches(&self) -> Ohm {
        Ohm(self.parts.iter().map(|part| part.fixed.0).sum())
    }

    /// Resistance of one metre of `size` at the run's temperature, where it is known.
    pub(super) fn per_metre(&self, size: Size) -> Option<OhmPerMetre> {
        let ratio = conductor::temperature_ratio(self.metal, Celsius(20.0), self.temperature);
        resistance_per_metre(size, self.metal, self.class).map(|at_20| at_20 * ratio)
    }

    /// Resistance of a listed part without its joints: of its cable, or of a switch.
    ///
    /// Reading the list refuses sizes whose resistance is not known.
    pub(super) fn conductor_of(&self, part: &Part) -> Ohm {
        let per_metre = part.size.and_then(|size| self.per_metre(size)).unwrap_or(OhmPerMetre(0.0));
        conductor::run_resistance(per_metre, part.length) + part.fixed
    }

    /// Resistance of a listed part with its joints.
    pub(super) fn resistance_of(&self, part: &Part) -> Ohm {
        self.conductor_of(part) + self.joint * part.joints
    }

    /// The drop if all cable were of this resistance.
    pub(super) fn drop_with(&self, per_metre: OhmPerMetre) -> Volt {
        (conductor::run_resistance(per_metre, self.length()) + self.joints() + self.switches()) * self.current
    }

    /// What of the allowed drop is left for cable, as a resistance; negative when joints and switches take it all.
    pub(super) fn room(&self) -> Ohm {
        self.allowed / self.current - self.joints() - self.switches()
    }
}
