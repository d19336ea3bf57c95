//! The working of `bench-verdict`.

use super::diagnosis;
use super::judge::{Side, side, state};
use crate::input::{Inputs, Measured};
use crate::measurement::conformity::Limits;
use crate::number::short;
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, State, Value, show};
use crate::unit::Quantity;

/// Longest stretch energized in a free-spin test: common practice, no source.
const LONGEST_RUN_S: f64 = 5.0;
/// Rest after a run: the manuals ask for it after cranking.
const REST_S: f64 = 120.0;
/// Settled current of small 12 V motors when no sheet is at hand: common practice, no source.
const BAND_A: Limits = Limits { least: Some(40.0), greatest: Some(100.0) };
/// Volts at the motor for which that band is meant.
const BAND_V: (f64, f64) = (9.0, 14.0);
/// How far the bench's voltage may be from the sheet's before the limits say nothing: common practice, no source.
const VOLTAGE_SHARE: f64 = 0.1;

/// The readings, and the limits at the bench's own voltage.
struct Test {
    peak: Option<Measured>,
    settled: Measured,
    volts: Measured,
    speed: Option<Measured>,
    energized: Option<Measured>,
    pinion: &'static str,
    sheet_volts: Option<f64>,
    current_limits: Limits,
    /// As on the sheet; [`Test::scaled_speed`] brings them to the bench's voltage.
    speed_limits: Limits,
    has_sheet: bool,
}

/// The state of each reading.
struct States {
    settled: State,
    speed: State,
    volts: State,
    peak: State,
    energized: State,
    pinion: State,
}

/// Judges the readings.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let test = Test::of(inputs)?;
    let states = test.states();
    let mut report = Report::of(inputs);
    answers(&mut report, &test, &states);
    steps(&mut report, &test);
    reasons(&mut report, &test, &states);
    sources(&mut report, &test);
    Ok(report)
}

impl Test {
    fn of(inputs: &Inputs) -> Result<Self, Refusal> {
        let value = |name: &str| inputs.optional(name).map(|measured| measured.value);
        let measured = |name: &str| inputs.optional(name);
        let mut problems = Vec::new();
        let mut refuse = |name: &str, sentence: String| {
            problems.extend(FieldRefusal::contradiction(inputs.field(name), sentence).problems);
        };
        let settled = measured("settled_current_a").expect("`check` refuses empty required fields");
        let peak = measured("peak_current_a");
        if let Some(peak) = peak.filter(|peak| peak.value < settled.value) {
            refuse(
                "peak_current_a",
                format!(
                    "a peak of {} is below the settled {}; the peak is the highest value, so read both again.",
                    show_a(peak.value),
                    show_a(settled.value)
                ),
            );
        }
        let pairs = [
            ("limit_current_min_a", "limit_current_max_a", Quantity::Current),
            ("limit_speed_min_rpm", "limit_speed_max_rpm", Quantity::Speed),
        ];
        let [current, speed] = pairs.map(|(least, greatest, quantity)| {
            let limits = Limits { least: value(least), greatest: value(greatest) };
            if let (Some(low), Some(high)) = (limits.least, limits.greatest)
                && low >= high
            {
                refuse(
                    least,
                    format!(
                        "the least limit {} must be below the greatest, {}; look at the sheet again.",
                        show(quantity, low, 4),
                        show(quantity, high, 4)
                    ),
                );
            }
            limits
        });
        let has_sheet = current.known() || speed.known();
        let volts = measured("terminal_voltage_v").expect("`check` refuses empty required fields");
        let in_band = volts.value >= BAND_V.0 && volts.value <= BAND_V.1;
        let no_limits = Limits { least: None, greatest: None };
        let test = Test {
            peak,
            settled,
            volts,
            speed: measured("speed_rpm"),
            energized: measured("energized_s"),
            pinion: inputs.choice("pinion"),
            sheet_volts: value("limit_voltage_v"),
            current_limits: match has_sheet {
                true => current,
                false if in_band => BAND_A,
                false => no_limits,
            },
            speed_limits: speed,
            has_sheet,
        };
        if problems.is_empty() { Ok(test) } else { Err(Refusal { problems }) }
    }

    /// The sheet's speed limits at the bench's voltage: free-spin speed goes in step with the voltage.
    fn scaled_speed(&self) -> Limits {
        let ratio = self.sheet_volts.map_or(1.0, |sheet| self.volts.value / sheet);
        Limits {
            least: self.speed_limits.least.map(|limit| limit * ratio),
            greatest: self.speed_limits.greatest.map(|limit| limit * ratio),
        }
    }

