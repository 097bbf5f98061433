//! Which conditions decide whether there is a plan.

use crate::left_out::LeftOut;
use machine::{Cube, Machine, VarId, Vars};
use std::collections::BTreeSet;

/// The conditions that plans are about.
pub(crate) struct Relevant {
    /// All that decide whether there is a plan.
    pub(crate) vars: BTreeSet<VarId>,
    /// Those that can be found out, by looking or with an instrument, in order. The others only decide whether that finds a
    /// rule broken.
    pub(crate) looks: Vec<VarId>,
    /// The first, as a set.
    pub(crate) set: Vars,
    /// What records of plans say nothing of.
    pub(crate) left_out: LeftOut,
}

impl Relevant {
    pub(crate) fn new(machine: &Machine, rest: &Cube) -> Self {
        let mut vars: BTreeSet<VarId> = of(rest).collect();
        let mut written = BTreeSet::new();
        for action in &machine.restoring {
            vars.extend(of(&action.needs));
            written.extend(action.effects.iter().map(|effect| effect.var()));
        }
        let consequences = machine.consequences(written);
        vars.extend(consequences.looked_at.into_iter().flat_map(of));
        let released = machine.released.iter().map(|rule| &rule.when);
        let touched =
            released.filter(|when| when.0.iter().any(|part| consequences.changed.contains(&part.var)));
        vars.extend(touched.flat_map(of));
        // What a look of the procedure finds broken a plan from there has to end.
        vars.extend(machine.findable().into_iter().flat_map(|rule| of(&machine.rules[rule].when)));
        loop {
            let mut more = vars.clone();
            let settling = machine.settling.iter().filter(|settling| vars.contains(&settling.var));
            more.extend(settling.flat_map(|settling| &settling.holds).flat_map(of));
            // A look at what was opened may end evidence.
            let evidence = machine.lost_when.iter().filter(|lost| vars.contains(&lost.var));
            more.extend(evidence.flat_map(|lost| of(&lost.when)));
            more.extend(vars.iter().flat_map(|&var| of(&machine.sight(var).when)));
            if more.len() == vars.len() {
                break;
            }
            vars = more;
        }
        let looks: Vec<VarId> = vars.iter().copied().filter(|&var| !machine.sight(var).is_hidden).collect();
        let shown = |cube: &&Cube| looks.iter().any(|&var| cube.mentions(var));
        vars.extend(machine.rules.iter().map(|rule| &rule.when).filter(shown).flat_map(of));
        let left_out = LeftOut::new(machine, &vars);
        let mut set = Vars::none(Vars::words(&machine.layout));
        vars.iter().for_each(|&var| set.add(var));
        Self { vars, set, looks, left_out }
    }
}

fn of(cube: &Cube) -> impl Iterator<Item = VarId> + '_ {
    cube.0.iter().map(|conjunct| conjunct.var)
}
