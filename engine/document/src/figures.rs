//! Figures worked out: one case for every combination of the variants that a figure depends on.

mod fault;
mod inputs;
mod labels;

pub use labels::{LabelFigure, label_figures, labels};

use crate::codes::{A01, A02, A03};
use crate::limits::MAX_CASES;
use crate::model::{Amount, Equipment, Figure, Name, Procedure};
use crate::places::pointer;
use calc::methods::{MethodError, Presence, Value, Worked, method};
use calc::quantity::{Quantity, QuantityError};
use fault::AmountFault;
use inputs::Given;
use std::collections::BTreeMap;
use std::fmt;

/// A figure for one combination of variants.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The variants the figure depends on, each with its value; none for a plain figure.
    pub variants: Vec<(Name, String)>,
    /// The figure.
    pub quantity: Quantity,
    /// How it was worked out; none for a plain figure.
    pub worked: Option<Worked>,
}

/// Why a figure has no value.
#[derive(Clone, Debug, PartialEq)]
pub enum FigureError {
    /// It is no figure with a unit.
    Unreadable(QuantityError),
    /// It refers to an amount that neither the procedure nor the equipment declares.
    Unknown {
        /// The name without its `$`.
        name: String,
        /// The likely meaning.
        nearest: Option<String>,
    },
    /// The amount needs figures that only the product's label gives.
    Label {
        /// The name without its `$`.
        name: String,
        /// What is asked for: names of inputs of its method.
        inputs: Vec<&'static str>,
    },
    /// The amount cannot be worked out.
    Amount {
        /// The name without its `$`.
        name: String,
        /// The first reason.
        because: String,
    },
}

impl fmt::Display for FigureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(error) => error.fmt(f),
            Self::Unknown { name, .. } => write!(f, "no amount is named `{name}`"),
            Self::Label { name, inputs } => write!(
                f,
                "the amount `{name}` needs {} from the product's label",
                inputs.iter().map(|input| format!("`{input}`")).collect::<Vec<_>>().join(" and ")
            ),
            Self::Amount { name, because } => {
                write!(f, "the amount `{name}` cannot be worked out: {because}")
            }
        }
    }
}

impl std::error::Error for FigureError {}

/// Works a figure out: one case without variants for a plain figure, and for `$amount` one for every combination
/// of the variants that its inputs depend on, in the order in which the equipment declares them. An amount of the
/// procedure comes before one of the equipment.
///
/// # Errors
/// [`FigureError`]; for a document without findings never.
pub fn figure_cases(
    equipment: &Equipment,
    procedure: Option<&Procedure>,
    figure: &Figure,
) -> Result<Vec<Case>, FigureError> {
    let name = match figure {
        Figure::Amount(name) => name,
        Figure::Plain(stated) => {
            let quantity = stated.read().map_err(|error| FigureError::Unreadable(error.clone()))?.clone();
            return Ok(vec![Case { variants: Vec::new(), quantity, worked: None }]);
        }
    };
    let own = procedure.map(|procedure| &procedure.amounts);
    let Some(amount) = own.and_then(|own| own.get(name)).or_else(|| equipment.amounts.get(name)) else {
        let known = own.into_iter().chain([&equipment.amounts]).flat_map(|amounts| amounts.keys());
        let nearest = calc::nearest(name, known.map(|name| &**name)).map(str::to_owned);
        return Err(FigureError::Unknown { name: name.to_string(), nearest });
    };
    let labels = labels(amount);
    if !labels.is_empty() {
        let inputs = labels.into_iter().map(|input| input.name).collect();
        return Err(FigureError::Label { name: name.to_string(), inputs });
    }
    amount_cases(equipment, amount).map_err(|faults| FigureError::Amount {
        name: name.to_string(),
        because: faults.into_iter().next().map(|fault| fault.message).unwrap_or_default(),
    })
}

/// Works out an amount that stands in no document, such as one with a figure of the label filled in.
///
/// # Errors
/// The first reason why it cannot be worked out.
pub fn work_amount(equipment: &Equipment, amount: &Amount) -> Result<Vec<Case>, String> {
    amount_cases(equipment, amount)
        .map_err(|faults| faults.into_iter().next().map(|fault| fault.message).unwrap_or_default())
}

