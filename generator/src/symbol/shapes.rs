//! The table of symbols.

use super::Shape::{Bold, Line, Link, Open, Solid};
use super::{Kind, Pin, Symbol};

const fn pin(name: &'static str, at: (i32, i32)) -> Pin {
    Pin { name, at, mark: "", mark_at: None, optional: false }
}

const fn marked(name: &'static str, at: (i32, i32), mark: &'static str, mark_at: (i32, i32)) -> Pin {
    Pin { mark, mark_at: Some(mark_at), ..pin(name, at) }
}

const fn optional(name: &'static str, at: (i32, i32)) -> Pin {
    Pin { optional: true, ..pin(name, at) }
}

/// What most symbols have not: a moving contact, and words. The rest is said by each.
const BARE: Symbol = Symbol {
    kind: Kind::Point,
    word: "",
    label: "",
    body: [0, 0, 0, 0],
    pins: &[],
    shapes: &[],
    rest: &[],
    worked: &[],
    texts: &[],
};

const IN_LINE: &[Pin] = &[pin("1", (-2, 0)), pin("2", (2, 0))];
const METER: &[Pin] = &[marked("+", (-2, 0), "+", (-16, -7)), marked("-", (2, 0), "−", (16, -7))];
const MOTOR: &[Pin] = &[pin("45", (0, -4)), marked("31", (0, 4), "31", (12, 34))];

/// A symbol in a line, its terminals two steps to the left and the right of its middle.
const fn in_line(
    kind: Kind,
    word: &'static str,
    label: &'static str,
    shapes: &'static [super::Shape],
) -> Symbol {
    Symbol { kind, word, label, body: [-2, -1, 2, 1], pins: IN_LINE, shapes, ..BARE }
}

/// A meter with a letter in a circle.
const fn meter(
    kind: Kind,
    word: &'static str,
    label: &'static str,
    letter: &'static [(i32, i32, &'static str)],
) -> Symbol {
    Symbol {
        pins: METER,
        texts: letter,
        ..in_line(
            kind,
            word,
            label,
            &[Line("M-20 0H-10M10 0H20"), Open("M-10 0a10 10 0 1 1 20 0a10 10 0 1 1-20 0Z")],
        )
    }
}

const SWITCH_LEADS: super::Shape = Line("M-20 0H-9M9 0H20");
const CONTACTS: super::Shape =
    Solid("M-11.2 0a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0ZM6.8 0a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0Z");

const fn motor(
    kind: Kind,
    word: &'static str,
    label: &'static str,
    shapes: &'static [super::Shape],
) -> Symbol {
    Symbol { kind, word, label, body: [-3, -4, 3, 4], pins: MOTOR, shapes, texts: &[(0, 8, "M")], ..BARE }
}

