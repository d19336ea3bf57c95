//! Values that others printed, and what the calculations give for them.

use std::collections::BTreeMap;

use anyhow::{Context, Result, bail, ensure};
use fieldcoil_calc::calculator::Calculator;
use fieldcoil_calc::catalog;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::measurement::conformity::Limits;
use fieldcoil_calc::measurement::distribution::student_factor;
use fieldcoil_calc::physics::adiabatic;
use fieldcoil_calc::physics::battery::{Battery, LoadPoint};
use fieldcoil_calc::physics::conductor::{Metal, gauge_area, gauge_diameter_mm, temperature_ratio};
use fieldcoil_calc::physics::drive;
use fieldcoil_calc::physics::motor::{
    Feed, FreeSpinPoint, back_emf, damping_ratio, locked_current, mechanical_time_constant, natural_frequency,
};
use fieldcoil_calc::physics::solenoid::resistance_by_drop;
use fieldcoil_calc::quantity::{Ampere, Celsius, Ohm, Rpm, Second, SquareMillimetre, Volt, Watt};
use fieldcoil_calc::report::{Report, Value};
use fieldcoil_calc::unit::Quantity;
use serde::Deserialize;

use crate::close::Tolerance;
use crate::repository;

mod motor_run;

/// One published value: of a calculator's output, or of a law beneath it.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Case {
    /// A name of its own.
    pub id: String,
    /// What the value is.
    pub what: String,
    /// The calculator that gives it.
    pub calculator: Option<String>,
    /// What is typed into the calculator's fresh form.
    #[serde(default)]
    pub set: BTreeMap<String, String>,
    /// Which output is compared.
    pub output: Option<String>,
    /// What of the output is compared: its value, or what is said about its uncertainty.
    #[serde(default)]
    pub part: Part,
    /// What the output is multiplied by before that; `note` says why.
    #[serde(default = "one")]
    pub times: f64,
    /// Words of which each has to stand in the output, in place of a value.
    #[serde(default)]
    pub words: Vec<String>,
    /// The law that gives it, in place of a calculator.
    pub law: Option<String>,
    /// What the law is given.
    #[serde(default)]
    pub given: BTreeMap<String, toml::Value>,
    /// The value as printed.
    pub value: Option<Expected>,
    /// Its unit as printed.
    #[serde(default)]
    pub unit: String,
    /// How near is near enough.
    #[serde(default = "rounding")]
    pub tolerance: Tolerance,
    /// How far the value may be trusted.
    pub standing: Standing,
    /// Who printed it.
    pub source: String,
    /// What a reader should know besides.
    pub note: Option<String>,
}

/// What of an output is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
pub enum Part {
    /// The number, the words or the state.
    #[default]
    #[serde(rename = "value")]
    Value,
    /// Its standard uncertainty.
    #[serde(rename = "standard uncertainty")]
    StandardUncertainty,
    /// The coverage factor of its expanded uncertainty.
    #[serde(rename = "coverage factor")]
    CoverageFactor,
}

/// A printed value.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum Expected {
    /// A number.
    Number(f64),
    /// Words, such as a verdict's.
    Words(String),
}

/// How far a printed value may be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// The figure was seen in the text named.
    Read,
    /// It follows from the stated inputs by arithmetic.
    Computed,
    /// No text was found.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Many do it so, nobody prints it.
    #[serde(rename = "common practice")]
    CommonPractice,
}

impl Standing {
    /// Does a difference fail a test?
    pub fn binds(self) -> bool {
        matches!(self, Standing::Read | Standing::Computed)
    }
}

#[derive(Deserialize)]
struct File {
    case: Vec<Case>,
}

/// Every case of `tests/published`, sorted by file.
pub fn all() -> Result<Vec<Case>> {
    let mut cases = Vec::new();
    for path in repository::files("tests/published", "toml") {
        let file: File = toml::from_str(&repository::read(&path)).with_context(|| path.clone())?;
        cases.extend(file.case);
    }
    Ok(cases)
}

