//! Truthful people at a machine: they do what is asked, say what is so and nothing else; they are interrupted, killed and relieved,
//! stop in the middle of an act, and go back.

use super::answers::{answers_at, number_of};
use super::world::World;
use document::model::Kind;
use journal::Journal;
use machine::{Choice, Effect, Machine, NodeKind};
use oracle::Random;
use std::collections::BTreeMap;
use walk::{CompiledCache, Event, Input, LiveWalk, Look, Stage, ToBegin};

pub(super) const PEOPLE: [&str; 2] = ["Tomas Reeve", "Ilse Marrow"];
const LONGEST: usize = 250;
pub(super) const MINUTE: i64 = 60_000;

/// How often each thing was met.
pub(super) type Met = BTreeMap<&'static str, usize>;

pub(super) struct Person<'m> {
    pub(super) machine: &'m Machine,
    pub(super) world: World<'m>,
    pub(super) random: Random,
    pub(super) now: i64,
    pub(super) story: Vec<String>,
    /// Whether somebody has begun the act here, and has not said that it is done: whoever goes on does all of it.
    pub(super) begun: bool,
    /// Whether all of it was done before somebody was called away, and its tick is missing.
    pub(super) finished: bool,
    /// Whether the last thing said was that an act is done that was not.
    pub(super) slipped: bool,
    pub(super) met: &'m mut Met,
}

/// What is wrong.
pub(super) type Harm = String;

impl<'m> Person<'m> {
    pub(super) fn new(machine: &'m Machine, seed: u64, met: &'m mut Met) -> Self {
        let now = 1_795_600_000_000;
        let world = World::new(machine, seed, now);
        Self {
            machine,
            world,
            random: Random::new(seed ^ 0x5EED),
            now,
            story: Vec::new(),
            begun: false,
            finished: false,
            slipped: false,
            met,
        }
    }

    pub(super) fn note(&mut self, kind: &'static str) {
        *self.met.entry(kind).or_default() += 1;
    }

    /// Walks to the end, and leaves the machine where work stopped; what came of it that must not, with the story.
    pub(super) fn walk(mut self, begin: ToBegin, cache: &mut CompiledCache) -> Result<(), Harm> {
        let mut journal = Journal::in_memory().map_err(|error| error.to_string())?;
        let told = self.world.told();
        self.story.push(format!("the machine: {told}"));
        self.live(&mut journal, begin, cache).map_err(|harm| format!("{harm}\n{}", self.story.join("\n")))
    }

    fn live(&mut self, journal: &mut Journal, begin: ToBegin, cache: &mut CompiledCache) -> Result<(), Harm> {
        let mut live = walk::begin_among(journal, "one", begin, None, self.now, cache)
            .map_err(|error| error.to_string())?;
        for step in 0..LONGEST {
            self.now += 1_000;
            self.world.pass(1_000);
            if live.walk().is_never_proved() {
                return Err("what is believed was never proved".to_owned());
            }
            if let Stage::Ended(ending) = live.walk().stage() {
                return self.ended(&mut live, ending);
            }
            let input =
                if step + 1 == LONGEST { Input::Stop("enough".to_owned()) } else { self.input(&live) };
            if matches!(input, Input::Note(_)) {
                drop(live);
                self.note("killed");
                self.interrupted();
                live = walk::resume_among(journal, "one", cache).map_err(|error| error.to_string())?;
                let person = (*self.random.pick(&PEOPLE)).to_owned();
                self.say(&mut live, &Input::Resume { person })?;
                continue;
            }
            self.say(&mut live, &input)?;
        }
        Ok(())
    }

    /// Hours may pass, and other people come.
    pub(super) fn interrupted(&mut self) {
        self.now += MINUTE * self.random.below(40) as i64;
        if self.random.percent(60) {
            self.world.left_alone();
            let told = self.world.told();
            self.story.push(format!("  meanwhile: {told}"));
        }
    }

