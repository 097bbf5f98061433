//! The ways to leave a place, each as the deeds that it consists of.

use super::look::Said;
use super::model::{Cube, Judged, StepKind};
use super::place::{Items, Level, Phase, Place};

/// One thing that happens to a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Only machines of these variants.
    Keep(Cube),
    /// Only machines of other variants.
    Without(Cube),
    /// Time passes; the first cube of variants that holds says how much.
    Time(Vec<(Cube, u64)>),
    /// A tick, or a part of an answer: R6.
    Look {
        /// The condition.
        var: usize,
        /// What is asked for.
        set: u64,
        /// What somebody says.
        said: Said,
    },
    /// A look finds out: the condition has one of these values, whatever was believed.
    FindOut {
        /// The condition.
        var: usize,
        /// Its values.
        set: u64,
    },
    /// A look leaves the condition open.
    Open(usize),
    /// The look is over: what is found broken by it is noted.
    Looked,
    /// An act, or what a look leaves, makes the condition one of these values.
    Write {
        /// The condition.
        var: usize,
        /// Its values.
        set: u64,
        /// Whether it is disturbed: counts as opened.
        disturbs: bool,
    },
    /// A verifier saw what was written.
    Verified(Vec<usize>),
    /// An act is over: something found broken has to be ended.
    ActOver,
    /// Neither a look nor an act: nothing may be found broken.
    AnythingElse,
}

/// One way to leave a place.
#[derive(Clone, Debug)]
pub struct Way {
    /// A name of it among those of its place.
    pub label: String,
    /// What happens, one after the other.
    pub deeds: Vec<Deed>,
    /// Where it leads.
    pub to: Place,
}

fn way(label: &str, deeds: Vec<Deed>, to: Place) -> Way {
    Way { label: label.to_owned(), deeds, to }
}

fn stopped() -> Place {
    Place::Stop(Box::new(Place::Done))
}

impl Judged {
    /// The ways to leave a place.
    #[must_use]
    pub fn ways(&self, place: &Place) -> Vec<Way> {
        let Place::At(levels, phase) = place else { return Vec::new() };
        let mut ways = self.ways_from(levels, *phase);
        for way in &mut ways {
            if matches!(way.to, Place::Stop(_)) {
                way.to = Place::Stop(Box::new(place.clone()));
            }
        }
        ways
    }

    fn ways_from(&self, levels: &[Level], phase: Phase) -> Vec<Way> {
        let step = self.step_at(levels);
        let inside = |level: &[Level]| self.arrive([levels, level].concat());
        match (phase, &step.kind) {
            (Phase::Only, _) => vec![
                way("Applies", vec![Deed::Keep(step.only.clone())], Place::At(levels.to_vec(), Phase::Body)),
                way("PassedOver", vec![Deed::Without(step.only.clone())], self.after(levels)),
            ],
            (Phase::Body, StepKind::Act) => self.writing(levels, 0),
            (Phase::InAct(writes), StepKind::Act) => self.writing(levels, writes),
            (Phase::Body, StepKind::Hold) => {
                let deeds = [vec![Deed::AnythingElse], self.left(levels)].concat();
                vec![way("Released", deeds, self.finish_or_verify(levels, 0))]
            }
            (Phase::Body, StepKind::Confirm(_)) => self.tick(levels, 1, false, 0),
            (Phase::Body, StepKind::Wait { times, until }) if until.is_empty() => {
                let deeds = [vec![Deed::AnythingElse, Deed::Time(times.clone())], self.left(levels)].concat();
                vec![way("Done", deeds, self.finish_or_verify(levels, 0))]
            }
            (Phase::Body, StepKind::Wait { times, .. }) => {
                let mut ways = self.tick(levels, 1, false, 0);
                ways.iter_mut().for_each(|way| way.deeds.insert(0, Deed::Time(times.clone())));
                ways
            }
            (Phase::Until(round), StepKind::Repeat { .. }) => self.tick(levels, 1, false, round),
            (Phase::Tick { tick, failed, round }, _) => self.tick(levels, tick, failed, round),
            (Phase::Body, StepKind::Measure { shows, .. }) => self.reading(levels, shows, 1),
            (Phase::Attempt(attempt), StepKind::Measure { shows, .. }) => {
                self.reading(levels, shows, attempt)
            }
            (Phase::Body, StepKind::Ask(answers)) => self.answers(levels, answers),
            (Phase::Body, StepKind::AnyOrder { .. }) => {
                vec![way("Enter", vec![], Place::At(levels.to_vec(), Phase::Choose(Items::default())))]
            }
            (Phase::Choose(over), StepKind::AnyOrder { items, .. }) => {
                let open = (0..items.len()).filter(|at| over.done >> at & 1 == 0);
                let mut ways: Vec<Way> = open
                    .map(|at| way(&format!("Item({at})"), vec![], inside(&[Level::Item(at, over)])))
                    .collect();
                if ways.is_empty() {
                    ways.push(way("AllItems", self.left_by_itself(levels), self.finish_or_verify(levels, 0)));
                }
                ways
            }
            (Phase::Body, StepKind::Repeat { .. }) => {
                vec![way("Enter", vec![], inside(&[Level::Round(1), Level::Step(0)]))]
            }
            (Phase::Body, StepKind::Perform(_)) => {
                vec![way("Enter", vec![], inside(&[Level::Inside, Level::Step(0)]))]
            }
            (Phase::Last, _) => {
                vec![way("Left", self.left_by_itself(levels), self.finish_or_verify(levels, 0))]
            }
            (Phase::Verify(of), _) => self.verification(levels, of),
            _ => unreachable!("a phase of another kind of step"),
        }
    }

