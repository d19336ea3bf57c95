//! A run as a recorder would write it: lines of time, current, voltage and speed, with the noise of its inputs.

use super::run::{Moment, Run};
use crate::number::to_places;
use crate::quantity::{Ampere, Rpm, Second, Volt};

/// How a recorder looks at a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recorder {
    /// Time between two lines.
    pub interval: Second,
    /// How long it records before the motor is energized.
    pub before: Second,
    /// Standard deviation of the current's noise.
    pub current_noise: Ampere,
    /// Standard deviation of the voltage's noise.
    pub voltage_noise: Volt,
    /// Standard deviation of the speed's noise.
    pub speed_noise: Rpm,
    /// Where the noise begins: the same seed gives the same lines.
    pub seed: u64,
}

/// The recording: a line of headings, then `time_s,current_a,voltage_v,speed_rpm`, the voltage at the motor's terminals.
pub fn run_csv(run: &Run, recorder: &Recorder) -> String {
    let mut noise = Noise(recorder.seed);
    let mut text = String::from("time_s,current_a,voltage_v,speed_rpm\n");
    let whole = recorder.before.0 + run.duration().0;
    let lines = (whole / recorder.interval.0 + 1e-9) as usize;
    for line in 0..=lines {
        let time = line as f64 * recorder.interval.0;
        let (current, volts, speed) = true_values(run, time - recorder.before.0);
        let values = [
            (time, 6),
            (current + recorder.current_noise.0 * noise.next(), 3),
            (volts + recorder.voltage_noise.0 * noise.next(), 4),
            (speed + recorder.speed_noise.0 * noise.next(), 1),
        ];
        let cells = values.map(|(value, places)| to_places(value, places).replace('−', "-"));
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

/// Current, terminal voltage and speed (rpm), so many seconds after the motor was energized; nothing at all before.
fn true_values(run: &Run, since: f64) -> (f64, f64, f64) {
    if since < 0.0 {
        return (0.0, 0.0, 0.0);
    }
    let Moment { current, terminal, speed, .. } = run.at(Second(since));
    (current.0, terminal.0, Rpm::from(speed).0)
}

/// Noise that is nearly normal: the sum of twelve even numbers from 0 to 1, less 6, has a standard deviation of 1.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }

    /// Steele, Lea and Flood, *Fast splittable pseudorandom number generators*, 2014: SplitMix64.
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::motor::{Drag, Excitation, Feed, Motor};
    use crate::physics::run::{Setting, run};
    use crate::quantity::{Celsius, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm};

    fn a_run() -> Run {
        let feed = Feed {
            source: Volt(12.0),
            source_resistance: Ohm(0.006),
            lead_resistance: Ohm(0.0015),
            brush_drop: Volt(1.0),
        };
        let motor = Motor {
            excitation: Excitation::PermanentMagnet { constant: NewtonMetrePerAmpere(0.012) },
            winding: Ohm(0.012),
            inductance: Henry(0.000_1),
            inertia: KilogramSquareMetre(0.000_8),
            drag: Drag { steady: NewtonMetre(0.3), viscous_nms: 0.0, windage_nms2: 0.0 },
        };
        let setting = Setting {
            duration: Second(1.0),
            load: NewtonMetre(0.0),
            start_temperature: Celsius(20.0),
            heat_capacity: None,
            relative_tolerance: 1e-8,
            most_steps: 20_000,
        };
        run(&feed, &motor, &setting).expect("smooth")
    }

    fn recorder() -> Recorder {
        Recorder {
            interval: Second(0.001),
            before: Second(0.1),
            current_noise: Ampere(2.0),
            voltage_noise: Volt(0.02),
            speed_noise: Rpm(5.0),
            seed: 7,
        }
    }

    #[test]
    fn the_noise_is_as_large_as_stated_and_around_the_true_value() {
        let run = a_run();
        let text = run_csv(&run, &recorder());
        let off: Vec<f64> = text
            .lines()
            .skip(1)
            .map(|line| {
                let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().expect("a number")).collect();
                cells[1] - true_values(&run, cells[0] - 0.1).0
            })
            .collect();
        assert_eq!(off.len(), 1101);
        let mean = off.iter().sum::<f64>() / off.len() as f64;
        let variance = off.iter().map(|part| (part - mean) * (part - mean)).sum::<f64>() / off.len() as f64;
        assert!(mean.abs() < 0.2 && (variance / 4.0 - 1.0).abs() < 0.15, "{mean} {variance}");
    }

    #[test]
    fn the_same_seed_gives_the_same_lines_and_another_one_others() {
        let run = a_run();
        assert_eq!(run_csv(&run, &recorder()), run_csv(&run, &recorder()));
        assert_ne!(run_csv(&run, &recorder()), run_csv(&run, &Recorder { seed: 8, ..recorder() }));
    }
}
