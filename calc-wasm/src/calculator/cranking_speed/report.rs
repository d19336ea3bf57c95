//! What `cranking-speed` says about its result: where the power goes, what to check, what to beware of.

use crate::calculator::cranking_speed::work::{Feed, Inside, Train, show_nm, show_rpm};
use crate::chart::{Axis, Chart, Mark, Series};
use crate::number::figures;
use crate::physics::drive;
use crate::quantity::Watt;
use crate::report::{Level, Report, Source, Table, show};
use crate::unit::Quantity;

/// Where each watt goes, in both units.
pub(super) fn where_it_goes(feed: &Feed, shaft: Watt, inside: Option<&Inside>) -> Table {
    let power_in = feed.voltage * feed.current;
    let mut parts = vec![("Put in, volts times amps", power_in)];
    if let Some(inside) = inside {
        parts.push(("Heat at the brushes", feed.brush_drop * feed.current));
        parts.push(("Heat in the winding", inside.winding * feed.current * feed.current));
        parts.push(("Iron, bearings, air, gears", Watt((inside.gap.0 - shaft.0).max(0.0))));
    } else {
        parts.push(("All losses together", power_in - shaft));
    }
    parts.push(("Reaches the shaft", shaft));
    let horsepower = |power: Watt| Quantity::Power.unit("hp").map_or(0.0, |unit| unit.of_base(power.0));
    let row = |(name, power): (&str, Watt)| {
        vec![
            name.to_owned(),
            show(Quantity::Power, power.0, 3),
            format!("{} hp", figures(horsepower(power), 3)),
            show(Quantity::Percent, 100.0 * (power / power_in), 3),
        ]
    };
    Table {
        title: "Where the power goes".to_owned(),
        heads: vec!["Part", "Power", "In horsepower", "Share"],
        rows: parts.into_iter().map(row).collect(),
    }
}

/// What a careful colleague says.
pub(super) fn findings(
    report: &mut Report,
    feed: &Feed,
    train: &Train,
    shaft: Option<Watt>,
    inside: Option<&Inside>,
    torque_measured: bool,
) {
    speed(report, train);
    volts(report, feed);
    if !(10.0..=20.0).contains(&train.ring) {
        report.finding(
            Level::Note,
            "The ring gear has mostly 10 to 20 times the teeth of the pinion: a manual prints 15 to 20, small engines have less (common practice, no source). Count again.",
        );
    }
    match (shaft, inside) {
        (Some(shaft), Some(inside)) if shaft > inside.gap => report.finding(
            Level::Warning,
            format!(
                "The measured torque makes {}, but the winding leaves {} only. The resistance or the brush drop is typed too high, or the readings are of different moments.",
                show(Quantity::Power, shaft.0, 3),
                show(Quantity::Power, inside.gap.0, 3)
            ),
        ),
        (None, _) => report.finding(
            Level::Note,
            "Without the winding's resistance or a measured torque, only speeds and the power put in are known.",
        ),
        _ => {}
    }
    if let Some(shaft) = shaft {
        let basis = if torque_measured { "from the measured torque" } else { "from the power balance" };
        report.finding(
            Level::Note,
            format!(
                "Mean torque, {basis}: {} at the pinion, {} at the crankshaft. At each compression the engine asks for more, between them for less.",
                show_nm(drive::torque_of_power(shaft, train.pinion)),
                show_nm(drive::torque_of_power(shaft, train.engine))
            ),
        );
    }
    if torque_measured {
        report.finding(
            Level::Warning,
            "A torque arm can break loose or swing round: bolt the motor down, guard the arm and the pinion, stand out of its plane.",
        );
    }
    report.finding(
        Level::Warning,
        "Before cranking: ignition or injection off so that the engine cannot start, gearbox in neutral, brake on; hands, leads and clothes clear of fan and belts.",
    );
    report.finding(
        Level::Warning,
        "Crank no longer than the maker says, in no case more than 30 s, and let the motor rest 2 min.",
    );
}

/// Slower than this the engine hardly turns (common practice, no source).
const HARDLY_TURNS: f64 = 50.0;

