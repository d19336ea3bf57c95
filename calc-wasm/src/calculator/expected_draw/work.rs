//! The working of `expected-draw`.

use super::run;
use super::sheet::{self, Winding};
use crate::calculator::{Kind, show_a, show_ohm, show_v};
use crate::input::Inputs;
use crate::number::{figures, short};
use crate::physics::conductor::{Metal, temperature_ratio};
use crate::physics::motor::{self, Feed};
use crate::quantity::{Ampere, Celsius, Ohm, Volt};
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, show};
use crate::unit::Quantity;

/// Works the draw.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let feed = Feed {
        source: Volt(inputs.number("source_voltage_v")),
        source_resistance: Ohm(inputs.number("source_resistance_ohm")),
        lead_resistance: Ohm(inputs.number("lead_resistance_ohm") + contact(inputs).0),
        brush_drop: Volt(inputs.number("brush_drop_v")),
    };
    let points = sheet::points(inputs);
    let mut problems = points.as_ref().err().map_or_else(Vec::new, |refusal| refusal.problems.clone());
    if feed.brush_drop >= feed.source {
        problems.extend(
            FieldRefusal::contradiction(
                inputs.field("brush_drop_v"),
                format!(
                    "a drop of {} at the brushes leaves nothing of a source of {}; type less than the source.",
                    show_v(feed.brush_drop),
                    show_v(feed.source)
                ),
            )
            .problems,
        );
    }
    let (true, Ok(points)) = (problems.is_empty(), points) else { return Err(Refusal { problems }) };
    let mut report = Report::of(inputs);
    let both = winding_resistance(&mut report, inputs);
    let winding = both.at_work;
    let locked = locked(&mut report, inputs, &feed, winding);
    match points.free {
        Some(free) => {
            let fitted = sheet::fit_motor(&mut report, inputs, &feed, both, &free, points.locked)?;
            run::settle_and_run(&mut report, inputs, &feed, &fitted, locked);
        }
        None => without_sheet(&mut report, inputs, &feed, winding, locked, points.locked.is_some()),
    }
    warn_of_holding(&mut report, inputs, &feed, winding, locked);
    report.sources.push(Metal::Copper.temperature_source());
    report.sources.push(Source {
        fact: "Locked draw: source less brush drop, over all resistances in series",
        from: "Ohm's law and Kirchhoff's voltage law",
    });
    Ok(report)
}

/// The main contact, when it is stated apart from the leads.
pub(super) fn contact(inputs: &Inputs) -> Ohm {
    Ohm(inputs.optional("contact_resistance_ohm").map_or(0.0, |measured| measured.value))
}

/// A number with a start value whose box was emptied: the start value.
pub(super) fn or_start(inputs: &Inputs, name: &str) -> f64 {
    let start = match &inputs.field(name).kind {
        Kind::Number(number) => number.start,
        Kind::Choice(_) | Kind::Text(_) => None,
    };
    inputs.optional(name).map(|measured| measured.value).or(start).unwrap_or(0.0)
}

fn without_sheet(
    report: &mut Report,
    inputs: &Inputs,
    feed: &Feed,
    winding: Ohm,
    locked: Ampere,
    has_locked_line: bool,
) {
    report.finding(
        Level::Note,
        "Without the free-spin line of the motor's sheet only the first instant can be worked: once the motor turns, its back-EMF holds the current down.",
    );
    if has_locked_line {
        report.finding(
            Level::Next,
            "The sheet's locked line alone says nothing of the speed; fill in the free-spin line too, and the motor's run is worked from both.",
        );
    }
    let read = ["read_peak_a", "read_settled_a", "read_speed_rpm"];
    if read.iter().any(|name| inputs.optional(name).is_some()) {
        report.finding(
            Level::Next,
            "What was read at the bench is compared once the free-spin line of the sheet is filled in.",
        );
    }
    let outside = feed.source_resistance + feed.lead_resistance;
    let share = figures(100.0 * (winding / (winding + outside)), 2);
    report.sense = format!(
        "The winding has {share} % of all resistance in series, so it takes {share} % of what the brushes leave: {}.",
        show(Quantity::Voltage, (winding * locked).0, 3)
    );
    if outside.0 > 1e-6 {
        report.sense.push_str(&format!(
            " With nothing but source and leads {} would flow: the draw has to stay below that.",
            show(Quantity::Current, (feed.source / outside).0, 3)
        ));
    }
}

