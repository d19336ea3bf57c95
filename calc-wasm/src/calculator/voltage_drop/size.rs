//! Sizes of conductors: from the words of a form to a size and back, and the thinnest that does.

use crate::calculator::voltage_drop::run::Run;
use crate::input::Entry;
use crate::number::{figures, short};
use crate::physics::conductor::{self, GAUGES, Size, gauge_area};
use crate::quantity::{Celsius, OhmPerMetre, SquareMillimetre};
use crate::report::{Report, Table, Value, show};
use crate::unit::Quantity;

/// The size behind what was chosen or typed.
pub(super) fn size_of(entry: &Entry) -> Size {
    match entry {
        Entry::Choice(key) => Size::named(key).expect("every option is the name of a size"),
        Entry::Other(area) => Size::Area(SquareMillimetre(*area)),
        _ => unreachable!("the field is a choice"),
    }
}

pub(super) fn size_words(size: Size) -> String {
    match size {
        Size::Gauge(gauge) if gauge < 1 => format!("AWG {}/0", 1 - gauge),
        Size::Gauge(gauge) => format!("AWG {gauge}"),
        Size::Metric(area) | Size::Area(area) => format!("{} mm²", short(area.0)),
    }
}

/// The area of a gauge, the name of a metric size, or the area typed.
pub(super) fn area_of(size: Size) -> SquareMillimetre {
    match size {
        Size::Gauge(gauge) => gauge_area(gauge),
        Size::Metric(area) | Size::Area(area) => area,
    }
}

fn gauges() -> impl Iterator<Item = Size> {
    GAUGES.iter().map(|gauge| Size::Gauge(*gauge))
}

fn metrics() -> impl Iterator<Item = Size> {
    conductor::metric_sizes().map(Size::Metric)
}

/// The thinnest conductor of the same list that keeps within the allowed drop.
pub(super) fn smallest_size(run: &Run) -> Option<String> {
    let passes =
        |size: &Size| run.per_metre(*size).is_some_and(|each| run.drop_with(each).0 <= run.allowed.0);
    let found = match run.size {
        Size::Gauge(_) => gauges().find(passes),
        Size::Metric(_) => metrics().find(passes),
        Size::Area(_) => {
            let room = run.room();
            let ratio = conductor::temperature_ratio(run.metal, Celsius(20.0), run.temperature);
            let area = run.metal.resistivity().0 * ratio * run.length().0 / room.0 * 1e6;
            (room.0 > 0.0).then_some(Size::Area(SquareMillimetre(area)))
        }
    };
    found.map(|size| match size {
        Size::Area(area) => format!("{} mm²", figures(area.0, 3)),
        listed => size_words(listed),
    })
}

/// The thinnest that keeps within the allowed drop in the list that the size was not chosen from.
fn smallest_other_size(run: &Run) -> String {
    let passes =
        |size: &Size| run.per_metre(*size).is_some_and(|each| run.drop_with(each).0 <= run.allowed.0);
    match run.size {
        Size::Gauge(_) => words_of(metrics().find(passes)),
        Size::Metric(_) => words_of(gauges().find(passes)),
        Size::Area(_) => pair(gauges().find(passes), metrics().find(passes)),
    }
}

fn words_of(size: Option<Size>) -> String {
    size.map_or_else(|| "none in the list".to_owned(), size_words)
}

fn pair(gauge: Option<Size>, metric: Option<Size>) -> String {
    match (gauge, metric) {
        (None, None) => "none in either list".to_owned(),
        (gauge, metric) => format!("gauge: {}; metric: {}", words_of(gauge), words_of(metric)),
    }
}

/// The other list's answers: what passes there, what stands beside the size chosen, and the size for a resistance.
pub(super) fn look_up(report: &mut Report, run: &Run, passing: bool) {
    if run.length().0 > 0.0 && passing {
        report.answer("smallest_other_size", Value::Text(smallest_other_size(run)));
    }
    sought(report, run);
    report.tables.extend(Some(beside(run)).filter(|table| !table.rows.is_empty()));
}

/// From a resistance to the thinnest sizes: of one metre, of the whole loop, or the stricter of both.
fn sought(report: &mut Report, run: &Run) {
    let number = |name: &str| report.inputs.optional(name).map(|sought| sought.value);
    let each = number("sought_resistance_per_metre_ohm");
    let rest = (run.joints() + run.switches()).0;
    let of_loop = number("sought_loop_resistance_ohm")
        .filter(|_| run.length().0 > 0.0)
        .map(|whole| (whole, (whole - rest) / run.length().0));
    if let Some((whole, most)) = of_loop {
        report.step(
            "Greatest resistance of one metre, from the loop",
            "r_g = (R_g − R_j) / L",
            format!(
                "r_g = ({} − {}) / {}",
                show(Quantity::Resistance, whole, 4),
                show(Quantity::Resistance, rest, 4),
                show(Quantity::Length, run.length().0, 3)
            ),
            show(Quantity::ResistancePerLength, most, 4),
        );
    }
    let most = match (each, of_loop) {
        (Some(each), Some((_, other))) => each.min(other),
        (Some(most), None) | (None, Some((_, most))) => most,
        (None, None) => return,
    };
    // A printed resistance reads back as its own size in spite of the last bit.
    let most = OhmPerMetre(most * (1.0 + 1e-9));
    let fits = |size: &Size| run.per_metre(*size).is_some_and(|each| each <= most);
    let words = pair(gauges().find(fits), metrics().find(fits));
    report.answer("looked_up_size", Value::Text(words));
}

