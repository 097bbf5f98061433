//! Quantities with units, methods that work figures out, and tightening orders.
//!
//! - [`quantity`]: a figure with its unit, durations, and acceptance ranges that judge a reading.
//! - [`methods`]: calculators, each with its formula, validity ranges, rounding and source.
//! - [`pattern`]: where fasteners sit and the order in which they are tightened and loosened.
//! - [`nearest()`]: the known word closest to a misspelt one.
//!
//! Everything here is a pure function of its arguments. Nothing reads a file, a clock or the environment.

pub mod methods;
mod nearest;
pub mod pattern;
pub mod quantity;
mod real;

pub use nearest::nearest;
