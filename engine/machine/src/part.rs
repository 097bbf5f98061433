//! A machine as far as it is about some of its variables.
//!
//! Which way a run goes is decided by the variants, by what a person says and by the items chosen, never by what is true of the
//! machine. So conditions of which none decides anything of another can be followed one set of them at a time, on all ways.

use crate::cube::{Conjunct, Cube};
use crate::layout::{Origin, VarId};
use crate::machine::Machine;
use crate::node::{Effect, Guard, Need, Node, NodeKind, Outcome};
use crate::promise::Promise;
use crate::vars::Vars;
use std::collections::BTreeSet;
use std::sync::Arc;

impl Machine {
    /// Sets of conditions of which none decides anything of what is outside it, each with the variants that decide whether what
    /// speaks of it is done and how long waits are; sorted. None where the values of a condition decide a way, as where an item
    /// may be offered again.
    #[must_use]
    pub fn parts(&self) -> Option<Vec<Vars>> {
        let decides = |node: &Node| {
            node.outcomes.iter().any(|outcome| {
                outcome.effects.iter().any(|&effect| self.offers(node, effect).is_some())
                    || !outcome.tested().all(|var| self.is_variant(var))
            })
        };
        if self.nodes.iter().any(decides) {
            return None;
        }
        let mut sets = self.coupled();
        sets.retain(|set| set.iter().any(|&var| !self.is_variant(var)));
        let all = sets.into_iter().map(|mut set| {
            self.add_deciding(&mut set);
            Vars::of(Vars::words(&self.layout), set)
        });
        Some(all.collect())
    }

    /// All variants: what decides which ways there are.
    #[must_use]
    pub fn variants(&self) -> Vars {
        Vars::of(Vars::words(&self.layout), self.layout.ids().filter(|&var| self.is_variant(var)))
    }

    /// The same machine with everything left out that is about other variables. What tests other variants does not test them: it
    /// leads both ways.
    #[must_use]
    pub fn part(&self, vars: &Vars) -> Self {
        let settles = self.settling.iter().any(|settling| vars.has(settling.var));
        let nodes = self.nodes.iter().map(|node| part_of(node, vars, settles)).collect();
        let promises = self.promises.iter().filter(|Promise { conjunct, source: _ }| vars.has(conjunct.var));
        Self { nodes, promises: promises.copied().collect(), reliance: Arc::default(), ..self.clone() }
    }

    /// These with everything that decides what comes to be known of them, and whether it can be made sure of again: what their time
    /// counts under, what ends them, where they can be seen, and the variants that decide whether something is done about them.
    #[must_use]
    pub fn bearing_on(&self, vars: impl IntoIterator<Item = VarId>) -> Vars {
        let mut set: BTreeSet<VarId> = vars.into_iter().collect();
        loop {
            let before = set.len();
            let settling = self.settling.iter().filter(|settling| set.contains(&settling.var));
            let ends = self.lost_when.iter().filter(|lost| set.contains(&lost.var)).map(|lost| &lost.when);
            let seen = set.iter().map(|&var| &self.sight(var).when);
            let cubes = settling.flat_map(|settling| &settling.holds).chain(ends).chain(seen);
            let more: Vec<VarId> = cubes.flat_map(|cube| &cube.0).map(|part| part.var).collect();
            set.extend(more);
            if set.len() == before {
                break;
            }
        }
        self.add_deciding(&mut set);
        Vars::of(Vars::words(&self.layout), set)
    }

    /// The same as [`Machine::part`], in which of these blocks (by number) some items only, one bit each, are there to be chosen.
    #[must_use]
    pub fn part_with(&self, vars: &Vars, items: &[(u32, u32)]) -> Self {
        let mut part = self.part(vars);
        for node in &mut part.nodes {
            let NodeKind::AnyOrder { .. } = node.kind else { continue };
            let Some((_, kept)) = items.iter().find(|(block, _)| node.block == Some(*block)) else {
                continue;
            };
            node.outcomes.retain(|outcome| outcome.choice.item().is_none_or(|item| kept >> item & 1 == 1));
        }
        part
    }

    fn is_variant(&self, var: VarId) -> bool {
        self.layout.var(var).origin == Origin::Variant
    }