fn warn_of_holding(report: &mut Report, inputs: &Inputs, feed: &Feed, winding: Ohm, locked: Ampere) {
    let power = (motor::terminal_voltage(feed, locked) * locked).0;
    let start = inputs.number("working_temperature_c");
    let (capacity, limit) =
        (inputs.optional("winding_heat_capacity_j_per_k"), inputs.optional("winding_limit_c"));
    let in_winding = winding.0 * locked.0 * locked.0;
    let time = match (capacity, limit) {
        (Some(capacity), Some(limit)) if limit.value > start && in_winding > 0.0 => {
            let seconds = capacity.value * (limit.value - start) / in_winding;
            format!(
                " Held, the winding would be at {} within {}.",
                show(Quantity::Temperature, limit.value, 3),
                show(Quantity::Time, seconds, 2)
            )
        }
        _ => String::new(),
    };
    report.finding(
        Level::Warning,
        format!(
            "Never hold a motor to see this current: {} would turn to heat.{time} A meter shows less than the first instant, because the current falls faster than it reads.",
            show(Quantity::Power, power, 3)
        ),
    );
}

/// The winding's resistance at work, with its two lines of working.
fn winding_resistance(report: &mut Report, inputs: &Inputs) -> Winding {
    let measured = Ohm(inputs.number("winding_resistance_ohm"));
    let cold = Celsius(inputs.number("winding_temperature_c"));
    let hot = Celsius(inputs.number("working_temperature_c"));
    let at_20 = measured * temperature_ratio(Metal::Copper, cold, Celsius(20.0));
    let at_work = measured * temperature_ratio(Metal::Copper, cold, hot);
    report.step(
        "Winding at 20 °C",
        "R₂₀ = R₁ · (234.5 + 20) / (234.5 + T₁)",
        format!("R₂₀ = {} · 254.5 / (234.5 + {})", show_ohm(measured), short(cold.0)),
        show_ohm(at_20),
    );
    report.step(
        "Winding at work",
        "R_w = R₁ · (234.5 + T₂) / (234.5 + T₁)",
        format!("R_w = {} · (234.5 + {}) / (234.5 + {})", show_ohm(measured), short(hot.0), short(cold.0)),
        show_ohm(at_work),
    );
    report.number("resistance_at_20c_ohm", at_20.0);
    report.number("resistance_at_work_ohm", at_work.0);
    Winding { at_20, at_work }
}

fn locked(report: &mut Report, inputs: &Inputs, feed: &Feed, winding: Ohm) -> Ampere {
    let current = motor::locked_current(feed, winding);
    let terminal = motor::terminal_voltage(feed, current);
    let leads = Ohm(inputs.number("lead_resistance_ohm"));
    let contact = contact(inputs);
    // The contact stands in the formula when it was typed.
    let (letter, number) = match contact.0 > 0.0 {
        true => (" + R_c", format!(" + {}", show_ohm(contact))),
        false => ("", String::new()),
    };
    report.step(
        "First instant",
        &format!("I_L = (U₀ − U_b) / (R_s + R_l{letter} + R_w)"),
        format!(
            "I_L = ({} − {}) / ({} + {}{number} + {})",
            show_v(feed.source),
            show_v(feed.brush_drop),
            show_ohm(feed.source_resistance),
            show_ohm(leads),
            show_ohm(winding)
        ),
        show_a(current),
    );
    report.step(
        "Volts at the motor in the first instant",
        &format!("U_L = U₀ − I_L · (R_s + R_l{letter})"),
        format!(
            "U_L = {} − {} · ({} + {}{number})",
            show_v(feed.source),
            show_a(current),
            show_ohm(feed.source_resistance),
            show_ohm(leads)
        ),
        show_v(terminal),
    );
    report.number("locked_current_a", current.0);
    report.number("locked_terminal_v", terminal.0);
    current
}
