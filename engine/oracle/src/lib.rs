//! For tests only: a slow, obvious interpreter of procedures, and random procedures to hold others against it.
//!
//! [`judge`] is the interpreter of what is so and what is known: it knows nothing but the documents, walks the tree of steps,
//! keeps every record apart, and follows both sides of every look. Whoever compares something with it uses both.
//!
//! Everything panics on documents with findings: they have no meaning to be tried.

mod cases;
mod documents;
mod enumerated;
pub mod judge;
mod random;
mod smaller;
mod time;
mod varied;

pub use cases::{Case, cases};
pub use documents::{equipment, library, procedure, shown};
pub use enumerated::{ALPHABET, enumerated};
pub use random::Random;
pub use smaller::smaller;
pub use varied::{CONSTRUCTS, constructs, varied_documents};
