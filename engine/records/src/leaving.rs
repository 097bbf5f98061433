//! Leaving a machine after a stop: the computed way, act by act.

use crate::acts::{Act, Acts};
use crate::judged::Ground;
use crate::lately::Lately;
use document::model::Equipment;
use machine::{AbstractState, Conjunct, Machine, VarId};
use proof::{Course, Leaving, PlanStep, Planner, Universal};
use serde::Serialize;
use std::collections::BTreeMap;
use walk::{Event, Walk};

/// What is to be done next before the machine is left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Next {
    /// An act, or a wait.
    Act {
        /// In words, by which records know it.
        act: String,
        /// The act as it is shown, with what is read before it; none for a wait.
        shown: Option<Box<Act>>,
        /// Which it is, from 1.
        number: usize,
        /// Of how many.
        total: usize,
        /// How long to wait, in milliseconds; none for an act.
        wait: Option<u64>,
        /// What comes after it.
        rest: Vec<WayLine>,
    },
    /// A condition to be looked at, with the values it may have.
    Look {
        /// Its name.
        condition: String,
        /// What people call it.
        label: String,
        /// The values, each group a choice.
        choices: Vec<Vec<String>>,
        /// By what a person tells them, where the equipment says so.
        told_by: Vec<ToldBy>,
    },
    /// By the record nothing is left to do.
    Nothing,
    /// No way is known.
    Stuck,
    /// The machine cannot be brought to rest from here: what is to be done instead.
    Cannot {
        /// In words.
        words: String,
    },
}

/// A value of a condition, and the question whose yes shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ToldBy {
    /// The value.
    pub value: String,
    /// The question.
    pub question: String,
}

/// A way to leave the machine, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// It may be left as it is, once it was looked at: the looks, a sentence each.
    AsItIs(Vec<String>),
    /// These acts, waits and looks, in order.
    Steps(Vec<WayStep>),
    /// No way is known.
    Unknown,
}

/// An act, a wait or a look of a way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayStep {
    /// How deep it stands under the looks that lead to it.
    pub depth: usize,
    /// In words.
    pub words: String,
    /// The act, with what is read before it; none where it is none.
    pub act: Option<Act>,
}

impl Way {
    /// The way as it is laid before a person.
    fn lines(&self) -> Vec<WayLine> {
        match self {
            Self::AsItIs(looks) => {
                std::iter::once(AS_IT_IS).chain(looks.iter().map(String::as_str)).map(WayLine::new).collect()
            }
            Self::Steps(steps) => nested(steps, 0),
            Self::Unknown => vec![WayLine::new(NO_WAY)],
        }
    }
}

/// A line of a way. What is done only if a look shows something stands below the line that says so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WayLine {
    /// In words.
    pub words: String,
    /// The act, with what is read before it; none where it is none.
    pub act: Option<Act>,
    /// What is done in that case alone.
    pub then: Vec<WayLine>,
}

impl WayLine {
    fn new(words: &str) -> Self {
        Self { words: words.to_owned(), act: None, then: Vec::new() }
    }
}

/// The lines that stand so deep, each with what stands below it.
fn nested(mut steps: &[WayStep], depth: usize) -> Vec<WayLine> {
    let mut lines = Vec::new();
    while let Some((WayStep { depth: _, words, act }, rest)) = steps.split_first() {
        let below = rest.iter().take_while(|step| step.depth > depth).count();
        let then = nested(&rest[..below], depth + 1);
        lines.push(WayLine { words: words.clone(), act: act.clone(), then });
        steps = &rest[below..];
    }
    lines
}

/// Told of a machine at which nothing is left to do.
pub const AS_IT_IS: &str = "By the record the machine may be left as it is.";
/// Told of a machine from which no way is known.
pub const NO_WAY: &str = "No way is known from here: stay with the machine and call for help.";

/// Where somebody is on a way to leave a machine.
struct On<'m> {
    lately: Lately<'m>,
    /// When the last thing was said.
    before_ms: Option<i64>,
    /// How many acts and waits are over.
    done: usize,
    /// How many plans were followed after the first.
    begun: u32,
    /// Whether what was said of another way is passed over.
    begins_anew: bool,
}

impl On<'_> {
    /// What the next step of the way counts on and was looked at too long ago. A wait is as long as it is: what it counts under is judged
    /// where it begins, with what was said before it.
    fn old(&self, course: &Course<'_>, now_ms: i64) -> Option<Conjunct> {
        let is_wait = matches!(course.here(), Some(PlanStep::Wait { .. }));
        self.lately.old(course.here(), if is_wait { self.before_ms? } else { now_ms })
    }
}

/// How many plans are followed after the first: what surprises once more after that does not lead to rest.
const BEGINNINGS: u32 = 2;

