//! Which branches hold a network together, and the loops that the others close.

use super::network::Branch;

/// How a branch is passed on a way: along its direction or against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pass {
    pub branch: usize,
    /// 1 along, −1 against.
    pub sign: f64,
}

/// A network as trees of its branches of least resistance, one for each island, and a loop for every other branch.
#[derive(Debug, Clone)]
pub(super) struct Forest {
    /// The island of each node.
    pub island: Vec<usize>,
    /// Nodes, each after the one it hangs on.
    pub outward: Vec<usize>,
    /// The branch towards the root and the node there; nothing for a root.
    pub above: Vec<Option<(Pass, usize)>>,
    /// For each branch that closes a loop, its own pass first: the whole loop in its direction.
    pub loops: Vec<Vec<Pass>>,
}

impl Forest {
    /// Grows trees over `nodes` nodes; `root` is the root of its own island. Branches that carry nothing only join
    /// what nothing else joins, and close no loop.
    ///
    /// Least resistance first (Kruskal's order): then no branch of a loop has more resistance than the one that closes
    /// it. Loops of ideal connections are found as such, and a loop's equation has no large number beside the small
    /// ones that decide.
    pub fn of(nodes: usize, root: Option<usize>, branches: &[Branch]) -> Forest {
        let mut order: Vec<usize> = (0..branches.len()).collect();
        order.sort_by(|a, b| weight(&branches[*a]).total_cmp(&weight(&branches[*b])));
        let mut groups = Groups::of(nodes);
        let mut beside: Vec<Vec<(Pass, usize)>> = vec![Vec::new(); nodes];
        let mut closing = Vec::new();
        for branch in order {
            let Branch { from, to, carries, .. } = branches[branch];
            if groups.join(from, to) {
                beside[from].push((Pass { branch, sign: -1.0 }, to));
                beside[to].push((Pass { branch, sign: 1.0 }, from));
            } else if carries {
                closing.push(branch);
            }
        }
        // What stands beside a node are the passes that lead to it, which is the way up for a neighbour below it.
        let mut forest = Forest {
            island: vec![usize::MAX; nodes],
            outward: Vec::with_capacity(nodes),
            above: vec![None; nodes],
            loops: Vec::new(),
        };
        let mut depth = vec![0usize; nodes];
        for start in root.into_iter().chain(0..nodes) {
            if forest.island[start] != usize::MAX {
                continue;
            }
            forest.island[start] = start;
            let mut next = forest.outward.len();
            forest.outward.push(start);
            while let Some(node) = forest.outward.get(next).copied() {
                next += 1;
                for (pass, other) in &beside[node] {
                    if forest.island[*other] == usize::MAX {
                        forest.island[*other] = start;
                        forest.above[*other] = Some((*pass, node));
                        depth[*other] = depth[node] + 1;
                        forest.outward.push(*other);
                    }
                }
            }
        }
        forest.loops = closing.into_iter().map(|branch| forest.close(branch, branches, &depth)).collect();
        forest
    }

    /// The loop that a branch closes: through it, and back from its end to its start over the tree.
    fn close(&self, branch: usize, branches: &[Branch], depth: &[usize]) -> Vec<Pass> {
        let mut passes = vec![Pass { branch, sign: 1.0 }];
        let (mut end, mut start) = (branches[branch].to, branches[branch].from);
        while end != start {
            let from_end = depth[end] >= depth[start];
            let node = if from_end { &mut end } else { &mut start };
            // Both hang in one tree, or the branch would have joined two: there is a way up until they meet.
            let Some((up, upper)) = self.above[*node] else { break };
            *node = upper;
            passes.push(Pass { sign: if from_end { up.sign } else { -up.sign }, ..up });
        }
        passes
    }
}

fn weight(branch: &Branch) -> f64 {
    if branch.carries { branch.ohm } else { f64::INFINITY }
}

/// Nodes in groups that grow together.
#[derive(Debug, Clone)]
pub(super) struct Groups(Vec<usize>);

impl Groups {
    /// Each node by itself.
    pub fn of(nodes: usize) -> Groups {
        Groups((0..nodes).collect())
    }

    /// The node that stands for a node's group.
    pub fn head(&mut self, node: usize) -> usize {
        let mut at = node;
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    /// Makes one group of two nodes' groups; false when they were one.
    pub fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.head(a), self.head(b));
        self.0[a] = b;
        a != b
    }
}
