//! Stopping work: the computed way to the state in which the machine may be left.

use super::told::before_act;
use records::Ground;
use records::leaving::{AS_IT_IS, NO_WAY, Way, WayStep};
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
            for WayStep { depth, words, act } in steps {
                let indent = "  ".repeat(depth + 1);
                text.push_str(&act.as_ref().map(|act| before_act(act, &indent)).unwrap_or_default());
                let _ = writeln!(text, "{indent}{}", act.map_or(words, |act| act.words));
            }
        }
        Some(Way::Unknown) => {
            let _ = writeln!(text, "  {NO_WAY}");
        }
    }
    text
}
