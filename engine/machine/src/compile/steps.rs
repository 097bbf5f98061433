//! From steps to nodes. Repeats and performed procedures are written out in full, so that a place says everything.

use super::contract::Contract;
use super::error::{CompileError, NODE_LIMIT, unresolved};
use super::outcomes::{Look, done, outcome};
use super::resolve::{cube, find};
use super::tables::Steps;
use crate::cube::{Conjunct, Cube};
use crate::layout::{Layout, VarId};
use crate::node::{
    Choice, DONE, Duty, Effect, Goto, Guard, ITEMS_LIMIT, LookKind, Need, NeedSource, Node, NodeId, NodeKind,
    Outcome, Phase, STOP,
};
use document::model::{
    Answer, Cube as Authored, Equipment, Figure, Kind, Name, Procedure, Repeat, SeenBy, Step,
};
use document::{Document, Library};
use std::collections::HashMap;

/// A list of steps being compiled: where its names lead, and what encloses it.
struct Frame<'a> {
    parent: Option<usize>,
    labels: HashMap<&'a str, NodeId>,
    /// What `done` means here: the end, or the step after the one that performs this procedure.
    done: Goto,
}

/// What the steps of one list have in common.
#[derive(Clone)]
struct Scope<'a> {
    document: &'a Document<Procedure>,
    frame: usize,
    path: String,
    rounds: Vec<u32>,
    block: Option<u32>,
    item: Option<u8>,
}

pub(super) struct Compiler<'a> {
    library: &'a Library,
    pub(super) equipment: &'a Equipment,
    pub(super) layout: &'a Layout,
    pub(super) nodes: Vec<Node>,
    frames: Vec<Frame<'a>>,
    blocks: Vec<Vec<Effect>>,
    performing: Vec<&'a Name>,
}

impl<'a> Compiler<'a> {
    pub(super) fn new(library: &'a Library, equipment: &'a Equipment, layout: &'a Layout) -> Self {
        Self {
            library,
            equipment,
            layout,
            nodes: Vec::new(),
            frames: Vec::new(),
            blocks: Vec::new(),
            performing: Vec::new(),
        }
    }

    pub(super) fn procedure(mut self, document: &'a Document<Procedure>) -> Result<Steps, CompileError> {
        for end in ["done", "stop"] {
            self.nodes.push(Node {
                kind: NodeKind::End,
                path: end.to_owned(),
                source: document.source,
                procedure: document.model.procedure.clone(),
                pointer: String::new(),
                rounds: Vec::new(),
                phase: Phase::Body,
                needs: Vec::new(),
                outcomes: Vec::new(),
                block: None,
                item: None,
            });
        }
        self.performing.push(&document.model.procedure);
        let (path, rounds) = (String::new(), Vec::new());
        let scope = Scope { document, frame: 0, path, rounds, block: None, item: None };
        let entry =
            self.list(&document.model.steps, "/steps", &scope, None, Goto::to(DONE), Goto::to(DONE), &[])?;
        Ok(Steps { nodes: self.nodes, entry: entry.node, beside: self.blocks })
    }

    /// Compiles a list of steps and gives its first node. `next` is where its last step leads; `around` is what its first step
    /// needs for the sake of what encloses the list.
    #[expect(clippy::too_many_arguments, reason = "one recursion; a struct would only rename its parts")]
    fn list(
        &mut self,
        steps: &'a [Step],
        pointer: &str,
        scope: &Scope<'a>,
        parent: Option<usize>,
        next: Goto,
        done: Goto,
        around: &[Need],
    ) -> Result<Goto, CompileError> {
        let mut nodes = Vec::with_capacity(steps.len());
        for (at, step) in steps.iter().enumerate() {
            nodes.push(self.reserve(step, &format!("{pointer}/{at}"), scope)?);
        }
        if let Some(first) = nodes.first() {
            self.nodes[first.0 as usize].needs.extend_from_slice(around);
        }
        let labels = steps.iter().zip(&nodes).map(|(step, &node)| (&*step.common.id, node)).collect();
        let frame = self.frames.len();
        self.frames.push(Frame { parent, labels, done });
        let scope = Scope { frame, ..scope.clone() };
        for (at, step) in steps.iter().enumerate() {
            let after = nodes.get(at + 1).map_or(next, |&node| Goto::to(node));
            self.step(step, nodes[at], &scope, after)?;
        }
        Ok(nodes.first().map_or(next, |&node| Goto::to(node)))
    }

