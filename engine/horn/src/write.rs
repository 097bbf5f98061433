//! Clauses as text: SMT-LIB 2.6, logic HORN.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use crate::clock::{Clock, Shows};
use crate::record::Context;
use crate::slice::{Slice, Value};
use crate::term::{Bit, Shape, Term};

impl Bit {
    /// Its name in clauses.
    fn name(self) -> String {
        match self {
            Bit::May(var, value) => format!("may_{var}_{value}"),
            Bit::Opened(var) => format!("opened_{var}"),
            Bit::Wrote(var) => format!("wrote_{var}"),
            Bit::LookOnly(entry) => format!("look_only_{entry}"),
            Bit::Found(rule) => format!("found_{rule}"),
            Bit::Least(entry, millis) => format!("least_{entry}_{millis}"),
            Bit::Clock(entry) => format!("clock_{entry}"),
            Bit::Item(item) => format!("item_{item}"),
            Bit::Again(item) => format!("again_{item}"),
        }
    }

    fn sort(self) -> &'static str {
        if matches!(self, Bit::Clock(_)) { "Int" } else { "Bool" }
    }
}

/// Writes the clauses of one slice.
pub(crate) fn write(context: &Context, slice: &Slice) -> String {
    let mut text = String::from("(set-logic HORN)\n");
    for node in places(slice) {
        let sorts: Vec<&str> = slice.bits[node as usize].iter().map(|bit| bit.sort()).collect();
        let _ = writeln!(text, "(declare-fun at_{node} ({}) Bool)", sorts.join(" "));
    }
    if slice.is_start_bad {
        text.push_str("(assert (=> true false))\n");
    }
    let clause = |at: Option<u32>, when: Option<Term>, to: Option<(u32, &[Value])>| {
        let none = BTreeSet::new();
        let bits = at.map_or(&none, |at| &slice.bits[at as usize]);
        Clause { context, bits, names: BTreeMap::new(), lets: Vec::new() }.write(at, when, to)
    };
    if let Some(start) = &slice.start {
        text.push_str(&clause(None, None, Some((slice.entry, start))));
    }
    for way in &slice.ways {
        text.push_str(&clause(Some(way.from), Some(way.when), Some((way.to, &way.values))));
    }
    for (node, when) in &slice.faults {
        text.push_str(&clause(Some(*node), Some(*when), None));
    }
    text.push_str("(check-sat)\n");
    text
}

/// The nodes that stand in a clause.
fn places(slice: &Slice) -> BTreeSet<u32> {
    let ways = slice.ways.iter().flat_map(|way| [way.from, way.to]);
    let faults = slice.faults.iter().map(|(node, _)| *node);
    let entry = slice.start.is_some().then_some(slice.entry);
    ways.chain(faults).chain(entry).collect()
}

/// A clause that is being written.
struct Clause<'a> {
    context: &'a Context<'a>,
    bits: &'a BTreeSet<Bit>,
    names: BTreeMap<Term, String>,
    lets: Vec<(String, String)>,
}

impl Clause<'_> {
    fn write(mut self, at: Option<u32>, when: Option<Term>, to: Option<(u32, &[Value])>) -> String {
        let values: Vec<Value> = to.map(|(_, values)| values.to_vec()).unwrap_or_default();
        self.share(when, &values);
        let mut body = Vec::new();
        if let Some(at) = at {
            let args = self.bits.iter().map(|bit| bit.name());
            body.push(applied(at, args.collect()));
        }
        if let Some(when) = when.filter(|when| *self.context.terms.shape(*when) != Shape::Known(true)) {
            body.push(self.term(when));
        }
        let head = match to {
            None => "false".to_string(),
            Some((to, _)) => {
                let args = values.iter().map(|value| match value {
                    Value::Truth(term) => self.term(*term),
                    Value::Number(clock) => self.clock(*clock),
                });
                applied(to, args.collect())
            }
        };
        let body = match &body[..] {
            [] => "true".to_string(),
            [one] => one.clone(),
            several => format!("(and {})", several.join(" ")),
        };
        let mut text = format!("(=> {body} {head})");
        for (name, term) in self.lets.iter().rev() {
            text = format!("(let (({name} {term})) {text})");
        }
        if !self.bits.is_empty() {
            let bits: Vec<String> =
                self.bits.iter().map(|bit| format!("({} {})", bit.name(), bit.sort())).collect();
            text = format!("(forall ({}) {text})", bits.join(" "));
        }
        format!("(assert {text})\n")
    }

    /// Gives a name to each term that stands in the clause more than once.
    fn share(&mut self, when: Option<Term>, values: &[Value]) {
        let mut roots: Vec<Term> = when.into_iter().collect();
        for value in values {
            match value {
                Value::Truth(term) => roots.push(*term),
                Value::Number(clock) => {
                    let (mut terms, mut kept) = (BTreeSet::new(), BTreeSet::new());
                    self.context.clocks.depends(*clock, &mut terms, &mut kept);
                    roots.extend(terms);
                }
            }
        }
        let mut uses: BTreeMap<Term, usize> = BTreeMap::new();
        let mut todo = roots;
        while let Some(term) = todo.pop() {
            let count = uses.entry(term).or_default();
            *count += 1;
            if *count == 1 {
                todo.extend(self.context.terms.parts(term));
            }
        }
        // A term is made after its parts, so that the order of terms is one in which they can be named.
        for (term, count) in uses {
            let is_plain = matches!(self.context.terms.shape(term), Shape::Known(_) | Shape::Bit(..));
            if count > 1 && !is_plain {
                let text = self.term(term);
                let name = format!("t{}", self.lets.len());
                self.lets.push((name.clone(), text));
                self.names.insert(term, name);
            }
        }
    }

    fn term(&self, term: Term) -> String {
        if let Some(name) = self.names.get(&term) {
            return name.clone();
        }
        let all = |terms: &[Term]| terms.iter().map(|it| self.term(*it)).collect::<Vec<_>>().join(" ");
        match self.context.terms.shape(term) {
            Shape::Known(value) => value.to_string(),
            Shape::Bit(bit, true) => self.bit(*bit),
            Shape::Bit(bit, false) => format!("(not {})", self.bit(*bit)),
            Shape::And(parts) => format!("(and {})", all(parts)),
            Shape::Or(parts) => format!("(or {})", all(parts)),
            Shape::Ite(test, yes, no) => format!("(ite {})", all(&[*test, *yes, *no])),
        }
    }

    fn bit(&self, bit: Bit) -> String {
        match bit {
            Bit::Least(entry, millis) if self.bits.contains(&Bit::Clock(entry)) => {
                format!("(>= {} {millis})", Bit::Clock(entry).name())
            }
            bit => bit.name(),
        }
    }

    fn clock(&self, clock: Clock) -> String {
        match self.context.clocks.shows(clock) {
            Shows::Kept(entry) => Bit::Clock(entry).name(),
            Shows::Known(millis) => millis.to_string(),
            Shows::More(inner, millis, after) => {
                let inner = self.clock(inner);
                format!("(ite (>= {inner} {}) {after} (+ {inner} {millis}))", after.saturating_sub(millis))
            }
            Shows::Ite(test, yes, no) => {
                format!("(ite {} {} {})", self.term(test), self.clock(yes), self.clock(no))
            }
        }
    }
}

fn applied(node: u32, args: Vec<String>) -> String {
    if args.is_empty() { format!("at_{node}") } else { format!("(at_{node} {})", args.join(" ")) }
}
