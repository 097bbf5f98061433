//! What torque and clamping force share.

use super::input::{Input, Kind, Lowest};
use super::source::SourceKind::{Handbook, Standard};
use super::source::{Basis, Mark, Source};

/// What the two methods rest on.
pub(crate) const BASIS: Basis = Basis {
    sources: &[
        Source::new(
            Standard(Mark::SecondHand),
            "T = K·D·F with K of 0.15 to 0.20: ASME PCC-1, table O-3.2-1",
        ),
        Source::new(
            Handbook(Mark::Read),
            "K of 0.16 for lightly greased bolts: Plastics Pipe Institute, TN-38, table 3",
        ),
        Source::new(Handbook(Mark::Memory), "K is off by 25 % lubricated and 35 % not: NASA NSTS 08307, 3.4"),
    ],
    holds: "Below yield and for the stated lubrication only; the force scatters as K does. The \
            maker's torque comes first.",
};

pub(crate) const NUT_FACTOR: Input =
    Input::new("nut_factor", "K, for the lubrication there is", Kind::Number, Lowest::At(0.08), 0.4);
pub(crate) const DIAMETER: Input =
    Input::in_unit("diameter", "nominal diameter of the thread", "mm", Lowest::At(1.0), 200.0);
pub(crate) const SCATTER: Input =
    Input::in_unit("scatter", "how far K may be off, either way", "%", Lowest::At(0.0), 60.0).or("30 %");
