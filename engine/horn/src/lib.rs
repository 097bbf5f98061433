//! A compiled procedure as constrained Horn clauses in SMT-LIB 2, for any solver to judge.
//!
//! What the clauses say, how they are run and what is not in them is in `HORN.md`. They are made from the form alone, by what `form`'s
//! `FORM.md` says that it means.

mod change;
mod clock;
mod effect;
mod merge;
mod moves;
mod record;
mod slice;
mod system;
mod term;
mod write;

use std::collections::BTreeSet;

use form::Form;

use crate::moves::Topic;
use crate::record::Context;

/// The form as clauses: every `(check-sat)` has to answer `sat`.
///
/// The same form gives the same bytes.
pub fn smt2(form: &Form) -> String {
    let mut context = Context::new(form);
    let system = context.system();
    let stations = system.stations.iter().flat_map(|station| &station.faults);
    let topics: BTreeSet<Topic> = stations.chain(&system.start.faults).map(|fault| fault.topic).collect();
    let mut texts = Vec::new();
    let mut known = BTreeSet::new();
    for topic in topics {
        let Some(mut slice) = slice::slice(&mut context, &system, topic) else { continue };
        slice.merge(&mut context);
        let clauses = write::write(&context, &slice);
        if known.insert(clauses.clone()) {
            texts.push(format!("; {}\n{clauses}", topic.title(form)));
        }
    }
    if texts.is_empty() {
        texts.push("; nothing that could be violated\n(set-logic HORN)\n(check-sat)\n".to_string());
    }
    texts.join("(reset)\n")
}

impl Topic {
    /// What is written above its clauses: text of the form, in one line.
    fn title(self, form: &Form) -> String {
        let line = |text: &str| text.replace(|letter: char| letter.is_control(), " ");
        match self {
            Topic::Var(var) => format!("variable {var}: {}", line(&form.vars[var as usize].name)),
            Topic::Rule(rule) => format!("rule {rule}: {}", line(&form.rules[rule as usize].name)),
            Topic::Duty => "acts that are owed to rules found broken".to_string(),
        }
    }
}
