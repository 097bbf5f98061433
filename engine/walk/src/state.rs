//! What is known of a walk: the fold of its events.

use crate::account::Account;
use crate::belief::Belief;
use crate::carried::Carried;
use crate::compiled::Compiled;
use crate::event::{Begin, Event};
use crate::gate::Gate;
use crate::hands::Hands;
use crate::status::Status;
use document::model::{Equipment, Name, Procedure, Step};
use document::{Document, LabelFigure, Library};
use machine::{AbstractState, Conjunct, Cube, Machine, Node, NodeId, VarId, VarOrigin};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A timer under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Running {
    pub(crate) since_ms: i64,
    pub(crate) millis: u64,
    /// Whether it has run its time: then only what is waited for is still open.
    pub(crate) over: bool,
}

/// What is asked first after an interruption at an act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Doubt {
    /// Whether it had been begun.
    Begun,
    /// Whether the ticked fasteners are as they were left.
    Ticks,
}

/// What is known of a condition beside its values.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Known {
    /// When it was last looked at or written, in milliseconds since 1970.
    pub(crate) since_ms: Option<i64>,
    pub(crate) since: Since,
}

/// What was last learned of a condition.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Since {
    /// It was looked at, or nothing was learned.
    #[default]
    Seen,
    /// The record alone told it.
    ByRecord,
    /// An act wrote it.
    Written,
}

/// An answer that nothing rests on yet, and the walk before it.
#[derive(Clone, Debug)]
pub(crate) struct Given {
    pub(crate) step: String,
    pub(crate) what: String,
    /// The same for people at the machine.
    pub(crate) spoken: String,
    pub(crate) before: Arc<Walk>,
}

/// A walk: what the records entitle us to believe, and what is still to be asked.
#[derive(Clone, Debug)]
pub struct Walk {
    pub(crate) begin: Arc<Begin>,
    pub(crate) library: Arc<Library>,
    pub(crate) machine: Arc<Machine>,
    /// The certificate that it carries; none where it carries none, or is only read.
    pub(crate) carried: Option<Arc<Carried>>,
    /// What the events say by themselves.
    pub(crate) account: Account,
    /// Whether what is believed by now is nothing that was proved.
    pub(crate) is_outside: bool,
    /// Whether that stands on record.
    pub(crate) was_outside: bool,
    /// Where a walk of format 1 stood when it was last gone on with: it is not replayed, only left.
    pub(crate) earlier: Option<Status>,
    /// The record that was proved, at its place.
    pub(crate) state: AbstractState,
    /// What is believed of the machine. A step is shown only where that lies inside the proved record in all that the rest relies on.
    pub(crate) belief: Belief,
    /// The record as it is told: the proved one, or while a gate is shut only what is known there.
    pub(crate) record: AbstractState,
    /// Variants not yet given.
    pub(crate) variants_due: Vec<VarId>,
    /// Figures of the product's label not yet given.
    pub(crate) labels_due: Vec<LabelFigure>,
    /// Whether everything before step 1 was said.
    pub(crate) has_started: bool,
    /// What is looked at before anything else.
    pub(crate) gate: Option<Gate>,
    pub(crate) doubt: Option<Doubt>,
    /// Whether it was said that the act here was begun, or it was done before and is done again.
    pub(crate) in_act: bool,
    /// Whether work stopped, or was left after that, with nobody at it: of what does not keep nothing is known.
    pub(crate) left_alone: bool,
    /// When work stopped.
    pub(crate) stopped_ms: Option<i64>,
    /// Whether somebody else may have begun the way to leave the machine: its acts may have changed what keeps, too.
    pub(crate) way_left: bool,
    /// Who took part in what may have to be verified.
    pub(crate) hands: Hands,
    /// Combinations that somebody may release and that have to be released once more: work was interrupted since.
    pub(crate) unreleased: BTreeSet<Name>,
    /// Whether the looks before done are over.
    pub(crate) done_seen: bool,
    /// For every variable.
    pub(crate) known: Vec<Known>,
    /// The conditions of the look under way that were ticked.
    pub(crate) page: Vec<VarId>,
    pub(crate) timer: Option<Running>,
    /// How many fasteners of the present step are done, over all its passes.
    pub(crate) ticks: usize,
    pub(crate) paused: bool,
    pub(crate) stopped: Option<String>,
    /// What was said on the way to leave the machine after the stop.
    pub(crate) leaving: Vec<(i64, Event)>,
    /// Whether the machine was released for use again after the stop.
    pub(crate) returned: bool,
    pub(crate) deviations: u32,
    /// Where the last answer contradicted the record, or a reading was not accepted: what is told of it.
    pub(crate) surprise: Option<String>,
    /// The answers that can be taken back, the last one last.
    pub(crate) given: Vec<Given>,
    /// Counts the events that can change what is asked: everything but remarks and photos.
    pub(crate) position: u64,
    pub(crate) person: String,
    pub(crate) last_ms: i64,
}

