//! Taking up again: what an interruption leaves of records (section 4, 6).
use crate::effect::Run;
use crate::record::{NO, Tri, YES, all, any, tri};
use form::Part;

impl Run<'_> {
    /// What is left once nobody can vouch for some of it; nothing if none may be lost.
    pub(crate) fn interrupt(&self) -> Option<Self> {
        let vars = (0..).zip(&self.form.vars).filter(|(_, var)| !var.is_variant).map(|(v, _)| v);
        let runs = |v| any(self.entries(v).map(|(s, _)| self.runs(v, s)));
        let known = vars.clone().map(|v| (v, runs(v).max(-self.state.of(v).has(self.every(v)))));
        let lost = known.filter(|it| it.1 != NO).map(|(v, known)| (v, known, -self.vouched_for(v)));
        let lost: Vec<_> = lost.filter(|(.., lost)| *lost != NO).collect();
        let mut left = if lost.is_empty() { return None } else { self.clone() };
        // Of some records nothing was known: after a loss they are as the others, but that nothing was opened.
        lost.iter().for_each(|(v, known, lost)| left.forget(*v, *lost, *known.min(lost)));
        left.settle(YES);
        // What is fleeting is not all by now, so that it was known before.
        left.lose(vars.map(|v| (v, left.fleeting(v))).collect());
        Some(left)
    }
    /// Whether time has passed for an entry of `settling` of a variable.
    fn runs(&self, v: u32, s: usize) -> Tri {
        if self.state.clocks[s] > 0 { YES } else { -Tri::from(self.state.of(v).exact) }
    }
    fn in_sight(&self, v: u32) -> Tri {
        let var = &self.form.vars[v as usize];
        tri(var.is_asked).min(self.state.holds(&var.seen_when))
    }
    /// Whether each variable of a cube is at hand.
    fn at_hand(&self, cube: &[Part]) -> Tri {
        let keeps = |part: &Part| tri(self.form.vars[part.var as usize].keeps);
        all(cube.iter().map(|part| keeps(part).max(self.in_sight(part.var))))
    }
    fn covered(&self, v: u32) -> Tri {
        let cube = &self.form.vars[v as usize].seen_when;
        self.at_hand(cube).min(-self.state.meets(cube))
    }
    fn vouched_for(&self, v: u32) -> Tri {
        let (var, known) = (&self.form.vars[v as usize], self.state.of(v));
        let half = any(self.entries(v).map(|(s, entry)| self.runs(v, s).min(known.meets(entry.from))));
        let keeps = tri(var.keeps).min(-half.min(tri(var.is_hidden)));
        let is_evidence = tri(self.losses(v).next().is_some() && self.entries(v).next().is_none());
        let is_there = |part: &Part| self.at_hand(&[*part]).max(self.covered(part.var));
        let cubes = self.losses(v).map(|loss| &loss.when);
        let stands = all(cubes.map(|cube| all(cube.iter().map(is_there)).min(-self.state.meets(cube))));
        let otherwise = match self.entries(v).next() {
            _ if var.is_asked => self.in_sight(v).max(self.covered(v)),
            Some((_, entry)) if var.is_hidden => {
                // Time alone vouches for it.
                let (cube, others) = (entry.holds.as_deref().unwrap_or_default(), var.all() & !entry.from);
                let is_all = if others == 0 { YES } else { known.has(others) };
                self.state.holds(cube).min(self.at_hand(cube)).min(tri(var.keeps).max(is_all))
            }
            _ => NO,
        };
        keeps.max(is_evidence.min(stands)).max(otherwise)
    }
}
