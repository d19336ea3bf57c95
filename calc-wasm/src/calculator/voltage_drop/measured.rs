//! The drop of a circuit as measured, and how far the readings in the list of parts may be off.

use crate::calculator::voltage_drop::parts::Part;
use crate::calculator::voltage_drop::run::Run;
use crate::math::square_root;
use crate::measurement::meter::Kind;
use crate::measurement::propagation::{Effect, Uncertainty, combine};
use crate::quantity::Volt;

/// The drop of the whole with measured drops in place of calculated ones; nothing when nothing was measured.
pub(super) fn drop_as_measured(run: &Run) -> Option<Volt> {
    let of = |part: &Part| part.measured.unwrap_or(run.resistance_of(part) * run.current).0;
    let any = run.parts.iter().any(|part| part.measured.is_some());
    any.then(|| Volt(run.parts.iter().map(of).sum()))
}

/// How far the sum of measured drops may be off because of the `±` in the list; nothing when none was typed.
///
/// # Assumptions
/// One meter took all of them: what its scale is off adds up, all else adds up in squares.
///
/// # Source
/// JCGM 100, 5.1.2 and 5.2.2.
pub(super) fn spread_of<'a>(parts: impl Iterator<Item = &'a Part>) -> Option<Uncertainty> {
    let mut effects = Vec::new();
    for part in parts {
        let (Some(measured), Some(spread)) = (part.measured, part.spread) else { continue };
        effects.extend(spread.causes(measured.0).into_iter().map(|cause| Effect {
            size: cause.standard,
            freedom: cause.freedom,
            group: (cause.kind == Kind::Scale).then_some(0),
            bounded: cause.kind != Kind::Scatter,
        }));
    }
    let combined = combine(&effects);
    (combined.standard > 0.0 && combined.standard.is_finite()).then(|| Uncertainty::of(combined))
}

/// The uncertainty of a sum or difference of two quantities that have nothing to do with each other.
///
/// # Assumptions
/// The degrees of freedom of each are not known any more: expanded uncertainties add up in squares as standard ones do.
pub(super) fn both(one: Option<Uncertainty>, other: Option<Uncertainty>) -> Option<Uncertainty> {
    let (Some(a), Some(b)) = (one, other) else { return one.or(other) };
    let root = |a: f64, b: f64| square_root(a * a + b * b);
    let (standard, expanded) = (root(a.standard, b.standard), root(a.expanded, b.expanded));
    Some(Uncertainty { standard, factor: expanded / standard, expanded, bound: a.bound + b.bound })
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATOR;
    use crate::report::{Report, State, Value};

    /// All measured: 0.21 V, 0.35 V, 0.06 V and 0.24 V, together 0.86 V.
    fn circuit(plus_minus: [&str; 4], settings: &[(&str, &str)]) -> Report {
        let [a, s, m, r] = plus_minus;
        let parts = format!(
            "A; AWG 2; 1.8 m; 2; 0.21{a} V\nS; 0.3 mΩ; ; ; 0.35{s} V\nM; 25 mm2; 0.3 m; 2; 0.06{m} V\nR; 35 mm2; 1.8 m; 3; 0.24{r} V"
        );
        let all: Vec<(&str, &str)> = [&[("parts", parts.as_str())], settings].concat();
        CALCULATOR.work(&all).expect("worked")
    }

    fn verdict(report: &Report) -> State {
        match report.value("verdict") {
            Some(Value::State(state)) => *state,
            other => panic!("{other:?}"),
        }
    }

    fn plus_minus(report: &Report) -> Option<f64> {
        match report.value("measured_drop_v") {
            Some(Value::Number(_, uncertainty)) => uncertainty.map(|u| u.expanded),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_current_that_is_not_sure_leaves_a_measured_sum_alone() {
        let settings = |allowed| [("current_a", "180 ± 2 %"), ("allowed_drop_v", allowed)];
        assert_eq!(verdict(&circuit([""; 4], &settings("0.861"))), State::Within);
        assert_eq!(verdict(&circuit([""; 4], &settings("0.859"))), State::Outside);
    }

    #[test]
    fn bands_add_in_squares_and_the_scale_of_one_meter_adds_up() {
        // By hand: four bands of 0.01 V are 2 · √(4 · 0.01² / 3) = 0.02309 V.
        let bands = circuit([" ± 0.01"; 4], &[("allowed_drop_v", "0.88")]);
        assert!((plus_minus(&bands).expect("given") - 0.023_094).abs() < 1e-6);
        assert_eq!(verdict(&bands), State::TooClose);
        assert_eq!(verdict(&circuit([" ± 0.01"; 4], &[("allowed_drop_v", "0.89")])), State::Within);
        // By hand: 3 % of 0.86 V, and a scale that is off by 3 % at most gives no more than that.
        let scale = circuit([" ± 3 %"; 4], &[]);
        assert!((plus_minus(&scale).expect("given") - 0.025_8).abs() < 1e-9);
        // By hand: 0.5 % of 0.86 V and four times 2 digits of 0.01 V: 2 · √((0.0043² + 4 · 0.02²) / 3) = 0.04645 V.
        let meter = circuit([" ± (0.5 % + 2)"; 4], &[]);
        assert!((plus_minus(&meter).expect("given") - 0.046_454).abs() < 1e-6);
    }

    #[test]
    fn readings_of_the_form_count_where_a_part_was_not_measured() {
        let parts = |measured: &str| format!("A; 35 mm2; 1.8 m; 2; {measured}\nB; 2 mΩ");
        let state = |measured: &str, current: &str| {
            let parts = parts(measured);
            let settings = [("parts", parts.as_str()), ("current_a", current), ("allowed_drop_v", "0.56")];
            verdict(&CALCULATOR.work(&settings).expect("worked"))
        };
        // 0.19 V measured and 0.36 V calculated, 0.01 V below: 2 / √3 of 2 % of 0.36 V are 0.0083 V, of 0.007 V 0.0081 V.
        assert_eq!(state("0.19 V", "180"), State::Within);
        assert_eq!(state("0.19 V", "180 ± 2 %"), State::Within);
        assert_eq!(state("0.19 ± 0.007 V", "180"), State::Within);
        assert_eq!(state("0.19 ± 0.007 V", "180 ± 2 %"), State::TooClose);
    }

    #[test]
    fn the_guide_is_judged_with_what_the_readings_may_be_off() {
        let guide = |measured: &str, current: &str| {
            let parts = format!("Cable; 35 mm2; 3 m; ; {measured}");
            let settings = [("parts", parts.as_str()), ("current_a", current)];
            CALCULATOR.work(&settings).expect("worked").value("guide_verdict").cloned()
        };
        let state = |state| Some(Value::State(state));
        assert_eq!(guide("0.19 V", "100"), state(State::Within));
        assert_eq!(guide("0.19 ± 0.02 V", "100"), state(State::TooClose));
        assert_eq!(guide("0.21 ± 0.02 V", "100"), state(State::TooClose));
        assert_eq!(guide("0.19 V", "100 ± 10 %"), state(State::TooClose));
        // Both the guide and a calculated drop grow with the current: it does not matter how sure it is.
        assert_eq!(guide("", "100 ± 10 %"), state(State::Within));
    }
}