    /// Says something that is taken, and does it in truth.
    fn say(&mut self, live: &mut LiveWalk<'_>, input: &Input) -> Result<(), Harm> {
        let (stage, node) = (live.walk().stage(), live.walk().record().place.node);
        let (place, answers) = (live.walk().node().path.clone(), answers_at(live.walk()));
        let event = match live.answer(input, self.now) {
            Ok(event) => event,
            Err(walk::Error::Refused(_))
                if matches!(
                    input,
                    Input::Done
                        | Input::WasDone
                        | Input::Restored(_)
                        | Input::Look(_)
                        | Input::Is(_)
                        | Input::Answer(_)
                        | Input::Reading(_)
                        | Input::Item(_)
                        | Input::Sign(_)
                        | Input::Fastener(_)
                        | Input::Deviate { .. }
                        | Input::Deny(_)
                        | Input::CannotTell
                ) =>
            {
                // Too late by the clock: it was not done.
                self.note("came too late");
                self.story.push(format!("{input:?} at {place}: too late"));
                return Ok(());
            }
            Err(error) => return Err(format!("{input:?} at {stage:?} is refused: {error}")),
        };
        let here = live.walk().record().place.node;
        self.story.push(format!("{} {event:?} at {place}", self.now));
        match (&event, &stage) {
            (Event::ActBegun { finished: true, .. }, _) => {
                let (_, after) = self.world.effects_of_act(node);
                self.follows(after, here)?;
                (self.begun, self.finished) = (false, false);
            }
            (Event::Done { .. }, _) => {
                self.slipped &= live.walk().can_take_back().is_some();
                if !self.slipped {
                    self.is_met(node)?;
                }
                let (effects, after) = self.world.effects_of_act(node);
                let last = if self.slipped { self.random.below(effects.len() + 1) } else { effects.len() };
                for &effect in &effects[..last] {
                    self.does(effect)?;
                }
                if !self.slipped {
                    self.follows(after, here)?;
                }
                (self.begun, self.finished) = (false, false);
            }
            (Event::Deviated { .. }, _) => {
                let (effects, after) = self.world.effects_of_act(node);
                for effect in effects {
                    self.world.botch(effect);
                }
                self.follows(after, here)?;
                (self.begun, self.finished) = (false, false);
            }
            (Event::Restored { action, .. }, _) => self.restores(action, true)?,
            (
                Event::Seen { .. } | Event::CannotTell { .. },
                Stage::Gate { due, .. } | Stage::Shut { due, .. },
            ) => {
                self.world.looked_at(due.var, self.now);
                self.follows(node, here)?;
            }
            (
                Event::Seen { .. }
                | Event::CannotTell { .. }
                | Event::Answered { .. }
                | Event::Chosen { .. }
                | Event::Reading { .. }
                | Event::WaitOver { .. }
                | Event::LimitReached { .. }
                | Event::Verified { .. }
                | Event::NotVerified { .. }
                | Event::Released { .. },
                Stage::Look(_)
                | Stage::Ask
                | Stage::Measure { .. }
                | Stage::Wait { .. }
                | Stage::Item
                | Stage::Hold
                | Stage::Verification,
            ) => {
                self.answered(&event, &answers, (node, here))?;
            }
            (Event::WaitOver { .. }, _) => self.follows(node, here)?,
            _ => {}
        }
        let told = self.world.told();
        self.story.push(format!("  {told}"));
        Ok(())
    }

    /// What comes with an answer by itself.
    fn answered(
        &mut self,
        event: &Event,
        answers: &[String],
        (node, here): (machine::NodeId, machine::NodeId),
    ) -> Result<(), Harm> {
        self.is_met(node)?;
        let choice = match event {
            Event::Seen { answer: Look::Yes, .. } | Event::Verified { .. } => Choice::Pass,
            Event::Reading { verdict: walk::ReadingVerdict::Within, .. } => Choice::Pass,
            Event::Reading { .. } | Event::NotVerified { .. } | Event::LimitReached { .. } => Choice::Fail,
            Event::Seen { answer: Look::CannotTell, .. } | Event::CannotTell { .. } => Choice::CannotTell,
            Event::Seen { condition, found: Some(value), .. } => self.is_value(node, condition, value),
            Event::Seen { answer: Look::No, .. } => Choice::Fail,
            Event::Answered { answer, .. } => number_of(answers, answer),
            Event::WaitOver { .. } | Event::Released { .. } => Choice::Done,
            _ => return Ok(()),
        };
        let Some(outcome) = self.world.outcomes(node).find(|outcome| outcome.choice == choice) else {
            // A wait for something goes on with a look.
            return Ok(());
        };
        for &effect in &outcome.effects {
            match effect {
                Effect::Write(_) | Effect::Open(_) => self.does(effect)?,
                Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => {
                    self.world.looked_at(effect.var(), self.now);
                }
            }
        }
        self.follows(outcome.to.node, here)
    }

    /// What comes by itself after a step, up to where the walk stands.
    fn follows(&mut self, from: machine::NodeId, here: machine::NodeId) -> Result<(), Harm> {
        let mut at = from;
        for _ in 0..50 {
            if at == here {
                return Ok(());
            }
            let choices: &[Choice] = match self.machine.node(at).kind {
                NodeKind::Follows { .. } | NodeKind::Enter => &[Choice::Done],
                NodeKind::Route => &[Choice::Applies, Choice::PassedOver],
                NodeKind::AnyOrder { .. } => &[Choice::AllItems],
                _ => return Ok(()),
            };
            let Some(outcome) = self.world.outcomes(at).find(|outcome| choices.contains(&outcome.choice))
            else {
                return Ok(());
            };
            for &effect in &outcome.effects {
                self.does(effect)?;
            }
            at = outcome.to.node;
        }
        Ok(())
    }

    /// The way of a look that shows another value.
    fn is_value(&self, node: machine::NodeId, condition: &str, value: &str) -> Choice {
        let values = self.machine.layout.find(condition).map(|var| &self.machine.layout.var(var).values);
        let number = values.and_then(|values| values.iter().position(|of| of == value));
        let is = number.map(|number| Choice::Is(number as u32));
        is.filter(|is| self.world.outcomes(node).any(|outcome| outcome.choice == *is)).unwrap_or(Choice::Fail)
    }