    /// Variables that stand together wherever one decides something of another.
    fn coupled(&self) -> Vec<BTreeSet<VarId>> {
        let mut sets: Vec<BTreeSet<VarId>> = self.layout.ids().map(|var| BTreeSet::from([var])).collect();
        let mut join = |vars: &mut dyn Iterator<Item = VarId>| {
            let all: BTreeSet<VarId> = vars.collect();
            let (mut met, apart): (Vec<_>, Vec<_>) =
                std::mem::take(&mut sets).into_iter().partition(|set| !set.is_disjoint(&all));
            sets = apart;
            sets.extend(met.drain(..).reduce(|mut one, other| {
                one.extend(other);
                one
            }));
        };
        let of = |cube: &Cube| cube.0.iter().map(|part| part.var).collect::<Vec<_>>();
        // All that a machine has, so that whatever is added to it is seen here too.
        let Self {
            procedure: _,
            layout: _,
            nodes: _,
            entry: _,
            asked: _,
            unseen: _,
            rules,
            released,
            settling,
            lost_when,
            promises: _,
            lapses: _,
            sights,
            restoring: _,
            rest: _,
            rules_of: _,
            usual: _,
            mark_sets: _,
            owners: _,
            reliance: _,
            sought: _,
        } = self;
        for rule in rules.iter().chain(released) {
            join(&mut of(&rule.when).into_iter());
        }
        for settling in settling {
            join(&mut settling.holds.iter().flat_map(of).chain([settling.var]));
        }
        for lost in lost_when {
            join(&mut of(&lost.when).into_iter().chain([lost.var]));
        }
        for (var, sight) in self.layout.ids().zip(sights) {
            join(&mut of(&sight.when).into_iter().chain([var]));
        }
        // Whether every value that may be has an answer is asked of all that an answer shows.
        for node in self.nodes.iter().filter(|node| node.kind == NodeKind::Ask) {
            join(&mut named(node).into_iter());
        }
        sets.sort();
        sets
    }

    /// Adds the variants that decide whether a step is done that speaks of these, and how long waits are for what settles.
    fn add_deciding(&self, set: &mut BTreeSet<VarId>) {
        // The steps that speak of one of them, with all that they stand in.
        let mut above: BTreeSet<&str> = BTreeSet::new();
        for node in self.nodes.iter().filter(|node| named(node).iter().any(|var| set.contains(var))) {
            let ends = node.path.match_indices('/').map(|(at, _)| at).chain([node.path.len()]);
            above.extend(ends.map(|end| &node.path[..end]));
        }
        let settles = self.settling.iter().any(|settling| set.contains(&settling.var));
        let mut more = BTreeSet::new();
        for node in &self.nodes {
            for outcome in &node.outcomes {
                if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard
                    && above.contains(&node.path[..])
                {
                    more.extend(cube.0.iter().map(|part| part.var));
                }
                if settles {
                    more.extend(outcome.waits.iter().flat_map(|(cube, _)| &cube.0).map(|part| part.var));
                }
            }
        }
        set.extend(more);
    }
}

/// What a node needs and does something to.
fn named(node: &Node) -> BTreeSet<VarId> {
    let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects).map(|effect| effect.var());
    node.needs.iter().map(|need| need.conjunct.var).chain(effects).collect()
}

fn part_of(node: &Node, vars: &Vars, settles: bool) -> Node {
    let Node { kind, path: _, source, procedure, pointer: _, rounds: _, phase, needs, outcomes, block, item } =
        node;
    let is_in = |need: &&Need| vars.has(need.conjunct.var);
    let outcome = |outcome: &Outcome| {
        let Outcome { choice, guard, waits, effects, duty, to } = outcome;
        let effects = effects.iter().copied().filter(|&effect: &Effect| vars.has(effect.var()));
        Outcome {
            choice: *choice,
            guard: guard_of(guard, vars),
            waits: if settles { waits.clone() } else { Vec::new() },
            effects: effects.collect(),
            duty: *duty,
            to: *to,
        }
    };
    Node {
        kind: *kind,
        // Nothing is told of it: what goes wrong in a part is looked for in the whole.
        path: String::new(),
        source: *source,
        procedure: procedure.clone(),
        pointer: String::new(),
        rounds: Vec::new(),
        phase: *phase,
        needs: needs.iter().filter(is_in).cloned().collect(),
        outcomes: outcomes.iter().map(outcome).collect(),
        block: *block,
        item: *item,
    }
}

/// What is left of a test where only these are looked at: it lets through what it let through before.
fn guard_of(guard: &Guard, vars: &Vars) -> Guard {
    let is_in = |part: &Conjunct| vars.has(part.var);
    match guard {
        Guard::Always => Guard::Always,
        Guard::Is(cube) => Guard::Is(Cube(cube.0.iter().copied().filter(is_in).collect())),
        Guard::IsNot(cube) if cube.0.iter().all(is_in) => Guard::IsNot(cube.clone()),
        Guard::IsNot(_) => Guard::Always,
    }
}
