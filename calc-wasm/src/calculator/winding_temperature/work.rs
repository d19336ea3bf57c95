//! The working of `winding-temperature`.

use crate::calculator::show_ohm;
use crate::chart::{Axis, Chart, Mark, Series};
use crate::input::{Entry, Inputs};
use crate::measurement::conformity::Limits;
use crate::number::{figures, short};
use crate::physics::winding::{ThermalClass, WindingPoint, resistance_at, rise, temperature_by_resistance};
use crate::quantity::{Celsius, Ohm};
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, State, Value, show};
use crate::unit::Quantity;

/// No winding resists at all after this (common practice, no source): a higher result is a reading error.
const NO_WINDING: Celsius = Celsius(400.0);

/// From here on a winding of unknown class is at the limit of what most insulation bears: class F of IEC 60085.
const UNKNOWN_CLASS_LIMIT: Celsius = Celsius(155.0);

/// The highest mean temperature, found by resistance, of a winding of this class.
///
/// # Source
/// From memory: IEC 60034-1, rise by resistance over air of 40 °C: A 60 K, E 75 K, B 80 K, F 105 K, H 125 K. What is
/// left to the class temperature is kept for the hottest spot.
fn mean_limit(class: ThermalClass) -> Celsius {
    let rise = match class {
        ThermalClass::A => 60.0,
        ThermalClass::E => 75.0,
        ThermalClass::B => 80.0,
        ThermalClass::F => 105.0,
        ThermalClass::H => 125.0,
    };
    Celsius(40.0 + rise)
}

/// Works the temperature.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let wire = Wire::of(inputs);
    let cold = WindingPoint {
        resistance: Ohm(inputs.number("cold_resistance_ohm")),
        temperature: Celsius(inputs.number("cold_temperature_c")),
    };
    let now = Ohm(inputs.number("hot_resistance_ohm"));
    let hot = WindingPoint { resistance: now, temperature: temperature_by_resistance(wire.zero, &cold, now) };
    if hot.temperature > NO_WINDING {
        return Err(FieldRefusal::contradiction(
            inputs.field("hot_resistance_ohm"),
            format!(
                "{} against {} cold would be {}, and no winding survives {}: one of the readings is wrong. Check the units, and that both were taken between the same points with firm clips.",
                show_ohm(now),
                show_ohm(cold.resistance),
                show_c(hot.temperature),
                show_c(NO_WINDING)
            ),
        ));
    }
    let mut report = Report::of(inputs);
    temperature(&mut report, &wire, &cold, &hot);
    over_the_room(&mut report, inputs, &wire, &cold, &hot);
    against_class(&mut report, inputs, hot.temperature);
    way_back(&mut report, inputs, &wire, &cold);
    say_what_it_means(&mut report, &cold, &hot);
    too_hot(&mut report, inputs, hot.temperature);
    report.sense = sense(&cold, &hot);
    report.charts.push(chart(inputs, &wire, &cold, &hot));
    report.sources.push(wire.source);
    Ok(report)
}

/// The constant and where it comes from.
struct Wire {
    zero: Celsius,
    source: Source,
}

impl Wire {
    fn of(inputs: &Inputs) -> Wire {
        if let Entry::Other(zero) = *inputs.entry("metal_constant") {
            let source = Source { fact: "The constant of the wire", from: "typed by you" };
            return Wire { zero: Celsius(zero), source };
        }
        match inputs.choice("metal_constant") {
            "copper-234.5" => Wire {
                zero: Celsius(234.5),
                source: Source {
                    fact: "Annealed copper, resistance in step with 234.5 °C + temperature",
                    from: "IEC 60028 (0.00393 per kelvin at 20 °C); for windings from memory: IEEE 112",
                },
            },
            "aluminium-225" => Wire {
                zero: Celsius(225.0),
                source: Source {
                    fact: "Aluminium winding, resistance in step with 225 °C + temperature",
                    from: "from memory: IEC 60034-1, clause 8.6.2",
                },
            },
            _ => Wire {
                zero: Celsius(235.0),
                source: Source {
                    fact: "Copper winding, resistance in step with 235 °C + temperature",
                    from: "from memory: IEC 60034-1, clause 8.6.2",
                },
            },
        }
    }

    fn k(&self) -> String {
        short(self.zero.0)
    }
}

