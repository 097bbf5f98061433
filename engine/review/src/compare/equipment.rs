//! The equipment document: rules, conditions, types of work, actions, hazards, instruments, fasteners, amounts.

use super::change::{Change, Class, Group};
use super::cubes::{Shift, all, asked, forbidden, reordered, shifts};
use super::pair::{Pair, equipment_place};
use super::plain::{amounts_differ, groups_differ, instruments_differ};
use super::what::What;
use calc::quantity::Quantity;
use document::model::{Action, Amount, Equipment, Hazard, Name, Rule, Work};
use indexmap::IndexMap;
use std::cmp::Ordering;

pub(super) struct Sheet<'a> {
    pub(super) pair: &'a Pair<'a>,
    changes: Vec<Change>,
}

pub(super) fn compare(pair: &Pair<'_>) -> Vec<Change> {
    let (old, new) = (&pair.old.equipment.model, &pair.new.equipment.model);
    // A new key does not compile until somebody says what a difference in it is.
    let Equipment {
        title,
        defer,
        conditions,
        never,
        work,
        actions,
        hazards,
        safe_state,
        release,
        roles,
        tools,
        supplies,
        spares,
        wear,
        instruments,
        fasteners,
        amounts,
        // Both revisions are of one equipment, and the number differs as a matter of course.
        equipment: _,
        revision: _,
        // They decide in which units and words things are said, and findings about words; a difference is not told.
        units: _,
        writing: _,
        terms: _,
        // What is accepted stands on the review's sheet with its reason; a difference is not told.
        accept: _,
        // They decide findings of isolation, of which errors are compared; a difference by itself is not told.
        energy: _,
        // They decide what steps and amounts are compared for.
        variants: _,
    } = old;
    let mut sheet = Sheet { pair, changes: Vec::new() };
    sheet.each("never", never, &new.never, (What::RuleRemoved, What::RuleAdded), |sheet, name, old, new| {
        let Rule { when, hazard, why, released_by } = old;
        let found = shifts(&all([when]), &all([&new.when]), &sheet.pair.new.equipment.model);
        if !found.is_empty() {
            let class = forbidden(&found);
            let what = if class == Class::Weakened { What::RuleRelaxed } else { What::RuleTightened };
            let words: Vec<String> = found.iter().map(Shift::sentence).collect();
            sheet.tell(
                Group::Safety,
                class,
                what,
                "never",
                name,
                format!("rule `{name}`: {}", words.join("; ")),
            );
        }
        if *hazard != new.hazard {
            let message = format!("rule `{name}` names the hazard `{}`, before `{hazard}`", new.hazard);
            sheet.tell(Group::Safety, Class::Neutral, What::HazardChanged, "never", name, message);
        }
        let whats = [What::ReleasingRoleDropped, What::ReleasingRoleNamed, What::ReleasingRoleChanged];
        sheet.role("release", "never", name, (released_by.as_ref(), new.released_by.as_ref()), whats);
        sheet.wording("never", name, why.as_deref(), new.why.as_deref());
    });
    sheet.each(
        "conditions",
        conditions,
        &new.conditions,
        (What::ConditionRemoved, What::ConditionAdded),
        Sheet::condition,
    );
    sheet.each("work", work, &new.work, (What::TypeOfWorkRemoved, What::TypeOfWorkAdded), Sheet::work);
    sheet.each(
        "actions",
        actions,
        &new.actions,
        (What::ActionRemoved, What::ActionAdded),
        |sheet, name, old, new| {
            // Tools are listed by whoever takes the action.
            let Action { act, work, requires, leaves, disturbs, restores, tools: _ } = old;
            sheet.asks("actions", name, requires, &new.requires);
            if *work != new.work {
                let class = if new.work.is_none() { Class::Weakened } else { Class::Neutral };
                let message = format!("action `{name}` is another type of work");
                sheet.tell(Group::Safety, class, What::TypeOfWorkChanged, "actions", name, message);
            }
            if reordered(leaves, &new.leaves) {
                let message = format!("the order in which action `{name}` makes its conditions so changed");
                sheet.tell(
                    Group::Safety,
                    Class::Weakened,
                    What::EffectOrderChanged,
                    "actions",
                    name,
                    message,
                );
            }
            if **leaves != *new.leaves || *disturbs != new.disturbs || *restores != new.restores {
                let message = format!("what action `{name}` does changed");
                sheet.tell(Group::Safety, Class::Neutral, What::EffectChanged, "actions", name, message);
            }
            sheet.wording("actions", name, Some(act), Some(&new.act));
        },
    );
    sheet.each("hazards", hazards, &new.hazards, (What::HazardRemoved, What::HazardAdded), Sheet::hazard);
    let rest = (safe_state.iter(), new.safe_state.iter());
    for shift in shifts(&all(rest.0), &all(rest.1), new) {
        let class = asked(&shift);
        let what =
            if class == Class::Weakened { What::RestStateWeakened } else { What::RestStateStrengthened };
        let message = format!("to leave the machine: {}", shift.sentence());
        sheet.tell(Group::Safety, class, what, "safe_state", "", message);
    }
    if *release != new.release {
        let role = |release: &Option<Name>| {
            release.as_ref().map_or("whoever the depot says", |role| role).to_owned()
        };
        // A role that is named binds; which of two roles is the stricter one no document says.
        let (class, what) = match (release, &new.release) {
            (Some(_), None) => (Class::Weakened, What::ReleasingRoleDropped),
            (None, Some(_)) => (Class::Strengthened, What::ReleasingRoleNamed),
            (Some(_), Some(_)) | (None, None) => (Class::Neutral, What::ReleasingRoleChanged),
        };
        let message = format!(
            "{} allows deviations and releases the machine, before it was {}",
            role(&new.release),
            role(release)
        );
        sheet.tell(Group::Safety, class, what, "release", "", message);
    }
    for (name, old, new) in common(amounts, &new.amounts) {
        sheet.amount(name, old, new);
    }
    sheet.each_plain("instruments", instruments, &new.instruments, instruments_differ);
    sheet.each_plain("fasteners", fasteners, &new.fasteners, groups_differ);
    for (map, old, new) in [
        ("roles", roles, &new.roles),
        ("tools", tools, &new.tools),
        ("supplies", supplies, &new.supplies),
        ("spares", spares, &new.spares),
        ("wear", wear, &new.wear),
    ] {
        for (name, old, new) in common(old, new) {
            sheet.wording(map, name, Some(old), Some(new));
        }
    }
    sheet.wording("title", "", Some(title), Some(&new.title));
    sheet.wording("defer", "", defer.as_deref(), new.defer.as_deref());
    sheet.changes
}

