//! The circuit at a bench as a graph: leads are wires, coils and windings are loads, switches are wires while closed.

use fieldcoil::course::Part;

use super::hazards::Hazard;
use super::world::{Bench3, Contact, TESTER, World};

/// A place where metal is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    Plus,
    Minus,
    /// The supply lead's far end.
    Supply,
    /// The return lead's far end.
    Return,
    Stud30,
    Stud45,
    Stud50,
    Case,
    Tester,
}

use Node::{Case, Minus, Plus, Return, Stud30, Stud45, Stud50, Supply, Tester};

/// Two nodes, and whether something between them limits the current.
type Edge = (Node, Node, bool);

impl World {
    /// Does current flow from the source and back?
    pub(super) fn current_flows(&self) -> bool {
        self.pressed.is_some() && reaches(&self.edges(self.plunger_in()), Plus, Minus, true)
    }

    /// What the circuit does by itself: a short, or a motor that nobody started.
    pub(super) fn circuit_hazards(&self, hazards: &mut Vec<Hazard>) {
        let edges = self.edges(self.plunger_in());
        if reaches(&edges, Plus, Minus, false) {
            hazards.push("a short circuit of the source");
        }
        if self.pressed.is_none() && reaches(&self.edges(false), Plus, Minus, true) {
            hazards.push("current flows and nobody holds a control");
        }
    }

    /// Current in the pull-in or the hold-in coil draws the plunger in.
    fn plunger_in(&self) -> bool {
        let edges = self.edges(false);
        let start = reaches(&edges, Plus, Stud50, false);
        start && (reaches(&edges, Stud45, Minus, true) || reaches(&edges, Case, Minus, false))
    }

    fn edges(&self, contact: bool) -> Vec<Edge> {
        let on = |part| self.on.contains(&part);
        let held = |control| self.pressed == Some(control);
        let starts =
            [Part::StartButton, Part::RemoteSwitch, Part::Key, Part::OutputButton].into_iter().any(held);
        // The ends at a bench supply are in it; only its main switch parts them.
        let fed = match self.bench {
            Bench3::Supply => (self.main == Contact::Closed, true),
            _ => (on(Part::SourcePositive), on(Part::SourceNegative)),
        };
        let tester = TESTER.into_iter().any(held) && on(Part::LoadPositive) && on(Part::LoadNegative);
        let all = [
            (fed.0, (Plus, Supply, false)),
            (fed.1, (Return, Minus, false)),
            (on(Part::MainTerminal), (Supply, Stud30, false)),
            (on(Part::MotorTerminal), (Supply, Stud45, false)),
            (on(Part::StartTerminal) && starts, (Supply, Stud50, false)),
            (on(Part::CaseReturn), (Case, Return, false)),
            (on(Part::PullInReturn) && self.pull_in_conducts(), (Stud45, Return, false)),
            (on(Part::MotorLead), (Stud45, Case, true)),
            (true, (Stud50, Stud45, true)),
            (true, (Stud50, Case, true)),
            (contact, (Stud30, Stud45, false)),
            (tester, (Plus, Tester, true)),
            (tester, (Tester, Minus, true)),
        ];
        all.into_iter().filter(|(there, _)| *there).map(|(_, edge)| edge).collect()
    }

    /// A pull-in return without a switch in it is a plain lead.
    pub(super) fn pull_in_conducts(&self) -> bool {
        self.pull_in_closed || !self.pull_in_has_switch
    }
}

/// Is there a path, through wires alone or through loads as well?
fn reaches(edges: &[Edge], from: Node, to: Node, through_loads: bool) -> bool {
    let mut found = vec![from];
    let mut at = 0;
    while at < found.len() {
        for (one, other, _) in edges.iter().filter(|edge| through_loads || !edge.2) {
            for (here, there) in [(one, other), (other, one)] {
                if *here == found[at] && !found.contains(there) {
                    found.push(*there);
                }
            }
        }
        at += 1;
    }
    found.contains(&to)
}
