//! The facts of a condition: values, normal, question, lapse, settling and lost evidence.

use super::figures::Passing;
use super::scope::Scope;
use crate::codes::{N14, N15, N16};
use crate::diagnostic::Diagnostic;
use crate::model::{Ask, Condition, Lapse, Name, Stated};
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
        }
        if let Some(Lapse::After(time)) = &condition.lapses {
            self.lapse(&format!("{at}/lapses"), time);
        }
        if let Some(lost) = &condition.lost_when {
            self.cube(&at, "lost_when", lost);
            if lost.contains_key(name) {
                let place = self.at_key(&pointer(&format!("{at}/lost_when"), name));
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

    /// How long a look counts.
    fn lapse(&mut self, at: &str, time: &Stated<Duration>) {
        match time.read() {
            Ok(length) => self.passes(at, *length, Passing::Lapse),
            Err(error) => {
                let help = match calc::nearest(time.text(), ["handover"]) {
                    Some(_) => "did you mean `handover`?",
                    None => "write `handover`, or a time such as `15 min`",
                };
                let message = format!("`lapses` is `handover` or a time: {error}");
                self.tell(Diagnostic::error(N16, self.at(at), message).help(help));
            }
        }
    }
}
