//! The compiled procedure.

use crate::bits::Bits;
use crate::cube::{Conjunct, Cube};
use crate::layout::{Layout, VarId};
use crate::marks::MarkSets;
use crate::node::{Effect, Node, NodeId, NodeKind, Place};
use crate::owners::Owners;
use crate::promise::{Asked, Promise, PromiseSource};
use crate::reliance::Reliance;
use crate::sight::Sight;
use crate::state::AbstractState;
use crate::words::Words;
use document::model::Name;
use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

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

/// Whether a cause of [`LostWhen`] ends what comes to be known while it may hold, or only what was known when it came about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is over once it has come about: a gasket is inspected while its cover is open.
    Event,
    /// The condition settles only while something holds, and this feeds it for as long as it may hold.
    Feeds,
    /// It may come about by itself.
    ByItself {
        /// One of these may yet fall into it: indices into [`Machine::settling`].
        falling: Vec<usize>,
        /// A cause may stand over one of these, which may then be anything at any moment.
        stood_over: Vec<VarId>,
    },
}

/// Evidence that ends when something is disturbed.
#[derive(Clone, Debug)]
pub struct LostWhen {
    /// The condition of which nothing is known any more.
    pub var: VarId,
    /// What, once an act makes it true, ends the evidence.
    pub when: Cube,
    /// Whether it also ends what comes to be known while it may hold.
    pub standing: Standing,
}

/// A restoring action of the equipment: what plans for stopping are made of.
#[derive(Clone, Debug)]
pub struct Restoring {
    /// Its name in the equipment.
    pub name: Name,
    /// What must hold before it, with what its type of work asks for.
    pub needs: Cube,
    /// What it makes true and what it disturbs, in the order in which that comes about.
    pub effects: Vec<Effect>,
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
    /// What is asserted before step 1: the procedure's `requires`, then the `normal` of other conditions that it relies on.
    pub asked: Vec<Asked>,
    /// What the procedure requires of conditions that nobody can see: it is not asserted, and a start by hand needs it.
    pub unseen: Vec<Conjunct>,
    /// What must never be.
    pub rules: Vec<Rule>,
    /// What a person of a role may release: steps come to it behind a hold, and what nobody released does not.
    pub released: Vec<Rule>,
    /// What settles.
    pub settling: Vec<Settling>,
    /// What evidence ends when.
    pub lost_when: Vec<LostWhen>,
    /// What must hold at done.
    pub promises: Vec<Promise>,
    /// Conditions of which a look or an act counts for so many milliseconds, and through no interruption.
    pub lapses: Vec<(VarId, u64)>,
    /// For every variable, how it is found out.
    pub sights: Vec<Sight>,
    /// What plans for stopping are made of.
    pub restoring: Vec<Restoring>,
    /// The state in which work may be stopped and left, if the equipment states one.
    pub rest: Option<Cube>,
    /// For every variable, the rules that speak of it.
    pub(crate) rules_of: Vec<Vec<usize>>,
    /// For every variable, whether it must be as usual at done once an act wrote it.
    pub(crate) usual: Vec<bool>,
    pub(crate) mark_sets: MarkSets,
    pub(crate) owners: Owners,
    /// See [`Machine::reliance`].
    pub(crate) reliance: Arc<OnceLock<Reliance>>,
    /// What a run is looked for to: see [`Machine::seeking`].
    pub(crate) sought: Option<Cube>,
}

impl Machine {
    /// How a variable is found out.
    #[must_use]
    pub fn sight(&self, var: VarId) -> &Sight {
        &self.sights[var.0 as usize]
    }

