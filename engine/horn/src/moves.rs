//! A move: from any record at a node, by one outcome, to the record at the next node; and what must not be on the way.

use form::{Cube, Duty, Effect, EffectKind, Guard, Node, Outcome, Part, Takes, Wait};

use crate::record::{Context, Record, has};
use crate::term::{Bit, FALSE, TRUE, Term};

/// What an obligation speaks of. Obligations of one topic are asked together, each topic by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Topic {
    /// What a variable may be: needs, promises, `unseen`.
    Var(u32),
    /// That a rule is not broken, and not found at an end.
    Rule(u32),
    /// That an act owed to rules found broken ends one.
    Duty,
}

/// What must not be.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fault {
    pub(crate) topic: Topic,
    pub(crate) when: Term,
}

/// The items of a block: bits by item number.
#[derive(Clone)]
pub(crate) struct Items {
    pub(crate) done: Vec<Term>,
    pub(crate) again: Vec<Term>,
}

/// One way from node to node.
pub(crate) struct Move {
    pub(crate) to: u32,
    /// When it is open, for which records.
    pub(crate) when: Term,
    pub(crate) record: Record,
    pub(crate) items: Items,
    pub(crate) faults: Vec<Fault>,
}

/// How many items a place can tell apart: one bit each of a number of 32.
pub(crate) const ITEMS: usize = 32;

