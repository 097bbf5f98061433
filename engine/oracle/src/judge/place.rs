//! Where a run is: the way down the tree of steps. Nothing is compiled: each move works out the next place anew.

use super::model::{Judged, ModelStep, StepKind};

/// What is over of the items of a group, a bit each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Items {
    /// Which are done.
    pub done: u64,
    /// Which were offered again, done since or not.
    pub again: u64,
}

impl Items {
    /// The same with one more that is done.
    pub(super) fn with(self, item: usize) -> Self {
        Self { done: self.done | 1 << item, ..self }
    }

    /// The same with some that are offered again.
    pub(super) fn without(self, back: u64) -> Self {
        Self { done: self.done & !back, again: self.again | back }
    }
}

/// One level of the way down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// That step of a list.
    Step(usize),
    /// That item of the group above, with what is over of the others.
    Item(usize, Items),
    /// That round of the repeat above, from 1.
    Round(u32),
    /// Inside the procedure that the step above performs.
    Inside,
}

/// What of a step comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// Whether the step is for this variant.
    Only,
    /// The step itself.
    Body,
    /// A further reading.
    Attempt(u32),
    /// The next item of a group, with what is over of them.
    Choose(Items),
    /// Whether that round ends the repeat.
    Until(u32),
    /// A further tick of one look, counted from 1.
    Tick {
        /// Which tick.
        tick: usize,
        /// Whether an earlier one was no.
        failed: bool,
        /// The round that the look ends; 0 for the look of another step.
        round: u32,
    },
    /// In the act, after so many writes.
    InAct(usize),
    /// To be verified; the attempt or the answer that was given, where that decides what a denial leads to.
    Verify(usize),
    /// What the performing step itself leaves.
    Last,
}

/// Where a run is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// At the end of a completed run.
    Done,
    /// At the end of a stopped run, with the place that was left for it.
    Stop(Box<Place>),
    /// At the end of the way down, before what of that step comes next.
    At(Vec<Level>, Phase),
}

impl Judged {
    /// The first place.
    #[must_use]
    pub fn entry(&self) -> Place {
        self.arrive(vec![Level::Step(0)])
    }

    /// The place of a step on arrival.
    pub(super) fn arrive(&self, levels: Vec<Level>) -> Place {
        let phase = if self.step_at(&levels).only.is_empty() { Phase::Body } else { Phase::Only };
        Place::At(levels, phase)
    }

    /// The step that the way down ends at.
    pub(super) fn step_at(&self, levels: &[Level]) -> &ModelStep {
        let mut list = &self.steps[..];
        let mut plan = &self.steps[0];
        for level in levels {
            match *level {
                Level::Step(at) | Level::Item(at, _) => plan = &list[at],
                Level::Round(_) | Level::Inside => {}
            }
            if let Some(inner) = plan.kind.steps() {
                list = inner;
            }
        }
        plan
    }

    /// Where the step leads when it is over.
    pub(super) fn finish(&self, levels: &[Level]) -> Place {
        match &self.step_at(levels).then {
            Some(target) => self.target(levels, target),
            None => self.after(levels),
        }
    }

    /// Where the step leads when what it is has come about: verification first, where there is one.
    pub(super) fn finish_or_verify(&self, levels: &[Level], of: usize) -> Place {
        match self.step_at(levels).verified {
            true => Place::At(levels.to_vec(), Phase::Verify(of)),
            false => self.finish(levels),
        }
    }

    /// The place after a step, whatever its `then`.
    pub(super) fn after(&self, levels: &[Level]) -> Place {
        let Some((last, above)) = levels.split_last() else { return Place::Done };
        match *last {
            Level::Item(at, items) => Place::At(above.to_vec(), Phase::Choose(items.with(at))),
            Level::Step(at) if at + 1 < self.list_of(above).len() => {
                self.arrive([above, &[Level::Step(at + 1)]].concat())
            }
            Level::Step(_) => match above.split_last() {
                None => Place::Done,
                Some((Level::Round(round), repeat)) => Place::At(repeat.to_vec(), Phase::Until(*round)),
                Some((Level::Inside, perform)) => self.performed(perform),
                Some(_) => unreachable!("a list lies in a round or a procedure"),
            },
            Level::Round(_) | Level::Inside => unreachable!("no step"),
        }
    }

    /// After the last step of a performed procedure.
    fn performed(&self, perform: &[Level]) -> Place {
        if self.step_at(perform).writes.is_empty() {
            self.finish_or_verify(perform, 0)
        } else {
            Place::At(perform.to_vec(), Phase::Last)
        }
    }

    fn list_of(&self, above: &[Level]) -> &[ModelStep] {
        if above.is_empty() {
            return &self.steps;
        }
        self.step_at(above).kind.steps().expect("a step that holds steps")
    }

