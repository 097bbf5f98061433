//! Groups of fasteners are described as their layout needs.

use super::declared::Thing;
use super::scope::Scope;
use crate::codes::{F01, F02, F03, F04, N19};
use crate::diagnostic::Diagnostic;
use crate::model::{Fasten, Fasteners, LayoutKind, Name, Pass, Stated, TighteningOrder};
use crate::places::pointer;
use crate::tightening::{TighteningError, layout, tightening};
use calc::pattern::PatternError;
use calc::quantity::{Dimension, Quantity, Unit};

/// How people call a layout, and the keys it needs and may have beside `count`.
fn keys_of(layout: LayoutKind) -> (&'static str, &'static [&'static str], &'static [&'static str]) {
    match layout {
        LayoutKind::Line => ("line", &["count"], &["pitch"]),
        LayoutKind::Circle => ("circle", &["count"], &["diameter"]),
        LayoutKind::Grid => ("grid", &["rows", "columns"], &["pitch", "row_pitch"]),
        LayoutKind::Edge => ("edge", &["rows", "columns"], &["pitch", "row_pitch"]),
        LayoutKind::Free => ("free layout", &["positions"], &[]),
    }
}

impl Scope<'_> {
    /// A group of the equipment.
    pub(super) fn fasteners(&mut self, name: &Name, group: &Fasteners) {
        let at = pointer("/fasteners", name);
        self.keys(&at, name, group);
        let figures = self.distances(&at, group);
        // What is missing and what is no length is told already.
        let ordered = figures && self.order(&at, group);
        if let Some(torque) = &group.torque {
            self.quantity(&format!("{at}/torque"), torque, &[Dimension::Torque]);
        }
        self.stages(&at, group);
        // An order that is none needs another mend first.
        if ordered {
            self.final_pass(&at, group);
        }
    }

    fn keys(&mut self, at: &str, name: &Name, group: &Fasteners) {
        let (layout, needed, allowed) = keys_of(group.layout);
        for (key, is_there) in [
            ("count", group.count.is_some()),
            ("rows", group.rows.is_some()),
            ("columns", group.columns.is_some()),
            ("pitch", group.pitch.is_some()),
            ("row_pitch", group.row_pitch.is_some()),
            ("diameter", group.diameter.is_some()),
            ("positions", group.positions.is_some()),
        ] {
            if needed.contains(&key) {
                if !is_there {
                    let message = format!("the group `{name}` lies in a {layout} and has no `{key}`");
                    let place = self.at(&format!("{at}/layout"));
                    self.tell(Diagnostic::error(N19, place, message).help(format!("add `{key}:`")));
                }
            } else if is_there && key != "count" && !allowed.contains(&key) {
                let message = format!("`{key}` has no meaning for a {layout}");
                let place = self.at_key(&format!("{at}/{key}"));
                self.tell(Diagnostic::error(N19, place, message).help("delete it, or change `layout`"));
            }
        }
    }

    /// Whether every distance is a length; what is none is told.
    fn distances(&mut self, at: &str, group: &Fasteners) -> bool {
        let single =
            [("pitch", &group.pitch), ("row_pitch", &group.row_pitch), ("diameter", &group.diameter)];
        let mut lengths: Vec<(String, &Stated<Quantity>)> = single
            .into_iter()
            .filter_map(|(key, length)| length.as_ref().map(|length| (format!("{at}/{key}"), length)))
            .collect();
        for (index, place) in group.positions.iter().flatten().enumerate() {
            let at = pointer(&format!("{at}/positions"), index);
            lengths.extend([(format!("{at}/x"), &place.x), (format!("{at}/y"), &place.y)]);
        }
        let mut all = true;
        for (at, length) in lengths {
            all &= self.quantity(&at, length, &[Dimension::Length]).is_some();
        }
        all
    }

    /// Whether the group has an order; what stands against it is told.
    fn order(&mut self, at: &str, group: &Fasteners) -> bool {
        let (_, needed, _) = keys_of(group.layout);
        let places = layout(group).and_then(|layout| layout.positions().map_err(TighteningError::Pattern));
        let found = match places {
            Ok(places) => {
                if let Some(count) = group.count
                    && usize::try_from(count) != Ok(places.len())
                {
                    let message = format!("there are {} places for {count} fasteners", places.len());
                    let place = self.at(&format!("{at}/count"));
                    self.tell(Diagnostic::error(F02, place, message).help(format!(
                        "count them on the machine: write `count: {}`, or mend the places",
                        places.len()
                    )));
                }
                tightening(group).map(|_| ())
            }
            Err(error) => Err(error),
        };
        match found {
            Ok(()) => return true,
            Err(TighteningError::Sequence(error)) => self.sequence(at, group, &error),
            Err(TighteningError::Missing("sequence")) => {
                let place = self.at(&format!("{at}/order"));
                let message = "the order is to be written out, and there is no `sequence`";
                self.tell(Diagnostic::error(N19, place, message).help("add `sequence:`"));
            }
            // Told with the keys or with the figures.
            Err(TighteningError::Missing(_) | TighteningError::Figure(_)) => {}
            Err(TighteningError::Pattern(error)) => {
                let key = match error {
                    PatternError::Count { .. } | PatternError::SamePlace { .. } => needed[0],
                    PatternError::Unsuited { .. }
                        if layout(group).is_ok_and(|layout| layout.positions().is_err()) =>
                    {
                        needed[0]
                    }
                    PatternError::Place { .. } if group.layout == LayoutKind::Circle => "diameter",
                    PatternError::Place { .. } if group.layout == LayoutKind::Free => "positions",
                    PatternError::Place { .. } => "pitch",
                    PatternError::Unsuited { .. }
                    | PatternError::NoSuchFastener { .. }
                    | PatternError::Twice { .. }
                    | PatternError::LeftOut { .. }
                    | PatternError::Breaks { .. } => "order",
                };
                self.tell(Diagnostic::error(N19, self.at(&format!("{at}/{key}")), error.to_string()));
            }
        }
        false
    }

    /// A written order that is none, or breaks its rule: it points at the first fastener that is wrong.
    fn sequence(&mut self, at: &str, group: &Fasteners, error: &PatternError) {
        let written = group.sequence.as_deref().unwrap_or_default();
        let number = |fastener: usize| u32::try_from(fastener).ok();
        let index = match *error {
            PatternError::Breaks { turn, .. } => Some(turn - 1),
            PatternError::NoSuchFastener { fastener, .. } => {
                written.iter().position(|&one| Some(one) == number(fastener))
            }
            PatternError::Twice { fastener } => {
                written.iter().rposition(|&one| Some(one) == number(fastener))
            }
            PatternError::Count { .. }
            | PatternError::Place { .. }
            | PatternError::SamePlace { .. }
            | PatternError::Unsuited { .. }
            | PatternError::LeftOut { .. } => None,
        };
        let at = format!("{at}/sequence");
        let place = self.at(&index.map_or_else(|| at.clone(), |index| pointer(&at, index)));
        let finding = Diagnostic::error(F01, place, error.to_string());
        let help = match error {
            PatternError::Breaks { .. } if group.order != TighteningOrder::Authored => {
                "delete `sequence:` to have the order worked out, or write `order: authored` if the maker's order is to \
                 be kept as it is"
            }
            PatternError::Breaks { .. }
            | PatternError::Count { .. }
            | PatternError::Place { .. }
            | PatternError::SamePlace { .. }
            | PatternError::Unsuited { .. }
            | PatternError::NoSuchFastener { .. }
            | PatternError::Twice { .. }
            | PatternError::LeftOut { .. } => "name every fastener once",
        };
        self.tell(finding.help(help));
    }

    /// Stages rise to 100 %.
    fn stages(&mut self, at: &str, group: &Fasteners) {
        let percent = |quantity: &Quantity| Unit::parse("%").and_then(|unit| quantity.value_in(unit)).ok();
        let mut before = 0.0;
        let mut last_place = None;
        for (index, stage) in group.stages.iter().flatten().enumerate() {
            let at = pointer(&format!("{at}/stages"), index);
            let Some(share) = self.quantity(&at, stage, &[Dimension::Fraction]).and_then(percent) else {
                return;
            };
            if share <= before || share > 100.0 {
                let message =
                    format!("the stage of {} does not rise above the one before, up to 100 %", stage.text());
                self.tell(
                    Diagnostic::error(F03, self.at(&at), message)
                        .help("write the stages rising, such as `[30 %, 60 %, 100 %]`"),
                );
                return;
            }
            before = share;
            last_place = Some(at);
        }
        if group.stages.is_some() && before < 100.0 {
            let place = self.at(&last_place.unwrap_or_else(|| format!("{at}/stages")));
            let message = "the last stage is not the full torque";
            self.tell(Diagnostic::error(F03, place, message).help("end the stages with `100 %`"));
        }
        for (key, is_there) in
            [("stages", group.stages.is_some()), ("final_pass", group.final_pass.is_some())]
        {
            if is_there && group.torque.is_none() {
                let place = self.at_key(&format!("{at}/{key}"));
                let message = format!("`{key}` has no meaning without a torque");
                self.tell(Diagnostic::error(N19, place, message).help("add `torque:`, or delete it"));
            }
        }
    }

    /// What is tightened crosswise is gone over at the end: each fastener that is tightened takes load off its neighbours.
    fn final_pass(&mut self, at: &str, group: &Fasteners) {
        if group.order == TighteningOrder::Crosswise && group.torque.is_some() && group.final_pass.is_none() {
            let place = self.at(&format!("{at}/order"));
            let message = "the group is tightened crosswise and has no final pass";
            self.tell(Diagnostic::warning(F04, place, message).help(
                "add `final_pass: true`: round in turn at the full torque until none moves; or `final_pass: false`, if \
                 the maker wants none",
            ));
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