fn temperature(report: &mut Report, wire: &Wire, cold: &WindingPoint, hot: &WindingPoint) {
    let change = 100.0 * (hot.resistance / cold.resistance - 1.0);
    report.step(
        "Change of resistance",
        "c = 100 · (R₂ / R₁ − 1)",
        format!("c = 100 · ({} / {} − 1)", show_ohm(hot.resistance), show_ohm(cold.resistance)),
        format!("{} %", figures(change, 3)),
    );
    report.step(
        "Mean temperature of the winding",
        "T₂ = (R₂ / R₁) · (k + T₁) − k",
        format!(
            "T₂ = ({} / {}) · ({} + {}) − {}",
            show_ohm(hot.resistance),
            show_ohm(cold.resistance),
            wire.k(),
            short(cold.temperature.0),
            wire.k()
        ),
        show_c(hot.temperature),
    );
    report.number("hot_temperature_c", hot.temperature.0);
    report.number("change_percent", change);
}

fn over_the_room(report: &mut Report, inputs: &Inputs, wire: &Wire, cold: &WindingPoint, hot: &WindingPoint) {
    let Some(room) = inputs.optional("room_temperature_c").map(|measured| Celsius(measured.value)) else {
        return;
    };
    let over = rise(hot.temperature, room);
    report.step(
        "Rise over the room",
        "θ = (R₂ / R₁) · (k + T₁) − (k + T_a)",
        format!(
            "θ = ({} / {}) · ({} + {}) − ({} + {})",
            show_ohm(hot.resistance),
            show_ohm(cold.resistance),
            wire.k(),
            short(cold.temperature.0),
            wire.k(),
            short(room.0)
        ),
        show(Quantity::TemperatureRise, over.0, 3),
    );
    report.number("rise_k", over.0);
    if over.0 < 0.0 {
        report.finding(
            Level::Next,
            "The winding comes out colder than the room. A motor that has worked is not: let it stand longer before the cold reading, and read both the same way.",
        );
    }
    report.sources.push(Source {
        fact: "Rise by resistance, with the room's temperature at the end of the test",
        from: "from memory: IEC 60034-1, clause 8.6.2",
    });
}

fn against_class(report: &mut Report, inputs: &Inputs, hot: Celsius) {
    let class = match inputs.choice("insulation_class") {
        "A" => ThermalClass::A,
        "E" => ThermalClass::E,
        "B" => ThermalClass::B,
        "F" => ThermalClass::F,
        "H" => ThermalClass::H,
        _ => {
            report.answer("class_state", Value::State(State::NotJudged));
            return;
        }
    };
    let (class_limit, limit) = (class.limit(), mean_limit(class));
    report.number("class_limit_c", class_limit.0);
    report.number("mean_limit_c", limit.0);
    report.step(
        "Limit of the mean by resistance",
        "T_m = 40 + θ_m",
        format!("T_m = 40 °C + {}", show(Quantity::TemperatureRise, limit.0 - 40.0, 3)),
        show_c(limit),
    );
    let limits = Limits { least: None, greatest: Some(limit.0) };
    let state = report.judge("class_state", limits, hot.0, inputs.uncertainty("hot_temperature_c"));
    if state == State::Outside {
        report.finding(
            Level::Warning,
            format!(
                "A mean of {} is above {}, the most that its class allows by resistance: let the motor cool, and shorten the runs. Insulation that was once too hot has lost life that does not come back.",
                show_c(hot),
                show_c(limit)
            ),
        );
    }
    report.finding(
        Level::Note,
        format!(
            "Resistance gives the mean of the whole winding. The class temperature, {}, is for its hottest spot, which is above the mean: so the mean is held against {}. After a short hard run the hottest spot is further above it: stay well below.",
            show_c(class_limit),
            show_c(limit)
        ),
    );
    report.sources.push(Source {
        fact: "Thermal classes: A 105 °C, E 120 °C, B 130 °C, F 155 °C, H 180 °C, at the hottest spot",
        from: "IEC 60085",
    });
    report.sources.push(Source {
        fact: "Rise of the mean by resistance over air of 40 °C: A 60 K, E 75 K, B 80 K, F 105 K, H 125 K",
        from: "from memory: IEC 60034-1",
    });
}

fn way_back(report: &mut Report, inputs: &Inputs, wire: &Wire, cold: &WindingPoint) {
    let Some(asked) = inputs.optional("asked_temperature_c").map(|measured| Celsius(measured.value)) else {
        return;
    };
    let expected = resistance_at(wire.zero, cold, asked);
    report.step(
        "Resistance to expect",
        "R₃ = R₁ · (k + T₃) / (k + T₁)",
        format!(
            "R₃ = {} · ({} + {}) / ({} + {})",
            show_ohm(cold.resistance),
            wire.k(),
            short(asked.0),
            wire.k(),
            short(cold.temperature.0)
        ),
        show_ohm(expected),
    );
    report.number("expected_resistance_ohm", expected.0);
}

