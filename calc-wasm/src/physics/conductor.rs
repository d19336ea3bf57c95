//! Conductors: how thick a named size is, what a metre of it resists, and what heat does to that.

use std::f64::consts::PI;

use crate::math::power;
use crate::number::short;
use crate::quantity::{Celsius, Metre, Ohm, OhmMetre, OhmPerMetre, SquareMillimetre};
use crate::report::Source;

/// What a conductor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Metal {
    /// Annealed copper.
    Copper,
    /// Electrical aluminium.
    Aluminium,
}

/// How a metric conductor is made up: the classes of IEC 60228.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrandClass {
    /// Class 2: stranded.
    Stranded,
    /// Class 5: flexible.
    Flexible,
}

/// A conductor as it is bought or measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// An American Wire Gauge number; 0 is 1/0, −1 is 2/0, −3 is 4/0.
    Gauge(i32),
    /// A nominal size of IEC 60228.
    Metric(SquareMillimetre),
    /// A measured or printed area.
    Area(SquareMillimetre),
}

/// Gauges from AWG 14 to AWG 4/0, thin to thick.
pub const GAUGES: [i32; 13] = [14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3];

/// A row of IEC 60228: nominal size and the greatest resistance of one kilometre at 20 °C.
struct MetricRow {
    nominal_mm2: f64,
    copper_stranded: f64,
    copper_flexible: f64,
    /// Not printed for the small sizes; no flexible aluminium is printed at all.
    aluminium_stranded: Option<f64>,
}

const fn row(
    nominal_mm2: f64,
    copper_stranded: f64,
    copper_flexible: f64,
    aluminium_stranded: Option<f64>,
) -> MetricRow {
    MetricRow { nominal_mm2, copper_stranded, copper_flexible, aluminium_stranded }
}

/// Plain copper of class 2 and class 5, aluminium of class 2.
const METRIC: [MetricRow; 12] = [
    row(1.5, 12.1, 13.3, None),
    row(2.5, 7.41, 7.98, None),
    row(4.0, 4.61, 4.95, None),
    row(6.0, 3.08, 3.30, None),
    row(10.0, 1.83, 1.91, Some(3.08)),
    row(16.0, 1.15, 1.21, Some(1.91)),
    row(25.0, 0.727, 0.780, Some(1.20)),
    row(35.0, 0.524, 0.554, Some(0.868)),
    row(50.0, 0.387, 0.386, Some(0.641)),
    row(70.0, 0.268, 0.272, Some(0.443)),
    row(95.0, 0.193, 0.206, Some(0.320)),
    row(120.0, 0.153, 0.161, Some(0.253)),
];

impl Metal {
    /// Resistivity at 20 °C.
    pub fn resistivity(self) -> OhmMetre {
        match self {
            Metal::Copper => OhmMetre(1e-6 / 58.0),
            Metal::Aluminium => OhmMetre(2.826_4e-8),
        }
    }

    /// How far below 0 °C the straight line of resistance against temperature meets zero.
    pub fn zero_intercept(self) -> Celsius {
        match self {
            Metal::Copper => Celsius(234.5),
            Metal::Aluminium => Celsius(228.1),
        }
    }

    /// The word that lessons and the command line use.
    pub fn key(self) -> &'static str {
        match self {
            Metal::Copper => "copper",
            Metal::Aluminium => "aluminium",
        }
    }

    /// Where the resistivity comes from.
    pub fn resistivity_source(self) -> Source {
        match self {
            Metal::Copper => Source {
                fact: "Annealed copper, 1/58 Ω·mm²/m at 20 °C",
                from: "IEC 60028; NBS Handbook 100",
            },
            Metal::Aluminium => Source {
                fact: "Electrical aluminium, 0.028264 Ω·mm²/m at 20 °C",
                from: "IEC 60287-1-1, table 1 (61 % of the conductivity of annealed copper)",
            },
        }
    }

    /// Where the change with temperature comes from.
    pub fn temperature_source(self) -> Source {
        match self {
            Metal::Copper => Source {
                fact: "Copper, resistance in step with 234.5 °C + temperature",
                from: "IEC 60028 (0.00393 per kelvin at 20 °C)",
            },
            Metal::Aluminium => Source {
                fact: "Aluminium, resistance in step with 228.1 °C + temperature",
                from: "IEC 60287-1-1, table 1 (0.00403 per kelvin at 20 °C)",
            },
        }
    }
}