impl Context<'_> {
    /// Every move from the node.
    pub(crate) fn moves(&mut self, node: &Node) -> Vec<Move> {
        let mut moves = Vec::new();
        for outcome in &node.outcomes {
            let items = self.any_items(node);
            let open = self.open(node, outcome, &items);
            let record = self.any_record();
            for (guarded, record) in self.guarded(open, record, &outcome.guard) {
                for (when, record) in self.waited(guarded, record, &outcome.waits) {
                    if when != FALSE {
                        moves.push(self.moved(node, outcome, when, record, &items));
                    }
                }
            }
        }
        moves
    }

    fn any_items(&mut self, node: &Node) -> Items {
        let mut bits = |bit: fn(u8) -> Bit| -> Vec<Term> {
            let lies = node.block.is_some();
            let items = 0..ITEMS as u8;
            items.map(|item| if lies { self.terms.bit(bit(item)) } else { FALSE }).collect()
        };
        Items { done: bits(Bit::Item), again: bits(Bit::Again) }
    }

    fn open(&mut self, node: &Node, outcome: &Outcome, items: &Items) -> Term {
        match outcome.takes {
            Takes::Always | Takes::Answer => TRUE,
            Takes::Item(item) => self.terms.not(items.done[item as usize]),
            Takes::AllItems => {
                let offered = node.outcomes.iter().filter_map(|other| match other.takes {
                    Takes::Item(item) => Some(items.done[item as usize]),
                    _ => None,
                });
                let offered: Vec<Term> = offered.collect();
                self.terms.and(&offered)
            }
        }
    }

    /// The records that a guard lets through, each with the condition that there is such a record.
    fn guarded(&mut self, when: Term, record: Record, guard: &Guard) -> Vec<(Term, Record)> {
        match guard {
            Guard::Always => vec![(when, record)],
            Guard::Is(cube) => vec![self.inside(when, record, cube)],
            Guard::IsNot(cube) => self.outside(when, &record, cube),
        }
    }

    fn inside(&mut self, mut when: Term, mut record: Record, cube: &Cube) -> (Term, Record) {
        for part in cube {
            when = self.cut(when, &mut record, *part, true);
        }
        self.settle(&mut record, TRUE);
        (when, record)
    }

    fn outside(&mut self, when: Term, record: &Record, cube: &Cube) -> Vec<(Term, Record)> {
        let mut records = Vec::new();
        let (mut rest_when, mut rest) = (when, record.clone());
        for part in cube {
            let mut other = rest.clone();
            let other_when = self.cut(rest_when, &mut other, *part, false);
            self.settle(&mut other, TRUE);
            records.push((other_when, other));
            rest_when = self.cut(rest_when, &mut rest, *part, true);
        }
        records
    }

    /// Cuts the record down to the part, or to what is outside of it.
    fn cut(&mut self, when: Term, record: &mut Record, part: Part, inside: bool) -> Term {
        let values = record.may[part.var as usize].iter().enumerate();
        let values = values.map(|(value, term)| if has(part.set, value) == inside { *term } else { FALSE });
        let values: Vec<Term> = values.collect();
        let some = self.terms.or(&values);
        self.set_may(record, part.var, values);
        self.terms.and(&[when, some])
    }

    /// The records after the waits.
    fn waited(&mut self, when: Term, record: Record, waits: &[Wait]) -> Vec<(Term, Record)> {
        let mut done = Vec::new();
        let mut left = vec![(when, record)];
        for wait in waits {
            let mut outside = Vec::new();
            for (when, record) in left {
                outside.extend(self.outside(when, &record, &wait.cube));
                let (when, mut record) = self.inside(when, record, &wait.cube);
                self.pass(&mut record, wait.millis);
                done.push((when, record));
            }
            outside.retain(|(when, _)| *when != FALSE);
            left = outside;
        }
        done.extend(left);
        done
    }

    fn moved(&mut self, node: &Node, outcome: &Outcome, when: Term, mut record: Record, at: &Items) -> Move {
        let form = self.form;
        let stays = node.block.is_some() && form.nodes[outcome.to as usize].block == node.block;
        let none = Items { done: vec![FALSE; ITEMS], again: vec![FALSE; ITEMS] };
        let mut items = if stays { at.clone() } else { none };
        if let Some(item) = outcome.ends {
            items.done[item as usize] = TRUE;
        }
        let offerable = self.offerable(at, &items);
        let mut faults = Vec::new();
        if outcome.duty == Duty::Absent {
            let found = record.found.iter().enumerate();
            faults.extend(found.map(|(rule, found)| Fault { topic: Topic::Rule(rule as u32), when: *found }));
        }

        let (mut changed, mut looked_at) = (self.none(), self.none());
        for effect in &outcome.effects {
            self.offer(&record, effect, &offerable, &mut items);
            let now = self.apply(&mut record, effect);
            changed = self.one_by_one(&changed, &now);
            if is_look(effect) {
                looked_at[effect.var as usize] = TRUE;
            }
        }
        if outcome.effects.iter().any(is_look) {
            let noted = self.one_by_one(&changed, &looked_at);
            self.note(&mut record, &noted);
        }
        if outcome.effects.iter().any(|effect| !is_look(effect)) {
            for (rule, it) in form.rules.iter().enumerate() {
                let named = self.names(&it.when, &changed);
                let meets = self.meets(&record, &it.when);
                let broken = self.terms.and(&[named, meets]);
                let broken = self.terms.and_not(broken, record.found[rule]);
                faults.push(Fault { topic: Topic::Rule(rule as u32), when: broken });
            }
        }
        if matches!(outcome.duty, Duty::May | Duty::Mend) {
            let before = record.found.clone();
            self.found_no_more(&mut record);
            if outcome.duty == Duty::Mend {
                let owes = self.terms.or(&before);
                let ends: Vec<Term> = before
                    .iter()
                    .zip(&record.found)
                    .map(|(before, after)| self.terms.and_not(*before, *after))
                    .collect();
                let ends = self.terms.or(&ends);
                faults.push(Fault { topic: Topic::Duty, when: self.terms.and_not(owes, ends) });
            }
        }
        for fault in &mut faults {
            fault.when = self.terms.and(&[when, fault.when]);
        }
        faults.retain(|fault| fault.when != FALSE);
        Move { to: outcome.to, when, record, items, faults }
    }

    /// Items set both before and after, and not offered again before.
    fn offerable(&mut self, before: &Items, after: &Items) -> Vec<Term> {
        let items = 0..ITEMS;
        items
            .map(|item| {
                let both = self.terms.and(&[before.done[item], after.done[item]]);
                self.terms.and_not(both, before.again[item])
            })
            .collect()
    }

    /// Offers an item again where the effect contradicts the record.
    fn offer(&mut self, record: &Record, effect: &Effect, offerable: &[Term], items: &mut Items) {
        let Some(item) = effect.offers.map(usize::from) else { return };
        let agrees = self.touches(record, Part { var: effect.var, set: effect.set });
        let again = self.terms.and_not(offerable[item], agrees);
        items.done[item] = self.terms.and_not(items.done[item], again);
        items.again[item] = self.terms.or(&[items.again[item], again]);
    }

    fn one_by_one(&mut self, one: &[Term], other: &[Term]) -> Vec<Term> {
        one.iter().zip(other).map(|(one, other)| self.terms.or(&[*one, *other])).collect()
    }
}

fn is_look(effect: &Effect) -> bool {
    !matches!(effect.kind, EffectKind::Write | EffectKind::Open)
}
