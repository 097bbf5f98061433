//! What stands above and below the steps of a procedure.

use super::change::{Change, Class, Group};
use super::cubes::{all, asked, shifts};
use super::pair::{Pair, place};
use super::plain::any_amount_differs;
use super::what::What;
use document::model::{LevelOfUse, Listed, Procedure};

pub(super) fn compare(pair: &Pair<'_>) -> Vec<Change> {
    let (old, new) = (&pair.old.procedure.model, &pair.new.procedure.model);
    let machine = &pair.new.equipment.model;
    // A new key does not compile until somebody says what a difference in it is.
    let Procedure {
        title,
        author,
        purpose,
        scope,
        performers,
        time,
        level_of_use,
        tools,
        supplies,
        spares,
        wear,
        requires,
        leaves,
        amounts,
        emergency,
        // Names, numbers and days of revisions differ as a matter of course.
        procedure: _,
        equipment: _,
        revision: _,
        effective: _,
        // Steps are compared one by one.
        steps: _,
        // What is accepted stands on the review's sheet with its reason; a difference is not told.
        accept: _,
    } = old;
    let mut changes = Vec::new();
    let mut tell = |group, class, what, key: &str, message: String| {
        let change = Change::new(group, class, what, message);
        let pointer = format!("/{key}");
        changes.push(change.at(place(pair.old, &pointer, ""), place(pair.new, &pointer, "")));
    };
    for shift in shifts(&all([requires]), &all([&new.requires]), machine) {
        let class = asked(&shift);
        let what = if class == Class::Weakened {
            What::PreconditionWeakened
        } else {
            What::PreconditionStrengthened
        };
        tell(Group::Safety, class, what, "requires", format!("at the start: {}", shift.sentence()));
    }
    for shift in shifts(&all([leaves]), &all([&new.leaves]), machine) {
        let class = asked(&shift);
        let what = if class == Class::Weakened { What::PromiseWeakened } else { What::PromiseStrengthened };
        tell(Group::Safety, class, what, "leaves", format!("at the end: {}", shift.sentence()));
    }
    for (role, count) in performers {
        let now = new.performers.get(role).copied().unwrap_or(0);
        if now != *count {
            let (class, what) = if now < *count {
                (Class::Weakened, What::RoleDropped)
            } else {
                (Class::Strengthened, What::RoleAdded)
            };
            tell(Group::Safety, class, what, "performers", format!("{now} of role `{role}`, before {count}"));
        }
    }
    for (role, count) in new.performers.iter().filter(|(role, _)| !performers.contains_key(*role)) {
        let message = format!("{count} of role `{role}`, before none");
        tell(Group::Safety, Class::Strengthened, What::RoleAdded, "performers", message);
    }
    let missing = |from: &Listed, other: &Listed| -> Vec<String> {
        from.names().iter().filter(|name| !other.names().contains(name)).map(ToString::to_string).collect()
    };
    for name in missing(wear, &new.wear) {
        let message = format!("`{name}` is no longer worn");
        tell(Group::Safety, Class::Weakened, What::ProtectionDropped, "wear", message);
    }
    for name in missing(&new.wear, wear) {
        let message = format!("`{name}` is now worn");
        tell(Group::Safety, Class::Strengthened, What::ProtectionAdded, "wear", message);
    }
    if *level_of_use != new.level_of_use {
        let strict = |level: LevelOfUse| match level {
            LevelOfUse::Continuous => 2,
            LevelOfUse::Reference => 1,
            LevelOfUse::Information => 0,
        };
        let (class, what) = if strict(new.level_of_use) < strict(*level_of_use) {
            (Class::Weakened, What::LevelOfUseLowered)
        } else {
            (Class::Strengthened, What::LevelOfUseRaised)
        };
        let message = format!("the card is used otherwise: {:?}, before {level_of_use:?}", new.level_of_use);
        tell(Group::Safety, class, what, "level_of_use", message);
    }
    match (emergency, &new.emergency) {
        (Some(_), None) => {
            let message = "what to do if something goes wrong is no longer said".to_owned();
            tell(Group::Safety, Class::Weakened, What::EmergencyDropped, "emergency", message);
        }
        (None, Some(_)) => {
            let message = "what to do if something goes wrong is now said".to_owned();
            tell(Group::Safety, Class::Strengthened, What::EmergencyAdded, "emergency", message);
        }
        // Both, if there are any, are compared word for word below.
        (Some(_), Some(_)) | (None, None) => {}
    }
    for (key, old, new) in
        [("tools", tools, &new.tools), ("supplies", supplies, &new.supplies), ("spares", spares, &new.spares)]
    {
        if old.names() != new.names() {
            let message = super::figures::lists(key, old.names(), new.names());
            tell(Group::Figures, Class::Neutral, What::ThingsChanged, key, message);
        }
    }
    if *time != new.time {
        let message = format!("time: {}, before {}", new.time.text(), time.text());
        tell(Group::Figures, Class::Neutral, What::FigureChanged, "time", message);
    }
    if any_amount_differs(amounts, &new.amounts) {
        let message = "amounts of the procedure changed".to_owned();
        tell(Group::Figures, Class::Neutral, What::FigureChanged, "amounts", message);
    }
    let emergency = (emergency, &new.emergency);
    let emergency = if emergency.0.is_some() == emergency.1.is_some() { emergency } else { (&None, &None) };
    for (key, old, new) in [
        ("title", Some(title.as_str()), Some(new.title.as_str())),
        ("purpose", Some(purpose), Some(&new.purpose)),
        ("scope", Some(scope), Some(&new.scope)),
        ("author", author.as_deref(), new.author.as_deref()),
        ("emergency", emergency.0.as_deref(), emergency.1.as_deref()),
    ] {
        if let Some(message) = super::figures::wording(old, new) {
            tell(Group::Wording, Class::Neutral, What::WordingChanged, key, format!("{key} {message}"));
        }
    }
    changes
}
