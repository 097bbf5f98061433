//! Terms over the bits of a record, each made once, in negation normal form.
//!
//! Only what is plain from a term itself is simplified (`x and not x`, `x or true`): no state is ever looked at.

use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

/// One bit of a record or of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Bit {
    /// The variable may have the value.
    May(u32, u32),
    /// The variable is opened.
    Opened(u32),
    /// An act wrote the variable.
    Wrote(u32),
    /// Only looks count for the entry of `settling`.
    LookOnly(u32),
    /// The rule is found.
    Found(u32),
    /// The entry's clock is at least so many milliseconds (never 0).
    Least(u32, u64),
    /// The entry's clock itself: not a truth value but a number, for clocks with too many steps.
    Clock(u32),
    /// The item is done.
    Item(u8),
    /// The item was offered again.
    Again(u8),
}

/// A truth value as a term: an index into [`Terms`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Term(u32);

/// What a term is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Shape {
    /// True or false.
    Known(bool),
    /// A bit, or that it is not set.
    Bit(Bit, bool),
    /// All of them: at least two.
    And(Vec<Term>),
    /// One of them: at least two.
    Or(Vec<Term>),
    /// The second where the first is so, else the third.
    Ite(Term, Term, Term),
}

/// Every term there is.
pub(crate) struct Terms {
    shapes: Vec<Shape>,
    index: HashMap<Shape, Term>,
    negated: HashMap<Term, Term>,
    reads: HashMap<Term, Rc<BTreeSet<Bit>>>,
}

pub(crate) const FALSE: Term = Term(0);
pub(crate) const TRUE: Term = Term(1);

impl Terms {
    pub(crate) fn new() -> Terms {
        let mut terms = Terms {
            shapes: Vec::new(),
            index: HashMap::new(),
            negated: HashMap::new(),
            reads: HashMap::new(),
        };
        terms.make(Shape::Known(false));
        terms.make(Shape::Known(true));
        terms
    }

    pub(crate) fn shape(&self, term: Term) -> &Shape {
        &self.shapes[term.0 as usize]
    }

    fn make(&mut self, shape: Shape) -> Term {
        if let Some(term) = self.index.get(&shape) {
            return *term;
        }
        let term = Term(u32::try_from(self.shapes.len()).unwrap_or(u32::MAX));
        self.shapes.push(shape.clone());
        self.index.insert(shape, term);
        term
    }

    pub(crate) fn bit(&mut self, bit: Bit) -> Term {
        self.make(Shape::Bit(bit, true))
    }

    pub(crate) fn not(&mut self, term: Term) -> Term {
        if let Some(done) = self.negated.get(&term) {
            return *done;
        }
        let result = match self.shape(term).clone() {
            Shape::Known(value) => known(!value),
            Shape::Bit(bit, set) => self.make(Shape::Bit(bit, !set)),
            Shape::And(parts) => {
                let parts: Vec<Term> = parts.into_iter().map(|part| self.not(part)).collect();
                self.or(&parts)
            }
            Shape::Or(parts) => {
                let parts: Vec<Term> = parts.into_iter().map(|part| self.not(part)).collect();
                self.and(&parts)
            }
            Shape::Ite(test, yes, no) => {
                let (yes, no) = (self.not(yes), self.not(no));
                self.ite(test, yes, no)
            }
        };
        self.negated.insert(term, result);
        self.negated.insert(result, term);
        result
    }

    pub(crate) fn and(&mut self, parts: &[Term]) -> Term {
        self.join(parts, true)
    }

    pub(crate) fn or(&mut self, parts: &[Term]) -> Term {
        self.join(parts, false)
    }

    pub(crate) fn and_not(&mut self, one: Term, other: Term) -> Term {
        let other = self.not(other);
        self.and(&[one, other])
    }

