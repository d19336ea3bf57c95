//! Readings that cannot be true: one table of rules, each with its reason in words.
//!
//! A reading's part is told by its name, as the worksheets of a course name them: `settled_current_a`, `peak_current_a`,
//! `terminal_voltage_v`, `speed_rpm`, `torque_nm`, `energized_s`. A rule that lacks a reading says nothing.

use fieldcoil_calc::number::short;
use fieldcoil_calc::unit::Quantity;

use super::gather::Submission;
use super::marked::{Marked, measured};
use super::plan::GradedLesson;

/// A reading as a rule sees it.
struct Seen<'s> {
    name: &'s str,
    label: &'s str,
    quantity: Quantity,
    /// In the base unit.
    value: f64,
    /// In the sheet's unit, with it.
    words: String,
}

/// The readings of one sheet, and what the checklists of its lesson allow.
struct Bench<'s> {
    readings: Vec<Seen<'s>>,
    /// The longest that a checklist of the lesson lets current flow.
    limit_s: Option<f64>,
}

/// A rule about the readings of one sheet.
struct Rule {
    /// Why it cannot be, a sentence.
    why: &'static str,
    /// What of the sheet cannot be.
    find: fn(&Bench) -> Vec<String>,
}

const RULES: &[Rule] = &[
    Rule {
        why: "The first kick is the greatest current of a run: the settled current lies below it.",
        find: |bench| {
            let settled = bench.named(Quantity::Current, &["settled"]);
            pairs(&settled, &bench.named(Quantity::Current, &["peak"]), |settled, peak| {
                // Two meters may differ so much on the same current (common practice, no source).
                settled.value > 1.02 * peak.value
            })
        },
    },
    Rule {
        why: "No motor gives more power at its shaft than it takes at its terminals.",
        find: |bench| {
            let (Some(given), Some(taken)) = (bench.power_out(), bench.power_in()) else { return Vec::new() };
            let is_more = given.0 > taken.0;
            is_more.then(|| format!("{} is more than {}", given.1, taken.1)).into_iter().collect()
        },
    },
    Rule {
        why: "The volts of a source fall when it is loaded more.",
        find: |bench| {
            let mut found = Vec::new();
            for before in ["", "again_"] {
                let named = |name: &str, quantity| {
                    let name = [before, name].concat();
                    bench
                        .readings
                        .iter()
                        .find(|seen| seen.quantity == quantity && seen.name.starts_with(&name))
                };
                let all = (
                    named("light_current", Quantity::Current),
                    named("heavy_current", Quantity::Current),
                    named("light_voltage", Quantity::Voltage),
                    named("heavy_voltage", Quantity::Voltage),
                );
                if let (Some(light), Some(heavy), Some(first), Some(second)) = all
                    && heavy.value > light.value
                    && second.value > first.value
                {
                    found.push(format!(
                        "{} is {} at {}, and {} is {} at {}",
                        second.label, second.words, heavy.words, first.label, first.words, light.words
                    ));
                }
            }
            found
        },
    },
    Rule {
        why: "The checklist has the button let go by then.",
        find: |bench| {
            let Some(limit) = bench.limit_s else { return Vec::new() };
            let times = bench.named(Quantity::Time, &["energized"]);
            let over = times.into_iter().filter(|seen| seen.value > limit + REACTION_S);
            over.map(|seen| format!("{} is {}, and the limit is {} s", seen.label, seen.words, short(limit)))
                .collect()
        },
    },
    Rule {
        why: "A speed, a span of time, a resistance and a power that is read have no sign.",
        find: |bench| {
            let signless = [Quantity::Speed, Quantity::Time, Quantity::Resistance, Quantity::Power];
            let negative = |seen: &&Seen| signless.contains(&seen.quantity) && seen.value < 0.0;
            bench.readings.iter().filter(negative).map(Seen::says).collect()
        },
    },
    Rule {
        why: "No bench for starting motors has such a value: a digit, the decimal mark or the unit is wrong.",
        find: |bench| {
            let outside = |seen: &&Seen| {
                RANGES.iter().any(|(quantity, low, high)| {
                    *quantity == seen.quantity && !(*low..=*high).contains(&seen.value)
                })
            };
            bench.readings.iter().filter(outside).map(Seen::says).collect()
        },
    },
];

/// How late a finger may be (from memory: reactions take 0.2 s to 0.5 s), in s.
const REACTION_S: f64 = 0.5;

/// What a bench for starting motors may show, in base units: from far below to far above what is met in the trade
/// (common practice, no source). Negative volts and amperes are leads the wrong way round, which a meter shows.
const RANGES: [(Quantity, f64, f64); 8] = [
    (Quantity::Voltage, -60.0, 60.0),
    (Quantity::Current, -5000.0, 5000.0),
    (Quantity::Resistance, f64::NEG_INFINITY, 1e8),
    (Quantity::Power, f64::NEG_INFINITY, 50_000.0),
    (Quantity::Speed, f64::NEG_INFINITY, 40_000.0),
    (Quantity::Time, f64::NEG_INFINITY, 86_400.0),
    (Quantity::Temperature, -60.0, 400.0),
    (Quantity::Torque, -1000.0, 1000.0),
];

