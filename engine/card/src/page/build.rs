//! From the documents to the page.

use super::act::ActBox;
use super::approval::CardApproval;
use super::chosen::{Chosen, fits};
use super::fault::PageError;
use super::figures;
use super::model::Page;
use super::proved::ProofNote;
use super::reach::Reach;
use super::scope::Scope;
use super::stop::Stop;
use crate::map::Map;
use document::Library;
use document::model::Name;

/// The third answer to every look, said once.
const LOOKS: &str = "At each look: if you cannot tell, go on as if it is not so. \
    At a question with several ways on: if you cannot tell, stop work.";

/// Makes the page of a procedure. `standing` says what the content is and whether it is approved, `proof` what was
/// proved of it.
///
/// # Errors
/// [`PageError`] when the procedure or its equipment is not there, or texts cannot be printed.
pub fn build(
    library: &Library,
    procedure: &Name,
    standing: &CardApproval,
    proof: Option<&ProofNote<'_>>,
) -> Result<Page, PageError> {
    build_for(library, procedure, standing, proof, &Chosen::new())
}

/// The same for machines of the chosen variants: figures that they settle stand alone, and steps that they do without
/// keep their number and say so.
///
/// # Errors
/// As [`build`], and when the choice fits no machine.
pub fn build_for(
    library: &Library,
    procedure: &Name,
    standing: &CardApproval,
    proof: Option<&ProofNote<'_>>,
    chosen: &Chosen,
) -> Result<Page, PageError> {
    let mut scope = Scope::open(library, procedure, chosen)?;
    let model = &scope.procedure.model;
    let compiled;
    let machine = match proof {
        Some(proof) => proof.machine,
        None => {
            compiled = machine::compile(library, procedure)
                .map_err(|error| PageError::NotCompiled { procedure: procedure.clone(), error })?;
            &compiled
        }
    };
    let reach = Reach::from_scope(&scope);
    let steps = scope.steps();
    let page = Page {
        identity: scope.identity(standing),
        checked: proof.map(ProofNote::words),
        defer: scope.defer(),
        purpose: scope.text("/purpose", &model.purpose),
        scope: scope.text("/scope", &model.scope),
        people: scope.people(),
        time: crate::clean::clean_line(model.time.text()),
        level_of_use: scope.level_of_use(),
        needs: scope.needs(&reach),
        hazards: scope.front_warnings(&reach),
        work: scope.work_types(),
        before: scope.before(machine),
        figures: scope.used_figures(),
        looks: LOOKS.to_owned(),
        map: Map::from_steps(&steps),
        steps,
        stop: scope.stopping(proof),
        emergency: model.emergency.as_deref().map(|text| scope.text("/emergency", text)),
        restoration: scope.restoration(machine),
        complete: format!(
            "Card complete: every step of “{}” is ticked, or passed over as the card says.",
            crate::clean::clean_line(&model.title)
        ),
        signatures: scope.signatures(),
    };
    scope.faultless(page)
}

/// How the machine of a procedure is left where work stops; none where its equipment does not say in which state.
///
/// # Errors
/// As [`build`].
pub fn stop_of(
    library: &Library,
    procedure: &Name,
    proof: &ProofNote<'_>,
) -> Result<Option<Stop>, PageError> {
    let chosen = Chosen::new();
    let mut scope = Scope::open(library, procedure, &chosen)?;
    let stop = scope.stopping(Some(proof));
    scope.faultless(stop)
}

/// An act of the equipment of a procedure, with the figures of machines of the chosen variants; none if there is no such act.
///
/// # Errors
/// As [`build_for`].
pub fn act_of(
    library: &Library,
    procedure: &Name,
    chosen: &Chosen,
    action: &Name,
) -> Result<Option<ActBox>, PageError> {
    let mut scope = Scope::open(library, procedure, chosen)?;
    let act = scope.act_box(action);
    scope.faultless(act)
}

impl<'a> Scope<'a> {
    fn open(library: &'a Library, procedure: &Name, chosen: &'a Chosen) -> Result<Self, PageError> {
        let document =
            library.procedures.get(procedure).ok_or_else(|| PageError::NoProcedure(procedure.clone()))?;
        let model = &document.model;
        let equipment = library.equipment.get(&model.equipment).ok_or_else(|| PageError::NoEquipment {
            procedure: procedure.clone(),
            equipment: model.equipment.clone(),
        })?;
        fits(&equipment.model, chosen).map_err(PageError::Choice)?;
        let values = figures::values(&equipment.model, model, chosen);
        Ok(Self { library, procedure: document, equipment, chosen, values, faults: Vec::new() })
    }

    /// What was made, if all texts could be printed.
    fn faultless<T>(self, made: T) -> Result<T, PageError> {
        let mut faults = self.faults;
        if faults.is_empty() {
            return Ok(made);
        }
        faults.sort();
        faults.dedup();
        Err(PageError::Texts(faults))
    }
}
