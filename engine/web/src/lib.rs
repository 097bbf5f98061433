//! The walk and the records in a browser, for people who have signed in.
//!
//! [`serve`] answers HTTP on one address. Pages are made here, on the server; a script only counts down, keeps answers while
//! there is no connection, and hides the page after a pause. The rules are those of the terminal: the same [`walk::LiveWalk`],
//! the same journal, the same events.
//!
//! People with their PINs, and photos, live in the [`credentials::CredentialStore`], an SQLite file of its own beside the
//! records: who copies or exports records never carries a PIN along.

mod answers;
mod api;
mod app;
mod changed;
mod day;
mod document_store;
mod fault;
mod fault_page;
mod forms;
mod guard;
mod guesses;
mod handle;
mod lines;
mod lock;
mod options;
mod pages;
mod pin_check;
mod random;
mod render;
mod requests;
mod review_service;
mod router;
mod serve;
mod sign_ins;
mod signatures;
mod standing;
mod store;
mod together;
mod view;
mod visitor;
mod walked;

pub use document_store::{DocumentStore, Machines};
pub use options::Options;
pub use review_service::{DecisionOutcome, DecisionRights, ReviewForms, ReviewService, ReviewView};
pub use serve::{Error, serve};
