//! The page and its forms, on an invented pump.

mod amounts;
mod chosen;
mod diagram;
mod forms;
mod markdown;
mod order;
mod parts;
mod stops;
mod style;
mod texts;
mod warnings;
mod whole;

use crate::page::{Approval, CardApproval, Page, PageError, ProofNote, StepBox, build};
use document::{InputFile, Library, read};
use proof::Proof;

pub(crate) const PUMP: &str = include_str!("tests/pump.yaml");
pub(crate) const SERVICE: &str = include_str!("tests/service.yaml");
pub(crate) const ADJUST: &str = include_str!("tests/adjust.yaml");

pub(crate) fn library(service: &str) -> Library {
    let file = |name: &str, text: &str| InputFile { name: name.into(), bytes: text.as_bytes().to_vec() };
    let files = [file("pump.yaml", PUMP), file("service.yaml", service), file("adjust.yaml", ADJUST)];
    let reading = read(&files);
    // Texts that a card refuses are found by reading as well; that is compared in `texts`.
    let others: Vec<_> = reading.findings.iter().filter(|finding| finding.code != "A08").collect();
    assert!(others.is_empty(), "the fixtures read without another finding: {others:?}");
    reading.library
}

pub(crate) fn standing() -> CardApproval {
    CardApproval { content: "sha256:00ff".into(), approval: Approval::NotApproved }
}

pub(crate) fn try_page(service: &str) -> Result<Page, PageError> {
    let (library, name) = (library(service), "service".into());
    // What a proof would say; the pump's procedures are not made to be proved.
    let proof = Proof { obligations: 123, ..Proof::default() };
    let machine = machine::compile(&library, &name).ok();
    let note = machine.as_ref().map(|machine| ProofNote { machine, proof: &proof, second: true });
    build(&library, &name, &standing(), note.as_ref())
}

pub(crate) fn page() -> Page {
    try_page(SERVICE).unwrap()
}

/// All steps, the inner ones too.
pub(crate) fn all_steps(steps: &[StepBox]) -> Vec<&StepBox> {
    steps.iter().flat_map(|step| [vec![step], all_steps(&step.inner)].concat()).collect()
}

pub(crate) fn step<'a>(page: &'a Page, id: &str) -> &'a StepBox {
    all_steps(&page.steps).into_iter().find(|step| step.id == id).unwrap()
}
