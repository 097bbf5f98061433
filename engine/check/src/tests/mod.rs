//! The explanations are whole, and their samples are true.

mod accept;
mod energy;
mod graph;
mod judge;
mod lapses;
mod obligations;
mod odd_inputs;
mod people;
mod performed;
mod readability;
mod registry;
mod releases;
mod sample;
mod samples;
mod together;
mod words;
