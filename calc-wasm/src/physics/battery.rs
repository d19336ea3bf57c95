//! A source of chemical energy as a circuit sees it: a voltage behind a resistance.

use crate::quantity::{Ampere, Ohm, Volt};

/// A reading of volts and amps taken together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadPoint {
    /// At the posts.
    pub voltage: Volt,
    /// Drawn.
    pub current: Ampere,
}

/// Open-circuit voltage and internal resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// With nothing connected.
    pub open_circuit: Volt,
    /// Inside.
    pub resistance: Ohm,
}

impl Battery {
    /// From two loads, the lighter first; nothing when the currents are the same.
    ///
    /// # Formula
    /// `R_i = (U₁ − U₂) / (I₂ − I₁)`, `U₀ = U₁ + R_i · I₁`
    ///
    /// # Source
    /// The two-point method of IEC 60896-21.
    pub fn of_two_loads(light: LoadPoint, heavy: LoadPoint) -> Option<Battery> {
        let step = heavy.current - light.current;
        if step.0 == 0.0 {
            return None;
        }
        let resistance = (light.voltage - heavy.voltage) / step;
        Some(Battery { open_circuit: light.voltage + resistance * light.current, resistance })
    }

    /// Voltage at the posts while `current` flows.
    pub fn terminal(&self, current: Ampere) -> Volt {
        self.open_circuit - self.resistance * current
    }

    /// So many in series, and so many such rows side by side.
    pub fn bank(&self, in_series: f64, side_by_side: f64) -> Battery {
        Battery {
            open_circuit: self.open_circuit * in_series,
            resistance: self.resistance * (in_series / side_by_side),
        }
    }

    /// Current through a short circuit: what a spanner across the posts would carry.
    pub fn short_circuit(&self) -> Ampere {
        self.open_circuit / self.resistance
    }
}

/// Rested voltage of a 12 V lead-acid battery and its charge in hundredths.
///
/// # Source
/// US Army TM 5-3805-262-20.
const REST_TABLE: [(f64, f64); 5] = [(11.7, 0.0), (12.0, 25.0), (12.2, 50.0), (12.4, 75.0), (12.6, 100.0)];

/// Charge of a rested 12 V lead-acid battery, in hundredths: straight lines between the rows of the table.
pub fn charge_percent(rested: Volt) -> f64 {
    let after = REST_TABLE.iter().position(|(volts, _)| rested.0 < *volts);
    match after {
        Some(0) => 0.0,
        None => 100.0,
        Some(index) => {
            let (low, high) = (REST_TABLE[index - 1], REST_TABLE[index]);
            low.1 + (high.1 - low.1) * (rested.0 - low.0) / (high.0 - low.0)
        }
    }
}