fn common<'a, T>(old: &'a IndexMap<Name, T>, new: &'a IndexMap<Name, T>) -> Vec<(&'a Name, &'a T, &'a T)> {
    old.iter().filter_map(|(name, old)| Some((name, old, new.get(name)?))).collect()
}

impl Sheet<'_> {
    pub(super) fn tell(
        &mut self,
        group: Group,
        class: Class,
        what: What,
        map: &str,
        name: &str,
        message: String,
    ) {
        let change = Change::new(group, class, what, message);
        let at = |side| equipment_place(side, map, name);
        self.changes.push(change.at(at(self.pair.old), at(self.pair.new)));
    }

    /// Entries of a map: what is gone is less, what is new is more, what is in both is compared.
    fn each<T: PartialEq>(
        &mut self,
        map: &str,
        old: &IndexMap<Name, T>,
        new: &IndexMap<Name, T>,
        (removed, added): (What, What),
        both: impl Fn(&mut Self, &Name, &T, &T),
    ) {
        // Only a rule binds by itself; anything else binds where a procedure names it.
        let binds = map == "never";
        for name in old.keys().filter(|name| !new.contains_key(*name)) {
            let class = if binds { Class::Weakened } else { Class::Neutral };
            self.tell(Group::Safety, class, removed, map, name, format!("`{name}` is gone from `{map}`"));
        }
        for name in new.keys().filter(|name| !old.contains_key(*name)) {
            let class = if binds { Class::Strengthened } else { Class::Neutral };
            self.tell(Group::Safety, class, added, map, name, format!("`{name}` is new in `{map}`"));
        }
        for (name, old, new) in common(old, new) {
            if old != new {
                both(self, name, old, new);
            }
        }
    }

    /// Entries that differ as a whole.
    fn each_plain<T>(
        &mut self,
        map: &str,
        old: &IndexMap<Name, T>,
        new: &IndexMap<Name, T>,
        differ: fn(&T, &T) -> bool,
    ) {
        for (name, old, new) in common(old, new) {
            if differ(old, new) {
                let message = format!("`{name}` of `{map}` changed");
                self.tell(Group::Figures, Class::Neutral, What::FigureChanged, map, name, message);
            }
        }
    }

    fn asks(&mut self, map: &str, name: &Name, old: &document::model::Cube, new: &document::model::Cube) {
        for shift in shifts(&all([old]), &all([new]), &self.pair.new.equipment.model) {
            let class = asked(&shift);
            let what = if class == Class::Weakened {
                What::PreconditionWeakened
            } else {
                What::PreconditionStrengthened
            };
            self.tell(Group::Safety, class, what, map, name, format!("`{name}`: {}", shift.sentence()));
        }
    }

    fn work(&mut self, name: &Name, old: &Work, new: &Work) {
        let Work { requires, wear, hazard, by, people, verified_by } = old;
        self.asks("work", name, requires, &new.requires);
        for item in wear.iter().filter(|item| !new.wear.contains(item)) {
            let message = format!("`{item}` is no longer worn for `{name}`");
            self.tell(Group::Safety, Class::Weakened, What::ProtectionDropped, "work", name, message);
        }
        for item in new.wear.iter().filter(|item| !wear.contains(item)) {
            let message = format!("`{item}` is now worn for `{name}`");
            self.tell(Group::Safety, Class::Strengthened, What::ProtectionAdded, "work", name, message);
        }
        if *hazard != new.hazard {
            let (class, what) = match (hazard, &new.hazard) {
                (Some(_), None) => (Class::Weakened, What::WarningDropped),
                (None, Some(_)) => (Class::Strengthened, What::WarningAdded),
                (Some(_), Some(_)) | (None, None) => (Class::Neutral, What::HazardChanged),
            };
            self.tell(Group::Safety, class, what, "work", name, format!("the hazard of `{name}` changed"));
        }
        let whats = [What::RoleDropped, What::RoleAdded, What::RoleChanged];
        self.role("work", "work", name, (by.as_ref(), new.by.as_ref()), whats);
        let whats = [What::VerificationDropped, What::VerificationAdded, What::VerificationChanged];
        self.role("verification", "work", name, (verified_by.as_ref(), new.verified_by.as_ref()), whats);
        if *people != new.people {
            // Left out it asks for nobody beside whoever does the work.
            let (class, what) = if new.people < *people {
                (Class::Weakened, What::PeopleLowered)
            } else {
                (Class::Strengthened, What::PeopleRaised)
            };
            let words = |people: &Option<u32>| {
                people.map_or("any number".to_owned(), |least| format!("at least {least}"))
            };
            let message = format!("people for `{name}`: {}, before {}", words(&new.people), words(people));
            self.tell(Group::Safety, class, what, "work", name, message);
        }
    }

    /// A role that something asks for: `whats` are a difference that drops it, names one, or names another. Which of two
    /// roles is the stricter one no document says, so another counts as less.
    fn role(
        &mut self,
        of: &str,
        map: &str,
        name: &Name,
        (old, new): (Option<&Name>, Option<&Name>),
        [dropped, named, another]: [What; 3],
    ) {
        let (class, what, message) = match (old, new) {
            (None, None) => return,
            (Some(old), None) => (Class::Weakened, dropped, format!("`{name}`: the {of} by `{old}` is gone")),
            (None, Some(new)) => (Class::Strengthened, named, format!("`{name}`: a {of} by `{new}` is new")),
            (Some(old), Some(new)) if old == new => return,
            (Some(old), Some(new)) => {
                (Class::Weakened, another, format!("`{name}`: the {of} is by `{new}`, before by `{old}`"))
            }
        };
        self.tell(Group::Safety, class, what, map, name, message);
    }

    fn hazard(&mut self, name: &Name, old: &Hazard, new: &Hazard) {
        let Hazard { worst, certainty, hazard, consequence, avoid } = old;
        let (before, after) = ((*worst, *certainty), (new.worst, new.certainty));
        if before != after {
            let (class, what) = if after < before {
                (Class::Weakened, What::WarningLowered)
            } else {
                (Class::Strengthened, What::WarningRaised)
            };
            let message = format!("the hazard `{name}` is graver or lesser than before");
            self.tell(Group::Safety, class, what, "hazards", name, message);
        }
        for (old, new) in [(hazard, &new.hazard), (consequence, &new.consequence), (avoid, &new.avoid)] {
            self.wording("hazards", name, Some(old), Some(new));
        }
    }

    fn amount(&mut self, name: &Name, old: &Amount, new: &Amount) {
        if !amounts_differ(old, new) {
            return;
        }
        let cases = |side: &super::Side<'_>| {
            let figure = document::model::Figure::Amount(name.clone());
            document::figure_cases(&side.equipment.model, None, &figure).unwrap_or_default()
        };
        let (before, after) = (cases(self.pair.old), cases(self.pair.new));
        let lower =
            |old: &Quantity, new: &Quantity| new.compare(old).is_ok_and(|order| order == Ordering::Less);
        let shorter = before.iter().zip(&after).any(|(old, new)| lower(&old.quantity, &new.quantity));
        let words = |cases: &[document::Case]| {
            cases.iter().map(|case| case.quantity.to_string()).collect::<Vec<_>>().join(", ")
        };
        let message = format!("`{name}` works out to {}, before to {}", words(&after), words(&before));
        let message = if shorter { format!("{message}: less for some machine") } else { message };
        self.tell(Group::Figures, Class::Neutral, What::FigureChanged, "amounts", name, message);
    }

    fn wording(&mut self, map: &str, name: &str, old: Option<&str>, new: Option<&str>) {
        if let Some(message) = super::figures::wording(old, new) {
            let subject = if name.is_empty() { map } else { name };
            let message = format!("`{subject}` {message}");
            self.tell(Group::Wording, Class::Neutral, What::WordingChanged, map, name, message);
        }
    }
}
