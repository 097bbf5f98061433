//! The walk and the records in a browser, for people who have signed in.
//!
//! [`serve`] answers HTTP on one address. Pages are made here, on the server; a script only counts down, keeps answers while
//! there is no connection, and hides the page after a pause. The rules are those of the terminal: the same [`walk::LiveWalk`],
//! the same journal, the same events.
//!
//! People with their PINs, and photos, live in the [`Depot`], an SQLite file of its own beside the
//! records: who copies or exports records never carries a PIN along.

mod answers;
mod api;
mod app;
mod day;
mod depot;
mod desk;
pub mod exported;
mod fault;
mod fields;
mod guard;
mod guesses;
pub mod leave;
mod pages;
mod pin;
pub mod printed;
mod random;
mod render;
mod serve;
mod shelf;
mod signatures;
mod store;
mod view;
mod visits;
mod walked;

pub use depot::{Depot, DepotError, Person, Role};
pub use desk::{Decided, Desk, Forms, Looked, May};
pub use pin::{PinFault, hash as hash_pin};
pub use serve::{Error, Options, serve};
pub use shelf::Shelf;
