//! Truthful people at a machine: they do what is asked, say what is so and nothing else; they are interrupted, killed and relieved,
//! stop in the middle of an act, and go back.

use super::world::World;
use journal::Journal;
use machine::{Choice, Effect, Machine, NodeKind};
use oracle::Random;
use records::leaving::{Next, next};
use std::collections::BTreeMap;
use walk::{Begin, CompiledCache, Ending, Event, Input, Leaving, LiveWalk, Look, Prompt, Stage};

pub(super) const PEOPLE: [&str; 2] = ["Tomas Reeve", "Ilse Marrow"];
const LONGEST: usize = 250;
const MINUTE: i64 = 60_000;

/// How often each thing was met.
pub(super) type Met = BTreeMap<&'static str, usize>;

pub(super) struct Person<'m> {
    machine: &'m Machine,
    world: World<'m>,
    random: Random,
    now: i64,
    story: Vec<String>,
    /// Whether somebody has begun the act here, and has not said that it is done: whoever goes on does all of it.
    begun: bool,
    /// Whether the last thing said was that an act is done that was not.
    slipped: bool,
    met: &'m mut Met,
}

/// What is wrong.
type Harm = String;

impl<'m> Person<'m> {
    pub(super) fn new(machine: &'m Machine, seed: u64, met: &'m mut Met) -> Self {
        let now = 1_795_600_000_000;
        let world = World::new(machine, seed, now);
        Self { machine, world, random: Random::new(seed ^ 0x5EED), now, story: Vec::new(), begun: false, slipped: false, met }
    }

    fn note(&mut self, kind: &'static str) {
        *self.met.entry(kind).or_default() += 1;
    }

    /// Walks to the end, and leaves the machine where work stopped; what came of it that must not, with the story.
    pub(super) fn walk(mut self, begin: Begin, cache: &mut CompiledCache) -> Result<(), Harm> {
        let mut journal = Journal::in_memory().map_err(|error| error.to_string())?;
        let told = self.world.told();
        self.story.push(format!("the machine: {told}"));
        self.live(&mut journal, begin, cache).map_err(|harm| format!("{harm}\n{}", self.story.join("\n")))
    }

