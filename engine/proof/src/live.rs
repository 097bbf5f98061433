//! What can still decide something at a node. Dead variables are projected away, so that boxes meet; what is *sensitive* keeps
//! two boxes apart.
//!
//! A precondition or a promise asks whether some state of a box is outside a set: of two boxes that differ in such a variable
//! alone it says the same as of their union. A look asks what the record rules out, and so do the cause of lost evidence, what
//! time counts under, and what is looked at again after an interruption: there knowing less may say less.

use crate::dead::Dead;
use crate::order::Order;
use machine::{
    AbstractState, DONE, Duty, Effect, Guard, Machine, Node, NodeId, NodeKind, Outcome, PromiseSource, VarId,
    Vars, Words,
};
use std::collections::BTreeSet;

/// What is read of the variables at a node.
#[derive(Clone, PartialEq, Eq)]
struct Read {
    /// Those whose value can still decide something.
    live: Vars,
    /// Those that something reads yet, be it once they were written anew: that only a look counts of one outlives that.
    later: Vars,
    /// Those of which it matters what the record rules out.
    sensitive: Vars,
    /// Those of which it matters whether they were opened.
    opened: Vars,
    /// Those of which it matters whether an act wrote them.
    wrote: Vars,
}

/// For every node, what is read from there on.
pub(crate) struct LiveVars {
    at: Vec<Read>,
    /// For every node, what nothing reads from there on.
    dead: Vec<Dead>,
    /// For every node and word of a box, the bits of sensitive variables.
    masks: Vec<Vec<u64>>,
    /// The same of variables that are never projected away.
    kept: Vec<u64>,
    /// For every variable, what its value alone does not tell.
    hangs_on: Vec<Vars>,
}

/// What writing a variable brings with it.
struct Consequence {
    /// What decides whether evidence ends and whether a rule is broken.
    looked_at: Vars,
    /// What decides whether evidence ends, and conditions of rules that a look may find broken.
    sensitive: Vars,
    /// What has to be known where a look may find a rule broken, for a plan to end that; and of which of it, whether it was opened.
    planned: Vars,
    opened: Vars,
}

/// Rules that no plan ends without knowing more than that they were found broken, and what such plans hang on.
#[derive(Clone)]
pub(crate) struct Hard {
    pub(crate) rules: Vec<usize>,
    pub(crate) planned: Vars,
    /// Those of them of which a look ends something, if they were opened before it.
    pub(crate) opened: Vars,
}

impl Hard {
    /// Rules, and what plans hang on.
    pub(crate) fn new(machine: &Machine, rules: Vec<usize>, planned: Vars) -> Self {
        let mut opened = Vars::none(Vars::words(&machine.layout));
        let causes = machine.lost_when.iter().flat_map(|lost| &lost.when.0).map(|part| part.var);
        let settling = machine.settling.iter().map(|settling| settling.var);
        let stood_over = machine.layout.ids().filter(|&var| machine.standing_over(var).next().is_some());
        causes.chain(settling).chain(stood_over).for_each(|var| opened.add(var));
        opened.keep(&planned);
        Self { rules, planned, opened }
    }

    /// The same as far as it is about these.
    pub(crate) fn within(&self, vars: &Vars) -> Self {
        let (mut planned, mut opened) = (self.planned.clone(), self.opened.clone());
        planned.keep(vars);
        opened.keep(vars);
        Self { rules: self.rules.clone(), planned, opened }
    }
}

struct Tables {
    words: usize,
    consequences: Vec<Consequence>,
    /// For every variable, what its value alone does not tell: what time counts under, and what stands over an interruption.
    hangs_on: Vec<Vars>,
    /// Of which nobody can always make sure again after an interruption.
    risky: Vars,
    /// The conditions of rules that a look may find broken.
    found: Vars,
    /// For every node, whether a rule may stand there that was found broken.
    may_stand: Vec<bool>,
    /// Whether it is told of acts that they change nothing, and not of each record for itself which rules stand there found broken.
    is_told: bool,
}