/// How a machine is left: by what the walk goes by, or by the equipment as it stands now where that says otherwise.
struct Exit<'a> {
    machine: &'a Machine,
    equipment: Option<&'a Equipment>,
    planner: Planner<'a>,
    acts: Acts<'a>,
    /// Whether nothing counts that was seen: it was recorded by other documents than the way is planned by.
    from_anything: bool,
}

impl<'a> Exit<'a> {
    /// None where the equipment states no state in which it may be left.
    fn new(walk: &'a Walk, ground: Option<&'a Ground>) -> Option<Self> {
        let (machine, equipment) = match ground {
            Some(ground) => (ground.machine(), ground.equipment()),
            None => (walk.machine(), walk.equipment()),
        };
        let planner = Planner::new(machine)?;
        let acts = Acts::new(walk, ground);
        Some(Self { machine, equipment, planner, acts, from_anything: ground.is_some() })
    }

    /// The way from everything the machine may be like.
    fn plan(&mut self, walk: &Walk) -> Leaving {
        let possible = self.possible(walk);
        self.planner.leave_any(&possible)
    }

    fn possible(&self, walk: &Walk) -> Vec<AbstractState> {
        if self.from_anything {
            return vec![self.machine.unknown(self.machine.start().place)];
        }
        walk.possible()
    }

