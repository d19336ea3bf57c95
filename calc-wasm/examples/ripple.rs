//! What `trace-reading` gives for a file, as JSON, so that another program can be held against it:
//! `ripple FILE [FIELD=VALUE]…`. The milliseconds it took go to the error stream.

use std::process::ExitCode;
use std::time::Instant;

use fieldcoil_calc::calculator::trace_reading::CALCULATOR;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::report::Value;

fn main() -> ExitCode {
    match work() {
        Ok(json) => {
            println!("{json}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn work() -> Result<String, String> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("which file?")?;
    let text = std::fs::read_to_string(&path).map_err(|why| format!("{path}: {why}"))?;
    let mut inputs = Inputs::starting(&CALCULATOR);
    inputs.set("trace", &text).map_err(|why| why.to_string())?;
    for argument in arguments {
        let (field, value) = argument.split_once('=').ok_or("a field is given as FIELD=VALUE")?;
        if CALCULATOR.field(field).is_none() {
            return Err(format!("no field `{field}`"));
        }
        inputs.set(field, value).map_err(|why| why.to_string())?;
    }
    let start = Instant::now();
    let report = CALCULATOR.evaluate(&inputs).map_err(|why| why.to_string())?;
    eprintln!("{:.1} ms", start.elapsed().as_secs_f64() * 1000.0);
    let numbers: Vec<String> = report
        .answers
        .iter()
        .filter_map(|answer| match answer.value {
            Value::Number(value, _) => Some(format!("\"{}\": {value:?}", answer.output.name)),
            _ => None,
        })
        .collect();
    Ok(format!("{{{}}}", numbers.join(", ")))
}
