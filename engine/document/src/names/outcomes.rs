//! What can come of a step: failure, answers, a group's end.

use super::routes::Routes;
use crate::codes::{N11, N12, N13};
use crate::diagnostic::Diagnostic;
use crate::model::{Kind, Step};

/// How many items a group in any order may have: one has no order to choose, and the states to prove double with
/// each item.
const GROUP: std::ops::RangeInclusive<usize> = 2..=20;

impl Routes<'_> {
    /// A step that can fail says where that leads. An act fails where whoever verifies it denies it, and may say so; another
    /// step has nothing to say.
    pub(super) fn otherwise(&mut self, at: &str, step: &Step) {
        match (step.kind.failure(), &step.common.otherwise) {
            (Some(when), None) => {
                let place = self.key(&format!("{at}/{}", step.kind.main_key()));
                self.tell(
                    Diagnostic::error(
                        N11,
                        place,
                        format!("step `{}` does not say where to go when {when}", step.common.id),
                    )
                    .help("add `otherwise:` with the name of a step, or `stop`"),
                );
            }
            (None, Some(_)) if !self.may_be_denied(step) => {
                let place = self.key(&format!("{at}/otherwise"));
                self.tell(
                    Diagnostic::error(
                        N11,
                        place,
                        format!("`otherwise` has no meaning here: step `{}` cannot fail", step.common.id),
                    )
                    .help("delete it, make the step a `confirm`, or let somebody verify the act with `verified_by`"),
                );
            }
            (Some(_), Some(_)) | (None, _) => {}
        }
    }

    /// Whether somebody verifies the act, as far as that can be told.
    fn may_be_denied(&self, step: &Step) -> bool {
        match &step.kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => {
                step.common.verified_by.is_some()
                    || self.equipment.is_none_or(|equipment| equipment.verifying_role(step).is_some())
            }
            Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => false,
        }
    }

    /// A question has answers, at least two, and only a question has.
    pub(super) fn answers(&mut self, at: &str, step: &Step) {
        let question = if let Kind::Ask(question) = &step.kind { Some(question) } else { None };
        if let Some(question) = question {
            self.untold_answers(at, step, question);
        }
        // The model has answers in questions alone; whether the key is there, the document says.
        let written = self.written(&format!("{at}/answers"));
        match (question, written) {
            (Some(question), Some(place)) if question.answers.len() < 2 => {
                self.tell(
                    Diagnostic::error(
                        N12,
                        place,
                        format!("the question of step `{}` has fewer than two answers", step.common.id),
                    )
                    .help("give every answer a person may find, or make the step a `confirm`"),
                );
            }
            (None, Some(place)) => {
                self.tell(
                    Diagnostic::error(
                        N12,
                        place,
                        format!("`answers` has no meaning here: step `{}` asks nothing", step.common.id),
                    )
                    .help("delete it, or ask with `ask`"),
                );
            }
            (Some(_), None) => {
                let place = self.key(&format!("{at}/ask"));
                self.tell(
                    Diagnostic::error(
                        N12,
                        place,
                        format!("step `{}` does not say where its answers lead", step.common.id),
                    )
                    .help("add `answers:` with a step for each, such as `{ yes: next-step, no: stop }`"),
                );
            }
            (Some(_), Some(_)) | (None, None) => {}
        }
        if question.is_some() && step.common.then.is_some() {
            let place = self.key(&format!("{at}/then"));
            self.tell(
                Diagnostic::error(
                    N12,
                    place,
                    format!(
                        "`then` has no meaning here: the answers of step `{}` say where to go",
                        step.common.id
                    ),
                )
                .help("delete it"),
            );
        }
    }

    pub(super) fn group(&mut self, at: &str, step: &Step, items: &[Step], outer: Option<&str>) {
        let place = self.key(&format!("{at}/any_order"));
        if let Some(outer) = outer {
            let message = format!(
                "the group `{}` is inside the group `{outer}`: nobody could tell which items of which are left",
                step.common.id
            );
            self.tell(
                Diagnostic::error(N13, place, message)
                    .help("put the items into one group, or the inner group after it"),
            );
        }
        if !GROUP.contains(&items.len()) {
            self.tell(
                Diagnostic::error(
                    N13,
                    place,
                    format!(
                        "a group in any order has {} to {} items; this one has {}",
                        GROUP.start(),
                        GROUP.end(),
                        items.len()
                    ),
                )
                .help("write a single item as a step, and split a large group"),
            );
        }
    }
}
