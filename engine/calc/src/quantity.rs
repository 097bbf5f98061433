//! A figure with its unit: read, shown as it was written, compared and converted exactly.

mod amount;
mod dimension;
mod duration;
mod error;
mod figure;
mod range;
mod ratio;
mod system;
mod table;
mod unit;

pub use amount::Quantity;
pub use dimension::Dimension;
pub use duration::Duration;
pub use error::QuantityError;
pub use figure::Rounding;
pub use range::{Range, Verdict};
pub use system::System;
pub use unit::{RULE, Unit};

#[cfg(test)]
pub(crate) mod tests;