impl Case {
    /// The calculator of a case that has one.
    pub fn calculator(&self) -> Option<&'static Calculator> {
        catalog::find(self.calculator.as_deref()?)
    }

    /// Compares; the error says what was found in place of what was printed.
    pub fn check(&self) -> Result<()> {
        match (&self.calculator, &self.law) {
            (Some(_), None) => self.check_report(&self.report()?),
            (None, Some(name)) => {
                self.check_number(law(name, &Given(&self.given)).with_context(|| format!("law {name}"))?)
            }
            _ => bail!("a case names either a calculator or a law"),
        }
    }

    /// What the calculator gives.
    pub fn report(&self) -> Result<Report> {
        let calculator = self.calculator().context("no calculator of this name")?;
        let mut inputs = Inputs::starting(calculator);
        for (name, text) in &self.set {
            ensure!(calculator.field(name).is_some(), "no field `{name}`");
            inputs.set(name, text).map_err(|refusal| anyhow::anyhow!("{refusal}"))?;
        }
        calculator.evaluate(&inputs).map_err(|refusal| anyhow::anyhow!("{refusal}"))
    }

    fn check_report(&self, report: &Report) -> Result<()> {
        let output = self.output.as_ref().context("no output is compared")?;
        match report.value(output) {
            Some(Value::Number(value, uncertainty)) => self.check_number(match self.part {
                Part::Value => *value,
                Part::StandardUncertainty => uncertainty.context("no uncertainty")?.standard,
                Part::CoverageFactor => uncertainty.context("no uncertainty")?.factor,
            }),
            Some(Value::Text(words)) => self.check_words(words),
            Some(Value::State(state)) => self.check_words(state.words()),
            None => bail!("no output `{output}` was given"),
        }
    }

    fn check_words(&self, got: &str) -> Result<()> {
        for words in &self.words {
            ensure!(got.contains(words.as_str()), "“{words}” does not stand in “{got}”");
        }
        let met = match &self.value {
            Some(value) => *value == Expected::Words(got.to_owned()),
            None => !self.words.is_empty(),
        };
        ensure!(met, "got “{got}”, not {:?}", self.value);
        Ok(())
    }

    fn check_number(&self, base: f64) -> Result<()> {
        let Some(Expected::Number(expected)) = self.value else { bail!("a number was given") };
        let got = in_unit(base, &self.unit) * self.times;
        let part = 100.0 * (got - expected) / expected;
        ensure!(
            self.tolerance.holds(got, expected),
            "got {got} {unit}, printed {expected} {unit}: {part:+.3} %",
            unit = self.unit
        );
        Ok(())
    }
}

/// A number of a base unit in a printed unit.
fn in_unit(base: f64, unit: &str) -> f64 {
    match unit {
        "in" => base / 25.4,
        "in²" => base / 645.16,
        "Ω/1000 ft" => base * 304.8,
        "Ω/km" | "mΩ/m" | "ms" => base * 1000.0,
        _ => base,
    }
}

/// What a law is given, by name.
struct Given<'a>(&'a BTreeMap<String, toml::Value>);

impl Given<'_> {
    fn number(&self, name: &str) -> Result<f64> {
        let value = self.0.get(name).with_context(|| format!("`{name}` is not given"))?;
        value.as_float().or(value.as_integer().map(|whole| whole as f64)).context("not a number")
    }

    /// Probability that a normal quantity lies inside its limits.
    fn conformance(&self) -> Result<f64> {
        let limits = Limits { least: self.number("least").ok(), greatest: self.number("greatest").ok() };
        ensure!(limits.known(), "no limit is given");
        Ok(limits.conformance(self.number("value")?, self.number("standard")?))
    }

    fn gauge(&self) -> Result<i32> {
        let value = self.0.get("gauge").and_then(toml::Value::as_integer).context("no `gauge`")?;
        Ok(i32::try_from(value)?)
    }

    /// A reading of volts and amps, by the word before both.
    fn load_point(&self, which: &str) -> Result<LoadPoint> {
        let number = |unit: &str| self.number(&format!("{which}_{unit}"));
        Ok(LoadPoint { voltage: Volt(number("voltage_v")?), current: Ampere(number("current_a")?) })
    }

    /// Current of a source into a load that is nothing but resistance, and the load.
    fn load_current(&self) -> Result<(Ampere, Ohm)> {
        let one = Battery {
            open_circuit: Volt(self.number("source_v")?),
            resistance: Ohm(self.number("source_ohm")?),
        };
        let bank = one.bank(self.number("in_series").unwrap_or(1.0), 1.0);
        let feed = Feed {
            source: bank.open_circuit,
            source_resistance: bank.resistance,
            lead_resistance: Ohm(self.number("leads_ohm").unwrap_or(0.0)),
            brush_drop: Volt(0.0),
        };
        let load = Ohm(self.number("load_ohm")?);
        Ok((locked_current(&feed, load), load))
    }

    fn metal(&self) -> Result<Metal> {
        match self.0.get("metal").and_then(toml::Value::as_str) {
            Some("copper") => Ok(Metal::Copper),
            Some("aluminium") => Ok(Metal::Aluminium),
            _ => bail!("no `metal`"),
        }
    }
}

