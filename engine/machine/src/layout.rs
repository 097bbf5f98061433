//! Which conditions there are and where each one's bits lie.

use document::model::Name;

/// Index of a condition or variant in a [`Layout`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VarId(pub u32);

/// Where a variable comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// A condition of the equipment.
    Condition,
    /// A variant: one value for the whole of a walk, but any at the start of the proof.
    Variant,
}

/// A condition or a variant.
#[derive(Clone, Debug)]
pub struct Var {
    /// Its name in the equipment.
    pub name: Name,
    /// What people call it.
    pub label: String,
    /// Its values, in authored order; bit `i` of a field is `values[i]`.
    pub values: Vec<String>,
    /// Condition or variant.
    pub origin: Origin,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Slot {
    pub(crate) word: usize,
    pub(crate) shift: u32,
    width: u32,
}

impl Slot {
    pub(crate) fn mask(self) -> u64 {
        if self.width == 64 { u64::MAX } else { (1 << self.width) - 1 }
    }
}

/// All variables of a machine, with the place of each one's bits.
#[derive(Clone, Debug)]
pub struct Layout {
    vars: Vec<Var>,
    slots: Vec<Slot>,
    words: usize,
}

impl Layout {
    /// Lays the variables out in order. Each has 1 to 64 values (the schema says so).
    #[must_use]
    pub fn new(vars: Vec<Var>) -> Self {
        let (mut word, mut shift) = (0, 0);
        let mut slots = Vec::with_capacity(vars.len());
        for var in &vars {
            let width = var.values.len() as u32;
            if shift + width > 64 {
                word += 1;
                shift = 0;
            }
            slots.push(Slot { word, shift, width });
            shift += width;
        }
        Self { vars, slots, words: word + 1 }
    }

    /// All variables in order.
    pub fn ids(&self) -> impl Iterator<Item = VarId> + use<> {
        (0..self.vars.len() as u32).map(VarId)
    }

    /// One variable.
    #[must_use]
    pub fn var(&self, id: VarId) -> &Var {
        &self.vars[id.0 as usize]
    }

    /// The variable of that name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<VarId> {
        self.vars.iter().position(|var| &*var.name == name).map(|at| VarId(at as u32))
    }

    /// How many words a box takes.
    #[must_use]
    pub fn words(&self) -> usize {
        self.words
    }

    /// The set of all values of a variable.
    #[must_use]
    pub fn all(&self, var: VarId) -> u64 {
        self.slot(var).mask()
    }

    /// The set that holds only the named value.
    #[must_use]
    pub fn bit(&self, var: VarId, value: &str) -> Option<u64> {
        self.var(var).values.iter().position(|known| known == value).map(|at| 1 << at)
    }

    /// The set of the named values; what is no value of it is not in it.
    #[must_use]
    pub fn set_of<'w>(&self, var: VarId, values: impl IntoIterator<Item = &'w String>) -> u64 {
        values.into_iter().filter_map(|value| self.bit(var, value)).fold(0, |all, bit| all | bit)
    }

    /// The words of the values in a set, in authored order.
    #[must_use]
    pub fn words_of(&self, var: VarId, set: u64) -> Vec<&str> {
        let values = &self.var(var).values;
        values
            .iter()
            .enumerate()
            .filter(|(at, _)| set >> at & 1 == 1)
            .map(|(_, value)| value.as_str())
            .collect()
    }

    pub(crate) fn slot(&self, var: VarId) -> Slot {
        self.slots[var.0 as usize]
    }
}
