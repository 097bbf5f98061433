//! The nodes of single moves: acts that change one condition after another, looks that are ticked one by one, readings,
//! questions, and what waits for a second person.

use super::error::CompileError;
use super::outcomes::{Look, done, outcome};
use super::steps::Compiler;
use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use crate::node::{Choice, Duty, Effect, Goto, LookKind, Need, NodeId, NodeKind, Outcome, Phase, STOP, Tick};
use std::collections::BTreeSet;

/// Where a look leads at once.
#[derive(Clone, Copy)]
struct Ends {
    pass: Goto,
    fail: Goto,
}

impl Compiler<'_> {
    pub(super) fn fill(&mut self, node: NodeId, kind: NodeKind, needs: Vec<Need>, outcomes: Vec<Outcome>) {
        let slot = &mut self.nodes[node.0 as usize];
        slot.kind = kind;
        // What a step around it needs is there already.
        slot.needs.extend(needs);
        slot.outcomes = outcomes;
    }

    /// An act: its node, and one more for each further condition that it changes.
    pub(super) fn act(
        &mut self,
        act: NodeId,
        needs: Vec<Need>,
        effects: &[Effect],
        then: Goto,
    ) -> Result<(), CompileError> {
        let (mut to, mut duty) = (then, Duty::Mend);
        for (written, &effect) in effects.iter().enumerate().skip(1).rev() {
            let written = written as u32;
            let node = self.sibling(act, Phase::InAct(written))?;
            let kind = NodeKind::InAct { act, written };
            self.fill(node, kind, Vec::new(), vec![Outcome { duty, ..done(vec![effect], to) }]);
            (to, duty) = (Goto::to(node), Duty::Nothing);
        }
        let first = effects.first().copied().into_iter().collect();
        self.fill(act, NodeKind::Act, needs, vec![Outcome { duty, ..done(first, to) }]);
        Ok(())
    }

    /// What a step other than an act leaves and disturbs itself, before it leads on. Nobody stands there.
    pub(super) fn follows(
        &mut self,
        of: NodeId,
        effects: &[Effect],
        duty: Duty,
        to: Goto,
    ) -> Result<Goto, CompileError> {
        self.follows_after((of, of), effects, duty, to)
    }

    /// The same where the step began at one node and a person stood last at another.
    fn follows_after(
        &mut self,
        (of, left): (NodeId, NodeId),
        effects: &[Effect],
        duty: Duty,
        to: Goto,
    ) -> Result<Goto, CompileError> {
        let mut to = to;
        let phase = self.nodes[of.0 as usize].phase;
        for (at, &effect) in effects.iter().enumerate().rev() {
            let node = self.sibling(of, phase)?;
            // What a look does is over once all of it is; what waits or releases is judged before anything comes of it.
            let duty = match duty {
                Duty::May if at + 1 < effects.len() => Duty::Nothing,
                Duty::Nothing | Duty::May | Duty::Mend | Duty::Absent => duty,
            };
            let after = Outcome { duty, ..done(vec![effect], to) };
            self.fill(node, NodeKind::Follows { of, left }, Vec::new(), vec![after]);
            to = Goto::to(node);
        }
        Ok(to)
    }

    /// Where a second person verifies what was done or seen: `seen` counts as looked at where they agree, `lost` is open where
    /// they deny it.
    pub(super) fn verify(
        &mut self,
        of: NodeId,
        (seen, lost): (Vec<Effect>, Vec<Effect>),
        then: Goto,
        denied: Goto,
    ) -> Result<Goto, CompileError> {
        let node = self.sibling(of, Phase::Verify)?;
        let outcomes = vec![outcome(Choice::Pass, seen, then), outcome(Choice::Fail, lost, denied)];
        self.fill(node, NodeKind::Verify { of }, Vec::new(), outcomes);
        Ok(Goto::to(node))
    }

    /// The same for what neither acts nor looks: who denies it stops the work.
    pub(super) fn verified(&mut self, is: bool, of: NodeId, then: Goto) -> Result<Goto, CompileError> {
        if is { self.verify(of, (Vec::new(), Vec::new()), then, Goto::to(STOP)) } else { Ok(then) }
    }

    /// The same for an act: what it wrote and somebody can see is looked at.
    pub(super) fn verified_act(
        &mut self,
        of: NodeId,
        effects: &[Effect],
        then: Goto,
        denied: Goto,
    ) -> Result<Goto, CompileError> {
        let mut vars: Vec<VarId> = Vec::new();
        for effect in effects {
            if !vars.contains(&effect.var()) {
                vars.push(effect.var());
            }
        }
        // Whoever denies it says so of all at once; they are opened in the order in which they are declared.
        vars.sort_unstable();
        let seen = vars.iter().copied().filter(|&var| !self.is_hidden(var)).map(Effect::Verify).collect();
        self.verify(of, (seen, vars.into_iter().map(Effect::Lose).collect()), then, denied)
    }

    /// Where a look of these conditions leads once it is answered.
    fn ends(
        &mut self,
        of: NodeId,
        left: NodeId,
        asked: &[Conjunct],
        look: &Look<'_>,
    ) -> Result<Ends, CompileError> {
        let then = if look.verified {
            self.verify(of, (Vec::new(), open(asked)), look.then, look.otherwise)?
        } else {
            look.then
        };
        let pass = self.follows_after((of, left), look.effects, Duty::May, then)?;
        let fail = self.follows_after((of, left), look.disturbed, Duty::May, look.otherwise)?;
        Ok(Ends { pass, fail })
    }

    /// A look: a tick for each condition, in the order written, all of them whatever came before. `waits` pass before it.
    pub(super) fn look(
        &mut self,
        first: NodeId,
        kind: LookKind,
        asked: &[Conjunct],
        waits: &[(Cube, u64)],
        needs: Vec<Need>,
        look: &Look<'_>,
    ) -> Result<(), CompileError> {
        let of = asked.len() as u32;
        let last = if of > 1 { self.sibling(first, Phase::Tick(of))? } else { first };
        let ends = self.ends(first, last, asked, look)?;
        let Some((&head, rest)) = asked.split_first() else {
            self.fill(first, NodeKind::Enter, needs, vec![done(Vec::new(), ends.pass)]);
            return Ok(());
        };
        let (mut pass, mut fail) = (ends.pass, ends.fail);
        for (before, &asked) in rest.iter().enumerate().rev() {
            let number = before as u32 + 2;
            let phase = Phase::Tick(number);
            let whole = if number == of { last } else { self.sibling(first, phase)? };
            let failed = self.sibling(first, phase)?;
            let tick = Tick { look: kind, first, number, of, asked, failed: false, whole };
            let outcomes = self.answers(kind, asked, pass, fail);
            self.fill(whole, NodeKind::Tick(tick), Vec::new(), outcomes);
            let outcomes = self.answers(kind, asked, fail, fail);
            self.fill(failed, NodeKind::Tick(Tick { failed: true, ..tick }), Vec::new(), outcomes);
            (pass, fail) = (Goto::to(whole), Goto::to(failed));
        }
        let mut outcomes = self.answers(kind, head, pass, fail);
        for outcome in &mut outcomes {
            outcome.waits = waits.to_vec();
        }
        let tick = Tick { look: kind, first, number: 1, of, asked: head, failed: false, whole: first };
        self.fill(first, NodeKind::Tick(tick), needs, outcomes);
        Ok(())
    }

    /// The answers about one condition: yes, no, what it is instead, and that nobody can tell. There is no "no" where every value
    /// is asked for.
    fn answers(&self, look: LookKind, asked: Conjunct, pass: Goto, fail: Goto) -> Vec<Outcome> {
        let other = Conjunct { var: asked.var, set: self.layout.all(asked.var) & !asked.set };
        let says = match look {
            LookKind::Confirm | LookKind::Round { .. } => Effect::Look,
            LookKind::Until => Effect::Find,
        };
        let mut answers = vec![outcome(Choice::Pass, vec![says(asked)], pass)];
        if other.set != 0 {
            answers.push(outcome(Choice::Fail, vec![says(other)], fail));
        }
        for value in self.asked_on(asked) {
            let is = Conjunct { var: other.var, set: 1 << value };
            answers.push(outcome(Choice::Is(value), vec![says(is)], fail));
        }
        answers.push(outcome(Choice::CannotTell, vec![Effect::Lose(asked.var)], fail));
        answers
    }

    /// The values, by number, of which somebody is asked on who has said that the condition has none of those asked for.
    fn asked_on(&self, asked: Conjunct) -> Vec<u32> {
        let var = self.layout.var(asked.var);
        let Some(condition) = self.equipment.conditions.get(&var.name) else { return Vec::new() };
        let words: Vec<String> =
            self.layout.words_of(asked.var, asked.set).into_iter().map(str::to_owned).collect();
        let others = condition.asked_on(&words);
        let numbers = (0..).zip(&var.values);
        numbers
            .filter(|(_, value)| others.iter().any(|(other, _)| other == value))
            .map(|(at, _)| at)
            .collect()
    }

    /// One node an attempt: every attempt finds the conditions out afresh and needs what the step needs.
    pub(super) fn measure(
        &mut self,
        first: NodeId,
        shows: &[Conjunct],
        attempts: u32,
        needs: &[Need],
        look: &Look<'_>,
    ) -> Result<(), CompileError> {
        let other = |one: &Conjunct| Conjunct { var: one.var, set: self.layout.all(one.var) & !one.set };
        let lost = open(shows);
        let pass: Vec<Effect> = shows.iter().copied().map(Effect::Find).collect();
        let failed = match shows {
            [one] => Some(other(one)).filter(|other| other.set != 0).map(|other| vec![Effect::Find(other)]),
            // Nobody knows which of several it was.
            _ => Some(lost.clone()),
        };
        let mut node = first;
        for attempt in 1..=attempts {
            let again = if attempt == attempts {
                look.otherwise
            } else {
                Goto::to(self.sibling(first, Phase::Attempt(attempt + 1))?)
            };
            let ends = self.ends(node, node, shows, &Look { otherwise: again, ..*look })?;
            let mut outcomes = vec![answer(Choice::Pass, pass.clone(), ends.pass)];
            outcomes.extend(failed.clone().map(|failed| answer(Choice::Fail, failed, ends.fail)));
            if !shows.is_empty() {
                outcomes.push(answer(Choice::CannotTell, lost.clone(), ends.fail));
            }
            self.fill(node, NodeKind::Measure { attempt, attempts }, needs.to_vec(), outcomes);
            node = again.node;
        }
        Ok(())
    }

    /// A question. An answer is a look at each condition that it shows; who cannot tell stops the work.
    pub(super) fn ask(
        &mut self,
        node: NodeId,
        answers: &[(Cube, Goto)],
        needs: Vec<Need>,
        look: &Look<'_>,
    ) -> Result<(), CompileError> {
        let all: Vec<Conjunct> = answers.iter().flat_map(|(shows, _)| &shows.0).copied().collect();
        let lost = lost(&all);
        let mut outcomes = Vec::new();
        for (number, (shows, to)) in (0..).zip(answers) {
            let ends = self.ends(node, node, &shows.0, &Look { then: *to, ..*look })?;
            let looks = shows.0.iter().copied().map(Effect::Look).collect();
            outcomes.push(answer(Choice::Answer(number), looks, ends.pass));
        }
        if !lost.is_empty() {
            let to = self.follows(node, look.disturbed, Duty::May, look.otherwise)?;
            outcomes.push(answer(Choice::CannotTell, lost, to));
        }
        self.fill(node, NodeKind::Ask, needs, outcomes);
        Ok(())
    }
}

/// Nobody can tell these.
fn open(conjuncts: &[Conjunct]) -> Vec<Effect> {
    conjuncts.iter().map(|conjunct| Effect::Lose(conjunct.var)).collect()
}

/// Nobody can tell any of these: they are opened at once, each once, in the order in which they are declared.
fn lost(conjuncts: &[Conjunct]) -> Vec<Effect> {
    let vars: BTreeSet<VarId> = conjuncts.iter().map(|conjunct| conjunct.var).collect();
    vars.into_iter().map(Effect::Lose).collect()
}

/// An answer of a question, or a reading: a look, even where it shows nothing.
fn answer(choice: Choice, effects: Vec<Effect>, to: Goto) -> Outcome {
    Outcome { duty: Duty::May, ..outcome(choice, effects, to) }
}
