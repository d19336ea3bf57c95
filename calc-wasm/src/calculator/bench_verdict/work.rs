//! The working of `bench-verdict`.

mod steps;

use super::diagnosis;
use super::judge::{Judged, Side};
use crate::input::{Inputs, Measured};
use crate::measurement::conformity::{Decision, Limits};
use crate::measurement::propagation::Uncertainty;
use crate::number::short;
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, State, Value, chance_words, show};
use crate::unit::Quantity;

/// Longest stretch energized in a free-spin test: common practice, no source.
const LONGEST_RUN_S: f64 = 5.0;
/// Rest after a run, and the time energized that one such rest is for: the manuals ask for it after cranking.
const REST_S: f64 = 120.0;
const REST_AFTER_EACH_S: f64 = 30.0;
/// Settled current of small 12 V motors when no sheet is at hand: common practice, no source.
const BAND_A: Limits = Limits { least: Some(40.0), greatest: Some(100.0) };
/// Volts at the motor for which that band is meant.
const BAND_V: (f64, f64) = (9.0, 14.0);
/// So many times the sheet's greatest speed is a danger: common practice, no source.
const OVERSPEED: f64 = 1.3;
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
    /// As on the sheet, at the sheet's voltage.
    speed_limits: Limits,
    has_sheet: bool,
    /// What is known about the readings, and about the speed at the sheet's voltage.
    settled_uncertainty: Option<Uncertainty>,
    volts_uncertainty: Option<Uncertainty>,
    energized_uncertainty: Option<Uncertainty>,
    speed_uncertainty: Option<Uncertainty>,
}

/// The decision on each reading.
struct States {
    settled: Decision,
    speed: Decision,
    volts: Decision,
    energized: Decision,
    pinion: Decision,
    /// Do the limits come from a sheet? A common band can fail a motor, and can pass none.
    by_sheet: bool,
}

/// What is said of a reading that is not held against anything.
const NOT_JUDGED: Decision = Decision { state: State::NotJudged, conformance: 1.0 };

/// Judges the readings.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let test = Test::of(inputs)?;
    let states = test.states();
    let mut report = Report::of(inputs);
    answers(&mut report, &test, &states);
    steps::steps(&mut report, &test);
    report.sense = steps::sense(&test);
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
            settled_uncertainty: inputs.uncertainty_of_reading("settled_current_a"),
            volts_uncertainty: inputs.uncertainty_of_reading("terminal_voltage_v"),
            energized_uncertainty: inputs.uncertainty_of_reading("energized_s"),
            speed_uncertainty: match value("limit_voltage_v") {
                Some(_) => inputs.uncertainty("speed_at_sheet_voltage_rpm"),
                None => inputs.uncertainty_of_reading("speed_rpm"),
            },
        };
        if problems.is_empty() { Ok(test) } else { Err(Refusal { problems }) }
    }

    /// The speed as it would be at the sheet's voltage: free-spin speed goes in step with the voltage.
    fn speed_at_sheet(&self) -> Option<f64> {
        Some(self.speed?.value * self.sheet_volts.map_or(1.0, |sheet| sheet / self.volts.value))
    }

    /// The speed as read, and the sheet's greatest as it stands on the sheet.
    fn speed_at_bench(&self) -> Option<(f64, Option<f64>)> {
        Some((self.speed?.value, self.speed_limits.greatest))
    }

    fn settled(&self) -> Judged {
        Judged {
            value: self.settled.value,
            uncertainty: self.settled_uncertainty,
            limits: self.current_limits,
        }
    }

    fn speed(&self) -> Option<Judged> {
        let value = self.speed_at_sheet()?;
        Some(Judged { value, uncertainty: self.speed_uncertainty, limits: self.speed_limits })
    }

    fn volts(&self) -> Judged {
        let limit = |share: f64| self.sheet_volts.map(|sheet| sheet * share);
        Judged {
            value: self.volts.value,
            uncertainty: self.volts_uncertainty,
            limits: Limits { least: limit(1.0 - VOLTAGE_SHARE), greatest: limit(1.0 + VOLTAGE_SHARE) },
        }
    }

    fn energized(&self) -> Option<Judged> {
        Some(Judged {
            value: self.energized?.value,
            uncertainty: self.energized_uncertainty,
            limits: Limits { least: None, greatest: Some(LONGEST_RUN_S) },
        })
    }

    /// Limits of one voltage say nothing about readings at quite another.
    fn fits_the_sheet(&self) -> bool {
        self.volts().decide().state != State::Outside
    }

    fn states(&self) -> States {
        let judged = |judged: Option<Judged>| match judged {
            Some(judged) if self.fits_the_sheet() => judged.decide(),
            _ => NOT_JUDGED,
        };
        let certain =
            |state: State| Decision { state, conformance: if state == State::Outside { 0.0 } else { 1.0 } };
        States {
            settled: judged(Some(self.settled())),
            speed: judged(self.speed()),
            volts: self.volts().decide(),
            energized: self.energized().map_or(NOT_JUDGED, |time| time.decide()),
            pinion: certain(match self.pinion {
                "out-and-back" => State::Within,
                "stays-in" | "stays-out" => State::Outside,
                _ => State::NotJudged,
            }),
            by_sheet: self.has_sheet,
        }
    }

    /// On which sides speed and current lie, when both are read and judged at a fitting voltage.
    fn sides(&self) -> Option<(Side, Side)> {
        let pair = (self.speed()?.side()?, self.settled().side()?);
        self.fits_the_sheet().then_some(pair)
    }

    /// Rest owed: one rest for each begun stretch energized.
    fn rest_s(&self) -> f64 {
        let time = self.energized.map_or(0.0, |time| time.value);
        REST_S * (time / REST_AFTER_EACH_S).ceil().max(1.0)
    }
}