    fn reserve(&mut self, step: &Step, pointer: &str, scope: &Scope<'a>) -> Result<NodeId, CompileError> {
        let path = if scope.path.is_empty() {
            step.common.id.to_string()
        } else {
            format!("{}/{}", scope.path, step.common.id)
        };
        self.push(Node {
            kind: NodeKind::Route,
            path,
            source: scope.document.source,
            procedure: scope.document.model.procedure.clone(),
            pointer: pointer.to_owned(),
            rounds: scope.rounds.clone(),
            phase: Phase::Body,
            needs: Vec::new(),
            outcomes: Vec::new(),
            block: scope.block,
            item: scope.item,
        })
    }

    fn push(&mut self, node: Node) -> Result<NodeId, CompileError> {
        if self.nodes.len() >= NODE_LIMIT {
            return Err(CompileError::TooLarge);
        }
        self.nodes.push(node);
        Ok(NodeId(self.nodes.len() as u32 - 1))
    }

    /// Another node of the same step.
    pub(super) fn sibling(&mut self, of: NodeId, phase: Phase) -> Result<NodeId, CompileError> {
        let Node {
            kind: _,
            path,
            source,
            procedure,
            pointer,
            rounds,
            phase: _,
            needs: _,
            outcomes: _,
            block,
            item,
        } = &self.nodes[of.0 as usize];
        let copy = Node {
            kind: NodeKind::Route,
            path: path.clone(),
            source: *source,
            procedure: procedure.clone(),
            pointer: pointer.clone(),
            rounds: rounds.clone(),
            phase,
            needs: Vec::new(),
            outcomes: Vec::new(),
            block: *block,
            item: *item,
        };
        self.push(copy)
    }

    /// Whether nobody can see the condition.
    pub(super) fn is_hidden(&self, var: VarId) -> bool {
        let condition = self.equipment.conditions.get(&self.layout.var(var).name);
        condition.is_some_and(|condition| condition.seen_by() == SeenBy::Nobody)
    }

