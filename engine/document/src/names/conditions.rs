//! The facts of a condition: values, normal, question, who sees it, lapse, settling and lost evidence.

use super::figures::Passing;
use super::scope::Scope;
use crate::codes::{N14, N15, N16};
use crate::diagnostic::Diagnostic;
use crate::model::{Ask, Condition, Lapse, Name, SeenBy, Stated, While};
use crate::places::pointer;
use calc::quantity::Duration;
use std::collections::BTreeSet;

impl Scope<'_> {
    /// The facts of one condition agree with each other.
    pub(super) fn condition(&mut self, name: &Name, condition: &Condition) {
        let at = pointer("/conditions", name);
        let declared = self.at(&format!("{at}/values"));
        let known = &condition.values;
        let mut seen = BTreeSet::new();
        for (index, value) in known.iter().enumerate() {
            if !seen.insert(value) {
                let place = self.at(&format!("{at}/values/{index}"));
                self.tell(
                    Diagnostic::error(
                        N14,
                        place,
                        format!("the condition `{name}` has the value `{value}` twice"),
                    )
                    .help("delete one"),
                );
            }
        }
        self.untold_values(name, condition);
        if let Some(normal) = &condition.normal {
            self.value(name, normal, self.at(&format!("{at}/normal")), known, declared);
        }
        if let Some(Ask::ByValue(questions)) = &condition.ask {
            for value in questions.keys() {
                let place = self.at_key(&pointer(&format!("{at}/ask"), value));
                self.value(name, value, place, known, declared);
            }
        }
        if let Some(settles) = &condition.settles {
            let at = format!("{at}/settles");
            self.value(name, &settles.from, self.at(&format!("{at}/from")), known, declared);
            self.value(name, &settles.to, self.at(&format!("{at}/to")), known, declared);
            if settles.from == settles.to {
                self.tell(
                    Diagnostic::error(
                        N14,
                        self.at(&format!("{at}/to")),
                        format!("`{name}` settles from `{}` to itself", settles.to),
                    )
                    .help("name the value that takes its place"),
                );
            }
            let after = format!("{at}/after");
            if let Some(length) = self.time(&after, &settles.after) {
                self.passes(&after, length, Passing::Settling);
            }
            if let Some(holds) = settles.holds.as_ref().and_then(While::cube) {
                self.cube(&at, "while", holds);
                if holds.contains_key(name) {
                    let place = self.at_key(&pointer(&format!("{at}/while"), name));
                    self.tell(
                        Diagnostic::error(
                            N14,
                            place,
                            format!("the time of `{name}` cannot hang on `{name}` itself"),
                        )
                        .help("name the condition that has to hold for the time to count"),
                    );
                }
            }
        }
        self.seeing(&at, name, condition);
        if let Some(Lapse(time)) = &condition.lapses {
            self.lapse(&format!("{at}/lapses"), time);
        }
        let listed = self.is_list(&format!("{at}/lost_when"));
        for (index, lost) in condition.lost_when.iter().enumerate() {
            let key = if listed { format!("lost_when/{index}") } else { "lost_when".to_owned() };
            self.cube(&at, &key, lost);
            if lost.contains_key(name) {
                let place = self.at_key(&pointer(&format!("{at}/{key}"), name));
                self.tell(
                    Diagnostic::error(
                        N15,
                        place,
                        format!("the evidence for `{name}` cannot be lost by `{name}` itself"),
                    )
                    .help("name the condition whose change spoils the evidence"),
                );
            }
        }
    }

    /// Who sees a condition and when do not contradict each other.
    fn seeing(&mut self, at: &str, name: &Name, condition: &Condition) {
        self.cube(at, "seen_when", &condition.seen_when);
        if condition.seen_when.contains_key(name) {
            let place = self.at_key(&pointer(&format!("{at}/seen_when"), name));
            self.tell(
                Diagnostic::error(
                    N14,
                    place,
                    format!("when `{name}` can be seen cannot hang on `{name}` itself"),
                )
                .help("name the condition that covers it"),
            );
        }
        for cover in condition.seen_when.keys().filter(|cover| *cover != name) {
            let known = self.equipment.model.conditions.get(cover);
            if known.is_some_and(|known| known.seen_by() == SeenBy::Nobody) {
                let place = self.at_key(&pointer(&format!("{at}/seen_when"), cover));
                let message =
                    format!("nobody sees `{cover}`, so nobody can tell when `{name}` is to be seen");
                self.tell(
                    Diagnostic::error(N14, place, message)
                        .note(self.at_key(&pointer("/conditions", cover)), "nobody sees it")
                        .help("name a condition that can be looked at"),
                );
            }
        }
        let seen = [("ask", condition.ask.is_some()), ("seen_when", !condition.seen_when.is_empty())];
        if condition.seen_by == Some(SeenBy::Nobody)
            && let Some((key, _)) = seen.into_iter().find(|(_, written)| *written)
        {
            let place = self.at(&format!("{at}/seen_by"));
            self.tell(
                Diagnostic::error(
                    N14,
                    place,
                    format!("nobody sees `{name}`, and `{key}` says how it is seen"),
                )
                .note(self.at_key(&format!("{at}/{key}")), "this says how")
                .help("delete one of the two"),
            );
        }
    }

    /// How long a look counts.
    fn lapse(&mut self, at: &str, time: &Stated<Duration>) {
        match time.read() {
            Ok(length) => self.passes(at, *length, Passing::Lapse),
            Err(error) => {
                let (message, help) = match calc::nearest(time.text(), ["handover"]) {
                    Some(_) => (
                        "after a handover everything is looked at again: `lapses` does not say so any more, it takes a time alone"
                            .to_owned(),
                        "delete the key, or write a time such as `15 min`",
                    ),
                    None => (format!("`lapses` is a time: {error}"), "write a time such as `15 min`"),
                };
                self.tell(Diagnostic::error(N16, self.at(at), message).help(help));
            }
        }
    }
}