impl States {
    /// What decides on the motor. How long it was energized says something about the run, not about the motor.
    fn of_motor(&self) -> [Decision; 4] {
        [self.settled, self.speed, self.volts, self.pinion]
    }

    /// The motor as a whole.
    fn whole(&self) -> State {
        let any = |state: State| self.of_motor().iter().any(|decision| decision.state == state);
        if self.volts.state == State::Outside {
            State::NotJudged
        } else if any(State::Outside) {
            State::Outside
        } else if any(State::TooClose) {
            State::TooClose
        } else if self.settled.state == State::Within && self.by_sheet {
            State::Within
        } else {
            State::NotJudged
        }
    }

    /// Probability that every judged reading truly lies inside its limits, the readings taken as independent.
    fn conformance(&self) -> f64 {
        self.of_motor().iter().map(|decision| decision.conformance).product()
    }
}

fn answers(report: &mut Report, test: &Test, states: &States) {
    let whole = states.whole();
    let pairs = [
        ("verdict", whole),
        ("settled_current_state", states.settled.state),
        ("speed_state", states.speed.state),
        ("terminal_voltage_state", states.volts.state),
        ("peak_current_state", State::NotJudged),
        ("energized_state", states.energized.state),
        ("pinion_state", states.pinion.state),
    ];
    for (name, state) in pairs {
        report.answer(name, Value::State(state));
    }
    let risk = match whole {
        State::Within => Some(1.0 - states.conformance()),
        State::Outside => Some(states.conformance()),
        State::TooClose | State::NotJudged => None,
    };
    if let Some(risk) = risk.filter(|_| test.settled_uncertainty.is_some()) {
        report.number("wrong_verdict_percent", 100.0 * risk.clamp(0.0, 1.0));
    }
    if let (Some(speed), Some(_)) = (test.speed_at_sheet(), test.sheet_volts) {
        report.number("speed_at_sheet_voltage_rpm", speed);
    }
    if let Some(peak) = test.peak.filter(|_| test.settled.value > 0.0) {
        report.number("peak_ratio", peak.value / test.settled.value);
    }
    report.number("rest_s", test.rest_s());
    let (cause, next) = advice(test, whole);
    report.answer("likely_cause", Value::Text(cause));
    report.answer("next_check", Value::Text(next));
}

