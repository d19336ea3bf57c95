//! What may be concluded about solenoid coils: against a sheet, with an ohmmeter, and safely.

use super::work::{Found, HOLD_IN, PULL_IN};
use crate::calculator::{show_ohm, show_v};
use crate::input::Inputs;
use crate::measurement::conformity::Limits;
use crate::number::{figures, short};
use crate::physics::solenoid::{Coils, hidden_turns, ohmmeter_error};
use crate::quantity::{Ampere, Ohm, Volt};
use crate::report::{Level, Report, Source, State, Value, show};
use crate::unit::Quantity;

/// No coil of a starting motor's solenoid draws more (common practice, no source).
const MOST_OF_A_COIL: Ampere = Ampere(500.0);

/// Holds each coil's resistance at 20 °C against the sheet's.
pub(super) fn against_the_sheet(report: &mut Report, inputs: &Inputs) {
    let allowed = inputs.number("sheet_tolerance_percent");
    for (coil, sheet, measured, state) in [
        (&PULL_IN, "sheet_pull_in_ohm", "pull_in_20c_ohm", "pull_in_state"),
        (&HOLD_IN, "sheet_hold_in_ohm", "hold_in_20c_ohm", "hold_in_state"),
    ] {
        let (Some(sheet), Some(found)) = (inputs.optional(sheet), report.number_of(measured)) else {
            report.answer(state, Value::State(State::NotJudged));
            continue;
        };
        let (sheet, found) = (Ohm(sheet.value), Ohm(found));
        let off = 100.0 * (found / sheet - 1.0);
        report.step(
            &format!("The {} against the sheet", coil.name),
            "d = 100 · (R₂₀ / R_sheet − 1)",
            format!("d = 100 · ({} / {} − 1)", show_ohm(found), show_ohm(sheet)),
            format!("{} %, allowed ± {} %", figures(off, 2), short(allowed)),
        );
        let room = allowed / 100.0 * sheet.0;
        let limits = Limits { least: Some(sheet.0 - room), greatest: Some(sheet.0 + room) };
        let verdict = report.judge(state, limits, found.0, inputs.uncertainty(measured));
        if verdict == State::Outside {
            let meaning = if off < 0.0 {
                "too little resistance. Check the temperature of the coil first, and the reading; if both are right, turns are probably shorted. Such a coil draws more, pulls less and burns its wire and the start switch"
            } else {
                "too much resistance. Check the temperature of the coil first, and the reading; if both are right, probably a joint is bad, a strand broken or a terminal loose. It draws less and pulls less"
            };
            report.finding(Level::Warning, format!("The {} has {meaning}.", coil.name));
        }
    }
}

/// Whether the coils can be what they are taken for: one exchanged for the other, or a short.
pub(super) fn plausible(report: &mut Report, at_s: Volt, coils: &Coils) {
    if coils.pull_in > coils.hold_in {
        report.finding(
            Level::Warning,
            format!(
                "The pull-in coil comes out at {}, more than the hold-in coil's {}: the two were probably exchanged. Look which terminal is 50 (S) and which is 45 (M), and measure again.",
                show_ohm(coils.pull_in),
                show_ohm(coils.hold_in)
            ),
        );
    }
    for (coil, amps) in [(&PULL_IN, coils.pull_in_current(at_s)), (&HOLD_IN, coils.hold_in_current(at_s))] {
        if amps > MOST_OF_A_COIL {
            report.finding(
                Level::Warning,
                format!(
                    "The {} would draw {}, as no coil of a solenoid does: it is a short or a wrong reading. Do not put it on a battery; check the unit of its ohms, and measure again.",
                    coil.name,
                    show(Quantity::Current, amps.0, 3)
                ),
            );
        }
    }
}

