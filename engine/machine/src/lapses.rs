//! What counts for a time only, and what an act or a wait counts on.

use crate::layout::VarId;
use crate::machine::Machine;
use std::collections::BTreeSet;

impl Machine {
    /// What was looked at or written too long before a moment, what ran out first before the rest: a look may then be asked for later
    /// on, and is the same. `since` says when each condition was last looked at or written; times are in milliseconds. After a clock
    /// that went back nothing counts.
    #[must_use]
    pub fn lapsed(&self, since: impl Fn(VarId) -> Option<i64>, at_ms: i64) -> Vec<VarId> {
        let mut lapsed: Vec<(i64, VarId)> = Vec::new();
        for &(var, lapse) in &self.lapses {
            let Some(since_ms) = since(var) else { continue };
            if at_ms < since_ms || at_ms.abs_diff(since_ms) > lapse {
                let lapse = i64::try_from(lapse).unwrap_or(i64::MAX);
                lapsed.push((since_ms.saturating_add(lapse), var));
            }
        }
        lapsed.sort_unstable();
        lapsed.into_iter().map(|(_, var)| var).collect()
    }

    /// The same with what these rest on: what time counts under, what could stand over them, and of evidence what would end it.
    #[must_use]
    pub fn with_what_bears(&self, mut read: BTreeSet<VarId>) -> BTreeSet<VarId> {
        let under = read.iter().flat_map(|&var| self.rests_on(var));
        let ends =
            self.lost_when.iter().filter(|lost| read.contains(&lost.var)).flat_map(|lost| &lost.when.0);
        let bears: Vec<VarId> = under.chain(ends.map(|part| part.var)).collect();
        read.extend(bears);
        read
    }
}