    fn does(&mut self, effect: Effect) -> Result<(), Harm> {
        match self.world.act(effect, self.now) {
            Some(rule) => Err(format!("an act broke `{rule}`: {}", self.world.told())),
            None => Ok(()),
        }
    }

    /// What is needed at a place is so.
    fn is_met(&self, node: machine::NodeId) -> Result<(), Harm> {
        // What an act changes itself nobody can look at once it is said to be done: it grew old while the act was shown.
        let changed = self.machine.written_by_act(node);
        let node = self.machine.node(node);
        let is_unmet = |var: machine::VarId, set: u64| {
            !(self.world.is_in(var, set) || changed.contains(&var) && self.world.is_old(var, self.now))
        };
        let unmet = node.needs.iter().find(|need| is_unmet(need.conjunct.var, need.conjunct.set));
        unmet.map_or(Ok(()), |need| {
            let name = &self.machine.layout.var(need.conjunct.var).name;
            Err(format!("`{}` needs another `{name}`: {}", node.path, self.world.told()))
        })
    }

    /// An act that restores; not all of it, where somebody leaves in the middle.
    pub(super) fn restores(&mut self, action: &str, whole: bool) -> Result<(), Harm> {
        let action = self.machine.restoring.iter().find(|of| *of.name == *action).ok_or("no such act")?;
        if !self.world.holds(&action.needs) {
            return Err(format!("`{}` needs what is not so: {}", action.name, self.world.told()));
        }
        let last = if whole { action.effects.len() } else { self.random.below(action.effects.len() + 1) };
        for &effect in &action.effects[..last] {
            self.does(effect)?;
        }
        Ok(())
    }

    /// Somebody at work is called away: what is asked may be half done by then.
    fn halfway(&mut self, live: &LiveWalk<'_>) {
        match live.walk().stage() {
            Stage::Act if self.random.percent(60) && !self.is_too_old(live) => {
                let node = live.walk().record().place.node;
                if self.is_met(node).is_err() {
                    self.note("not met before half");
                    return;
                }
                let (effects, _) = self.world.effects_of_act(node);
                let last = self.random.below(effects.len() + 1);
                // What it breaks then is told when it is whole.
                let mut broken = false;
                for &effect in &effects[..last] {
                    broken |= self.world.act(effect, self.now).is_some();
                }
                self.finished = !self.begun && !broken && last > 0 && last == effects.len();
                self.begun |= last > 0;
                self.note("half done");
                let told = self.world.told();
                self.story.push(format!("  {last} of {} done: {told}", effects.len()));
            }
            Stage::Shut { offers, .. } if !offers.is_empty() && self.random.percent(50) => {
                let action = self.random.pick(&offers).clone();
                if self.restores(&action, false).is_ok() {
                    self.note("half restored");
                    let told = self.world.told();
                    self.story.push(format!("  {action} begun: {told}"));
                }
            }
            _ => {}
        }
    }

    /// Whether something is so old that whoever begins here now does not look at the clock.
    fn is_too_old(&self, live: &LiveWalk<'_>) -> bool {
        let lapses = live.walk().machine().lapses.iter();
        lapses.clone().any(|(var, _)| self.world.is_old(*var, self.now))
    }

    fn input(&mut self, live: &LiveWalk<'_>) -> Input {
        let walk = live.walk();
        let stage = walk.stage();
        if self.slipped {
            self.slipped = false;
            self.note("slipped");
            if walk.can_take_back().is_some() {
                return Input::TakeBack;
            }
        }
        let may_be_left =
            !matches!(stage, Stage::Paused | Stage::Ended(_) | Stage::Variant(_) | Stage::Label(_));
        if may_be_left && self.random.percent(4) {
            self.halfway(live);
            return Input::Note("killed".to_owned());
        }
        if may_be_left && self.random.percent(3) {
            self.halfway(live);
            return Input::Pause;
        }
        if may_be_left && self.random.percent(3) {
            self.halfway(live);
            self.note("stopped");
            return Input::Stop("rain".to_owned());
        }
        if self.random.percent(5) && walk.can_take_back().is_some() && may_be_left {
            // A fastener that is taken back leaves the act in the same hands.
            if walk.tick().is_none() && !walk.step().is_some_and(|step| matches!(step.kind, Kind::Fasten(_)))
            {
                self.halfway(live);
                (self.begun, self.finished) = (false, false);
            }
            self.note("taken back");
            return Input::TakeBack;
        }
        if matches!(stage, Stage::Act | Stage::Item | Stage::Hold) && self.random.percent(8) {
            self.now += MINUTE * (10 + self.random.below(30) as i64);
            self.world.pass(10 * 60_000);
            self.world.grow_old(self.now);
            self.note("time passed");
        }
        self.answer(live)
    }

    pub(super) fn pass(&mut self, millis: u64) {
        self.now += i64::try_from(millis).unwrap_or(i64::MAX / 2);
        self.world.pass(millis);
    }
}
