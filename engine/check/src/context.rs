//! What rules about the proof look at.

use document::model::{Equipment, Kind, Name, Procedure, Step};
use document::{Document, Library, Place};
use machine::{Effect, Machine, Node, NodeId, NodeKind};
use proof::{Proof, Shape};

/// One procedure with everything known of it.
pub(crate) struct Context<'a> {
    pub(crate) library: &'a Library,
    pub(crate) procedure: &'a Document<Procedure>,
    pub(crate) equipment: &'a Document<Equipment>,
    pub(crate) machine: &'a Machine,
    pub(crate) shape: &'a Shape,
    pub(crate) proof: &'a Proof,
}

impl<'a> Context<'a> {
    /// The authored step of a node.
    pub(crate) fn step_of(&self, node: &Node) -> Option<&'a Step> {
        self.library.procedures.get(&node.procedure)?.model.step_at(&node.pointer)
    }

    pub(crate) fn node(&self, id: NodeId) -> &Node {
        self.machine.node(id)
    }

    /// What an act does to the record, from its first node on, in the order in which it comes about.
    pub(crate) fn effects_of_act(&self, act: NodeId) -> impl Iterator<Item = Effect> {
        let next = move |id: &NodeId| {
            let to = self.node(*id).outcomes.first()?.to.node;
            matches!(self.node(to).kind, NodeKind::InAct { act: of, .. } if of == act).then_some(to)
        };
        let nodes = std::iter::successors(Some(act), next);
        let first = |id: NodeId| self.node(id).outcomes.first();
        nodes.filter_map(first).flat_map(|outcome| outcome.effects.iter().copied())
    }

    /// The document a node's step stands in.
    pub(crate) fn document(&self, node: &Node) -> &Document<Procedure> {
        self.library.procedures.get(&node.procedure).unwrap_or(self.procedure)
    }

    /// The key by which a node's step looks.
    pub(crate) fn look_key(&self, node: &Node) -> String {
        let Some(step) = self.step_of(node) else { return "id".to_owned() };
        let key = step.kind.main_key();
        match step.kind {
            Kind::Wait(_) | Kind::Repeat(_) => format!("{key}/until"),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Perform(_) => key.to_owned(),
        }
    }

    /// The place of a key of a node's step; of the step itself where it has no such key.
    pub(crate) fn key(&self, node: &Node, key: &str) -> Place {
        self.document(node).key_place(&format!("{}/{key}", node.pointer))
    }

    /// The step's name as it stands in the document, where a finding about the whole step points.
    pub(crate) fn id_place(&self, node: &Node) -> Place {
        if node.kind == NodeKind::End {
            return self.procedure.place("/procedure");
        }
        self.document(node).place(&format!("{}/id", node.pointer))
    }

    /// "step `open-bowl`", with the procedure if it is a performed one.
    pub(crate) fn step_words(&self, node: &Node) -> String {
        if node.kind == NodeKind::End {
            format!("the end of `{}` (`{}`)", node.procedure, node.path)
        } else if node.procedure == self.machine.procedure {
            format!("step `{}`", last(&node.path))
        } else {
            format!("step `{}` of `{}`, performed here", last(&node.path), node.procedure)
        }
    }

    /// What is the same of a step whoever performs it: what is wrong there is told once.
    pub(crate) fn cause_at(&self, node: &Node, what: &str) -> String {
        let document = self.document(node).source.0;
        format!("{document} {} {what}", node.pointer)
    }

    /// The pointer of a name in a map of the equipment.
    pub(crate) fn equipment_place(&self, map: &str, name: &Name) -> Place {
        self.equipment.key_place(&format!("/{map}/{name}"))
    }
}

fn last(path: &str) -> &str {
    path.rsplit('/').next().unwrap_or(path)
}
