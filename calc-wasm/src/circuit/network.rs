//! Sources and resistances alone: the currents and voltages of a network that is linear.

use super::forest::{Forest, Groups, Pass};
use crate::numeric::linear::Lu;

/// One way for current: `u_from − u_to = ohm · current + opposing`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Branch {
    pub from: usize,
    pub to: usize,
    pub ohm: f64,
    /// Volts that stand against the current: less than nothing for a source from its minus to its plus.
    pub opposing: f64,
    /// A branch that carries nothing still gives its ends one voltage when nothing else joins them.
    pub carries: bool,
    /// A branch that makes its own voltage, for which ideal connections across it are a short circuit.
    pub makes: bool,
}

/// What flows, and the voltages.
#[derive(Debug, Clone)]
pub(super) struct Flow {
    /// For each branch, from its start to its end.
    pub current: Vec<f64>,
    /// For each node, over the root of its island.
    pub level: Vec<f64>,
    /// For each node, the root of its island.
    pub island: Vec<usize>,
}

/// Why a network has no currents; branches by their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// Ideal connections alone join the ends of a source.
    Shorted(usize),
    /// Two ideal sources of different voltage in one loop without resistance.
    Conflict(usize, usize),
    /// Numbers beyond what can be worked with.
    OutOfRange,
}

/// A network taken apart once, for any voltages of its sources.
#[derive(Debug, Clone)]
pub(super) struct Network {
    branches: Vec<Branch>,
    forest: Forest,
    resistive: Loops,
    /// Loops of ideal connections and sources; their equations divide the current among them.
    ideal: Loops,
}

/// Some of the loops, and their equations.
#[derive(Debug, Clone)]
struct Loops {
    /// Their places among all loops.
    at: Vec<usize>,
    equations: Lu,
}

/// How far voltages of ideal sources in a loop may miss each other by their rounding.
const ROUNDING: f64 = 1e-12;

impl Network {
    /// # Formula
    /// Modified nodal analysis with the current of every branch as an unknown: `u_from − u_to − R · i = e` for each
    /// branch and `Σ i = 0` for each node. The ones in front of the voltages and in the sums are eliminated first and
    /// without any rounding, along a tree of the branches of least resistance: what is left has the currents of the
    /// other branches as unknowns and an equation for each of their loops, `Σ R · i = −Σ e`. Eliminated in any other
    /// order, a loop of microohms would be the small difference of voltages a million times its own.
    ///
    /// # Errors
    /// [`Fault::Shorted`] and [`Fault::OutOfRange`].
    pub fn of(nodes: usize, root: Option<usize>, branches: Vec<Branch>) -> Result<Network, Fault> {
        no_short_circuit(nodes, &branches)?;
        let forest = Forest::of(nodes, root, &branches);
        // No branch of a loop has more resistance than its first.
        let (resistive, ideal): (Vec<usize>, Vec<usize>) =
            (0..forest.loops.len()).partition(|at| branches[forest.loops[*at][0].branch].ohm > 0.0);
        let resistive = Loops::of(&forest, resistive, branches.len(), |branch| branches[branch].ohm)?;
        let ideal = Loops::of(&forest, ideal, branches.len(), |_| 1.0)?;
        Ok(Network { branches, forest, resistive, ideal })
    }

    /// The currents and voltages with the voltages that the branches were given.
    ///
    /// # Errors
    /// [`Fault::Conflict`] and [`Fault::OutOfRange`].
    pub fn flow(&self) -> Result<Flow, Fault> {
        self.flow_with(|branch| self.branches[branch].opposing)
    }