    fn step(
        &mut self,
        step: &'a Step,
        node: NodeId,
        scope: &Scope<'a>,
        after: Goto,
    ) -> Result<(), CompileError> {
        let at = &*step.common.id;
        let then = match &step.common.then {
            Some(target) => self.target(&target.0, scope.frame, at)?,
            None => after,
        };
        let node = self.only(step, node, after)?;
        let Contract { needs, effects, disturbed, verified } =
            Contract::new(step, self.equipment, self.layout)?;
        let otherwise = match &step.common.otherwise {
            Some(target) => Some(self.target(&target.0, scope.frame, at)?),
            None => None,
        };
        let fails = otherwise.ok_or_else(|| unresolved(at, "an `otherwise`".to_owned()));
        let look =
            |then, otherwise| Look { effects: &effects, disturbed: &disturbed, verified, then, otherwise };
        match &step.kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => {
                let then = if verified {
                    self.verified_act(node, &effects, then, otherwise.unwrap_or(Goto::to(STOP)))?
                } else {
                    then
                };
                self.act(node, needs, &effects, then)
            }
            Kind::Hold(_) => {
                let then = self.verified(verified, node, then)?;
                let then = self.follows(node, &effects, Duty::Absent, then)?;
                let released = Outcome { duty: Duty::Absent, ..done(Vec::new(), then) };
                self.fill(node, NodeKind::Hold, needs, vec![released]);
                Ok(())
            }
            Kind::Confirm(conditions) => {
                let asked = cube(self.layout, conditions, at)?;
                let needs = self.to_see(needs, [conditions], at)?;
                self.look(node, LookKind::Confirm, &asked.0, &[], needs, &look(then, fails?))
            }
            Kind::Measure(measure) => {
                let shows = cube(self.layout, &measure.shows, at)?;
                let attempts = measure.retests.saturating_add(1);
                let needs = self.to_see(needs, [&measure.shows], at)?;
                self.measure(node, &shows.0, attempts, &needs, &look(then, fails?))
            }
            Kind::Wait(wait) => {
                let waits = match &wait.time {
                    Some(figure) => self.times(figure, scope, at)?,
                    None => Vec::new(),
                };
                let until = cube(self.layout, &wait.until, at)?;
                if !until.0.is_empty() {
                    let needs = self.to_see(needs, [&wait.until], at)?;
                    // It is the look after it that is verified: where that is denied the later counts.
                    return self.look(node, LookKind::Until, &until.0, &waits, needs, &look(then, fails?));
                }
                let then = self.verified(verified, node, then)?;
                let then = self.follows(node, &effects, Duty::Absent, then)?;
                let over = Outcome { waits, duty: Duty::Absent, ..done(Vec::new(), then) };
                self.fill(node, NodeKind::Wait, needs, vec![over]);
                Ok(())
            }
            Kind::Ask(question) => {
                let mut answers = Vec::new();
                for answer in question.answers.values() {
                    let shows = match answer {
                        Answer::Goes(_) => Cube::default(),
                        Answer::Shows(outcome) => cube(self.layout, &outcome.shows, at)?,
                    };
                    answers.push((shows, self.target(&answer.target().0, scope.frame, at)?));
                }
                let shown = question.answers.values().filter_map(|answer| match answer {
                    Answer::Goes(_) => None,
                    Answer::Shows(outcome) => Some(&outcome.shows),
                });
                let needs = self.to_see(needs, shown, at)?;
                // Each answer has its own way; who cannot tell stops.
                self.ask(node, &answers, needs, &look(then, Goto::to(STOP)))
            }
            Kind::AnyOrder(items) => {
                let then = self.verified(verified, node, then)?;
                self.any_order(items, node, scope, needs, &effects, then)
            }
            Kind::Repeat(repeat) => {
                let then = self.verified(verified, node, then)?;
                // It is the whole that was verified, not its last look.
                let look = Look { verified: false, ..look(then, fails?) };
                self.repeat(repeat, at, node, scope, needs, &look)
            }
            Kind::Perform(name) => {
                let then = self.verified(verified, node, then)?;
                self.perform(name, at, node, scope, needs, &effects, then)
            }
        }
    }

    /// What a step needs that looks at these: what it asks for itself, and what has to be so for them to be seen.
    fn to_see<'c>(
        &self,
        mut needs: Vec<Need>,
        looked_at: impl IntoIterator<Item = &'c Authored>,
        at: &str,
    ) -> Result<Vec<Need>, CompileError> {
        for name in looked_at.into_iter().flat_map(|cube| cube.keys()) {
            let condition = self.equipment.conditions.get(&**name);
            let Some(when) = condition.map(|condition| &condition.seen_when) else { continue };
            for conjunct in cube(self.layout, when, at)?.0 {
                let need = Need { conjunct, source: NeedSource::Sight(name.clone()) };
                if !needs.contains(&need) {
                    needs.push(need);
                }
            }
        }
        Ok(needs)
    }

    /// A step for some variants only: a node that settles the matter, then the step itself.
    fn only(&mut self, step: &Step, node: NodeId, after: Goto) -> Result<NodeId, CompileError> {
        if step.common.only.is_empty() {
            return Ok(node);
        }
        let body = self.sibling(node, Phase::Body)?;
        let only = cube(self.layout, &step.common.only, &step.common.id)?;
        let applies = Outcome {
            guard: Guard::Is(only.clone()),
            ..outcome(Choice::Applies, Vec::new(), Goto::to(body))
        };
        let passed = Outcome { guard: Guard::IsNot(only), ..outcome(Choice::PassedOver, Vec::new(), after) };
        let first = &mut self.nodes[node.0 as usize];
        first.phase = Phase::Only;
        self.fill(node, NodeKind::Route, Vec::new(), vec![applies, passed]);
        Ok(body)
    }

    /// The times a figure stands for, each with the variants it is for.
    fn times(&self, figure: &Figure, scope: &Scope<'a>, at: &str) -> Result<Vec<(Cube, u64)>, CompileError> {
        let cases = document::figure_cases(self.equipment, Some(&scope.document.model), figure)
            .map_err(|error| unresolved(at, format!("a time ({error})")))?;
        let mut times = Vec::with_capacity(cases.len());
        for case in cases {
            let mut cube = Cube::default();
            for (variant, value) in &case.variants {
                let var = find(self.layout, variant, at)?;
                let set = self.layout.bit(var, value);
                let set = set.ok_or_else(|| unresolved(at, format!("value `{value}`")))?;
                cube.0.push(Conjunct { var, set });
            }
            let time = calc::quantity::Duration::from_quantity(&case.quantity);
            let time = time.map_err(|error| unresolved(at, format!("a time ({error})")))?;
            times.push((cube, time.as_millis()));
        }
        Ok(times)
    }

    /// A choosing node with an outcome for each item, to which each item returns; an item that jumps out leaves the rest.
    fn any_order(
        &mut self,
        items: &'a [Step],
        node: NodeId,
        scope: &Scope<'a>,
        needs: Vec<Need>,
        effects: &[Effect],
        then: Goto,
    ) -> Result<(), CompileError> {
        let pointer = format!("{}/any_order", self.nodes[node.0 as usize].pointer);
        if items.len() > ITEMS_LIMIT {
            return Err(CompileError::TooLarge);
        }
        let choosing = self.sibling(node, Phase::Choose)?;
        let after = self.follows(choosing, effects, Duty::Absent, then)?;
        let block = self.blocks.len() as u32;
        self.blocks.push(effects.to_vec());
        self.nodes[choosing.0 as usize].block = Some(block);
        let path = self.nodes[node.0 as usize].path.clone();
        let inner = Scope { block: Some(block), path, ..scope.clone() };
        let mut outcomes = Vec::with_capacity(items.len() + 1);
        for (number, item) in items.iter().enumerate() {
            let back = Goto { node: choosing, item: Some(number as u8) };
            let inner = Scope { item: Some(number as u8), ..inner.clone() };
            // Each item is a list of its own: no item is reached by the name of another.
            let entry = self.item(item, &format!("{pointer}/{number}"), &inner, back, &needs)?;
            outcomes.push(outcome(Choice::Item(number as u8), Vec::new(), Goto::to(entry)));
        }
        outcomes.push(outcome(Choice::AllItems, Vec::new(), after));
        self.fill(node, NodeKind::Enter, needs, vec![done(Vec::new(), Goto::to(choosing))]);
        self.fill(choosing, NodeKind::AnyOrder { items: items.len() as u8 }, Vec::new(), outcomes);
        Ok(())
    }

    /// An item of a block, which needs what the block needs.
    fn item(
        &mut self,
        item: &'a Step,
        pointer: &str,
        scope: &Scope<'a>,
        back: Goto,
        around: &[Need],
    ) -> Result<NodeId, CompileError> {
        let node = self.reserve(item, pointer, scope)?;
        let done = self.frames[scope.frame].done;
        self.frames.push(Frame { parent: Some(scope.frame), labels: HashMap::new(), done });
        let scope = Scope { frame: self.frames.len() - 1, ..scope.clone() };
        self.step(item, node, &scope, back)?;
        // An item for some variants only needs it where it is done.
        let first = &self.nodes[node.0 as usize];
        let applies = first.outcomes.iter().find(|outcome| outcome.choice == Choice::Applies);
        let body = applies.map_or(node, |applies| applies.to.node);
        self.nodes[body.0 as usize].needs.splice(0..0, around.iter().cloned());
        Ok(node)
    }

    fn repeat(
        &mut self,
        repeat: &'a Repeat,
        at: &str,
        node: NodeId,
        scope: &Scope<'a>,
        needs: Vec<Need>,
        look: &Look<'_>,
    ) -> Result<(), CompileError> {
        let until = cube(self.layout, &repeat.until, at)?;
        let pointer = format!("{}/repeat/steps", self.nodes[node.0 as usize].pointer);
        let path = self.nodes[node.0 as usize].path.clone();
        let rounds = repeat.at_most;
        let questions: Vec<NodeId> =
            (1..=rounds).map(|round| self.sibling(node, Phase::Until(round))).collect::<Result<_, _>>()?;
        let mut entries = Vec::with_capacity(questions.len());
        for (round, &question) in (1..).zip(&questions) {
            let mut inner = Scope { path: path.clone(), ..scope.clone() };
            inner.rounds.push(round);
            let (done, next) = (self.frames[scope.frame].done, Goto::to(question));
            let parent = Some(scope.frame);
            entries.push(self.list(&repeat.steps, &pointer, &inner, parent, next, done, &needs)?);
        }
        for (round, &question) in (1..).zip(&questions) {
            let again = entries.get(round as usize).copied();
            let otherwise = again.unwrap_or(look.otherwise);
            let kind = LookKind::Round { round, rounds };
            let needs = self.to_see(needs.clone(), [&repeat.until], at)?;
            self.look(question, kind, &until.0, &[], needs, &Look { otherwise, ..*look })?;
        }
        let first = entries.first().copied().unwrap_or(look.otherwise);
        self.fill(node, NodeKind::Enter, needs, vec![done(Vec::new(), first)]);
        Ok(())
    }

    #[expect(clippy::too_many_arguments, reason = "one call; a struct would only rename the parts of a step")]
    fn perform(
        &mut self,
        name: &'a Name,
        at: &str,
        node: NodeId,
        scope: &Scope<'a>,
        mut needs: Vec<Need>,
        effects: &[Effect],
        then: Goto,
    ) -> Result<(), CompileError> {
        let inner = self.library.procedures.get(name);
        let inner = inner.ok_or_else(|| unresolved(at, format!("procedure `{name}`")))?;
        if self.performing.contains(&name) {
            return Err(unresolved(at, format!("an end: `{name}` performs itself")));
        }
        let required = cube(self.layout, &inner.model.requires, at)?;
        let source = NeedSource::Procedure(name.clone());
        needs.extend(required.0.into_iter().map(|conjunct| Need { conjunct, source: source.clone() }));
        // What the step itself leaves becomes true after the performed procedure's last step.
        let after = if let Some((&first, rest)) = effects.split_first() {
            let last = self.sibling(node, Phase::Last)?;
            let to = self.follows(last, rest, Duty::Absent, then)?;
            let kind = NodeKind::Follows { of: last, left: last };
            self.fill(last, kind, Vec::new(), vec![Outcome { duty: Duty::Absent, ..done(vec![first], to) }]);
            Goto::to(last)
        } else {
            then
        };
        self.performing.push(name);
        let inner_scope = Scope {
            document: inner,
            frame: scope.frame,
            path: self.nodes[node.0 as usize].path.clone(),
            rounds: scope.rounds.clone(),
            block: scope.block,
            item: scope.item,
        };
        let entry = self.list(&inner.model.steps, "/steps", &inner_scope, None, after, after, &[])?;
        self.performing.pop();
        self.fill(node, NodeKind::Enter, needs, vec![done(Vec::new(), entry)]);
        Ok(())
    }

    /// Where a name leads from a step of the list in `frame`.
    fn target(&self, name: &str, frame: usize, at: &str) -> Result<Goto, CompileError> {
        match name {
            "done" => return Ok(self.frames[frame].done),
            "stop" => return Ok(Goto::to(STOP)),
            _ => {}
        }
        let mut here = Some(frame);
        while let Some(frame) = here {
            let frame = &self.frames[frame];
            if let Some(&node) = frame.labels.get(name) {
                return Ok(Goto::to(node));
            }
            here = frame.parent;
        }
        Err(unresolved(at, format!("step `{name}`")))
    }
}
