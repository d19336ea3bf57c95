//! The temperature of a winding by the change of its resistance.

use crate::quantity::{Celsius, Kelvin, Ohm};

/// A resistance and the temperature at which the winding has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindingPoint {
    /// Between the winding's ends.
    pub resistance: Ohm,
    /// Of the whole winding.
    pub temperature: Celsius,
}

/// The mean temperature of a winding that had a known resistance at a known temperature and now resists `now`.
///
/// # Formula
/// `T₂ = (R₂ / R₁) · (k + T₁) − k`
///
/// # Quantities
/// `k` is `zero`: how far below 0 °C the straight line of resistance meets nothing, 235 °C for copper.
///
/// # Assumptions
/// The same metal all along; resistance in step with temperature, from below freezing to any winding's limit.
///
/// # Source
/// From memory: IEC 60034-1, clause 8.6.2 (235 for copper, 225 for aluminium); IEEE 112 takes 234.5 for copper, the
/// number of IEC 60028.
pub fn temperature_by_resistance(zero: Celsius, cold: &WindingPoint, now: Ohm) -> Celsius {
    (zero + cold.temperature) * (now / cold.resistance) - zero
}

/// The resistance of the same winding at another temperature: the way back.
///
/// # Formula
/// `R₂ = R₁ · (k + T₂) / (k + T₁)`
pub fn resistance_at(zero: Celsius, cold: &WindingPoint, at: Celsius) -> Ohm {
    cold.resistance * ((zero + at) / (zero + cold.temperature))
}

/// How much warmer one thing is than another.
pub fn rise(hot: Celsius, room: Celsius) -> Kelvin {
    Kelvin(hot.0 - room.0)
}

/// Letters of the thermal classes of insulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThermalClass {
    /// Impregnated cotton and paper.
    A,
    /// Older enamels.
    E,
    /// Mica and glass with older resins.
    B,
    /// Mica and glass with better resins.
    F,
    /// Silicone.
    H,
}

impl ThermalClass {
    /// The highest temperature at which insulation of this class is meant to work, at its hottest spot.
    ///
    /// # Source
    /// IEC 60085.
    pub fn limit(self) -> Celsius {
        Celsius(match self {
            ThermalClass::A => 105.0,
            ThermalClass::E => 120.0,
            ThermalClass::B => 130.0,
            ThermalClass::F => 155.0,
            ThermalClass::H => 180.0,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every constant, cold point and hot temperature of a grid, from a cold night to beyond class H.
    fn grid() -> impl Iterator<Item = (Celsius, WindingPoint, Celsius)> {
        let constants = [225.0, 234.5, 235.0, 300.0];
        let cold = [(0.000_5, -40.0), (0.012, 20.0), (0.18, 23.7), (55.0, 80.0)];
        let hot = (-40..=260).step_by(7).map(f64::from);
        constants.into_iter().flat_map(move |constant| {
            let hot = hot.clone();
            cold.into_iter().flat_map(move |(ohms, celsius)| {
                let point = WindingPoint { resistance: Ohm(ohms), temperature: Celsius(celsius) };
                hot.clone().map(move |hot| (Celsius(constant), point, Celsius(hot)))
            })
        })
    }

    #[test]
    fn temperature_to_resistance_and_back_is_the_same_temperature() {
        for (zero, cold, hot) in grid() {
            let back = temperature_by_resistance(zero, &cold, resistance_at(zero, &cold, hot));
            assert!((back - hot).0.abs() < 1e-10, "{} °C came back as {} °C", hot.0, back.0);
        }
    }

    #[test]
    fn resistance_to_temperature_and_back_is_the_same_resistance() {
        for (zero, cold, _) in grid() {
            for part in [0.8, 1.0, 1.2, 1.39, 1.9] {
                let now = cold.resistance * part;
                let back = resistance_at(zero, &cold, temperature_by_resistance(zero, &cold, now));
                assert!((back / now - 1.0).abs() < 1e-13, "{} Ω came back as {} Ω", now.0, back.0);
            }
        }
    }

    #[test]
    fn it_does_not_matter_which_end_is_called_cold() {
        for (zero, cold, hot) in grid() {
            let other = WindingPoint { resistance: resistance_at(zero, &cold, hot), temperature: hot };
            let back = resistance_at(zero, &other, cold.temperature);
            assert!((back / cold.resistance - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn hotter_is_more_resistance() {
        for (zero, cold, hot) in grid() {
            let here = resistance_at(zero, &cold, hot);
            assert!(resistance_at(zero, &cold, Celsius(hot.0 + 0.1)) > here);
        }
    }
}