/// Works an amount out for every combination of its variants, or tells all that is wrong with it. In place of a figure
/// of the label stands that of the method's example, so that the other inputs are looked at; such cases are never shown.
pub(crate) fn amount_cases(equipment: &Equipment, amount: &Amount) -> Result<Vec<Case>, Vec<AmountFault>> {
    let method = method(&amount.method).map_err(|error| {
        let known = calc::methods::methods().iter().map(|method| method.name);
        let fault = AmountFault::new(A01, "/method", format!("there is no method `{}`", amount.method));
        vec![match crate::words::meant(&amount.method, known) {
            Some(help) => fault.help(help),
            None => AmountFault { message: error.to_string(), ..fault },
        }]
    })?;
    let mut faults = Vec::new();
    let mut given: Vec<(&str, Given)> = Vec::new();
    for (name, input) in &amount.inputs {
        let at = pointer("", name);
        if !method.inputs.iter().any(|known| known.name == name) {
            let fault =
                AmountFault::new(A02, at, format!("the method `{}` has no input `{name}`", method.name))
                    .of_key();
            faults.push(match crate::words::meant(name, method.inputs.iter().map(|known| known.name)) {
                Some(help) => fault.help(help),
                None => fault,
            });
            continue;
        }
        match inputs::given(equipment, method, name, input, &at) {
            Ok(one) => given.push((name, one)),
            Err(more) => faults.extend(more),
        }
    }
    for input in method.inputs {
        if input.presence == Presence::Required && !amount.inputs.contains_key(input.name) {
            faults.push(
                AmountFault::new(
                    A02,
                    "/method",
                    format!("the method `{}` needs the input `{}`", method.name, input.name),
                )
                .help(format!("add `{}:`, the {}", input.name, input.meaning)),
            );
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut cases = Vec::new();
    for variants in combinations(equipment, &given)? {
        let inputs: BTreeMap<String, Value> = given
            .iter()
            .filter_map(|(name, given)| Some(((*name).to_owned(), given.for_variants(&variants)?.clone())))
            .collect();
        match method.work(&inputs) {
            Ok(worked) => {
                cases.push(Case { variants, quantity: worked.result.clone(), worked: Some(worked) })
            }
            // With the real figure of the label these inputs may go together, or not: that is told at the walk.
            Err(MethodError::Refused { .. }) if !labels(amount).is_empty() => {}
            Err(error) => {
                let fault = refused(&error);
                if !faults.contains(&fault) {
                    faults.push(fault);
                }
            }
        }
    }
    if faults.is_empty() { Ok(cases) } else { Err(faults) }
}

/// The method's refusal at the input it concerns.
fn refused(error: &MethodError) -> AmountFault {
    let (code, at) = match error {
        MethodError::OutOfRange { input, .. } => (A03, pointer("", input)),
        MethodError::WrongKind { input, .. } => (A02, pointer("", input)),
        // What is missing or unknown was told before the method was asked.
        MethodError::UnknownMethod { .. }
        | MethodError::UnknownInput { .. }
        | MethodError::Missing { .. }
        | MethodError::Unreadable { .. }
        | MethodError::Refused { .. }
        | MethodError::Quantity(_) => (A03, "/method".to_owned()),
    };
    AmountFault::new(code, at, error.to_string())
}

/// Every combination of the variants that the inputs depend on.
fn combinations(
    equipment: &Equipment,
    given: &[(&str, Given)],
) -> Result<Vec<Vec<(Name, String)>>, Vec<AmountFault>> {
    let mut all: Vec<Vec<(Name, String)>> = vec![Vec::new()];
    for (name, values) in &equipment.variants {
        if !given.iter().any(|(_, given)| given.variant() == Some(name)) {
            continue;
        }
        if all.len().saturating_mul(values.len()) > MAX_CASES {
            let fault = AmountFault::new(
                A03,
                "/method",
                format!("the variants of this amount make more than {MAX_CASES} combinations"),
            )
            .help("let it depend on fewer variants");
            return Err(vec![fault]);
        }
        all = all
            .iter()
            .flat_map(|before| {
                values.iter().map(|value| [&before[..], &[(name.clone(), value.clone())]].concat())
            })
            .collect();
    }
    Ok(all)
}