impl Walk {
    /// A walk of which only the beginning is known.
    pub(crate) fn new(begin: Begin, compiled: Compiled, at_ms: i64) -> Self {
        let Compiled { library, machine, carried } = compiled;
        let layout = &machine.layout;
        let is_variant = |var: &VarId| layout.var(*var).origin == VarOrigin::Variant;
        let variants_due = layout.ids().filter(is_variant).collect();
        let state = machine.start();
        let account = Account::new(&machine);
        let known = vec![Known::default(); layout.ids().count()];
        let person = begin.person.clone();
        let labels_due = document::label_figures(&library, &Name::from(begin.procedure.as_str()));
        let mut walk = Self {
            begin: Arc::new(begin),
            library,
            machine,
            carried,
            account,
            is_outside: false,
            was_outside: false,
            earlier: None,
            belief: Belief::new(state.clone()),
            record: state.clone(),
            state,
            variants_due,
            labels_due,
            has_started: false,
            gate: None,
            doubt: None,
            in_act: false,
            left_alone: false,
            stopped_ms: None,
            way_left: false,
            hands: Hands::default(),
            unreleased: BTreeSet::new(),
            done_seen: false,
            known,
            page: Vec::new(),
            timer: None,
            ticks: 0,
            paused: false,
            stopped: None,
            leaving: Vec::new(),
            returned: false,
            deviations: 0,
            surprise: None,
            given: Vec::new(),
            position: 1,
            person,
            last_ms: at_ms,
        };
        walk.settle();
        walk.judge();
        walk.tell_record();
        walk
    }

    /// A walk of format 1, of which nothing is believed: it can only be left.
    pub(crate) fn earlier(begin: Begin, compiled: Compiled, status: Status, at_ms: i64) -> Self {
        let mut walk = Self::new(begin, compiled, at_ms);
        walk.state = walk.machine.unknown(walk.state.place);
        walk.belief = Belief::new(walk.state.clone());
        walk.variants_due = Vec::new();
        walk.labels_due = Vec::new();
        walk.gate = None;
        walk.earlier = Some(status);
        walk.tell_record();
        walk
    }

    /// How the walk began.
    #[must_use]
    pub fn begin(&self) -> &Begin {
        &self.begin
    }

    /// The same, shared.
    pub(crate) fn shared_begin(&self) -> Arc<Begin> {
        Arc::clone(&self.begin)
    }

    /// Who walks now.
    #[must_use]
    pub fn person(&self) -> &str {
        &self.person
    }

    /// The variants of this machine that are known by now, each with its value.
    #[must_use]
    pub fn variants(&self) -> BTreeMap<Name, String> {
        let layout = &self.machine.layout;
        let is_known =
            |id: &VarId| layout.var(*id).origin == VarOrigin::Variant && !self.variants_due.contains(id);
        let known = layout.ids().filter(is_known);
        known
            .filter_map(|id| {
                let [value] = layout.words_of(id, self.field(id))[..] else { return None };
                Some((Name::from(&*layout.var(id).name), value.to_owned()))
            })
            .collect()
    }

