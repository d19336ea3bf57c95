//! The recordings that lessons show, simulated: `cargo run -p fieldcoil-calc --example recordings content/traces`.
//!
//! The motor is the course's demo motor (invented), fitted to its sheet by the library; what is wrong with it, or what it
//! turns, are the numbers below, and each file's first lines state them. The same numbers give the same bytes.

use fieldcoil_calc::math::{sine, square_root};
use fieldcoil_calc::number::to_places;
use fieldcoil_calc::numeric::ode::{Flow, Tolerance, integrate};
use fieldcoil_calc::physics::motor::{Excitation, Feed, FreeSpinPoint, Magnetization, Motor, brush_voltage};
use fieldcoil_calc::physics::motor_fit::{Field, Sheet, fit};
use fieldcoil_calc::quantity::{
    Ampere, Henry, KilogramSquareMetre, NewtonMetre, NewtonMetrePerAmpere, Ohm, RadianPerSecond, Rpm, Volt,
};

/// How far a step of the integration may be off.
const RELATIVE_TOLERANCE: f64 = 1e-9;
/// Standard deviation of the noise of clamp and recorder together (invented), in amperes.
const NOISE_A: f64 = 1.2;
/// What the clamp shows without current (invented), in amperes.
const CLAMP_ZERO_A: f64 = 0.8;

/// A motor with its source, what is wrong with it, and how it is recorded.
#[derive(Debug, Clone)]
pub struct Scene {
    /// Name of the file without its ending.
    pub name: &'static str,
    /// What it is, for the file's first lines; their numbers follow from the fields below.
    pub says: &'static str,
    /// Source and leads.
    pub feed: Feed,
    /// The motor with its fault.
    pub motor: Motor,
    /// Torque that a dragging part takes besides the motor's own drag.
    pub extra_drag: NewtonMetre,
    /// Brushes that jump.
    pub jumps: Option<Jumps>,
    /// The engine that it turns, if it turns one.
    pub engine: Option<Engine>,
    /// Seconds recorded before power, with power and after.
    pub spans_s: [f64; 3],
    /// Seconds between two rows.
    pub row_s: f64,
    /// Where the noise begins.
    pub seed: u64,
}

/// Brushes that lift for a moment.
#[derive(Debug, Clone, Copy)]
pub struct Jumps {
    /// How long a stretch lasts in which they lie or are lifted, in seconds.
    pub stretch_s: f64,
    /// Share of the stretches in which they are lifted.
    pub share: f64,
    /// What the contact has more then.
    pub resistance: Ohm,
}

/// A four-stroke engine that is turned.
#[derive(Debug, Clone, Copy)]
pub struct Engine {
    /// Turns of the armature in a turn of the crankshaft.
    pub ratio: f64,
    /// Friction at the crankshaft, the same at every place.
    pub friction: NewtonMetre,
    /// Greatest torque of each cylinder's compression at the crankshaft, in firing order.
    pub compressions: [f64; 4],
    /// Share of a compression that the cylinder gives back behind its top.
    pub given_back: f64,
    /// Inertia at the crankshaft.
    pub inertia: KilogramSquareMetre,
}

impl Engine {
    /// Torque that it asks for at a place of the crankshaft, in radians.
    fn torque(&self, angle: f64) -> f64 {
        let half_turn = std::f64::consts::PI;
        // A cylinder's compression takes half a turn, its expansion the next; the four follow each other by half turns.
        let place = angle / half_turn;
        let (stroke, along) = (place.floor(), place - place.floor());
        let strength = |stroke: f64| self.compressions[(stroke.rem_euclid(4.0)) as usize];
        let shape = sine(half_turn * along);
        self.friction.0 + strength(stroke) * shape * along
            - self.given_back * strength(stroke - 1.0) * shape * (1.0 - along)
    }
}

/// The demo motor FC-12 (invented): its sheet, its resistances, the calculator's start values for inductance and inertia.
pub fn demo_motor() -> Motor {
    let sheet = Sheet {
        free: FreeSpinPoint { voltage: Volt(11.0), current: Ampere(65.0), speed: Rpm(7200.0) },
        locked: None,
        field: Field::Series,
        winding: Ohm(0.012),
        inductance: Henry(0.000_05),
        inertia: KilogramSquareMetre(0.000_8),
        brush_drop: Volt(1.0),
        windage_share: 0.5,
    };
    fit(&sheet).expect("the sheet of the demo motor holds together").motor
}

