//! Stopping work: the computed way to the state in which the machine may be left.

use records::Ground;
use records::leaving::{AS_IT_IS, NO_WAY, Way};
use std::fmt::Write as _;
use walk::Walk;

/// What to do before leaving the machine, from everything it may be like now; `ground` is the equipment as it stands now,
/// where it says otherwise than what the walk goes by. Empty where the equipment states no such
/// state.
pub(super) fn before_leaving(walk: &Walk, ground: Option<&Ground>) -> String {
    let mut text = String::new();
    match records::leaving::way(walk, ground) {
        None => {}
        Some(Way::AsItIs(looks)) => {
            let _ = writeln!(text, "  {AS_IT_IS}");
            for look in looks {
                let _ = writeln!(text, "  {look}");
            }
        }
        Some(Way::Steps(steps)) => {
            for (depth, words) in steps {
                let _ = writeln!(text, "  {}{words}", "  ".repeat(depth));
            }
        }
        Some(Way::Unknown) => {
            let _ = writeln!(text, "  {NO_WAY}");
        }
    }
    text
}
