//! Circuits that are asked for on the standard input, for scripts that work them out in another way.
//!
//! A line for each device, its words parted by blanks, and after the last one of a circuit the word `solve`:
//! `source PLUS MINUS VOLTS OHMS`, `resistance FROM TO OHMS`, or
//! `motor PLUS MINUS series|permanent-magnet WINDING BRUSH_VOLTS SHEET_VOLTS SHEET_AMPS SHEET_RPM WINDAGE_SHARE LOAD`.
//! The answer, a line for each circuit: the volts of each node (`nan` where nothing joins it), `;`, the amperes of each
//! device, `;`, the turns in a minute of each motor; or `trouble` and what it is.

use std::io::{BufRead, Write};
use std::process::ExitCode;

use fieldcoil_calc::circuit::{Device, Field, MotorLaw, MotorSheet, Operating, solve};
use fieldcoil_calc::physics::motor::FreeSpinPoint;
use fieldcoil_calc::quantity::{Ampere, NewtonMetre, Ohm, Rpm, Volt};

fn main() -> ExitCode {
    match work() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn work() -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    let mut devices = Vec::new();
    for (at, line) in std::io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|why| why.to_string())?;
        let words: Vec<&str> = line.split_whitespace().collect();
        if words == ["solve"] {
            let answer = match solve(&devices) {
                Ok(found) => written(&found),
                Err(trouble) => format!("trouble {trouble}"),
            };
            writeln!(out, "{answer}").map_err(|why| why.to_string())?;
            devices.clear();
        } else if !words.is_empty() {
            devices.push(device(&words).map_err(|why| format!("line {}: {why}", at + 1))?);
        }
    }
    Ok(())
}

fn device(words: &[&str]) -> Result<Device, String> {
    let node = |word: &str| word.parse::<usize>().map_err(|_| format!("`{word}` is no node"));
    let number = |word: &str| word.parse::<f64>().map_err(|_| format!("`{word}` is no number"));
    Ok(match *words {
        ["source", plus, minus, volts, ohms] => Device::Source {
            plus: node(plus)?,
            minus: node(minus)?,
            open_circuit: Volt(number(volts)?),
            internal: Ohm(number(ohms)?),
        },
        ["resistance", from, to, ohms] => {
            Device::Resistance { from: node(from)?, to: node(to)?, value: Ohm(number(ohms)?) }
        }
        ["motor", plus, minus, field, winding, brushes, volts, amps, rpm, windage, load] => {
            let sheet = MotorSheet {
                field: match field {
                    "series" => Field::Series,
                    "permanent-magnet" => Field::PermanentMagnet,
                    other => return Err(format!("no field of the kind `{other}`")),
                },
                winding: Ohm(number(winding)?),
                winding_at_work: None,
                brush_drop: Volt(number(brushes)?),
                free: FreeSpinPoint {
                    voltage: Volt(number(volts)?),
                    current: Ampere(number(amps)?),
                    speed: Rpm(number(rpm)?),
                },
                locked: None,
                windage_share: number(windage)?,
                load: NewtonMetre(number(load)?),
            };
            let law = MotorLaw::of(&sheet).map_err(|problem| format!("no such motor: {problem:?}"))?;
            Device::Motor { plus: node(plus)?, minus: node(minus)?, law }
        }
        _ => return Err(format!("`{}` is no device", words.join(" "))),
    })
}

fn written(found: &Operating) -> String {
    let volts: Vec<String> =
        found.node.iter().map(|volts| format!("{:e}", volts.map_or(f64::NAN, |volts| volts.0))).collect();
    let amps: Vec<String> = found.device.iter().map(|through| format!("{:e}", through.current.0)).collect();
    let turns: Vec<String> = found
        .device
        .iter()
        .filter_map(|through| through.speed)
        .map(|speed| format!("{:e}", speed.0))
        .collect();
    format!("{} ; {} ; {}", volts.join(" "), amps.join(" "), turns.join(" "))
}
