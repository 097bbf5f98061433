//! What a procedure is, as one hash.

use crate::library::Library;
use crate::tree;
use serde_json::Value as Json;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// Version of what the documents mean: it goes up when the same text comes to mean something else.
const MEANING: u32 = 1;

impl Library {
    /// SHA-256, in hexadecimal, over everything that decides what a person reads and may do in a procedure: its own
    /// document, its equipment's and those of the procedures it performs. Comments, layout and the order of keys do not
    /// count. `None` if there is no such procedure.
    #[must_use]
    pub fn content_hash(&self, procedure: &str) -> Option<String> {
        if !self.procedures.contains_key(procedure) {
            return None;
        }
        let mut parts: Vec<String> = self
            .relies_on(procedure)
            .into_iter()
            .filter_map(|id| {
                let source = self.sources.get(id.0 as usize)?;
                let tree = tree::parse(source, id).ok()?;
                Some(sorted(tree.to_json()).to_string())
            })
            .collect();
        parts.sort();
        let mut hash = Sha256::new();
        hash.update(format!("gatewright content {MEANING}\n{procedure}\n"));
        for part in parts {
            hash.update(format!("{}\n{part}\n", part.len()));
        }
        Some(hash.finalize().iter().fold(String::new(), |mut hex, byte| {
            let _ = write!(hex, "{byte:02x}");
            hex
        }))
    }
}

/// The same value with the keys of every map in order.
fn sorted(json: Json) -> Json {
    match json {
        Json::Object(map) => {
            let mut entries: Vec<(String, Json)> =
                map.into_iter().map(|(key, value)| (key, sorted(value))).collect();
            entries.sort_by(|a, b| a.0.cmp(&b.0));
            Json::Object(entries.into_iter().collect())
        }
        Json::Array(items) => Json::Array(items.into_iter().map(sorted).collect()),
        other => other,
    }
}
