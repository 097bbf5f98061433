//! A bare way back after a failed look, written as a `repeat`.

use crate::lines::{deeper, indent, item};
use crate::words::cube_text;
use document::model::Procedure;
use document::{Document, Library};
use machine::{Choice, Machine, NodeId};
use proof::Shape;
use std::ops::Range;

/// How many rounds are proposed.
const AT_MOST: u32 = 3;

/// A look that leads back where it fails.
pub(crate) struct WayBack<'a> {
    document: &'a Document<Procedure>,
    text: &'a str,
    /// The pointer of the list in which both stand, the place of the step led back to, and that of the look.
    list: &'a str,
    first: usize,
    last: usize,
    /// Where the work goes when the rounds are used up.
    otherwise: String,
}

/// The first way back inside a loop, if there is one between steps of one list.
pub(crate) fn way_back<'a>(
    library: &'a Library,
    machine: &'a Machine,
    shape: &Shape,
    inside: &[NodeId],
) -> Option<WayBack<'a>> {
    inside.iter().find_map(|&id| {
        let node = machine.node(id);
        let failed =
            |choice| matches!(choice, Choice::Fail | Choice::Is(_) | Choice::CannotTell | Choice::Answer(_));
        let back = node.outcomes.iter().filter(|way| failed(way.choice) && inside.contains(&way.to.node));
        back.map(|way| machine.node(way.to.node)).find_map(|to| {
            let (list, last) = place_of(&node.pointer)?;
            let (other, first) = place_of(&to.pointer)?;
            let document = library.procedures.get(&node.procedure)?;
            let text = library.sources.get(node.source.0 as usize)?.text.as_str();
            let same = list == other && node.source == to.source && first <= last;
            // A step after the look that nothing leads to was meant for when it fails.
            let left = shape.unreachable.iter().map(|&id| machine.node(id)).find_map(|left| {
                let (other, at) = place_of(&left.pointer)?;
                let step = document.model.step_at(&left.pointer)?;
                (other == list && left.source == node.source && at > last).then_some(&step.common.id)
            });
            let otherwise = left.map_or_else(|| "stop".to_owned(), ToString::to_string);
            same.then_some(WayBack { document, text, list, first, last, otherwise })
        })
    })
}

/// The list of a step and its place there.
fn place_of(pointer: &str) -> Option<(&str, usize)> {
    let (list, index) = pointer.rsplit_once('/')?;
    Some((list, index.parse().ok()?))
}

impl WayBack<'_> {
    fn pointer(&self, at: usize) -> String {
        format!("{}/{at}", self.list)
    }

    fn id(&self, at: usize) -> String {
        let step = self.document.model.step_at(&self.pointer(at));
        step.map_or_else(String::new, |step| step.common.id.to_string())
    }

    /// What stands at a key of the look, if it takes one line.
    fn raw(&self, key: &str) -> Option<&str> {
        let span = self.document.places.value(&format!("{}/{key}", self.pointer(self.last)))?;
        self.text.get(span.start..span.end).filter(|raw| !raw.contains('\n'))
    }

    /// What ends the rounds.
    fn until(&self) -> Option<String> {
        let looked_for = self.document.model.step_at(&self.pointer(self.last))?.kind.looked_for()?;
        (!looked_for.is_empty()).then(|| cube_text(looked_for))
    }

    /// The lines of the steps from the one led back to up to the look, and the repeat that takes their place.
    pub(crate) fn repeat(&self) -> Option<(Range<usize>, String)> {
        let until = self.until().filter(|_| self.first < self.last)?;
        let lines = |at| item(self.text, self.document.place(&format!("{}/id", self.pointer(at))).span.start);
        let (first, look) = (lines(self.first)?, lines(self.last)?);
        let (body, old) = (&self.text[first.start..look.start], &self.text[look.start..look.end]);
        let old = old.lines().find(|line| line.trim_start().starts_with("- "))?;
        let margin = " ".repeat(indent(old));
        let id = self.id(self.last);
        let kept = ["note", "expect", "then"].into_iter().filter_map(|key| {
            let value = self.raw(key)?;
            Some(format!("{margin}  {key}: {value}\n"))
        });
        let repeat = format!(
            "{margin}- id: {id}\n{margin}  repeat:\n{margin}    until: {until}\n{margin}    at_most: {AT_MOST}\n\
             {margin}    steps:\n{}{}{margin}  otherwise: {}\n",
            deeper(body, 6),
            kept.collect::<String>(),
            self.otherwise
        );
        Some((first.start..look.end, repeat))
    }

    /// What to write instead.
    pub(crate) fn help(&self) -> String {
        let (first, look) = (self.id(self.first), self.id(self.last));
        if let Some((_, repeat)) = self.repeat() {
            return format!(
                "a way back goes through a `repeat`, which has a bound. In the place of steps `{first}` to `{look}`:\n{}",
                repeat.trim_end()
            );
        }
        if self.first < self.last {
            return format!(
                "a way back goes through a `repeat`, which has a bound: put steps `{first}` to `{look}` into one, \
                 with what `{look}` looks for as its `until`, `at_most: {AT_MOST}`, and `otherwise: stop`"
            );
        }
        match self.until() {
            Some(until) => format!(
                "step `{look}` leads back to itself. Look again for a bounded time: write `wait: {{ until: {until}, limit: 2 min }}` and \
                 `otherwise: stop` in it; or put what sets it right before the look, and both into a `repeat`"
            ),
            None => format!(
                "step `{look}` leads back to itself. Put what sets it right before the look, and both into a \
                 `repeat` with `until`, `at_most: {AT_MOST}` and `otherwise: stop`"
            ),
        }
    }
}
