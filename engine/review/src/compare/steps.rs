//! Step by step: gates, waits, verifications, warnings, and where each way leads.

use super::change::{Change, Class, Group};
use super::cubes::{all, asked, reordered, shifts};
use super::figures::{Bound, bound};
use super::matching::{Matching, Steps};
use super::pair::{Pair, place};
use super::plain::passes_differ;
use super::what::What;
use document::model::{
    Answer, Common, Cube, Hold, Kind, Measure, Name, Outcome, Question, Repeat, Step, Target, Wait,
};
use indexmap::IndexMap;

/// One step in both revisions.
pub(super) struct Both<'a> {
    pub(super) pair: &'a Pair<'a>,
    pub(super) old: (&'a str, &'a Step),
    pub(super) new: (&'a str, &'a Step),
    /// Old names of steps to new ones.
    pub(super) names: &'a IndexMap<&'a str, &'a str>,
    pub(super) changes: Vec<Change>,
}

/// All differences of the steps, in the order of the new revision, then what is gone.
pub(super) fn compare(pair: &Pair<'_>, old: &Steps<'_>, new: &Steps<'_>, matching: &Matching) -> Vec<Change> {
    let names: IndexMap<&str, &str> =
        matching.new_of.iter().map(|(&a, &b)| (&*old.all[a].1.common.id, &*new.all[b].1.common.id)).collect();
    let mut changes = Vec::new();
    for (b, (pointer, step)) in new.all.iter().enumerate() {
        match matching.old_of.get(&b) {
            None => changes.push(added(pair, pointer, step)),
            Some(&a) => {
                let (old_pointer, old_step) = &old.all[a];
                let mut both = Both {
                    pair,
                    old: (old_pointer, old_step),
                    new: (pointer, step),
                    names: &names,
                    changes: Vec::new(),
                };
                both.compare();
                changes.append(&mut both.changes);
            }
        }
    }
    for (a, (pointer, step)) in old.all.iter().enumerate() {
        if !matching.new_of.contains_key(&a) {
            changes.push(removed(pair, pointer, step));
        }
    }
    for a in matching.moved() {
        let (b, step) = (matching.new_of[&a], old.all[a].1);
        let before = b.checked_sub(1).map(|before| format!("after `{}`", new.all[before].1.common.id));
        let change = Change::safety(
            Class::Neutral,
            What::OrderChanged,
            format!("step `{}` now stands {}", step.common.id, before.unwrap_or_else(|| "first".to_owned())),
        );
        changes.push(change.at(place(pair.old, &old.all[a].0, "id"), place(pair.new, &new.all[b].0, "id")));
    }
    changes
}

/// Whether a step holds a person back until something is so.
fn is_gate(step: &Step) -> bool {
    matches!(step.kind, Kind::Confirm(_) | Kind::Measure(_) | Kind::Hold(_))
}

fn kind_word(step: &Step) -> &'static str {
    match &step.kind {
        Kind::Confirm(_) => "confirmation",
        Kind::Measure(_) => "measurement",
        Kind::Wait(_) => "wait",
        Kind::Ask(_) => "question",
        Kind::Hold(_) => "hold point",
        Kind::Fasten(_) => "fastening",
        Kind::AnyOrder(_) => "block in any order",
        Kind::Repeat(_) => "repeat",
        Kind::Perform(_) => "procedure performed",
        Kind::Do(_) | Kind::Action(_) => "act",
    }
}

fn added(pair: &Pair<'_>, pointer: &str, step: &Step) -> Change {
    let (class, what) = match &step.kind {
        Kind::Confirm(_) | Kind::Measure(_) | Kind::Hold(_) => (Class::Strengthened, What::GateAdded),
        Kind::Wait(_) => (Class::Strengthened, What::WaitAdded),
        Kind::Do(_)
        | Kind::Action(_)
        | Kind::Ask(_)
        | Kind::Fasten(_)
        | Kind::AnyOrder(_)
        | Kind::Repeat(_)
        | Kind::Perform(_) => (Class::Neutral, What::StepAdded),
    };
    Change::safety(class, what, format!("{} `{}` is new", kind_word(step), step.common.id))
        .at(None, place(pair.new, pointer, "id"))
}