    fn volts_limits(&self) -> Limits {
        Limits {
            least: self.sheet_volts.map(|sheet| sheet * (1.0 - VOLTAGE_SHARE)),
            greatest: self.sheet_volts.map(|sheet| sheet * (1.0 + VOLTAGE_SHARE)),
        }
    }

    fn states(&self) -> States {
        let volts = state(self.volts_limits(), self.volts);
        // Limits of one voltage say nothing about readings at quite another.
        let judged = |found: State| if volts == State::Outside { State::NotJudged } else { found };
        let run_limit = Limits { least: None, greatest: Some(LONGEST_RUN_S) };
        States {
            settled: judged(state(self.current_limits, self.settled)),
            speed: self.speed.map_or(State::NotJudged, |speed| judged(state(self.scaled_speed(), speed))),
            volts,
            peak: State::NotJudged,
            energized: self.energized.map_or(State::NotJudged, |time| state(run_limit, time)),
            pinion: match self.pinion {
                "out-and-back" => State::Within,
                "stays-in" | "stays-out" => State::Outside,
                _ => State::NotJudged,
            },
        }
    }

    /// On which sides speed and current lie, when both are read and judged at a fitting voltage.
    fn sides(&self) -> Option<(Side, Side)> {
        let current = side(self.current_limits, self.settled.value)?;
        let speed = side(self.scaled_speed(), self.speed?.value)?;
        Some((speed, current))
    }
}

impl States {
    /// The motor as a whole. How long it was energized says something about the run, not about the motor.
    fn whole(&self) -> State {
        let of_motor = [self.settled, self.speed, self.volts, self.pinion];
        if self.volts == State::Outside {
            State::NotJudged
        } else if of_motor.contains(&State::Outside) {
            State::Outside
        } else if of_motor.contains(&State::TooClose) {
            State::TooClose
        } else if self.settled == State::Within {
            State::Within
        } else {
            State::NotJudged
        }
    }
}

fn answers(report: &mut Report, test: &Test, states: &States) {
    let pairs = [
        ("verdict", states.whole()),
        ("settled_current_state", states.settled),
        ("speed_state", states.speed),
        ("terminal_voltage_state", states.volts),
        ("peak_current_state", states.peak),
        ("energized_state", states.energized),
        ("pinion_state", states.pinion),
    ];
    for (name, state) in pairs {
        report.answer(name, Value::State(state));
    }
    if let Some(peak) = test.peak.filter(|_| test.settled.value > 0.0) {
        report.number("peak_ratio", peak.value / test.settled.value);
    }
    let (cause, next) = advice(test, states);
    report.answer("likely_cause", Value::Text(cause));
    report.answer("next_check", Value::Text(next));
}

/// The likely cause and the next check.
fn advice(test: &Test, states: &States) -> (String, String) {
    let advice = |cause: &str, next: &str| (cause.to_owned(), next.to_owned());
    if states.volts == State::Outside {
        let sheet = show(Quantity::Voltage, test.sheet_volts.unwrap_or(0.0), 3);
        return advice(
            "cannot be said: the limits hold at another voltage",
            &format!("set {sheet} at the motor while it runs, wait the rest time, and read again"),
        );
    }
    let row = test.sides().map(|(speed, current)| diagnosis::row(speed, current));
    match (states.whole(), row) {
        (State::TooClose, _) => advice(
            "cannot be said: a reading is nearer to a limit than the meter can tell",
            "read again on a better range or with a better meter, after the rest time",
        ),
        (_, Some(row)) if states.pinion == State::Outside => (
            format!("{}; {}", pinion_cause(test.pinion), row.cause),
            format!("solenoid, lever and drive; then {}", row.next),
        ),
        (_, None) if states.pinion == State::Outside => {
            (pinion_cause(test.pinion).to_owned(), "solenoid, lever and drive".to_owned())
        }
        (_, Some(row)) => advice(row.cause, row.next),
        (_, None) => match side(test.current_limits, test.settled.value) {
            Some(Side::InRange) => advice(
                "none seen in the current alone",
                "the speed: a free-spin test is three readings together, volts, amps and speed",
            ),
            Some(Side::Zero) => {
                advice("an open circuit", "main contact and motor terminal, then brushes and fields")
            }
            Some(_) => advice(
                "cannot be said without the speed",
                "read the speed, with the limits from the motor's sheet",
            ),
            None => advice("cannot be said: no limits are known", "find the motor's data sheet"),
        },
    }
}

