//! What the oracle knows of a procedure: its documents with every name looked up, still as the tree people write.

use document::Library;
use document::model::{Answer, Cube, Equipment, Figure, Kind, Name, Procedure, Step};

/// A conjunction: each variable has one of the values in its set.
pub(crate) type Test = Vec<(usize, u64)>;

/// Equipment and procedure, looked up.
pub(crate) struct World {
    /// Variants first, then conditions: name and number of values.
    pub(crate) vars: Vec<(String, Vec<String>)>,
    pub(crate) rules: Vec<(String, Test)>,
    /// Condition, the value that gives way, the value that takes its place, the time in milliseconds.
    pub(crate) settles: Vec<(usize, u8, u8, u64)>,
    pub(crate) lost: Vec<(usize, Test)>,
    pub(crate) start: Test,
    pub(crate) promises: Test,
    pub(crate) steps: Vec<Plan>,
    /// The state in which the machine may be left, if one is stated.
    pub(crate) rest: Option<Test>,
    /// What restoring acts need and write.
    pub(crate) restoring: Vec<(Test, Test)>,
    /// For every variable, whether it matters to leaving the machine.
    pub(crate) leaving: Vec<bool>,
    pub(crate) lapsing: Vec<usize>,
    /// Whether a person can look; a variant is always known.
    pub(crate) askable: Vec<bool>,
}

/// One step, looked up.
pub(crate) struct Plan {
    pub(crate) id: String,
    pub(crate) only: Test,
    pub(crate) needs: Test,
    /// What the step writes when it succeeds.
    pub(crate) effects: Test,
    /// What it makes uncertain even when a reading fails.
    pub(crate) disturbed: Test,
    pub(crate) kind: Planned,
    pub(crate) then: Option<String>,
    pub(crate) otherwise: Option<String>,
}

pub(crate) enum Planned {
    Act,
    Confirm(Test),
    Measure { shows: Test, attempts: u32 },
    Wait { times: Vec<(Test, u64)>, until: Test },
    Ask(Vec<(Option<Test>, String)>),
    AnyOrder(Vec<Plan>),
    Repeat { until: Test, at_most: u32, steps: Vec<Plan> },
    Perform(Vec<Plan>),
}

impl World {
    pub(crate) fn new(library: &Library, name: &str) -> Self {
        let procedure = &library.procedures[name].model;
        let equipment = &library.equipment[&procedure.equipment].model;
        let variants = equipment.variants.iter().map(|(name, values)| (name.to_string(), values.clone()));
        let conditions = equipment.conditions.iter().map(|(name, c)| (name.to_string(), c.values.clone()));
        let mut world = Self {
            vars: variants.chain(conditions).collect(),
            rules: Vec::new(),
            settles: Vec::new(),
            lost: Vec::new(),
            start: Vec::new(),
            promises: Vec::new(),
            steps: Vec::new(),
            rest: None,
            restoring: Vec::new(),
            leaving: Vec::new(),
            lapsing: Vec::new(),
            askable: vec![true; equipment.variants.len()],
        };
        world.rules =
            equipment.never.iter().map(|(name, rule)| (name.to_string(), world.test(&rule.when))).collect();
        for (name, condition) in &equipment.conditions {
            let var = world.var(name);
            if let Some(settles) = &condition.settles {
                let after = calc::quantity::Duration::parse(&settles.after).expect("a time").as_millis();
                let value = |value| world.value(var, value) as u8;
                world.settles.push((var, value(&settles.from), value(&settles.to), after));
            }
            if let Some(cause) = &condition.lost_when {
                world.lost.push((var, world.test(cause)));
            }
            if condition.lapses.is_some() {
                world.lapsing.push(var);
            }
            world.askable.push(condition.ask.is_some());
        }
        world.rest = equipment.safe_state.as_ref().map(|state| world.test(state));
        for action in equipment.actions.values().filter(|action| action.restores) {
            let mut needs = world.test(&action.requires);
            needs.extend(action.work.iter().flat_map(|work| world.test(&equipment.work[work].requires)));
            let mut effects = Test::new();
            world.write(&mut effects, &mut Test::new(), &action.disturbs, &action.leaves);
            world.restoring.push((needs, effects));
        }
        world.leaving = world.matters_to_leaving();
        world.start = world.with_normals(equipment, &procedure.requires);
        world.promises = world.with_normals(equipment, &procedure.leaves);
        world.steps = world.list(library, equipment, procedure, &procedure.steps);
        world
    }

    /// All values of a variable.
    pub(crate) fn all(&self, var: usize) -> u64 {
        (1 << self.vars[var].1.len()) - 1
    }

    fn var(&self, name: &str) -> usize {
        self.vars.iter().position(|(known, _)| known == name).expect("a known condition")
    }

    fn value(&self, var: usize, value: &str) -> usize {
        self.vars[var].1.iter().position(|known| known == value).expect("a known value")
    }

