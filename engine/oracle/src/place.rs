//! Where a run is: the way down the tree of steps. Nothing is compiled: each move works out the next place anew.

use crate::model::{Model, ModelStep};

/// One level of the way down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// That step of a list.
    Step(usize),
    /// That item of the group above, with the items that are done.
    Item(usize, u64),
    /// That round of the repeat above, from 1.
    Round(u32),
    /// Inside the procedure that the step above performs.
    Inside,
}

/// What of a step comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// Whether the step is for this variant.
    Only,
    /// The step itself.
    Body,
    /// A further reading.
    Attempt(u32),
    /// The next item of a group, with the items that are done.
    Choose(u64),
    /// Whether that round ends the repeat.
    Until(u32),
    /// What the performing step itself leaves.
    Last,
}

/// Where a run is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// At the end of a completed run.
    Done,
    /// At the end of a stopped run.
    Stop,
    /// At the end of the way down, before what of that step comes next.
    At(Vec<Level>, Phase),
}

impl Model {
    /// The first place.
    #[must_use]
    pub fn entry(&self) -> Place {
        self.arrive(vec![Level::Step(0)])
    }

    /// The place of a step on arrival.
    pub(crate) fn arrive(&self, levels: Vec<Level>) -> Place {
        let phase = if self.step_at(&levels).only.is_empty() { Phase::Body } else { Phase::Only };
        Place::At(levels, phase)
    }

    /// The step that the way down ends at.
    pub(crate) fn step_at(&self, levels: &[Level]) -> &ModelStep {
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
    pub(crate) fn finish(&self, levels: &[Level]) -> Place {
        match &self.step_at(levels).then {
            Some(target) => self.target(levels, target),
            None => self.after(levels),
        }
    }

    /// The place after a step, whatever its `then`.
    pub(crate) fn after(&self, levels: &[Level]) -> Place {
        let Some((last, above)) = levels.split_last() else { return Place::Done };
        match *last {
            Level::Item(at, done) => Place::At(above.to_vec(), Phase::Choose(done | 1 << at)),
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
        if self.step_at(perform).effects.is_empty() {
            self.finish(perform)
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

    /// Where a name leads: the closest list outwards that has it, within the same procedure.
    pub(crate) fn target(&self, levels: &[Level], name: &str) -> Place {
        if name == "stop" {
            return Place::Stop;
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

    /// A name for the place that says nothing of items done: the steps down to it, the rounds, and the phase.
    #[must_use]
    pub fn key(&self, place: &Place) -> String {
        let (levels, phase) = match place {
            Place::Done => return "done".to_owned(),
            Place::Stop => return "stop".to_owned(),
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
            Phase::Last => "last".to_owned(),
        };
        format!("{} {rounds:?} {phase}", path.join("/"))
    }
}
