//! `limits.toml`: limits with where they come from.

use fieldcoil_calc::unit::Quantity;

use super::keys::{Body, Keys, Start};
use super::school_rule::is_kebab_case;
use crate::course::{Limit, Origin};
use crate::finding::nearest::symbol_of;
use crate::finding::{Finding, shown};
use crate::source::{FileId, Span, Spanned};

/// Limits are readings of meters on a bench: beyond this a number is a slip.
const LARGEST: f64 = 1e9;
/// The keys that say where a limit comes from besides `source`.
const MARKS: [(&str, Origin); 3] =
    [("demo", Origin::Demo), ("practice", Origin::Practice), ("memory", Origin::Memory)];

/// Reads the file.
pub fn limits(file: FileId, text: &str, found: &mut Vec<Finding>) -> Vec<Limit> {
    let body = Body { at: Start { file, offset: 0 }, text };
    let first_line = text.find('\n').unwrap_or(text.len());
    let list = body.read("`limits.toml`", Span::new(file, 0..first_line), found, |keys, found| {
        let tables = keys.tables("limit", "this limit", found);
        tables.into_iter().map(|keys| limit(keys, found)).collect::<Vec<_>>()
    });
    for (at, limit) in list.iter().enumerate() {
        let same = |other: &&Limit| other.name.value == limit.name.value && !limit.name.value.is_empty();
        if let Some(first) = list[..at].iter().find(same) {
            let message = format!("two limits are named `{}`", shown(&limit.name.value));
            found.push(
                Finding::error("second-limit", message, limit.name.span, "the second")
                    .also(first.name.span, "the first")
                    .help("give each limit a name of its own"),
            );
        }
    }
    list
}

fn limit(mut keys: Keys, found: &mut Vec<Finding>) -> Limit {
    let span = keys.span;
    let name = keys.needed_text("name", found);
    let of = keys.needed_text("of", found).value;
    let what = keys.needed_text("what", found).value;
    let unit = keys.maybe_empty_text("unit", found).unwrap_or(Spanned::new(String::new(), span));
    let minimum = keys.number("minimum", (-LARGEST, LARGEST), found);
    let maximum = keys.number("maximum", (-LARGEST, LARGEST), found);
    let at = keys.text("at", found).map_or_else(String::new, |at| at.value);
    let origin = origin(&mut keys, found);
    if !name.value.is_empty() && !is_kebab_case(&name.value) {
        let message = format!("`{}` cannot be the name of a limit", shown(&name.value));
        found.push(
            Finding::error("limit-name", message, name.span, "small letters, figures and hyphens are wanted")
                .help("write it like \"fc-12-free-spin-current\""),
        );
    }
    match (&minimum, &maximum) {
        (None, None) => keys.need("maximum", "80` or `minimum = 40", found),
        (Some(minimum), Some(maximum)) if minimum.value > maximum.value => {
            let message = format!("the minimum {} is above the maximum {}", minimum.value, maximum.value);
            found.push(
                Finding::error("limits-crossed", message, minimum.span, "no reading can be inside")
                    .also(maximum.span, "the maximum")
                    .help("exchange the two"),
            );
        }
        _ => {}
    }
    keys.finish(found);
    let unit = known_unit(&unit, found);
    let (minimum, maximum) = (minimum.map(|number| number.value), maximum.map(|number| number.value));
    Limit { name, of, what, unit, minimum, maximum, at, origin, span }
}

fn known_unit(
    unit: &Spanned<String>,
    found: &mut Vec<Finding>,
) -> Option<(Quantity, &'static fieldcoil_calc::unit::Unit)> {
    let known = Quantity::of_unit(&unit.value);
    if known.is_none() {
        let symbols = Quantity::ALL.iter().flat_map(|quantity| quantity.units()).map(|unit| unit.symbol);
        let message = format!("`{}` is no unit that is known here", shown(&unit.value));
        found.push(
            Finding::error("limit-unit", message, unit.span, "in no list of units")
                .near(symbol_of(&unit.value), symbols)
                .help("write its symbol: `V`, `mΩ`, `rpm`; leave it out for a plain number"),
        );
    }
    known
}

/// Exactly one of four keys says where the limit comes from.
fn origin(keys: &mut Keys, found: &mut Vec<Finding>) -> Option<Origin> {
    let source = keys.text("source", found).map(|key| (key.span, Origin::Published(key)));
    let mut said: Vec<(Span, Origin)> = source.into_iter().collect();
    for (key, origin) in MARKS {
        let place = keys.span_of(key);
        match keys.flag(key, found) {
            Some(true) => said.push((place, origin)),
            Some(false) => found.push(
                Finding::error("limit-origin", format!("`{key} = false` says nothing"), place, "no source")
                    .help("take the line out, and say where the limit does come from"),
            ),
            None => {}
        }
    }
    const HELP: &str = "write one of `source = \"a key of references.toml\"`, `demo = true` (invented), `practice = true` (common practice, no source) or `memory = true`";
    if said.is_empty() {
        found.push(
            Finding::error(
                "limit-origin",
                "this limit does not say where it comes from",
                keys.span,
                "no source",
            )
            .help(HELP),
        );
    }
    if let [(first, _), (second, _), ..] = said.as_slice() {
        found.push(
            Finding::error("limit-origin", "this limit comes from two places", *second, "the second")
                .also(*first, "the first")
                .help(HELP),
        );
    }
    said.into_iter().next().map(|(_, origin)| origin)
}
