//! A procedure as this suite makes it up, before it is written down twice: as documents and as a Promela model.

/// Conditions with the values each may have, one bit a value.
pub(crate) type Test = Vec<(usize, u8)>;

pub(crate) struct Condition {
    pub(crate) values: u8,
    pub(crate) settles: Option<Settles>,
    pub(crate) normal: Option<u8>,
    /// Whether nobody can see it.
    pub(crate) hidden: bool,
    /// The values of which each has a question of its own; none where one question serves for all.
    pub(crate) asked: u8,
    /// What ends its evidence: any of these.
    pub(crate) lost_when: Vec<Test>,
}

pub(crate) struct Settles {
    pub(crate) from: u8,
    pub(crate) to: u8,
    /// Seconds.
    pub(crate) after: u32,
    /// What it counts under; an empty one is an event that nothing sustains.
    pub(crate) under: Option<Test>,
}

/// Equipment, one procedure and one that it may perform.
pub(crate) struct Model {
    pub(crate) conditions: Vec<Condition>,
    pub(crate) rules: Vec<Test>,
    /// What each type of work requires.
    pub(crate) work: Vec<Test>,
    pub(crate) requires: Test,
    pub(crate) leaves: Test,
    pub(crate) steps: Vec<Step>,
    pub(crate) inner_requires: Test,
    pub(crate) inner_steps: Vec<Step>,
}

pub(crate) struct Step {
    pub(crate) id: usize,
    pub(crate) kind: Kind,
    pub(crate) requires: Test,
    pub(crate) leaves: Test,
    pub(crate) disturbs: Vec<usize>,
    pub(crate) work: Option<usize>,
    /// The value of the variant for which the step is done.
    pub(crate) only: Option<u8>,
    pub(crate) then: Option<Target>,
    /// Written for the kinds that can fail.
    pub(crate) otherwise: Target,
}

#[derive(Clone, Copy)]
pub(crate) enum Target {
    Step(usize),
    Done,
    Stop,
}

pub(crate) enum Kind {
    Do,
    Hold,
    Confirm(Test),
    /// What each answer shows, if anything (one condition), and where it goes.
    Ask(Vec<(Test, Target)>),
    Measure {
        shows: Test,
        retests: u32,
    },
    WaitFor(Time),
    WaitUntil {
        until: Test,
        time: Option<u32>,
    },
    AnyOrder(Vec<Step>),
    Repeat {
        steps: Vec<Step>,
        until: Test,
        at_most: u32,
    },
    Perform,
}

#[derive(Clone, Copy)]
pub(crate) enum Time {
    Seconds(u32),
    /// The amount `purge`, which the variant decides.
    Purge,
}

/// Seconds of the purge for each variant. A line of 10 mm bore and 1 m length holds 78.5 mL: 4.7 s at 1 L/min and 13.5 s
/// at 0.35 L/min, rounded up to whole 5 s (arithmetic).
pub(crate) const PURGE: [u32; 2] = [5, 15];

/// The names of the variant's values.
pub(crate) const TIPS: [&str; 2] = ["small", "large"];

impl Step {
    /// Whether the kind can fail.
    pub(crate) fn can_fail(&self) -> bool {
        matches!(
            self.kind,
            Kind::Confirm(_) | Kind::Measure { .. } | Kind::WaitUntil { .. } | Kind::Repeat { .. }
        )
    }

    /// What the step requires itself, by its type of work, and by what it performs.
    pub(crate) fn needs(&self, model: &Model) -> Test {
        let work = self.work.map_or(&[][..], |work| &model.work[work]);
        let performed = if matches!(self.kind, Kind::Perform) { &model.inner_requires[..] } else { &[] };
        [&self.requires[..], work, performed].concat()
    }
}

/// All values of a condition.
pub(crate) fn all(condition: &Condition) -> u8 {
    (1 << condition.values) - 1
}

/// The values in a set, lowest first.
pub(crate) fn values(set: u8) -> impl Iterator<Item = u8> {
    (0..8).filter(move |value| set >> value & 1 == 1)
}
