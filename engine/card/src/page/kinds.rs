//! What belongs to each kind of step.

use super::pieces::Value;
use super::scope::{Scope, value_words};
use super::step::{Detail, Route};
use super::steps::{Routes, stop};
use crate::clean::clean_line;
use crate::count::{capital, count, joined};
use crate::prose::Prose;
use document::model::{Answer, Cube, Figure, Kind, Measure, Name, Repeat, Step, Wait};
use document::pointer;
use machine::step_number;

/// What more conditions than these may be instead is no sentence to be read at a machine (common practice, no source).
const OTHERWISE_MOST: usize = 3;

/// The move of a block that a look in it may bring about.
const AGAIN: &str = " Where one shows that what another did is not so any more, take the tick of that one back and do it again, once.";

/// When the way of an act that is not verified is taken.
const DENIED: &str = "If whoever verifies it finds that it is not so,";

/// Whether a look may be made in the course of a step.
fn may_look(step: &Step) -> bool {
    match &step.kind {
        Kind::Repeat(_) | Kind::Perform(_) => true,
        Kind::Ask(question) => question.answers.values().any(|answer| matches!(answer, Answer::Shows(_))),
        Kind::AnyOrder(items) => items.iter().any(may_look),
        Kind::Confirm(_)
        | Kind::Measure(_)
        | Kind::Wait(_)
        | Kind::Do(_)
        | Kind::Action(_)
        | Kind::Hold(_)
        | Kind::Fasten(_) => step.kind.looked_for().is_some_and(|cube| !cube.is_empty()),
    }
}

/// The part of a box that depends on the kind of its step.
pub(super) struct Body {
    pub(super) kind: Option<&'static str>,
    pub(super) text: Prose,
    pub(super) detail: Detail,
    pub(super) routes: Vec<Route>,
}

impl Body {
    fn new(kind: &'static str, text: Prose, detail: Detail) -> Self {
        Self { kind: Some(kind), text, detail, routes: Vec::new() }
    }

    /// Adds where a failure leads.
    fn or_else(mut self, routes: &Routes<'_>, step: &Step, when: String) -> Self {
        self.routes.extend(step.common.otherwise.as_ref().map(|target| routes.route(when, target)));
        self
    }
}

impl<'a> Scope<'a> {
    pub(super) fn body(&mut self, routes: &Routes<'a>, at: &str, step: &'a Step) -> Body {
        match &step.kind {
            Kind::Do(act) => Body {
                kind: None,
                text: self.text(&pointer(at, "do"), act),
                detail: Detail::Act,
                routes: Vec::new(),
            }
            .or_else(routes, step, DENIED.to_owned()),
            Kind::Action(name) => {
                Body { kind: None, text: self.act(name), detail: Detail::Act, routes: Vec::new() }.or_else(
                    routes,
                    step,
                    DENIED.to_owned(),
                )
            }
            Kind::Confirm(cube) => {
                let questions = self.questions(cube);
                let text = Prose::plain(if questions.len() == 1 {
                    "Look and confirm:"
                } else {
                    "Look and confirm each:"
                });
                let when = format!("If {},", self.otherwise(cube, "is"));
                Body::new("Confirm", text, Detail::Confirm { questions }).or_else(routes, step, when)
            }
            Kind::Measure(measure) => self.reading(at, measure).or_else(routes, step, outside(measure)),
            Kind::Wait(wait) => {
                let when = format!("If {} at the limit,", self.otherwise(&wait.until, "is still"));
                self.waiting(at, wait).or_else(routes, step, when)
            }
            Kind::Ask(question) => {
                let answers = question.answers.iter();
                let mut answers: Vec<Route> =
                    answers.map(|(answer, goes)| routes.route(clean_line(answer), goes.target())).collect();
                // Every question is a look, and none of its answers is "not so": who cannot tell has no way on.
                answers.push(stop("cannot tell"));
                let text = self.text(&pointer(at, "ask"), &question.text);
                Body::new("Decide", text, Detail::Ask { answers })
            }
            Kind::Hold(hold) => {
                let role = hold.released_by.words();
                let text = self.text(&format!("{at}/hold/check"), &hold.check);
                Body::new("Hold point", text, Detail::Hold { role })
            }
            Kind::Fasten(fasten) => {
                let (text, detail) = self.fastening(at, fasten);
                Body::new("Fasten", text, detail).or_else(routes, step, DENIED.to_owned())
            }
            Kind::AnyOrder(items) => {
                let again = if items.iter().any(may_look) { AGAIN } else { "" };
                let steps = count(items.len(), "step");
                let text = format!("Do these {steps} in any order, one at a time. Tick each.{again}");
                Body::new("Any order", Prose::plain(text), Detail::AnyOrder)
            }
            Kind::Repeat(repeat) => {
                let rounds = count(repeat.at_most as usize, "round");
                let when = format!("If {} after {rounds},", self.otherwise(&repeat.until, "is"));
                self.repeating(at, repeat).or_else(routes, step, when)
            }
            Kind::Perform(name) => Body::new("Perform", self.performing(name), Detail::Perform),
        }
    }

