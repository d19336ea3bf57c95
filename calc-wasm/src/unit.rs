//! Units that people type and read: symbol, spellings, and the way to the unit that a field is named after.

/// One unit in which a quantity may be typed.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// What is shown: `mΩ`.
    pub symbol: &'static str,
    /// Other spellings that are understood: `mohm`.
    pub spellings: &'static [&'static str],
    /// Multiply by this, then add [`offset`](Unit::offset), to come to the quantity's base unit.
    pub factor: f64,
    /// See [`factor`](Unit::factor); not zero for temperatures alone.
    pub offset: f64,
}

impl Unit {
    const fn new(symbol: &'static str, spellings: &'static [&'static str], factor: f64) -> Self {
        Unit { symbol, spellings, factor, offset: 0.0 }
    }

    /// A value in this unit, given in the base unit.
    pub fn to_base(&self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    /// A value in the base unit, given in this unit.
    pub fn of_base(&self, value: f64) -> f64 {
        (value - self.offset) / self.factor
    }

    /// A difference (an uncertainty, a range's width) in the base unit: the offset does not count.
    pub fn span_to_base(&self, span: f64) -> f64 {
        span * self.factor
    }

    /// Is this what `text` names?
    pub fn is_called(&self, text: &str) -> bool {
        self.symbol == text || self.spellings.contains(&text)
    }
}

/// The kinds of quantity that a field or an output can be; each has its base unit first in [`Quantity::units`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Electrical potential difference.
    Voltage,
    /// Electrical current.
    Current,
    /// Electrical resistance.
    Resistance,
    /// Resistance of one metre of a conductor.
    ResistancePerLength,
    /// Electrical or mechanical power.
    Power,
    /// Length of a run or a lead.
    Length,
    /// Cross-section of a conductor.
    Area,
    /// Temperature in a workshop's scale.
    Temperature,
    /// Speed of turning.
    Speed,
    /// A span of time.
    Time,
    /// A part of a whole in hundredths.
    Percent,
    /// A number of things.
    Count,
    /// One thing over another of the same kind, such as a gear ratio: a plain number that need not be whole.
    Ratio,
    /// Turning force.
    Torque,
    /// Force.
    Force,
    /// Energy or heat.
    Energy,
    /// Electrical charge.
    Charge,
    /// Things that happen in each second.
    Frequency,
    /// Inductance of a winding.
    Inductance,
    /// Inertia of what turns.
    Inertia,
    /// Heat that warms something by one kelvin.
    HeatCapacity,
    /// A difference of two temperatures.
    TemperatureRise,
}

const VOLTAGE: &[Unit] = &[Unit::new("V", &["volt", "volts"], 1.0), Unit::new("mV", &["millivolt"], 0.001)];
const CURRENT: &[Unit] =
    &[Unit::new("A", &["amp", "amps", "ampere"], 1.0), Unit::new("mA", &["milliamp"], 0.001)];
const RESISTANCE: &[Unit] = &[
    Unit::new("Ω", &["ohm", "ohms", "Ω"], 1.0),
    Unit::new("mΩ", &["mohm", "milliohm", "mΩ"], 0.001),
    Unit::new("µΩ", &["uohm", "microhm", "uΩ", "μΩ", "µΩ"], 0.000_001),
];
const RESISTANCE_PER_LENGTH: &[Unit] =
    &[Unit::new("Ω/m", &["ohm/m"], 1.0), Unit::new("mΩ/m", &["mohm/m", "ohm/km"], 0.001)];
/// Newtons of one pound-force: 0.45359237 kg at 9.80665 m/s² (NIST SP 811, appendix B).
const POUND_FORCE: f64 = 0.453_592_37 * 9.806_65;
const POWER: &[Unit] = &[
    Unit::new("W", &["watt", "watts"], 1.0),
    Unit::new("kW", &["kilowatt"], 1000.0),
    // 550 foot pounds-force in each second: NIST SP 811, appendix B.
    Unit::new("hp", &["horsepower"], 550.0 * 0.3048 * POUND_FORCE),
];
const LENGTH: &[Unit] = &[
    Unit::new("m", &["metre", "metres", "meter", "meters"], 1.0),
    Unit::new("ft", &["feet", "foot"], 0.3048),
    Unit::new("in", &["inch", "inches"], 0.0254),
    Unit::new("cm", &[], 0.01),
    Unit::new("mm", &[], 0.001),
];
const AREA: &[Unit] = &[Unit::new("mm²", &["mm2", "sqmm"], 1.0)];
const TEMPERATURE: &[Unit] = &[
    Unit::new("°C", &["C", "degC"], 1.0),
    Unit { symbol: "°F", spellings: &["F", "degF"], factor: 5.0 / 9.0, offset: -160.0 / 9.0 },
];
const SPEED: &[Unit] = &[Unit::new("rpm", &["r/min", "1/min", "min-1"], 1.0)];
const TIME: &[Unit] = &[Unit::new("s", &["sec", "second", "seconds"], 1.0), Unit::new("ms", &[], 0.001)];
const PERCENT: &[Unit] = &[Unit::new("%", &["percent"], 1.0)];
const COUNT: &[Unit] = &[Unit::new("", &[], 1.0)];
const TORQUE: &[Unit] = &[
    Unit::new("N·m", &["Nm", "N m", "N*m"], 1.0),
    // One pound-force at one foot: NIST SP 811, appendix B.
    Unit::new("lb·ft", &["lbft", "lb-ft", "ft-lb", "ft·lb", "lb*ft"], POUND_FORCE * 0.3048),
];
const FORCE: &[Unit] = &[
    Unit::new("N", &["newton", "newtons"], 1.0),
    Unit::new("lbf", &["lb", "lbs"], POUND_FORCE),
    Unit::new("kgf", &["kg", "kp"], 9.806_65),
];
const ENERGY: &[Unit] = &[Unit::new("J", &["joule", "joules"], 1.0), Unit::new("kJ", &[], 1000.0)];
const CHARGE: &[Unit] =
    &[Unit::new("C", &["A·s", "As"], 1.0), Unit::new("A·h", &["Ah", "A*h", "amp-hours"], 3600.0)];
const FREQUENCY: &[Unit] = &[Unit::new("Hz", &["1/s"], 1.0), Unit::new("kHz", &[], 1000.0)];
const INDUCTANCE: &[Unit] = &[
    Unit::new("H", &["henry"], 1.0),
    Unit::new("mH", &[], 0.001),
    Unit::new("µH", &["uH", "μH"], 0.000_001),
];
const INERTIA: &[Unit] = &[
    Unit::new("kg·m²", &["kgm2", "kg·m2", "kg m2"], 1.0),
    Unit::new("kg·cm²", &["kgcm2", "kg·cm2"], 0.000_1),
];
const HEAT_CAPACITY: &[Unit] = &[Unit::new("J/K", &[], 1.0)];
const TEMPERATURE_RISE: &[Unit] =
    &[Unit::new("K", &["kelvin"], 1.0), Unit::new("°F", &["F", "degF"], 5.0 / 9.0)];

impl Quantity {
    /// Every one, in the order in which a unit without more words is looked for.
    pub const ALL: &[Quantity] = &[
        Quantity::Voltage,
        Quantity::Current,
        Quantity::Resistance,
        Quantity::ResistancePerLength,
        Quantity::Power,
        Quantity::Length,
        Quantity::Area,
        Quantity::Temperature,
        Quantity::Speed,
        Quantity::Time,
        Quantity::Percent,
        Quantity::Count,
        Quantity::Ratio,
        Quantity::Torque,
        Quantity::Force,
        Quantity::Energy,
        Quantity::Charge,
        Quantity::Frequency,
        Quantity::Inductance,
        Quantity::Inertia,
        Quantity::HeatCapacity,
        Quantity::TemperatureRise,
    ];