    fn live(&mut self, journal: &mut Journal, begin: Begin, cache: &mut CompiledCache) -> Result<(), Harm> {
        let mut live = walk::begin_among(journal, "one", begin, None, self.now, cache).map_err(|error| error.to_string())?;
        for step in 0..LONGEST {
            self.now += 1_000;
            self.world.pass(1_000);
            if let Stage::Ended(ending) = live.walk().stage() {
                return self.ended(&mut live, ending);
            }
            let input = if step + 1 == LONGEST { Input::Stop("enough".to_owned()) } else { self.input(&live) };
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
    fn interrupted(&mut self) {
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
            Err(walk::Error::Refused(_)) if matches!(input, Input::Done | Input::Restored(_) | Input::Look(_) | Input::Is(_) | Input::Answer(_) | Input::Reading(_) | Input::Item(_) | Input::Sign(_) | Input::Fastener(_) | Input::Deviate { .. } | Input::Deny(_) | Input::CannotTell) => {
                // Too late by the clock: it was not done.
                self.note("came too late");
                self.story.push(format!("{input:?} at {place}: too late"));
                return Ok(());
            }
            Err(error) => return Err(format!("{input:?} at {stage:?} is refused: {error}")),
        };
        self.story.push(format!("{} {event:?} at {place}", self.now));
        match (&event, &stage) {
            (Event::Done { .. }, _) => {
                if !self.slipped {
                    self.is_met(node)?;
                }
                let effects = self.world.effects_of_act(node);
                let last = if self.slipped { self.random.below(effects.len() + 1) } else { effects.len() };
                for &effect in &effects[..last] {
                    self.does(effect)?;
                }
                self.begun = false;
            }
            (Event::Deviated { .. }, _) => {
                for effect in self.world.effects_of_act(node) {
                    self.world.botch(effect);
                }
                self.begun = false;
            }
            (Event::Restored { action, .. }, _) => self.restores(action, true)?,
            (Event::Seen { .. } | Event::CannotTell { .. }, Stage::Gate { due, .. } | Stage::Shut { due, .. }) => {
                self.world.looked_at(due.var, self.now);
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
                self.answered(&event, &answers, node)?;
            }
            _ => {}
        }
        let told = self.world.told();
        self.story.push(format!("  {told}"));
        Ok(())
    }

    /// What comes with an answer by itself.
    fn answered(&mut self, event: &Event, answers: &[String], node: machine::NodeId) -> Result<(), Harm> {
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
        // What follows by itself.
        let mut follows = outcome.to.node;
        while let NodeKind::Follows { .. } = self.machine.node(follows).kind {
            let Some(next) = self.world.outcomes(follows).next() else { break };
            for &effect in &next.effects {
                self.does(effect)?;
            }
            follows = next.to.node;
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
        let node = self.machine.node(node);
        let unmet = node.needs.iter().find(|need| !self.world.is_in(need.conjunct.var, need.conjunct.set));
        unmet.map_or(Ok(()), |need| {
            let name = &self.machine.layout.var(need.conjunct.var).name;
            Err(format!("`{}` needs another `{name}`: {}", node.path, self.world.told()))
        })
    }

    /// An act that restores; not all of it, where somebody leaves in the middle.
    fn restores(&mut self, action: &str, whole: bool) -> Result<(), Harm> {
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
                let effects = self.world.effects_of_act(node);
                let last = self.random.below(effects.len() + 1);
                // What it breaks then is told when it is whole.
                for &effect in &effects[..last] {
                    let _ = self.world.act(effect, self.now);
                }
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

    fn look(&mut self, due: machine::Conjunct, others: &[walk::Other]) -> Input {
        if self.random.percent(4) {
            return Input::Look(Look::CannotTell);
        }
        if self.world.is_in(due.var, due.set) {
            return Input::Look(Look::Yes);
        }
        let is = self.world.word(due.var);
        match others.iter().find(|other| other.value == is) {
            Some(other) => Input::Is(other.value.clone()),
            None if others.is_empty() => Input::Look(Look::No),
            None => Input::Look(Look::CannotTell),
        }
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
        let may_be_left = !matches!(stage, Stage::Paused | Stage::Ended(_) | Stage::Variant(_) | Stage::Label(_));
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
            self.halfway(live);
            self.begun = false;
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

    fn answer(&mut self, live: &LiveWalk<'_>) -> Input {
        let walk = live.walk();
        let node = walk.record().place.node;
        match (live.prompt(), walk.stage()) {
            (Prompt::Variant { .. }, Stage::Variant(due)) => Input::Variant(self.world.word(due)),
            (Prompt::Look(question), Stage::Gate { due, .. }) => self.look(due, &question.others),
            (Prompt::Look(question), Stage::Look(tick)) => self.look(tick.asked, &question.others),
            (Prompt::AsLeft(_), _) => Input::Look(if self.begun { Look::Yes } else { *self.random.pick(&[Look::Yes, Look::No]) }),
            (Prompt::Shut { question, .. }, Stage::Shut { due, offers, may_look, .. }) => {
                if !offers.is_empty() && self.random.percent(70) {
                    self.note("restored");
                    return Input::Restored(self.random.pick(&offers).clone());
                }
                if may_look && self.world.is_in(due.var, due.set) { self.look(due, &question.others) } else { self.stop() }
            }
            (Prompt::Settle { timer, .. }, _) => {
                self.note("settled");
                self.pass(timer.millis);
                Input::TimerOver
            }
            (Prompt::Act, _) => {
                if self.random.percent(6) && walk.may_deviate() {
                    self.note("deviated");
                    return Input::Deviate { reason: "by hand".to_owned(), person: "Gwen Adeyi".to_owned(), role: "safety-officer".to_owned() };
                }
                self.slipped = self.random.percent(6);
                Input::Done
            }
            (Prompt::Fasten(tick), _) => Input::Fastener(tick.next().unwrap_or(1)),
            (Prompt::Sign { check: None, .. }, _) => {
                let seen = self.world.outcomes(node).find(|outcome| outcome.choice == Choice::Pass);
                let record = walk.record();
                let vars = seen.into_iter().flat_map(|outcome| &outcome.effects).map(|effect| effect.var());
                let layout = &self.machine.layout;
                let is_so = vars.into_iter().all(|var| self.world.is_in(var, record.bits.field(layout, var)));
                if is_so { Input::Sign("Anneke Voss".to_owned()) } else { Input::Deny("Anneke Voss".to_owned()) }
            }
            (Prompt::Sign { check: Some(_), .. }, _) => Input::Sign("Gwen Adeyi".to_owned()),
            (Prompt::Reading(reading), _) => {
                let pass = self.world.outcomes(node).find(|outcome| outcome.choice == Choice::Pass);
                let fail = self.world.outcomes(node).find(|outcome| outcome.choice == Choice::Fail);
                let good = pass.is_some_and(|outcome| self.world.is_true_of(outcome));
                let bad = fail.is_some_and(|outcome| self.world.is_true_of(outcome));
                match (reading.range.is_some(), good, bad) {
                    (true, true, true) if self.random.percent(30) => Input::Reading(super::bad_reading(&reading)),
                    (true, true, _) => Input::Reading(super::good_reading(&reading)),
                    (_, _, true) => Input::Reading(super::bad_reading(&reading)),
                    _ => self.stop(),
                }
            }
            (Prompt::Answer { answers, .. }, _) => self.question(live, &answers),
            (Prompt::Item(items), _) => Input::Item(self.random.pick(&items).clone()),
            (Prompt::Wait(timer), Stage::Wait { until, .. }) => match until.filter(|_| walk.timer_has_run()) {
                Some(tick) if self.world.is_in(tick.asked.var, tick.asked.set) => Input::Look(Look::Yes),
                Some(tick) => match timer.limit {
                    Some(_) if tick.failed => self.look(tick.asked, &timer.others),
                    Some(limit) => {
                        self.pass(limit);
                        Input::LimitReached
                    }
                    None => self.look(tick.asked, &timer.others),
                },
                None => {
                    self.pass(timer.millis);
                    Input::TimerOver
                }
            },
            (Prompt::Paused, _) => {
                self.interrupted();
                self.note("resumed");
                Input::Resume { person: (*self.random.pick(&PEOPLE)).to_owned() }
            }
            (Prompt::Locked(_), _) => {
                self.note("locked");
                self.stop()
            }
            (_, _) => self.stop(),
        }
    }

    fn stop(&mut self) -> Input {
        self.note("nothing else");
        Input::Stop("nothing else is left".to_owned())
    }

    fn pass(&mut self, millis: u64) {
        self.now += i64::try_from(millis).unwrap_or(i64::MAX / 2);
        self.world.pass(millis);
    }

    fn question(&mut self, live: &LiveWalk<'_>, answers: &[String]) -> Input {
        let node = live.walk().record().place.node;
        let known = answers_at(live.walk());
        let is_true = |answer: &String| {
            let choice = number_of(&known, answer);
            let outcome = self.world.outcomes(node).find(|outcome| outcome.choice == choice);
            let layout = &self.machine.layout;
            let with = layout.ids().all(|var| {
                let words = format!(", the {} is ", layout.var(var).label);
                answer.split(&words).nth(1).is_none_or(|rest| rest.split(", the ").next() == Some(&*self.world.word(var)))
            });
            outcome.is_some_and(|outcome| self.world.is_true_of(outcome)) && with
        };
        let fitting: Vec<&String> = answers.iter().filter(|answer| is_true(answer)).collect();
        if fitting.is_empty() {
            return self.stop();
        }
        Input::Answer((*self.random.pick(&fitting)).clone())
    }

    /// At the end everything is as promised; after a stop the machine is left by the plan.
    fn ended(&mut self, live: &mut LiveWalk<'_>, ending: Ending) -> Result<(), Harm> {
        if ending != Ending::Stopped {
            self.note("completed");
            let promised = self.machine.promises.iter().filter(|promise| promise.source == machine::PromiseSource::Leaves);
            let broken = promised.map(|promise| promise.conjunct).find(|due| !self.world.is_in(due.var, due.set));
            return broken.map_or(Ok(()), |due| {
                Err(format!("completed, and `{}` is not as promised", self.machine.layout.var(due.var).name))
            });
        }
        let Some(rest) = &self.machine.rest else { return Ok(()) };
        for _ in 0..60 {
            if self.random.percent(5) {
                self.now += MINUTE * (10 + self.random.below(30) as i64);
                self.world.pass(10 * 60_000);
                self.world.grow_old(self.now);
            }
            let said = match next(live.walk(), None, self.now) {
                Next::Act { wait: Some(millis), act, .. } => {
                    self.pass(millis);
                    Leaving::Done(act)
                }
                Next::Act { act, .. } => {
                    let words = |at: usize| check::plan_step_words(self.machine, live.walk().equipment(), &proof::PlanStep::Act(at));
                    let at = (0..self.machine.restoring.len()).find(|&at| words(at) == act).ok_or("no such act")?;
                    let name = self.machine.restoring[at].name.to_string();
                    self.story.push(format!("{} the plan: {name}", self.now));
                    self.restores(&name, true)?;
                    self.note("plan's act");
                    Leaving::Done(act)
                }
                Next::Look { condition, choices, .. } => {
                    let var = self.machine.layout.find(&condition).ok_or("no such condition")?;
                    let word = self.world.word(var);
                    self.world.looked_at(var, self.now);
                    let values = choices.into_iter().find(|values| values.contains(&word)).ok_or("no such value")?;
                    self.story.push(format!("{} the plan: {condition} is {}", self.now, values.join(" or ")));
                    Leaving::Looked { condition, values }
                }
                Next::Nothing => {
                    self.note("left");
                    return if self.world.holds(rest) {
                        Ok(())
                    } else {
                        Err(format!("it may be left, and is not at rest: {}", self.world.told()))
                    };
                }
                Next::Stuck | Next::Cannot { .. } => {
                    self.note("cannot be left");
                    return Ok(());
                }
            };
            live.answer(&Input::Leaving(said), self.now).map_err(|error| error.to_string())?;
            self.now += 1_000;
            self.world.pass(1_000);
        }
        Err("the plan does not end".to_owned())
    }
}

/// The answers of the step here, as authored.
fn answers_at(walk: &walk::Walk) -> Vec<String> {
    let answers = walk.step().into_iter().flat_map(|step| step.kind.answers());
    answers.map(|(answer, _)| answer.to_owned()).collect()
}

/// The way of an answer, whatever else is said with it.
fn number_of(answers: &[String], answer: &str) -> Choice {
    let number = answers.iter().position(|base| answer.starts_with(base.as_str()));
    Choice::Answer(number.unwrap_or_default() as u32)
}