    /// All of the parts, or one of them.
    fn join(&mut self, parts: &[Term], all: bool) -> Term {
        let (neutral, absorbing) = (known(all), known(!all));
        let mut members = BTreeSet::new();
        let mut todo: Vec<Term> = parts.to_vec();
        while let Some(part) = todo.pop() {
            match self.shape(part) {
                Shape::Known(value) if *value == all => {}
                Shape::Known(_) => return absorbing,
                Shape::And(inner) if all => todo.extend(inner),
                Shape::Or(inner) if !all => todo.extend(inner),
                _ => {
                    members.insert(part);
                }
            }
        }
        for member in members.clone() {
            let negated = self.not(member);
            if members.contains(&negated) {
                return absorbing;
            }
            // What another member says already is taken out of this one: `x and (not x or y)` is `x and y`.
            let simpler = self.given(member, &members, all);
            if simpler != member {
                members.remove(&member);
                let rest: Vec<Term> = members.into_iter().chain([simpler]).collect();
                return self.join(&rest, all);
            }
        }
        let members: Vec<Term> = members.into_iter().collect();
        match members[..] {
            [] => neutral,
            [only] => only,
            _ if all => self.make(Shape::And(members)),
            _ => self.make(Shape::Or(members)),
        }
    }

    /// The member, where the other members are taken to be so (`all`) or not so.
    fn given(&mut self, member: Term, others: &BTreeSet<Term>, all: bool) -> Term {
        match self.shape(member).clone() {
            Shape::Or(inner) if all => self.thinned(member, &inner, others, all),
            Shape::And(inner) if !all => self.thinned(member, &inner, others, all),
            Shape::Ite(test, yes, no) => {
                let negated = self.not(test);
                let (is, is_not) = if all { (test, negated) } else { (negated, test) };
                match (others.contains(&is), others.contains(&is_not)) {
                    (true, _) => yes,
                    (_, true) => no,
                    _ => member,
                }
            }
            _ => member,
        }
    }

    fn thinned(&mut self, member: Term, inner: &[Term], others: &BTreeSet<Term>, all: bool) -> Term {
        let mut kept = Vec::new();
        for part in inner {
            if others.contains(part) {
                return known(all);
            }
            let negated = self.not(*part);
            if !others.contains(&negated) {
                kept.push(*part);
            }
        }
        if kept.len() == inner.len() { member } else { self.join(&kept, !all) }
    }

    pub(crate) fn ite(&mut self, test: Term, yes: Term, no: Term) -> Term {
        let untest = self.not(test);
        if yes == no || test == TRUE {
            yes
        } else if test == FALSE {
            no
        } else if yes == TRUE || yes == test {
            self.or(&[test, no])
        } else if yes == FALSE || yes == untest {
            self.and(&[untest, no])
        } else if no == TRUE || no == untest {
            self.or(&[untest, yes])
        } else if no == FALSE || no == test {
            self.and(&[test, yes])
        } else {
            self.make(Shape::Ite(test, yes, no))
        }
    }

    /// The bits in a term.
    pub(crate) fn reads(&mut self, term: Term) -> Rc<BTreeSet<Bit>> {
        if let Some(done) = self.reads.get(&term) {
            return Rc::clone(done);
        }
        let mut bits = BTreeSet::new();
        if let Shape::Bit(bit, _) = self.shape(term) {
            bits.insert(*bit);
        }
        for part in self.parts(term) {
            bits.extend(self.reads(part).iter().copied());
        }
        let bits = Rc::new(bits);
        self.reads.insert(term, Rc::clone(&bits));
        bits
    }

    /// The terms that a term is made of.
    pub(crate) fn parts(&self, term: Term) -> Vec<Term> {
        match self.shape(term) {
            Shape::Known(_) | Shape::Bit(..) => Vec::new(),
            Shape::And(parts) | Shape::Or(parts) => parts.clone(),
            Shape::Ite(test, yes, no) => vec![*test, *yes, *no],
        }
    }
}

pub(crate) fn known(value: bool) -> Term {
    if value { TRUE } else { FALSE }
}