impl Seen<'_> {
    fn says(&self) -> String {
        format!("{} is {}", self.label, self.words)
    }
}

impl Bench<'_> {
    fn named(&self, quantity: Quantity, words: &[&str]) -> Vec<&Seen<'_>> {
        let is_named = |seen: &&Seen| words.iter().any(|word| seen.name.contains(word));
        self.readings.iter().filter(|seen| seen.quantity == quantity).filter(is_named).collect()
    }

    /// The one reading of this quantity whose name has one of these words; nothing when several have.
    fn only(&self, quantity: Quantity, words: &[&str]) -> Option<&Seen<'_>> {
        match self.named(quantity, words)[..] {
            [one] => Some(one),
            _ => None,
        }
    }

    fn power_in(&self) -> Option<(f64, String)> {
        if let Some(seen) = self.only(Quantity::Power, &["power_in", "taken"]) {
            return Some((seen.value, format!("{} of {}", seen.label, seen.words)));
        }
        let volts = self.only(Quantity::Voltage, &["terminal_voltage", "motor_voltage"])?;
        let amps = self.only(Quantity::Current, &["settled_current", "motor_current", "load_current"])?;
        let power = volts.value * amps.value;
        Some((power, format!("{} times {}, {} W", volts.words, amps.words, short(power.round()))))
    }

    fn power_out(&self) -> Option<(f64, String)> {
        if let Some(seen) = self.only(Quantity::Power, &["power_out", "shaft_power"]) {
            return Some((seen.value, format!("{} of {}", seen.label, seen.words)));
        }
        let torque = self.only(Quantity::Torque, &["torque"])?;
        let speed = self.only(Quantity::Speed, &["speed"])?;
        let power = torque.value * speed.value * std::f64::consts::TAU / 60.0;
        Some((power, format!("{} at {}, {} W,", torque.words, speed.words, short(power.round()))))
    }
}

/// Pairs of which the rule says that they cannot be.
fn pairs(ones: &[&Seen], others: &[&Seen], cannot_be: fn(&Seen, &Seen) -> bool) -> Vec<String> {
    let all = ones.iter().flat_map(|one| others.iter().map(move |other| (one, other)));
    let found = all.filter(|(one, other)| cannot_be(one, other));
    found.map(|(one, other)| format!("{} and {}", one.says(), other.says())).collect()
}

/// What of a student's readings cannot be, a sentence with its reason each.
pub fn impossible(lesson: &GradedLesson, marked: &Marked, submission: &Submission) -> Vec<String> {
    let mut found = Vec::new();
    let limit_s = lesson.hookups.iter().map(|hookup| hookup.limit_s).reduce(f64::max);
    for (at, sheet) in lesson.sheets.iter().enumerate() {
        let readings = marked.readings.iter().filter(|reading| reading.sheet == at).filter_map(|reading| {
            let own = &sheet.readings[reading.place];
            let (quantity, unit) = measured(own)?;
            let value = reading.value?;
            let words = format!("{}\u{a0}{}", short(value), unit.symbol);
            Some(Seen {
                name: &own.name.value,
                label: &own.label,
                quantity,
                value: unit.to_base(value),
                words,
            })
        });
        let bench = Bench { readings: readings.collect(), limit_s };
        for rule in RULES {
            found.extend((rule.find)(&bench).into_iter().map(|what| format!("{what}. {}", rule.why)));
        }
    }
    for list in &submission.checklists {
        let Some(hookup) = lesson.hookup(&list.list) else { continue };
        for (step, ms) in &list.energized_ms {
            let seconds = *ms as f64 / 1000.0;
            if seconds > hookup.limit_s + REACTION_S {
                found.push(format!(
                    "The checklist's timer ran {}\u{a0}s at step {}, and the limit is {}\u{a0}s. The checklist has the button let go by then.",
                    short(seconds),
                    crate::finding::shown(step),
                    short(hookup.limit_s)
                ));
            }
        }
        if list.done > list.of {
            found.push(format!(
                "{} of {} steps are ticked. A list has no more steps than it has.",
                list.done, list.of
            ));
        }
    }
    found
}

/// Readings that are no number with a unit of theirs.
pub fn unreadable(lesson: &GradedLesson, marked: &Marked) -> Vec<String> {
    let no_number = marked
        .readings
        .iter()
        .filter(|reading| reading.value.is_none() && !reading.written.trim().is_empty());
    let found = no_number.filter_map(|reading| {
        let own = &lesson.sheets[reading.sheet].readings[reading.place];
        measured(own)?;
        Some(format!(
            "{} is “{}”, which is no number in {}.",
            own.label,
            crate::finding::shown(&reading.written),
            own.unit
        ))
    });
    found.collect()
}