/// The size chosen beside the nearest of the other list, by area, or the sizes listed, and what a metre of each resists.
fn beside(run: &Run) -> Table {
    if run.listed() {
        let mut sizes: Vec<Size> = Vec::new();
        for size in run.parts.iter().filter_map(|part| part.size) {
            if !sizes.contains(&size) {
                sizes.push(size);
            }
        }
        let rows = sizes.into_iter().map(|size| row(run, size, "")).collect();
        return Table { title: "Sizes in the circuit".to_owned(), heads: HEADS.to_vec(), rows };
    }
    let area = area_of(run.size).0;
    let distance = |size: &Size| {
        let other = area_of(*size).0;
        if other > area { other / area } else { area / other }
    };
    let nearest = |sizes: &mut dyn Iterator<Item = Size>| {
        sizes.min_by(|one, two| distance(one).total_cmp(&distance(two)))
    };
    let gauge = || nearest(&mut gauges());
    let metric = || nearest(&mut metrics().filter(|size| run.per_metre(*size).is_some()));
    let others = match run.size {
        Size::Gauge(_) => [metric(), None],
        Size::Metric(_) => [gauge(), None],
        Size::Area(_) => [gauge(), metric()],
    };
    let role = |size: Size| if size == run.size { ", chosen" } else { ", nearest" };
    Table {
        title: "Beside the other list".to_owned(),
        heads: HEADS.to_vec(),
        rows: std::iter::once(run.size)
            .chain(others.into_iter().flatten())
            .map(|size| row(run, size, role(size)))
            .collect(),
    }
}

const HEADS: [&str; 3] = ["Conductor", "Area", "Resistance of one metre"];

fn row(run: &Run, size: Size, role: &str) -> Vec<String> {
    let resistance = run.per_metre(size);
    vec![
        size_words(size) + role,
        format!("{} mm²", figures(area_of(size).0, 4)),
        resistance
            .map_or_else(|| "not printed".to_owned(), |each| show(Quantity::ResistancePerLength, each.0, 4)),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use super::*;

    fn text(settings: &[(&str, &str)], name: &str) -> String {
        match CALCULATOR.work(settings).expect("worked").value(name) {
            Some(Value::Text(text)) => text.clone(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_other_list_gives_what_choosing_from_it_gives() {
        for (one, other) in [("AWG 2", "35 mm2"), ("AWG 14", "1.5 mm2")] {
            let there = text(&[("conductor_size", one)], "smallest_other_size");
            assert_eq!(there, text(&[("conductor_size", other)], "smallest_size"));
            let back = text(&[("conductor_size", other)], "smallest_other_size");
            assert_eq!(back, text(&[("conductor_size", one)], "smallest_size"));
        }
    }

    #[test]
    fn a_resistance_finds_the_size_that_has_it_and_a_little_less_the_next() {
        let found = |each: &str| text(&[("sought_resistance_per_metre_ohm", each)], "looked_up_size");
        // IEC 60228, class 5: 0.554 and 0.386 mΩ/m; AWG 2 has 0.5127 mΩ/m, AWG 1 0.4066 mΩ/m.
        assert_eq!(found("0.554 mΩ/m"), "gauge: AWG 2; metric: 35 mm²");
        assert_eq!(found("0.5 mΩ/m"), "gauge: AWG 1; metric: 50 mm²");
        assert_eq!(found("0.001 mΩ/m"), "none in either list");
        // The loop: 3.6 m and four joints of 0.1 mΩ, so 2.3944 mΩ leave 0.554 mΩ/m.
        let whole = text(&[("sought_loop_resistance_ohm", "2.3944 mΩ")], "looked_up_size");
        assert_eq!(whole, "gauge: AWG 2; metric: 35 mm²");
        // Joints alone are more: nothing is thick enough.
        assert_eq!(
            text(&[("sought_loop_resistance_ohm", "0.3 mΩ")], "looked_up_size"),
            "none in either list"
        );
    }

    #[test]
    fn the_nearest_of_the_other_list_is_named() {
        for (size, nearest) in [("AWG 2", "35 mm²"), ("50 mm2", "AWG 1/0"), ("AWG 4/0", "120 mm²")] {
            let report = CALCULATOR.work(&[("conductor_size", size)]).expect("worked");
            let table =
                report.tables.iter().find(|table| table.title == "Beside the other list").expect("there");
            assert_eq!(table.rows[1][0], format!("{nearest}, nearest"), "{size}");
        }
    }
}