fn law(name: &str, given: &Given<'_>) -> Result<f64> {
    Ok(match name {
        "gauge-diameter" => gauge_diameter_mm(given.gauge()?),
        "gauge-area" => gauge_area(given.gauge()?).0,
        "gauge-circular-mils" => {
            let mils = gauge_diameter_mm(given.gauge()?) / 0.0254;
            mils * mils
        }
        "resistivity" => given.metal()?.resistivity().0,
        "conductivity" => 1.0 / given.metal()?.resistivity().0,
        "resistance-ratio" => temperature_ratio(
            given.metal()?,
            Celsius(given.number("from_c")?),
            Celsius(given.number("to_c")?),
        ),
        "temperature-coefficient" => coefficient(given.metal()?, given.number("at_c")?),
        "temperature-at-ratio" => {
            let from = given.number("from_c")?;
            from + (given.number("ratio")? - 1.0) / coefficient(given.metal()?, from)
        }
        "back-emf" => {
            let (voltage, current) = (Volt(given.number("voltage_v")?), Ampere(given.number("current_a")?));
            let point = FreeSpinPoint { voltage, current, speed: Rpm(0.0) };
            back_emf(&point, Ohm(given.number("resistance_ohm")?), Volt(0.0)).0
        }
        "mechanical-time-constant" => {
            let motor = motor_run::motor(given)?;
            mechanical_time_constant(motor.winding, motor.inertia, motor_run::constant(given)?).0
        }
        "natural-frequency" => {
            let motor = motor_run::motor(given)?;
            natural_frequency(motor_run::constant(given)?, motor.inductance, motor.inertia).0
        }
        "damping-ratio" => {
            let motor = motor_run::motor(given)?;
            damping_ratio(motor.winding, motor.inductance, motor.inertia, motor_run::constant(given)?)
        }
        "run-current" => motor_run::at(given)?.current.0,
        "run-speed" => motor_run::at(given)?.speed.0,
        "run-peak-current" => motor_run::run(given)?.peak().current.0,
        "run-peak-time" => motor_run::run(given)?.peak().time.0,
        "run-charge" => motor_run::charge(given)?,
        "run-coil-voltage" => motor_run::coil_voltage(given)?,
        "run-time-to-current" => motor_run::time_to_current(given)?,
        "run-overshoot" => motor_run::overshoot(given)?,
        "power" => (Volt(given.number("voltage_v")?) * Ampere(given.number("current_a")?)).0,
        "inside-of-two-loads" => {
            let battery = Battery::of_two_loads(given.load_point("light")?, given.load_point("heavy")?);
            battery.context("two different currents")?.resistance.0
        }
        "load-current" => given.load_current()?.0.0,
        "load-voltage" => {
            let (current, load) = given.load_current()?;
            (load * current).0
        }
        "heat-inside" => {
            let inside = Ohm(given.number("resistance_ohm")?);
            let battery = Battery { open_circuit: Volt(0.0), resistance: inside };
            battery.lost_power(Ampere(given.number("current_a")?)).0
        }
        "resistance-by-drop" => {
            resistance_by_drop(Volt(given.number("voltage_v")?), Ampere(given.number("current_a")?)).0
        }
        "coverage-factor" => student_factor(given.number("percent")? / 100.0, given.number("freedom")?),
        "conformance" => given.conformance()?,
        "outside" => 1.0 - given.conformance()?,
        _ => return drive_law(name, given),
    })
}

/// Laws of warming, gears, torque and power.
fn drive_law(name: &str, given: &Given<'_>) -> Result<f64> {
    Ok(match name {
        "adiabatic-constant" => adiabatic::constant_as05_per_mm2(given.metal()?),
        "adiabatic-current" => {
            let area = SquareMillimetre(given.number("area_mm2")?);
            let (from, to) = (Celsius(given.number("from_c")?), Celsius(given.number("to_c")?));
            let time = Second(given.number("time_s")?);
            adiabatic::current_between(given.metal()?, area, time, from, to).0
        }
        "torque-of-power" => {
            drive::torque_of_power(Watt(given.number("power_w")?), Rpm(given.number("speed_rpm")?)).0
        }
        "motor-constant" => {
            drive::motor_constant(Volt(given.number("emf_v")?), Rpm(given.number("speed_rpm")?)).0
        }
        "horsepower-in-watts" => base_of(Quantity::Power, "hp", given)?,
        "pound-feet-in-newton-metres" => base_of(Quantity::Torque, "lb·ft", given)?,
        _ => bail!("no such law"),
    })
}

fn base_of(quantity: Quantity, symbol: &str, given: &Given<'_>) -> Result<f64> {
    let unit = quantity.unit(symbol).context("a unit")?;
    Ok(unit.to_base(given.number("value")?))
}

/// The rise of the straight line over one kelvin, as a part of the value at `at`.
fn coefficient(metal: Metal, at: f64) -> f64 {
    temperature_ratio(metal, Celsius(at), Celsius(at + 1.0)) - 1.0
}

fn one() -> f64 {
    1.0
}

fn rounding() -> Tolerance {
    Tolerance::Rounding
}
