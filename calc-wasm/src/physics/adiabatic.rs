//! A conductor that keeps its heat: how warm a short current makes it, and how much current it bears.
//!
//! # Assumptions
//! No heat leaves the metal, the current stays the same, and the whole length starts at one temperature. What leaves
//! through the insulation in a few seconds makes the real conductor a little cooler; a joint is warmer than its cable.

use crate::math::{exponential, natural_logarithm, square_root};
use crate::physics::conductor::Metal;
use crate::quantity::{Ampere, Celsius, Second, SquareMillimetre};
use crate::report::Source;

/// Where the formula and its constants come from.
pub const SOURCE: Source = Source {
    fact: "Warming without loss of heat: copper K = 226 A·√s/mm², β = 234.5; aluminium K = 148, β = 228",
    from: "IEC 60949, table 1; the aluminium constant from memory",
};

/// The constant `K` of a metal, in A·s^½/mm²: what one square millimetre bears for one second, but for the logarithm.
pub fn constant_as05_per_mm2(metal: Metal) -> f64 {
    match metal {
        Metal::Copper => 226.0,
        Metal::Aluminium => 148.0,
    }
}

/// The constant `β`, the reciprocal of the temperature coefficient at 0 °C.
pub fn beta(metal: Metal) -> Celsius {
    match metal {
        Metal::Copper => Celsius(234.5),
        Metal::Aluminium => Celsius(228.0),
    }
}

/// Where the metal melts.
///
/// # Source
/// From memory: 1085 °C and 660 °C.
pub fn melting_point(metal: Metal) -> Celsius {
    match metal {
        Metal::Copper => Celsius(1085.0),
        Metal::Aluminium => Celsius(660.0),
    }
}

/// The temperature after a current has flowed; nothing when the conductor would have melted.
///
/// # Formula
/// `T₂ = (T₁ + β) · exp(I² · t / (K² · S²)) − β`, from `I² · t = K² · S² · ln((T₂ + β) / (T₁ + β))`
///
/// # Source
/// IEC 60949, with its factor for heat that leaves taken as 1.
pub fn end_temperature(
    metal: Metal,
    area: SquareMillimetre,
    current: Ampere,
    time: Second,
    from: Celsius,
) -> Option<Celsius> {
    let share = current.0 / (constant_as05_per_mm2(metal) * area.0);
    let beta = beta(metal);
    let end = (from + beta) * exponential(share * share * time.0) - beta;
    (end <= melting_point(metal)).then_some(end)
}

/// The current that brings a conductor from one temperature to another in a time.
///
/// # Formula
/// `I = K · S · √(ln((T₂ + β) / (T₁ + β)) / t)`
///
/// # Source
/// IEC 60949, as [`end_temperature`].
pub fn current_between(
    metal: Metal,
    area: SquareMillimetre,
    time: Second,
    from: Celsius,
    to: Celsius,
) -> Ampere {
    let beta = beta(metal);
    let logarithm = natural_logarithm((to + beta) / (from + beta));
    Ampere(constant_as05_per_mm2(metal) * area.0 * square_root(logarithm / time.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: SquareMillimetre = SquareMillimetre(35.0);

    fn end(current: f64, time: f64) -> Option<f64> {
        end_temperature(Metal::Copper, AREA, Ampere(current), Second(time), Celsius(20.0)).map(|end| end.0)
    }

    #[test]
    fn there_and_back_is_the_same_current() {
        for metal in [Metal::Copper, Metal::Aluminium] {
            for (current, time) in [(200.0, 30.0), (600.0, 10.0), (1200.0, 2.0)] {
                let to = end_temperature(metal, AREA, Ampere(current), Second(time), Celsius(20.0));
                let back = current_between(metal, AREA, Second(time), Celsius(20.0), to.expect("not melted"));
                assert!((back.0 / current - 1.0).abs() < 1e-12, "{back:?}");
            }
        }
    }

    #[test]
    fn no_time_or_no_current_warms_nothing_and_more_of_either_warms_more() {
        assert_eq!(end(500.0, 0.0), Some(20.0));
        assert_eq!(end(0.0, 60.0), Some(20.0));
        let by_time: Vec<_> = (1..60).map(|time| end(400.0, f64::from(time)).expect("not melted")).collect();
        assert!(by_time.is_sorted_by(|less, more| less < more));
        let by_current: Vec<_> =
            (1..60).map(|part| end(f64::from(part * 20), 10.0).expect("solid")).collect();
        assert!(by_current.is_sorted_by(|less, more| less < more));
    }

    #[test]
    fn what_would_melt_has_no_temperature() {
        assert_eq!(end(1e6, 1e6), None);
        assert_eq!(end(20_000.0, 10.0), None);
    }

    /// The heat that goes in is the heat that the copper takes, for a rise so small that resistance hardly changes.
    #[test]
    fn a_small_rise_is_energy_over_heat_capacity() {
        // 3.45e-3 J/(K·mm³), IEC 60949; 1 m of 35 mm² takes 120.75 J/K and resists 1/58/35 Ω.
        let rise = end(100.0, 1.0).expect("solid") - 20.0;
        let by_hand = 100.0 * 100.0 / 58.0 / 35.0 / (3.45e-3 * 35.0 * 1000.0);
        assert!((rise / by_hand - 1.0).abs() < 0.005, "{rise} {by_hand}");
    }
}
