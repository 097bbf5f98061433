//! Entries that accept nothing.

use crate::rule::{Remark, Rule, UnusedEntry, remark};

pub(super) const RULES: &[Rule] = &[
    rule!("S01", Warning, "Something is accepted that is not found", Unused(accepted_for_nothing)),
    rule!("S02", Warning, "This finding cannot be accepted", Unused(cannot_be_accepted)),
];

fn accepted_for_nothing(entry: &UnusedEntry<'_>) -> Option<Remark> {
    entry.acceptable.then_some(())?;
    remark(format!("`{}` is accepted here, but not found", entry.code), "take the entry out")
}

fn cannot_be_accepted(entry: &UnusedEntry<'_>) -> Option<Remark> {
    (!entry.acceptable).then_some(())?;
    remark(
        format!("`{}` cannot be accepted", entry.code),
        "only codes of the families C, E, H, T, U and W can be accepted; mend what is found",
    )
}
