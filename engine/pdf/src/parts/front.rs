//! What stands before the steps.

use super::{Composer, GAP};
use crate::error::Error;
use crate::fields::Part;
use crate::set::{Face, Piece, Type};
use crate::stack::{Fill, Stack, Tone};
use crate::tree::Role;
use crate::widgets::slanted;
use card::page::{Before, Identity, Listing, NOT_BY_HAND, Person, Question, Variant, Warning, WorkType};
use card::prose::Prose;

/// Room for the names of facts.
const NAMES: f32 = 84.0;

impl Composer {
    pub(super) fn identity(&mut self, identity: &Identity) -> Result<(), Error> {
        "the head of the card".clone_into(&mut self.set.place);
        let width = self.width();
        let narrow = self.set.format.narrow;
        let leaf = self.set.tree.add(self.section, Role::Heading(1, identity.title.clone()));
        let kind = Type { size: if narrow { 17.0 } else { 23.0 }, face: Face::Strong, tone: Tone::Black };
        let mut stack = self.set.words(&identity.title, kind, width, leaf)?;
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let (tone, fill) =
            if identity.approved { (Tone::Black, Fill::None) } else { (Tone::White, Fill::Black) };
        let kind = Type { size: 12.0, face: Face::Strong, tone };
        let standing = self.set.lines(&[Piece::plain(&identity.standing)], kind, width - 16.0)?;
        let wide = standing.iter().map(|line| line.end).fold(0.0, f32::max);
        let standing = crate::set::stack(&standing, Some(leaf)).right(8.0);
        stack.push_after(5.0, standing.framed(0.0, wide + 16.0, 2.5, 1.2, fill));
        self.push(0.0, stack.whole());
        let facts = self.facts(identity)?;
        self.push(8.0, facts);
        self.mark(identity)
    }

    fn facts(&mut self, identity: &Identity) -> Result<Stack, Error> {
        // The title and whether it is approved stand above the facts, the mark and its code below.
        let Identity {
            title: _,
            id,
            revision,
            effective,
            author,
            equipment,
            equipment_id,
            equipment_revision,
            machine,
            content,
            standing: _,
            approved: _,
            mark: _,
            code: _,
        } = identity;
        let width = self.width();
        let list = self.set.tree.add(self.section, Role::List(false));
        let narrow = self.set.format.narrow;
        let room = if narrow { 62.0 } else { NAMES };
        let kind = self.set.body();
        let not_stated = || "not stated".to_owned();
        let pairs = [
            ("Procedure", id.clone()),
            ("Revision", revision.to_string()),
            ("Effective", effective.clone().unwrap_or_else(not_stated)),
            ("Author", author.clone().unwrap_or_else(not_stated)),
        ];
        let across = if narrow { 1 } else { 2 };
        let each = width / across as f32;
        let mut items = Vec::new();
        for (name, text) in &pairs {
            items.push(self.set.fact(name, &[Piece::plain(text)], kind.strong(), room, each - 8.0, list)?);
        }
        let mut all = self.set.columns(items, across, width, 1.5);
        let equipment = format!("{equipment} ({equipment_id}, revision {equipment_revision})");
        let machine = machine.as_ref().map(|machine| ("Made for", machine));
        let pairs = [("Equipment", &equipment)].into_iter().chain(machine).chain([("Content", content)]);
        for (name, text) in pairs {
            all.push_after(1.5, self.set.fact(name, &[Piece::plain(text)], kind, room, width, list)?);
        }
        let (name, body) = self.set.named("Serial no.", room, list)?;
        let blank =
            self.set.fields(&[vec![Part::Blank(80.0, "the serial number")]], kind, width - room, body)?;
        all.push(Stack::beside(vec![name, blank.right(room)]));
        Ok(all.whole())
    }

    pub(super) fn about(
        &mut self,
        [purpose, scope]: [&Prose; 2],
        people: &[Person],
        time: &str,
        level_of_use: &str,
    ) -> Result<(), Error> {
        self.part("About this procedure")?;
        let width = self.width();
        let room = if self.set.format.narrow { 62.0 } else { NAMES };
        let kind = self.set.body();
        let list = self.set.tree.add(self.section, Role::List(false));
        for (name, prose) in [("Purpose", purpose), ("Scope", scope)] {
            let (label, body) = self.set.named(name, room, list)?;
            let text = self.set.prose(prose, kind, width - room, body)?;
            self.push(3.0, Stack::beside(vec![label, text.right(room)]));
        }
        for (at, Person { count, role, must_be }) in people.iter().enumerate() {
            let must_be = must_be.as_deref().map(|text| format!(": {text}")).unwrap_or_default();
            let who = [Piece::strong(format!("{count} × {role}")), Piece::plain(must_be)];
            let fact = self.set.fact(if at == 0 { "People" } else { "" }, &who, kind, room, width, list)?;
            self.push(3.0, fact);
        }
        for (name, text) in [("Time", format!("About {time}")), ("Level of use", level_of_use.to_owned())] {
            let fact = self.set.fact(name, &[Piece::plain(text)], kind, room, width, list)?;
            self.push(3.0, fact);
        }
        Ok(())
    }

