//! Small forms with a known answer for the sentences of `FORM.md`, each judged by z3.
//!
//! For each sentence there is a form of which everything holds and one that differs from it in that sentence only.

mod blocks;
mod effects;
mod ends;
mod evidence;
mod rules;
mod settling;
mod support;
mod text;
mod variants;
