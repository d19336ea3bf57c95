//! Sizes of conductors with what a metre of them resists, from the tables of the calculations.

use fieldcoil_calc::number::{figures, short};
use fieldcoil_calc::physics::conductor::{
    GAUGES, Metal, Size, StrandClass, gauge_area, gauge_diameter_mm, metric_sizes, resistance_per_metre,
};

use super::table;
use crate::render::view::TableView;
use crate::render::words::Words;

/// Metric sizes and gauges.
pub fn tables(words: &Words) -> Vec<TableView> {
    let mut metric = table(words, "metric", metric_rows(words));
    metric.notes = words.list("library.metric_notes");
    let mut gauges = table(words, "gauges", gauge_rows());
    gauges.notes = words.list("library.gauges_notes");
    for metal in [Metal::Copper, Metal::Aluminium] {
        let source = metal.resistivity_source();
        gauges.notes.push(format!("{}: {}.", source.fact, source.from));
    }
    vec![metric, gauges]
}

fn metric_rows(words: &Words) -> Vec<Vec<String>> {
    metric_sizes()
        .map(|size| {
            let milliohms = |metal, class| {
                resistance_per_metre(Size::Metric(size), metal, class).map_or_else(
                    || words.get("library.not_printed").to_owned(),
                    |each| figures(each.0 * 1000.0, 3),
                )
            };
            vec![
                format!("{} mm²", short(size.0)),
                milliohms(Metal::Copper, StrandClass::Flexible),
                milliohms(Metal::Copper, StrandClass::Stranded),
                milliohms(Metal::Aluminium, StrandClass::Stranded),
            ]
        })
        .collect()
}

fn gauge_rows() -> Vec<Vec<String>> {
    GAUGES
        .into_iter()
        .map(|gauge| {
            let milliohms = |metal| {
                // The make-up counts for metric sizes alone.
                resistance_per_metre(Size::Gauge(gauge), metal, StrandClass::Stranded)
                    .map_or_else(String::new, |each| figures(each.0 * 1000.0, 3))
            };
            vec![
                format!("AWG {}", gauge_name(gauge)),
                figures(gauge_diameter_mm(gauge), 4),
                figures(gauge_area(gauge).0, 3),
                milliohms(Metal::Copper),
                milliohms(Metal::Aluminium),
            ]
        })
        .collect()
}

/// 0 is 1/0, −1 is 2/0.
fn gauge_name(gauge: i32) -> String {
    if gauge > 0 { gauge.to_string() } else { format!("{}/0", 1 - gauge) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed in IEC 60228 (35 mm², class 5) and in tables of ASTM B258 (4/0: 11.684 mm, 107.2 mm²).
    #[test]
    fn rows_are_those_of_the_standards() {
        let tables = tables(Words::of("en"));
        assert!(tables[0].rows.contains(&vec![
            "35 mm²".into(),
            "0.554".into(),
            "0.524".into(),
            "0.868".into()
        ]));
        let last = tables[1].rows.last().expect("gauges");
        assert_eq!((last[0].as_str(), last[1].as_str(), last[2].as_str()), ("AWG 4/0", "11.68", "107"));
        for (row, gauge) in tables[1].rows.iter().zip(GAUGES) {
            assert_eq!(Size::named(&row[0]), Some(Size::Gauge(gauge)), "{row:?}");
        }
    }
}
