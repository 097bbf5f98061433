//! Figures for every machine, with their working.

use super::chosen::{Chosen, narrowed};
use super::fault::TextFault;
use super::model::{Figure, Variant, Working};
use super::pieces::{Row, Table, Value};
use super::scope::Scope;
use crate::clean::clean_line;
use crate::prose::Values;
use calc::quantity::System;
use document::model::{Amount, Equipment, Figure as Written, Input, Name, Procedure, Step};
use document::{Case, FigureError, Shown, figure_cases, mentioned, template, texts_of_procedure};
use std::collections::BTreeSet;

/// What stands where only the label of the product at hand can say the figure.
const LABEL: &str = "per the product's label";
/// Room to write a figure in.
const BLANK: &str = "________";

/// What each amount is printed as inside a text: its figure, or where its figures are found. A range would invite
/// the reader to take the nearer end.
pub(super) fn values(equipment: &Equipment, procedure: &Procedure, chosen: &Chosen) -> Values {
    let mut values = Values::new();
    for name in equipment.amounts.keys().chain(procedure.amounts.keys()) {
        let text = match cases(equipment, procedure, name, chosen) {
            Ok(cases) => value(&cases, equipment.system())
                .one
                .unwrap_or_else(|| format!("the {} (see Figures)", name.words())),
            Err(FigureError::Label { .. }) => format!("the {} ({LABEL}, see Figures)", name.words()),
            Err(_) => continue,
        };
        values.insert(template(name), text);
    }
    values
}

fn cases(
    equipment: &Equipment,
    procedure: &Procedure,
    amount: &Name,
    chosen: &Chosen,
) -> Result<Vec<Case>, FigureError> {
    let cases = figure_cases(equipment, Some(procedure), &Written::Amount(amount.clone()))?;
    Ok(narrowed(cases, chosen))
}

/// Cases as one figure or as a table by variants: the last variant across, the others down.
pub(super) fn value(cases: &[Case], system: System) -> Value {
    let shown: Vec<String> = cases.iter().map(|case| system.show(&case.quantity)).collect();
    let Some(first) = cases.first() else { return Value { one: None, table: None } };
    if first.variants.is_empty() || shown.iter().all(|one| Some(one) == shown.first()) {
        return Value { one: shown.into_iter().next(), table: None };
    }
    let split = if first.variants.len() > 1 { first.variants.len() - 1 } else { 1 };
    let names =
        |of: &[(Name, String)]| of.iter().map(|(name, _)| name.words()).collect::<Vec<_>>().join(", ");
    let labels =
        |of: &[(Name, String)]| of.iter().map(|(_, value)| clean_line(value)).collect::<Vec<_>>().join(", ");
    let mut columns: Vec<String> = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    for (case, figure) in cases.iter().zip(shown) {
        let (down, across) = case.variants.split_at(split);
        let (row, column) = (labels(down), labels(across));
        if !columns.contains(&column) {
            columns.push(column);
        }
        // Cases come in the order of the variants, so a row is complete before the next begins.
        match rows.last_mut().filter(|last| last.name == row) {
            Some(last) => last.cells.push(figure),
            None => rows.push(Row { name: row, cells: vec![figure] }),
        }
    }
    let (down, across) = first.variants.split_at(split);
    let columns_by = (!across.is_empty()).then(|| names(across));
    let table = Table { rows_by: names(down), columns_by, columns, rows };
    Value { one: None, table: Some(table) }
}