    fn test(&self, cube: &Cube) -> Test {
        let set = |var, values: &[String]| values.iter().map(|value| 1u64 << self.value(var, value)).sum();
        cube.iter().map(|(name, values)| (self.var(name), set(self.var(name), &values.0))).collect()
    }

    fn with_normals(&self, equipment: &Equipment, stated: &Cube) -> Test {
        let mut test = self.test(stated);
        for (name, condition) in equipment.conditions.iter().filter(|(name, _)| !stated.contains_key(*name)) {
            if let Some(normal) = &condition.normal {
                let var = self.var(name);
                test.push((var, 1 << self.value(var, normal)));
            }
        }
        test
    }

    fn list(&self, library: &Library, equipment: &Equipment, of: &Procedure, steps: &[Step]) -> Vec<Plan> {
        steps.iter().map(|step| self.step(library, equipment, of, step)).collect()
    }

    fn step(&self, library: &Library, equipment: &Equipment, of: &Procedure, step: &Step) -> Plan {
        let mut needs = self.test(&step.requires);
        let mut effects = Test::new();
        let mut disturbed = Test::new();
        let work = |work: &Option<Name>| {
            work.iter().flat_map(|work| self.test(&equipment.work[work].requires)).collect::<Test>()
        };
        needs.extend(work(&step.work));
        if let Some(name) = &step.action {
            let action = &equipment.actions[name];
            needs.extend(self.test(&action.requires));
            needs.extend(work(&action.work));
            self.write(&mut effects, &mut disturbed, &action.disturbs, &action.leaves);
        }
        self.write(&mut effects, &mut disturbed, &step.disturbs, &step.leaves);
        let inner = |steps: &[Step]| self.list(library, equipment, of, steps);
        let kind = match step.kind().expect("a kind") {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) | Kind::Hold(_) => Planned::Act,
            Kind::Confirm(cube) => Planned::Confirm(self.test(cube)),
            Kind::Measure(measure) => {
                Planned::Measure { shows: self.test(&measure.shows), attempts: measure.retests + 1 }
            }
            Kind::Wait(wait) => {
                let times = wait.time.iter().flat_map(|figure| self.times(equipment, of, figure)).collect();
                Planned::Wait { times, until: self.test(&wait.until) }
            }
            Kind::Ask(_) => {
                Planned::Ask(step.answers.iter().flatten().map(|(_, answer)| self.answer(answer)).collect())
            }
            Kind::AnyOrder(items) => Planned::AnyOrder(inner(items)),
            Kind::Repeat(repeat) => Planned::Repeat {
                until: self.test(&repeat.until),
                at_most: repeat.at_most,
                steps: inner(&repeat.steps),
            },
            Kind::Perform(name) => {
                let other = &library.procedures[name].model;
                needs.extend(self.test(&other.requires));
                Planned::Perform(self.list(library, equipment, other, &other.steps))
            }
        };
        let target =
            |target: &Option<document::model::Target>| target.as_ref().map(|target| target.0.to_string());
        let (then, otherwise) = (target(&step.then), target(&step.otherwise));
        Plan {
            id: step.id.to_string(),
            only: self.test(&step.only),
            needs,
            effects,
            disturbed,
            kind,
            then,
            otherwise,
        }
    }

    fn answer(&self, answer: &Answer) -> (Option<Test>, String) {
        let shows = match answer {
            Answer::Goes(_) => None,
            Answer::Shows(outcome) => Some(self.test(&outcome.shows)),
        };
        (shows, answer.target().0.to_string())
    }

    /// Disturbed is any value; what is left counts after that.
    fn write(&self, effects: &mut Test, disturbed: &mut Test, disturbs: &[Name], leaves: &Cube) {
        let uncertain: Test =
            disturbs.iter().map(|name| (self.var(name), self.all(self.var(name)))).collect();
        disturbed.extend(&uncertain);
        for (var, set) in uncertain.into_iter().chain(self.test(leaves)) {
            effects.retain(|&(known, _)| known != var);
            effects.push((var, set));
        }
    }

    fn times(&self, equipment: &Equipment, of: &Procedure, figure: &Figure) -> Vec<(Test, u64)> {
        let cases = document::figure_cases(equipment, Some(of), figure).expect("a figure");
        cases
            .iter()
            .map(|case| {
                let test = case
                    .variants
                    .iter()
                    .map(|(name, value)| (self.var(name), 1 << self.value(self.var(name), value)));
                let time = calc::quantity::Duration::from_quantity(&case.quantity).expect("a time");
                (test.collect(), time.as_millis())
            })
            .collect()
    }
}

/// Whether every membership holds.
pub(crate) fn holds(test: &Test, values: &[u8]) -> bool {
    test.iter().all(|&(var, set)| set >> values[var] & 1 == 1)
}
