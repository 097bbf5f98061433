//! A procedure and its equipment with every name looked up, still as the tree people write.

/// A conjunction of memberships: each variable has one of the values in its set.
pub type Cube = Vec<(usize, u64)>;

/// A variant or a condition.
#[derive(Debug)]
pub struct Variable {
    /// Its name.
    pub name: String,
    /// Its values, in the order written.
    pub values: Vec<String>,
    /// Whether it is a variant: known, and written by nothing.
    pub variant: bool,
    /// How it settles.
    pub settles: Option<Settling>,
    /// What of it is lost when one of these comes about.
    pub lost: Vec<Cube>,
    /// Whether nobody can see it.
    pub hidden: bool,
    /// Whether it has a question.
    pub ask: bool,
    /// The values of which each has a question of its own, as a set.
    pub asked: u64,
    /// It can be looked at only while this surely holds.
    pub seen_when: Cube,
    /// Whether it stays as it was over an interruption.
    pub keeps: bool,
    /// The value it has again at the end.
    pub normal: Option<u64>,
}

/// How one value gives way to another by time.
#[derive(Debug)]
pub struct Settling {
    /// The value that gives way, as a set.
    pub from: u64,
    /// The value that takes its place, as a set.
    pub to: u64,
    /// After how many milliseconds it surely has.
    pub after: u64,
    /// Time counts only while this surely holds.
    pub holds: Cube,
}

/// An act that plans for stopping may use.
#[derive(Debug)]
pub struct Restoring {
    /// Its name.
    pub name: String,
    /// What it needs.
    pub needs: Cube,
    /// What it writes, one after the other; all values where it disturbs.
    pub writes: Vec<(usize, u64, bool)>,
}

/// Equipment and procedure, looked up.
pub struct Judged {
    /// Variants first, then conditions.
    pub vars: Vec<Variable>,
    /// Combinations that must not be, by name; what somebody may release is no prohibition.
    pub rules: Vec<(String, Cube)>,
    /// What nobody comes to without a release: no plan does.
    pub(super) released: Vec<Cube>,
    /// What the procedure requires.
    pub requires: Cube,
    /// What it leaves.
    pub leaves: Cube,
    /// The state in which the machine may be left, if one is stated.
    pub rest: Option<Cube>,
    /// The restoring acts.
    pub restoring: Vec<Restoring>,
    pub(super) steps: Vec<ModelStep>,
    /// What plans read, a bit each.
    pub(super) planned: u64,
}

pub(super) struct ModelStep {
    pub(super) id: String,
    pub(super) only: Cube,
    /// What it needs: its own, its work's, its action's, of a performed procedure what that requires.
    pub(super) needs: Cube,
    /// What has to be so for what it looks at to be seen: needed where it looks, beside what it needs.
    pub(super) sees: Cube,
    /// What it writes, in order; the last of the three tells what is disturbed.
    pub(super) writes: Vec<(usize, u64, bool)>,
    /// What the step itself is said to disturb, left or not.
    pub(super) disturbs: Vec<usize>,
    pub(super) kind: StepKind,
    pub(super) then: Option<String>,
    pub(super) otherwise: Option<String>,
    /// Whether somebody else verifies it.
    pub(super) verified: bool,
}

pub(super) enum StepKind {
    Act,
    Hold,
    Confirm(Cube),
    Measure {
        shows: Cube,
        attempts: u32,
    },
    Wait {
        times: Vec<(Cube, u64)>,
        until: Cube,
    },
    Ask(Vec<(Option<Cube>, String)>),
    AnyOrder {
        items: Vec<ModelStep>,
        /// What is each item's own, a bit each (R26).
        own: Vec<u64>,
    },
    Repeat {
        until: Cube,
        at_most: u32,
        steps: Vec<ModelStep>,
    },
    Perform(Vec<ModelStep>),
}

impl StepKind {
    /// The steps that it holds, if it may hold any.
    pub(super) fn steps(&self) -> Option<&[ModelStep]> {
        match self {
            Self::AnyOrder { items: steps, .. } | Self::Repeat { steps, .. } | Self::Perform(steps) => {
                Some(steps)
            }
            Self::Act
            | Self::Hold
            | Self::Confirm(_)
            | Self::Measure { .. }
            | Self::Wait { .. }
            | Self::Ask(_) => None,
        }
    }
}

impl Judged {
    /// All values of a variable.
    #[must_use]
    pub fn all(&self, var: usize) -> u64 {
        (1 << self.vars[var].values.len()) - 1
    }

    /// The conditions, without the variants.
    pub(super) fn conditions(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.vars.len()).filter(|&var| !self.vars[var].variant)
    }
}
