//! What is known at a moment, as section 1 of `FORM.md` says it: a place and a record.

/// A node with the items done and offered again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The node.
    pub node: u32,
    /// Items done.
    pub items: u32,
    /// Items offered again.
    pub again: u32,
}

/// What the people at the machine are entitled to believe, by the numbers of the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Record {
    /// By variable: the values that it may have.
    pub may: Vec<u64>,
    /// By entry of `settling`: milliseconds that have surely passed.
    pub clocks: Vec<u64>,
    /// By variable: whether it is opened.
    pub opened: Vec<bool>,
    /// By variable: whether an act wrote it.
    pub wrote: Vec<bool>,
    /// By entry of `settling`: whether only looks count.
    pub look_only: Vec<bool>,
    /// By rule: whether it is found broken.
    pub found: Vec<bool>,
}
