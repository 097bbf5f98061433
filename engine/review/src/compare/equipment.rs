//! The equipment document: rules, conditions, types of work, actions, hazards, instruments, fasteners, amounts.

use super::change::{Change, Class, Group};
use super::cubes::{Shift, all, asked, forbidden, shifts};
use super::pair::{Pair, equipment_place};
use super::what::What;
use calc::quantity::{Duration, Quantity};
use document::model::{Action, Amount, Ask, Condition, Equipment, Hazard, Name, Rule, Work};
use indexmap::IndexMap;
use std::cmp::Ordering;

struct Sheet<'a> {
    pair: &'a Pair<'a>,
    changes: Vec<Change>,
}

pub(super) fn compare(pair: &Pair<'_>) -> Vec<Change> {
    let (old, new) = (&pair.old.equipment.model, &pair.new.equipment.model);
    // A new key does not compile until somebody says what a difference in it is. The name and revision differ as a
    // matter of course; units, writing scheme, terms and sources of energy decide findings, which are compared, and
    // variants decide what steps and amounts are compared for; what is accepted is told with the findings.
    let Equipment {
        equipment: _,
        revision: _,
        units: _,
        writing: _,
        terms: _,
        accept: _,
        energy: _,
        variants: _,
        title: _,
        defer: _,
        conditions: _,
        never: _,
        work: _,
        actions: _,
        hazards: _,
        safe_state: _,
        release: _,
        roles: _,
        tools: _,
        supplies: _,
        spares: _,
        wear: _,
        instruments: _,
        fasteners: _,
        amounts: _,
    } = old;
    let mut sheet = Sheet { pair, changes: Vec::new() };
    sheet.each(
        "never",
        &old.never,
        &new.never,
        (What::RuleRemoved, What::RuleAdded),
        |sheet, name, old, new| {
            let Rule { when: _, hazard: _, why: _ } = old;
            let found = shifts(&all([&old.when]), &all([&new.when]), &sheet.pair.new.equipment.model);
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
            if old.hazard != new.hazard {
                let message =
                    format!("rule `{name}` names the hazard `{}`, before `{}`", new.hazard, old.hazard);
                sheet.tell(Group::Safety, Class::Neutral, What::HazardChanged, "never", name, message);
            }
            sheet.wording("never", name, old.why.as_deref(), new.why.as_deref());
        },
    );
    sheet.each(
        "conditions",
        &old.conditions,
        &new.conditions,
        (What::ConditionRemoved, What::ConditionAdded),
        Sheet::condition,
    );
    sheet.each("work", &old.work, &new.work, (What::TypeOfWorkRemoved, What::TypeOfWorkAdded), Sheet::work);
    sheet.each(
        "actions",
        &old.actions,
        &new.actions,
        (What::ActionRemoved, What::ActionAdded),
        |sheet, name, old, new| {
            // Tools are listed by whoever takes the action.
            let Action { act: _, work: _, requires: _, leaves: _, disturbs: _, tools: _, restores: _ } = old;
            sheet.asks("actions", name, &old.requires, &new.requires);
            if old.work != new.work {
                let class = if new.work.is_none() { Class::Weakened } else { Class::Neutral };
                let message = format!("action `{name}` is another type of work");
                sheet.tell(Group::Safety, class, What::TypeOfWorkChanged, "actions", name, message);
            }
            if old.leaves != new.leaves || old.disturbs != new.disturbs || old.restores != new.restores {
                let message = format!("what action `{name}` does changed");
                sheet.tell(Group::Safety, Class::Neutral, What::EffectChanged, "actions", name, message);
            }
            sheet.wording("actions", name, Some(&old.act), Some(&new.act));
        },
    );
    sheet.each(
        "hazards",
        &old.hazards,
        &new.hazards,
        (What::HazardRemoved, What::HazardAdded),
        Sheet::hazard,
    );
    let rest = (old.safe_state.iter(), new.safe_state.iter());
    for shift in shifts(&all(rest.0), &all(rest.1), new) {
        let class = asked(&shift);
        let what =
            if class == Class::Weakened { What::RestStateWeakened } else { What::RestStateStrengthened };
        let message = format!("to leave the machine: {}", shift.sentence());
        sheet.tell(Group::Safety, class, what, "safe_state", "", message);
    }
    if old.release != new.release {
        let role = |release: &Option<Name>| {
            release.as_ref().map_or("whoever the depot says", |role| role).to_owned()
        };
        // A role that is named binds; which of two roles is the stricter one no document says.
        let (class, what) = match (&old.release, &new.release) {
            (Some(_), None) => (Class::Weakened, What::ReleasingRoleDropped),
            (None, Some(_)) => (Class::Strengthened, What::ReleasingRoleNamed),
            _ => (Class::Neutral, What::ReleasingRoleChanged),
        };
        let message = format!(
            "{} allows deviations and releases the machine, before it was {}",
            role(&new.release),
            role(&old.release)
        );
        sheet.tell(Group::Safety, class, what, "release", "", message);
    }
    for (name, old, new) in common(&old.amounts, &new.amounts) {
        sheet.amount(name, old, new);
    }
    sheet.each_plain("instruments", &old.instruments, &new.instruments);
    sheet.each_plain("fasteners", &old.fasteners, &new.fasteners);
    for (map, old, new) in [
        ("roles", &old.roles, &new.roles),
        ("tools", &old.tools, &new.tools),
        ("supplies", &old.supplies, &new.supplies),
        ("spares", &old.spares, &new.spares),
        ("wear", &old.wear, &new.wear),
    ] {
        for (name, old, new) in common(old, new) {
            sheet.wording(map, name, Some(old), Some(new));
        }
    }
    sheet.wording("title", "", Some(&old.title), Some(&new.title));
    sheet.wording("defer", "", old.defer.as_deref(), new.defer.as_deref());
    sheet.changes
}