/// The demo bench (invented): 11.8 V, and 15 mΩ to the motor's terminals.
pub fn demo_bench() -> Feed {
    Feed {
        source: Volt(11.8),
        source_resistance: Ohm(0.005),
        lead_resistance: Ohm(0.010),
        brush_drop: Volt(1.0),
    }
}

/// All recordings.
pub fn scenes() -> Vec<Scene> {
    let good = Scene {
        name: "good-motor",
        says: "FC-12 in order, on the demo bench",
        feed: demo_bench(),
        motor: demo_motor(),
        extra_drag: NewtonMetre(0.0),
        jumps: None,
        engine: None,
        spans_s: [0.2, 2.6, 0.1],
        row_s: 0.001,
        seed: 1,
    };
    let dragging = Scene {
        name: "dragging-bearing",
        says: "FC-12 with a bearing that drags",
        extra_drag: NewtonMetre(0.9),
        seed: 2,
        ..good.clone()
    };
    let open_coil = Scene {
        name: "open-field-coil",
        says: "FC-12 with one of its two field strings open: half of the poles have no coil, the others carry the whole current",
        motor: Motor {
            excitation: with_half_the_poles(good.motor.excitation),
            winding: Ohm(0.016),
            ..good.motor
        },
        seed: 3,
        ..good.clone()
    };
    let worn = Scene {
        name: "worn-brushes",
        says: "FC-12 with worn brushes that jump",
        feed: Feed { brush_drop: Volt(2.2), ..good.feed },
        jumps: Some(Jumps { stretch_s: 0.004, share: 1.0 / 6.0, resistance: Ohm(0.060) }),
        seed: 4,
        ..good.clone()
    };
    let engine = Engine {
        ratio: 15.0,
        friction: NewtonMetre(30.0),
        compressions: [150.0, 176.0, 179.0, 174.0],
        given_back: 0.6,
        inertia: KilogramSquareMetre(0.08),
    };
    let cranking = Scene {
        name: "cranking-weak-cylinder",
        says: "FC-12 turns a four-stroke engine of four cylinders, one of them weak, in the demo vehicle",
        feed: Feed {
            source: Volt(12.6),
            source_resistance: Ohm(0.006),
            lead_resistance: Ohm(0.0021),
            brush_drop: Volt(1.0),
        },
        engine: Some(engine),
        spans_s: [0.2, 2.6, 0.1],
        row_s: 0.002,
        seed: 5,
        ..good.clone()
    };
    vec![good, dragging, open_coil, worn, cranking]
}

/// The field of a motor when every second pole has lost its coil and the others carry twice the current: half of the
/// iron, and it fills at half of the current.
fn with_half_the_poles(excitation: Excitation) -> Excitation {
    match excitation {
        Excitation::Series(Magnetization { full, half_at }) => Excitation::Series(Magnetization {
            full: NewtonMetrePerAmpere(0.5 * full.0),
            half_at: Ampere(0.5 * half_at.0),
        }),
        other => other,
    }
}

/// Current, speed of the armature and place of the crankshaft.
type State = [f64; 3];

/// The true current in each row, without clamp and noise.
pub fn currents(scene: &Scene) -> Vec<f64> {
    let [before, on, after] = scene.spans_s.map(|span| (span / scene.row_s).round() as usize);
    let mut chance = Chance(scene.seed ^ 0x5eed);
    let mut state: State = [0.0, 0.0, 0.3];
    let mut rows = vec![0.0; before];
    let mut lifted = false;
    for row in 0..on {
        rows.push(state[0]);
        if let Some(jumps) = scene.jumps
            && row % ((jumps.stretch_s / scene.row_s).round() as usize).max(1) == 0
        {
            lifted = chance.even() < jumps.share;
        }
        let extra = scene.jumps.filter(|_| lifted).map_or(Ohm(0.0), |jumps| jumps.resistance);
        let tolerance =
            Tolerance { relative: RELATIVE_TOLERANCE, absolute: [1e-6, 1e-6, 1e-9], most_steps: 100_000 };
        let slope = |_: f64, state: &State| slope(scene, extra, state);
        state = integrate(slope, (0.0, scene.row_s), state, &tolerance, |_| Flow::On)
            .expect("a motor that can be worked");
    }
    rows.extend(vec![0.0; after + 1]);
    rows
}