    /// What is known where the way begins, and since when.
    fn lately(&self, walk: &Walk) -> Lately<'a> {
        let ids = self.machine.layout.ids().filter(|_| !self.from_anything);
        let since: BTreeMap<VarId, i64> = ids.filter_map(|var| Some((var, walk.since(var)?))).collect();
        Lately::new(self.machine, &self.possible(walk), since)
    }

    fn words(&self, step: &PlanStep) -> String {
        check::plan_step_words(self.machine, self.equipment, step)
    }

    /// The act of a step, with what is read before it.
    fn act(&self, step: &PlanStep) -> Option<Act> {
        match step {
            PlanStep::Act(action) => self.acts.get(&self.machine.restoring[*action].name),
            PlanStep::Wait { .. }
            | PlanStep::Look { .. }
            | PlanStep::Again { .. }
            | PlanStep::Universal
            | PlanStep::Cannot => None,
        }
    }

    /// A way that was planned.
    fn way(&self, leaving: &Leaving) -> Way {
        match leaving {
            Leaving::Plan { moves, looks } if moves.is_empty() => {
                Way::AsItIs(looks.iter().map(|look| self.words(look)).collect())
            }
            Leaving::Plan { moves, looks } => {
                let mut steps = Vec::new();
                self.write(moves, 0, &mut steps);
                let last = |look| WayStep { depth: 0, words: self.words(look), act: None };
                steps.extend(looks.iter().map(last));
                Way::Steps(steps)
            }
            Leaving::Stuck(_) | Leaving::Unknown => Way::Unknown,
        }
    }

    fn write(&self, steps: &[PlanStep], depth: usize, written: &mut Vec<WayStep>) {
        for step in steps {
            written.push(WayStep { depth, words: self.words(step), act: self.act(step) });
            match step {
                PlanStep::Look { var, ways, untold } => {
                    let label = &self.machine.layout.var(*var).label;
                    for (values, way) in ways.iter().filter(|(_, way)| !way.is_empty()) {
                        let values = named(self.machine, *var, *values).join(" or ");
                        let words = format!("If the {label} is {values}:");
                        written.push(WayStep { depth, words, act: None });
                        self.write(way, depth + 1, written);
                    }
                    if untold.is_none() {
                        let words = "If you cannot tell:".to_owned();
                        written.push(WayStep { depth, words, act: None });
                        let words = self.cannot(&PlanStep::Cannot);
                        written.push(WayStep { depth: depth + 1, words, act: None });
                    }
                }
                PlanStep::Again { var, failed, .. } => {
                    let words = format!("If the {} is not:", self.machine.layout.var(*var).label);
                    written.push(WayStep { depth, words, act: None });
                    self.write(failed, depth + 1, written);
                }
                PlanStep::Act(_) | PlanStep::Wait { .. } | PlanStep::Universal | PlanStep::Cannot => {}
            }
        }
    }

    /// Whether somebody may have said this of the step that is next.
    fn fits(&self, here: Option<&PlanStep>, said: &Event) -> bool {
        match (here, said) {
            (Some(step @ (PlanStep::Act(_) | PlanStep::Wait { .. })), Event::LeavingDone { act }) => {
                self.words(step) == *act
            }
            (
                Some(PlanStep::Look { var, .. } | PlanStep::Again { var, .. }),
                Event::LeavingLooked { condition, values },
            ) => {
                *self.machine.layout.var(*var).name == **condition
                    && values.iter().all(|value| self.machine.layout.bit(*var, value).is_some())
            }
            _ => false,
        }
    }

    /// What comes next by now on a way for somebody who said all this since it began. What was said of another way counts for
    /// nothing: the documents were changed in between, and the way begins anew. None if that is so and it may not.
    ///
    /// Where something is not as the plan counted on, another is followed, of what is known by then; what surprises once more after
    /// [`BEGINNINGS`] of these does not lead to rest.
    fn follow(&mut self, plan: &Leaving, said: &[(i64, Event)], mut on: On<'a>, now_ms: i64) -> Option<Next> {
        let Leaving::Plan { moves, looks } = plan else { return Some(Next::Stuck) };
        let mut course = Course::new(moves, looks);
        for (number, (at_ms, event)) in said.iter().enumerate() {
            if course.here() == Some(&PlanStep::Universal) {
                return self.go_on_anew(&said[number..], on, now_ms);
            }
            let old = on.old(&course, *at_ms);
            on.before_ms = Some(*at_ms);
            if let Some(due) = old.filter(|due| self.is_look_at(*due, event)) {
                let seen = self.seen(due.var, event);
                on.lately.looked(Conjunct { set: seen, ..due }, *at_ms);
                if seen == 0 || seen & !due.set != 0 {
                    course.anew();
                }
                continue;
            }
            if !self.fits(course.here(), event) {
                if !on.begins_anew {
                    return None;
                }
                (course, on.done) = (Course::new(moves, looks), 0);
                if !self.fits(course.here(), event) {
                    continue;
                }
            }
            match event {
                Event::LeavingLooked { condition, .. } => {
                    let Some(var) = self.machine.layout.find(condition) else { continue };
                    let seen = self.seen(var, event);
                    on.lately.looked(Conjunct { var, set: seen }, *at_ms);
                    if seen == 0 { course.untold() } else { course.looked(seen) }
                }
                _ => {
                    on.lately.done(course.here(), *at_ms);
                    course.done();
                    on.done += 1;
                }
            }
        }
        if course.here() == Some(&PlanStep::Universal) {
            return self.go_on_anew(&[], on, now_ms);
        }
        Some(self.told(&course, &on, now_ms))
    }

    /// Another plan, of what is known by now.
    fn go_on_anew(&mut self, said: &[(i64, Event)], mut on: On<'a>, now_ms: i64) -> Option<Next> {
        if on.begun >= BEGINNINGS {
            return Some(Next::Cannot { words: self.cannot(&PlanStep::Cannot) });
        }
        on.begun += 1;
        let mut plan = self.planner.leave_any(&[on.lately.known(on.before_ms)]);
        if let Leaving::Plan { moves, .. } = &plan
            && moves.first() == Some(&PlanStep::Universal)
        {
            let Universal::Plan(moves) = self.planner.universal().clone() else { return Some(Next::Stuck) };
            plan = Leaving::Plan { moves, looks: Vec::new() };
        }
        self.follow(&plan, said, on, now_ms)
    }

    fn is_look_at(&self, due: Conjunct, event: &Event) -> bool {
        let name = &self.machine.layout.var(due.var).name;
        matches!(event, Event::LeavingLooked { condition, .. } if **name == **condition)
    }

    /// The values that were seen; none where nobody could tell.
    fn seen(&self, var: VarId, event: &Event) -> u64 {
        let Event::LeavingLooked { values, .. } = event else { return 0 };
        self.machine.layout.set_of(var, values)
    }

    /// What comes next, after what was said since the stop or since somebody took it up after that.
    fn next(&mut self, walk: &Walk, now_ms: i64) -> Next {
        let found = walk.as_found();
        let said = walk.leaving();
        for (walk, begins_anew) in [(walk, false), (&found, true)] {
            let plan = self.plan(walk);
            let on = On { lately: self.lately(walk), before_ms: None, done: 0, begun: 0, begins_anew };
            if let Some(next) = self.follow(&plan, said, on, now_ms) {
                return next;
            }
        }
        Next::Stuck
    }

    fn told(&self, course: &Course<'_>, on: &On<'_>, now_ms: i64) -> Next {
        match on.old(course, now_ms) {
            Some(due) if on.lately.can_see(due.var) => {
                return self.look(due.var, vec![due.set, self.machine.layout.all(due.var) & !due.set]);
            }
            // No other act takes the place of the one that stands before somebody's eyes because time passes.
            Some(_) => return Next::Cannot { words: self.cannot(&PlanStep::Cannot) },
            None => {}
        }
        match course.here() {
            None => Next::Nothing,
            Some(step @ (PlanStep::Act(_) | PlanStep::Wait { .. })) => {
                let line = |step| WayLine { words: self.words(step), act: self.act(step), then: Vec::new() };
                let rest: Vec<WayLine> = course.rest().iter().map(line).collect();
                Next::Act {
                    act: self.words(step),
                    shown: self.act(step).map(Box::new),
                    number: on.done + 1,
                    total: on.done + 1 + rest.len(),
                    wait: if let PlanStep::Wait { millis, .. } = step { Some(*millis) } else { None },
                    rest,
                }
            }
            Some(PlanStep::Look { var, ways, untold: _ }) => {
                let known = ways.iter().fold(0, |known, (values, _)| known | values);
                // What the plan did not expect can be seen all the same.
                let other = self.machine.layout.all(*var) & !known;
                let known = ways.iter().map(|(values, _)| *values);
                self.look(*var, known.chain((other != 0).then_some(other)).collect())
            }
            Some(PlanStep::Again { var, values, .. }) => {
                self.look(*var, vec![*values, self.machine.layout.all(*var) & !values])
            }
            Some(PlanStep::Universal) => Next::Stuck,
            Some(step @ PlanStep::Cannot) => Next::Cannot { words: self.cannot(step) },
        }
    }

    /// That the machine cannot be brought to rest, and who is called.
    fn cannot(&self, step: &PlanStep) -> String {
        let words = self.words(step);
        let role = self.equipment.and_then(|equipment| equipment.release.as_ref());
        role.map_or_else(
            || format!("{words} Put up a barrier."),
            |role| format!("{words} Put up a barrier. Call the {}.", role.words()),
        )
    }

    fn look(&self, var: VarId, choices: Vec<u64>) -> Next {
        let layout = &self.machine.layout;
        let known = self.equipment.and_then(|equipment| equipment.conditions.get(&layout.var(var).name));
        let told_by = |value: &String| {
            let question = known?.question(value)?.to_owned();
            Some(ToldBy { value: value.clone(), question })
        };
        Next::Look {
            condition: layout.var(var).name.to_string(),
            label: layout.var(var).label.clone(),
            choices: choices.into_iter().map(|set| named(self.machine, var, set)).collect(),
            told_by: layout.var(var).values.iter().filter_map(told_by).collect(),
        }
    }
}