fn pinion_cause(pinion: &str) -> &'static str {
    match pinion {
        "stays-in" => "the pinion did not come out: pull-in winding, plunger, lever or drive",
        _ => "the pinion did not go back: return spring, jammed drive, or a solenoid that holds on",
    }
}

fn steps(report: &mut Report, test: &Test) {
    if let Some(sheet) = test.sheet_volts {
        let volts = show(Quantity::Voltage, test.volts.value, 3);
        let sheet_words = show(Quantity::Voltage, sheet, 3);
        for (title, limit) in [
            ("Least speed at this voltage", test.speed_limits.least),
            ("Greatest speed at this voltage", test.speed_limits.greatest),
        ] {
            let Some(limit) = limit else { continue };
            report.step(
                title,
                "n₂ = n · U₂ / U",
                format!("n₂ = {} · {volts} / {sheet_words}", show(Quantity::Speed, limit, 4)),
                show(Quantity::Speed, limit * test.volts.value / sheet, 3),
            );
        }
    }
    let rows = [
        ("Settled current", Quantity::Current, Some(test.settled), test.current_limits),
        ("Speed", Quantity::Speed, test.speed, test.scaled_speed()),
        ("Volts at the motor", Quantity::Voltage, Some(test.volts), test.volts_limits()),
        (
            "Time energized",
            Quantity::Time,
            test.energized,
            Limits { least: None, greatest: Some(LONGEST_RUN_S) },
        ),
    ];
    for (title, quantity, reading, limits) in rows {
        let (Some(reading), true) = (reading, limits.known()) else { continue };
        report.step(
            title,
            "",
            comparison(quantity, reading, limits),
            state(limits, reading).words().to_owned(),
        );
    }
}

/// `40 A ≤ 62 A ± 2 A ≤ 90 A?`
fn comparison(quantity: Quantity, reading: Measured, limits: Limits) -> String {
    let mut text = String::new();
    if let Some(least) = limits.least {
        text.push_str(&format!("{} ≤ ", show(quantity, least, 3)));
    }
    text.push_str(&format!("{} {}", short(reading.value), quantity.base().symbol));
    if let Some(band) = reading.plus_minus {
        text.push_str(&format!(" ± {} {}", short(band), quantity.base().symbol));
    }
    if let Some(greatest) = limits.greatest {
        text.push_str(&format!(" ≤ {}", show(quantity, greatest, 3)));
    }
    text.push('?');
    text
}

fn reasons(report: &mut Report, test: &Test, states: &States) {
    if let Some(time) = test.energized.filter(|time| time.value > LONGEST_RUN_S) {
        report.finding(
            Level::Warning,
            format!(
                "Energized for {} s: a free-spin run ends after {} s at the latest. Let the motor cool before anything else.",
                short(time.value),
                short(LONGEST_RUN_S)
            ),
        );
    }
    if test.sides().is_some_and(|(speed, current)| speed == Side::Zero && current == Side::High) {
        report.finding(
            Level::Warning,
            "No speed and a high current: release at once, every second burns the winding.",
        );
    }
    if !test.has_sheet {
        report.finding(
            Level::Warning,
            match test.current_limits.known() {
                true => "No sheet: the settled current is held against 40 A to 100 A, the band of small 12 V motors (common practice, no source). Inside it proves little; find the motor's sheet.",
                false => "No sheet, and no common band for this voltage: nothing can be judged. Find the motor's sheet.",
            },
        );
    }
    if test.has_sheet && test.sheet_volts.is_none() {
        report.finding(
            Level::Note,
            "The sheet's test voltage was not typed; the limits are taken to hold at the voltage of this bench.",
        );
    }
    if states.whole() == State::Within && states.speed == State::NotJudged {
        report.finding(
            Level::Warning,
            "The speed was not judged. A motor with drag and a weak supply can draw the right current and turn too slowly.",
        );
    }
    if [test.settled.plus_minus, test.volts.plus_minus].contains(&None) {
        report.finding(
            Level::Note,
            "No ± was typed for every reading, so a reading just inside a limit counts as inside. Type what the meter's data sheet says.",
        );
    }
    if test.peak.is_some() {
        report.finding(
            Level::Note,
            "The peak has no limit of its own: how much of it a meter shows depends on how fast the meter reads.",
        );
    }
    report.finding(Level::Next, format!("Rest the motor for {} s before the next run.", short(REST_S)));
}

