//! A hookup-order checklist: what is done to which part, in order.

mod bench_state;

use crate::source::{Span, Spanned};
pub use bench_state::{
    BenchState, LAST_NEGATIVE, LOADS, MOTOR_SUPPLY, RETURN_SIDE, SUPPLY_SIDE, is_power_lead,
};

/// Free-spin tests are kept to this as common practice in the trade: the motor is not loaded and runs up.
pub const ORDINARY_LIMIT_S: f64 = 5.0;

/// A checklist, from bare bench to bare bench.
#[derive(Debug, Clone)]
pub struct Hookup {
    /// Anchor and key of the ticks: `hookup-1`.
    pub id: String,
    /// Name under which a `circuit` of the lesson shows what its steps connect.
    pub name: Option<Spanned<String>>,
    /// What the list is for.
    pub title: String,
    /// What the motor is fed from.
    pub bench: Bench,
    /// Longest stretch energized, and where it is set when the lesson sets it.
    pub limit_s: f64,
    /// Where [`limit_s`](Hookup::limit_s) is set; the whole block when it is the ordinary one.
    pub limit_span: Span,
    /// Who sets a limit longer than common practice.
    pub limit_source: Option<String>,
    /// The steps, in order; those of one phase stand together.
    pub steps: Vec<HookupStep>,
    /// Could all of it be read? The order of a list with holes says nothing.
    pub complete: bool,
    /// Where it stands.
    pub span: Span,
}

/// What the motor is fed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bench {
    /// A bench supply with a main switch and a start button.
    Supply,
    /// A battery, live all the time, with a remote start switch or a load tester.
    Battery,
    /// The motor is in the vehicle.
    Vehicle,
}

/// The three lists of a checklist.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// Connecting, up to the instructor's check.
    Hookup,
    /// Energizing and reading.
    Run,
    /// Taking it apart.
    Unhook,
}

/// One step.
#[derive(Debug, Clone)]
pub struct HookupStep {
    /// Which list it stands in.
    pub phase: Phase,
    /// What is done.
    pub action: Spanned<Action>,
    /// To what, where the action has an object.
    pub part: Option<Spanned<Part>>,
    /// The sentence said to the student.
    pub say: String,
    /// Why, or nothing.
    pub why: String,
    /// How long: of an `energize` or a `rest`.
    pub seconds: Option<Spanned<f64>>,
    /// Name of the worksheet reading: of a `read`; of an `attach` the one that the voltmeter's leads are put there for.
    pub reading: Option<Spanned<String>>,
    /// What the current is for from this step on, in the words of the sheet's `during`: of an `energize`, and of the
    /// step that opens the pull-in return.
    pub state: Option<Spanned<String>>,
    /// Where it stands.
    pub span: Span,
}

/// Declares an enumeration with the words that TOML and the page use for it.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal, $label:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant,)* }

        impl $name {
            /// Every one, in order.
            pub const ALL: &[$name] = &[$($name::$variant,)*];

            /// The word used in lessons.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// The words shown to a reader.
            pub fn label(self) -> &'static str {
                match self { $($name::$variant => $label,)* }
            }

            /// The one that lessons call `word`.
            pub fn find(word: &str) -> Option<$name> {
                $name::ALL.iter().copied().find(|one| one.word() == word)
            }
        }
    };
}

words! {
    /// What is done in a step.
    Action {
        /// Put protection on.
        Wear = "wear", "Wear";
        /// Clamp or bolt down.
        Fasten = "fasten", "Fasten";
        /// Connect a lead or a meter.
        Attach = "attach", "Attach";
        /// Take a lead or a meter off.
        Detach = "detach", "Detach";
        /// Make room, remove what is in the way.
        Clear = "clear", "Clear";
        /// Close a switch that feeds the bench.
        SwitchOn = "switch-on", "Switch on";
        /// Open a switch that feeds the bench.
        SwitchOff = "switch-off", "Switch off";
        /// Press and hold the start button, or close the remote switch.
        Energize = "energize", "Energize";
        /// Let go of it.
        Release = "release", "Release";
        /// Take a named reading.
        Read = "read", "Read";
        /// Look for something.
        Look = "look", "Look";
        /// Stop until the instructor has looked and signed.
        InstructorCheck = "instructor-check", "Instructor check";
        /// Wait.
        Rest = "rest", "Rest";
        /// Undo what was fastened.
        Loosen = "loosen", "Loosen";
        /// Take away.
        Remove = "remove", "Remove";
    }
}