fn slope(scene: &Scene, extra: Ohm, [current, speed, place]: &State) -> State {
    let (feed, motor) = (&scene.feed, &scene.motor);
    let Excitation::Series(magnetization) = motor.excitation else {
        unreachable!("the demo motor is series-wound")
    };
    let constant = magnetization.constant(Ampere(*current)).0;
    let resistance = feed.source_resistance.0 + feed.lead_resistance.0 + motor.winding.0 + extra.0;
    let volts = feed.source.0
        - current * resistance
        - brush_voltage(feed.brush_drop, Ampere(*current)).0
        - constant * speed;
    let drag = motor.drag.and(scene.extra_drag).torque(RadianPerSecond(*speed)).0;
    let (load, inertia, turning) = match &scene.engine {
        None => (0.0, 0.0, 0.0),
        // Steady torque that does not drive a shaft at rest, as with the library's own drag.
        Some(engine) => {
            let direction = speed / square_root(speed * speed + 0.01);
            let load = engine.torque(*place) / engine.ratio * direction;
            (load, engine.inertia.0 / (engine.ratio * engine.ratio), speed / engine.ratio)
        }
    };
    let acceleration = (constant * current - drag - load) / (motor.inertia.0 + inertia);
    [volts / motor.inductance.0, acceleration, turning]
}

/// The file: what it is in its first lines, then a row for each moment.
pub fn text(scene: &Scene) -> String {
    let mut text = format!(
        "# Simulated, not recorded: the motor, the bench and the vehicle are invented.\n# {}.\n",
        scene.says
    );
    for line in numbers(scene) {
        text.push_str(&format!("# {line}\n"));
    }
    text.push_str("time (s),current (A)\n");
    let mut chance = Chance(scene.seed);
    for (row, current) in currents(scene).into_iter().enumerate() {
        let shown = current + CLAMP_ZERO_A + NOISE_A * chance.normal();
        let time = to_places(row as f64 * scene.row_s, 3);
        text.push_str(&format!("{time},{}\n", to_places(shown, 1).replace('−', "-")));
    }
    text
}

/// Everything that the simulation hangs on, in lines of plain letters.
fn numbers(scene: &Scene) -> Vec<String> {
    let milli = |value: f64| to_places(value * 1000.0, 1);
    let Scene { feed, motor, .. } = scene;
    let mut lines = vec![
        format!(
            "Source {} V and {} mohm, leads {} mohm; winding {} mohm, {} mH; brushes {} V; rotor {} kg cm2.",
            feed.source.0,
            milli(feed.source_resistance.0),
            milli(feed.lead_resistance.0),
            milli(motor.winding.0),
            to_places(motor.inductance.0 * 1000.0, 2),
            feed.brush_drop.0,
            motor.inertia.0 * 10_000.0,
        ),
        format!("Clamp and recorder: noise {NOISE_A} A, {CLAMP_ZERO_A} A without current."),
    ];
    if scene.extra_drag.0 > 0.0 {
        lines.push(format!("Drag besides the motor's own: {} Nm at every speed.", scene.extra_drag.0));
    }
    if let Some(jumps) = scene.jumps {
        lines.push(format!(
            "Stretches of {} ms, of which {} % at random with {} mohm more at the brushes.",
            milli(jumps.stretch_s),
            to_places(100.0 * jumps.share, 0),
            milli(jumps.resistance.0)
        ));
    }
    if let Some(engine) = scene.engine {
        lines.push(format!(
            "Engine {} : 1, friction {} Nm, {} kg m2; greatest torque of the compressions in firing order {} Nm, of which {} % comes back.",
            engine.ratio,
            engine.friction.0,
            engine.inertia.0,
            engine.compressions.map(|torque| to_places(torque, 0)).join(", "),
            to_places(100.0 * engine.given_back, 0)
        ));
    }
    lines
}

/// Numbers by chance that are the same every time.
struct Chance(u64);

impl Chance {
    /// Nearly normal: the sum of twelve even numbers from 0 to 1, less 6, has a standard deviation of 1.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }

    /// Steele, Lea and Flood, *Fast splittable pseudorandom number generators*, 2014: SplitMix64.
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[allow(dead_code, reason = "the tests take the functions above alone")]
fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "content/traces".to_owned());
    std::fs::create_dir_all(&folder)?;
    for scene in scenes() {
        let path = format!("{folder}/{}.csv", scene.name);
        std::fs::write(&path, text(&scene))?;
        println!("{path}");
    }
    Ok(())
}
