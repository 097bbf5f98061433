//! YAML with positions, schema check, typed model, findings as data.

mod codes;
mod day;
mod diagnostic;
mod figures;
mod form;
mod hex;
mod identity;
mod jobs;
mod library;
pub mod limits;
mod mentions;
pub mod model;
mod names;
mod person;
mod places;
mod read;
mod schema;
mod source;
#[cfg(test)]
mod tests;
mod text;
mod tightening;
mod tree;
mod words;
mod zone;

pub use day::{Day, DayError};
pub use diagnostic::{Diagnostic, Place, Severity};
pub use figures::{Case, FigureError, LabelFigure, figure_cases, label_figures, labels, work_amount};
pub use form::FormError;
pub use hex::hex;
pub use identity::MEANING;
pub use jobs::Jobs;
pub use library::{Document, Library};
pub use mentions::{
    Shown, TemplateFault, Text, filled, mentioned, template, template_fault, texts_of_equipment,
    texts_of_procedure,
};
pub use person::{HeldRole, RoleLack, person_key, same_person};
pub use places::{Places, pointer};
pub use read::{InputFile, Reading, read, read_by};
pub use schema::{EQUIPMENT_SCHEMA, PROCEDURE_SCHEMA};
pub use source::{Position, Source, SourceId, Span};
pub use tightening::{FastenPass, Tightening, TighteningError, passes, tightening, torque};
pub use zone::{Zone, ZoneError};
