//! Who may do what, and until when.

use document::model::Name;
use document::{Day, FormError, HeldRole, RoleLack, same_person};
use indexmap::IndexMap;
use serde::Deserialize;

/// The people of a site with the roles they hold: `people.yaml` beside the procedures.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct People {
    /// The people by name.
    pub people: IndexMap<String, Person>,
    /// The roles that may approve procedures.
    pub approvers: Vec<Name>,
}

/// One person.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// The roles the person is qualified for, each with the days between which that holds.
    pub roles: IndexMap<Name, Held>,
    /// The name under which `allowed-signers` lists the person's keys, such as `adeyi@larkmoor.example`.
    pub signs_as: Option<String>,
}

/// How long a qualification holds.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// The first day.
    pub from: Day,
    /// The last day.
    pub until: Day,
}

impl Person {
    fn held(&self) -> impl Iterator<Item = HeldRole<'_>> {
        self.roles.iter().map(|(role, Held { from, until })| HeldRole {
            role,
            from: Some(*from),
            until: Some(*until),
        })
    }
}

impl People {
    /// Reads the text of a people file.
    ///
    /// # Errors
    /// If it has another form, or names one person twice in different spellings: which of the two counts nobody could say.
    pub fn parse(text: &str) -> Result<Self, FormError> {
        let people: Self = FormError::parse("people", text)?;
        for name in people.people.keys() {
            if let Some((first, _)) = people.person(name).filter(|(first, _)| first != name) {
                let fault = format!("`{first}` and `{name}` are the same person; keep one");
                return Err(FormError::new("people", fault));
            }
        }
        Ok(people)
    }

    /// A person with the name as it is written in the file. Names are compared as everywhere: [`same_person`].
    pub(crate) fn person(&self, name: &str) -> Option<(&str, &Person)> {
        let (known, person) = self.people.iter().find(|(known, _)| same_person(known, name))?;
        Some((known, person))
    }

    /// Why a person may not act in a role on a day; `None` if they may.
    #[must_use]
    fn unqualified(&self, person: &str, role: &str, on: &Day) -> Option<String> {
        let Some((_, known)) = self.person(person) else {
            let near = calc::nearest(person, self.people.keys().map(String::as_str));
            let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            return Some(format!("`{person}` is not among the people of this site{near}"));
        };
        RoleLack::new(known.held(), role, *on).map(|lack| match lack {
            RoleLack::NotHeld => format!("{person} does not hold the role `{role}`"),
            RoleLack::Begins(day) => format!("{person} is qualified as `{role}` from {day} only"),
            RoleLack::Ended(day) => format!("the qualification of {person} as `{role}` ended on {day}"),
        })
    }

    /// Why a person may not sign in a role on a day, for people at the machine; `None` if they may. Names and roles are
    /// compared as people read them: without regard to case, and `second-person` is the second person.
    #[must_use]
    pub fn may_not_sign(&self, person: &str, role: &str, on: &Day) -> Option<String> {
        let Some((name, known)) = self.person(person) else {
            return Some(format!("{person} is not among the people of this site"));
        };
        RoleLack::new(known.held(), role, *on).map(|lack| lack.sentence(name, role))
    }

    /// Why a person may not walk a procedure with these performers on a day, for people at the machine; `None` if they hold
    /// one of the roles.
    #[must_use]
    pub fn may_not_walk<'a>(
        &self,
        person: &str,
        performers: impl IntoIterator<Item = &'a Name>,
        on: &Day,
    ) -> Option<String> {
        let refused = performers.into_iter().map(|role| self.may_not_sign(person, role, on));
        // The first role is the one that does the work.
        refused.collect::<Option<Vec<String>>>()?.into_iter().next()
    }

    /// Why a person may not approve in a role on a day; `None` if they may.
    #[must_use]
    pub fn no_approver(&self, person: &str, role: &str, on: &Day) -> Option<String> {
        if !self.approvers.iter().any(|known| **known == *role) {
            let roles: Vec<String> = self.approvers.iter().map(|role| format!("`{role}`")).collect();
            return Some(format!(
                "the role `{role}` does not approve procedures here; {} does",
                document::model::either(&roles)
            ));
        }
        self.unqualified(person, role, on)
    }
}