fn common<'a, T>(old: &'a IndexMap<Name, T>, new: &'a IndexMap<Name, T>) -> Vec<(&'a Name, &'a T, &'a T)> {
    old.iter().filter_map(|(name, old)| Some((name, old, new.get(name)?))).collect()
}

impl Sheet<'_> {
    fn tell(&mut self, group: Group, class: Class, what: What, map: &str, name: &str, message: String) {
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

    fn each_plain<T: PartialEq>(&mut self, map: &str, old: &IndexMap<Name, T>, new: &IndexMap<Name, T>) {
        for (name, old, new) in common(old, new) {
            if old != new {
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

    fn condition(&mut self, name: &Name, old: &Condition, new: &Condition) {
        let Condition { values: _, label: _, ask: _, normal: _, lapses: _, settles: _, lost_when: _ } = old;
        let settles = (&old.settles, &new.settles);
        if settles.0 != settles.1 {
            let time = |condition: &Condition| {
                condition.settles.as_ref().and_then(|settles| Duration::parse(&settles.after).ok())
            };
            let class = match (time(old), time(new)) {
                (Some(old), Some(new)) if new.as_millis() > old.as_millis() => Class::Strengthened,
                (None, Some(_)) => Class::Neutral,
                _ => Class::Weakened,
            };
            let word = |condition: &Condition| {
                condition.settles.as_ref().map_or("nothing".to_owned(), |settles| settles.after.clone())
            };
            let message = format!("`{name}` settles after {}, before after {}", word(new), word(old));
            self.tell(Group::Safety, class, What::SettlingTimeChanged, "conditions", name, message);
        }
        if old.lost_when != new.lost_when {
            let found = shifts(
                &all(old.lost_when.iter()),
                &all(new.lost_when.iter()),
                &self.pair.new.equipment.model,
            );
            let class = match (&old.lost_when, &new.lost_when) {
                (_, None) => Class::Weakened,
                (None, _) => Class::Strengthened,
                _ => forbidden(&found),
            };
            let message = format!("what ends the evidence of `{name}` changed");
            self.tell(Group::Safety, class, What::EvidenceChanged, "conditions", name, message);
        }
        if old.lapses != new.lapses {
            let time = |condition: &Condition| {
                condition
                    .lapses
                    .as_ref()
                    .map(|lapse| Duration::parse(&lapse.0).map_or(u64::MAX - 1, Duration::as_millis))
            };
            let (before, after) = (time(old).unwrap_or(u64::MAX), time(new).unwrap_or(u64::MAX));
            let class = if after > before { Class::Weakened } else { Class::Strengthened };
            let message = format!("when what is known of `{name}` lapses changed");
            self.tell(Group::Safety, class, What::LapseChanged, "conditions", name, message);
        }
        if old.normal != new.normal {
            let class = if new.normal.is_none() { Class::Weakened } else { Class::Neutral };
            let message = format!("the normal value of `{name}` changed");
            self.tell(Group::Safety, class, What::NormalValueChanged, "conditions", name, message);
        }
        if old.values != new.values {
            let message = format!("the values of `{name}` changed");
            self.tell(Group::Safety, Class::Neutral, What::ValuesChanged, "conditions", name, message);
        }
        if super::figures::wording(Some(&questions(old)), Some(&questions(new))).is_some() {
            let message = format!("how `{name}` is asked about changed");
            self.tell(Group::Wording, Class::Neutral, What::WordingChanged, "conditions", name, message);
        }
    }

    fn work(&mut self, name: &Name, old: &Work, new: &Work) {
        let Work { requires: _, wear: _, hazard: _ } = old;
        self.asks("work", name, &old.requires, &new.requires);
        for item in old.wear.iter().filter(|item| !new.wear.contains(item)) {
            let message = format!("`{item}` is no longer worn for `{name}`");
            self.tell(Group::Safety, Class::Weakened, What::ProtectionDropped, "work", name, message);
        }
        for item in new.wear.iter().filter(|item| !old.wear.contains(item)) {
            let message = format!("`{item}` is now worn for `{name}`");
            self.tell(Group::Safety, Class::Strengthened, What::ProtectionAdded, "work", name, message);
        }
        if old.hazard != new.hazard {
            let (class, what) = match (&old.hazard, &new.hazard) {
                (Some(_), None) => (Class::Weakened, What::WarningDropped),
                (None, _) => (Class::Strengthened, What::WarningAdded),
                _ => (Class::Neutral, What::HazardChanged),
            };
            self.tell(Group::Safety, class, what, "work", name, format!("the hazard of `{name}` changed"));
        }
    }

    fn hazard(&mut self, name: &Name, old: &Hazard, new: &Hazard) {
        let Hazard { worst: _, certainty: _, hazard: _, consequence: _, avoid: _ } = old;
        let rank = |hazard: &Hazard| (hazard.worst, hazard.certainty);
        if rank(old) != rank(new) {
            let (class, what) = if rank(new) < rank(old) {
                (Class::Weakened, What::WarningLowered)
            } else {
                (Class::Strengthened, What::WarningRaised)
            };
            let message = format!("the hazard `{name}` is graver or lesser than before");
            self.tell(Group::Safety, class, what, "hazards", name, message);
        }
        for (old, new) in
            [(&old.hazard, &new.hazard), (&old.consequence, &new.consequence), (&old.avoid, &new.avoid)]
        {
            self.wording("hazards", name, Some(old), Some(new));
        }
    }

    fn amount(&mut self, name: &Name, old: &Amount, new: &Amount) {
        if old == new {
            return;
        }
        let cases = |side: &super::Side<'_>| {
            let figure = document::model::Figure(format!("${name}"));
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

/// What a condition is called and how people are asked about it, as one text.
fn questions(condition: &Condition) -> String {
    let mut text = condition.label.clone().unwrap_or_default();
    match &condition.ask {
        None => {}
        Some(Ask::First(question)) => text.extend([" ", question]),
        Some(Ask::ByValue(questions)) => {
            for (value, question) in questions {
                text.extend([" ", value, ": ", question]);
            }
        }
    }
    text
}
