//! What is known of a walk: the fold of its events.

use crate::compiled::Compiled;
use crate::event::{Begin, Event};
use document::model::{Equipment, Name, Procedure, Step};
use document::{Document, LabelFigure, Library};
use machine::{AbstractState, Choice, Conjunct, Cube, Machine, Node, NodeId, VarId};
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

/// A walk: what the records entitle us to believe, and what is still to be asked.
#[derive(Clone, Debug)]
pub struct Walk {
    pub(crate) begin: Begin,
    pub(crate) library: Arc<Library>,
    pub(crate) machine: Arc<Machine>,
    /// Boxes at one place: everything the machine may be like.
    pub(crate) states: Vec<AbstractState>,
    /// Variants not yet given.
    pub(crate) variants_due: Vec<VarId>,
    /// Figures of the product's label not yet given.
    pub(crate) labels_due: Vec<LabelFigure>,
    /// Conditions to be confirmed before step 1.
    pub(crate) start_due: Vec<Conjunct>,
    /// Normal values to be confirmed together before step 1.
    pub(crate) normals_due: Vec<Conjunct>,
    /// What lapsed, with the values it had: asked again before anything relies on it.
    pub(crate) lapsed: Vec<Conjunct>,
    /// Conditions of the present confirming step that were answered yes.
    pub(crate) looked: BTreeSet<VarId>,
    pub(crate) timer: Option<Running>,
    /// How many fasteners of the present step are done, over all its passes.
    pub(crate) ticks: usize,
    /// Whether these are to be looked at, because the walk was interrupted among them.
    pub(crate) ticks_doubted: bool,
    /// What was done or found and waits for a second person before it counts.
    pub(crate) unverified: Option<Choice>,
    pub(crate) paused: bool,
    pub(crate) stopped: Option<String>,
    /// What was said on the way to leave the machine after the stop.
    pub(crate) leaving: Vec<Event>,
    /// Whether the machine was released for use again after the stop.
    pub(crate) returned: bool,
    pub(crate) deviations: u32,
    /// Counts the events that can change what is asked: everything but remarks and photos.
    pub(crate) position: u64,
    pub(crate) person: String,
    pub(crate) last_ms: i64,
}

impl Walk {
    /// A walk of which only the beginning is known.
    pub(crate) fn new(begin: Begin, compiled: Compiled, at_ms: i64) -> Self {
        let Compiled { library, machine } = compiled;
        let layout = &machine.layout;
        let is_variant = |var: &VarId| layout.var(*var).origin == machine::VarOrigin::Variant;
        let variants_due = layout.ids().filter(is_variant).collect();
        let of = |source: machine::PromiseSource| {
            let asked = machine.asked.iter().filter(move |promise| promise.source == source);
            // What may be one way or another is not asked: no answer would keep the gate shut.
            let open = asked.map(|promise| promise.conjunct).filter(|due| due.set != layout.all(due.var));
            open.collect::<Vec<_>>()
        };
        let start_due = of(machine::PromiseSource::Leaves);
        let normals_due = of(machine::PromiseSource::Normal);
        let states = vec![machine.start()];
        let person = begin.person.clone();
        let labels_due = document::label_figures(&library, &Name::from(begin.procedure.as_str()));
        Self {
            begin,
            library,
            machine,
            states,
            variants_due,
            labels_due,
            start_due,
            normals_due,
            lapsed: Vec::new(),
            looked: BTreeSet::new(),
            timer: None,
            ticks: 0,
            ticks_doubted: false,
            unverified: None,
            paused: false,
            stopped: None,
            leaving: Vec::new(),
            returned: false,
            deviations: 0,
            position: 1,
            person,
            last_ms: at_ms,
        }
    }

    /// How the walk began.
    #[must_use]
    pub fn begin(&self) -> &Begin {
        &self.begin
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
        let known = layout.ids().filter(|id| {
            layout.var(*id).origin == machine::VarOrigin::Variant && !self.variants_due.contains(id)
        });
        known
            .filter_map(|id| {
                let set = self.states.first()?.bits.field(layout, id);
                let [value] = layout.words_of(id, set)[..] else { return None };
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

    /// Everything the machine may be like: boxes at one place.
    #[must_use]
    pub fn states(&self) -> &[AbstractState] {
        &self.states
    }

    /// Why work was stopped, if it was.
    #[must_use]
    pub fn stop_reason(&self) -> Option<&str> {
        self.stopped.as_deref()
    }

    /// Keeps what agrees with something just found out. What would leave nothing is refused before it is recorded.
    pub(crate) fn narrow(&mut self, cube: &Cube) {
        let kept: Vec<AbstractState> =
            self.states.iter().filter_map(|state| self.machine.narrow(state, cube)).collect();
        if !kept.is_empty() {
            self.states = kept;
        }
    }

    /// The condition that must be confirmed before anything else: before step 1, after a lapse, or because the step (or
    /// the end) relies on it and the records do not entitle us to believe it.
    pub(crate) fn gate(&self) -> Option<Conjunct> {
        if let Some(&due) = self.start_due.first().or(self.lapsed.first()) {
            return Some(due);
        }
        if self.is_starting() {
            return None;
        }
        let fails = |conjunct: &Conjunct| {
            let layout = &self.machine.layout;
            self.states.iter().any(|state| state.bits.field(layout, conjunct.var) & !conjunct.set != 0)
        };
        if self.node_id() == machine::DONE {
            return self.machine.promises.iter().map(|promise| promise.conjunct).find(fails);
        }
        self.node().needs.iter().map(|need| need.conjunct).find(fails)
    }

    pub(crate) fn is_starting(&self) -> bool {
        !(self.variants_due.is_empty()
            && self.labels_due.is_empty()
            && self.start_due.is_empty()
            && self.normals_due.is_empty())
    }

    pub(crate) fn node_id(&self) -> NodeId {
        self.states.first().map_or(machine::STOP, |state| state.place.node)
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
}