    /// The same with other voltages.
    pub fn flow_with(&self, opposing: impl Fn(usize) -> f64) -> Result<Flow, Fault> {
        let mut current = vec![0.0; self.branches.len()];
        self.no_conflict(&opposing)?;
        let right: Vec<f64> = self
            .passes(&self.resistive)
            .map(|passes| -passes.iter().map(|pass| pass.sign * opposing(pass.branch)).sum::<f64>())
            .collect();
        self.circulate(&mut current, &self.resistive, &right);
        // As equal small resistances would divide it: the squares of the ideal branches' currents have the least sum.
        let right: Vec<f64> = self
            .passes(&self.ideal)
            .map(|passes| -passes.iter().map(|pass| pass.sign * current[pass.branch]).sum::<f64>())
            .collect();
        self.circulate(&mut current, &self.ideal, &right);
        let mut level = vec![0.0; self.forest.island.len()];
        for node in &self.forest.outward {
            if let Some((Pass { branch, sign }, upper)) = self.forest.above[*node] {
                let across = self.branches[branch].ohm * current[branch] + opposing(branch);
                level[*node] = level[upper] + sign * across;
            }
        }
        if current.iter().chain(&level).any(|value| !value.is_finite()) {
            return Err(Fault::OutOfRange);
        }
        Ok(Flow { current, level, island: self.forest.island.clone() })
    }

    fn passes<'a>(&'a self, loops: &'a Loops) -> impl Iterator<Item = &'a Vec<Pass>> {
        loops.at.iter().map(|at| &self.forest.loops[*at])
    }

    /// Adds to the currents of branches what circulates in loops with this right side of their equations.
    fn circulate(&self, current: &mut [f64], loops: &Loops, right: &[f64]) {
        for (passes, amount) in self.passes(loops).zip(loops.equations.solve(right)) {
            for pass in passes {
                current[pass.branch] += pass.sign * amount;
            }
        }
    }

    /// In a loop without resistance the sources' voltages have to take each other away.
    fn no_conflict(&self, opposing: &impl Fn(usize) -> f64) -> Result<(), Fault> {
        for passes in self.passes(&self.ideal) {
            let sum: f64 = passes.iter().map(|pass| pass.sign * opposing(pass.branch)).sum();
            let size: f64 = passes.iter().map(|pass| opposing(pass.branch).abs()).sum();
            if sum.abs() > ROUNDING * size {
                let mut makers = passes.iter().map(|pass| pass.branch).filter(|at| self.branches[*at].makes);
                let first = makers.next().unwrap_or(passes[0].branch);
                let second = makers.next().unwrap_or(first);
                return Err(Fault::Conflict(first.min(second), first.max(second)));
            }
        }
        Ok(())
    }
}

/// A source whose ends ideal connections alone join is a fault of the circuit, whatever its own resistance.
fn no_short_circuit(nodes: usize, branches: &[Branch]) -> Result<(), Fault> {
    let mut joined = Groups::of(nodes);
    for branch in branches.iter().filter(|branch| branch.ohm == 0.0 && branch.carries && !branch.makes) {
        joined.join(branch.from, branch.to);
    }
    let short = branches.iter().position(|branch| {
        branch.makes && branch.opposing != 0.0 && joined.head(branch.from) == joined.head(branch.to)
    });
    short.map_or(Ok(()), |branch| Err(Fault::Shorted(branch)))
}

impl Loops {
    /// The loops at these places, each branch with a resistance.
    fn of(
        forest: &Forest,
        at: Vec<usize>,
        branches: usize,
        ohm: impl Fn(usize) -> f64,
    ) -> Result<Loops, Fault> {
        let size = at.len();
        let mut through: Vec<Vec<(usize, f64)>> = vec![Vec::new(); branches];
        for (place, at) in at.iter().enumerate() {
            for pass in &forest.loops[*at] {
                through[pass.branch].push((place, pass.sign));
            }
        }
        let mut matrix = vec![0.0; size * size];
        for (branch, loops) in through.iter().enumerate() {
            for (row, sign) in loops {
                for (column, other) in loops {
                    matrix[row * size + column] += sign * other * ohm(branch);
                }
            }
        }
        // Every loop has a branch of its own, so nothing but overflow leaves the equations without one solution.
        let equations = Lu::of(size, &matrix).map_err(|_| Fault::OutOfRange)?;
        Ok(Loops { at, equations })
    }
}
