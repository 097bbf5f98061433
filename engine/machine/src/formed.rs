//! The machine as data, for whoever checks what was proved of it with a program of their own: see `FORM.md` of `form`.

use crate::cube::{Conjunct, Cube};
use crate::layout::{Origin, VarId};
use crate::machine::{LostWhen, Machine, Restoring, Rule, Settling, Standing};
use crate::node::{Choice, DONE, Duty, Effect, Goto, Guard, Node, NodeId, NodeKind, Outcome, STOP};
use crate::promise::{Promise, PromiseSource};
use crate::sight::Sight;
use crate::state::AbstractState;
use form::{EffectKind, Form, Part, Role, Takes};

impl Machine {
    /// Everything that decides what a run comes to, as data.
    #[must_use]
    pub fn form(&self) -> Form {
        // All that a machine has, so that whatever is added to it is seen here too.
        let Self {
            procedure,
            layout: _,
            nodes,
            entry,
            asked,
            unseen,
            rules,
            released,
            settling,
            lost_when,
            promises,
            lapses: _,
            sights: _,
            restoring,
            rest,
            // These follow from the others.
            rules_of: _,
            usual: _,
            mark_sets: _,
            owners: _,
            reliance: _,
            // A form is of a procedure, not of a question about it.
            sought: _,
        } = self;
        Form {
            version: form::FORM_VERSION,
            procedure: procedure.to_string(),
            vars: self.layout.ids().map(|var| self.var(var)).collect(),
            start: asked.iter().map(|asked| part(asked.conjunct)).collect(),
            unseen: unseen.iter().copied().map(part).collect(),
            entry: entry.0,
            nodes: (0..).zip(nodes).map(|(id, node)| self.node_formed(NodeId(id), node)).collect(),
            rules: rules.iter().map(rule).collect(),
            released: released.iter().map(rule).collect(),
            settling: settling.iter().map(settles).collect(),
            lost_when: lost_when.iter().map(loss).collect(),
            promises: promises.iter().map(promise).collect(),
            restoring: restoring.iter().map(|act| self.act_formed(act)).collect(),
            rest: rest.as_ref().map(cube),
        }
    }

    /// A record as data.
    #[must_use]
    pub fn record_formed(&self, state: &AbstractState) -> form::Record {
        let AbstractState { place: _, bits, clocks, marks: _ } = state;
        let vars = || self.layout.ids();
        let settling = 0..self.settling.len();
        form::Record {
            may: vars().map(|var| bits.field(&self.layout, var)).collect(),
            clocks: clocks.iter().copied().collect(),
            opened: vars().map(|var| self.is_opened(state, var)).collect(),
            wrote: vars().map(|var| self.wrote(state, var)).collect(),
            look_only: settling.map(|at| self.is_look_only(state, at)).collect(),
            found: (0..self.rules.len()).map(|rule| self.is_found(state, rule)).collect(),
        }
    }

    fn var(&self, id: VarId) -> form::Var {
        let var = self.layout.var(id);
        let Sight { is_asked, is_hidden, when, keeps } = self.sight(id);
        form::Var {
            name: var.name.to_string(),
            values: var.values.clone(),
            is_variant: var.origin == Origin::Variant,
            is_hidden: *is_hidden,
            is_asked: *is_asked,
            seen_when: cube(when),
            keeps: *keeps,
        }
    }