    /// What is seen where a look says otherwise: "the supply switch is live".
    fn otherwise(&self, asked: &Cube, is: &str) -> String {
        let parts = asked.iter().filter_map(|(name, values)| {
            let condition = self.machine().conditions.get(name)?;
            let rest = condition.values.iter().filter(|value| !values.0.contains(value));
            let rest: Vec<String> = rest.map(|value| value_words(value)).collect();
            (!rest.is_empty()).then(|| format!("the {} {is} {}", self.label(name), joined(&rest, "or")))
        });
        let parts: Vec<String> = parts.collect();
        match parts.len() {
            0 => "it is not so".to_owned(),
            1..=OTHERWISE_MOST => joined(&parts, "or"),
            _ => format!("one of these {is} otherwise"),
        }
    }

    fn act(&mut self, name: &Name) -> Prose {
        match self.machine().actions.get(name) {
            Some(action) => self.machine_text(&format!("{}/do", pointer("/actions", name)), &action.act),
            None => Prose::plain(capital(&name.words())),
        }
    }

    fn reading(&mut self, at: &str, measure: &'a Measure) -> Body {
        let text = self
            .text(&format!("{at}/measure/what"), &format!("Measure {}.", measure.what.trim_end_matches('.')));
        let mut limit = |key: &str, figure: &Option<Figure>| {
            figure.as_ref().map(|figure| self.figure(&format!("{at}/measure/{key}"), figure))
        };
        let range = range(limit("at_least", &measure.at_least), limit("at_most", &measure.at_most));
        let instrument = self.machine().instruments.get(&measure.instrument);
        let label = instrument.and_then(|known| known.label.as_deref());
        let label = capital(&label.map_or_else(|| measure.instrument.words(), clean_line));
        let instrument_words = match instrument {
            Some(known) => format!("{label}, shows {}", clean_line(known.resolution.text())),
            None => label,
        };
        let uncertainty = instrument.and_then(|known| known.uncertainty.as_ref()).map(|uncertainty| {
            let uncertainty = clean_line(uncertainty.text());
            format!("A reading closer than {uncertainty} to a limit does not count as inside.")
        });
        let detail = Detail::Measure {
            instrument: instrument_words,
            unit: instrument.map(|known| clean_line(known.unit.text())).unwrap_or_default(),
            range,
            uncertainty,
            readings: measure.retests.saturating_add(1).min(20),
        };
        Body::new("Reading", text, detail)
    }

    fn waiting(&mut self, at: &str, wait: &'a Wait) -> Body {
        let mut figure = |key: &str, figure: &Option<Figure>| {
            figure.as_ref().map(|figure| self.figure(&format!("{at}/wait/{key}"), figure))
        };
        let (time, limit) = (figure("for", &wait.time), figure("limit", &wait.limit));
        let mut text = match &time {
            Some(Value { one: Some(time), .. }) => format!("Wait for {time}."),
            Some(_) => "Wait for the time in the table.".to_owned(),
            None => "Wait until it is so.".to_owned(),
        };
        if let Some(why) = &wait.why {
            text = format!("{text} {why}");
        }
        let text = self.text(&format!("{at}/wait/why"), &text);
        Body::new("Wait", text, Detail::Wait { time, until: self.questions(&wait.until), limit })
    }

    fn repeating(&mut self, at: &str, repeat: &Repeat) -> Body {
        let (first, last) =
            (format!("{at}/repeat/steps/0"), format!("{at}/repeat/steps/{}", repeat.steps.len().max(1) - 1));
        let (first, last) = (step_number(&first), step_number(&last));
        let which = if first == last { format!("step {first}") } else { format!("steps {first} to {last}") };
        let rounds = count(repeat.at_most as usize, "round");
        let text = format!(
            "Do {which} in rounds, {rounds} at most. Mark each round. What ends them stands after step {last}."
        );
        let detail = Detail::Repeat { until: self.questions(&repeat.until), rounds: repeat.at_most };
        Body::new("Repeat", Prose::plain(text), detail)
    }

    fn performing(&self, name: &Name) -> Prose {
        let text = match self.library.procedures.get(name) {
            Some(document) => {
                let performed = &document.model;
                let title = clean_line(&performed.title);
                format!(
                    "Do the whole procedure “{title}” ({name}, revision {}) on its own card, then come back to this one.",
                    performed.revision
                )
            }
            None => format!("Do the whole procedure {name} on its own card, then come back to this one."),
        };
        Prose::plain(text)
    }
}

fn outside(measure: &Measure) -> String {
    match measure.retests {
        0 => "If it is not inside the range,".to_owned(),
        retests => format!("If it is not inside the range after {},", count(retests as usize, "retest")),
    }
}

/// Both limits as one value; limits that differ by variant stand in a table, lower and upper.
fn range(at_least: Option<Value>, at_most: Option<Value>) -> Value {
    let one = |value: &Option<Value>| value.as_ref().and_then(|value| value.one.clone());
    let table = |value: Option<Value>, words: &str| {
        value.and_then(|value| value.table).map(|mut table| {
            for cell in table.rows.iter_mut().flat_map(|row| &mut row.cells) {
                *cell = format!("{words} {cell}");
            }
            table
        })
    };
    let text = match (one(&at_least), one(&at_most)) {
        (Some(low), Some(high)) => Some(format!("{low} to {high}")),
        (Some(low), None) => Some(format!("at least {low}")),
        (None, Some(high)) => Some(format!("at most {high}")),
        (None, None) => None,
    };
    let (low, high) = (table(at_least, "at least"), table(at_most, "at most"));
    let table = match (low, high) {
        (Some(mut low), Some(high)) => {
            low.rows.extend(high.rows);
            Some(low)
        }
        (low, high) => low.or(high),
    };
    Value { one: text, table }
}