/// What an ohmmeter with two leads can tell of the coils that were given in ohms.
pub(super) fn by_ohmmeter(report: &mut Report, inputs: &Inputs, found: [&Found; 2]) {
    let (step, leads) = (Ohm(inputs.number("meter_step_ohm")), Ohm(inputs.number("meter_leads_ohm")));
    let [pull_in, hold_in] = found;
    for (coil, found) in [(&PULL_IN, pull_in), (&HOLD_IN, hold_in)] {
        if found.by_ohmmeter() && found.ohms < leads * 5.0 {
            report.finding(
                Level::Next,
                format!(
                    "The {}, {}, is less than five times the ohmmeter's leads, {}. If the reading still holds the leads, subtract them before you type it: else a coil with shorted turns looks good.",
                    coil.name,
                    show_ohm(found.ohms),
                    show_ohm(leads)
                ),
            );
        }
    }
    if hold_in.by_ohmmeter() {
        report.number("hidden_hold_turns_percent", 100.0 * hidden_turns(hold_in.ohms, step));
    }
    if pull_in.by_ohmmeter() {
        pull_in_by_ohmmeter(report, pull_in.ohms, leads, step);
    }
    if !pull_in.by_ohmmeter() && !hold_in.by_ohmmeter() {
        return;
    }
    report.sources.push(Source {
        fact: "Ohmmeter: leads add to the reading, and it is one step uncertain; turns of equal length, so that resistance goes with their number",
        from: "arithmetic; the steps and leads of hand-held meters are common practice, no source",
    });
}

/// Why an ohmmeter with two leads cannot judge the pull-in coil.
fn pull_in_by_ohmmeter(report: &mut Report, coil: Ohm, leads: Ohm, step: Ohm) {
    let error = 100.0 * ohmmeter_error(coil, leads, step);
    let hidden = 100.0 * hidden_turns(coil, step);
    report.step(
        "How far an ohmmeter may be off on the pull-in coil",
        "e = 100 · (R_t + r) / R_p",
        format!("e = 100 · ({} + {}) / {}", show_ohm(leads), show_ohm(step), show_ohm(coil)),
        format!("{} %", figures(error, 2)),
    );
    report.step(
        "Turns that one step of its display may hide",
        "x = 100 · r / R_p",
        format!("x = 100 · {} / {}", show_ohm(step), show_ohm(coil)),
        if step >= coil { "all of them".to_owned() } else { format!("{} %", figures(hidden, 2)) },
    );
    report.number("meter_error_percent", error);
    report.number("hidden_turns_percent", hidden);
    if error <= 5.0 {
        return;
    }
    report.finding(
        Level::Note,
        format!(
            "An ordinary ohmmeter cannot judge this pull-in coil: its leads and the last figure of its display are up to {} % of the coil. Even with the leads taken off, {} % of the turns could be shorted within one step of the display.",
            figures(error, 2),
            figures(hidden, 2)
        ),
    );
    report.finding(
        Level::Next,
        "Measure the pull-in coil by current and drop: a few amps from a supply with a current limit, the ammeter in line, the voltmeter's tips on the coil's own terminals inside the supply's clamps. Then neither leads nor clamps count. Type volts and amps above.",
    );
}

/// The currents held against what manuals print for real solenoids.
pub(super) fn sense(at_s: Volt, coils: &Coils) -> String {
    let (pull_in, hold_in) = (coils.pull_in_current(at_s), coils.hold_in_current(at_s));
    let ratio = coils.hold_in / coils.pull_in;
    let order = if ratio < 1.5 {
        "Here the pull-in coil is hardly stronger than the hold-in coil: look whether the two were exchanged"
    } else {
        "Here it is so"
    };
    format!(
        "The pull-in coil has thick wire and little resistance, the hold-in coil thin wire and several times as much: {} against {}, {} times. {order}. One manual prints 69 A to 97 A for both and 13 A to 19 A for the hold-in coil of 12 V motors, tested at 10 V (US Army TM 5-2420-230-24-2); at {} this solenoid takes {} and {}.",
        show_ohm(coils.pull_in),
        show_ohm(coils.hold_in),
        figures(ratio, 2),
        show_v(at_s),
        show(Quantity::Current, (pull_in + hold_in).0, 3),
        show(Quantity::Current, hold_in.0, 3)
    )
}