    /// The first quantity that has a unit of this name; a symbol counts before other spellings, for `C` is a coulomb.
    pub fn of_unit(text: &str) -> Option<(Quantity, &'static Unit)> {
        let by = |named: fn(&Unit, &str) -> bool| {
            Quantity::ALL.iter().find_map(|quantity| {
                let unit = quantity.units().iter().find(|unit| named(unit, text))?;
                Some((*quantity, unit))
            })
        };
        by(|unit, text| unit.symbol == text).or_else(|| by(Unit::is_called))
    }

    /// The units in which it may be typed, the base unit first.
    pub fn units(self) -> &'static [Unit] {
        match self {
            Quantity::Voltage => VOLTAGE,
            Quantity::Current => CURRENT,
            Quantity::Resistance => RESISTANCE,
            Quantity::ResistancePerLength => RESISTANCE_PER_LENGTH,
            Quantity::Power => POWER,
            Quantity::Length => LENGTH,
            Quantity::Area => AREA,
            Quantity::Temperature => TEMPERATURE,
            Quantity::Speed => SPEED,
            Quantity::Time => TIME,
            Quantity::Percent => PERCENT,
            Quantity::Count | Quantity::Ratio => COUNT,
            Quantity::Torque => TORQUE,
            Quantity::Force => FORCE,
            Quantity::Energy => ENERGY,
            Quantity::Charge => CHARGE,
            Quantity::Frequency => FREQUENCY,
            Quantity::Inductance => INDUCTANCE,
            Quantity::Inertia => INERTIA,
            Quantity::HeatCapacity => HEAT_CAPACITY,
            Quantity::TemperatureRise => TEMPERATURE_RISE,
        }
    }

