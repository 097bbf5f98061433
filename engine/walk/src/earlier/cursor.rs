//! A place in the steps of a procedure, found from the documents alone: which step is next, whatever is true of the machine.

use document::Library;
use document::model::{Kind, Name, Procedure, Step};
use std::collections::BTreeMap;

/// How a procedure ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// After its last step.
    Done,
    /// It says to stop.
    Stop,
}

/// What of a step comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Phase {
    /// The step itself.
    Body,
    /// The next item of a block in any order.
    Choosing,
    /// Whether the round that has just been done ends the repeat.
    Until,
}

/// One level of the way down: a list of steps, and where in it.
struct Level<'a> {
    list: &'a [Step],
    at: usize,
    /// Items of the step here that are done, if it is a block.
    items: u64,
    /// The round of the step here, if it is a repeat.
    round: u32,
}

impl<'a> Level<'a> {
    fn new(list: &'a [Step], at: usize) -> Self {
        Self { list, at, items: 0, round: 0 }
    }
}

/// The way down to the present step.
pub(super) struct Cursor<'a> {
    library: &'a Library,
    levels: Vec<Level<'a>>,
    pub(super) phase: Phase,
    pub(super) end: Option<End>,
    /// The variants of the machine: steps for others are passed over.
    pub(super) variants: BTreeMap<String, String>,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(library: &'a Library, procedure: &'a Procedure) -> Self {
        let levels = vec![Level::new(&procedure.steps, 0)];
        Self { library, levels, phase: Phase::Body, end: None, variants: BTreeMap::new() }
    }

    /// The present step; none at the end.
    pub(super) fn step(&self) -> Option<&'a Step> {
        let level = self.levels.last()?;
        level.list.get(level.at)
    }

    /// The name of the present step with those around it, as events have it.
    pub(super) fn path(&self) -> String {
        let steps = self.levels.iter().filter_map(|level| level.list.get(level.at));
        steps.map(|step| &*step.common.id).collect::<Vec<_>>().join("/")
    }

    /// Goes down from the step just come to, to where somebody is asked for something.
    pub(super) fn arrive(&mut self) {
        while let (Some(step), Some(level)) = (self.step(), self.levels.last_mut()) {
            self.phase = Phase::Body;
            let is_for = |(variant, values): (&Name, &document::model::Values)| {
                self.variants.get(&**variant).is_none_or(|value| values.0.contains(value))
            };
            if !step.common.only.iter().all(is_for) {
                return self.after();
            }
            match &step.kind {
                Kind::Perform(name) => match self.library.procedures.get(name) {
                    Some(inner) => self.levels.push(Level::new(&inner.model.steps, 0)),
                    None => return,
                },
                Kind::Repeat(repeat) => {
                    level.round = 1;
                    self.levels.push(Level::new(&repeat.steps, 0));
                }
                Kind::AnyOrder(_) => {
                    level.items = 0;
                    self.phase = Phase::Choosing;
                    return;
                }
                Kind::Do(_)
                | Kind::Action(_)
                | Kind::Confirm(_)
                | Kind::Measure(_)
                | Kind::Wait(_)
                | Kind::Ask(_)
                | Kind::Hold(_)
                | Kind::Fasten(_) => return,
            }
        }
    }

    /// Goes where the step leads once it is done.
    pub(super) fn finish(&mut self) {
        match self.step().and_then(|step| step.common.then.as_ref()) {
            Some(target) => self.go(&target.0),
            None => self.after(),
        }
    }

    /// Goes where a step leads that was not so: another round of a repeat, or its `otherwise`.
    pub(super) fn fail(&mut self) {
        let Some(step) = self.step() else { return };
        if let (Phase::Until, Kind::Repeat(repeat), Some(level)) =
            (self.phase, &step.kind, self.levels.last_mut())
            && level.round < repeat.at_most
        {
            level.round += 1;
            self.levels.push(Level::new(&repeat.steps, 0));
            return self.arrive();
        }
        match &step.common.otherwise {
            Some(target) => self.go(&target.0),
            None => self.end = Some(End::Stop),
        }
    }

    /// Goes to the item of the block here that has this path.
    pub(super) fn choose(&mut self, path: &str) {
        let Some(Kind::AnyOrder(items)) = self.step().map(|step| &step.kind) else { return };
        let here = self.path();
        if let Some(at) = items.iter().position(|item| format!("{here}/{}", item.common.id) == path) {
            self.levels.push(Level::new(items, at));
            self.arrive();
        }
    }

    /// Goes to the step of that name, the closest outwards within the procedure, or to an end.
    pub(super) fn go(&mut self, name: &str) {
        match name {
            "stop" => self.end = Some(End::Stop),
            "done" => self.leave_procedure(),
            _ => self.jump(name),
        }
    }

    fn jump(&mut self, name: &str) {
        for depth in (0..self.levels.len()).rev() {
            let above = depth.checked_sub(1).and_then(|above| self.kind_at(above));
            // An item is a list of its own: no other is reached by its name.
            let is_item = matches!(above, Some(Kind::AnyOrder(_)));
            let list = self.levels[depth].list;
            let at = list.iter().position(|step| &*step.common.id == name).filter(|_| !is_item);
            if let Some(at) = at {
                self.levels.truncate(depth);
                self.levels.push(Level::new(list, at));
                return self.arrive();
            }
            if matches!(above, Some(Kind::Perform(_))) {
                return;
            }
        }
    }

    fn kind_at(&self, depth: usize) -> Option<&'a Kind> {
        let level = self.levels.get(depth)?;
        level.list.get(level.at).map(|step| &step.kind)
    }

    fn leave_procedure(&mut self) {
        self.levels.pop();
        while let Some(step) = self.step() {
            if matches!(step.kind, Kind::Perform(_)) {
                return self.finish();
            }
            self.levels.pop();
        }
        self.end = Some(End::Done);
    }

    /// Goes to what follows the step, whatever its `then`.
    fn after(&mut self) {
        let above = self.levels.len().checked_sub(2).and_then(|depth| self.kind_at(depth));
        let is_item = matches!(above, Some(Kind::AnyOrder(_)));
        let Some(level) = self.levels.last_mut() else { return };
        if !is_item && level.at + 1 < level.list.len() {
            *level = Level::new(level.list, level.at + 1);
            return self.arrive();
        }
        let item = level.at;
        self.levels.pop();
        match (above, self.levels.last_mut()) {
            (Some(Kind::AnyOrder(items)), Some(level)) => {
                level.items |= 1_u64.checked_shl(u32::try_from(item).unwrap_or(u32::MAX)).unwrap_or(0);
                self.phase = Phase::Choosing;
                if level.items.count_ones() as usize == items.len() {
                    self.finish();
                }
            }
            (Some(Kind::Repeat(_)), Some(_)) => self.phase = Phase::Until,
            (Some(_), Some(_)) => self.finish(),
            (None, _) | (_, None) => self.end = Some(End::Done),
        }
    }
}