    fn node_formed(&self, id: NodeId, node: &Node) -> form::Node {
        let Node {
            kind,
            path: _,
            source: _,
            procedure: _,
            pointer: _,
            rounds: _,
            phase: _,
            needs,
            outcomes,
            block,
            item,
        } = node;
        let role = match kind {
            NodeKind::End if id == DONE => Role::Done,
            NodeKind::End => {
                debug_assert_eq!(id, STOP, "there are two ends");
                Role::Stop
            }
            NodeKind::Ask => Role::Asks,
            NodeKind::AnyOrder { items: _ } => Role::Chooses,
            NodeKind::Route
            | NodeKind::Enter
            | NodeKind::Follows { .. }
            | NodeKind::Act
            | NodeKind::InAct { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Hold
            | NodeKind::Verify { .. } => {
                if node.is_stood_at() {
                    Role::Stood
                } else {
                    Role::Passing
                }
            }
        };
        form::Node {
            name: self.key(id),
            role,
            needs: needs.iter().map(|need| part(need.conjunct)).collect(),
            outcomes: outcomes.iter().map(|outcome| self.outcome_formed(node, outcome)).collect(),
            block: *block,
            item: *item,
        }
    }

    fn outcome_formed(&self, node: &Node, outcome: &Outcome) -> form::Outcome {
        let Outcome { choice, guard, waits, effects, duty, to: Goto { node: to, item: ends } } = outcome;
        let takes = match choice {
            Choice::Answer(_) => Takes::Answer,
            Choice::Item(item) => Takes::Item(*item),
            Choice::AllItems => Takes::AllItems,
            Choice::Done
            | Choice::Pass
            | Choice::Fail
            | Choice::Is(_)
            | Choice::CannotTell
            | Choice::Applies
            | Choice::PassedOver => Takes::Always,
        };
        let guard = match guard {
            Guard::Always => form::Guard::Always,
            Guard::Is(is) => form::Guard::Is(cube(is)),
            Guard::IsNot(is) => form::Guard::IsNot(cube(is)),
        };
        let duty = match duty {
            Duty::Nothing => form::Duty::Nothing,
            Duty::May => form::Duty::May,
            Duty::Mend => form::Duty::Mend,
            Duty::Absent => form::Duty::Absent,
        };
        let waits = waits.iter().map(|(of, millis)| form::Wait { cube: cube(of), millis: *millis });
        let effect =
            |effect: &Effect| form::Effect { offers: self.offers(node, *effect), ..self.effect(*effect) };
        form::Outcome {
            takes,
            guard,
            waits: waits.collect(),
            effects: effects.iter().map(effect).collect(),
            duty,
            to: to.0,
            ends: *ends,
        }
    }

    /// An effect outside of blocks.
    fn effect(&self, effect: Effect) -> form::Effect {
        let var = effect.var();
        let (kind, set) = match effect {
            Effect::Write(made) => (EffectKind::Write, made.set),
            Effect::Open(_) => (EffectKind::Open, self.layout.all(var)),
            Effect::Look(seen) => (EffectKind::Look, seen.set),
            Effect::Find(found) => (EffectKind::Find, found.set),
            Effect::Lose(_) => (EffectKind::Lose, self.layout.all(var)),
            Effect::Verify(_) => (EffectKind::Verify, self.layout.all(var)),
        };
        form::Effect { kind, var: var.0, set, offers: None }
    }

    fn act_formed(&self, act: &Restoring) -> form::Act {
        let Restoring { name, needs, effects } = act;
        let effects = effects.iter().map(|&effect| self.effect(effect)).collect();
        form::Act { name: name.to_string(), needs: cube(needs), effects }
    }
}

fn part(conjunct: Conjunct) -> Part {
    let Conjunct { var, set } = conjunct;
    Part { var: var.0, set }
}

fn cube(of: &Cube) -> form::Cube {
    of.0.iter().copied().map(part).collect()
}

fn rule(of: &Rule) -> form::Rule {
    let Rule { name, when } = of;
    form::Rule { name: name.to_string(), when: cube(when) }
}

fn settles(of: &Settling) -> form::Settling {
    let Settling { var, from, to, after, holds } = of;
    let holds = holds.as_ref().map(cube);
    form::Settling { var: var.0, from: *from, to: *to, after: *after, holds }
}

fn loss(of: &LostWhen) -> form::Loss {
    let LostWhen { var, when, standing } = of;
    let standing = match standing {
        Standing::Event => form::Standing::Event,
        Standing::Feeds => form::Standing::Feeds,
        Standing::ByItself { falling, stood_over } => form::Standing::ByItself {
            falling: falling.iter().map(|&at| at as u32).collect(),
            stood_over: stood_over.iter().map(|var| var.0).collect(),
        },
    };
    form::Loss { var: var.0, when: cube(when), standing }
}

fn promise(of: &Promise) -> form::Promise {
    let Promise { conjunct, source } = of;
    let usual = match source {
        PromiseSource::Leaves => false,
        PromiseSource::Normal => true,
    };
    form::Promise { part: part(*conjunct), usual }
}
