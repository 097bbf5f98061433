//! The compiled procedure.

use crate::bits::Bits;
use crate::cube::{Conjunct, Cube};
use crate::layout::{Layout, VarId};
use crate::node::{Node, NodeId, Place};
use crate::sight::Sight;
use crate::state::AbstractState;
use document::model::Name;

/// A combination that must not occur.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Its name in the equipment.
    pub name: Name,
    /// The combination.
    pub when: Cube,
}

/// A condition of which one value gives way to another by time alone.
#[derive(Clone, Debug)]
pub struct Settling {
    /// The condition.
    pub var: VarId,
    /// The value that gives way, as a set.
    pub from: u64,
    /// The value that takes its place, as a set.
    pub to: u64,
    /// Time in milliseconds after which it has surely done so.
    pub after: u64,
    /// What must surely hold for the time to count, if anything must.
    pub holds: Option<Cube>,
}

/// Evidence that ends when something is disturbed.
#[derive(Clone, Debug)]
pub struct LostWhen {
    /// The condition of which nothing is known any more.
    pub var: VarId,
    /// What, once an act makes it true, ends the evidence.
    pub when: Cube,
}

/// Why something must hold at done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PromiseSource {
    /// The procedure's `leaves`.
    Leaves,
    /// The equipment's `normal`.
    Normal,
}

/// What must hold on every way to done.
#[derive(Clone, Copy, Debug)]
pub struct Promise {
    /// What must hold.
    pub conjunct: Conjunct,
    /// Why.
    pub source: PromiseSource,
}

/// A restoring action of the equipment: what plans for stopping are made of.
#[derive(Clone, Debug)]
pub struct Restoring {
    /// Its name in the equipment.
    pub name: Name,
    /// What must hold before it, with what its type of work asks for.
    pub needs: Cube,
    /// What it makes true.
    pub sets: Vec<Conjunct>,
}

/// A procedure as one transition system.
#[derive(Clone, Debug)]
pub struct Machine {
    /// The procedure's name.
    pub procedure: Name,
    /// Conditions and variants.
    pub layout: Layout,
    /// All nodes; [`crate::DONE`] and [`crate::STOP`] come first.
    pub nodes: Vec<Node>,
    /// The first node.
    pub entry: NodeId,
    /// What is asked before step 1: the procedure's `requires`, then the `normal` of conditions it leaves out.
    pub asked: Vec<Promise>,
    /// What must never be.
    pub rules: Vec<Rule>,
    /// What settles.
    pub settling: Vec<Settling>,
    /// What evidence ends when.
    pub lost_when: Vec<LostWhen>,
    /// What must hold at done.
    pub promises: Vec<Promise>,
    /// Conditions that lapse at a handover, and after an interruption of so many milliseconds.
    pub lapses: Vec<(VarId, u64)>,
    /// For every variable, whether a person can find it out by looking: a variant, or a condition with a question.
    pub askable: Vec<bool>,
    /// For every variable, how it is found out.
    pub sights: Vec<Sight>,
    /// What plans for stopping are made of.
    pub restoring: Vec<Restoring>,
    /// The state in which work may be stopped and left, if the equipment states one.
    pub rest: Option<Cube>,
    /// For every variable, the rules that speak of it.
    pub(crate) rules_of: Vec<Vec<usize>>,
}

impl Machine {
    /// The node.
    #[must_use]
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id.0 as usize]
    }

    /// All states in which the procedure may start: what is asked holds, everything else is unknown.
    #[must_use]
    pub fn start(&self) -> AbstractState {
        let mut bits = Bits::clear(self.layout.words());
        for var in self.layout.ids() {
            bits.set_field(&self.layout, var, self.layout.all(var));
        }
        for promise in &self.asked {
            bits.set_field(&self.layout, promise.conjunct.var, promise.conjunct.set);
        }
        let mut state = AbstractState {
            place: Place { node: self.entry, items: 0 },
            bits,
            clocks: vec![0; self.settling.len()].into_boxed_slice(),
        };
        self.settle(&mut state);
        state
    }

    /// The same machine with one rule alone and nothing to be left in: whoever looks for what breaks that rule looks for
    /// a run to those states.
    #[must_use]
    pub fn forbidding(&self, when: Cube) -> Self {
        let mut rules_of = vec![Vec::new(); self.rules_of.len()];
        for conjunct in &when.0 {
            rules_of[conjunct.var.0 as usize] = vec![0];
        }
        let rules = vec![Rule { name: Name::from("asked-about"), when }];
        Self { rules, rules_of, rest: None, ..self.clone() }
    }

    /// The rules that speak of one of the variables.
    #[must_use]
    pub fn speaking_of(&self, vars: &[VarId]) -> Vec<usize> {
        let mut rules: Vec<usize> =
            vars.iter().flat_map(|var| &self.rules_of[var.0 as usize]).copied().collect();
        rules.sort_unstable();
        rules.dedup();
        rules
    }

    /// The rules that the box may break, among those that speak of a variable in `changed`.
    pub fn broken<'a>(&'a self, state: &'a AbstractState, changed: &[VarId]) -> Vec<usize> {
        let mut rules = self.speaking_of(changed);
        rules.retain(|&rule| self.rules[rule].when.meets(&self.layout, &state.bits));
        rules
    }
}
