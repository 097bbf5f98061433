//! From steps to nodes. Repeats and performed procedures are written out in full, so that a place says everything.

use super::contract::Contract;
use super::error::{CompileError, NODE_LIMIT, unresolved};
use super::tables::{cube, find};
use crate::cube::{Conjunct, Cube};
use crate::layout::{Layout, VarId};
use crate::node::{Choice, DONE, Goto, Guard, Need, NeedSource, Node, NodeId, NodeKind, Outcome, STOP};
use document::model::{Answer, Equipment, Figure, Kind, Measure, Name, Procedure, Repeat, Step, Wait};
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
}

pub(super) struct Compiler<'a> {
    library: &'a Library,
    equipment: &'a Equipment,
    layout: &'a Layout,
    nodes: Vec<Node>,
    frames: Vec<Frame<'a>>,
    blocks: u32,
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
            blocks: 0,
            performing: Vec::new(),
        }
    }

    pub(super) fn procedure(
        mut self,
        document: &'a Document<Procedure>,
    ) -> Result<(Vec<Node>, NodeId), CompileError> {
        for end in ["done", "stop"] {
            self.nodes.push(Node {
                kind: NodeKind::End,
                path: end.to_owned(),
                source: document.source,
                procedure: document.model.procedure.clone(),
                pointer: String::new(),
                rounds: Vec::new(),
                needs: Vec::new(),
                outcomes: Vec::new(),
                block: None,
            });
        }
        self.performing.push(&document.model.procedure);
        let scope = Scope { document, frame: 0, path: String::new(), rounds: Vec::new(), block: None };
        let entry =
            self.list(&document.model.steps, "/steps", &scope, None, Goto::to(DONE), Goto::to(DONE))?;
        Ok((self.nodes, entry.node))
    }

    /// Compiles a list of steps and gives its first node. `next` is where its last step leads.
    fn list(
        &mut self,
        steps: &'a [Step],
        pointer: &str,
        scope: &Scope<'a>,
        parent: Option<usize>,
        next: Goto,
        done: Goto,
    ) -> Result<Goto, CompileError> {
        let mut nodes = Vec::with_capacity(steps.len());
        for (at, step) in steps.iter().enumerate() {
            nodes.push(self.reserve(step, &format!("{pointer}/{at}"), scope)?);
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
        if self.nodes.len() >= NODE_LIMIT {
            return Err(CompileError::TooLarge);
        }
        let path = if scope.path.is_empty() {
            step.common.id.to_string()
        } else {
            format!("{}/{}", scope.path, step.common.id)
        };
        self.nodes.push(Node {
            kind: NodeKind::Route,
            path,
            source: scope.document.source,
            procedure: scope.document.model.procedure.clone(),
            pointer: pointer.to_owned(),
            rounds: scope.rounds.clone(),
            needs: Vec::new(),
            outcomes: Vec::new(),
            block: scope.block,
        });
        Ok(NodeId(self.nodes.len() as u32 - 1))
    }

    /// Another node of the same step.
    fn sibling(&mut self, of: NodeId) -> Result<NodeId, CompileError> {
        if self.nodes.len() >= NODE_LIMIT {
            return Err(CompileError::TooLarge);
        }
        let node = &self.nodes[of.0 as usize];
        let copy = Node { kind: NodeKind::Route, needs: Vec::new(), outcomes: Vec::new(), ..node.clone() };
        self.nodes.push(copy);
        Ok(NodeId(self.nodes.len() as u32 - 1))
    }

    fn fill(&mut self, node: NodeId, kind: NodeKind, needs: Vec<Need>, outcomes: Vec<Outcome>) {
        let slot = &mut self.nodes[node.0 as usize];
        slot.kind = kind;
        slot.needs = needs;
        slot.outcomes = outcomes;
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
        // A step for some variants only: a node that settles the matter, then the step itself.
        let node = if step.common.only.is_empty() {
            node
        } else {
            let body = self.sibling(node)?;
            let only = cube(self.layout, &step.common.only, at)?;
            let applies = outcome(Choice::Applies, Guard::Is(only.clone()), Goto::to(body));
            let passed = outcome(Choice::PassedOver, Guard::IsNot(only), after);
            self.fill(node, NodeKind::Route, Vec::new(), vec![applies, passed]);
            body
        };
        let Contract { needs, sets, disturbed } = Contract::new(step, self.equipment, self.layout)?;
        let otherwise = |this: &Self| match &step.common.otherwise {
            Some(target) => this.target(&target.0, scope.frame, at),
            None => Err(unresolved(at, "an `otherwise`".to_owned())),
        };
        match &step.kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => {
                self.fill(node, NodeKind::Act, needs, vec![done(sets, then)]);
            }
            Kind::Hold(_) => self.fill(node, NodeKind::Hold, needs, vec![done(sets, then)]),
            Kind::Confirm(conditions) => {
                let conditions = cube(self.layout, conditions, at)?;
                let pass = Outcome { sets, ..outcome(Choice::Pass, Guard::Is(conditions.clone()), then) };
                let fail = outcome(Choice::Fail, Guard::IsNot(conditions.clone()), otherwise(self)?);
                let fail = Outcome { sets: disturbed, ..fail };
                self.fill(node, NodeKind::Confirm(conditions), needs, vec![pass, fail]);
            }
            Kind::Measure(measure) => {
                let otherwise = otherwise(self)?;
                self.measure(measure, at, node, needs, &sets, &disturbed, then, otherwise)?;
            }
            Kind::Wait(wait) => {
                let otherwise = if wait.until.is_empty() { None } else { Some(otherwise(self)?) };
                self.wait(wait, at, scope, node, needs, sets, disturbed, then, otherwise)?;
            }
            Kind::Ask(question) => {
                let mut outcomes = Vec::new();
                for (number, answer) in question.answers.values().enumerate() {
                    let guard = match answer {
                        Answer::Goes(_) => Guard::Always,
                        Answer::Shows(outcome) => Guard::Is(cube(self.layout, &outcome.shows, at)?),
                    };
                    let to = self.target(&answer.target().0, scope.frame, at)?;
                    outcomes.push(Outcome {
                        sets: sets.clone(),
                        ..outcome(Choice::Answer(number as u32), guard, to)
                    });
                }
                self.fill(node, NodeKind::Ask, needs, outcomes);
            }
            Kind::AnyOrder(items) => self.any_order(items, node, scope, needs, sets, then)?,
            Kind::Repeat(repeat) => {
                let otherwise = otherwise(self)?;
                self.repeat(repeat, at, node, scope, needs, &sets, &disturbed, then, otherwise)?;
            }
            Kind::Perform(name) => self.perform(name, at, node, scope, needs, sets, then)?,
        }
        Ok(())
    }

    /// One node an attempt: every attempt finds the conditions out afresh.
    #[expect(clippy::too_many_arguments, reason = "one call; a struct would only rename the parts of a step")]
    fn measure(
        &mut self,
        measure: &Measure,
        at: &str,
        first: NodeId,
        mut needs: Vec<Need>,
        sets: &[Conjunct],
        disturbed: &[Conjunct],
        then: Goto,
        otherwise: Goto,
    ) -> Result<(), CompileError> {
        let shows = cube(self.layout, &measure.shows, at)?;
        let havoc: Vec<VarId> = shows.0.iter().map(|conjunct| conjunct.var).collect();
        let attempts = measure.retests.saturating_add(1);
        let mut node = first;
        for attempt in 1..=attempts {
            let again = if attempt == attempts { otherwise } else { Goto::to(self.sibling(first)?) };
            let (is, is_not) = if shows.0.is_empty() {
                (Guard::Always, Guard::Always)
            } else {
                (Guard::Is(shows.clone()), Guard::IsNot(shows.clone()))
            };
            let pass =
                Outcome { havoc: havoc.clone(), sets: sets.to_vec(), ..outcome(Choice::Pass, is, then) };
            let fail = Outcome {
                havoc: havoc.clone(),
                sets: disturbed.to_vec(),
                ..outcome(Choice::Fail, is_not, again)
            };
            let kind = NodeKind::Measure { attempt, attempts };
            self.fill(node, kind, std::mem::take(&mut needs), vec![pass, fail]);
            node = again.node;
        }
        Ok(())
    }

    #[expect(clippy::too_many_arguments, reason = "one call; a struct would only rename the parts of a step")]
    fn wait(
        &mut self,
        wait: &Wait,
        at: &str,
        scope: &Scope<'a>,
        node: NodeId,
        needs: Vec<Need>,
        sets: Vec<Conjunct>,
        disturbed: Vec<Conjunct>,
        then: Goto,
        otherwise: Option<Goto>,
    ) -> Result<(), CompileError> {
        let waits = match &wait.time {
            Some(figure) => self.times(figure, scope, at)?,
            None => Vec::new(),
        };
        let until = cube(self.layout, &wait.until, at)?;
        let havoc: Vec<VarId> = until.0.iter().map(|conjunct| conjunct.var).collect();
        let outcomes = match otherwise {
            None => vec![Outcome { waits, ..done(sets, then) }],
            Some(otherwise) => {
                let came = outcome(Choice::Pass, Guard::Is(until.clone()), then);
                let limit = outcome(Choice::Fail, Guard::IsNot(until.clone()), otherwise);
                vec![
                    Outcome { havoc: havoc.clone(), sets, waits: waits.clone(), ..came },
                    Outcome { havoc, sets: disturbed, waits, ..limit },
                ]
            }
        };
        self.fill(node, NodeKind::Wait(until), needs, outcomes);
        Ok(())
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
        sets: Vec<Conjunct>,
        then: Goto,
    ) -> Result<(), CompileError> {
        let pointer = format!("{}/any_order", self.nodes[node.0 as usize].pointer);
        // The block's own preconditions hold once, on arrival: its choosing node is met again after every item.
        let choosing = self.sibling(node)?;
        self.fill(node, NodeKind::Enter, needs, vec![done(Vec::new(), Goto::to(choosing))]);
        let block = self.blocks;
        self.blocks += 1;
        self.nodes[choosing.0 as usize].block = Some(block);
        let inner =
            Scope { block: Some(block), path: self.nodes[node.0 as usize].path.clone(), ..scope.clone() };
        let mut outcomes = Vec::with_capacity(items.len() + 1);
        for (number, item) in items.iter().enumerate() {
            let back = Goto { node: choosing, item: Some(number as u8) };
            // Each item is a list of its own: no item is reached by the name of another.
            let entry = self.item(item, &format!("{pointer}/{number}"), &inner, back)?;
            outcomes.push(outcome(Choice::Item(number as u8), Guard::Always, Goto::to(entry)));
        }
        outcomes.push(Outcome { sets, ..outcome(Choice::AllItems, Guard::Always, then) });
        self.fill(choosing, NodeKind::AnyOrder { items: items.len() as u8 }, Vec::new(), outcomes);
        Ok(())
    }

    fn item(
        &mut self,
        item: &'a Step,
        pointer: &str,
        scope: &Scope<'a>,
        back: Goto,
    ) -> Result<NodeId, CompileError> {
        let node = self.reserve(item, pointer, scope)?;
        let done = self.frames[scope.frame].done;
        self.frames.push(Frame { parent: Some(scope.frame), labels: HashMap::new(), done });
        let scope = Scope { frame: self.frames.len() - 1, ..scope.clone() };
        self.step(item, node, &scope, back)?;
        Ok(node)
    }

    #[expect(clippy::too_many_arguments, reason = "one call; a struct would only rename the parts of a step")]
    fn repeat(
        &mut self,
        repeat: &'a Repeat,
        at: &str,
        node: NodeId,
        scope: &Scope<'a>,
        needs: Vec<Need>,
        sets: &[Conjunct],
        disturbed: &[Conjunct],
        then: Goto,
        otherwise: Goto,
    ) -> Result<(), CompileError> {
        let until = cube(self.layout, &repeat.until, at)?;
        let pointer = format!("{}/repeat/steps", self.nodes[node.0 as usize].pointer);
        let path = self.nodes[node.0 as usize].path.clone();
        let questions: Vec<NodeId> =
            (0..repeat.at_most).map(|_| self.sibling(node)).collect::<Result<_, _>>()?;
        let mut entries = Vec::with_capacity(questions.len());
        for (round, &question) in (1..).zip(&questions) {
            let mut inner = Scope { path: path.clone(), ..scope.clone() };
            inner.rounds.push(round);
            let done = self.frames[scope.frame].done;
            let entry =
                self.list(&repeat.steps, &pointer, &inner, Some(scope.frame), Goto::to(question), done)?;
            entries.push(entry);
        }
        for (at, &question) in questions.iter().enumerate() {
            let (again, left) = entries.get(at + 1).map_or((otherwise, disturbed), |&entry| (entry, &[]));
            let pass =
                Outcome { sets: sets.to_vec(), ..outcome(Choice::Pass, Guard::Is(until.clone()), then) };
            let fail =
                Outcome { sets: left.to_vec(), ..outcome(Choice::Fail, Guard::IsNot(until.clone()), again) };
            let kind =
                NodeKind::RepeatUntil { until: until.clone(), round: at as u32 + 1, rounds: repeat.at_most };
            self.fill(question, kind, Vec::new(), vec![pass, fail]);
        }
        let first = entries.first().copied().unwrap_or(otherwise);
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
        sets: Vec<Conjunct>,
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
        let after = if sets.is_empty() {
            then
        } else {
            let last = self.sibling(node)?;
            self.fill(last, NodeKind::Route, Vec::new(), vec![done(sets, then)]);
            Goto::to(last)
        };
        self.performing.push(name);
        let inner_scope = Scope {
            document: inner,
            frame: scope.frame,
            path: self.nodes[node.0 as usize].path.clone(),
            rounds: scope.rounds.clone(),
            block: scope.block,
        };
        let entry = self.list(&inner.model.steps, "/steps", &inner_scope, None, after, after)?;
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

fn outcome(choice: Choice, guard: Guard, to: Goto) -> Outcome {
    Outcome { choice, havoc: Vec::new(), guard, sets: Vec::new(), waits: Vec::new(), to }
}

fn done(sets: Vec<Conjunct>, to: Goto) -> Outcome {
    Outcome { sets, ..outcome(Choice::Done, Guard::Always, to) }
}
