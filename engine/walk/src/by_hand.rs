//! What nobody begins by hand: a procedure that requires what nobody can see is begun by one that has brought it about.

use crate::refusal::Refusal;
use document::Library;
use document::model::{Name, either};
use machine::Machine;

/// Why a procedure is not begun by hand; nothing where it may be. What cannot be compiled is refused as unsound.
#[must_use]
pub fn not_by_hand(library: &Library, procedure: &str) -> Option<Refusal> {
    let machine = machine::compile(library, &Name::from(procedure)).ok()?;
    why_not(library, &machine)
}

/// The same of a procedure that is compiled.
pub(crate) fn why_not(library: &Library, machine: &Machine) -> Option<Refusal> {
    if machine.unseen.is_empty() {
        return None;
    }
    let document = library.procedures.get(&machine.procedure);
    let equipment = document.and_then(|document| library.equipment.get(&document.model.equipment));
    let statement = |part: &machine::Conjunct| {
        let name = &machine.layout.var(part.var).name;
        let label = equipment.map_or_else(|| name.to_string(), |equipment| equipment.model.label(name));
        let values: Vec<String> =
            machine.layout.words_of(part.var, part.set).into_iter().map(str::to_owned).collect();
        format!("{label} {}", either(&values))
    };
    let unseen: Vec<String> = machine.unseen.iter().map(statement).collect();
    let performers = library.performers(&machine.procedure);
    let performers: Vec<String> = performers.into_iter().map(|name| format!("`{name}`")).collect();
    let opens = if performers.is_empty() {
        "Begin a procedure that brings it about and performs this one".to_owned()
    } else {
        format!("It is performed from {}: begin that", performers.join(" or "))
    };
    let reason = format!(
        "`{}` is not begun by hand: nobody can see whether it is so: {}",
        machine.procedure,
        unseen.join("; ")
    );
    Some(Refusal { reason, opens })
}
