//! The house keeps its rules: layers, top level, files and words.

mod arrows;
mod tidy;
