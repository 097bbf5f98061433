//! Who is who, and who has which role on a day.

use crate::day::Day;

/// A name as names are compared: without regard to case, to spaces around it, and to how many stand between its words.
#[must_use]
pub fn person_key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Whether two names are those of the same person.
#[must_use]
pub fn same_person(a: &str, b: &str) -> bool {
    person_key(a) == person_key(b)
}

/// A role that somebody holds, and between which days; without a day it holds for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeldRole<'a> {
    /// Its name.
    pub role: &'a str,
    /// The first day.
    pub from: Option<Day>,
    /// The last day.
    pub until: Option<Day>,
}

/// Why somebody does not act in a role on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoleLack {
    /// They do not have it.
    NotHeld,
    /// They have it from this day on only.
    Begins(Day),
    /// They had it until this day.
    Ended(Day),
}

impl RoleLack {
    /// Why, of the roles that somebody holds; nothing if they have the role that day. Roles are compared as people read them:
    /// `second-person` is the second person.
    #[must_use]
    pub fn new<'a>(held: impl IntoIterator<Item = HeldRole<'a>>, role: &str, on: Day) -> Option<Self> {
        let words = |name: &str| name.replace('-', " ");
        let role = words(role);
        match held.into_iter().find(|held| words(held.role) == role) {
            None => Some(Self::NotHeld),
            Some(HeldRole { from: Some(from), .. }) if on < from => Some(Self::Begins(from)),
            Some(HeldRole { until: Some(until), .. }) if on > until => Some(Self::Ended(until)),
            Some(_) => None,
        }
    }

    /// The same in a sentence, for people at the machine.
    #[must_use]
    pub fn sentence(self, name: &str, role: &str) -> String {
        let role = role.replace('-', " ");
        match self {
            Self::NotHeld => format!("{name} has not the role {role}"),
            Self::Begins(day) => format!("The role {role} of {name} begins on {day}"),
            Self::Ended(day) => format!("The role {role} of {name} ended on {day}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{HeldRole, RoleLack, same_person};
    use crate::day::Day;

    #[test]
    fn a_role_is_held_from_its_first_day_to_its_last() {
        let day = |text: &str| Day::parse(text).expect("a day");
        let (from, until) = (day("2026-11-02"), day("2026-11-09"));
        let held = [HeldRole { role: "second-person", from: Some(from), until: Some(until) }];
        let on = |role: &str, text: &str| RoleLack::new(held, role, day(text));
        assert_eq!(on("second person", "2026-11-01"), Some(RoleLack::Begins(from)));
        assert_eq!(on("second-person", "2026-11-02"), None);
        assert_eq!(on("second-person", "2026-11-09"), None);
        assert_eq!(on("second-person", "2026-11-10"), Some(RoleLack::Ended(until)));
        assert_eq!(on("technician", "2026-11-02"), Some(RoleLack::NotHeld));
        let sentence = RoleLack::Ended(until).sentence("Tomas Reeve", "second-person");
        assert_eq!(sentence, "The role second person of Tomas Reeve ended on 2026-11-09");
        assert!(same_person(" Tomas Reeve", "TOMAS  REEVE ") && !same_person("Tomas", "Tomas Reeve"));
    }
}
