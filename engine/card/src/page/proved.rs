//! What was proved of a procedure, as the card says it.

use crate::count;
use machine::Machine;
use proof::Proof;

/// What was proved of a procedure.
#[derive(Clone, Copy, Debug)]
pub struct ProofNote<'a> {
    /// The procedure, compiled.
    pub machine: &'a Machine,
    /// What was proved of it.
    pub proof: &'a Proof,
    /// Whether a second program checked it, and agrees.
    pub second: bool,
}

/// What the proof takes for granted.
const ASSUMED: &str = "Assumed: acts are done as written; every look may fail; stops, interruptions and handovers may come anywhere.";

impl ProofNote<'_> {
    /// It says what was checked and no more: rules can be wrong, and a machine can differ from them.
    pub(super) fn words(&self) -> String {
        let Proof { obligations, refuted, ended, .. } = self.proof;
        let all = count(*obligations, "obligation");
        let hold = if *obligations == 1 { "holds" } else { "hold" };
        let words = if ended.is_some() {
            "Checked against the stated rules: NOT PROVED, the search reached its limit.".to_owned()
        } else if refuted.is_empty() {
            let second = if self.second { ", checked by a second program" } else { "" };
            format!("Checked against the stated rules: {all} {hold} on every path{second}.")
        } else {
            format!("Checked against the stated rules: {} of {all} REFUTED.", refuted.len())
        };
        format!("{words} {ASSUMED}")
    }
}