/// Diameter of a solid wire of an American Wire Gauge number, in millimetres.
///
/// # Formula
/// `d = 0.127 mm · 92^((36 − n) / 39)`
///
/// # Source
/// ASTM B258: AWG 36 is 0.0050 in, AWG 4/0 is 0.4600 in, and each step between is the same ratio.
pub fn gauge_diameter_mm(gauge: i32) -> f64 {
    0.127 * power(92.0, f64::from(36 - gauge) / 39.0)
}

/// Cross-section of a solid wire of an American Wire Gauge number.
pub fn gauge_area(gauge: i32) -> SquareMillimetre {
    let diameter = gauge_diameter_mm(gauge);
    SquareMillimetre(PI / 4.0 * diameter * diameter)
}

/// The nominal sizes of IEC 60228 that are known here, thin to thick.
pub fn metric_sizes() -> impl Iterator<Item = SquareMillimetre> {
    METRIC.iter().map(|row| SquareMillimetre(row.nominal_mm2))
}

impl Size {
    /// The size of this name, when its list has it: `AWG 2/0`, `35 mm2`.
    pub fn named(name: &str) -> Option<Size> {
        if let Some(gauge) = name.strip_prefix("AWG ") {
            let digits = gauge.strip_suffix("/0").unwrap_or(gauge);
            let number: i32 = digits.parse().ok()?;
            // `14` is 14; `2/0`, one step above `1/0`, is −1.
            let number = if digits.len() < gauge.len() { 1 - number } else { number };
            return GAUGES.contains(&number).then_some(Size::Gauge(number));
        }
        let nominal = name.strip_suffix(" mm2").or_else(|| name.strip_suffix(" mm²"))?;
        metric_sizes().find(|size| short(size.0) == nominal).map(Size::Metric)
    }
}

/// Resistance of one metre at 20 °C.
///
/// A metric size is a name, not an area: the standard prints the greatest resistance, and that is what is given; it
/// is nothing where the standard prints none (flexible aluminium, thin aluminium).
///
/// # Source
/// Gauges: resistivity over the area of ASTM B258. Metric: IEC 60228, tables 2 and 3.
pub fn resistance_per_metre(size: Size, metal: Metal, class: StrandClass) -> Option<OhmPerMetre> {
    match size {
        Size::Gauge(gauge) => Some(metal.resistivity() / gauge_area(gauge)),
        Size::Area(area) => Some(metal.resistivity() / area),
        Size::Metric(SquareMillimetre(nominal)) => {
            let row = METRIC.iter().find(|row| (row.nominal_mm2 - nominal).abs() < 1e-9)?;
            let per_kilometre = match (metal, class) {
                (Metal::Copper, StrandClass::Stranded) => Some(row.copper_stranded),
                (Metal::Copper, StrandClass::Flexible) => Some(row.copper_flexible),
                (Metal::Aluminium, StrandClass::Stranded) => row.aluminium_stranded,
                (Metal::Aluminium, StrandClass::Flexible) => None,
            };
            per_kilometre.map(|ohms| OhmPerMetre(ohms / 1000.0))
        }
    }
}

/// How many times its resistance at `from` a conductor has at `to`.
///
/// # Formula
/// `R₂ / R₁ = (T₀ + T₂) / (T₀ + T₁)`
///
/// # Assumptions
/// The straight line holds from well below freezing to well above any winding's limit.
pub fn temperature_ratio(metal: Metal, from: Celsius, to: Celsius) -> f64 {
    let zero = metal.zero_intercept();
    (zero + to) / (zero + from)
}

/// Resistance of a length of conductor.
pub fn run_resistance(per_metre: OhmPerMetre, length: Metre) -> Ohm {
    per_metre * length
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_ends_of_the_gauge_are_as_defined() {
        assert!((gauge_diameter_mm(36) - 0.127).abs() < 1e-15);
        assert!((gauge_diameter_mm(-3) - 11.684).abs() < 1e-12);
    }

    #[test]
    fn a_size_that_the_standard_does_not_print_has_no_resistance() {
        let flexible = |nominal, metal| {
            resistance_per_metre(Size::Metric(SquareMillimetre(nominal)), metal, StrandClass::Flexible)
        };
        assert_eq!(flexible(36.0, Metal::Copper), None);
        assert_eq!(flexible(35.0, Metal::Aluminium), None);
        assert_eq!(flexible(35.0, Metal::Copper), Some(OhmPerMetre(0.000_554)));
    }
}
