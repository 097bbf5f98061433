//! Places that are one as far as a slice speaks of them.
//!
//! Where a move changes nothing that counts, and is open to all, whoever can be at its beginning can be at its end. If it is the only way
//! in, or the only way on from a place where nothing is owed, the two places have the same records and become one. That is resolution
//! of clauses; nothing is worked out about which records those are.

use std::collections::BTreeSet;

use crate::record::Context;
use crate::slice::{Slice, Way};
use crate::term::TRUE;

impl Slice {
    /// Makes one of places that are one.
    pub(crate) fn merge(&mut self, context: &mut Context) {
        self.tidy(context);
        while self.merge_once(context) {
            self.tidy(context);
        }
    }

    /// Ways and faults once each, and no way that leads to where it began with what was there.
    fn tidy(&mut self, context: &mut Context) {
        self.ways.sort();
        self.ways.dedup();
        let ways = std::mem::take(&mut self.ways);
        self.ways =
            ways.into_iter().filter(|way| way.from != way.to || !self.is_same(context, way)).collect();
        self.faults.sort();
        self.faults.dedup();
    }

    /// Whether what counts afterwards is what it was before.
    fn is_same(&self, context: &mut Context, way: &Way) -> bool {
        let bits = &self.bits[way.to as usize];
        bits.iter().zip(&way.values).all(|(bit, value)| context.unchanged(*bit) == *value)
    }

    fn merge_once(&mut self, context: &mut Context) -> bool {
        let count = self.bits.len();
        let (mut ways_in, mut ways_out) = (vec![0; count], vec![0; count]);
        for way in &self.ways {
            ways_in[way.to as usize] += 1;
            ways_out[way.from as usize] += 1;
        }
        let owing: BTreeSet<u32> = self.faults.iter().map(|(node, _)| *node).collect();
        // Several at once, as long as none of them touches another.
        let mut touched = BTreeSet::new();
        let mut merged = Vec::new();
        for way in &self.ways {
            let is_still = way.when == TRUE && way.from != way.to && self.is_same(context, way);
            let is_only_way_in = ways_in[way.to as usize] == 1 && way.to != self.entry;
            let is_only_way_out = ways_out[way.from as usize] == 1
                && !owing.contains(&way.from)
                && self.bits[way.from as usize] == self.bits[way.to as usize];
            if is_still
                && (is_only_way_in || is_only_way_out)
                && !touched.contains(&way.from)
                && !touched.contains(&way.to)
            {
                touched.extend([way.from, way.to]);
                // What remains is the place of which more may count.
                let (gone, kept) = if is_only_way_in { (way.to, way.from) } else { (way.from, way.to) };
                merged.push((way.clone(), gone, kept));
            }
        }
        let between: BTreeSet<&Way> = merged.iter().map(|(way, ..)| way).collect();
        self.ways.retain(|way| !between.contains(way));
        for (_, gone, kept) in &merged {
            self.rename(*gone, *kept);
        }
        !merged.is_empty()
    }

    fn rename(&mut self, gone: u32, kept: u32) {
        let name = |node: u32| if node == gone { kept } else { node };
        for way in &mut self.ways {
            (way.from, way.to) = (name(way.from), name(way.to));
        }
        for (node, _) in &mut self.faults {
            *node = name(*node);
        }
        self.entry = name(self.entry);
    }
}