    pub(super) fn needs(&mut self, needs: &[Listing]) -> Result<(), Error> {
        self.part("Have at hand")?;
        let across = if self.set.format.narrow { 1 } else { 2 };
        let width = self.width();
        let each = width / across as f32 - if across > 1 { 12.0 } else { 0.0 };
        let kind = self.set.body();
        let mut lists = Vec::new();
        for Listing { title, items: things } in needs {
            let leaf = self.set.tree.add(self.section, Role::Heading(3, title.clone()));
            let head = Type { size: 12.0, face: Face::Strong, tone: Tone::Black };
            let mut stack = self.set.words(title, head, each, leaf)?;
            let items = if things.is_empty() {
                let leaf = self.set.tree.add(self.section, Role::Paragraph);
                self.set.text(&[slanted("None")], kind, each, Some(leaf))?
            } else {
                let node = self.set.tree.add(self.section, Role::List(false));
                let mut items = Stack::default();
                for item in things {
                    items.push_after(2.0, self.set.ticked(item, kind, each, node)?);
                }
                items
            };
            if let Some(last) = stack.strips.last_mut() {
                last.glued = true;
            }
            stack.push(items);
            lists.push(stack);
        }
        if across == 1 {
            for list in lists {
                self.push(GAP, list);
            }
        } else {
            // Two lists side by side are read one after the other.
            let mut lists = lists.into_iter();
            while let Some(left) = lists.next() {
                let mut row = vec![left];
                row.extend(lists.next().map(|right| right.right(width / 2.0)));
                self.push(GAP, Stack::beside(row));
            }
        }
        Ok(())
    }

    pub(super) fn hazards(&mut self, hazards: &[Warning]) -> Result<(), Error> {
        self.part("Hazards")?;
        if hazards.is_empty() {
            return self.paragraph(GAP, "None stated");
        }
        let width = self.width();
        let from = self.groups.len();
        for hazard in hazards {
            let stack = self.set.warning(hazard, false, width, self.section)?;
            self.push(GAP, stack);
        }
        self.two_together(from);
        Ok(())
    }

    pub(super) fn work(&mut self, work: &[WorkType]) -> Result<(), Error> {
        if work.is_empty() {
            return Ok(());
        }
        self.part("Types of work")?;
        self.paragraph(GAP, "A step that names a type of work needs all that stands beside it here.")?;
        self.keep_with_next();
        let (width, kind) = (self.width(), self.set.body());
        for WorkType { name, needs, wear, people, hazard } in work {
            self.heading(&card::capital(name))?;
            let list = self.set.tree.add(self.section, Role::List(false));
            let mut all = Stack::default();
            let joined =
                |texts: &[String]| if texts.is_empty() { "none".to_owned() } else { texts.join("; ") };
            let hazard = hazard.clone().unwrap_or_else(|| "none".to_owned());
            let mut facts = vec![("Needs", joined(needs)), ("Wear", joined(wear)), ("Hazard", hazard)];
            if !people.is_empty() {
                facts.insert(2, ("People", joined(people)));
            }
            for (name, text) in facts {
                all.push_after(1.5, self.set.fact(name, &[Piece::plain(text)], kind, 50.0, width, list)?);
            }
            self.push(2.0, all);
        }
        Ok(())
    }

    pub(super) fn before(&mut self, before: &Before) -> Result<(), Error> {
        let Before { variants, questions, by_record, unseen, unknown } = before;
        self.part("Before you start")?;
        let (width, kind) = (self.width(), self.set.body());
        if !variants.is_empty() {
            self.heading("This machine: mark one of each")?;
        }
        for Variant { name, values } in variants {
            let mut row = vec![vec![Part::Text(format!("{name}:"))]];
            row.extend(values.iter().map(|value| vec![Part::Tick, Part::Text(value.clone())]));
            let leaf = self.set.tree.add(self.section, Role::Paragraph);
            let stack = self.set.tick_row(&row, kind, width, leaf)?.whole();
            self.push(1.0, stack);
        }
        if !questions.is_empty() {
            self.heading("Look at each: with any answer but the one shown, do not start")?;
            self.questions(questions)?;
        }
        if !by_record.is_empty() {
            self.heading("By record: read each in the last record of this machine; with any other answer, do not start")?;
            self.questions(by_record)?;
        }
        if !unseen.is_empty() {
            self.paragraph(GAP, &format!("{NOT_BY_HAND} {}.", unseen.join("; ")))?;
        }
        if !unknown.is_empty() {
            self.paragraph(GAP, &format!("May be one way or another at the start: {}.", unknown.join("; ")))?;
        }
        Ok(())
    }

    /// Questions, each kept whole.
    pub(super) fn questions(&mut self, questions: &[Question]) -> Result<(), Error> {
        let width = self.width();
        let list = self.set.tree.add(self.section, Role::List(false));
        let from = self.groups.len();
        for one in questions {
            let stack = self.set.question(one, width, list)?;
            self.push(3.0, stack);
        }
        self.two_together(from);
        Ok(())
    }
}
