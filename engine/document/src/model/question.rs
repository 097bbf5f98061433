//! How things are found out: by whom, and asked in the equipment's own words.

use super::{Ask, Condition, Equipment, Name, SeenBy, Step};

impl Equipment {
    /// What people call a condition or a variant: its label, or its name with spaces.
    #[must_use]
    pub fn label(&self, name: &str) -> String {
        let label = self.conditions.get(name).and_then(|condition| condition.label.clone());
        label.unwrap_or_else(|| name.replace('-', " "))
    }

    /// The question whose yes means that the condition has one of these values.
    ///
    /// The authored question serves where it asks for exactly that; otherwise the question is made from the condition's
    /// label and the values.
    #[must_use]
    pub fn question(&self, name: &str, values: &[String]) -> String {
        let authored = match (self.conditions.get(name), values) {
            (Some(condition), [value]) => condition.question(value),
            _ => None,
        };
        authored.map_or_else(|| format!("Is the {} {}?", self.label(name), either(values)), str::to_owned)
    }

    /// The role that verifies a step: its own, or that of the type of work that it or its action is.
    #[must_use]
    pub fn verifying_role<'a>(&'a self, step: &'a Step) -> Option<&'a Name> {
        let own = step.common.verified_by.as_ref();
        let of_work = || step.common.work.as_ref().and_then(|work| self.work.get(work)?.verified_by.as_ref());
        own.or_else(of_work).or_else(|| self.role_verifying(step.kind.action()?))
    }

    /// The role that verifies an action, by its type of work.
    #[must_use]
    pub fn role_verifying(&self, action: &str) -> Option<&Name> {
        let work = self.actions.get(action)?.work.as_ref()?;
        self.work.get(work)?.verified_by.as_ref()
    }
}

impl Condition {
    /// How the condition can be found out: as written, or else by looking where there is a question, by nobody where it
    /// settles without one, by measuring otherwise.
    #[must_use]
    pub fn seen_by(&self) -> SeenBy {
        self.seen_by.unwrap_or(match (&self.ask, &self.settles) {
            (Some(_), _) => SeenBy::Look,
            (None, Some(_)) => SeenBy::Nobody,
            (None, None) => SeenBy::Measure,
        })
    }

    /// The authored question whose yes means this value, if there is one.
    #[must_use]
    pub fn question(&self, value: &str) -> Option<&str> {
        match self.ask.as_ref()? {
            Ask::First(question) => {
                (self.values.first().map(String::as_str) == Some(value)).then_some(question)
            }
            Ask::ByValue(questions) => questions.get(value).map(String::as_str),
        }
    }

    /// What somebody is asked on who says that the condition has none of these values: each other value with its question, where
    /// every other value has one of its own and there is more than one.
    #[must_use]
    pub fn asked_on(&self, values: &[String]) -> Vec<(&str, &str)> {
        let Some(Ask::ByValue(questions)) = &self.ask else { return Vec::new() };
        let others: Vec<&String> = self.values.iter().filter(|value| !values.contains(value)).collect();
        let asked: Vec<(&str, &str)> = others
            .iter()
            .filter_map(|value| Some((value.as_str(), questions.get(*value)?.as_str())))
            .collect();
        if asked.len() > 1 && asked.len() == others.len() { asked } else { Vec::new() }
    }
}

/// "empty", "empty or rinse", "empty, rinse or product".
#[must_use]
pub fn either(words: &[String]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
