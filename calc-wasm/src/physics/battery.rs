//! A source of chemical energy as a circuit sees it: a voltage behind a resistance; and what manuals say of its charge.

use crate::quantity::{Ampere, Celsius, Ohm, Volt, Watt};

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
    /// The current at which the posts stand at `terminal`; below nothing when the source has not got that voltage.
    ///
    /// # Formula
    /// `I = (U₀ − U) / R_i`
    pub fn current_at(&self, terminal: Volt) -> Ampere {
        (self.open_circuit - terminal) / self.resistance
    }

    /// Power that turns to heat inside while `current` flows.
    ///
    /// # Formula
    /// `P = I² · R_i`
    pub fn lost_power(&self, current: Ampere) -> Watt {
        (self.resistance * current) * current
    }
}

/// Rested voltage of a 12 V lead-acid battery and its charge in hundredths.
///
/// # Source
/// US Army TM 5-3805-262-20.
const REST_TABLE: [(f64, f64); 5] = [(11.7, 0.0), (12.0, 25.0), (12.2, 50.0), (12.4, 75.0), (12.6, 100.0)];

/// Specific gravity of the acid at 80 °F and the charge in hundredths.
///
/// # Source
/// US Army TM 5-4210-230-14&P-1.
const GRAVITY_TABLE: [(f64, f64); 5] =
    [(1.120, 0.0), (1.155, 25.0), (1.190, 50.0), (1.225, 75.0), (1.265, 100.0)];

/// Temperature in degrees Fahrenheit and the share of the cranking power that a battery keeps, in hundredths.
///
/// # Source
/// US Army TM 5-4210-230-14&P-1.
const COLD_TABLE: [(f64, f64); 4] = [(-20.0, 20.0), (0.0, 40.0), (32.0, 65.0), (80.0, 100.0)];

/// Straight lines between the rows of a table, and its first and last value beyond them.
fn between(table: &[(f64, f64)], at: f64) -> f64 {
    let (first, last) = (table[0], table[table.len() - 1]);
    match table.iter().position(|row| at < row.0) {
        Some(0) => first.1,
        None => last.1,
        Some(index) => {
            let (low, high) = (table[index - 1], table[index]);
            low.1 + (high.1 - low.1) * (at - low.0) / (high.0 - low.0)
        }
    }
}

/// Charge of a rested 12 V lead-acid battery, in hundredths: straight lines between the rows of the table.
pub fn charge_percent(rested: Volt) -> f64 {
    between(&REST_TABLE, rested.0)
}

/// The rested voltages of a 12 V lead-acid battery between which the table of [`charge_percent`] tells charges apart.
pub fn charge_table_ends() -> (Volt, Volt) {
    (Volt(REST_TABLE[0].0), Volt(REST_TABLE[REST_TABLE.len() - 1].0))
}

/// Charge of a lead-acid cell, in hundredths, from the specific gravity of its acid at 80 °F (26.7 °C).
pub fn charge_percent_by_gravity(gravity: f64) -> f64 {
    between(&GRAVITY_TABLE, gravity)
}

/// What a hydrometer would show at 80 °F (26.7 °C): acid is thinner when warm.
///
/// # Formula
/// 0.004 more for every 10 °F above 80 °F, as much less below.
///
/// # Source
/// Common practice, no source.
pub fn gravity_at_80f(gravity: f64, at: Celsius) -> f64 {
    gravity + 0.004 * (fahrenheit(at) - 80.0) / 10.0
}

/// Share of its cranking power that a charged lead-acid battery keeps at a temperature, in hundredths of that at
/// 80 °F (26.7 °C).
pub fn cranking_power_percent(at: Celsius) -> f64 {
    between(&COLD_TABLE, fahrenheit(at))
}

fn fahrenheit(at: Celsius) -> f64 {
    at.0 * 9.0 / 5.0 + 32.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOURCE: Battery = Battery { open_circuit: Volt(12.525), resistance: Ohm(0.004_5) };

    fn near(got: f64, expected: f64) {
        assert!((got - expected).abs() <= 1e-12 * expected.abs().max(1.0), "{got} is not {expected}");
    }

    #[test]
    fn two_loads_on_the_line_of_a_source_give_the_source_back() {
        let point = |current| LoadPoint { voltage: SOURCE.terminal(current), current };
        for (light, heavy) in [(0.0, 250.0), (50.0, 250.0), (-10.0, 3.0), (1.0, 900.0)] {
            let found = Battery::of_two_loads(point(Ampere(light)), point(Ampere(heavy))).expect("two loads");
            near(found.open_circuit.0, SOURCE.open_circuit.0);
            near(found.resistance.0, SOURCE.resistance.0);
        }
        assert_eq!(Battery::of_two_loads(point(Ampere(5.0)), point(Ampere(5.0))), None);
    }

    #[test]
    fn the_current_at_a_voltage_leaves_that_voltage() {
        for volts in [0.0, 7.2, 9.6, 12.525, 14.0] {
            near(SOURCE.terminal(SOURCE.current_at(Volt(volts))).0, volts);
        }
        assert_eq!(SOURCE.current_at(Volt(0.0)), SOURCE.short_circuit());
    }

    #[test]
    fn what_the_source_makes_is_what_goes_out_and_what_is_lost() {
        let current = Ampere(310.0);
        let made = SOURCE.open_circuit * current;
        near(made.0, (SOURCE.terminal(current) * current).0 + SOURCE.lost_power(current).0);
    }

    #[test]
    fn a_bank_shares_its_current_evenly() {
        // Two in series, three rows: each source carries a third of the current and gives half of the voltage.
        let bank = SOURCE.bank(2.0, 3.0);
        near(bank.terminal(Ampere(300.0)).0, 2.0 * SOURCE.terminal(Ampere(100.0)).0);
        near(bank.lost_power(Ampere(300.0)).0, 6.0 * SOURCE.lost_power(Ampere(100.0)).0);
    }

    #[test]
    fn tables_end_flat_and_are_straight_between_rows() {
        for (volts, charge) in [(0.0, 0.0), (11.7, 0.0), (12.1, 37.5), (12.6, 100.0), (15.0, 100.0)] {
            near(charge_percent(Volt(volts)), charge);
        }
        near(charge_percent_by_gravity(1.245), 87.5);
        near(gravity_at_80f(1.26, Celsius(80.0 / 1.8 - 160.0 / 9.0)), 1.26);
        near(gravity_at_80f(1.26, Celsius(0.0)), 1.260 - 0.0192);
        near(cranking_power_percent(Celsius(0.0)), 65.0);
        near(cranking_power_percent(Celsius(-60.0)), 20.0);
        near(cranking_power_percent(Celsius(45.0)), 100.0);
    }
}
