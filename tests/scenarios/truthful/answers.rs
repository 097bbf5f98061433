//! What a truthful person says.

use super::person::{PEOPLE, Person};
use crate::support::walks::good_reading;
use machine::Choice;
use walk::{Input, LiveWalk, Look, Prompt, Stage};

impl Person<'_> {
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

    pub(super) fn answer(&mut self, live: &LiveWalk<'_>) -> Input {
        let walk = live.walk();
        let node = walk.record().place.node;
        match (live.prompt(), walk.stage()) {
            (Prompt::Variant { .. }, Stage::Variant(due)) => Input::Variant(self.world.word(due)),
            (Prompt::Look(question), Stage::Gate { due, .. }) => self.look(due, &question.others),
            (Prompt::Look(question), Stage::Look(tick)) => self.look(tick.asked, &question.others),
            (Prompt::AsLeft { may_be_done: true, .. }, _) if self.finished && self.random.percent(70) => {
                self.note("had been done");
                Input::WasDone
            }
            (Prompt::AsLeft { .. }, _) => {
                // It is done anew from its beginning.
                self.finished = false;
                Input::Look(if self.begun { Look::Yes } else { *self.random.pick(&[Look::Yes, Look::No]) })
            }
            (Prompt::Shut { question, .. }, Stage::Shut { due, offers, may_look, .. }) => {
                if !offers.is_empty() && self.random.percent(70) {
                    self.note("restored");
                    return Input::Restored(self.random.pick(&offers).clone());
                }
                if may_look && self.world.is_in(due.var, due.set) {
                    self.look(due, &question.others)
                } else {
                    self.stop()
                }
            }
            (Prompt::Settle { timer, .. }, _) => {
                self.note("settled");
                self.pass(timer.millis);
                Input::TimerOver
            }
            (Prompt::Act, _) => {
                if self.random.percent(6) && walk.may_deviate() {
                    self.note("deviated");
                    return Input::Deviate {
                        reason: "by hand".to_owned(),
                        person: "Gwen Adeyi".to_owned(),
                        role: "safety-officer".to_owned(),
                    };
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
                if is_so {
                    Input::Sign("Anneke Voss".to_owned())
                } else {
                    Input::Deny("Anneke Voss".to_owned())
                }
            }
            (Prompt::Sign { check: Some(_), .. }, _) => Input::Sign("Gwen Adeyi".to_owned()),
            (Prompt::Reading(reading), _) => {
                let pass = self.world.outcomes(node).find(|outcome| outcome.choice == Choice::Pass);
                let fail = self.world.outcomes(node).find(|outcome| outcome.choice == Choice::Fail);
                let good = pass.is_some_and(|outcome| self.world.is_true_of(outcome));
                let bad = fail.is_some_and(|outcome| self.world.is_true_of(outcome));
                match (reading.range.is_some(), good, bad) {
                    (true, true, true) if self.random.percent(30) => {
                        Input::Reading(super::bad_reading(&reading))
                    }
                    (true, true, _) => Input::Reading(good_reading(&reading)),
                    (_, _, true) => Input::Reading(super::bad_reading(&reading)),
                    _ => self.stop(),
                }
            }
            (Prompt::Answer { answers, .. }, _) => self.question(live, &answers),
            (Prompt::Item(items), _) => Input::Item(self.random.pick(&items).clone()),
            (Prompt::Wait(timer), Stage::Wait { until, .. }) => {
                match until.filter(|_| walk.timer_has_run()) {
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
                }
            }
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

    pub(super) fn stop(&mut self) -> Input {
        self.note("nothing else");
        Input::Stop("nothing else is left".to_owned())
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
                answer
                    .split(&words)
                    .nth(1)
                    .is_none_or(|rest| rest.split(", the ").next() == Some(&*self.world.word(var)))
            });
            outcome.is_some_and(|outcome| self.world.is_true_of(outcome)) && with
        };
        let fitting: Vec<&String> = answers.iter().filter(|answer| is_true(answer)).collect();
        if fitting.is_empty() {
            return self.stop();
        }
        Input::Answer((*self.random.pick(&fitting)).clone())
    }
}

/// The answers of the step here, as authored.
pub(super) fn answers_at(walk: &walk::Walk) -> Vec<String> {
    let answers = walk.step().into_iter().flat_map(|step| step.kind.answers());
    answers.map(|(answer, _)| answer.to_owned()).collect()
}

/// The way of an answer, whatever else is said with it.
pub(super) fn number_of(answers: &[String], answer: &str) -> Choice {
    let number = answers.iter().position(|base| answer.starts_with(base.as_str()));
    Choice::Answer(number.unwrap_or_default() as u32)
}
