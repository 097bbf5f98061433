//! Mixes of chlorine and others.

use super::{Group, Tolerance};

const NONE: &[(&str, &str)] = &[];

const fn group(
    source: &'static str,
    method: &'static str,
    of: &'static str,
    unit: &'static str,
    tolerance: Tolerance,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group { source, mark: "read", method, of, unit, tolerance, base, rows, wrong: &[] }
}

pub(super) static GROUPS: &[Group] = &[
    // Parts of water to one part, so that one litre of concentrate is added to that many litres.
    group(
        "CDC Guideline for Disinfection and Sterilization, appendix E, examples 1 and 3",
        "dilution-liquid",
        "",
        "L",
        Tolerance::Share(0.001),
        NONE,
        &[
            (&[("stock", "3.5 %"), ("wanted", "0.5 %"), ("water", "6 L")], 1.0),
            (&[("stock", "5 %"), ("wanted", "0.1 %"), ("water", "49 L")], 1.0),
        ],
    ),
    group(
        "CDC Guideline for Disinfection and Sterilization, appendix E, example 2",
        "dilution-powder",
        "",
        "g",
        Tolerance::Within(0.05),
        &[("volume", "1 L")],
        &[(&[("active", "35 %"), ("wanted", "0.5 %")], 14.3)],
    ),
    group(
        "WHO 2014, annex G, table G.1 (ncbi.nlm.nih.gov/books/NBK214356)",
        "mix-strength",
        "",
        "mg/L",
        Tolerance::Share(0.001),
        NONE,
        &[
            (&[("stock", "5 %"), ("concentrate", "10 mL"), ("water", "0.99 L")], 500.0),
            (&[("stock", "2.5 %"), ("concentrate", "20 mL"), ("water", "0.98 L")], 500.0),
            (&[("stock", "5 %"), ("concentrate", "10 mL"), ("volume", "1 L")], 500.0),
        ],
    ),
    // WHO laboratory biosafety manual, table 12.
    group(
        "WHO laboratory biosafety manual, table 12 (PMC4925840, table 2)",
        "dilution-liquid",
        "",
        "mL",
        Tolerance::Share(0.001),
        &[("stock", "5 %"), ("volume", "1 L")],
        &[(&[("wanted", "0.1 %")], 20.0), (&[("wanted", "0.5 %")], 100.0)],
    ),
    group(
        "WHO laboratory biosafety manual, table 12 (PMC4925840, table 2)",
        "dilution-powder",
        "",
        "g",
        // Printed to the nearest spoon; ours goes up to 0.01 g.
        Tolerance::Share(0.025),
        &[("volume", "1 L"), ("round_up", "0.01 g")],
        &[
            (&[("active", "70 %"), ("wanted", "0.1 %")], 1.4),
            (&[("active", "70 %"), ("wanted", "0.5 %")], 7.0),
            (&[("active", "60 %"), ("wanted", "0.1 %")], 1.7),
            (&[("active", "60 %"), ("wanted", "0.5 %")], 8.5),
        ],
    ),
    group(
        "WHO laboratory biosafety manual, table 12 (PMC4925840, table 2)",
        "dilution-tablets",
        "",
        "tablets",
        Tolerance::Share(0.001),
        &[("tablet", "1.5 g"), ("volume", "1 L")],
        &[(&[("wanted", "0.1 %")], 1.0), (&[("wanted", "0.5 %")], 4.0)],
    ),
    group(
        "choleraoutbreak.org, appendix 9 (cites UNICEF 2013, MSF 2004)",
        "dilution-powder",
        "",
        "g",
        // Printed for a spoon.
        Tolerance::Share(0.05),
        &[("active", "70 %"), ("volume", "1 L"), ("round_up", "0.01 g")],
        &[(&[("wanted", "0.05 %")], 0.7), (&[("wanted", "0.2 %")], 3.0), (&[("wanted", "2 %")], 30.0)],
    ),
    Group {
        wrong: &[(
            &[("concentrate", "400 mL"), ("water", "1 L")],
            20_000.0,
            14_280.0,
            "printed as \"in 1 L of water\"; 400 mL added to 1 L make 1.4 L of 1.43 %. Right only when made up to 1 L",
        )],
        ..group(
            "choleraoutbreak.org, appendix 9 (cites UNICEF 2013, MSF 2004)",
            "mix-strength",
            "",
            "mg/L",
            Tolerance::Share(0.001),
            &[("stock", "5 %")],
            &[
                (&[("concentrate", "10 mL"), ("volume", "1 L")], 500.0),
                (&[("concentrate", "40 mL"), ("volume", "1 L")], 2000.0),
                (&[("concentrate", "400 mL"), ("volume", "1 L")], 20_000.0),
            ],
        )
    },
    // One stock of 1 % from whatever there is.
    group(
        "choleraoutbreak.org, appendix 14",
        "dilution-powder",
        "",
        "g",
        Tolerance::Share(0.05),
        &[("wanted", "1 %"), ("volume", "1 L"), ("round_up", "0.01 g")],
        &[(&[("active", "70 %")], 15.0), (&[("active", "30 %")], 33.0)],
    ),
    group(
        "choleraoutbreak.org, appendix 14",
        "dilution-tablets",
        "",
        "tablets",
        Tolerance::Share(0.001),
        &[("wanted", "1 %"), ("volume", "1 L")],
        &[(&[("tablet", "1 g")], 10.0)],
    ),
    Group {
        wrong: &[(
            &[("stock", "5 %"), ("concentrate", "250 mL"), ("volume", "1 L")],
            10_000.0,
            12_500.0,
            "250 mL of 5 % make 1 % when added to 1 L; made up to 1 L they make 1.25 %",
        )],
        ..group(
            "choleraoutbreak.org, appendix 14",
            "mix-strength",
            "",
            "mg/L",
            Tolerance::Share(0.025),
            NONE,
            &[
                (&[("stock", "5 %"), ("concentrate", "250 mL"), ("water", "1 L")], 10_000.0),
                (&[("stock", "15 %"), ("concentrate", "70 mL"), ("water", "1 L")], 10_000.0),
            ],
        )
    },
    group(
        "WAC 296-823-14055: called 1:100 and 1:10 (strengths derived)",
        "mix-strength",
        "",
        "mg/L",
        Tolerance::Share(0.005),
        &[("stock", "5.25 %"), ("volume", "946 mL")],
        &[(&[("concentrate", "10 mL")], 555.0), (&[("concentrate", "94 mL")], 5217.0)],
    ),
    group(
        "Kansas KDHE, kdhe.ks.gov/1019",
        "mix-strength",
        "",
        "mg/L",
        Tolerance::Share(0.005),
        &[("stock", "5.25 %")],
        &[(&[("concentrate", "1 US fl oz"), ("volume", "1 US gal")], 410.0)],
    ),
    group(
        "Kansas KDHE, kdhe.ks.gov/1019",
        "dilution-liquid",
        "",
        "US fl oz",
        Tolerance::Share(0.001),
        &[("stock", "5.25 %")],
        &[(&[("wanted", "50 mg/L"), ("volume", "1000 US gal")], 122.0)],
    ),
    group(
        "Red Cross items catalogue, sodium dichloroisocyanurate: strength of one tablet",
        "dilution-tablets",
        "strength",
        "mg/L",
        Tolerance::Share(0.001),
        NONE,
        &[
            (&[("tablet", "5 mg"), ("wanted", "5 ppm"), ("volume", "1 L")], 5.0),
            (&[("tablet", "20 mg"), ("wanted", "4 ppm"), ("volume", "5 L")], 4.0),
            (&[("tablet", "40 mg"), ("wanted", "4 ppm"), ("volume", "10 L")], 4.0),
            (&[("tablet", "100 mg"), ("wanted", "5 ppm"), ("volume", "20 L")], 5.0),
        ],
    ),
    group(
        "MSF catalogue, unicat.msf.org/cat/product/11385: 10 mg active for 5 L",
        "dilution-tablets",
        "strength",
        "mg/L",
        Tolerance::Share(0.001),
        NONE,
        &[(&[("tablet", "10 mg"), ("wanted", "2 ppm"), ("volume", "5 L")], 2.0)],
    ),
    // Ounces in a US gallon. The chart is rounded for a jug and mixes its readings, hence the tolerance; its 1:15, 1:20
    // and 1:128 show which reading each row is.
    group(
        "westcoastmm.com/resources-dilution-charts.htm and docslib.org/doc/12198174",
        "dilution-ratio",
        "",
        "US fl oz",
        Tolerance::Share(0.045),
        &[("reading", "of-water"), ("volume", "1 US gal"), ("round_up", "0.1 mL")],
        &[
            (&[("parts", "4")], 25.5),
            (&[("parts", "10")], 11.5),
            (&[("parts", "12")], 10.0),
            (&[("parts", "15")], 8.0),
            (&[("parts", "20")], 6.0),
            (&[("parts", "32")], 4.0),
            (&[("parts", "40")], 3.0),
            (&[("parts", "50")], 2.5),
            (&[("parts", "64")], 2.0),
            (&[("parts", "128")], 1.0),
            (&[("parts", "256")], 0.5),
        ],
    ),
    group(
        "westcoastmm.com/resources-dilution-charts.htm, a quart",
        "dilution-ratio",
        "",
        "US fl oz",
        Tolerance::Share(0.01),
        &[("reading", "in-all"), ("volume", "1 US qt"), ("round_up", "0.1 mL")],
        &[(&[("parts", "64")], 0.5), (&[("parts", "128")], 0.25)],
    ),
    Group {
        wrong: &[(
            &[("volume", "1 US gal")],
            32.0,
            25.6,
            "another chart prints 32 oz, which is added to a full gallon and makes 1.25 gal; made up to a gallon it is 25.6",
        )],
        ..group(
            "pages.infinit.net/pbanat/dilution.htm",
            "dilution-ratio",
            "",
            "US fl oz",
            Tolerance::Share(0.01),
            &[("parts", "4"), ("reading", "of-water"), ("round_up", "0.1 mL")],
            &[(&[("water", "1 US gal")], 32.0)],
        )
    },
];
