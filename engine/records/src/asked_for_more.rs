//! What a walk itself looks at and waits for by its equipment, whatever its steps say: at its start, when it is taken up
//! again, before it is done. A proof under other equipment does not make the walk ask for what that asks for.

use calc::quantity::Duration;
use document::model::{Condition, Equipment, Lapse, Settles, Stated};

/// Of which conditions the equipment as it stands now may ask for more than the walk does by its own, by what people call
/// them. Who verifies what the steps themselves say.
pub(crate) fn asked_for_more(old: &Equipment, new: &Equipment) -> Vec<String> {
    let both = old.conditions.iter().filter_map(|(name, was)| Some((name, was, new.conditions.get(name)?)));
    both.filter(|(_, was, is)| is_more(was, is)).map(|(name, ..)| new.label(name)).collect()
}

/// Whether a condition may have to be looked at sooner or otherwise, or waited for longer or under something else. What it
/// is called and how it is asked for are words.
fn is_more(was: &Condition, is: &Condition) -> bool {
    let Condition {
        values,
        normal,
        seen_when,
        lapses,
        keeps,
        settles,
        lost_when,
        seen_by: _,
        label: _,
        ask: _,
    } = was;
    *values != is.values
        || *normal != is.normal
        || was.seen_by() != is.seen_by()
        || *seen_when != is.seen_when
        || *lost_when != is.lost_when
        || *keeps && !is.keeps
        || is_shorter(lapses.as_ref(), is.lapses.as_ref())
        || waits_longer(settles.as_ref(), is.settles.as_ref())
}

fn millis(time: &Stated<Duration>) -> Option<u64> {
    time.read().map(|time| time.as_millis()).ok()
}

/// Whether what was seen counts less long. A time that cannot be read counts as shorter.
fn is_shorter(was: Option<&Lapse>, is: Option<&Lapse>) -> bool {
    match (was, is) {
        (_, None) => false,
        (None, Some(_)) => true,
        (Some(Lapse(was)), Some(Lapse(is))) => match (millis(was), millis(is)) {
            (Some(was), Some(is)) => is < was,
            (Some(_) | None, Some(_) | None) => true,
        },
    }
}

/// Whether it has to be waited for longer, or otherwise.
fn waits_longer(was: Option<&Settles>, is: Option<&Settles>) -> bool {
    match (was, is) {
        (None, None) => false,
        (Some(_), None) | (None, Some(_)) => true,
        (Some(Settles { from, to, after, holds }), Some(is)) => {
            (from, to, holds) != (&is.from, &is.to, &is.holds)
                || match (millis(after), millis(&is.after)) {
                    (Some(was), Some(is)) => is > was,
                    (Some(_) | None, Some(_) | None) => true,
                }
        }
    }
}
