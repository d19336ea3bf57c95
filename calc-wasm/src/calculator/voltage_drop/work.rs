//! The working of `voltage-drop`.

use crate::calculator::{show_a, show_ohm, show_v};
use crate::input::{Entry, Inputs};
use crate::number::{figures, short};
use crate::physics::conductor::{
    self, GAUGES, Metal, Size, StrandClass, gauge_area, gauge_diameter_mm, resistance_per_metre,
};
use crate::quantity::{Ampere, Celsius, Metre, Ohm, OhmPerMetre, SquareMillimetre, Volt};
use crate::refusal::{FieldRefusal, Refusal};
use crate::report::{Level, Report, Source, State, Table, Value, show};
use crate::unit::Quantity;

const IEC_60228: Source =
    Source { fact: "Greatest resistance of metric conductors at 20 °C", from: "IEC 60228, tables 2 and 3" };
const ASTM_B258: Source = Source { fact: "Diameters of wire gauges", from: "ASTM B258" };

/// What the fields say, as quantities.
struct Run {
    size: Size,
    metal: Metal,
    class: StrandClass,
    temperature: Celsius,
    out: Metre,
    back: Metre,
    joint_count: f64,
    joint: Ohm,
    current: Ampere,
    system: Volt,
    allowed: Volt,
}

impl Run {
    fn of(inputs: &Inputs) -> Self {
        Run {
            size: size_of(inputs.entry("conductor_size")),
            metal: if inputs.choice("conductor_material") == "aluminium" {
                Metal::Aluminium
            } else {
                Metal::Copper
            },
            class: match inputs.choice("conductor_class") {
                "class 2" => StrandClass::Stranded,
                _ => StrandClass::Flexible,
            },
            temperature: Celsius(inputs.number("conductor_temperature_c")),
            out: Metre(inputs.number("run_out_m")),
            back: Metre(inputs.number("run_return_m")),
            joint_count: inputs.number("joint_count"),
            joint: Ohm(inputs.number("joint_resistance_ohm")),
            current: Ampere(inputs.number("current_a")),
            system: Volt(inputs.number("system_voltage_v")),
            allowed: Volt(inputs.number("allowed_drop_v")),
        }
    }

    fn length(&self) -> Metre {
        self.out + self.back
    }

    fn joints(&self) -> Ohm {
        self.joint * self.joint_count
    }

    /// Resistance of one metre of `size` at the run's temperature, where it is known.
    fn per_metre(&self, size: Size) -> Option<OhmPerMetre> {
        let ratio = conductor::temperature_ratio(self.metal, Celsius(20.0), self.temperature);
        resistance_per_metre(size, self.metal, self.class).map(|at_20| at_20 * ratio)
    }

    fn drop_with(&self, per_metre: OhmPerMetre) -> Volt {
        (conductor::run_resistance(per_metre, self.length()) + self.joints()) * self.current
    }
}

/// The size behind what was chosen or typed.
fn size_of(entry: &Entry) -> Size {
    match entry {
        Entry::Choice(key) => match key.split_once(' ') {
            Some(("AWG", gauge)) => Size::Gauge(gauge_number(gauge)),
            _ => {
                let named =
                    |nominal: &SquareMillimetre| key.strip_suffix(" mm2") == Some(short(nominal.0).as_str());
                Size::Metric(
                    conductor::metric_sizes().find(named).expect("every other option is a metric size"),
                )
            }
        },
        Entry::Other(area) => Size::Area(SquareMillimetre(*area)),
        _ => unreachable!("the field is a choice"),
    }
}

/// `14` is 14; `2/0`, one step above `1/0`, is −1.
fn gauge_number(text: &str) -> i32 {
    let digits = text.strip_suffix("/0").unwrap_or(text);
    let number: i32 = digits.parse().expect("options carry a whole number");
    if digits.len() < text.len() { 1 - number } else { number }
}

fn size_words(size: Size) -> String {
    match size {
        Size::Gauge(gauge) if gauge < 1 => format!("AWG {}/0", 1 - gauge),
        Size::Gauge(gauge) => format!("AWG {gauge}"),
        Size::Metric(area) | Size::Area(area) => format!("{} mm²", short(area.0)),
    }
}