fn speed(report: &mut Report, train: &Train) {
    if train.engine.0 < HARDLY_TURNS {
        let why = if train.engine_known {
            "Check that it is the mean speed."
        } else {
            "Perhaps this is the engine's speed: then choose “Engine”."
        };
        report.finding(
            Level::Warning,
            format!(
                "With the armature at {} and the engine at {} the motor nearly stands still, and its torque and power are no working point. {why} If it is true, let go of the switch: a motor that is held burns its winding in seconds.",
                show_rpm(train.armature),
                show_rpm(train.engine)
            ),
        );
    } else if train.engine.0 < 150.0 {
        report.finding(
            Level::Next,
            format!(
                "The engine turns slowly, {}. Rest the battery and test it, then the drops of both cables. Slow with a high draw: a dragging motor, thick oil or a tight engine. Slow with a low draw: resistance in cables, joints, contacts or brushes.",
                show_rpm(train.engine)
            ),
        );
    } else if train.engine.0 > 400.0 {
        report.finding(
            Level::Next,
            "Faster than starting motors crank an engine. Check teeth and speed; if both are right, the engine lacks compression: look at the timing drive before you crank again.",
        );
    }
    if train.armature.0 > 25_000.0 {
        report.finding(
            Level::Warning,
            "No armature of a starting motor bears this speed (common practice, no source): windings are thrown out. Check the ratio and which speed was typed.",
        );
    }
}

fn volts(report: &mut Report, feed: &Feed) {
    let volts = feed.voltage.0;
    let least = if (5.0..9.6).contains(&volts) {
        "9.6 V in a 12 V system"
    } else if (15.0..18.0).contains(&volts) {
        "18 V in a 24 V system"
    } else {
        return;
    };
    report.finding(
        Level::Next,
        format!(
            "{} at the motor is little. Read the battery's posts at the same moment: under {least} the battery is suspect, above it the cables are.",
            show(Quantity::Voltage, volts, 3)
        ),
    );
}

/// Power turned into motion against current, at the same volts at the motor.
pub(super) fn picture(feed: &Feed, inside: &Inside) -> Option<Chart> {
    let locked = (feed.voltage - feed.brush_drop) / inside.winding;
    // Without resistance there is no end to the curve.
    if locked.0 >= 1e6 {
        return None;
    }
    let at = |part: i32| {
        let current = locked.0 * f64::from(part) / 40.0;
        let emf = feed.voltage.0 - feed.brush_drop.0 - current * inside.winding.0;
        (current, (current * emf).max(0.0))
    };
    Some(Chart {
        title: "Power turned into motion against current, at the same volts at the motor".to_owned(),
        x: Axis::new("Current", Quantity::Current, ""),
        y: Axis::new("Power", Quantity::Power, ""),
        series: vec![
            Series {
                name: "from standing still (right) to free (left)".to_owned(),
                mark: Mark::Line,
                points: (0..=40).map(at).collect(),
            },
            Series {
                name: "as read".to_owned(),
                mark: Mark::Crosses,
                points: vec![(feed.current.0, inside.gap.0)],
            },
        ],
        bands: Vec::new(),
    })
}

/// Usual speeds, currents and efficiencies.
pub(super) fn sense(train: &Train, feed: &Feed, shaft: Option<Watt>) -> String {
    let mut text = format!(
        "Petrol engines are usually cranked at 150 rpm to 250 rpm, diesels at 100 rpm to 250 rpm (common practice, no source); here {}. Cars draw some 100 A to 250 A, diesel pick-ups 300 A to 600 A at 12 V; here {}.",
        show_rpm(train.engine),
        show(Quantity::Current, feed.current.0, 3)
    );
    if let Some(shaft) = shaft {
        let efficiency = 100.0 * (shaft / (feed.voltage * feed.current));
        text.push_str(&format!(
            " A cranking motor turns 40 % to 65 % of its power into motion of the shaft (common practice, no source); here {}.",
            show(Quantity::Percent, efficiency, 2)
        ));
    }
    text
}

/// Where the facts come from.
pub(super) fn sources(report: &mut Report) {
    report.sources.extend([
        Source {
            fact: "Power is torque times turning speed; gears trade one for the other",
            from: "mechanics",
        },
        Source {
            fact: "Power turned into motion: back-EMF times current",
            from: "the energy balance of a direct-current motor, as in every textbook of electrical machines",
        },
        Source { fact: "Ring gear to pinion 15 to 20", from: "US Army TM 5-3805-255-14" },
        Source {
            fact: "Least cranking volts, 9.6 V and 18 V",
            from: "US Army TM 5-3820-256-24-4 and TM 10-3930-671-24; TM 9-2320-211-20",
        },
        Source {
            fact: "Crank 30 s at most, rest 2 min",
            from: "US Army TM 5-3820-256-24-4 and TM 10-3930-671-24",
        },
        Source { fact: "Horsepower, pound-force, foot", from: "NIST SP 811, appendix B" },
        Source {
            fact: "Usual speeds, currents, losses and efficiencies",
            from: "common practice, no source",
        },
    ]);
}
