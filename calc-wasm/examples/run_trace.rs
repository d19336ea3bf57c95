//! Writes the recording of a free spin of the course's demo motor (invented), as CSV: for traces that lessons show.
//!
//! Words after the program's name, each with a start value: kind of field `series`, seconds recorded `3`, seconds before
//! the motor is energized `0.2`, milliseconds between two lines `1`, standard deviation of the current's noise in amperes
//! `1.5`, seed `7`.

use fieldcoil_calc::physics::motor::{Feed, FreeSpinPoint};
use fieldcoil_calc::physics::motor_fit::{Field, Sheet, fit};
use fieldcoil_calc::physics::run::{Setting, run};
use fieldcoil_calc::physics::run_csv::{Recorder, run_csv};
use fieldcoil_calc::quantity::{
    Ampere, Celsius, Henry, JoulePerKelvin, KilogramSquareMetre, NewtonMetre, Ohm, Rpm, Second, Volt,
};

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number =
        |index: usize, start: f64| words.get(index).map_or(start, |word| word.parse().expect("a number"));
    let field = match words.first().map_or("series", String::as_str) {
        "series" => Field::Series,
        "permanent-magnet" => Field::PermanentMagnet,
        "shunt" => Field::Shunt { resistance: Ohm(2.0), inductance: Henry(0.05) },
        other => panic!("no field of the kind `{other}`"),
    };
    let feed = Feed {
        source: Volt(12.6),
        source_resistance: Ohm(0.006),
        lead_resistance: Ohm(0.001_5),
        brush_drop: Volt(1.0),
    };
    let sheet = Sheet {
        free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
        locked: None,
        field,
        winding: Ohm(0.012),
        inductance: Henry(0.000_05),
        inertia: KilogramSquareMetre(0.000_8),
        brush_drop: feed.brush_drop,
        windage_share: 0.5,
    };
    let setting = Setting {
        duration: Second(number(1, 3.0)),
        load: NewtonMetre(0.0),
        start_temperature: Celsius(20.0),
        heat_capacity: Some(JoulePerKelvin(300.0)),
        relative_tolerance: 1e-9,
        most_steps: 200_000,
    };
    let motor = fit(&sheet).expect("the demo motor fits").motor;
    let run = run(&feed, &motor, &setting).expect("the demo motor runs");
    let recorder = Recorder {
        interval: Second(0.001 * number(3, 1.0)),
        before: Second(number(2, 0.2)),
        current_noise: Ampere(number(4, 1.5)),
        voltage_noise: Volt(0.01),
        speed_noise: Rpm(5.0),
        seed: words.get(5).map_or(7, |word| word.parse().expect("a whole number")),
    };
    print!("{}", run_csv(&run, &recorder));
}
