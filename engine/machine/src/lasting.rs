//! What is known of a condition does not last where something may end it that nobody has to bring about: what feeds it may be
//! on, or time may yet let a cause come about.

use crate::cube::Cube;
use crate::layout::{Layout, VarId};
use crate::machine::{LostWhen, Machine, Settling, Standing};
use crate::state::AbstractState;

/// All that ends what is known of conditions, each with how it stands over its condition.
pub(crate) fn lost_when(layout: &Layout, causes: Vec<(VarId, Cube)>, settling: &[Settling]) -> Vec<LostWhen> {
    let event = |(var, when)| LostWhen { var, when, standing: Standing::Event };
    let mut all: Vec<LostWhen> = causes.into_iter().map(event).collect();
    // What a cause stands over may be anything at any moment, and so brings about what it is a cause of.
    loop {
        let of = |lost: &LostWhen| standing(layout, lost, &all, settling);
        let now: Vec<Standing> = all.iter().map(of).collect();
        let mut has_changed = false;
        for (lost, standing) in all.iter_mut().zip(now) {
            has_changed |= lost.standing != standing;
            lost.standing = standing;
        }
        if !has_changed {
            return all;
        }
    }
}

fn standing(layout: &Layout, lost: &LostWhen, all: &[LostWhen], settling: &[Settling]) -> Standing {
    // That something is moved, whereto ever, is over at once.
    let is_move = lost.when.0.iter().any(|part| part.set == layout.all(part.var));
    if !is_move && settling.iter().any(|settling| settling.var == lost.var && settling.holds.is_some()) {
        return Standing::Feeds;
    }
    let others = || lost.when.0.iter().filter(|part| part.var != lost.var);
    let falls = |settling: &Settling| {
        others().any(|part| {
            part.var == settling.var && part.set & settling.from == 0 && part.set & settling.to != 0
        })
    };
    let falling: Vec<usize> = (0..settling.len()).filter(|&at| falls(&settling[at])).collect();
    let stood_over =
        |var: VarId| all.iter().any(|other| other.var == var && other.standing != Standing::Event);
    let stood_over: Vec<VarId> = others().map(|part| part.var).filter(|&var| stood_over(var)).collect();
    if falling.is_empty() && stood_over.is_empty() {
        return Standing::Event;
    }
    Standing::ByItself { falling, stood_over }
}

impl Machine {
    /// Whether something is known that does not last, as where a run goes on from a need that was not met: knowing less may lead
    /// further there.
    #[must_use]
    pub fn knows_what_does_not_last(&self, state: &AbstractState) -> bool {
        self.lost_when.iter().any(|lost| self.is_fleeting(state, lost.var, state))
    }

    /// Those of these of which something is known that does not last, by a record in which causes may stand over them.
    pub(crate) fn fleeting(&self, state: &AbstractState, vars: &[VarId], over: &AbstractState) -> Vec<VarId> {
        vars.iter().copied().filter(|&var| self.is_fleeting(state, var, over)).collect()
    }

    fn is_fleeting(&self, state: &AbstractState, var: VarId, over: &AbstractState) -> bool {
        state.bits.field(&self.layout, var) != self.layout.all(var)
            && self.is_stood_over(over, var, &mut Vec::new())
    }

    /// Whether a cause of the variable may hold, and be brought about by nobody.
    fn is_stood_over(&self, state: &AbstractState, var: VarId, asked: &mut Vec<VarId>) -> bool {
        if asked.contains(&var) {
            return false;
        }
        asked.push(var);
        let causes = self.lost_when.iter().filter(|lost| lost.var == var);
        for lost in causes.filter(|lost| lost.when.meets(&self.layout, &state.bits)) {
            let may_fall = |at: usize| {
                let settling = &self.settling[at];
                state.bits.field(&self.layout, settling.var) & settling.from != 0
            };
            let stands = match &lost.standing {
                Standing::Event => false,
                Standing::Feeds => true,
                Standing::ByItself { falling, stood_over } => {
                    falling.iter().any(|&at| may_fall(at))
                        || stood_over.iter().any(|&of| self.is_stood_over(state, of, asked))
                }
            };
            if stands {
                return true;
            }
        }
        false
    }

    /// The causes that could stand over the variable.
    pub fn standing_over(&self, var: VarId) -> impl Iterator<Item = &Cube> {
        let standing = move |lost: &&LostWhen| lost.var == var && lost.standing != Standing::Event;
        self.lost_when.iter().filter(standing).map(|lost| &lost.when)
    }

    /// What is known of the variable only as long as these are: what its time counts under, and what could stand over it.
    pub fn rests_on(&self, var: VarId) -> impl Iterator<Item = VarId> {
        let settling = self.settling.iter().filter(move |settling| settling.var == var);
        let under = settling.flat_map(|settling| &settling.holds);
        under.chain(self.standing_over(var)).flat_map(|cube| &cube.0).map(|part| part.var)
    }
}