/// What failing coils do, and what can hurt.
pub(super) fn cautions(report: &mut Report) {
    report.finding(
        Level::Warning,
        "The pinion jumps out with force when the coils draw: fingers, tools and sleeves out of the drive opening, the motor clamped, its lead off terminal 45 (M) and insulated so that it cannot spin.",
    );
    report.finding(
        Level::Warning,
        "Energize the coils for seconds only, then let them cool: the pull-in coil is made for a moment and burns when it stays on. Make and break with the switch, never with a clip: coils spark when they are opened.",
    );
    report.finding(
        Level::Note,
        "What failing coils do: with the hold-in coil open the solenoid chatters, pulling in and dropping out again; with the pull-in coil open it does nothing or hums; with shorted turns it pulls weakly and gets hot. Low volts at terminal 50 (S) look the same: measure them first, while the coils draw.",
    );
    report.finding(
        Level::Note,
        "When the switch opens, current runs for an instant through both coils in series, against each other, so that their pulls cancel and the plunger lets go. A pull-in coil with shorted turns no longer cancels: the plunger can stay in.",
    );
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Report {
        CALCULATOR.work(settings).expect("worked")
    }

    #[test]
    fn a_meter_with_leads_of_its_own_is_far_off_and_says_what_to_do() {
        let report = work(&[]);
        let error = report.number_of("meter_error_percent").expect("given");
        assert!((error - 200.0).abs() < 1e-9, "{error}");
        let hidden = report.number_of("hidden_turns_percent").expect("given");
        assert!((hidden - 100.0 / 1.5).abs() < 1e-9, "{hidden}");
        assert!(report.findings.iter().any(|finding| finding.text.contains("by current and drop")));
        let by_drop = work(&[("pull_in_drop_v", "1.5"), ("pull_in_test_a", "10")]);
        assert!(!by_drop.findings.iter().any(|finding| finding.text.contains("Type volts and amps")));
        assert!(!by_drop.findings.iter().any(|finding| finding.text.contains("pull-in coil, 0.15")));
        assert_eq!(by_drop.number_of("meter_error_percent"), None);
        assert!(by_drop.number_of("hidden_hold_turns_percent").is_some());
    }

    #[test]
    fn a_meter_for_milliohms_is_not_blamed() {
        let report = work(&[("meter_step_ohm", "0.0001"), ("meter_leads_ohm", "0")]);
        assert!(!report.findings.iter().any(|finding| finding.text.contains("cannot judge")));
    }

    #[test]
    fn each_coil_is_held_against_its_own_sheet_at_20_degrees() {
        let sheet = [("sheet_pull_in_ohm", "0.15"), ("sheet_hold_in_ohm", "0.75")];
        let states = |report: &Report| {
            ["pull_in_state", "hold_in_state"].map(|name| report.value(name).cloned().expect("given"))
        };
        let report = work(&sheet);
        assert_eq!(states(&report), [Value::State(State::Within), Value::State(State::Outside)]);
        assert!(report.findings.iter().any(|finding| finding.text.contains("turns are probably shorted")));
        // The same ohms read at 60 °C are 13.6 % less at 20 °C: now the pull-in coil is outside as well.
        let warm = work(&[sheet[0], sheet[1], ("coil_temperature_c", "60")]);
        assert_eq!(states(&warm), [Value::State(State::Outside), Value::State(State::Outside)]);
        assert_eq!(states(&work(&[])), [Value::State(State::NotJudged), Value::State(State::NotJudged)]);
    }

    #[test]
    fn exchanged_coils_make_no_sense() {
        let report = work(&[("pull_in_resistance_ohm", "0.62"), ("hold_in_resistance_ohm", "0.15")]);
        assert!(report.sense.contains("exchanged"), "{}", report.sense);
        assert!(warns(&report, "probably exchanged") && !warns(&work(&[]), "exchanged"));
    }

    fn warns(report: &Report, words: &str) -> bool {
        let found = |finding: &crate::report::Finding| {
            finding.level == Level::Warning && finding.text.contains(words)
        };
        report.findings.iter().any(found)
    }

    #[test]
    fn a_short_is_no_coil() {
        let report = work(&[("pull_in_resistance_ohm", "0.001"), ("start_terminal_v", "100")]);
        assert!(warns(&report, "a short or a wrong reading") && !warns(&work(&[]), "a short"));
    }

    #[test]
    fn ohms_of_the_order_of_the_leads_ask_whether_the_leads_are_off() {
        let asks = |settings: &[(&str, &str)]| {
            let report = work(settings);
            let of = |coil: &str| {
                let about = |text: &str| text.contains("five times") && text.contains(coil);
                report.findings.iter().any(|finding| about(&finding.text))
            };
            ["The pull-in coil", "The hold-in coil"].map(of)
        };
        assert_eq!(asks(&[]), [true, true]);
        assert_eq!(asks(&[("meter_leads_ohm", "0.1")]), [true, false]);
        assert_eq!(asks(&[("hold_in_drop_v", "1.24"), ("hold_in_test_a", "2")]), [true, false]);
    }
}
