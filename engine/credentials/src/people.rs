//! People: names, PINs, roles and until when they hold them.

use crate::{CredentialError, CredentialStore};
use document::{Day, HeldRole, RoleLack, person_key};
use rusqlite::Error::FromSqlConversionFailure;
use rusqlite::types::Type;
use rusqlite::{OptionalExtension, Row, params};

/// Letters in a name at most.
const NAME_MAX: usize = 80;

/// Somebody who can sign in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// The name, as given.
    pub name: String,
    /// The roles, by name.
    pub roles: Vec<Role>,
}

/// A role that somebody has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Role {
    /// Its name, as the equipment has it: `second-person`.
    pub role: String,
    /// The last day on which it holds; for good without one.
    pub until: Option<Day>,
}

impl Person {
    /// Why the person may not act in a role on that day; nothing if they may. Roles are compared as people read them.
    #[must_use]
    pub fn lacks(&self, role: &str, on: Day) -> Option<String> {
        let held = self.roles.iter().map(|Role { role, until }| HeldRole { role, from: None, until: *until });
        RoleLack::new(held, role, on).map(|lack| lack.sentence(&self.name, role))
    }
}

impl CredentialStore {
    /// Adds a person. The PIN comes as its hash, see [`crate::hash_pin`].
    ///
    /// # Errors
    /// If the name is taken or unusable, or the store fails.
    pub fn add_person(&mut self, name: &str, pin: &str) -> Result<(), CredentialError> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > NAME_MAX || name.chars().any(char::is_control) {
            return Err(CredentialError::Unusable(format!(
                "a name has 1 to {NAME_MAX} letters and no control characters"
            )));
        }
        let added = self
            .connection
            .execute("INSERT OR IGNORE INTO person VALUES (?1, ?2, ?3)", params![person_key(name), name, pin])
            .map_err(|error| self.fault(&error))?;
        if added == 0 { Err(CredentialError::PersonExists(name.to_owned())) } else { Ok(()) }
    }

    /// Gives a person a new PIN, as its hash.
    ///
    /// # Errors
    /// If there is no such person or the store fails.
    pub fn set_pin(&mut self, name: &str, pin: &str) -> Result<(), CredentialError> {
        self.change(name, "UPDATE person SET pin = ?2 WHERE key = ?1", params![person_key(name), pin])
    }

    /// Removes a person. Records keep the name.
    ///
    /// # Errors
    /// If there is no such person or the store fails.
    pub fn remove_person(&mut self, name: &str) -> Result<(), CredentialError> {
        self.change(name, "DELETE FROM person WHERE key = ?1", params![person_key(name)])
    }

    /// Gives a person a role, or sets until when it holds.
    ///
    /// # Errors
    /// If there is no such person, the role or the day is unusable, or the store fails.
    pub fn grant(&mut self, name: &str, role: &Role) -> Result<(), CredentialError> {
        let usable = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
        if role.role.is_empty() || !role.role.chars().all(usable) {
            return Err(CredentialError::Unusable(format!(
                "`{}` is no role: it is lower-case words joined by `-`",
                role.role
            )));
        }
        self.person(name)?.ok_or_else(|| CredentialError::NoPerson(name.to_owned()))?;
        let values = params![person_key(name), role.role, role.until.map(|day| day.to_string())];
        self.change(name, "INSERT OR REPLACE INTO role VALUES (?1, ?2, ?3)", values)
    }

    /// Takes a role from a person.
    ///
    /// # Errors
    /// If the person has no such role or the store fails.
    pub fn revoke(&mut self, name: &str, role: &str) -> Result<(), CredentialError> {
        self.change(name, "DELETE FROM role WHERE person = ?1 AND role = ?2", params![person_key(name), role])
    }

    fn change(
        &mut self,
        name: &str,
        statement: &str,
        values: impl rusqlite::Params,
    ) -> Result<(), CredentialError> {
        match self.connection.execute(statement, values).map_err(|error| self.fault(&error))? {
            0 => Err(CredentialError::NoPerson(name.to_owned())),
            _ => Ok(()),
        }
    }

    /// Everybody, by name.
    ///
    /// # Errors
    /// If the store fails.
    pub fn people(&self) -> Result<Vec<Person>, CredentialError> {
        let read = || -> rusqlite::Result<Vec<(String, String)>> {
            let mut statement =
                self.connection.prepare_cached("SELECT key, name FROM person ORDER BY key")?;
            statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
        };
        let people = read().map_err(|error| self.fault(&error))?.into_iter();
        people.map(|(key, name)| Ok(Person { name, roles: self.roles(&key)? })).collect()
    }

    /// The person of that name.
    ///
    /// # Errors
    /// If the store fails.
    pub fn person(&self, name: &str) -> Result<Option<Person>, CredentialError> {
        let named = self
            .connection
            .query_row("SELECT name FROM person WHERE key = ?1", [person_key(name)], |row| row.get(0))
            .optional()
            .map_err(|error| self.fault(&error))?;
        named.map(|named| Ok(Person { name: named, roles: self.roles(&person_key(name))? })).transpose()
    }

    /// The hash of a person's PIN.
    ///
    /// # Errors
    /// If the store fails.
    pub fn pin_of(&self, name: &str) -> Result<Option<String>, CredentialError> {
        self.connection
            .query_row("SELECT pin FROM person WHERE key = ?1", [person_key(name)], |row| row.get(0))
            .optional()
            .map_err(|error| self.fault(&error))
    }

    fn roles(&self, key: &str) -> Result<Vec<Role>, CredentialError> {
        let read = || -> rusqlite::Result<Vec<Role>> {
            let query = "SELECT role, until_day FROM role WHERE person = ?1 ORDER BY role";
            let mut statement = self.connection.prepare_cached(query)?;
            let role = |row: &Row<'_>| {
                let until = row.get::<_, Option<String>>(1)?.map(|day| Day::parse(&day)).transpose();
                let unreadable = |error| FromSqlConversionFailure(1, Type::Text, Box::new(error));
                Ok(Role { role: row.get(0)?, until: until.map_err(unreadable)? })
            };
            statement.query_map([key], role)?.collect()
        };
        read().map_err(|error| self.fault(&error))
    }
}