    /// The unit that a field's name ends in and that reports and JSON use.
    pub fn base(self) -> &'static Unit {
        &self.units()[0]
    }

    /// The unit of this quantity that `text` names.
    pub fn unit(self, text: &str) -> Option<&'static Unit> {
        self.units().iter().find(|unit| unit.is_called(text))
    }

    /// How many base units a difference of one of the unit that `text` names is: kelvins serve temperatures too.
    pub fn span_factor(self, text: &str) -> Option<f64> {
        if text.is_empty() {
            return None;
        }
        match self.unit(text) {
            Some(unit) => Some(unit.factor),
            None if self == Quantity::Temperature && text == "K" => Some(1.0),
            None => None,
        }
    }

    /// The unit in which a person reads `value` most easily, as a meter would choose its range.
    pub fn reading_unit(self, value: f64) -> &'static Unit {
        let size = value.abs();
        let index = match self {
            Quantity::Voltage | Quantity::Current if size < 0.0999 && size > 0.0 => 1,
            Quantity::Resistance if size >= 0.999 || size == 0.0 => 0,
            Quantity::Resistance if size >= 0.000_099_9 => 1,
            Quantity::Resistance => 2,
            Quantity::ResistancePerLength => 1,
            Quantity::Power | Quantity::Energy | Quantity::Frequency if size >= 9999.0 => 1,
            Quantity::Time if size < 0.0999 && size > 0.0 => 1,
            Quantity::Inductance if size < 0.000_999 && size > 0.0 => 2,
            Quantity::Inductance if size < 0.999 && size > 0.0 => 1,
            Quantity::Inertia if size < 0.099 && size > 0.0 => 1,
            _ => 0,
        };
        &self.units()[index]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_names_one_unit_of_its_quantity() {
        for quantity in Quantity::ALL {
            for unit in quantity.units() {
                for text in unit.spellings.iter().chain([&unit.symbol]) {
                    let named: Vec<_> = quantity.units().iter().filter(|unit| unit.is_called(text)).collect();
                    assert_eq!(named, [unit], "`{text}` of {quantity:?}");
                }
            }
        }
    }

    #[test]
    fn a_unit_alone_leads_to_its_quantity() {
        for (text, quantity, symbol) in [
            ("V", Quantity::Voltage, "V"),
            ("mohm", Quantity::Resistance, "mΩ"),
            ("C", Quantity::Charge, "C"),
            ("°F", Quantity::Temperature, "°F"),
            ("K", Quantity::TemperatureRise, "K"),
            ("", Quantity::Count, ""),
        ] {
            let (found, unit) = Quantity::of_unit(text).expect("a unit");
            assert_eq!((found, unit.symbol), (quantity, symbol), "`{text}`");
        }
        assert_eq!(Quantity::of_unit("furlong"), None);
    }

    /// The page is told a quantity by the symbol of its base unit.
    #[test]
    fn a_base_unit_leads_back_to_its_quantity() {
        for quantity in Quantity::ALL {
            let symbol = quantity.base().symbol;
            let (found, _) = Quantity::of_unit(symbol).expect("a unit");
            assert_eq!(found.units(), quantity.units(), "`{symbol}`");
        }
    }

    #[test]
    fn fahrenheit_meets_celsius_where_it_should() {
        let fahrenheit = Quantity::Temperature.unit("F").expect("listed");
        for (f, c) in [(32.0, 0.0), (68.0, 20.0), (212.0, 100.0), (-40.0, -40.0)] {
            assert!((fahrenheit.to_base(f) - c).abs() < 1e-12);
            assert!((fahrenheit.of_base(c) - f).abs() < 1e-12);
        }
    }
}
