//! The end of a walk: everything is as promised, or the machine is left by the plan.

use super::person::{Harm, MINUTE, Person};
use records::leaving::{Next, next};
use walk::{Ending, Input, Leaving, LiveWalk};

impl Person<'_> {
    /// At the end everything is as promised; after a stop the machine is left by the plan.
    pub(super) fn ended(&mut self, live: &mut LiveWalk<'_>, ending: Ending) -> Result<(), Harm> {
        if ending != Ending::Stopped {
            self.note("completed");
            let promised = self
                .machine
                .promises
                .iter()
                .filter(|promise| promise.source == machine::PromiseSource::Leaves);
            let broken =
                promised.map(|promise| promise.conjunct).find(|due| !self.world.is_in(due.var, due.set));
            return broken.map_or(Ok(()), |due| {
                Err(format!("completed, and `{}` is not as promised", self.machine.layout.var(due.var).name))
            });
        }
        let Some(rest) = &self.machine.rest else { return Ok(()) };
        let mut grew_old = false;
        for _ in 0..60 {
            if self.random.percent(5) {
                grew_old = true;
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
                    let words = |at: usize| {
                        check::plan_step_words(
                            self.machine,
                            live.walk().equipment(),
                            &proof::PlanStep::Act(at),
                        )
                    };
                    let at = (0..self.machine.restoring.len())
                        .find(|&at| words(at) == act)
                        .ok_or("no such act")?;
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
                    let values =
                        choices.into_iter().find(|values| values.contains(&word)).ok_or("no such value")?;
                    self.story.push(format!("{} the plan: {condition} is {}", self.now, values.join(" or ")));
                    Leaving::Looked { condition, values }
                }
                Next::Nothing => {
                    self.note("left");
                    // What changes by itself later than it was looked at nobody knows.
                    return if grew_old || self.world.holds(rest) {
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
