//! Groups of fasteners are described as their layout needs.

use super::declared::Thing;
use super::scope::Scope;
use crate::codes::N19;
use crate::diagnostic::Diagnostic;
use crate::model::{Fasten, Fasteners, LayoutKind, Name, Pass};
use crate::places::pointer;
use crate::tightening::{TighteningError, tightening};
use calc::pattern::PatternError;
use calc::quantity::Dimension;

impl Scope<'_> {
    /// A group of the equipment.
    pub(super) fn fasteners(&mut self, name: &Name, group: &Fasteners) {
        let at = pointer("/fasteners", name);
        let (layout, counted) = match group.layout {
            LayoutKind::Line => ("line", true),
            LayoutKind::Circle => ("circle", true),
            LayoutKind::Grid => ("grid", false),
        };
        for (key, number, wanted) in [
            ("count", group.count, counted),
            ("rows", group.rows, !counted),
            ("columns", group.columns, !counted),
        ] {
            let at_field = format!("{at}/{key}");
            match (number, wanted) {
                (None, true) => {
                    let place = self.at(&format!("{at}/layout"));
                    self.tell(
                        Diagnostic::error(
                            N19,
                            place,
                            format!("the group `{name}` lies in a {layout} and has no `{key}`"),
                        )
                        .help(format!("add `{key}:`")),
                    );
                }
                (Some(_), false) => self.tell(
                    Diagnostic::error(
                        N19,
                        self.at_key(&at_field),
                        format!("`{key}` has no meaning for a {layout}"),
                    )
                    .help("delete it, or change `layout`"),
                ),
                _ => {}
            }
        }
        let pitch = group
            .pitch
            .as_ref()
            .map(|pitch| self.quantity(&format!("{at}/pitch"), pitch, &[Dimension::Length]));
        // What is missing and what is no length is told already.
        if pitch != Some(None)
            && let Err(TighteningError::Pattern(error)) = tightening(group)
        {
            let key = match (&error, counted) {
                (PatternError::Count { .. }, true) => "count",
                (PatternError::Count { .. }, false) => "rows",
                (PatternError::Place { .. }, _) => "pitch",
                _ => "order",
            };
            self.tell(Diagnostic::error(N19, self.at(&format!("{at}/{key}")), error.to_string()));
        }
        if let Some(torque) = &group.torque {
            self.quantity(&format!("{at}/torque"), torque, &[Dimension::Torque]);
        }
    }

    /// A pass over a group: it is there, and has a torque if it is tightened to one.
    pub(super) fn fasten(&mut self, at: &str, fasten: &Fasten) {
        self.declared(at, "fasteners", &fasten.fasteners, Thing::Fasteners);
        let Some(group) = self.equipment.model.fasteners.get(&fasten.fasteners) else { return };
        if fasten.pass == Pass::Tighten && group.torque.is_none() {
            let name = &fasten.fasteners;
            let finding = Diagnostic::error(
                N19,
                self.at(&format!("{at}/pass")),
                format!("the group `{name}` has no torque to tighten to"),
            )
            .note(self.equipment.key_place(&pointer("/fasteners", name)), "the group")
            .help("add `torque:` to the group, or seat it with `pass: seat`");
            self.tell(finding);
        }
    }
}