words! {
    /// What a step is done to.
    Part {
        /// Goggles or safety glasses.
        EyeProtection = "eye-protection", "eye protection";
        /// Rings, watches, chains.
        Jewellery = "jewellery", "rings and watch";
        /// The motor as a body.
        Motor = "motor", "motor";
        /// The opening through which the pinion comes out.
        DriveOpening = "drive-opening", "drive opening";
        /// The bench and the floor around it.
        Bench = "bench", "bench";
        /// Return lead on the bare case of the motor, DIN 31.
        CaseReturn = "case-return", "return lead on the case (31)";
        /// Supply lead on the main terminal, DIN 30, often cast B.
        MainTerminal = "main-terminal", "supply lead on the main terminal (30 / B)";
        /// Start lead on the start terminal, DIN 50, often cast S.
        StartTerminal = "start-terminal", "start lead on the start terminal (50 / S)";
        /// Supply lead on the motor terminal, DIN 45, often cast M: past the main contact.
        MotorTerminal = "motor-terminal", "supply lead on the motor terminal (45 / M)";
        /// The motor's own lead on the motor terminal, which leads to its windings. On at the start of every list.
        MotorLead = "motor-lead", "motor's own lead on the motor terminal (45 / M)";
        /// Return lead on the motor terminal, for the pull-in coil alone.
        PullInReturn = "pull-in-return", "pull-in return lead on the motor terminal (45 / M)";
        /// The positive clip as a body that may touch bare metal.
        PositiveClip = "positive-clip", "positive clip";
        /// Lead on the positive post or socket of the source.
        SourcePositive = "source-positive", "lead on the source's positive (30 / +)";
        /// Lead on the negative post or socket of the source.
        SourceNegative = "source-negative", "lead on the source's negative (31 / −)";
        /// Clamp of a load tester or carbon pile on the positive post.
        LoadPositive = "load-positive", "load tester's clamp on the positive post (+)";
        /// Clamp of a load tester or carbon pile on the negative post.
        LoadNegative = "load-negative", "load tester's clamp on the negative post (−)";
        /// The battery as a body: its case, its posts, the gas above it, the charger beside it.
        Battery = "battery", "battery";
        /// A clamp meter around one main lead.
        ClampMeter = "clamp-meter", "clamp meter";
        /// An ammeter that the current of a lead runs through.
        Ammeter = "ammeter", "ammeter in the lead";
        /// The voltmeter as a body: its range and its sockets.
        Voltmeter = "voltmeter", "voltmeter";
        /// The two leads of a voltmeter.
        VoltmeterLeads = "voltmeter-leads", "voltmeter leads";
        /// The leads of a voltmeter on the studs of the motor, beside terminal 30.
        VoltmeterOnMotor = "voltmeter-on-motor", "voltmeter leads on the motor";
        /// A tachometer, a stroboscope, or a tool that shows a speed.
        Tachometer = "tachometer", "tachometer";
        /// The switch that feeds the bench.
        MainSwitch = "main-switch", "main switch";
        /// The button that energizes the motor while it is held.
        StartButton = "start-button", "start button";
        /// A remote switch that energizes the motor while it is held.
        RemoteSwitch = "remote-switch", "remote start switch";
        /// The button that gives a small supply's output free while it is on.
        OutputButton = "output-button", "output button";
        /// The switch of a load tester.
        LoadSwitch = "load-switch", "load tester's switch";
        /// The knob of a carbon pile: off, or so much load.
        CarbonPile = "carbon-pile", "carbon pile";
        /// The switch in the pull-in return, which opens it while the hold-in coil holds.
        PullInSwitch = "pull-in-switch", "switch in the pull-in return";
        /// The key of a vehicle.
        Key = "key", "key";
        /// The pinion of the motor.
        Pinion = "pinion", "pinion";
        /// The vehicle as a body that may roll or start.
        Vehicle = "vehicle", "vehicle";
        /// What would let the engine start while it is cranked.
        IgnitionAndFuel = "ignition-and-fuel", "ignition and fuel";
    }
}
