//! What an officer reviews by: what whoever runs the program gathers, and writes down, beside the procedures.

use card::sheet::Sheet;
use check::Report;
use document::model::Name;
use document::{Day, Library};
use review::pages::Field;
use review::{ApprovalStatus, Decision, Officer, People};
use std::collections::BTreeMap;

/// One procedure as an officer looks at it.
pub struct ReviewView {
    /// Everything but the card.
    pub sheet: Sheet,
    /// The card as a page of its own, in HTML; none for a procedure with errors.
    pub card: Option<String>,
    /// Sheet and card on paper; none where the program makes no PDF.
    pub paper: Option<Vec<u8>>,
}

/// Whether somebody may decide, and about what.
pub struct DecisionRights {
    /// The role in which they may, or why they may not.
    pub role: Result<Name, String>,
    /// Whether there is an approval that can be taken back.
    pub withdrawable: bool,
    /// The findings that must be accepted: code, step, message.
    pub open: Vec<(String, Option<Name>, String)>,
    /// The people of the site, for the walkthrough.
    pub people: Vec<String>,
}

/// What came of a decision.
pub enum DecisionOutcome {
    /// It is written down; in words.
    Written(String),
    /// It is not, and why.
    Refused(Vec<String>),
}

/// What stands beside the procedures. The texts are files, which are no business of this member. Errors are in words for
/// whoever runs the program.
pub trait ReviewService: Send + Sync {
    /// How a procedure stands on a day.
    ///
    /// # Errors
    /// If what stands beside it cannot be read.
    fn status(&self, library: &Library, procedure: &str, on: Day) -> Result<ApprovalStatus, String>;

    /// The people of the site where a procedure stands; none where no file of them is there.
    ///
    /// # Errors
    /// If the file cannot be read.
    fn people(&self, library: &Library, procedure: &str) -> Result<Option<People>, String>;

    /// Everything an officer looks at, as of a day.
    ///
    /// # Errors
    /// If what stands beside it cannot be read, or a page cannot be laid out.
    fn look(
        &self,
        report: &Report,
        procedure: &Name,
        on: Day,
        forms: ReviewForms,
    ) -> Result<ReviewView, String>;

    /// What people are told of the files beside the procedures that did not read when they were last asked for.
    fn unread(&self) -> Vec<String>;

    /// Whether a person may decide on a day.
    ///
    /// # Errors
    /// If what stands beside it cannot be read.
    fn may(&self, report: &Report, procedure: &Name, on: Day, person: &str)
    -> Result<DecisionRights, String>;

    /// Decides and writes it down.
    ///
    /// # Errors
    /// For a fault of our own.
    fn decide(
        &self,
        report: &Report,
        procedure: &Name,
        officer: &Officer,
        decision: Decision,
    ) -> Result<DecisionOutcome, String>;

    /// Whether the program makes PDF.
    fn prints(&self) -> bool;

    /// A sheet on paper. What people typed is printed whatever letters they used.
    ///
    /// # Errors
    /// If the program makes no PDF, or the sheet is too long for one.
    fn on_paper(&self, sheet: Sheet) -> Result<Vec<u8>, String>;

    /// Every procedure with its standing on a day and what came back from the field; reviews are at `/review/`.
    ///
    /// # Errors
    /// If what stands beside them cannot be read.
    fn library(&self, report: &Report, on: Day, field: BTreeMap<String, Field>) -> Result<Sheet, String>;
}

/// Which forms of the page are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReviewForms {
    /// The sheet alone.
    Sheet,
    /// The card in HTML too.
    Card,
    /// Both on paper too.
    Paper,
}