/// The way in words; none where the equipment states no state in which it may be left. `ground` is the equipment as it
/// stands now, where it says otherwise than what the walk goes by.
#[must_use]
pub fn way(walk: &Walk, ground: Option<&Ground>) -> Option<Way> {
    let mut exit = Exit::new(walk, ground)?;
    let leaving = exit.plan(walk);
    Some(exit.way(&leaving))
}

/// What comes next by now for somebody who looks at a walk in which work was stopped: where they are not at it the way begins
/// anew, unless it was gone to its end.
#[must_use]
pub fn next_for(walk: &Walk, ground: Option<&Ground>, is_there: bool, now_ms: i64) -> Next {
    let Some(mut exit) = Exit::new(walk, ground) else { return unstated(walk, ground) };
    let next = exit.next(walk, now_ms);
    match next {
        Next::Act { .. } | Next::Look { .. } if !is_there => exit.next(&walk.as_found(), now_ms),
        Next::Act { .. } | Next::Look { .. } | Next::Nothing | Next::Stuck | Next::Cannot { .. } => next,
    }
}

/// Where nothing says how the machine may be left, nobody says that it may be left as it is if something must never be.
fn unstated(walk: &Walk, ground: Option<&Ground>) -> Next {
    let machine = ground.map_or_else(|| walk.machine(), Ground::machine);
    if machine.rules.is_empty() { Next::Nothing } else { Next::Stuck }
}

/// What comes next by now for whoever is at the machine. What the next act counts on and was looked at too long ago is looked at
/// once more before it.
#[must_use]
pub fn next(walk: &Walk, ground: Option<&Ground>, now_ms: i64) -> Next {
    next_for(walk, ground, true, now_ms)
}

/// The way from here, for someone who is about to stop: at the walk, or come to it.
#[must_use]
pub fn preview(walk: &Walk, ground: Option<&Ground>, is_there: bool) -> Vec<WayLine> {
    let way = if is_there { way(walk, ground) } else { way(&walk.as_found(), ground) };
    way.unwrap_or_else(|| match unstated(walk, ground) {
        Next::Nothing => Way::AsItIs(Vec::new()),
        Next::Act { .. } | Next::Look { .. } | Next::Stuck | Next::Cannot { .. } => Way::Unknown,
    })
    .lines()
}

/// The way from a state that was never proved, from everything the machine may be like; none where the walk is at no such state.
#[must_use]
pub fn of_never_proved(walk: &Walk) -> Vec<WayLine> {
    if walk.is_never_proved() { preview(walk, None, true) } else { Vec::new() }
}

fn named(machine: &Machine, var: VarId, set: u64) -> Vec<String> {
    machine.layout.words_of(var, set).into_iter().map(str::to_owned).collect()
}
