//! What a case is, and how one is written shortly.

use super::rigs;
use crate::documents::read;
use document::Library;

/// One small procedure, what it works on, and what goes wrong with it.
#[derive(Clone, Debug)]
pub struct Case {
    /// What is tried, in words.
    pub name: &'static str,
    /// The equipment document.
    pub equipment: String,
    /// The procedures; the first is the one that is started.
    pub procedures: Vec<String>,
    /// The faults, as [`crate::judge::Fault`] prints them, in the order of that type.
    pub expected: Vec<&'static str>,
}

impl Case {
    /// The same, performing another procedure.
    pub(super) fn performing(mut self, inner: &str) -> Self {
        self.procedures.truncate(1);
        self.procedures.push(procedure("inner", inner));
        self
    }

    /// The documents of the case as the reader reads them; the procedure that is started is `main`.
    ///
    /// # Errors
    /// The first finding that is an error, as text.
    pub fn library(&self) -> Result<Library, String> {
        let texts: Vec<&str> =
            [&self.equipment].into_iter().chain(&self.procedures).map(String::as_str).collect();
        read(&texts)
    }
}

/// A case of one procedure: its `requires`, `leaves` and `steps`.
pub(super) fn case(name: &'static str, rig: &str, steps: &str, expected: &[&'static str]) -> Case {
    with_inner(name, rig, steps, None, expected)
}

/// A case of a procedure `main` that may perform `inner`.
pub(super) fn with_inner(
    name: &'static str,
    rig: &str,
    steps: &str,
    inner: Option<&str>,
    expected: &[&'static str],
) -> Case {
    let main = procedure("main", steps);
    Case {
        name,
        equipment: format!("{}{rig}", rigs::EVERY),
        procedures: [main].into_iter().chain(inner.map(|steps| procedure("inner", steps))).collect(),
        expected: expected.to_vec(),
    }
}

/// A procedure's text around what is its own.
fn procedure(name: &str, steps: &str) -> String {
    format!(
        "procedure: {name}\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\n{steps}\n"
    )
}