    /// The machine it runs.
    #[must_use]
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// When the last event was recorded, in milliseconds since 1970.
    #[must_use]
    pub fn last_ms(&self) -> i64 {
        self.last_ms
    }

    /// Where the walk is, as a number that grows with every event that can change what is asked. An answer to what was
    /// asked at one position is no answer at another.
    #[must_use]
    pub fn position(&self) -> u64 {
        self.position
    }

    /// Whether a timer was started here and has run its time.
    #[must_use]
    pub fn timer_has_run(&self) -> bool {
        self.timer.is_some_and(|timer| timer.over)
    }

    /// The record that was proved. While something is asked before anything else it holds only what is known there.
    #[must_use]
    pub fn record(&self) -> &AbstractState {
        &self.record
    }

    /// The record is told as it stands by now.
    pub(crate) fn tell_record(&mut self) {
        self.record = if self.gate.is_some() { self.surely() } else { self.state.clone() };
    }

    /// Where the last answer contradicted the record, or a reading was not accepted: what is told of it.
    #[must_use]
    pub fn surprise(&self) -> Option<&str> {
        self.surprise.as_deref()
    }

    /// The rules found broken, by their names: the next act has to end one of them.
    #[must_use]
    pub fn found_broken(&self) -> Vec<Name> {
        let rules = self.machine.rules.iter().enumerate();
        let found = rules.filter(|(at, _)| self.machine.is_found(&self.record, *at));
        found.map(|(_, rule)| rule.name.clone()).collect()
    }

    /// Why work was stopped, if it was.
    #[must_use]
    pub fn stop_reason(&self) -> Option<&str> {
        self.stopped.as_deref()
    }

    /// Keeps what agrees with a variant just given.
    pub(crate) fn narrow(&mut self, conjunct: Conjunct) {
        let cube = Cube(vec![conjunct]);
        if let Some(kept) = self.machine.narrow(&self.state, &cube) {
            self.state = kept;
        }
        self.belief.narrow(&self.machine, &cube);
    }

    /// The values that a variable may have by the proved record.
    pub(crate) fn field(&self, var: VarId) -> u64 {
        self.state.bits.field(&self.machine.layout, var)
    }

    pub(crate) fn node_id(&self) -> NodeId {
        self.state.place.node
    }

    /// The node the walk is at.
    #[must_use]
    pub fn node(&self) -> &Node {
        self.machine.node(self.node_id())
    }

    pub(crate) fn document(&self) -> Option<&Document<Procedure>> {
        self.library.procedures.get(&self.node().procedure)
    }

    /// The documents it walks by.
    #[must_use]
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// The same, for whoever outlives the walk's place in memory.
    #[must_use]
    pub fn shared_library(&self) -> Arc<Library> {
        Arc::clone(&self.library)
    }

    /// The equipment worked on.
    #[must_use]
    pub fn equipment(&self) -> Option<&Equipment> {
        self.library.equipment.get(self.begin.equipment.as_str()).map(|document| &document.model)
    }

    /// The procedure being walked.
    #[must_use]
    pub fn procedure(&self) -> Option<&Procedure> {
        self.library.procedures.get(self.begin.procedure.as_str()).map(|document| &document.model)
    }

    /// The authored step the walk is at.
    #[must_use]
    pub fn step(&self) -> Option<&Step> {
        self.document()?.model.step_at(&self.node().pointer)
    }

    /// The role that verifies the present step: its own, or that of the type of work that it is.
    #[must_use]
    pub fn verifying_role(&self) -> Option<&Name> {
        self.equipment()?.verifying_role(self.step()?)
    }
}