fn sources(report: &mut Report, test: &Test) {
    report.sources.push(match test.has_sheet {
        true => Source { fact: "Limits of current and speed", from: "the sheet whose values you typed" },
        false => Source { fact: "40 A to 100 A for small 12 V motors", from: "common practice, no source" },
    });
    if test.sheet_volts.is_some() {
        report.sources.push(Source {
            fact: "Free-spin speed in step with the voltage",
            from: "US Army TM 5-4310-354-14 (higher voltage, higher speed at about the same current)",
        });
        report.sources.push(Source {
            fact: "Limits hold within 10 % of the sheet's voltage",
            from: "common practice, no source",
        });
    }
    if let Some((speed, current)) = test.sides() {
        report.sources.push(match diagnosis::row(speed, current).printed {
            true => Source {
                fact: "Likely cause from speed and current together",
                from: "US Army TM 10-4320-307-24, result table of the free-spin test",
            },
            false => Source {
                fact: "Likely cause from speed and current together",
                from: "common practice, no source: the manuals' table has no such row",
            },
        });
    }
    report
        .sources
        .push(Source { fact: "At most 5 s energized, spinning free", from: "common practice, no source" });
    report.sources.push(Source {
        fact: "120 s of rest after a run",
        from: "US Army TM 5-3820-256-24-4 (after cranking; taken over for the bench)",
    });
}

fn show_a(value: f64) -> String {
    show(Quantity::Current, value, 3)
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    fn state_of(report: &Report, name: &str) -> State {
        match report.value(name) {
            Some(Value::State(state)) => *state,
            other => panic!("{name} is no state: {other:?}"),
        }
    }

    const SHEET: [(&str, &str); 5] = [
        ("limit_voltage_v", "11.5"),
        ("limit_current_min_a", "40"),
        ("limit_current_max_a", "80"),
        ("limit_speed_min_rpm", "2800"),
        ("limit_speed_max_rpm", "4200"),
    ];

    fn with_sheet(settings: &[(&'static str, &'static str)]) -> Result<Report, Refusal> {
        let mut all = SHEET.to_vec();
        all.extend(settings);
        work(&all)
    }

    #[test]
    fn a_good_motor_is_within_limits() {
        let report = with_sheet(&[]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::Within);
        assert_eq!(state_of(&report, "speed_state"), State::Within);
    }

    #[test]
    fn a_dragging_motor_is_outside_and_told_so() {
        let report = with_sheet(&[("settled_current_a", "130"), ("speed_rpm", "1900")]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::Outside);
        assert!(matches!(report.value("likely_cause"), Some(Value::Text(text)) if text.contains("drag")));
    }

    #[test]
    fn a_reading_at_the_limit_with_a_band_is_too_close_to_call() {
        let report = with_sheet(&[("settled_current_a", "79 ± 2")]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::TooClose);
    }

    #[test]
    fn another_voltage_than_the_sheets_judges_nothing() {
        let report = with_sheet(&[("terminal_voltage_v", "8.5")]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::NotJudged);
        assert_eq!(state_of(&report, "settled_current_state"), State::NotJudged);
    }

    #[test]
    fn without_a_sheet_the_common_band_is_used_and_said() {
        let report = work(&[]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::Within);
        assert!(report.findings.iter().any(|finding| finding.text.contains("common practice")));
        let at_24 = work(&[("terminal_voltage_v", "23")]).expect("worked");
        assert_eq!(state_of(&at_24, "verdict"), State::NotJudged);
    }

    #[test]
    fn readings_that_cannot_be_true_are_refused_all_at_once() {
        let refusal =
            with_sheet(&[("peak_current_a", "50"), ("limit_current_min_a", "90")]).expect_err("impossible");
        let fields: Vec<_> = refusal.problems.iter().map(|problem| problem.field.name).collect();
        assert_eq!(fields, ["peak_current_a", "limit_current_min_a"]);
    }

    #[test]
    fn a_pinion_that_stays_out_fails_a_motor_that_spins_well() {
        let report = with_sheet(&[("pinion", "stays-out")]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::Outside);
        assert!(
            matches!(report.value("next_check"), Some(Value::Text(text)) if text.starts_with("solenoid"))
        );
    }

    #[test]
    fn a_long_run_is_a_warning_about_the_run_not_the_motor() {
        let report = with_sheet(&[("energized_s", "9")]).expect("worked");
        assert_eq!(state_of(&report, "verdict"), State::Within);
        assert_eq!(state_of(&report, "energized_state"), State::Outside);
        assert!(report.findings.iter().any(|finding| finding.level == Level::Warning));
    }
}