fn say_what_it_means(report: &mut Report, cold: &WindingPoint, hot: &WindingPoint) {
    report.finding(
        Level::Warning,
        "Both readings: power off, source disconnected, rotor standing still. The case of a motor that was just held or run long is hot enough to burn the skin.",
    );
    report.finding(
        Level::Next,
        "The winding cools from the moment of switching off. Read it every few seconds, note the time of each reading, draw the curve and take it back to the moment of switching off (from memory: IEC 60034-1, clause 8.6.2, and common practice). One late reading gives a temperature that is too low.",
    );
    if cold.resistance < Ohm(1.0) {
        report.finding(
            Level::Next,
            "A winding of milliohms needs four wires: send a known current through two and read the volts with the other two, on the winding itself. An ohmmeter with two leads reads mostly its leads and its clips.",
        );
        report.finding(
            Level::Note,
            "Through brushes the reading holds their contact as well, which does not follow this line and changes from one rotor position to the next: mark the position, and turn back to it for the hot reading.",
        );
    }
    if hot.resistance < cold.resistance {
        report.finding(
            Level::Next,
            "The hot resistance is below the cold one. If the winding really was warmer, turns are shorted, the clips sat elsewhere or the meter was read wrong.",
        );
    }
}

/// What to do about a winding that is too hot whatever its class.
fn too_hot(report: &mut Report, inputs: &Inputs, hot: Celsius) {
    if hot > Celsius(250.0) {
        report.finding(
            Level::Warning,
            format!(
                "No usual insulation survives {}. Stop. Suspect the readings first: a loose clip or a worn brush adds resistance that is no heat.",
                show_c(hot)
            ),
        );
    } else if hot >= UNKNOWN_CLASS_LIMIT && inputs.choice("insulation_class") == "none" {
        report.finding(
            Level::Warning,
            format!(
                "{} in the mean is at the limit of most insulation, and its hottest spot is hotter. Stop, and let the motor cool before anything else.",
                show_c(hot)
            ),
        );
    }
}

/// The rule of thumb, four tenths of a per cent for a kelvin, beside the result.
fn sense(cold: &WindingPoint, hot: &WindingPoint) -> String {
    let change = 100.0 * (hot.resistance / cold.resistance - 1.0);
    let rough = change / 0.4;
    format!(
        "Copper and aluminium gain about 0.4 % for every kelvin near room temperature (rule of thumb), so {} % is roughly {}: that makes about {}, against {} by the formula. A coarse check, and coarser when the cold reading was far from 20 °C.",
        figures(change, 2),
        show(Quantity::TemperatureRise, rough, 2),
        show(Quantity::Temperature, cold.temperature.0 + rough, 2),
        show(Quantity::Temperature, hot.temperature.0, 3)
    )
}

fn chart(inputs: &Inputs, wire: &Wire, cold: &WindingPoint, hot: &WindingPoint) -> Chart {
    let asked = inputs.optional("asked_temperature_c").map(|measured| Celsius(measured.value));
    let temperatures = [Some(cold.temperature), Some(hot.temperature), asked, Some(Celsius(20.0))];
    let given = || temperatures.iter().flatten().map(|temperature| temperature.0);
    let low = given().fold(f64::INFINITY, f64::min).max(-wire.zero.0);
    let high = given().fold(f64::NEG_INFINITY, f64::max) + 10.0;
    let on_line = |celsius: f64| (celsius, resistance_at(wire.zero, cold, Celsius(celsius)).0);
    let mut series = vec![
        Series {
            name: "resistance of this winding".to_owned(),
            mark: Mark::Line,
            points: vec![on_line(low), on_line(high)],
        },
        Series {
            name: "cold and hot reading".to_owned(),
            mark: Mark::Crosses,
            points: [cold, hot].map(|point| (point.temperature.0, point.resistance.0)).to_vec(),
        },
    ];
    if let Some(asked) = asked {
        let (celsius, ohms) = on_line(asked.0);
        series.push(Series {
            name: "to expect".to_owned(),
            mark: Mark::Dots,
            points: vec![(celsius, 0.0), (celsius, ohms), (low, ohms)],
        });
    }
    Chart {
        title: "Resistance against temperature".to_owned(),
        x: Axis::new("Temperature of the winding", Quantity::Temperature, ""),
        y: Axis::new(
            "Resistance",
            Quantity::Resistance,
            Quantity::Resistance.reading_unit(hot.resistance.0).symbol,
        ),
        series,
        bands: Vec::new(),
    }
}