    /// The node.
    #[must_use]
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id.0 as usize]
    }

    /// A name for the place that says nothing of items done: the steps down to it, the rounds, and what of the step comes next.
    #[must_use]
    pub fn key(&self, id: NodeId) -> String {
        let node = self.node(id);
        match node.kind {
            NodeKind::End => node.path.clone(),
            NodeKind::Route
            | NodeKind::Enter
            | NodeKind::Act
            | NodeKind::InAct { .. }
            | NodeKind::Follows { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => format!("{} {:?} {}", node.path, node.rounds, node.phase),
        }
    }

    /// The node of the act that a node is in, or that a person stood at before what only follows from it: what goes wrong on
    /// leaving the node is told there.
    #[must_use]
    pub fn act_of(&self, id: NodeId) -> NodeId {
        match self.node(id).kind {
            NodeKind::Follows { of, left: _ } => of,
            NodeKind::InAct { act, written: _ } => act,
            NodeKind::End
            | NodeKind::Route
            | NodeKind::Enter
            | NodeKind::Act
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => id,
        }
    }

    /// The node whose key a node shares and that is told instead of it.
    #[must_use]
    pub fn told_at(&self, id: NodeId) -> NodeId {
        match self.node(id).kind {
            NodeKind::Follows { of: _, left } => left,
            NodeKind::Tick(tick) => tick.whole,
            NodeKind::End
            | NodeKind::Route
            | NodeKind::Enter
            | NodeKind::Act
            | NodeKind::InAct { .. }
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => id,
        }
    }

    /// The record of which nothing is known, at a place.
    #[must_use]
    pub fn unknown(&self, place: Place) -> AbstractState {
        let mut bits = Bits::clear(self.layout.words());
        for var in self.layout.ids() {
            bits.set_field(&self.layout, var, self.layout.all(var));
        }
        let clocks = Words::clear(self.settling.len());
        AbstractState { place, bits, clocks, marks: self.mark_sets.none() }
    }

    /// How many words of memory a record takes: values, clocks and marks.
    #[must_use]
    pub fn record_words(&self) -> usize {
        self.layout.words() + self.settling.len() + self.mark_sets.words()
    }

    /// The record with which the procedure starts: what is asserted holds, everything else is unknown.
    #[must_use]
    pub fn start(&self) -> AbstractState {
        let mut state = self.asserted();
        let asserted: Vec<VarId> = self.asked.iter().map(|asked| asked.conjunct.var).collect();
        let due = self.fleeting(&state, &asserted, &state);
        self.lose(&mut state, due);
        state
    }

    /// What was asserted, whether it lasts or not.
    fn asserted(&self) -> AbstractState {
        let mut state = self.unknown(Place::at(self.entry));
        for asked in &self.asked {
            let field = state.bits.field(&self.layout, asked.conjunct.var);
            state.bits.set_field(&self.layout, asked.conjunct.var, field & asked.conjunct.set);
        }
        self.settle(&mut state);
        state
    }

    /// The part of the start in which what is required of conditions that nobody can see is so.
    #[must_use]
    pub fn met_at_start(&self) -> Option<AbstractState> {
        self.narrow(&self.start(), &Cube(self.unseen.clone()))
    }

    /// The same machine begun by whoever performs its procedure: what nobody can see is asserted, too.
    #[must_use]
    pub fn performed(&self) -> Self {
        let unseen = self.unseen.iter().map(|&conjunct| Asked {
            conjunct,
            source: PromiseSource::Leaves,
            by_record: true,
        });
        let asked = self.asked.iter().copied().chain(unseen).collect();
        Self { asked, unseen: Vec::new(), ..self.clone() }
    }

    /// What a place needs.
    #[must_use]
    pub fn needs(&self, place: Place) -> Cube {
        Cube(self.node(place.node).needs.iter().map(|need| need.conjunct).collect())
    }

    /// The same machine with nothing that must not be or be released, and nothing to be left in.
    #[must_use]
    pub fn lawless(&self) -> Self {
        let rules_of = vec![Vec::new(); self.rules_of.len()];
        let reliance = Arc::default();
        Self { rules: Vec::new(), released: Vec::new(), rules_of, rest: None, reliance, ..self.clone() }
    }

    /// The same, asked for a run to states inside the cube: each act that writes one of its conditions and may lead there breaks
    /// the only rule, and so does a start of which all of it is asserted. What a look finds was so all along.
    #[must_use]
    pub fn seeking(&self, sought: Cube) -> Self {
        let rules = vec![Rule { name: Name::from("asked-about"), when: sought.clone() }];
        Self { rules, sought: Some(sought), ..self.lawless() }
    }

    /// The rules that speak of one of the variables, in order.
    #[must_use]
    pub fn speaking_of(&self, vars: &[VarId]) -> Cow<'_, [usize]> {
        if let [one] = vars {
            return Cow::Borrowed(&self.rules_of[one.0 as usize]);
        }
        let mut rules: Vec<usize> =
            vars.iter().flat_map(|var| &self.rules_of[var.0 as usize]).copied().collect();
        rules.sort_unstable();
        rules.dedup();
        Cow::Owned(rules)
    }

    /// Whether something is asserted at the start of each of these.
    #[must_use]
    pub fn is_asserted(&self, vars: &[VarId]) -> bool {
        vars.iter().all(|var| self.asked.iter().any(|asked| asked.conjunct.var == *var))
    }

    /// The rules that are broken at the start itself: what is asserted makes them surely so.
    #[must_use]
    pub fn broken_at_start(&self) -> Vec<usize> {
        let start = self.asserted();
        let holds = |rule: &usize| match &self.sought {
            Some(sought) => {
                let vars: Vec<VarId> = sought.0.iter().map(|part| part.var).collect();
                self.is_asserted(&vars) && sought.meets(&self.layout, &start.bits)
            }
            None => self.rules[*rule].when.holds(&self.layout, &start.bits),
        };
        (0..self.rules.len()).filter(holds).collect()
    }

    /// The promises at done that a record does not keep, as indices. What is usual is owed only where an act wrote it.
    #[must_use]
    pub fn unkept(&self, state: &AbstractState) -> Vec<usize> {
        let unkept = |at: &usize| {
            let Promise { conjunct, source } = self.promises[*at];
            let owed = match source {
                PromiseSource::Leaves => true,
                PromiseSource::Normal => self.wrote(state, conjunct.var),
            };
            owed && state.bits.field(&self.layout, conjunct.var) & !conjunct.set != 0
        };
        (0..self.promises.len()).filter(unkept).collect()
    }
}
