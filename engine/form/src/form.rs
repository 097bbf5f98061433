//! The compiled form. Every field is explained in `FORM.md`, section 1.

use serde::{Deserialize, Serialize};

/// Version of this data and of what `FORM.md` says that it means.
pub const FORM_VERSION: u32 = 1;

/// A variable and a set of its values, one bit each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Index into [`Form::vars`].
    pub var: u32,
    /// The values.
    pub set: u64,
}

/// All of its parts; empty means true.
pub type Cube = Vec<Part>;

/// A compiled procedure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// [`FORM_VERSION`].
    pub version: u32,
    /// The procedure's name.
    pub procedure: String,
    /// Conditions and variants.
    pub vars: Vec<Var>,
    /// What is asserted at the start.
    pub start: Cube,
    /// What has to be so at the start and nobody can see.
    pub unseen: Cube,
    /// The first node.
    pub entry: u32,
    /// Nodes; 0 is done and 1 is the stop.
    pub nodes: Vec<Node>,
    /// What must never be.
    pub rules: Vec<Rule>,
    /// What plans for stopping must not come to, because somebody would have to release it.
    pub released: Vec<Rule>,
    /// What settles.
    pub settling: Vec<Settling>,
    /// What evidence ends when.
    pub lost_when: Vec<Loss>,
    /// What must hold at done.
    pub promises: Vec<Promise>,
    /// The acts that plans for stopping are made of.
    pub restoring: Vec<Act>,
    /// The state in which work may be stopped and left, if there is one.
    pub rest: Option<Cube>,
}

/// A condition or a variant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Var {
    /// Its name.
    pub name: String,
    /// The names of its values; bit `i` of a set is `values[i]`.
    pub values: Vec<String>,
    /// Whether it is settled once for a whole run.
    pub is_variant: bool,
    /// Whether nobody can see it.
    pub is_hidden: bool,
    /// Whether there is a question that a look answers.
    pub is_asked: bool,
    /// What must surely hold for it to be looked at.
    pub seen_when: Cube,
    /// Whether it is after an interruption as it was before.
    pub keeps: bool,
}

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// The end of a completed run.
    Done,
    /// The end of a stopped run.
    Stop,
    /// Nobody stands there.
    Passing,
    /// A person stands there.
    Stood,
    /// A person stands there and is asked a question.
    Asks,
    /// A person stands there and chooses the next item of a block.
    Chooses,
}

/// A node.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Node {
    /// What people call it: decides nothing.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// What must hold on arrival.
    pub needs: Cube,
    /// The ways to leave it.
    pub outcomes: Vec<Outcome>,
    /// The any-order block that it lies in.
    pub block: Option<u32>,
    /// The item of that block that it belongs to.
    pub item: Option<u8>,
}

/// When an outcome is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Takes {
    /// Always.
    Always,
    /// Always; an answer of a question.
    Answer,
    /// While the item is not done.
    Item(u8),
    /// When all items are done.
    AllItems,
}

/// The variants that an outcome is for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Guard {
    /// All.
    Always,
    /// Those inside the cube.
    Is(Cube),
    /// Those outside it.
    IsNot(Cube),
}

/// A time that passes for the variants inside a cube.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wait {
    /// The variants.
    pub cube: Cube,
    /// Milliseconds.
    pub millis: u64,
}

/// What an outcome owes to rules found broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Duty {
    /// Nothing.
    Nothing,
    /// It may end some.
    May,
    /// It has to end one of them.
    Mend,
    /// There must be none.
    Absent,
}

/// What an effect does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EffectKind {
    /// An act makes it so.
    Write,
    /// An act disturbs it; the set is not used.
    Open,
    /// A look says so.
    Look,
    /// It was found out to be so.
    Find,
    /// Nobody can tell; the set is not used.
    Lose,
    /// A second person saw that it is as recorded; the set is not used.
    Verify,
}

/// A change of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Effect {
    /// What it does.
    pub kind: EffectKind,
    /// To which variable.
    pub var: u32,
    /// Its values.
    pub set: u64,
    /// The item that is offered again where this contradicts the record.
    pub offers: Option<u8>,
}

/// A way to leave a node.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// When it is open.
    pub takes: Takes,
    /// For which variants.
    pub guard: Guard,
    /// Time that passes first.
    pub waits: Vec<Wait>,
    /// What it does, one after the other.
    pub effects: Vec<Effect>,
    /// What it owes to rules found broken.
    pub duty: Duty,
    /// Where it leads.
    pub to: u32,
    /// The item that is thereby done.
    pub ends: Option<u8>,
}

/// A combination that must not be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// The combination.
    pub when: Cube,
}

/// A variable of which one value gives way to another by time alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settling {
    /// The variable.
    pub var: u32,
    /// The value that gives way, as a set.
    pub from: u64,
    /// The value that takes its place, as a set.
    pub to: u64,
    /// Milliseconds after which it has surely done so.
    pub after: u64,
    /// What must surely hold for the time to count, if anything must.
    pub holds: Option<Cube>,
}

/// How a cause of lost evidence stands over its variable.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It is over once it has come about.
    Event,
    /// It feeds the variable as long as it may hold.
    Feeds,
    /// It may come about by itself.
    ByItself {
        /// Entries of [`Form::settling`].
        falling: Vec<u32>,
        /// Variables.
        stood_over: Vec<u32>,
    },
}

/// What ends what is known of a variable.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Loss {
    /// The variable.
    pub var: u32,
    /// The cause.
    pub when: Cube,
    /// How it stands over the variable.
    pub standing: Standing,
}

/// What must hold at done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Promise {
    /// What.
    pub part: Part,
    /// Whether it is owed only where an act wrote the variable.
    pub usual: bool,
}

/// An act that plans for stopping are made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Act {
    /// Its name.
    pub name: String,
    /// What must hold before it.
    pub needs: Cube,
    /// What it does, one after the other: `write` and `open` alone.
    pub effects: Vec<Effect>,
}