/// Every symbol.
pub static SYMBOLS: &[Symbol] = &[
    Symbol {
        kind: Kind::Battery,
        word: "battery",
        label: "battery",
        body: [-2, -2, 2, 2],
        pins: &[marked("+", (0, -2), "+", (11, -14)), marked("-", (0, 2), "−", (11, 15))],
        shapes: &[Line("M0-20V-8M-13-8H13M-13 2H13M0 8V20"), Bold("M-7-3H7M-7 7H7")],
        ..BARE
    },
    Symbol {
        kind: Kind::BenchSupply,
        word: "bench-supply",
        label: "bench supply",
        body: [-3, -3, 3, 3],
        pins: &[marked("+", (3, -2), "+", (22, -20)), marked("-", (3, 2), "−", (22, 20))],
        shapes: &[Open("M-30-30H30V30H-30Z"), Line("M-12-4H12M-12 4H-6M-3 4H3M6 4H12")],
        ..BARE
    },
    Symbol {
        body: [-2, -3, 2, 1],
        texts: &[(0, -20, "A")],
        ..in_line(
            Kind::ClampMeter,
            "clamp-meter",
            "clamp meter",
            &[
                Line("M-20 0H20M0-11V-8M-5 0a5 8 0 1 1 10 0a5 8 0 1 1-10 0"),
                Open("M-9-20a9 9 0 1 1 18 0a9 9 0 1 1-18 0Z"),
            ],
        )
    },
    meter(Kind::Ammeter, "ammeter", "ammeter", &[(0, 0, "A")]),
    meter(Kind::Voltmeter, "voltmeter", "voltmeter", &[(0, 0, "V")]),
    Symbol {
        kind: Kind::Solenoid,
        word: "solenoid",
        label: "solenoid",
        body: [-7, -4, 7, 5],
        pins: &[
            marked("30", (-7, -2), "30 / B", (-47, -30)),
            marked("50", (-7, 2), "50 / S", (-47, 5)),
            marked("45", (7, -2), "45 / M", (46, -30)),
            marked("31", (0, 5), "31", (14, 43)),
        ],
        shapes: &[
            Open("M-70-40H70V50H-70Z"),
            Line("M-70-20H-24M24-20H70M-70 20H-44M-56 20V38H-44M-8 20H56V-20M-8 38H0V50"),
            Line("M-44 13H-8V27H-44ZM-44 31H-8V45H-44Z"),
            Solid("M-24-20a4 4 0 1 1 8 0a4 4 0 1 1-8 0ZM16-20a4 4 0 1 1 8 0a4 4 0 1 1-8 0Z"),
            Solid(
                "M-58.5 20a2.5 2.5 0 1 1 5 0a2.5 2.5 0 1 1-5 0ZM53.5-20a2.5 2.5 0 1 1 5 0a2.5 2.5 0 1 1-5 0Z",
            ),
        ],
        rest: &[Bold("M-22-30H22"), Link("M-15-30V13")],
        worked: &[Bold("M-22-25H22"), Link("M-15-25V13")],
        texts: &[(22, 9, "pull-in"), (30, 31, "hold-in")],
    },
    motor(
        Kind::SeriesMotor,
        "series-motor",
        "series motor",
        &[
            Line("M0-40V-34a4 4 0 0 1 0 8a4 4 0 0 1 0 8a4 4 0 0 1 0 8M0 24V40"),
            Open("M-16 8a16 16 0 1 1 32 0a16 16 0 1 1-32 0Z"),
            Solid("M-4-11H4V-7H-4ZM-4 23H4V27H-4Z"),
        ],
    ),
    motor(
        Kind::MagnetMotor,
        "magnet-motor",
        "permanent-magnet motor",
        &[
            Line("M0-40V-10M0 24V40"),
            Open("M-16 8a16 16 0 1 1 32 0a16 16 0 1 1-32 0Z"),
            Open("M-27-4H-20V20H-27ZM20-4H27V20H20Z"),
            Solid("M-4-11H4V-7H-4ZM-4 23H4V27H-4Z"),
        ],
    ),
    Symbol {
        rest: &[Line("M-9 0L8-9")],
        worked: &[Line("M-9 0L9 0")],
        ..in_line(Kind::MainSwitch, "main-switch", "main switch", &[SWITCH_LEADS, CONTACTS])
    },
    Symbol {
        body: [-2, -2, 2, 1],
        rest: &[Line("M-12-7H12M0-7V-16M-6-16H6")],
        worked: &[Line("M-12-2.5H12M0-2.5V-12M-6-12H6")],
        ..in_line(Kind::PushSwitch, "push-switch", "push switch", &[SWITCH_LEADS, CONTACTS])
    },
    Symbol {
        kind: Kind::KeySwitch,
        word: "key-switch",
        label: "key switch",
        body: [-4, -3, 4, 3],
        pins: &[
            marked("30", (-4, 0), "30", (-30, -9)),
            Pin { mark: "15", mark_at: Some((30, -12)), ..optional("15", (4, -2)) },
            marked("50", (4, 2), "50", (30, 11)),
        ],
        shapes: &[
            Open("M-40-30H40V30H-40Z"),
            Line("M-40 0H-14M16-20H40M16 20H40M-14-4V-16M-18-24a4 4 0 1 1 8 0a4 4 0 1 1-8 0"),
            Solid(
                "M-16.2 0a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0ZM11.8-20a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0ZM11.8 20a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0Z",
            ),
        ],
        rest: &[Line("M-14 0H12")],
        worked: &[Line("M-14 0L14-20M-14 0L14 20")],
        texts: &[],
    },
    Symbol {
        body: [-2, -3, 2, 1],
        rest: &[Line("M-9 0L8-9"), Link("M0-5V-14")],
        worked: &[Line("M-9 0L9 0"), Link("M0 0V-14")],
        texts: &[(0, -21, "N")],
        ..in_line(
            Kind::NeutralSwitch,
            "neutral-switch",
            "neutral switch",
            &[SWITCH_LEADS, CONTACTS, Open("M-8-28H8V-14H-8Z")],
        )
    },
    Symbol {
        body: [-2, -3, 2, 1],
        rest: &[Line("M-9 0L8-9"), Link("M0-5V-16")],
        worked: &[Line("M-9 0L9 0"), Link("M0 0V-16")],
        ..in_line(
            Kind::ClutchSwitch,
            "clutch-switch",
            "clutch switch",
            &[SWITCH_LEADS, CONTACTS, Line("M0-16L10-28"), Bold("M-5-20L5-12")],
        )
    },
    Symbol {
        kind: Kind::Relay,
        word: "relay",
        label: "relay",
        body: [-5, -3, 5, 4],
        pins: &[
            marked("30", (-5, -1), "30", (-39, -19)),
            marked("87", (5, -1), "87", (39, -19)),
            marked("86", (-5, 2), "86", (-39, 29)),
            marked("85", (5, 2), "85", (39, 29)),
        ],
        shapes: &[
            Open("M-50-30H50V40H-50Z"),
            Line("M-50-10H-14M14-10H50M-50 20H-16M16 20H50M-16 12H16V28H-16ZM-6 28L6 12"),
            Solid(
                "M-16.2-10a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0ZM11.8-10a2.2 2.2 0 1 1 4.4 0a2.2 2.2 0 1 1-4.4 0Z",
            ),
        ],
        rest: &[Line("M-14-10L13-21"), Link("M0-15V12")],
        worked: &[Line("M-14-10H14"), Link("M0-10V12")],
        texts: &[],
    },
    in_line(Kind::Fuse, "fuse", "fuse", &[Open("M-12-5H12V5H-12Z"), Line("M-20 0H20")]),
    in_line(
        Kind::FusibleLink,
        "fusible-link",
        "fusible link",
        &[
            Line("M-20 0H-12M12 0H20M-12 0q6-11 12 0t12 0"),
            Open("M-14.5 0a2.5 2.5 0 1 1 5 0a2.5 2.5 0 1 1-5 0ZM9.5 0a2.5 2.5 0 1 1 5 0a2.5 2.5 0 1 1-5 0Z"),
        ],
    ),
    Symbol {
        body: [-1, -1, 1, 1],
        pins: &[pin("1", (-1, 0)), pin("2", (1, 0))],
        ..in_line(
            Kind::Joint,
            "joint",
            "joint",
            &[
                Line("M-10 0H-5M5 0H10"),
                Open("M-5 0a5 5 0 1 1 10 0a5 5 0 1 1-10 0Z"),
                Solid("M-1.8 0a1.8 1.8 0 1 1 3.6 0a1.8 1.8 0 1 1-3.6 0Z"),
            ],
        )
    },
    in_line(Kind::Resistor, "resistor", "resistor", &[Line("M-20 0H-12M12 0H20"), Open("M-12-5H12V5H-12Z")]),
    in_line(
        Kind::CarbonPile,
        "carbon-pile",
        "carbon pile",
        &[Line("M-20 0H-12M12 0H20"), Open("M-12-5H12V5H-12Z"), Line("M-9 10L8-9"), Solid("M11-12L3-9L8-4Z")],
    ),
    in_line(
        Kind::Lamp,
        "lamp",
        "lamp",
        &[
            Line("M-20 0H-10M10 0H20"),
            Open("M-10 0a10 10 0 1 1 20 0a10 10 0 1 1-20 0Z"),
            Line("M-7-7L7 7M-7 7L7-7"),
        ],
    ),
    Symbol {
        kind: Kind::CaseGround,
        word: "case-ground",
        label: "case",
        body: [-2, 0, 2, 2],
        pins: &[pin("1", (0, 0))],
        shapes: &[Line("M0 0V8M-12 8H12M-9 8L-14 17M0 8L-5 17M9 8L4 17")],
        ..BARE
    },
    Symbol {
        kind: Kind::EngineBlock,
        word: "engine-block",
        label: "engine block",
        body: [-8, 0, 8, 2],
        pins: &[
            optional("1", (-6, 0)),
            optional("2", (-3, 0)),
            optional("3", (0, 0)),
            optional("4", (3, 0)),
            optional("5", (6, 0)),
        ],
        shapes: &[
            Open("M-80 0H80V20H-80Z"),
            Line(
                "M-80 14L-66 0M-72 20L-52 0M-58 20L-38 0M-44 20L-24 0M-30 20L-10 0M-16 20L4 0M-2 20L18 0M12 20L32 0M26 20L46 0M40 20L60 0M54 20L74 0M68 20L80 8",
            ),
        ],
        ..BARE
    },
    Symbol {
        kind: Kind::Point,
        word: "point",
        label: "point",
        body: [0, 0, 0, 0],
        pins: &[pin("1", (0, 0))],
        shapes: &[],
        ..BARE
    },
];
