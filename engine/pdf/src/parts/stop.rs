//! What is done if something goes wrong, and how the machine is left where work stops.

use super::{Composer, GAP};
use crate::error::Error;
use crate::set::{Piece, Type};
use crate::stack::Stack;
use crate::tree::Role;
use card::page::{PlanLine, PlanLineKind, Stop, StopRow};
use card::prose::Prose;

/// How far what stands under an answer stands in, on wide paper and on narrow, and how often at most.
const UNDER: (f32, f32) = (16.0, 9.0);
const UNDER_MOST: usize = 6;

impl Composer {
    pub(super) fn trouble(&mut self, emergency: Option<&Prose>, stop: Option<&Stop>) -> Result<(), Error> {
        if emergency.is_none() && stop.is_none() {
            return Ok(());
        }
        self.part("If something goes wrong")?;
        let (kind, width) = (self.set.body(), self.width());
        if let Some(emergency) = emergency {
            let stack = self.set.prose(emergency, kind, width, self.section)?;
            self.push(GAP, stack);
        }
        let Some(all @ Stop { how, rows, looks, unseen, whole, cannot }) = stop else { return Ok(()) };
        if let Some(how) = how {
            self.heading("If work stops, do this first")?;
            self.paragraph(2.0, how)?;
        }
        for StopRow { at, lines, is_known: _ } in rows {
            let leaf = self.set.tree.add(self.section, Role::Paragraph);
            let stack = self.set.words(at, kind.strong(), width, leaf)?;
            self.push(GAP, stack.whole());
            self.keep_with_next();
            self.plan(lines)?;
        }
        self.heading(all.looks_head().trim_end_matches(':'))?;
        self.questions(looks)?;
        self.so_by_record(unseen)?;
        if let Some(whole) = whole {
            self.heading("The plan for the whole machine, whatever you find")?;
            self.plan(whole)?;
        }
        self.heading("Where the machine cannot be brought to rest")?;
        self.paragraph(2.0, cannot)
    }

    /// What nobody can look at then.
    pub(super) fn so_by_record(&mut self, parts: &[String]) -> Result<(), Error> {
        if parts.is_empty() {
            return Ok(());
        }
        self.paragraph(GAP, &format!("By record, and not to be looked at: {}.", parts.join("; ")))
    }

    /// The lines of a plan. What leads to a line is not parted from it.
    fn plan(&mut self, lines: &[PlanLine]) -> Result<(), Error> {
        let list = self.set.tree.add(self.section, Role::List(false));
        let (kind, width) = (self.set.body(), self.width());
        let each = if self.set.format.narrow { UNDER.1 } else { UNDER.0 };
        for (at, PlanLine { depth, kind: of, text }) in lines.iter().enumerate() {
            let has_answers = lines.get(at + 1).is_some_and(|next| next.kind == PlanLineKind::If);
            let under = each * (*depth).min(UNDER_MOST) as f32;
            let (stack, leads) = match of {
                PlanLineKind::Tick => (self.set.ticked(text, kind, width - under, list)?, has_answers),
                PlanLineKind::If | PlanLineKind::Warning => {
                    (self.plan_words(text, kind.strong(), width - under, list)?, true)
                }
                PlanLineKind::Aside => (self.plan_words(text, kind, width - under, list)?, true),
                PlanLineKind::End => (self.plan_words(text, kind.strong(), width - under, list)?, false),
            };
            self.push(2.0, stack.right(under));
            if leads {
                self.keep_with_next();
            }
        }
        Ok(())
    }

    fn plan_words(
        &mut self,
        text: &str,
        kind: Type,
        width: f32,
        list: crate::tree::NodeId,
    ) -> Result<Stack, Error> {
        let item = self.set.tree.add(list, Role::Item);
        let body = self.set.tree.add(item, Role::Body);
        Ok(self.set.text(&[Piece::plain(text)], kind, width, Some(body))?.whole())
    }
}