impl Tables {
    fn new(machine: &Machine, hard: Option<&Hard>) -> Self {
        let is_told = hard.is_none();
        let words = Vars::words(&machine.layout);
        let findable = machine.findable();
        let of = |var: VarId| {
            let changed = machine.consequences(BTreeSet::from([var])).changed;
            let (mut looked_at, mut sensitive) = (Vars::none(words), Vars::none(words));
            for lost in &machine.lost_when {
                if lost.when.0.iter().any(|part| changed.contains(&part.var)) {
                    lost.when.0.iter().for_each(|part| {
                        looked_at.add(part.var);
                        sensitive.add(part.var);
                    });
                }
            }
            // Whether what comes to be known lasts.
            for part in machine.standing_over(var).flat_map(|cube| &cube.0) {
                looked_at.add(part.var);
                sensitive.add(part.var);
            }
            let changed: Vec<VarId> = changed.into_iter().collect();
            let spoken = machine.speaking_of(&changed);
            for &rule in spoken.iter() {
                for part in &machine.rules[rule].when.0 {
                    looked_at.add(part.var);
                    if findable.contains(&rule) {
                        sensitive.add(part.var);
                    }
                }
            }
            let is_hard = |hard: &&Hard| hard.rules.iter().any(|rule| spoken.contains(rule));
            let of = |vars: fn(&Hard) -> &Vars| {
                hard.filter(is_hard).map_or_else(|| Vars::none(words), |hard| vars(hard).clone())
            };
            let (planned, opened) = (of(|hard| &hard.planned), of(|hard| &hard.opened));
            Consequence { looked_at, sensitive, planned, opened }
        };
        let consequences = machine.layout.ids().map(of).collect();
        let mut risky = Vars::none(words);
        let hangs_on = machine.layout.ids().map(|var| {
            let mut hangs = Vars::none(words);
            for settling in machine.settling.iter().filter(|settling| settling.var == var) {
                settling.holds.iter().flat_map(|under| &under.0).for_each(|part| hangs.add(part.var));
            }
            machine.standing_over(var).flat_map(|cube| &cube.0).for_each(|part| hangs.add(part.var));
            let settles = machine.settling.iter().any(|settling| settling.var == var);
            // Whoever has waited longer may know less, where what has settled does not last.
            if settles && machine.standing_over(var).next().is_some() {
                hangs.add(var);
            }
            let sight = machine.sight(var);
            // A value keeps, the clock of what nobody sees does not.
            let keeps = sight.keeps && !(settles && sight.is_hidden);
            if !keeps && (!sight.is_asked || !sight.when.0.is_empty()) {
                risky.add(var);
                hangs.add(var);
                sight.when.0.iter().for_each(|part| hangs.add(part.var));
                let causes = machine.lost_when.iter().filter(|lost| lost.var == var);
                causes.flat_map(|lost| &lost.when.0).for_each(|part| hangs.add(part.var));
            }
            hangs
        });
        let hangs_on = hangs_on.collect();
        let mut found = Vars::none(words);
        let parts = findable.iter().flat_map(|&rule| &machine.rules[rule].when.0);
        parts.for_each(|part| found.add(part.var));
        let may_stand =
            if is_told { may_stand(machine, &findable) } else { vec![false; machine.nodes.len()] };
        Self { words, consequences, hangs_on, risky, found, may_stand, is_told }
    }

    fn consequence(&self, var: VarId) -> &Consequence {
        &self.consequences[var.0 as usize]
    }
}

impl LiveVars {
    /// Backwards over the nodes until nothing is added: at most once a node on every loop.
    ///
    /// `kept` are variables that must not be projected away anywhere: what plans for stopping rely on, and variants that decide a
    /// way. With `apart` two boxes that differ in one of them stay apart.
    pub(crate) fn new(machine: &Machine, order: &Order, kept: &BTreeSet<VarId>, apart: bool) -> Self {
        Self::with(machine, order, kept, apart, None)
    }

    /// The same of what a claim has to say for what is claimed to hold. What rules speak of that stand in a record found broken is for
    /// the caller to keep.
    pub(crate) fn of_claims(machine: &Machine, order: &Order, hard: &Hard) -> Self {
        Self::with(machine, order, &BTreeSet::new(), false, Some(hard))
    }