    /// The next write of an act (R14).
    fn writing(&self, levels: &[Level], done: usize) -> Vec<Way> {
        let writes = &self.step_at(levels).writes;
        let mut deeds: Vec<Deed> = writes
            .get(done)
            .map(|&(var, set, disturbs)| Deed::Write { var, set, disturbs })
            .into_iter()
            .collect();
        let to = if done + 1 < writes.len() {
            Place::At(levels.to_vec(), Phase::InAct(done + 1))
        } else {
            deeds.push(Deed::ActOver);
            self.finish_or_verify(levels, 0)
        };
        vec![way("Done", deeds, to)]
    }

    /// What something that is no act leaves, all at once.
    fn left(&self, levels: &[Level]) -> Vec<Deed> {
        let write = |&(var, set, disturbs): &(usize, u64, bool)| Deed::Write { var, set, disturbs };
        let writes = &self.step_at(levels).writes;
        let over = (!writes.is_empty()).then_some(Deed::Looked);
        writes.iter().map(write).chain(over).collect()
    }

    /// What a block or a performing step leaves: nobody does or looks at anything there.
    fn left_by_itself(&self, levels: &[Level]) -> Vec<Deed> {
        let left = self.left(levels);
        if left.is_empty() { left } else { [vec![Deed::AnythingElse], left].concat() }
    }

    /// What a look disturbs where it does not pass.
    fn disturbed(&self, levels: &[Level]) -> Vec<Deed> {
        let disturbs = &self.step_at(levels).disturbs;
        let write = |&var: &usize| Deed::Write { var, set: self.all(var), disturbs: true };
        let over = (!disturbs.is_empty()).then_some(Deed::Looked);
        disturbs.iter().map(write).chain(over).collect()
    }

    /// Where a look leads that does not pass.
    fn not_so(&self, levels: &[Level], round_or_attempt: u32) -> Place {
        let step = self.step_at(levels);
        match &step.kind {
            StepKind::Repeat { at_most, .. } if round_or_attempt < *at_most => {
                self.arrive([levels, &[Level::Round(round_or_attempt + 1), Level::Step(0)]].concat())
            }
            StepKind::Measure { attempts, .. } if round_or_attempt < *attempts => {
                Place::At(levels.to_vec(), Phase::Attempt(round_or_attempt + 1))
            }
            StepKind::Repeat { .. }
            | StepKind::Measure { .. }
            | StepKind::Act
            | StepKind::Hold
            | StepKind::Confirm(_)
            | StepKind::Wait { .. }
            | StepKind::Ask(_)
            | StepKind::AnyOrder { .. }
            | StepKind::Perform(_) => match &step.otherwise {
                Some(target) => self.target(levels, target),
                None => stopped(),
            },
        }
    }

    /// One tick of a look at several conditions (R7).
    fn tick(&self, levels: &[Level], tick: usize, failed: bool, round: u32) -> Vec<Way> {
        let step = self.step_at(levels);
        let asked = self.look_of(levels, round);
        let Some(&(var, set)) = asked.get(tick - 1) else {
            return vec![way("Pass", self.left(levels), self.finish_or_verify(levels, 0))];
        };
        let finds_out = matches!(step.kind, StepKind::Wait { .. });
        let mut ways = Vec::new();
        let mut add = |label: &str, look: Deed, passes: bool| {
            let mut deeds = vec![look, Deed::Looked];
            let failed = failed || !passes;
            let to = if tick < asked.len() {
                Place::At(levels.to_vec(), Phase::Tick { tick: tick + 1, failed, round })
            } else if failed {
                deeds.extend(self.disturbed(levels));
                self.not_so(levels, round)
            } else {
                deeds.extend(self.left(levels));
                self.finish_or_verify(levels, 0)
            };
            ways.push(way(label, deeds, to));
        };
        for said in [Said::Yes, Said::No, Said::CannotTell] {
            let shown = if said == Said::No { self.all(var) & !set } else { set };
            if shown == 0 {
                continue;
            }
            let look = match said {
                Said::Yes | Said::No if finds_out => Deed::FindOut { var, set: shown },
                Said::Yes | Said::No | Said::CannotTell => Deed::Look { var, set, said },
            };
            add(&format!("{said:?}"), look, said == Said::Yes);
        }
        for value in self.asked_on(var, set) {
            let set = 1 << value;
            let look = match finds_out {
                true => Deed::FindOut { var, set },
                false => Deed::Look { var, set, said: Said::Yes },
            };
            add(&format!("is {}", self.vars[var].values[value]), look, false);
        }
        ways
    }