fn show_c(value: Celsius) -> String {
    show(Quantity::Temperature, value.0, 4)
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    fn number(report: &Report, name: &str) -> f64 {
        report.number_of(name).unwrap_or_else(|| panic!("{name} is given"))
    }

    #[test]
    fn the_resistance_to_expect_at_the_temperature_found_is_the_hot_reading() {
        for constant in ["copper-235", "copper-234.5", "aluminium-225", "300 °C"] {
            for hot in ["0.0101", "0.012", "0.0137", "0.0166", "0.021"] {
                let settings = [("metal_constant", constant), ("hot_resistance_ohm", hot)];
                let there = number(&work(&settings).expect("worked"), "hot_temperature_c").to_string();
                let asked = [settings[0], settings[1], ("asked_temperature_c", &there)];
                let back = number(&work(&asked).expect("worked"), "expected_resistance_ohm");
                let hot: f64 = hot.parse().expect("a number");
                assert!((back / hot - 1.0).abs() < 1e-12, "{constant}, {hot}: {back}");
            }
        }
    }

    #[test]
    fn the_temperature_at_the_resistance_expected_is_the_one_asked() {
        for asked in ["-40", "0", "20", "75", "155", "240"] {
            let settings = [("metal_constant", "copper-234.5"), ("asked_temperature_c", asked)];
            let there = number(&work(&settings).expect("worked"), "expected_resistance_ohm");
            let hot = format!("{there:e}");
            let back = work(&[("metal_constant", "copper-234.5"), ("hot_resistance_ohm", &hot)]);
            let back = number(&back.expect("worked"), "hot_temperature_c");
            let asked: f64 = asked.parse().expect("a number");
            assert!((back - asked).abs() < 1e-10, "{asked}: {back}");
        }
    }

    #[test]
    fn the_rise_is_from_the_room_and_not_from_the_cold_reading() {
        let report = work(&[("metal_constant", "copper-234.5")]).expect("worked");
        assert!((number(&report, "rise_k") - 58.625).abs() < 1e-9);
        let report = work(&[("room_temperature_c", "")]).expect("worked");
        assert_eq!(report.number_of("rise_k"), None);
    }

    #[test]
    fn each_class_is_held_against_its_own_limit() {
        let hot = [("hot_resistance_ohm", "0.0177")];
        let found = number(&work(&hot).expect("worked"), "hot_temperature_c");
        assert!((found - 141.125).abs() < 1e-9);
        let state = |class| {
            let report = work(&[hot[0], ("insulation_class", class)]).expect("worked");
            report.value("class_state").cloned()
        };
        for (class, expected) in [
            ("none", State::NotJudged),
            ("A", State::Outside),
            ("E", State::Outside),
            ("B", State::Outside),
            ("F", State::Within),
            ("H", State::Within),
        ] {
            assert_eq!(state(class), Some(Value::State(expected)), "class {class}");
        }
    }

    #[test]
    fn the_mean_is_judged_with_room_for_the_hottest_spot() {
        // 15.85 / 12 · 255 − 235 = 101.8 °C: below the 105 °C of class A, above the 100 °C of its mean.
        let report = work(&[("hot_resistance_ohm", "0.01585"), ("insulation_class", "A")]).expect("worked");
        assert_eq!(report.value("class_state"), Some(&Value::State(State::Outside)));
        assert_eq!((number(&report, "class_limit_c"), number(&report, "mean_limit_c")), (105.0, 100.0));
    }

    #[test]
    fn a_winding_that_none_survives_is_refused() {
        for hot in ["0.15", "0.06", "0.030"] {
            let refusal = work(&[("hot_resistance_ohm", hot)]).expect_err("above 400 °C").to_string();
            assert!(refusal.contains("no winding survives") && refusal.contains("units"), "{refusal}");
        }
    }

    #[test]
    fn a_hot_winding_of_unknown_class_is_stopped() {
        let stops = |hot: &str, class: &str| {
            let report = work(&[("hot_resistance_ohm", hot), ("insulation_class", class)]).expect("worked");
            let stop = |finding: &crate::report::Finding| {
                finding.level == Level::Warning && finding.text.contains("Stop")
            };
            report.findings.iter().any(stop)
        };
        // 154 °C, 156 °C, 275 °C.
        assert!(!stops("0.01831", "none"));
        assert!(stops("0.0184", "none") && !stops("0.0184", "H"));
        assert!(stops("0.024", "none") && stops("0.024", "H"));
    }

    #[test]
    fn the_chart_has_both_readings_on_its_line() {
        let report = work(&[("asked_temperature_c", "180")]).expect("worked");
        let [line, measured, asked] = &report.charts[0].series[..] else { panic!("three series") };
        let [(x1, y1), (x2, y2)] = line.points[..] else { panic!("a line") };
        for (x, y) in measured.points.iter().chain([&asked.points[1]]) {
            assert!((y1 + (y2 - y1) * (x - x1) / (x2 - x1) - y).abs() < 1e-12, "{x} °C, {y} Ω");
        }
    }
}
