//! Small forms and certificates: one tested move from one place to another, with the rest as plain as can be.

use crate::told::{Reason, Refusal, verify};
use form::{
    Care, Certificate, ClaimedSet, Cube, Duty, Effect, EffectKind, Form, Guard, Loss, Node, Outcome, Part,
    PlaceSets, PlanStep, Promise, Role, Row, Rule, Settling, Standing, Takes, Var, View, Wait,
};

pub(crate) const A: u64 = 0b01;
pub(crate) const B: u64 = 0b10;

pub(crate) fn part(var: u32, set: u64) -> Part {
    Part { var, set }
}

pub(crate) fn var(name: &str, values: usize) -> Var {
    Var {
        name: name.to_owned(),
        values: (0..values).map(|i| format!("{name}{i}")).collect(),
        is_variant: false,
        is_hidden: false,
        is_asked: true,
        seen_when: Vec::new(),
        keeps: true,
    }
}

pub(crate) fn node(role: Role, outcomes: Vec<Outcome>) -> Node {
    Node { name: format!("{role:?}"), role, needs: Vec::new(), outcomes, block: None, item: None }
}

pub(crate) fn to(to: u32) -> Outcome {
    let (takes, guard, duty) = (Takes::Always, Guard::Always, Duty::Nothing);
    Outcome { takes, guard, waits: Vec::new(), effects: Vec::new(), duty, to, ends: None }
}

pub(crate) fn effect(kind: EffectKind, var: u32, set: u64) -> Effect {
    Effect { kind, var, set, offers: None }
}

pub(crate) fn row() -> Row {
    Row::default()
}

/// Rows in the order of writing.
pub(crate) trait Rows: Sized {
    fn may(self, var: u32, set: u64) -> Self;
    fn clock(self, entry: u32, millis: u64) -> Self;
    fn opened(self, var: u32) -> Self;
    fn wrote(self, var: u32) -> Self;
    fn look_only(self, entry: u32) -> Self;
    fn found(self, rule: u32) -> Self;
    fn sorted(self) -> Self;
}

impl Rows for Row {
    fn may(mut self, var: u32, set: u64) -> Self {
        self.values.push((var, set));
        self
    }
    fn clock(mut self, entry: u32, millis: u64) -> Self {
        self.clocks.push((entry, millis));
        self
    }
    fn opened(mut self, var: u32) -> Self {
        self.opened.push(var);
        self
    }
    fn wrote(mut self, var: u32) -> Self {
        self.wrote.push(var);
        self
    }
    fn look_only(mut self, entry: u32) -> Self {
        self.look_only.push(entry);
        self
    }
    fn found(mut self, rule: u32) -> Self {
        self.found.push(rule);
        self
    }
    fn sorted(mut self) -> Self {
        self.values.sort_unstable();
        self
    }
}

/// Nodes: 2 is the entry and leads to the stop; the tested move leads from 3 to 4; 4 leads to the stop.
#[derive(Clone)]
pub(crate) struct Kit {
    pub(crate) form: Form,
    pub(crate) vars: Vec<u32>,
    pub(crate) care: Care,
    pub(crate) from: Vec<Row>,
    pub(crate) to: Vec<Row>,
    pub(crate) plans: Vec<Vec<PlanStep>>,
}

pub(crate) fn kit(values: &[usize]) -> Kit {
    let vars: Vec<Var> = values.iter().enumerate().map(|(i, count)| var(&format!("v{i}"), *count)).collect();
    let nodes = vec![
        node(Role::Done, vec![]),
        node(Role::Stop, vec![]),
        node(Role::Passing, vec![to(1)]),
        node(Role::Passing, vec![to(4)]),
        node(Role::Passing, vec![to(1)]),
    ];
    let form = Form {
        version: form::FORM_VERSION,
        procedure: "p".to_owned(),
        vars,
        start: vec![],
        unseen: vec![],
        entry: 2,
        nodes,
        rules: vec![],
        released: vec![],
        settling: vec![],
        lost_when: vec![],
        promises: vec![],
        restoring: vec![],
        rest: None,
    };
    let vars: Vec<u32> = (0..).zip(values).map(|(var, _)| var).collect();
    Kit { form, care: Care::default(), vars, from: vec![], to: vec![], plans: vec![] }.exact()
}