    /// The values that are asked on for, by number, where the answer is not one of a set (R25).
    fn asked_on(&self, var: usize, set: u64) -> Vec<usize> {
        let others = self.all(var) & !set;
        let asks = others.count_ones() > 1 && others & !self.vars[var].asked == 0;
        (0..self.vars[var].values.len()).filter(|value| asks && others >> value & 1 == 1).collect()
    }

    /// One reading (R9).
    fn reading(&self, levels: &[Level], shows: &Cube, attempt: u32) -> Vec<Way> {
        let found = |sets: Vec<(usize, u64)>| -> Vec<Deed> {
            let out = sets.into_iter().map(|(var, set)| Deed::FindOut { var, set });
            out.chain([Deed::Looked]).collect()
        };
        let opened: Vec<Deed> = shows.iter().map(|&(var, _)| Deed::Open(var)).chain([Deed::Looked]).collect();
        let pass = [found(shows.clone()), self.left(levels)].concat();
        let mut ways = vec![way("Pass", pass, self.finish_or_verify(levels, attempt as usize))];
        let mut fail = |label: &str, deeds: Vec<Deed>| {
            ways.push(way(label, [deeds, self.disturbed(levels)].concat(), self.not_so(levels, attempt)));
        };
        match shows[..] {
            [] => fail("Fail", vec![Deed::Looked]),
            [(var, set)] => {
                let other = self.all(var) & !set;
                if other != 0 {
                    fail("Fail", found(vec![(var, other)]));
                }
                fail("CannotTell", opened);
            }
            _ => fail("Fail", opened),
        }
        ways
    }

    /// The answers of a question, and that nobody can tell (R8).
    fn answers(&self, levels: &[Level], answers: &[(Option<Cube>, String)]) -> Vec<Way> {
        let mut ways = Vec::new();
        for (at, (shows, to)) in answers.iter().enumerate() {
            let looks = shows.iter().flatten().map(|&(var, set)| Deed::Look { var, set, said: Said::Yes });
            let deeds = looks.chain([Deed::Looked]).chain(self.left(levels)).collect();
            let to = match self.step_at(levels).verified {
                true => Place::At(levels.to_vec(), Phase::Verify(at)),
                false => self.target(levels, to),
            };
            ways.push(way(&format!("Answer({at})"), deeds, to));
        }
        let mut named: Vec<usize> =
            answers.iter().flat_map(|(shows, _)| shows.iter().flatten()).map(|&(var, _)| var).collect();
        named.sort_unstable();
        named.dedup();
        if answers.iter().any(|(shows, _)| shows.is_some()) {
            let opened = named.into_iter().map(Deed::Open).chain([Deed::Looked]);
            let deeds = opened.chain(self.disturbed(levels)).collect();
            ways.push(way("CannotTell", deeds, stopped()));
        }
        ways
    }

    /// What a verifier says (R15).
    fn verification(&self, levels: &[Level], of: usize) -> Vec<Way> {
        let step = self.step_at(levels);
        let opened = |vars: Vec<usize>| -> Vec<Deed> {
            vars.into_iter().map(Deed::Open).chain([Deed::Looked]).collect()
        };
        let vars = |cube: &Cube| cube.iter().map(|&(var, _)| var).collect::<Vec<_>>();
        let (verified, denied, finish) = match &step.kind {
            StepKind::Act => {
                let mut written: Vec<usize> = step.writes.iter().map(|&(var, ..)| var).collect();
                written.sort_unstable();
                written.dedup();
                let seen = written.iter().copied().filter(|&var| !self.vars[var].hidden).collect();
                let denied = (opened(written), self.not_so(levels, 0));
                (vec![Deed::Verified(seen), Deed::Looked], denied, self.finish(levels))
            }
            StepKind::Confirm(asked) | StepKind::Wait { until: asked, .. } if !asked.is_empty() => {
                (vec![], (opened(vars(asked)), self.not_so(levels, 0)), self.finish(levels))
            }
            StepKind::Measure { shows, .. } => {
                (vec![], (opened(vars(shows)), self.not_so(levels, of as u32)), self.finish(levels))
            }
            StepKind::Ask(answers) => {
                let (shows, to) = &answers[of];
                let looked_at = shows.as_ref().map(vars).unwrap_or_default();
                (vec![], (opened(looked_at), stopped()), self.target(levels, to))
            }
            StepKind::Hold
            | StepKind::Confirm(_)
            | StepKind::Wait { .. }
            | StepKind::AnyOrder { .. }
            | StepKind::Repeat { .. }
            | StepKind::Perform(_) => (vec![], (vec![], stopped()), self.finish(levels)),
        };
        vec![way("Verified", verified, finish), way("Denied", denied.0, denied.1)]
    }
}
