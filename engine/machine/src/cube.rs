//! Compiled conjunctions of memberships.

use crate::bits::Bits;
use crate::layout::{Layout, VarId};

/// One membership: the variable has one of the values in the set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Conjunct {
    /// The variable.
    pub var: VarId,
    /// The values, one bit each.
    pub set: u64,
}

/// A conjunction of memberships; empty means true.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cube(pub Vec<Conjunct>);

impl Cube {
    /// Whether every state of the box is inside.
    #[must_use]
    pub fn holds(&self, layout: &Layout, bits: &Bits) -> bool {
        self.0.iter().all(|c| bits.field(layout, c.var) & !c.set == 0)
    }

    /// Whether some state of the box is inside.
    #[must_use]
    pub fn meets(&self, layout: &Layout, bits: &Bits) -> bool {
        self.0.iter().all(|c| bits.field(layout, c.var) & c.set != 0)
    }

    /// Whether the cube speaks of the variable.
    #[must_use]
    pub fn mentions(&self, var: VarId) -> bool {
        self.0.iter().any(|c| c.var == var)
    }

    /// The part of the box inside the cube, if any.
    #[must_use]
    pub fn inside(&self, layout: &Layout, bits: &Bits) -> Option<Bits> {
        let mut part = bits.clone();
        for c in &self.0 {
            let set = part.field(layout, c.var) & c.set;
            if set == 0 {
                return None;
            }
            part.set_field(layout, c.var, set);
        }
        Some(part)
    }

    /// The part of the box outside the cube, as disjoint boxes: the first conjunct false; the first true and the second
    /// false; and so on.
    #[must_use]
    pub fn outside(&self, layout: &Layout, bits: &Bits) -> Vec<Bits> {
        let mut rest = bits.clone();
        let mut parts = Vec::new();
        for c in &self.0 {
            let field = rest.field(layout, c.var);
            if field & !c.set != 0 {
                let mut part = rest.clone();
                part.set_field(layout, c.var, field & !c.set);
                parts.push(part);
            }
            if field & c.set == 0 {
                return parts;
            }
            rest.set_field(layout, c.var, field & c.set);
        }
        parts
    }
}
