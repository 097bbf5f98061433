//! Figures that only the label of the product at hand gives.

use crate::library::Library;
use crate::mentions::{filled_texts, names};
use crate::model::{Amount, Equipment, Input, Kind, Name, Procedure, Step};
use calc::methods::{MethodError, method};

/// A figure of the label that a walk asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelFigure {
    /// The procedure whose amount it is; none for one of the equipment.
    pub procedure: Option<Name>,
    /// The amount.
    pub amount: Name,
    /// The input of its method.
    pub input: Name,
}

/// The inputs of an amount that only the product's label gives, which the walk asks for.
#[must_use]
pub fn labels(amount: &Amount) -> Vec<&'static calc::methods::Input> {
    let Ok(method) = method(&amount.method) else { return Vec::new() };
    let of_label = |input: &&calc::methods::Input| amount.inputs.get(input.name).is_some_and(Input::is_label);
    method.inputs.iter().filter(of_label).collect()
}

/// Every figure of a label that the texts of a procedure, and of those it performs, rest on.
#[must_use]
pub fn label_figures(library: &Library, procedure: &Name) -> Vec<LabelFigure> {
    let mut found = Vec::new();
    if let Some(document) = library.procedures.get(procedure)
        && let Some(equipment) = library.equipment.get(&document.model.equipment)
    {
        of_steps(library, &equipment.model, procedure, &document.model, &document.model.steps, &mut found);
    }
    found
}

fn of_steps(
    library: &Library,
    equipment: &Equipment,
    name: &Name,
    procedure: &Procedure,
    steps: &[Step],
    found: &mut Vec<LabelFigure>,
) {
    for step in steps {
        let texts: Vec<&str> = filled_texts(step, equipment).collect();
        let own = procedure.amounts.iter().map(|(amount, model)| (Some(name.clone()), amount, model));
        let shared = equipment.amounts.iter().map(|(amount, model)| (None, amount, model));
        for (owner, amount, model) in own.chain(shared) {
            if !texts.iter().any(|text| names(text, amount)) {
                continue;
            }
            for input in labels(model) {
                let figure = LabelFigure {
                    procedure: owner.clone(),
                    amount: amount.clone(),
                    input: Name::from(input.name),
                };
                if !found.contains(&figure) {
                    found.push(figure);
                }
            }
        }
        if let Kind::Perform(other) = &step.kind {
            for figure in label_figures(library, other) {
                if !found.contains(&figure) {
                    found.push(figure);
                }
            }
        }
        if let Some((_, inner)) = step.inner() {
            of_steps(library, equipment, name, procedure, inner, found);
        }
    }
}

impl LabelFigure {
    /// The amount in its document.
    #[must_use]
    pub fn amount<'a>(&self, library: &'a Library, equipment: &Name) -> Option<&'a Amount> {
        match &self.procedure {
            Some(procedure) => library.procedures.get(procedure)?.model.amounts.get(&self.amount),
            None => library.equipment.get(equipment)?.model.amounts.get(&self.amount),
        }
    }

    /// The amount with a figure in the place of the label.
    ///
    /// # Errors
    /// [`MethodError`] when the figure is none, or lies where the method does not hold.
    pub fn filled(&self, amount: &Amount, text: &str) -> Result<Amount, MethodError> {
        let value = method(&amount.method)?.read_in_range(&self.input, text)?;
        let mut amount = amount.clone();
        amount.give(&self.input, &value.to_string());
        Ok(amount)
    }

    /// Puts a figure in the place of the label, so that the amount can be worked out from here on.
    pub fn fill(&self, library: &mut Library, equipment: &Name, text: &str) {
        let amounts = match &self.procedure {
            Some(procedure) => {
                library.procedures.get_mut(procedure).map(|document| &mut document.model.amounts)
            }
            None => library.equipment.get_mut(equipment).map(|document| &mut document.model.amounts),
        };
        if let Some(amount) = amounts.and_then(|amounts| amounts.get_mut(&self.amount)) {
            amount.give(&self.input, text);
        }
    }
}
