//! What is relied on from a place: some path, whatever the values, reads it before it writes it (R19).

use super::look::Said;
use super::model::Judged;
use super::place::Place;
use super::ways::{Deed, Way};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// All places that some path comes to.
pub(super) struct Graph {
    /// The places, in their order.
    pub(super) nodes: Vec<Node>,
    /// For every condition what decides whether what is known of it lasts.
    causes: Vec<u64>,
}

/// What is so of a place whatever the record.
pub(super) struct Node {
    pub(super) place: Place,
    /// Its name.
    pub(super) key: String,
    /// What is needed on arrival.
    pub(super) needs: Vec<(usize, u64)>,
    /// The ways to leave it, each with the numbers of the places that it leads to, by the items that are offered again.
    pub(super) ways: Vec<(Way, BTreeMap<u64, usize>)>,
    /// What is relied on.
    live: Live,
}

/// Conditions by a bit each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Live {
    /// What is read before it is written.
    read: u64,
    /// What comes to done as it is here; at done it has to be back at normal if an act wrote it before.
    handed_on: u64,
}

impl Live {
    fn or(self, other: Self) -> Self {
        Self { read: self.read | other.read, handed_on: self.handed_on | other.handed_on }
    }
}

impl Graph {
    /// What is relied on from a place by somebody on whose path these were written.
    pub(super) fn relied_on(&self, node: &Node, wrote: u64) -> u64 {
        let mut relied_on = node.live.read | node.live.handed_on & wrote;
        loop {
            let more = union_of(&self.causes, relied_on) | relied_on;
            if more == relied_on {
                return relied_on;
            }
            relied_on = more;
        }
    }

    /// The number of a place.
    pub(super) fn number(&self, place: &Place) -> usize {
        self.nodes.binary_search_by(|node| node.place.cmp(place)).expect("a place that some path comes to")
    }
}

impl Judged {
    /// Every place of the procedure, whatever the values.
    pub(super) fn graph(&self) -> Graph {
        let (mut ways, mut open) = (BTreeMap::new(), vec![self.entry()]);
        while let Some(place) = open.pop() {
            let Entry::Vacant(entry) = ways.entry(place) else { continue };
            let out = self.ways(entry.key());
            for way in &out {
                let back = self.may_be_sent_back(entry.key(), way);
                open.extend(back.into_iter().map(|back| self.leads_to(entry.key(), way, back)));
            }
            entry.insert(out);
        }
        let node = |(place, _): (&Place, &Vec<Way>)| Node {
            place: place.clone(),
            key: self.key(place),
            needs: self.needs(place),
            ways: Vec::new(),
            live: Live::default(),
        };
        let mut graph = Graph { nodes: ways.iter().map(node).collect(), causes: self.watched() };
        for (at, ways) in ways.into_values().enumerate() {
            let numbered = ways.into_iter().map(|way| {
                let from = &graph.nodes[at].place;
                let back = self.may_be_sent_back(from, &way).into_iter();
                let to = back.map(|back| (back, graph.number(&self.leads_to(from, &way, back)))).collect();
                (way, to)
            });
            graph.nodes[at].ways = numbered.collect();
        }
        loop {
            let mut changed = false;
            for at in (0..graph.nodes.len()).rev() {
                let now = self.live_at(&graph, &graph.nodes[at]);
                changed |= std::mem::replace(&mut graph.nodes[at].live, now) != now;
            }
            if !changed {
                return graph;
            }
        }
    }

    fn live_at(&self, graph: &Graph, node: &Node) -> Live {
        let mut here = Live::default();
        for &(var, _) in &node.needs {
            here.read |= 1 << var;
        }
        if node.place == Place::Done {
            here.read |= bits(&self.leaves);
            here.handed_on = self
                .conditions()
                .filter(|&var| self.vars[var].normal.is_some())
                .fold(0, |all, var| all | 1 << var);
            here.handed_on &= !bits(&self.leaves);
        }
        for (way, to) in &node.ways {
            let mut live = to.values().fold(Live::default(), |live, &to| live.or(graph.nodes[to].live));
            for deed in way.deeds.iter().rev() {
                live = self.before(deed, live, &graph.causes);
            }
            here = here.or(live);
        }
        here
    }

    fn before(&self, deed: &Deed, after: Live, causes: &[u64]) -> Live {
        let written = |var: usize, set: u64, rules: bool| {
            let lasting = if set == self.all(var) { 0 } else { causes[var] };
            Live {
                read: after.read & !(1 << var) | (self.decides(var, set, rules) | lasting) & !(1 << var),
                handed_on: after.handed_on & !(1 << var),
            }
        };
        match deed {
            Deed::Time(times) if times.is_empty() => after,
            Deed::Time(_) => {
                // Whether an act will have written what has to be back at normal is not for the graph to say.
                let awaited = after.read | after.handed_on;
                let waited = self.conditions().filter(|&var| awaited >> var & 1 == 1);
                let under = waited.filter_map(|var| Some((var, self.vars[var].settles.as_ref()?)));
                let read =
                    under.fold(after.read, |read, (var, settles)| read | bits(&settles.holds) | causes[var]);
                Live { read, ..after }
            }
            &Deed::Look { var, set, said: Said::Yes } | &Deed::FindOut { var, set } => {
                written(var, set, false)
            }
            &Deed::Look { var, set, said: Said::No } => written(var, self.all(var) & !set, false),
            &Deed::Look { var, set: _, said: Said::CannotTell } | &Deed::Open(var) => {
                written(var, self.all(var), false)
            }
            &Deed::Write { var, set, disturbs: _ } => written(var, set, true),
            Deed::Verified(vars) => {
                let seen = vars.iter().fold(0u64, |seen, var| seen | 1 << var);
                Live { read: after.read & !seen, handed_on: after.handed_on & !seen }
            }
            Deed::Keep(_) | Deed::Without(_) | Deed::Looked | Deed::ActOver | Deed::AnythingElse => after,
        }
    }

    /// What decides which evidence is lost, and which rule is broken, once a condition gets one of these values: what stands
    /// beside it where its own part is met.
    fn decides(&self, var: usize, set: u64, rules: bool) -> u64 {
        let settles = self.vars[var].settles.as_ref();
        let falls = settles.filter(|settles| set & settles.from != 0).map_or(0, |settles| settles.to);
        let set = set | falls;
        let mut lost = 0u64;
        let met = |cube: &[(usize, u64)], lost: u64| {
            cube.iter().any(|&(of, values)| of == var && values & set != 0 || lost >> of & 1 == 1)
        };
        let mut read = 0;
        loop {
            let before = (lost, read);
            for of in self.conditions() {
                for cause in self.vars[of].lost.iter().filter(|cause| met(cause, before.0)) {
                    lost |= 1 << of;
                    read |= bits(cause);
                }
            }
            if (lost, read) == before {
                break;
            }
        }
        let broken = self.rules.iter().filter(|(_, when)| rules && met(when, lost));
        broken.fold(read, |read, (_, when)| read | bits(when))
    }
}

/// The conditions of a cube, a bit each.
pub(super) fn bits(cube: &[(usize, u64)]) -> u64 {
    cube.iter().fold(0, |bits, &(var, _)| bits | 1 << var)
}

fn union_of(causes: &[u64], of: u64) -> u64 {
    causes.iter().enumerate().filter(|(var, _)| of >> var & 1 == 1).fold(0, |all, (_, causes)| all | causes)
}