    fn with(
        machine: &Machine,
        order: &Order,
        kept: &BTreeSet<VarId>,
        apart: bool,
        hard: Option<&Hard>,
    ) -> Self {
        let tables = Tables::new(machine, hard);
        let mut always = Vars::none(tables.words);
        kept.iter().for_each(|&var| always.add(var));
        let none = || Vars::none(tables.words);
        let read = Read {
            live: always.clone(),
            // A wait of a plan is in vain for what only a look counts of.
            later: hard.map_or_else(|| always.clone(), |hard| hard.planned.clone()),
            // A look of a plan at what was opened may end evidence.
            opened: if machine.rest.is_some() { always.clone() } else { none() },
            sensitive: if apart { always.clone() } else { none() },
            wrote: none(),
        };
        let mut at = vec![read; machine.nodes.len()];
        let order = order.backwards();
        loop {
            let mut grown = false;
            for &node in &order {
                let now = before_node(machine, &tables, &at, node);
                if now != at[node.0 as usize] {
                    at[node.0 as usize] = now;
                    grown = true;
                }
            }
            if !grown {
                break;
            }
        }
        let vars: Vec<VarId> = machine.layout.ids().collect();
        let masks = at.iter().map(|read| mask(machine, &vars, &read.sensitive)).collect();
        let kept = mask(machine, &vars, &always);
        let dead = |read: &Read| {
            Dead::new(
                machine,
                |var| read.live.has(var),
                |var| read.later.has(var),
                |var| read.opened.has(var),
                |var| read.wrote.has(var),
            )
        };
        let dead = at.iter().map(dead).collect();
        Self { at, dead, masks, kept, hangs_on: tables.hangs_on }
    }

    /// Projects away what is dead at the state's place. More states, but none that decides differently.
    pub(crate) fn project_dead(&self, state: &mut AbstractState) {
        self.dead[state.place.node.0 as usize].project(state);
    }

    /// The bits of a box at the node that keep it apart from others. A plan that serves whatever is true need not serve a record
    /// of which something was opened, contradicted or found broken: such a one is asked for itself.
    pub(crate) fn apart(&self, machine: &Machine, state: &AbstractState) -> Words {
        let mask = &self.masks[state.place.node.0 as usize];
        let is_marked = machine.rest.is_some() && machine.is_marked(state);
        let mut apart = Words::from(state.bits.words());
        for ((word, mask), kept) in apart.iter_mut().zip(mask).zip(&self.kept) {
            *word &= if is_marked { mask | kept } else { *mask };
        }
        apart
    }

    /// These with what their values alone do not tell.
    pub(crate) fn with_what_they_hang_on(&self, mut vars: Vars) -> Vars {
        loop {
            let before = vars.clone();
            let each = self.hangs_on.iter().zip(0..).filter(|(_, var)| before.has(VarId(*var)));
            each.for_each(|(hangs, _)| vars.join(hangs));
            if vars == before {
                return vars;
            }
        }
    }

    /// Variables of which it matters at the node what the record rules out; whether they were opened; whether an act wrote them;
    /// and of which something is read yet.
    pub(crate) fn read(&self, node: NodeId) -> [&Vars; 4] {
        let Read { live: _, later, sensitive, opened, wrote } = &self.at[node.0 as usize];
        [sensitive, opened, wrote, later]
    }

    /// Whether it matters at the node what the record rules out of the variable.
    pub(crate) fn is_sensitive(&self, node: NodeId, var: VarId) -> bool {
        self.at[node.0 as usize].sensitive.has(var)
    }
}

/// Variables of which nobody can always make sure again after an interruption; and with them what decides whether somebody can.
pub(crate) fn risky(machine: &Machine) -> (Vec<VarId>, BTreeSet<VarId>) {
    let tables = Tables::new(machine, None);
    let risky: Vec<VarId> = machine.layout.ids().filter(|&var| tables.risky.has(var)).collect();
    let mut hangs_on = BTreeSet::new();
    for &var in &risky {
        let hangs = &tables.hangs_on[var.0 as usize];
        hangs_on.extend(machine.layout.ids().filter(|&on| hangs.has(on)));
    }
    (risky, hangs_on)
}

fn mask(machine: &Machine, vars: &[VarId], sensitive: &Vars) -> Vec<u64> {
    let layout = &machine.layout;
    let mut bits = machine::Bits::clear(layout.words());
    for &var in vars.iter().filter(|&&var| sensitive.has(var)) {
        bits.set_field(layout, var, layout.all(var));
    }
    bits.words().to_vec()
}

