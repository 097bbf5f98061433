//! The explanations are whole, and their samples are true.

mod odd_inputs;
mod registry;
mod sample;
mod samples;
mod words;
