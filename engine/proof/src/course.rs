//! Where a person is in a plan for stopping.

use crate::plan_step::PlanStep;

/// A place in a plan. Where that leads to [`PlanStep::Universal`] it ends: from there another plan is followed, of what is known then.
#[derive(Clone, Debug)]
pub struct Course<'p> {
    /// The steps gone into, outermost first, each with how many of them are over.
    within: Vec<(&'p [PlanStep], usize)>,
    /// Whether there was a look since the plan began that nobody could make out: the ways of others were not found with that.
    has_untold: bool,
}

/// Where no way leads on.
const NO_WAY_ON: &[PlanStep] = &[PlanStep::Cannot];
/// Where a plan is no longer one.
const ANEW: &[PlanStep] = &[PlanStep::Universal];

impl<'p> Course<'p> {
    /// At the first step of a plan: its moves, then its last looks.
    #[must_use]
    pub fn new(moves: &'p [PlanStep], looks: &'p [PlanStep]) -> Self {
        let mut course = Self { within: vec![(looks, 0), (moves, 0)], has_untold: false };
        course.go_on();
        course
    }

    /// What comes next; nothing once the plan is over.
    #[must_use]
    pub fn here(&self) -> Option<&'p PlanStep> {
        self.within.last().and_then(|&(steps, over)| steps.get(over))
    }

    /// What follows in the same row of steps.
    #[must_use]
    pub fn rest(&self) -> &'p [PlanStep] {
        self.within.last().map_or(&[], |&(steps, over)| steps.get(over + 1..).unwrap_or(&[]))
    }

    /// The act or the wait is over. Nothing changes where a look is next.
    pub fn done(&mut self) {
        match self.here() {
            Some(PlanStep::Act(_) | PlanStep::Wait { .. }) => self.over(&[]),
            Some(PlanStep::Look { .. } | PlanStep::Again { .. } | PlanStep::Universal | PlanStep::Cannot)
            | None => {}
        }
    }

    /// Nobody can tell: the way is the one that serves whatever is so. Without one, or where that happens for the second time,
    /// nothing leads on, and so it is where an act or a wait cannot be seen to have done what it was for.
    pub fn untold(&mut self) {
        match self.here() {
            Some(PlanStep::Look { ways, untold, .. }) => {
                let way = untold.filter(|_| !self.has_untold).and_then(|side| ways.get(side));
                match way {
                    Some((_, way)) => self.over(way),
                    None => self.within = vec![(NO_WAY_ON, 0)],
                }
                self.has_untold = true;
            }
            Some(PlanStep::Again { .. }) => self.within = vec![(NO_WAY_ON, 0)],
            Some(PlanStep::Act(_) | PlanStep::Wait { .. } | PlanStep::Universal | PlanStep::Cannot)
            | None => {}
        }
    }

    /// A look showed one of these values. Nothing changes where none is next. What the plan has no side for it did not expect:
    /// another plan is followed.
    pub fn looked(&mut self, values: u64) {
        match self.here() {
            Some(PlanStep::Look { ways, .. }) => match ways.iter().find(|(side, _)| side & values != 0) {
                Some((_, way)) => self.over(way),
                None => self.over(ANEW),
            },
            Some(PlanStep::Again { values: expected, failed, .. }) => {
                self.over(if expected & values == 0 { failed } else { &[] });
            }
            Some(PlanStep::Act(_) | PlanStep::Wait { .. } | PlanStep::Universal | PlanStep::Cannot)
            | None => {}
        }
    }

    /// What the plan counted on does not count any more: another one is followed.
    pub fn anew(&mut self) {
        self.within = vec![(ANEW, 0)];
        self.go_on();
    }

    fn over(&mut self, then: &'p [PlanStep]) {
        if let Some((_, over)) = self.within.last_mut() {
            *over += 1;
        }
        self.within.push((then, 0));
        self.go_on();
    }

    /// To the next step that a person meets.
    fn go_on(&mut self) {
        while let Some(&(steps, over)) = self.within.last() {
            match steps.get(over) {
                None => {
                    self.within.pop();
                }
                Some(PlanStep::Universal) => {
                    // Nothing of this plan follows.
                    self.within = vec![(ANEW, 0)];
                    return;
                }
                Some(
                    PlanStep::Act(_)
                    | PlanStep::Wait { .. }
                    | PlanStep::Look { .. }
                    | PlanStep::Again { .. }
                    | PlanStep::Cannot,
                ) => return,
            }
        }
    }
}