/// Works the run.
pub(super) fn evaluate(inputs: &Inputs) -> Result<Report, Refusal> {
    let run = Run::of(inputs);
    let Some(at_20) = resistance_per_metre(run.size, run.metal, run.class) else {
        return Err(FieldRefusal::contradiction(
            inputs.field("conductor_material"),
            "IEC 60228 prints no resistance for this aluminium conductor; choose class 2 from 10 mm² up, a gauge, \
             or type the area."
                .to_owned(),
        ));
    };
    if run.allowed.0 >= run.system.0 {
        return Err(FieldRefusal::contradiction(
            inputs.field("allowed_drop_v"),
            format!(
                "an allowed drop of {} leaves nothing of a system voltage of {}; type less than the system voltage.",
                show(Quantity::Voltage, run.allowed.0, 3),
                show(Quantity::Voltage, run.system.0, 3)
            ),
        ));
    }
    let ratio = conductor::temperature_ratio(run.metal, Celsius(20.0), run.temperature);
    let per_metre = at_20 * ratio;
    let cable = conductor::run_resistance(per_metre, run.length());
    let loop_resistance = cable + run.joints();
    let drop = loop_resistance * run.current;
    let loss = drop * run.current;
    let percent = 100.0 * (drop / run.system);
    let state = if drop.0 <= run.allowed.0 { State::Within } else { State::Outside };
    let room = (run.allowed / run.current).0 - run.joints().0;
    let smallest = smallest_size(&run);

    let mut report = Report::of(inputs);
    report.number("drop_v", drop.0);
    report.number("drop_percent", percent);
    report.answer("verdict", Value::State(state));
    report.number("loop_resistance_ohm", loop_resistance.0);
    report.number("resistance_per_metre_ohm", per_metre.0);
    report.number("loss_w", loss.0);
    report.answer(
        "smallest_size",
        Value::Text(smallest.clone().unwrap_or_else(|| "none in the list".to_owned())),
    );
    if room > 0.0 {
        report.number("largest_run_m", (Ohm(room) / per_metre).0);
    }

    conductor_steps(&mut report, &run, at_20, per_metre);
    run_steps(&mut report, &run, per_metre, cable, loop_resistance);
    report.step(
        "Drop",
        "U = I · R",
        format!("U = {} · {}", show_a(run.current), show_ohm(loop_resistance)),
        show(Quantity::Voltage, drop.0, 4),
    );
    report.step(
        "Share of the system voltage",
        "p = 100 % · U / U₀",
        format!("p = 100 % · {} / {}", show_v(drop), show_v(run.system)),
        show(Quantity::Percent, percent, 3),
    );
    report.step(
        "Heat made in the run",
        "P = I² · R",
        format!("P = ({})² · {}", show_a(run.current), show_ohm(loop_resistance)),
        show(Quantity::Power, loss.0, 4),
    );
    if room > 0.0 {
        report.step(
            "Longest run that passes",
            "L = (U_a / I − n · R₁) / r",
            format!(
                "L = ({} / {} − {}) / {}",
                show_v(run.allowed),
                show_a(run.current),
                show_ohm(run.joints()),
                show(Quantity::ResistancePerLength, per_metre.0, 4)
            ),
            show(Quantity::Length, (Ohm(room) / per_metre).0, 3),
        );
    }
    report.tables.push(shares(&run, per_metre, drop));
    remarks(&mut report, &run, drop, state, smallest.is_some());
    sources(&mut report, &run);
    Ok(report)
}