/// Whatever a person no longer does counts as less, but for questions and what only holds other steps.
fn removed(pair: &Pair<'_>, pointer: &str, step: &Step) -> Change {
    let (class, what) = match &step.kind {
        Kind::Confirm(_) | Kind::Measure(_) | Kind::Hold(_) => (Class::Weakened, What::GateRemoved),
        Kind::Wait(_) => (Class::Weakened, What::WaitRemoved),
        Kind::Ask(_) | Kind::AnyOrder(_) | Kind::Repeat(_) => (Class::Neutral, What::StepRemoved),
        Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) | Kind::Perform(_) => {
            (Class::Weakened, What::StepRemoved)
        }
    };
    Change::safety(class, what, format!("{} `{}` is gone", kind_word(step), step.common.id))
        .at(place(pair.old, pointer, "id"), None)
}

impl Both<'_> {
    pub(super) fn tell(&mut self, group: Group, class: Class, what: What, key: &str, message: String) {
        let message = format!("step `{}`: {message}", self.new.1.common.id);
        let change = Change::new(group, class, what, message)
            .at(place(self.pair.old, self.old.0, key), place(self.pair.new, self.new.0, key));
        self.changes.push(change);
    }

    fn safety(&mut self, class: Class, what: What, key: &str, message: String) {
        self.tell(Group::Safety, class, what, key, message);
    }

    fn compare(&mut self) {
        let (old, new) = (self.old.1, self.new.1);
        // Every key of a step has its place here: a new one does not compile until somebody says what a difference
        // in it is.
        let Common {
            requires,
            work,
            disturbs,
            warn,
            by,
            verified_by,
            leaves,
            only,
            then,
            otherwise,
            expect,
            note,
            tools,
            supplies,
            spares,
            // Steps were matched by name, among others.
            id: _,
            // What is accepted stands on the review's sheet with its reason; a difference is not told.
            accept: _,
        } = &old.common;
        self.needs(requires, work.as_ref());
        self.kind();
        let whats = [What::VerificationDropped, What::VerificationAdded, What::VerificationChanged];
        let now = new.common.verified_by.as_ref();
        self.role("verification", "verified_by", verified_by.as_ref(), now, whats);
        let whats = [What::RoleDropped, What::RoleAdded, What::RoleChanged];
        self.role("role", "by", by.as_ref(), new.common.by.as_ref(), whats);
        let whats = [What::WarningDropped, What::WarningAdded];
        self.names_list("warning", "warn", warn, &new.common.warn, whats);
        let whats = [What::DisturbanceDropped, What::DisturbanceAdded];
        self.names_list("disturbance", "disturbs", disturbs, &new.common.disturbs, whats);
        if reordered(leaves, &new.common.leaves) {
            let message = "the order in which it makes its conditions so changed".to_owned();
            self.safety(Class::Weakened, What::EffectOrderChanged, "leaves", message);
        }
        if **leaves != *new.common.leaves {
            self.safety(
                Class::Neutral,
                What::EffectChanged,
                "leaves",
                "what is true after it changed".to_owned(),
            );
        }
        for shift in shifts(&all([only]), &all([&new.common.only]), &self.pair.new.equipment.model) {
            let class = if shift.wider { Class::Strengthened } else { Class::Weakened };
            let message = format!("done for other machines: {}", shift.sentence());
            self.safety(class, What::VariantsChanged, "only", message);
        }
        self.ways(then.as_ref(), otherwise.as_ref());
        self.words(expect.as_deref(), note.as_deref());
        self.things([tools, supplies, spares]);
    }

    /// What must hold before it, whoever asks for it. Types of work and actions count as they were, so that their own
    /// changes are told once.
    fn needs(&mut self, requires: &Cube, work: Option<&Name>) {
        let (now, new_work) = (&self.new.1.common.requires, self.new.1.common.work.as_ref());
        let old = all(self.effective(&self.old.1.kind, requires, work));
        let new = all(self.effective(&self.new.1.kind, now, new_work));
        for shift in shifts(&old, &new, &self.pair.new.equipment.model) {
            let class = asked(&shift);
            let what = if class == Class::Weakened {
                What::PreconditionWeakened
            } else {
                What::PreconditionStrengthened
            };
            let key = if work == new_work { "requires" } else { "work" };
            self.safety(class, what, key, format!("what it needs changed: {}", shift.sentence()));
        }
        if work != new_work {
            let (class, what) = match (work, new_work) {
                (Some(_), None) => (Class::Weakened, What::TypeOfWorkDropped),
                (None, Some(_)) => (Class::Strengthened, What::TypeOfWorkAdded),
                (Some(_), Some(_)) | (None, None) => (Class::Neutral, What::TypeOfWorkChanged),
            };
            let word = |work: Option<&Name>| work.map_or("none".to_owned(), |work| format!("`{work}`"));
            self.safety(
                class,
                what,
                "work",
                format!("type of work was {}, is now {}", word(work), word(new_work)),
            );
        }
    }

    fn effective<'s>(&'s self, kind: &Kind, requires: &'s Cube, work: Option<&'s Name>) -> Vec<&'s Cube> {
        let machines = [&self.pair.old.equipment.model, &self.pair.new.equipment.model];
        let action = kind.action().and_then(|name| machines.iter().find_map(|one| one.actions.get(name)));
        let works = work.into_iter().chain(action.and_then(|action| action.work.as_ref()));
        let mut cubes = vec![requires];
        cubes.extend(action.map(|action| &action.requires));
        cubes.extend(
            works
                .filter_map(|name| machines.iter().find_map(|one| one.work.get(name)))
                .map(|work| &work.requires),
        );
        cubes
    }

    fn kind(&mut self) {
        let machine = &self.pair.new.equipment.model;
        match (&self.old.1.kind, &self.new.1.kind) {
            (Kind::Confirm(old), Kind::Confirm(new)) => {
                for shift in shifts(&all([old]), &all([new]), machine) {
                    let class = asked(&shift);
                    let what =
                        if class == Class::Weakened { What::GateWeakened } else { What::GateStrengthened };
                    self.safety(class, what, "confirm", format!("confirms otherwise: {}", shift.sentence()));
                }
            }
            (Kind::Measure(old), Kind::Measure(new)) => self.measure(old, new),
            (Kind::Wait(old), Kind::Wait(new)) => self.wait(old, new),
            (Kind::Hold(Hold { released_by, check }), Kind::Hold(new)) => {
                if *released_by != new.released_by {
                    let message = format!("released by `{}`, before by `{released_by}`", new.released_by);
                    self.safety(Class::Neutral, What::RoleChanged, "hold/released_by", message);
                }
                self.wording("hold/check", Some(check), Some(&new.check));
            }
            (Kind::Do(old), Kind::Do(new)) => self.wording("do", Some(old), Some(new)),
            // Answers are compared with the other ways on.
            (Kind::Ask(Question { text, answers: _ }), Kind::Ask(new)) => {
                self.wording("ask", Some(text), Some(&new.text));
            }
            (Kind::Action(old), Kind::Action(new)) => {
                if old != new {
                    let message = format!("does `{new}`, before `{old}`");
                    self.safety(Class::Neutral, What::ActChanged, "action", message);
                }
            }
            (Kind::Perform(old), Kind::Perform(new)) => {
                if old != new {
                    let message = format!("performs `{new}`, before `{old}`");
                    self.safety(Class::Neutral, What::ActChanged, "perform", message);
                }
            }
            (Kind::Fasten(old), Kind::Fasten(new)) => {
                if passes_differ(old, new) {
                    let message = "another group of fasteners, or another pass".to_owned();
                    self.safety(Class::Neutral, What::ActChanged, "fasten", message);
                }
            }
            // The steps inside are compared as steps.
            (Kind::Repeat(Repeat { until, at_most, steps: _ }), Kind::Repeat(new)) => {
                for shift in shifts(&all([until]), &all([&new.until]), machine) {
                    let class = asked(&shift);
                    let what =
                        if class == Class::Weakened { What::GateWeakened } else { What::GateStrengthened };
                    self.safety(class, what, "repeat/until", format!("ends otherwise: {}", shift.sentence()));
                }
                if *at_most != new.at_most {
                    let (class, what) = if new.at_most > *at_most {
                        (Class::Weakened, What::LimitWidened)
                    } else {
                        (Class::Strengthened, What::LimitNarrowed)
                    };
                    let message = format!("at most {} rounds, before {at_most}", new.at_most);
                    self.safety(class, what, "repeat/at_most", message);
                }
            }
            // Their items are compared as steps.
            (Kind::AnyOrder(_), Kind::AnyOrder(_)) => {}
            (
                Kind::Do(_)
                | Kind::Action(_)
                | Kind::Confirm(_)
                | Kind::Measure(_)
                | Kind::Wait(_)
                | Kind::Ask(_)
                | Kind::Hold(_)
                | Kind::Fasten(_)
                | Kind::AnyOrder(_)
                | Kind::Repeat(_)
                | Kind::Perform(_),
                _,
            ) => self.another_kind(),
        }
    }

    fn another_kind(&mut self) {
        let (old, new) = (self.old.1, self.new.1);
        let holds = |step: &Step| is_gate(step) || matches!(step.kind, Kind::Wait(_));
        let (class, what) = match (holds(old), holds(new)) {
            (true, false) => (Class::Weakened, What::GateRemoved),
            (false, true) => (Class::Strengthened, What::GateAdded),
            (true, true) | (false, false) => (Class::Neutral, What::KindChanged),
        };
        let message = format!("is a {} and was a {}", kind_word(new), kind_word(old));
        self.safety(class, what, new.kind.main_key(), message);
    }

    fn measure(&mut self, old: &Measure, new: &Measure) {
        let Measure { what: measured, instrument, at_least, at_most, shows, retests } = old;
        for (key, what, bounded) in [
            ("measure/at_least", Bound::Least, (at_least, &new.at_least)),
            ("measure/at_most", Bound::Most, (at_most, &new.at_most)),
        ] {
            if let Some((class, message)) = bound(self.pair, what, bounded.0.as_ref(), bounded.1.as_ref()) {
                let word = if class == Class::Weakened { What::LimitWidened } else { What::LimitNarrowed };
                self.safety(class, word, key, message);
            }
        }
        if *retests != new.retests {
            let (class, what) = if new.retests > *retests {
                (Class::Weakened, What::LimitWidened)
            } else {
                (Class::Strengthened, What::LimitNarrowed)
            };
            let message = format!("{} further readings, before {retests}", new.retests);
            self.safety(class, what, "measure/retests", message);
        }
        if *instrument != new.instrument {
            let message = format!("measured with `{}`, before with `{instrument}`", new.instrument);
            self.safety(Class::Neutral, What::InstrumentChanged, "measure/instrument", message);
        }
        if *shows != new.shows {
            self.safety(
                Class::Neutral,
                What::EffectChanged,
                "measure/shows",
                "a reading shows something else".to_owned(),
            );
        }
        self.wording("measure/what", Some(measured), Some(&new.what));
    }

    fn wait(&mut self, old: &Wait, new: &Wait) {
        let Wait { time, until, limit, why } = old;
        if let Some((class, message)) = bound(self.pair, Bound::Least, time.as_ref(), new.time.as_ref()) {
            let what = if class == Class::Weakened { What::WaitShortened } else { What::WaitLengthened };
            self.safety(class, what, "wait/for", message);
        }
        if let Some((class, message)) = bound(self.pair, Bound::Most, limit.as_ref(), new.limit.as_ref()) {
            let what = if class == Class::Weakened { What::LimitWidened } else { What::LimitNarrowed };
            self.safety(class, what, "wait/limit", message);
        }
        for shift in shifts(&all([until]), &all([&new.until]), &self.pair.new.equipment.model) {
            let class = asked(&shift);
            let what = if class == Class::Weakened { What::GateWeakened } else { What::GateStrengthened };
            self.safety(class, what, "wait/until", format!("waits for something else: {}", shift.sentence()));
        }
        self.wording("wait/why", why.as_deref(), new.why.as_deref());
    }

    /// A role that is asked for; `whats` are a difference that drops it, adds it, or names another.
    fn role(&mut self, of: &str, key: &str, old: Option<&Name>, new: Option<&Name>, whats: [What; 3]) {
        let [dropped, added, changed] = whats;
        let (class, what, message) = match (old, new) {
            (None, None) => return,
            (Some(old), None) => (Class::Weakened, dropped, format!("the {of} by `{old}` is gone")),
            (None, Some(new)) => (Class::Strengthened, added, format!("a {of} by `{new}` is new")),
            (Some(old), Some(new)) if old == new => return,
            (Some(old), Some(new)) => {
                (Class::Neutral, changed, format!("the {of} is by `{new}`, before by `{old}`"))
            }
        };
        self.safety(class, what, key, message);
    }

    /// Names of which each counts: fewer are less. `whats` are a difference that drops one or adds one.
    fn names_list(&mut self, of: &str, key: &str, old: &[Name], new: &[Name], whats: [What; 2]) {
        let [dropped, added] = whats;
        for name in old.iter().filter(|name| !new.contains(name)) {
            self.safety(Class::Weakened, dropped, key, format!("the {of} `{name}` is gone"));
        }
        for name in new.iter().filter(|name| !old.contains(name)) {
            self.safety(Class::Strengthened, added, key, format!("the {of} `{name}` is new"));
        }
    }

    /// Where each way out leads, with steps under their new names.
    fn ways(&mut self, then: Option<&Target>, otherwise: Option<&Target>) {
        let (old, new) = (self.old.1, self.new.1);
        let moved = |old: Option<&Target>, new: Option<&Target>| {
            let named = |target: &Target| {
                self.names.get(&*target.0).map_or(target.0.to_string(), ToString::to_string)
            };
            old.map(named) != new.map(|target| target.0.to_string())
        };
        let mut told: Vec<(&str, String)> = Vec::new();
        let word =
            |target: Option<&Target>| target.map_or("the next step".to_owned(), |to| format!("`{}`", to.0));
        for (key, name, from, to) in [
            ("then", "afterwards", then, new.common.then.as_ref()),
            ("otherwise", "where it fails", otherwise, new.common.otherwise.as_ref()),
        ] {
            if moved(from, to) {
                told.push((key, format!("{name} it leads to {}, before to {}", word(to), word(from))));
            }
        }
        let before: IndexMap<&str, &Answer> = old.kind.answers().collect();
        let now: IndexMap<&str, &Answer> = new.kind.answers().collect();
        for (answer, to) in &now {
            let Some(from) = before.get(answer) else {
                told.push(("answers", format!("the answer `{answer}` is new")));
                continue;
            };
            if moved(Some(from.target()), Some(to.target())) {
                let (from, to) = (word(Some(from.target())), word(Some(to.target())));
                told.push(("answers", format!("`{answer}` leads to {to}, before to {from}")));
            }
            // Where it leads was compared above.
            let shows = |answer: &Answer| match answer {
                Answer::Goes(_) => Cube::default(),
                Answer::Shows(Outcome { shows, then: _ }) => shows.clone(),
            };
            if shows(from) != shows(to) {
                told.push(("answers", format!("`{answer}` shows something else")));
            }
        }
        for answer in before.keys().filter(|answer| !now.contains_key(*answer)) {
            told.push(("answers", format!("the answer `{answer}` is gone")));
        }
        for (key, message) in told {
            self.safety(Class::Neutral, What::WayChanged, key, message);
        }
    }

    fn words(&mut self, expect: Option<&str>, note: Option<&str>) {
        let new = &self.new.1.common;
        match (expect, new.expect.as_deref()) {
            (Some(_), None) => {
                let message = "what to see afterwards is no longer said".to_owned();
                self.safety(Class::Weakened, What::AcceptanceDropped, "expect", message);
            }
            (None, Some(_)) => {
                let message = "what to see afterwards is now said".to_owned();
                self.safety(Class::Strengthened, What::AcceptanceAdded, "expect", message);
            }
            (Some(_), Some(_)) | (None, None) => self.wording("expect", expect, new.expect.as_deref()),
        }
        self.wording("note", note, new.note.as_deref());
    }

    /// What it takes: tools, supplies and spares.
    fn things(&mut self, [tools, supplies, spares]: [&[Name]; 3]) {
        let new = &self.new.1.common;
        for (key, old, new) in [
            ("tools", tools, &new.tools),
            ("supplies", supplies, &new.supplies),
            ("spares", spares, &new.spares),
        ] {
            if old != new {
                let message = super::figures::lists(key, old, new);
                self.tell(Group::Figures, Class::Neutral, What::ThingsChanged, key, message);
            }
        }
    }

    fn wording(&mut self, key: &str, old: Option<&str>, new: Option<&str>) {
        if let Some(message) = super::figures::wording(old, new) {
            self.tell(Group::Wording, Class::Neutral, What::WordingChanged, key, message);
        }
    }
}
