//! What stands above and below the steps of a procedure.

use super::change::{Change, Class, Group};
use super::cubes::{all, asked, shifts};
use super::pair::{Pair, place};
use document::model::{LevelOfUse, Listed};

pub(super) fn compare(pair: &Pair<'_>) -> Vec<Change> {
    let (old, new) = (&pair.old.procedure.model, &pair.new.procedure.model);
    let machine = &pair.new.equipment.model;
    let mut changes = Vec::new();
    let mut tell = |group, class, what, key: &str, message: String| {
        let change = Change::new(group, class, what, message);
        let pointer = format!("/{key}");
        changes.push(change.at(place(pair.old, &pointer, ""), place(pair.new, &pointer, "")));
    };
    for shift in shifts(&all([&old.requires]), &all([&new.requires]), machine) {
        let class = asked(&shift);
        let what =
            if class == Class::Weakened { "precondition weakened" } else { "precondition strengthened" };
        tell(Group::Safety, class, what, "requires", format!("at the start: {}", shift.sentence()));
    }
    for shift in shifts(&all([&old.leaves]), &all([&new.leaves]), machine) {
        let class = asked(&shift);
        let what = if class == Class::Weakened { "promise weakened" } else { "promise strengthened" };
        tell(Group::Safety, class, what, "leaves", format!("at the end: {}", shift.sentence()));
    }
    for (role, count) in &old.performers {
        let now = new.performers.get(role).copied().unwrap_or(0);
        if now != *count {
            let (class, what) = if now < *count {
                (Class::Weakened, "role dropped")
            } else {
                (Class::Strengthened, "role added")
            };
            tell(Group::Safety, class, what, "performers", format!("{now} of role `{role}`, before {count}"));
        }
    }
    for (role, count) in new.performers.iter().filter(|(role, _)| !old.performers.contains_key(*role)) {
        let message = format!("{count} of role `{role}`, before none");
        tell(Group::Safety, Class::Strengthened, "role added", "performers", message);
    }
    let missing = |from: &Listed, other: &Listed| -> Vec<String> {
        from.names().iter().filter(|name| !other.names().contains(name)).map(ToString::to_string).collect()
    };
    for name in missing(&old.wear, &new.wear) {
        let message = format!("`{name}` is no longer worn");
        tell(Group::Safety, Class::Weakened, "protection dropped", "wear", message);
    }
    for name in missing(&new.wear, &old.wear) {
        let message = format!("`{name}` is now worn");
        tell(Group::Safety, Class::Strengthened, "protection added", "wear", message);
    }
    if old.level_of_use != new.level_of_use {
        let strict = |level: LevelOfUse| match level {
            LevelOfUse::Continuous => 2,
            LevelOfUse::Reference => 1,
            LevelOfUse::Information => 0,
        };
        let (class, what) = if strict(new.level_of_use) < strict(old.level_of_use) {
            (Class::Weakened, "level of use lowered")
        } else {
            (Class::Strengthened, "level of use raised")
        };
        let message =
            format!("the card is used otherwise: {:?}, before {:?}", new.level_of_use, old.level_of_use);
        tell(Group::Safety, class, what, "level_of_use", message);
    }
    match (&old.emergency, &new.emergency) {
        (Some(_), None) => {
            let message = "what to do if something goes wrong is no longer said".to_owned();
            tell(Group::Safety, Class::Weakened, "emergency dropped", "emergency", message);
        }
        (None, Some(_)) => {
            let message = "what to do if something goes wrong is now said".to_owned();
            tell(Group::Safety, Class::Strengthened, "emergency added", "emergency", message);
        }
        _ => {}
    }
    for (key, old, new) in [
        ("tools", &old.tools, &new.tools),
        ("supplies", &old.supplies, &new.supplies),
        ("spares", &old.spares, &new.spares),
    ] {
        if old.names() != new.names() {
            let message = super::figures::lists(key, old.names(), new.names());
            tell(Group::Figures, Class::Neutral, "things changed", key, message);
        }
    }
    if old.time != new.time {
        let message = format!("time: {}, before {}", new.time, old.time);
        tell(Group::Figures, Class::Neutral, "figure changed", "time", message);
    }
    if old.amounts != new.amounts {
        let message = "amounts of the procedure changed".to_owned();
        tell(Group::Figures, Class::Neutral, "figure changed", "amounts", message);
    }
    let emergency = (&old.emergency, &new.emergency);
    let emergency = if emergency.0.is_some() == emergency.1.is_some() { emergency } else { (&None, &None) };
    for (key, old, new) in [
        ("title", Some(old.title.as_str()), Some(new.title.as_str())),
        ("purpose", Some(&old.purpose), Some(&new.purpose)),
        ("scope", Some(&old.scope), Some(&new.scope)),
        ("author", old.author.as_deref(), new.author.as_deref()),
        ("emergency", emergency.0.as_deref(), emergency.1.as_deref()),
    ] {
        if let Some(message) = super::figures::wording(old, new) {
            tell(Group::Wording, Class::Neutral, "wording changed", key, format!("{key} {message}"));
        }
    }
    changes
}