impl Kit {
    /// The view has these variables alone.
    pub(crate) fn vars(mut self, vars: &[u32]) -> Self {
        self.vars = vars.to_vec();
        self.exact()
    }
    /// Everything counts.
    pub(crate) fn exact(mut self) -> Self {
        let has = |s: &u32| self.vars.contains(&self.form.settling[*s as usize].var);
        let look_only = (0..).zip(&self.form.settling).map(|(s, _)| s).filter(has).collect();
        self.care =
            Care { exact: self.vars.clone(), opened: self.vars.clone(), wrote: self.vars.clone(), look_only };
        self
    }
    pub(crate) fn care(mut self, change: impl FnOnce(&mut Care)) -> Self {
        change(&mut self.care);
        self
    }
    pub(crate) fn with(mut self, change: impl FnOnce(&mut Form)) -> Self {
        change(&mut self.form);
        self
    }
    pub(crate) fn var(mut self, var: u32, change: impl FnOnce(&mut Var)) -> Self {
        change(&mut self.form.vars[var as usize]);
        self
    }
    pub(crate) fn node(mut self, node: usize, change: impl FnOnce(&mut Node)) -> Self {
        change(&mut self.form.nodes[node]);
        self
    }
    pub(crate) fn by(mut self, change: impl FnOnce(&mut Outcome)) -> Self {
        change(&mut self.form.nodes[3].outcomes[0]);
        self
    }
    pub(crate) fn effect(self, kind: EffectKind, var: u32, set: u64) -> Self {
        self.by(|outcome| outcome.effects.push(effect(kind, var, set)))
    }
    pub(crate) fn offers(self, item: u8) -> Self {
        self.by(|outcome| outcome.effects.last_mut().unwrap().offers = Some(item))
    }
    pub(crate) fn duty(self, duty: Duty) -> Self {
        self.by(|outcome| outcome.duty = duty)
    }
    pub(crate) fn guard(self, guard: Guard) -> Self {
        self.by(|outcome| outcome.guard = guard)
    }
    /// For these variants the tested place leads to the stop.
    pub(crate) fn or_stops(self, guard: Guard) -> Self {
        self.node(3, |node| node.outcomes.push(Outcome { guard, ..to(1) }))
    }
    pub(crate) fn wait(self, cube: Cube, millis: u64) -> Self {
        self.by(|outcome| outcome.waits.push(Wait { cube, millis }))
    }
    pub(crate) fn rule(self, when: Cube) -> Self {
        self.with(|form| form.rules.push(Rule { name: format!("r{}", form.rules.len()), when }))
    }
    pub(crate) fn loss(self, var: u32, when: Cube, standing: Standing) -> Self {
        self.with(|form| form.lost_when.push(Loss { var, when, standing }))
    }
    /// The first value gives way to the second after 1000 ms.
    pub(crate) fn settles(self, var: u32, holds: Option<Cube>) -> Self {
        self.with(|form| form.settling.push(Settling { var, from: A, to: B, after: 1000, holds })).exact()
    }
    pub(crate) fn promise(self, part: Part, usual: bool) -> Self {
        self.with(|form| form.promises.push(Promise { part, usual }))
    }
    pub(crate) fn from(mut self, row: Row) -> Self {
        self.from.push(row);
        self
    }
    pub(crate) fn to(mut self, row: Row) -> Self {
        self.to.push(row);
        self
    }
    pub(crate) fn plan(mut self, steps: Vec<PlanStep>) -> Self {
        self.plans.push(steps);
        self
    }

    /// The places, each with its rows: the entry has the start, the stop whatever comes.
    pub(crate) fn certificate(&self) -> Certificate {
        let mut rows = Vec::new();
        // The first plan is the tested one, for the place that the tested move leads from; the last is for the others.
        let last = u32::try_from(self.plans.len()).unwrap().checked_sub(1);
        let found: Vec<Row> =
            self.from.iter().chain(&self.to).map(|it| Row { found: it.found.clone(), ..row() }).collect();
        let mut at = |node: u32, rank: u32, care: u32, its: &[Row]| {
            let plan = if node == 3 { last.and(Some(0)) } else { last };
            let sets = its.iter().map(|row| {
                rows.push(row.clone());
                ClaimedSet(u32::try_from(rows.len()).unwrap() - 1, care, plan)
            });
            PlaceSets { node, items: 0, again: 0, rank, sets: sets.collect() }
        };
        let mut stop = vec![row()];
        stop.extend(found.into_iter().filter(|row| !row.found.is_empty()));
        let places =
            vec![at(1, 0, 0, &stop), at(2, 1, 0, &[row()]), at(3, 2, 1, &self.from), at(4, 1, 1, &self.to)];
        let care = vec![Care::default(), self.care.clone()];
        let view = View { vars: self.vars.clone(), items: vec![], care, rows, places };
        certificate(self.plans.clone(), vec![view])
    }

    /// The certificate with a change.
    pub(crate) fn changed(&self, change: impl FnOnce(&mut Certificate)) -> Result<(), Refusal> {
        let mut certificate = self.certificate();
        change(&mut certificate);
        verify(&self.form, &certificate)
    }

    /// Changes the place with this node.
    pub(crate) fn placed(&self, node: u32, change: impl FnOnce(&mut PlaceSets)) -> Result<(), Refusal> {
        self.changed(|it| change(it.views[0].places.iter_mut().find(|at| at.node == node).unwrap()))
    }

    pub(crate) fn verify(&self) -> Result<(), Refusal> {
        self.changed(|_| ())
    }

    #[track_caller]
    pub(crate) fn right(&self) {
        if let Err(refusal) = self.verify() {
            panic!("{refusal}");
        }
    }

    #[track_caller]
    pub(crate) fn wrong(&self, fits: impl FnOnce(&Reason) -> bool) {
        wrong(self.verify(), fits);
    }

    /// What the tested move leads to is claimed nowhere.
    #[track_caller]
    pub(crate) fn leaves(&self) {
        self.wrong(|reason| matches!(reason, Reason::NotClaimed));
    }

    /// From `from` the tested move leads to `to`, and not to any of the others.
    #[track_caller]
    pub(crate) fn leads<const N: usize>(self, from: Row, to: Row, not: [Row; N]) -> Self {
        self.clone().from(from.clone()).to(to).right();
        for other in not {
            self.clone().from(from.clone()).to(other).leaves();
        }
        self
    }
}

pub(crate) fn certificate(plans: Vec<Vec<PlanStep>>, views: Vec<View>) -> Certificate {
    Certificate {
        version: form::CERTIFICATE_VERSION,
        procedure: "p".to_owned(),
        content: String::new(),
        program: String::new(),
        form: String::new(),
        assumes: vec![],
        plans,
        views,
    }
}

#[track_caller]
pub(crate) fn wrong(result: Result<(), Refusal>, fits: impl FnOnce(&Reason) -> bool) {
    match result {
        Ok(()) => panic!("accepted"),
        Err(refusal) => assert!(fits(&refusal.reason), "{refusal}"),
    }
}
