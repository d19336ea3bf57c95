//! Circuit symbols: where their terminals are, what they look like at rest and when worked, and where they turn.
//!
//! The shapes are our own drawings in the manner of IEC 60617 and IEEE 315. A symbol's own axes have their origin at its
//! middle; terminals and bodies are counted in grid steps, shapes in tenths of a step. So that wires meet terminals,
//! every terminal lies on the border of the body.

mod shapes;
mod turned;

pub use shapes::SYMBOLS;
pub use turned::Turned;

/// Length of one grid step in the units of a drawing.
pub const STEP: i32 = 10;

/// What a symbol stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A battery or a bank of them.
    Battery,
    /// A supply of a test bench.
    BenchSupply,
    /// A clamp meter round a lead.
    ClampMeter,
    /// An ammeter in the line.
    Ammeter,
    /// A voltmeter.
    Voltmeter,
    /// A starting motor's solenoid with its two coils and the main contact.
    Solenoid,
    /// A motor with its field in series.
    SeriesMotor,
    /// A motor with permanent magnets.
    MagnetMotor,
    /// A switch that stays as it is put.
    MainSwitch,
    /// A switch that is closed while it is held: a start button, a remote start switch.
    PushSwitch,
    /// An ignition and start switch.
    KeySwitch,
    /// A switch of the gear lever, closed in neutral.
    NeutralSwitch,
    /// A switch of the clutch pedal, closed when it is down.
    ClutchSwitch,
    /// A relay.
    Relay,
    /// A fuse.
    Fuse,
    /// A fusible link.
    FusibleLink,
    /// A bolted or crimped joint.
    Joint,
    /// A resistor.
    Resistor,
    /// A load that can be set: the carbon pile of a load tester.
    CarbonPile,
    /// A lamp.
    Lamp,
    /// The case or the body as a return; all of them in a circuit are one.
    CaseGround,
    /// The engine block as a return, with room for several leads.
    EngineBlock,
    /// A point where wires meet.
    Point,
}

/// A symbol as it stands in the table: not turned, its middle at the origin.
#[derive(Debug)]
pub struct Symbol {
    /// What it stands for.
    pub kind: Kind,
    /// Its word in lessons.
    pub word: &'static str,
    /// What a reader calls it.
    pub label: &'static str,
    /// Left, top, right and bottom of its body, in grid steps; wires keep out of it.
    pub body: [i32; 4],
    /// Its terminals.
    pub pins: &'static [Pin],
    /// What is always drawn.
    pub shapes: &'static [Shape],
    /// The moving part as it is at rest.
    pub rest: &'static [Shape],
    /// The moving part when the switch is worked or the coil has pulled.
    pub worked: &'static [Shape],
    /// Words inside it: place of their middle in drawing units, and the words.
    pub texts: &'static [(i32, i32, &'static str)],
}

/// A terminal.
#[derive(Debug)]
pub struct Pin {
    /// What lessons call it: `30`, `+`.
    pub name: &'static str,
    /// Where it is, in grid steps.
    pub at: (i32, i32),
    /// What is written at it: the number of DIN 72552 and the letter that is commonly cast on starters.
    pub mark: &'static str,
    /// The middle of that writing inside the body, in drawing units; nothing when it stands outside.
    pub mark_at: Option<(i32, i32)>,
    /// May it be left without a wire?
    pub optional: bool,
}

/// A part of a drawing: SVG path data in drawing units.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A line.
    Line(&'static str),
    /// A line twice as strong.
    Bold(&'static str),
    /// A thin broken line: a mechanical link.
    Link(&'static str),
    /// An outline filled like the paper.
    Open(&'static str),
    /// An area filled with ink.
    Solid(&'static str),
}

impl Kind {
    /// Can it be open and closed by hand?
    pub fn can_be_switched(self) -> bool {
        matches!(
            self,
            Kind::MainSwitch
                | Kind::PushSwitch
                | Kind::KeySwitch
                | Kind::NeutralSwitch
                | Kind::ClutchSwitch
                | Kind::CarbonPile
        )
    }

    /// May it stand on its side? Not so where the words inside it would run into each other.
    pub fn can_lie(self) -> bool {
        !matches!(self, Kind::Solenoid | Kind::Relay | Kind::KeySwitch)
    }

    /// Does it show a reading?
    pub fn is_meter(self) -> bool {
        matches!(self, Kind::ClampMeter | Kind::Ammeter | Kind::Voltmeter)
    }

    /// Its row in the table.
    pub fn symbol(self) -> &'static Symbol {
        SYMBOLS.iter().find(|symbol| symbol.kind == self).expect("a test finds every kind in the table")
    }
}

impl Symbol {
    /// The terminal that lessons call `name`, by its place in [`pins`](Symbol::pins).
    pub fn pin(&self, name: &str) -> Option<usize> {
        self.pins.iter().position(|pin| pin.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_terminal_lies_on_the_border_of_its_body() {
        for symbol in SYMBOLS {
            let [left, top, right, bottom] = symbol.body;
            assert!(!symbol.pins.is_empty(), "{}", symbol.word);
            for Pin { name, at: (x, y), .. } in symbol.pins {
                let on_border = *x == left || *x == right || *y == top || *y == bottom;
                let inside = (left..=right).contains(x) && (top..=bottom).contains(y);
                assert!(on_border && inside, "{} {name}", symbol.word);
            }
        }
    }

    #[test]
    fn kinds_words_and_terminals_stand_once() {
        for (index, symbol) in SYMBOLS.iter().enumerate() {
            assert!(std::ptr::eq(symbol.kind.symbol(), symbol), "{}", symbol.word);
            assert!(SYMBOLS[..index].iter().all(|other| other.word != symbol.word), "{}", symbol.word);
            for (index, pin) in symbol.pins.iter().enumerate() {
                assert_eq!(symbol.pin(pin.name), Some(index), "{}", symbol.word);
                assert!(symbol.pins[..index].iter().all(|other| other.at != pin.at), "{}", symbol.word);
            }
        }
    }
}
