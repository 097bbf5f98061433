//! Flows of nozzles at other pressures and bores.

use super::{Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const INSTITUTE: Document = Document {
    title: "Hydraulic Institute, Engineering Data Library",
    kind: SourceKind::Handbook(Mark::Read),
};
const BOOM_SPRAYER: Document =
    Document { title: "HCM sprayers, manual AB20020", kind: SourceKind::MakerTable(Mark::Read) };

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: INSTITUTE,
        at: "theoretical discharge of nozzles in US gpm: ½ in at 10 psi and more",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.005),
        base: &[("flow", "23.6 US gal/min"), ("pressure", "10 psi")],
        rows: &[
            (&[("to_pressure", "20 psi")], 33.4),
            (&[("to_pressure", "25 psi")], 37.3),
            (&[("to_pressure", "30 psi")], 40.9),
        ],
        wrong: &[],
    },
    Group {
        from: INSTITUTE,
        at: "theoretical discharge of nozzles in US gpm: 1 in at 10 psi and more",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.005),
        base: &[("flow", "94.0 US gal/min"), ("pressure", "10 psi")],
        rows: &[
            (&[("to_pressure", "20 psi")], 133.0),
            (&[("to_pressure", "25 psi")], 149.0),
            (&[("to_pressure", "30 psi")], 163.0),
        ],
        wrong: &[],
    },
    Group {
        from: INSTITUTE,
        at: "theoretical discharge of nozzles in US gpm: 2 in at 10 psi and more",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.005),
        base: &[("flow", "378.0 US gal/min"), ("pressure", "10 psi")],
        rows: &[
            (&[("to_pressure", "15 psi")], 462.0),
            (&[("to_pressure", "20 psi")], 534.0),
            (&[("to_pressure", "25 psi")], 597.0),
            (&[("to_pressure", "30 psi")], 654.0),
        ],
        wrong: &[],
    },
    Group {
        from: INSTITUTE,
        at: "theoretical discharge of nozzles in US gpm: 3 in at 10 psi and more",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.005),
        base: &[("flow", "849.0 US gal/min"), ("pressure", "10 psi")],
        rows: &[
            (&[("to_pressure", "15 psi")], 1040.0),
            (&[("to_pressure", "20 psi")], 1201.0),
            (&[("to_pressure", "25 psi")], 1343.0),
            (&[("to_pressure", "30 psi")], 1471.0),
        ],
        wrong: &[],
    },
    Group {
        from: INSTITUTE,
        at: "theoretical discharge of nozzles in US gpm: from ½ in to others at 10 psi",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.005),
        base: &[
            ("flow", "23.6 US gal/min"),
            ("pressure", "10 psi"),
            ("to_pressure", "10 psi"),
            ("bore", "0.5 in"),
        ],
        rows: &[
            (&[("to_bore", "0.25 in")], 5.9),
            (&[("to_bore", "1 in")], 94.0),
            (&[("to_bore", "1.5 in")], 212.0),
            (&[("to_bore", "2 in")], 378.0),
            (&[("to_bore", "3 in")], 849.0),
        ],
        wrong: &[],
    },
    Group {
        from: BOOM_SPRAYER,
        at: "flood tips, page 26: from 10 psi",
        method: "orifice-flow",
        result: "",
        unit: "US gal/min",
        tolerance: Tolerance::Share(0.015),
        base: &[("pressure", "10 psi")],
        rows: &[
            (&[("flow", "0.40 US gal/min"), ("to_pressure", "20 psi")], 0.57),
            (&[("flow", "0.40 US gal/min"), ("to_pressure", "30 psi")], 0.69),
            (&[("flow", "0.40 US gal/min"), ("to_pressure", "40 psi")], 0.80),
            (&[("flow", "0.50 US gal/min"), ("to_pressure", "20 psi")], 0.71),
            (&[("flow", "0.50 US gal/min"), ("to_pressure", "30 psi")], 0.87),
            (&[("flow", "0.50 US gal/min"), ("to_pressure", "40 psi")], 1.00),
        ],
        wrong: &[],
    },
];