/// The thinnest conductor of the same list that keeps within the allowed drop.
fn smallest_size(run: &Run) -> Option<String> {
    let passes =
        |size: &Size| run.per_metre(*size).is_some_and(|each| run.drop_with(each).0 <= run.allowed.0);
    let found = match run.size {
        Size::Gauge(_) => GAUGES.iter().map(|gauge| Size::Gauge(*gauge)).find(passes),
        Size::Metric(_) => conductor::metric_sizes().map(Size::Metric).find(passes),
        Size::Area(_) => {
            let room = run.allowed / run.current - run.joints();
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

fn conductor_steps(report: &mut Report, run: &Run, at_20: OhmPerMetre, per_metre: OhmPerMetre) {
    let at_20_words = show(Quantity::ResistancePerLength, at_20.0, 4);
    match run.size {
        Size::Gauge(gauge) => {
            report.step(
                "Cross-section of the gauge",
                "d = 0.127 mm · 92^((36 − n) / 39); A = π · d² / 4",
                format!("n = {gauge}: d = {} mm", figures(gauge_diameter_mm(gauge), 4)),
                format!("A = {} mm²", figures(gauge_area(gauge).0, 4)),
            );
            resistivity_step(report, run, gauge_area(gauge), at_20_words);
        }
        Size::Area(area) => resistivity_step(report, run, area, at_20_words),
        Size::Metric(_) => report.step(
            "Resistance of one metre at 20 °C",
            "r₂₀ from the table",
            format!("{}, {}, {}", size_words(run.size), class_words(run.class), run.metal.key()),
            at_20_words,
        ),
    }
    let zero = figures(run.metal.zero_intercept().0, 4);
    report.step(
        "Resistance of one metre at its temperature",
        "r = r₂₀ · (T₀ + T) / (T₀ + 20 °C)",
        format!(
            "r = {} · ({zero} + {}) / ({zero} + 20)",
            show(Quantity::ResistancePerLength, at_20.0, 4),
            short(run.temperature.0)
        ),
        show(Quantity::ResistancePerLength, per_metre.0, 4),
    );
}

fn resistivity_step(report: &mut Report, run: &Run, area: SquareMillimetre, result: String) {
    let rho = figures(run.metal.resistivity().0 * 1e6, 5);
    report.step(
        "Resistance of one metre at 20 °C",
        "r₂₀ = ρ / A",
        format!("r₂₀ = {rho} Ω·mm²/m / {} mm²", figures(area.0, 4)),
        result,
    );
}

fn run_steps(report: &mut Report, run: &Run, per_metre: OhmPerMetre, cable: Ohm, loop_resistance: Ohm) {
    report.step(
        "Resistance of the cable, there and back",
        "R_c = r · (L₁ + L₂)",
        format!(
            "R_c = {} · ({} + {})",
            show(Quantity::ResistancePerLength, per_metre.0, 4),
            show(Quantity::Length, run.out.0, 3),
            show(Quantity::Length, run.back.0, 3)
        ),
        show_ohm(cable),
    );
    report.step(
        "Resistance of the joints",
        "R_j = n · R₁",
        format!("R_j = {} · {}", short(run.joint_count), show_ohm(run.joint)),
        show_ohm(run.joints()),
    );
    report.step(
        "Resistance of the loop",
        "R = R_c + R_j",
        format!("R = {} + {}", show_ohm(cable), show_ohm(run.joints())),
        show_ohm(loop_resistance),
    );
}

fn shares(run: &Run, per_metre: OhmPerMetre, drop: Volt) -> Table {
    let parts = [
        ("Cable out", conductor::run_resistance(per_metre, run.out)),
        ("Cable back", conductor::run_resistance(per_metre, run.back)),
        ("Joints", run.joints()),
    ];
    let row = |(name, resistance): (&str, Ohm)| {
        let part = resistance * run.current;
        vec![
            name.to_owned(),
            show_ohm(resistance),
            show(Quantity::Voltage, part.0, 3),
            show(Quantity::Power, (part * run.current).0, 3),
            show(Quantity::Percent, 100.0 * (part / drop), 3),
        ]
    };
    Table {
        title: "Each part's share".to_owned(),
        heads: vec!["Part", "Resistance", "Drop", "Heat", "Share"],
        rows: parts.into_iter().map(row).collect(),
    }
}

fn remarks(report: &mut Report, run: &Run, drop: Volt, state: State, some_size_passes: bool) {
    let (dropped, allowed) = (show(Quantity::Voltage, drop.0, 3), show(Quantity::Voltage, run.allowed.0, 3));
    let gap = show(Quantity::Voltage, (run.allowed.0 - drop.0).abs(), 3);
    let joints = run.joints() * run.current;
    match state {
        State::Within => {
            report.finding(
                Level::Note,
                format!("The run drops {dropped} of the {allowed} allowed; {gap} are left."),
            );
        }
        _ => report.finding(
            Level::Warning,
            format!("The run drops {dropped}; that is {gap} over the {allowed} allowed."),
        ),
    }
    if drop.0 >= run.system.0 {
        report.finding(
            Level::Warning,
            "The drop is greater than the source's voltage: this current cannot flow through this run.",
        );
    }
    if joints.0 >= run.allowed.0 {
        report.finding(
            Level::Next,
            "The joints alone use up the allowed drop. Clean and tighten them; no cable cures a joint.",
        );
    } else if joints.0 > drop.0 / 3.0 {
        report.finding(
            Level::Next,
            "More than a third of the drop is in the joints. Look at them before you choose a thicker cable.",
        );
    } else if !some_size_passes {
        report.finding(
            Level::Next,
            "No size in the list passes. Shorten the run, or use two cables side by side.",
        );
    }
    match run.size {
        Size::Gauge(_) => report.finding(
            Level::Note,
            "A gauge is worked as solid wire of that area; a stranded cable resists about 2 % more (common practice, no source).",
        ),
        Size::Metric(_) => report.finding(
            Level::Note,
            "A metric size is a name and no area: this is the greatest resistance the standard allows, so the real drop is this or less.",
        ),
        Size::Area(_) => report.finding(
            Level::Note,
            "The resistance comes from resistivity and the area you typed. If that area is a printed size, choose the size: its resistance may be higher.",
        ),
    }
}

fn sources(report: &mut Report, run: &Run) {
    match run.size {
        Size::Gauge(_) => report.sources.extend([ASTM_B258, run.metal.resistivity_source()]),
        Size::Metric(_) => report.sources.push(IEC_60228),
        Size::Area(_) => report.sources.push(run.metal.resistivity_source()),
    }
    report.sources.push(run.metal.temperature_source());
    report.sources.push(Source { fact: "Allowed drop", from: "what you typed; the maker's data come first" });
}

fn class_words(class: StrandClass) -> &'static str {
    match class {
        StrandClass::Flexible => "class 5",
        StrandClass::Stranded => "class 2",
    }
}

#[cfg(test)]
mod tests {
    use super::super::{CALCULATOR, SIZES};
    use super::*;

    fn work(settings: &[(&str, &str)]) -> Result<Report, Refusal> {
        CALCULATOR.work(settings)
    }

    #[test]
    fn every_option_is_a_conductor() {
        for option in SIZES {
            let report = work(&[("conductor_size", option.key)]).expect("copper is known for every size");
            assert!(report.number_of("drop_v").expect("given") > 0.0, "{}", option.key);
        }
    }

    #[test]
    fn the_thinnest_that_passes_passes_and_the_next_thinner_does_not() {
        for family in [&SIZES[..13], &SIZES[13..]] {
            let report = work(&[("conductor_size", family[0].key)]).expect("worked");
            let Some(Value::Text(thinnest)) = report.value("smallest_size") else { panic!("given") };
            let at = family.iter().position(|size| size.label == thinnest).expect("listed");
            let verdict =
                |key: &str| work(&[("conductor_size", key)]).expect("worked").value("verdict").cloned();
            assert_eq!(verdict(family[at].key), Some(Value::State(State::Within)));
            assert_eq!(verdict(family[at - 1].key), Some(Value::State(State::Outside)));
        }
    }

    #[test]
    fn a_free_area_is_worked_by_resistivity_and_says_so() {
        let report = work(&[("conductor_size", "27 mm2")]).expect("worked");
        let expected = 1e-6 / 58.0 / 27e-6;
        let given = report.number_of("resistance_per_metre_ohm").expect("given");
        assert!((given - expected).abs() < 1e-15);
        assert!(report.findings.iter().any(|finding| finding.text.contains("area you typed")));
        // By hand: 180 A, 3.6 m, 0.5 V allowed, 4 joints of 0.1 mΩ leave 2.378 mΩ, so A = 3.6 / 58 / 2.378e-3 = 26.1 mm².
        assert_eq!(report.value("smallest_size"), Some(&Value::Text("26.1 mm²".to_owned())));
    }

    #[test]
    fn aluminium_that_the_standard_does_not_print_is_refused() {
        let refusal =
            work(&[("conductor_material", "aluminium"), ("conductor_size", "35 mm2")]).expect_err("class 5");
        assert!(refusal.to_string().contains("IEC 60228"));
    }

    #[test]
    fn the_shares_make_the_whole() {
        let run = Run::of(&Inputs::starting(&CALCULATOR));
        let per_metre = run.per_metre(run.size).expect("known");
        let table = shares(&run, per_metre, run.drop_with(per_metre));
        let total: f64 = table
            .rows
            .iter()
            .map(|row| row[4].trim_end_matches(" %").parse::<f64>().expect("a number"))
            .sum();
        assert!((total - 100.0).abs() < 0.2, "{total}");
    }
}
