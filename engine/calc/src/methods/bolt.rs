//! What torque and clamping force share.

use super::input::{Input, Kind, Lowest};

/// Why the two methods hold, and how far.
pub(crate) const SOURCE: &str = "T = K·D·F, below yield and for the stated lubrication only; K about 0.20 as \
     received, 0.15 lubricated, 0.30 dry or rusty (aionlinecalculator.com, read), 0.12 to 0.16 with anti-seize \
     (mechconcepts.tech, read). K scatters by 25 to 30 % (memory), and so does the force. The maker's torque comes \
     first.";

pub(crate) const NUT_FACTOR: Input =
    Input::new("nut_factor", "K, for the lubrication there is", Kind::Number, Lowest::At(0.08), 0.4);
pub(crate) const DIAMETER: Input =
    Input::of("diameter", "nominal diameter of the thread", "mm", Lowest::At(1.0), 200.0);
pub(crate) const SCATTER: Input =
    Input::of("scatter", "how far K may be off, either way", "%", Lowest::At(0.0), 60.0).or("30 %");