    /// Where a name leads: the closest list outwards that has it, within the same procedure. A way to `stop` names no
    /// place that was left: whoever goes there adds it.
    pub(super) fn target(&self, levels: &[Level], name: &str) -> Place {
        if name == "stop" {
            return Place::Stop(Box::new(Place::Done));
        }
        for end in (0..levels.len()).rev() {
            let (above, level) = (&levels[..end], levels[end]);
            match level {
                Level::Inside if name == "done" => return self.performed(above),
                Level::Inside => panic!("no step `{name}`"),
                Level::Step(_) => {
                    let at = self.list_of(above).iter().position(|step| step.id == name);
                    if let Some(at) = at.filter(|_| name != "done") {
                        return self.arrive([above, &[Level::Step(at)]].concat());
                    }
                }
                Level::Item(..) | Level::Round(_) => {}
            }
        }
        assert_eq!(name, "done", "no such step");
        Place::Done
    }

    /// Whether somebody is asked or told something at a place.
    pub(super) fn person_stands_at(&self, place: &Place) -> bool {
        let Place::At(levels, phase) = place else { return true };
        match phase {
            Phase::Only | Phase::Last => false,
            Phase::Body => self.step_at(levels).kind.steps().is_none(),
            Phase::Attempt(_)
            | Phase::Choose(_)
            | Phase::Until(_)
            | Phase::Tick { .. }
            | Phase::InAct(_)
            | Phase::Verify(_) => true,
        }
    }

    /// What is needed on arrival: what the step needs, and what the step around it needs again (R11).
    pub(super) fn needs(&self, place: &Place) -> Vec<(usize, u64)> {
        let Place::At(levels, phase) = place else { return Vec::new() };
        let step = self.step_at(levels);
        let own = &step.needs;
        let mut needs = Vec::new();
        match phase {
            // A repeat looks at the end of each round, anything else at once.
            Phase::Body if matches!(step.kind, StepKind::Repeat { .. }) => needs.extend(own),
            Phase::Body | Phase::Attempt(_) | Phase::Until(_) => needs.extend(own.iter().chain(&step.sees)),
            Phase::Only
            | Phase::Choose(_)
            | Phase::Tick { .. }
            | Phase::InAct(_)
            | Phase::Verify(_)
            | Phase::Last => {}
        }
        match (levels.as_slice(), phase) {
            ([group @ .., Level::Item(..)], Phase::Body) => needs.extend(&self.step_at(group).needs),
            // A first step for some variants is asked after once: where the round begins.
            ([repeat @ .., Level::Round(_), Level::Step(0)], Phase::Only | Phase::Body)
                if *phase == Phase::Only || self.step_at(levels).only.is_empty() =>
            {
                needs.extend(&self.step_at(repeat).needs);
            }
            _ => {}
        }
        needs
    }

    /// The place whose name a fault of the step's writes has: where its act or look began.
    pub(super) fn begun(&self, place: &Place) -> Place {
        match place {
            Place::At(levels, Phase::Tick { round, .. }) => {
                let phase = if *round == 0 { Phase::Body } else { Phase::Until(*round) };
                Place::At(levels.clone(), phase)
            }
            Place::At(levels, Phase::InAct(_)) => Place::At(levels.clone(), Phase::Body),
            Place::At(..) | Place::Done | Place::Stop(_) => place.clone(),
        }
    }

    /// A name for the place that says nothing of items done: the steps down to it, the rounds, and the phase.
    #[must_use]
    pub fn key(&self, place: &Place) -> String {
        let (levels, phase) = match place {
            Place::Done => return "done".to_owned(),
            Place::Stop(from) => return format!("{} → stop", self.key(from)),
            Place::At(levels, phase) => (levels, phase),
        };
        let (mut path, mut rounds) = (Vec::new(), Vec::new());
        for (at, level) in levels.iter().enumerate() {
            match level {
                Level::Step(_) | Level::Item(..) => path.push(self.step_at(&levels[..=at]).id.as_str()),
                Level::Round(round) => rounds.push(*round),
                Level::Inside => {}
            }
        }
        let phase = match phase {
            Phase::Only => "only".to_owned(),
            Phase::Body => "body".to_owned(),
            Phase::Attempt(attempt) => format!("attempt {attempt}"),
            Phase::Choose(_) => "choose".to_owned(),
            Phase::Until(round) => format!("until {round}"),
            Phase::Tick { tick, .. } => format!("tick {tick}"),
            Phase::InAct(writes) => format!("in act {writes}"),
            Phase::Verify(_) => "verify".to_owned(),
            Phase::Last => "last".to_owned(),
        };
        format!("{} {rounds:?} {phase}", path.join("/"))
    }

    /// What one look asks, in the order of its ticks, and the phase in which it begins.
    pub(super) fn look_of(&self, levels: &[Level], round: u32) -> &[(usize, u64)] {
        match &self.step_at(levels).kind {
            StepKind::Confirm(cube) => cube,
            StepKind::Wait { until, .. } => until,
            StepKind::Repeat { until, .. } if round > 0 => until,
            StepKind::Repeat { .. }
            | StepKind::Act
            | StepKind::Hold
            | StepKind::Measure { .. }
            | StepKind::Ask(_)
            | StepKind::AnyOrder { .. }
            | StepKind::Perform(_) => unreachable!("no look of ticks"),
        }
    }
}
