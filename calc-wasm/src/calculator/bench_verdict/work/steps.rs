//! The lines of working of `bench-verdict`, the table of causes, and whether the readings make sense.

use super::super::diagnosis;
use super::super::judge::Judged;
use super::Test;
use crate::measurement::rounding::rounded;
use crate::report::{Report, Table, chance_words, show};
use crate::unit::Quantity;

pub(super) fn steps(report: &mut Report, test: &Test) {
    if let Some(sheet) = test.sheet_volts {
        let (volts, sheet_words) =
            (show(Quantity::Voltage, test.volts.value, 3), show(Quantity::Voltage, sheet, 3));
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
        if let (Some(read), Some(speed)) = (test.speed, test.speed_at_sheet()) {
            report.step(
                "Speed as it would be at the sheet's voltage",
                "n₁ = n · U / U₂",
                format!("n₁ = {} · {sheet_words} / {volts}", show(Quantity::Speed, read.value, 4)),
                show(Quantity::Speed, speed, 4),
            );
        }
    }
    let speed_title = match test.sheet_volts {
        Some(_) => "Speed, at the sheet's voltage",
        None => "Speed",
    };
    let rows = [
        ("Settled current", Quantity::Current, Some(test.settled())),
        (speed_title, Quantity::Speed, test.speed()),
        ("Volts at the motor", Quantity::Voltage, Some(test.volts())),
        ("Time energized", Quantity::Time, test.energized()),
    ];
    for (title, quantity, judged) in rows {
        let Some(judged) = judged.filter(|judged| judged.limits.known()) else { continue };
        let decision = judged.decide();
        let of_motor = title.starts_with("Settled") || title.starts_with("Speed");
        let result = match judged.uncertainty {
            _ if of_motor && !test.fits_the_sheet() => {
                "not judged: the volts at the motor are not the sheet's".to_owned()
            }
            None => decision.state.words().to_owned(),
            Some(_) => format!(
                "{}; the chance of lying inside the limits is {}",
                decision.state.words(),
                chance_words(decision.conformance)
            ),
        };
        report.step(title, "", comparison(quantity, &judged), result);
    }
    if let Some((speed, current)) = test.sides() {
        let row = diagnosis::row(speed, current);
        let rows = (1..).zip(row.causes).map(|(rank, cause): (u32, _)| {
            vec![rank.to_string(), cause.what.to_owned(), cause.check.to_owned()]
        });
        report.tables.push(Table {
            title: "Likely causes, the likeliest first".to_owned(),
            heads: vec!["Rank", "Cause", "Check"],
            rows: rows.collect(),
        });
    }
}

/// `40 A ≤ 62 A ± 2 A ≤ 90 A?`
fn comparison(quantity: Quantity, judged: &Judged) -> String {
    let mut text = String::new();
    if let Some(least) = judged.limits.least {
        text.push_str(&format!("{} ≤ ", show(quantity, least, 3)));
    }
    match judged.uncertainty {
        None => text.push_str(&show(quantity, judged.value, 4)),
        Some(uncertainty) => {
            let unit = quantity.base().symbol;
            let (value, part) = rounded(judged.value, uncertainty.expanded);
            text.push_str(&format!("{value} {unit} ± {part} {unit}"));
        }
    }
    if let Some(greatest) = judged.limits.greatest {
        text.push_str(&format!(" ≤ {}", show(quantity, greatest, 3)));
    }
    text.push('?');
    text
}

/// Holds the readings against what physics and habit expect of them, whatever the sheet says.
pub(super) fn sense(test: &Test) -> String {
    let power = show(Quantity::Power, test.volts.value * test.settled.value, 3);
    let mut text = match test.speed.map(|speed| speed.value) {
        _ if test.settled.value <= 0.0 => {
            "Without current nothing is driven: a motor that turns draws some, so either it stood still or the clamp read nothing.".to_owned()
        }
        Some(speed) if speed <= 0.0 => {
            format!("Standing still, the motor takes {power}, and all of it heats the winding: it must not go on.")
        }
        _ => format!(
            "Spinning free, the motor takes {power} and gives nothing away: all of it becomes heat and moved air."
        ),
    };
    if let Some(ratio) =
        test.peak.map(|peak| peak.value / test.settled.value).filter(|ratio| ratio.is_finite())
    {
        text.push_str(&format!(
            " The peak is {} times the settled value; most meters show 2 to 10 times (common practice, no source){}.",
            crate::number::figures(ratio, 2),
            if (2.0..=10.0).contains(&ratio) { "" } else { ", so look at how the meter holds peaks" }
        ));
    }
    text
}