/// The likely cause and the next check.
fn advice(test: &Test, whole: State) -> (String, String) {
    let advice = |cause: &str, next: &str| (cause.to_owned(), next.to_owned());
    if !test.fits_the_sheet() {
        let sheet = show(Quantity::Voltage, test.sheet_volts.unwrap_or(0.0), 3);
        return advice(
            "cannot be said: the limits hold at another voltage",
            &format!("set {sheet} at the motor while it runs, wait the rest time, and read again"),
        );
    }
    let row = test.sides().map(|(speed, current)| diagnosis::row(speed, current));
    let pinion_fails = matches!(test.pinion, "stays-in" | "stays-out");
    match (whole, row) {
        (State::TooClose, _) => advice(
            "cannot be said: a reading is nearer to a limit than the meter can tell",
            "read again on a better range or with a better meter, after the rest time",
        ),
        (_, Some(row)) if pinion_fails => (
            format!("{}; {}", pinion_cause(test.pinion), row.words()),
            format!("solenoid, lever and drive; then {}", row.first_check()),
        ),
        (_, None) if pinion_fails => {
            (pinion_cause(test.pinion).to_owned(), "solenoid, lever and drive".to_owned())
        }
        (_, Some(row)) => (row.words(), row.first_check().to_owned()),
        (_, None) => match test.settled().side() {
            Some(Side::InRange) => advice(
                "none seen in the current alone",
                "speed and volts with their limits from the motor's sheet: a free-spin test is three readings together",
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
    let above = |value: f64, limit: Option<f64>, times: f64| limit.is_some_and(|limit| value > times * limit);
    if above(test.volts.value, test.sheet_volts, 1.0 + VOLTAGE_SHARE)
        || test.speed_at_bench().is_some_and(|(speed, limit)| above(speed, limit, OVERSPEED))
    {
        report.finding(
            Level::Warning,
            "Faster than this motor is tested for: do not energize it again so. An armature that turns too fast can throw its windings. Look at the supply's volts and at the field.",
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
    if states.whole() == State::TooClose {
        report.finding(
            Level::Note,
            format!(
                "Too close to call: the chance that the motor's readings truly lie inside their limits is {}.",
                chance_words(states.conformance())
            ),
        );
    }
    if states.whole() == State::Within && states.speed.state == State::NotJudged {
        report.finding(
            Level::Warning,
            "The speed was not judged. A motor with drag and a weak supply can draw the right current and turn too slowly.",
        );
    }
    if test.settled.spread.is_none() || test.volts.spread.is_none() {
        report.finding(
            Level::Note,
            "Not every reading has a ±, so a reading just inside a limit counts as inside. Type what the meter's data sheet says.",
        );
    }
    if test.peak.is_some() {
        report.finding(
            Level::Note,
            "The peak has no limit of its own: how much of it a meter shows depends on how fast the meter reads.",
        );
    }
    report.finding(
        Level::Next,
        format!(
            "Rest the motor for {} s before the next run. Then: motor clamped, drive end clear of everybody, eyes protected, current made and broken at the switch, a few seconds only; the maker's data come first.",
            short(test.rest_s())
        ),
    );
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
    if test.settled_uncertainty.is_some() {
        report.sources.push(Source {
            fact: "Inside or outside only when clear of the limit by the expanded uncertainty",
            from: "ISO 14253-1; JCGM 106:2012, 8.3",
        });
    }
    report.sources.push(Source {
        fact: "120 s of rest for each begun 30 s energized",
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
        // A common band passes no motor.
        assert_eq!(state_of(&report, "verdict"), State::NotJudged);
        assert_eq!(state_of(&report, "settled_current_state"), State::Within);
        assert!(report.findings.iter().any(|finding| finding.text.contains("common practice")));
        let much = work(&[("settled_current_a", "180")]).expect("worked");
        assert_eq!(state_of(&much, "verdict"), State::Outside);
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
