//! What stands after the steps.

use super::{Composer, GAP};
use crate::error::Error;
use crate::fields::Part;
use crate::stack::Stack;
use crate::table::{Grid, cell};
use crate::tree::Role;
use card::page::Restoration;

/// Height of a row to sign in: 9 mm.
const SIGNED: f32 = 25.5;
/// Parts of the width for role, name, signature, date and time.
const SHARES: [f32; 5] = [0.2, 0.25, 0.27, 0.16, 0.12];

impl Composer {
    pub(super) fn restoration(&mut self, restoration: &Restoration) -> Result<(), Error> {
        let Restoration { questions, by_record } = restoration;
        self.part("Restoration")?;
        self.heading("The machine is handed on so: look at each")?;
        self.questions(questions)?;
        self.so_by_record(by_record)
    }

    pub(super) fn sign_off(&mut self, complete: &str, signatures: &[String]) -> Result<(), Error> {
        self.part("Sign-off")?;
        let (kind, width) = (self.set.body(), self.width());
        let list = self.set.tree.add(self.section, Role::List(false));
        let complete = self.set.ticked(complete, kind.strong(), width, list)?;
        self.push(GAP, complete);
        let item = self.set.tree.add(list, Role::Item);
        let leaf = self.set.tree.add(item, Role::Body);
        let stopped = [
            vec![Part::Tick, Part::Text("Work stopped at step".to_owned()), Part::Short(44.0, "the step")],
            vec![Part::Text("because".to_owned()), Part::Blank(120.0, "the reason")],
        ];
        let stack = self.set.fields(&stopped, kind, width, leaf)?.whole();
        self.push(2.0, stack);
        if self.set.format.narrow {
            for role in signatures {
                let stack = self.signature(&card::capital(role), width, self.section)?;
                self.push(GAP, stack);
            }
        } else {
            self.signatures(signatures)?;
        }
        Ok(())
    }

    fn signatures(&mut self, roles: &[String]) -> Result<(), Error> {
        let width = self.width();
        let mut stack = Stack::default();
        let headers = ["Role", "Name", "Signature", "Date", "Time"];
        let rows = roles.iter().map(|role| {
            let mut row = vec![cell(card::capital(role))];
            row.resize(headers.len(), cell(""));
            row
        });
        let grid = Grid {
            headers: headers.to_vec(),
            rows: rows.collect(),
            wide: false,
            shares: &SHARES,
            least: SIGNED,
        };
        if let Some(rows) = self.set.table(&grid, width, self.section)? {
            rows.head.into_iter().chain(rows.rows).for_each(|row| stack.push(row));
        }
        self.push(GAP, stack);
        Ok(())
    }
}
