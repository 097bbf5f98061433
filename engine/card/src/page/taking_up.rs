//! How work is taken up again after a break, in sentences: what is looked at, and what nobody sees is waited for.

use super::scope::Scope;
use crate::count::joined;
use calc::quantity::Duration;
use machine::{Machine, NodeId, Place, VarId, VarOrigin};

impl Scope<'_> {
    /// Of all that some step from some place on relies on, in the order of the equipment: which of it hangs on the place is
    /// not told apart. Nothing where nothing is relied on.
    pub(super) fn taking_up(&self, machine: &Machine) -> String {
        let reliance = machine.reliance();
        let effects = machine.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|way| &way.effects);
        let wrote = effects.filter(|effect| effect.is_act()).map(|effect| effect.var()).collect();
        let places: Vec<Place> =
            (0..machine.nodes.len() as u32).map(|node| Place::at(NodeId(node))).collect();
        let is_relied_on = |var: &VarId| places.iter().any(|&place| reliance.relies(place, *var, &wrote));
        let is_condition = |var: &VarId| machine.layout.var(*var).origin == VarOrigin::Condition;
        let relied: Vec<VarId> = machine.layout.ids().filter(is_condition).filter(is_relied_on).collect();
        let is_seen = |var: &&VarId| {
            let sight = machine.sight(**var);
            sight.is_asked && !sight.keeps
        };
        let seen: Vec<String> =
            relied.iter().filter(is_seen).map(|&var| machine.layout.var(var).label.clone()).collect();
        let hidden = machine
            .settling
            .iter()
            .filter(|settling| relied.contains(&settling.var) && machine.sight(settling.var).is_hidden);
        let waits = hidden.map(|settling| {
            let under: Vec<String> = settling
                .holds
                .iter()
                .flat_map(|holds| &holds.0)
                .map(|&part| self.statement_of(machine, part))
                .collect();
            let with = if under.is_empty() {
                String::new()
            } else {
                format!(", all the while {}", under.join(", "))
            };
            format!(
                "{} for {}{with}",
                Duration::from_millis(settling.after),
                machine.layout.var(settling.var).label
            )
        });
        let waits: Vec<String> = waits.collect();
        let mut sentences = Vec::new();
        if !seen.is_empty() {
            sentences.push(format!(
                "Whoever takes work up again after a break or from somebody else first looks again at the {}, as far as it \
                 can be seen: each has to be as the ticked steps left it.",
                joined(&seen, "and")
            ));
        }
        if !waits.is_empty() {
            sentences.push(format!("Then wait in full: {}.", waits.join("; ")));
        }
        if !sentences.is_empty() {
            sentences.push(
                "A wait that was broken off begins anew. Where something is not so, leave the machine as work stops."
                    .to_owned(),
            );
        }
        if !machine.released.is_empty() && !sentences.is_empty() {
            sentences.push("What was released at a hold point is released once more.".to_owned());
        }
        let mut counted_on = relied;
        counted_on.extend(proof::relied_on_by_restoring(machine));
        sentences.extend(grows_old(machine, &counted_on));
        sentences.join(" ")
    }
}

/// What of it counts for a time only, without a break too.
fn grows_old(machine: &Machine, relied: &[VarId]) -> Option<String> {
    let old = machine.lapses.iter().filter(|(var, _)| relied.contains(var) && machine.sight(*var).is_asked);
    let each: Vec<String> = old
        .map(|(var, after)| format!("{} {}", machine.layout.var(*var).label, Duration::from_millis(*after)))
        .collect();
    (!each.is_empty()).then(|| {
        format!(
            "Without a break too, what was looked at or set counts for a time only: {}. Later than that, look again before the \
             step that needs it, and before each act on the way to leave the machine.",
            each.join(", ")
        )
    })
}