impl Scope<'_> {
    /// A figure of a step as it is printed there.
    pub(super) fn figure(&mut self, pointer: &str, written: &Written) -> Value {
        match figure_cases(self.machine(), Some(&self.procedure.model), written) {
            Ok(cases) => value(&narrowed(cases, self.chosen), self.machine().system()),
            Err(error) => {
                let (source, pointer) = (self.procedure.source, pointer.to_owned());
                self.faults.push(TextFault { source, pointer, message: error.to_string() });
                Value { one: Some(clean_line(&written.to_string())), table: None }
            }
        }
    }

    /// The amounts that the procedure uses, in figures or in texts, in the order in which they are declared.
    pub(super) fn used_figures(&self) -> Vec<Figure> {
        let (equipment, procedure) = (self.machine(), &self.procedure.model);
        let used = used(equipment, procedure);
        let own = procedure.amounts.keys();
        let others = equipment.amounts.keys().filter(|name| !procedure.amounts.contains_key(*name));
        let names = own.chain(others).filter(|name| used.contains(&template(name)));
        names
            .filter_map(|name| match cases(equipment, procedure, name, self.chosen) {
                Ok(cases) => Some(Figure {
                    name: name.words(),
                    value: value(&cases, equipment.system()),
                    working: working(&cases),
                }),
                Err(FigureError::Label { .. }) => {
                    let own = procedure.amounts.get(name);
                    of_label(name, own.or_else(|| equipment.amounts.get(name))?)
                }
                Err(_) => None,
            })
            .collect()
    }

    /// The variants that the procedure depends on, through figures or through `only`.
    pub(super) fn used_variants(&self) -> Vec<Variant> {
        let (equipment, procedure) = (self.machine(), &self.procedure.model);
        let mut names: BTreeSet<Name> = BTreeSet::new();
        each_step(&procedure.steps, &mut |step| names.extend(step.common.only.keys().cloned()));
        let used = used(equipment, procedure);
        for amount in equipment
            .amounts
            .keys()
            .chain(procedure.amounts.keys())
            .filter(|name| used.contains(&template(name)))
        {
            let cases = cases(equipment, procedure, amount, &Chosen::new()).unwrap_or_default();
            names.extend(cases.into_iter().flat_map(|case| case.variants).map(|(name, _)| name));
        }
        let wanted = |name: &Name| names.contains(name) || self.chosen.contains_key(name);
        let variants = equipment.variants.iter().filter(|(name, _)| wanted(name));
        variants
            .map(|(name, values)| Variant {
                name: name.words(),
                values: match self.chosen.get(name) {
                    Some(chosen) => vec![clean_line(chosen)],
                    None => values.iter().map(|value| clean_line(value)).collect(),
                },
            })
            .collect()
    }
}

/// An amount that needs figures of the label: blanks for them and for the result, and how to get from one to the other.
fn of_label(name: &Name, amount: &Amount) -> Option<Figure> {
    let method = calc::methods::method(&amount.method).ok()?;
    let inputs = method.inputs.iter().filter_map(|input| {
        let name = input.name.replace('_', " ");
        match amount.inputs.get(input.name)? {
            Input::Label => Some((name, format!("{BLANK} {LABEL}, {}", input.range()))),
            Input::Figure(stated) | Input::Number(stated) => Some((name, clean_line(stated.text()))),
            Input::Variant(variant) => Some((name, clean_line(&format!("${variant}")))),
            Input::ByVariant(_) => Some((name, "by the variant".to_owned())),
        }
    });
    Some(Figure {
        name: name.words(),
        value: Value { one: Some(format!("{BLANK} {LABEL}")), table: None },
        working: Some(Working {
            method: method.name.replace('-', " "),
            formula: method.formula.to_owned(),
            inputs: inputs.collect(),
            example_for: None,
            example: vec!["Fill in the figure of the label, work the result out and fill it in.".to_owned()],
            source: format!("{} Rounding: {}", method.source, method.rounding),
        }),
    })
}

fn working(cases: &[Case]) -> Option<Working> {
    let first = cases.first()?;
    let worked = first.worked.as_ref()?;
    let inputs = worked.inputs.iter().map(|(name, _)| {
        let mut values: Vec<String> = Vec::new();
        for case in cases.iter().filter_map(|case| case.worked.as_ref()) {
            for (_, quantity) in case.inputs.iter().filter(|(other, _)| other == name) {
                let text = quantity.to_string();
                if !values.contains(&text) {
                    values.push(text);
                }
            }
        }
        (name.replace('_', " "), values.join(" / "))
    });
    let variants: Vec<String> = first
        .variants
        .iter()
        .map(|(name, value)| format!("{} {}", name.words(), clean_line(value)))
        .collect();
    Some(Working {
        method: worked.method.replace('-', " "),
        formula: worked.formula.to_owned(),
        inputs: inputs.collect(),
        example_for: (!variants.is_empty()).then(|| variants.join(", ")),
        example: worked.lines.clone(),
        source: format!("{} Rounding: {}", worked.source, worked.rounding),
    })
}

/// The amounts used, as they are written in texts.
fn used(equipment: &Equipment, procedure: &Procedure) -> BTreeSet<String> {
    let mut used = BTreeSet::new();
    let mut texts = texts_of_procedure(procedure);
    texts.retain(|text| text.shown == Shown::Filled);
    texts.iter().for_each(|text| used.extend(mentioned(text.text).map(str::to_owned)));
    each_step(&procedure.steps, &mut |step| {
        let action = step.kind.action().and_then(|action| equipment.actions.get(action));
        used.extend(action.into_iter().flat_map(|action| mentioned(&action.act)).map(str::to_owned));
        used.extend(
            step.kind.figures().into_iter().filter_map(Written::reference).map(|name| template(name)),
        );
    });
    used
}

fn each_step<'a>(steps: &'a [Step], visit: &mut impl FnMut(&'a Step)) {
    for step in steps {
        visit(step);
        if let Some((_, inner)) = step.inner() {
            each_step(inner, visit);
        }
    }
}
