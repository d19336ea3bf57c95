//! A problem as lines of text, for the page: what is drawn and asked, without the words around it.
//!
//! One line a thing, its parts parted by tabs. Both ends are this file, so the lines are no format for others.

use super::item::{Ask, Choices, Drawn, Item, Tolerance};
use crate::calculator::OutputKind;
use crate::catalog;
use crate::measurement::words;
use crate::number::{parse, short};

/// The problem in lines.
pub fn write(item: &Item) -> String {
    let mut lines = vec![["item\t", &item.name].concat()];
    for (field, text) in &item.given {
        lines.push(["give\t", field, "\t", text].concat());
    }
    for drawn in &item.drawn {
        lines.push(match &drawn.choices {
            Choices::Steps { from, step, count, places, unit } => {
                let numbers = [from.to_string(), step.to_string(), count.to_string(), places.to_string()];
                ["step\t", &drawn.field, "\t", &numbers.join("\t"), "\t", unit].concat()
            }
            Choices::Among(list) => ["pick\t", &drawn.field, "\t", &list.join("\t")].concat(),
        });
    }
    for ask in &item.asks {
        let tolerance = match ask.tolerance {
            Tolerance::Absolute(band) => ["a", &short(band)].concat(),
            Tolerance::Share(share) => ["s", &short(share)].concat(),
            Tolerance::Meter(spread) => ["m", &words::written(spread)].concat(),
        };
        let uses: Vec<String> =
            ask.uses.iter().map(|(field, name)| [field.as_str(), "=", name].concat()).collect();
        let parts = [
            "ask",
            &ask.name,
            ask.calculator.name,
            &ask.output,
            ask.unit.symbol,
            &tolerance,
            &short(ask.points),
            &short(ask.for_power),
            &short(ask.for_unit),
            &uses.join(" "),
        ];
        lines.push(parts.join("\t"));
    }
    lines.join("\n")
}

/// The problem that lines say; nothing when they are not of [`write()`].
pub fn read(text: &str) -> Option<Item> {
    let mut item = Item { name: String::new(), given: Vec::new(), drawn: Vec::new(), asks: Vec::new() };
    for line in text.lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        match parts.as_slice() {
            ["item", name] => item.name = (*name).to_owned(),
            ["give", field, value] => item.given.push(((*field).to_owned(), (*value).to_owned())),
            ["step", field, from, step, count, places, unit] => item.drawn.push(Drawn {
                field: (*field).to_owned(),
                // One kind of number reads all: each kind is half a kilobyte of the page.
                choices: Choices::Steps {
                    from: from.parse().ok()?,
                    step: step.parse().ok()?,
                    count: count.parse::<i64>().ok()?.try_into().ok()?,
                    places: places.parse::<i64>().ok()?.try_into().ok()?,
                    unit: (*unit).to_owned(),
                },
            }),
            ["pick", field, list @ ..] => item.drawn.push(Drawn {
                field: (*field).to_owned(),
                choices: Choices::Among(list.iter().map(|text| (*text).to_owned()).collect()),
            }),
            ["ask", rest @ ..] => item.asks.push(ask(rest)?),
            _ => return None,
        }
    }
    Some(item)
}

fn ask(parts: &[&str]) -> Option<Ask> {
    let [name, calculator, output, unit, tolerance, points, for_power, for_unit, uses] = parts else {
        return None;
    };
    let calculator = catalog::find(calculator)?;
    let OutputKind::Number(quantity, _) = calculator.output(output)?.kind else { return None };
    let number = |text: &str| parse(text).ok();
    let tolerance = match tolerance.split_at_checked(1)? {
        ("a", band) => Tolerance::Absolute(number(band)?),
        ("s", share) => Tolerance::Share(number(share)?),
        ("m", sheet) => Tolerance::Meter(words::read(sheet, 0.0, false)?),
        _ => return None,
    };
    let uses = uses.split(' ').filter_map(|pair| pair.split_once('='));
    Some(Ask {
        name: (*name).to_owned(),
        calculator,
        output: (*output).to_owned(),
        unit: quantity.unit(unit)?,
        tolerance,
        points: number(points)?,
        for_power: number(for_power)?,
        for_unit: number(for_unit)?,
        uses: uses.map(|(field, name)| (field.to_owned(), name.to_owned())).collect(),
    })
}
