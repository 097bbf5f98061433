//! What a procedure is, as one hash.

mod canonical;
mod used;

use crate::hex::hex;
use crate::library::Library;
use crate::model::Procedure;
use canonical::canonical;
use serde_json::Value as Json;
use sha2::{Digest, Sha256};
use used::Used;

/// Version of what the documents mean: it goes up when the same text comes to mean something else. Approvals name the one
/// under which they were given.
///
/// In 1 an act was one change, and no look contradicted the record. In 2 what an act leaves comes about in the order written,
/// time counts only `while` its cause holds, an interruption leaves what `keeps`, and every look can be answered otherwise.
pub const MEANING: u32 = 2;

impl Library {
    /// SHA-256, in hexadecimal, over everything that decides what a person reads and may do in a procedure: its own
    /// document, those of the procedures it performs, and the parts of the equipment document that they use. `None` if
    /// there is no such procedure.
    ///
    /// Comments, layout and the order of keys do not count, but for what an act leaves, which comes about in the order
    /// written; nor does the equipment's revision, which goes up for changes that touch other procedures alone.
    #[must_use]
    pub fn content_hash(&self, procedure: &str) -> Option<String> {
        let (mut parts, used) = self.parts(procedure)?;
        parts.extend(used.map(|used| used.to_string()));
        let mut hash = Sha256::new();
        hash.update(format!("gatewright content {MEANING}\n{procedure}\n"));
        for part in parts {
            hash.update(format!("{}\n{part}\n", part.len()));
        }
        Some(hex(hash.finalize()))
    }

    /// What of its equipment document decides about a procedure, without comments, layout and the order of keys. `None` if
    /// one of the two is not there.
    #[must_use]
    pub fn equipment_used(&self, procedure: &str) -> Option<Json> {
        self.parts(procedure)?.1
    }

    /// The texts of the procedures that one consists of, and what they use of the equipment document.
    fn parts(&self, procedure: &str) -> Option<(Vec<String>, Option<Json>)> {
        let document = self.procedures.get(procedure)?;
        let names = self.performs_in_all(procedure);
        let procedures: Vec<&Procedure> =
            names.iter().filter_map(|name| Some(&self.procedures.get(*name)?.model)).collect();
        let mut parts: Vec<String> = names
            .iter()
            .filter_map(|name| Some(canonical(self.json(self.procedures.get(*name)?)?.clone()).to_string()))
            .collect();
        parts.sort();
        let used = self.equipment.get(&document.model.equipment).and_then(|equipment| {
            let used = Used::collect(&equipment.model, &document.model, &procedures);
            Some(canonical(used.part_of(self.json(equipment)?.clone(), &parts)))
        });
        Some((parts, used))
    }
}