/// The nodes at which a rule may stand that a look found broken.
fn may_stand(machine: &Machine, findable: &[usize]) -> Vec<bool> {
    let mut stands = vec![false; machine.nodes.len()];
    let mut open: Vec<NodeId> = Vec::new();
    let finds = |outcome: &Outcome| outcome.effects.iter().any(|effect| !effect.is_act());
    for node in machine.nodes.iter().filter(|_| !findable.is_empty()) {
        open.extend(node.outcomes.iter().filter(|outcome| finds(outcome)).map(|outcome| outcome.to.node));
    }
    while let Some(id) = open.pop() {
        if std::mem::replace(&mut stands[id.0 as usize], true) {
            continue;
        }
        // An act ends one of them at least.
        let goes_on = |outcome: &&Outcome| match outcome.duty {
            Duty::Nothing | Duty::May => true,
            Duty::Mend => findable.len() > 1,
            Duty::Absent => false,
        };
        open.extend(machine.node(id).outcomes.iter().filter(goes_on).map(|outcome| outcome.to.node));
    }
    stands
}

fn before_node(machine: &Machine, tables: &Tables, at: &[Read], id: NodeId) -> Read {
    let node = machine.node(id);
    let mut read = at[id.0 as usize].clone();
    if id == DONE {
        for promise in &machine.promises {
            read.live.add(promise.conjunct.var);
            if promise.source == PromiseSource::Normal {
                read.wrote.add(promise.conjunct.var);
            }
        }
    }
    let stands = tables.may_stand[id.0 as usize];
    for outcome in &node.outcomes {
        let before = before(machine, tables, node, outcome, at[outcome.to.node.0 as usize].clone(), stands);
        read.add(&before);
    }
    node.needs.iter().for_each(|need| read.live.add(need.conjunct.var));
    // What a value alone does not tell matters as long as the value does.
    let live: Vec<VarId> = machine.layout.ids().filter(|&var| read.live.has(var)).collect();
    for var in live {
        read.live.join(&tables.hangs_on[var.0 as usize]);
        read.sensitive.join(&tables.hangs_on[var.0 as usize]);
    }
    read.later.join(&read.live);
    read
}

fn before(
    machine: &Machine,
    tables: &Tables,
    node: &Node,
    outcome: &Outcome,
    after: Read,
    stands: bool,
) -> Read {
    let mut read = after;
    // Whether what was found broken is ended, and whether a plan still has to end it.
    if stands {
        read.live.join(&tables.found);
        read.sensitive.join(&tables.found);
    }
    for &effect in outcome.effects.iter().rev() {
        let var = effect.var();
        let consequence = tables.consequence(var);
        match effect {
            Effect::Write(_) | Effect::Open(_) => {
                read.written(var);
                read.wrote.remove(var);
                read.follows(consequence);
            }
            Effect::Find(_) | Effect::Lose(_) => {
                read.written(var);
                read.follows(consequence);
                read.live.join(&consequence.planned);
                read.opened.join(&consequence.opened);
                read.sensitive.join(&consequence.looked_at);
                // Whether it contradicts the record decides whether time counts from then on.
                // So it does whether an item is offered again.
                let settles = machine.settling.iter().any(|settling| settling.var == var);
                if settles || machine.offers(node, effect).is_some() {
                    read.live.add(var);
                    read.sensitive.add(var);
                }
            }
            Effect::Look(_) => {
                read.follows(consequence);
                read.live.join(&consequence.planned);
                read.opened.join(&consequence.opened);
                read.sensitive.join(&consequence.looked_at);
                read.live.add(var);
                read.sensitive.add(var);
                read.opened.add(var);
            }
            Effect::Verify(_) => read.opened.remove(var),
        }
    }
    if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
        cube.0.iter().for_each(|part| read.live.add(part.var));
    }
    outcome.waits.iter().flat_map(|(cube, _)| &cube.0).for_each(|part| read.live.add(part.var));
    // Whether an act changes anything can be told only from what was so before.
    if tables.is_told && matches!(node.kind, NodeKind::Act | NodeKind::InAct { .. }) {
        outcome.effects.iter().for_each(|effect| read.live.add(effect.var()));
    }
    read
}

impl Read {
    fn add(&mut self, other: &Self) {
        self.live.join(&other.live);
        self.later.join(&other.later);
        self.sensitive.join(&other.sensitive);
        self.opened.join(&other.opened);
        self.wrote.join(&other.wrote);
    }

    fn written(&mut self, var: VarId) {
        self.live.remove(var);
        self.sensitive.remove(var);
        self.opened.remove(var);
    }

    fn follows(&mut self, consequence: &Consequence) {
        self.live.join(&consequence.looked_at);
        self.sensitive.join(&consequence.sensitive);
    }
}
