//! Each fault of names and of meaning, once, at its exact place.

use super::{EQUIPMENT, PROCEDURE, expect, swap};

#[track_caller]
fn in_procedure(from: &str, to: &str, code: &str, words: &str) {
    expect(&[EQUIPMENT, &swap(PROCEDURE, from, to)], &[(code, words)]);
}

#[track_caller]
fn in_equipment(from: &str, to: &str, code: &str, words: &str) {
    expect(&[&swap(EQUIPMENT, from, to)], &[(code, words)]);
}

#[test]
fn conditions_and_values() {
    for (from, to, code, words) in [
        ("requires: { supply: isolated,", "requires: { «suply»: isolated,", "N02", "did you mean `supply`?"),
        (
            "requires: { supply: isolated,",
            "requires: { supply: «isolatd»,",
            "N03",
            "did you mean `isolated`?",
        ),
        ("tank: empty }", "tank: [empty, «emtpy»] }", "N03", "`tank` has no value `emtpy`"),
        ("tank: empty }", "tank: [empty, «empty»] }", "N20", "stands twice"),
        (
            "leaves: { cover: tight }",
            "leaves: { cover: «closed» }",
            "N03",
            "known here: `tight`, `loose` or `open`",
        ),
        (
            "confirm: { pressure: relieved }",
            "confirm: { pressure: «releived» }",
            "N03",
            "did you mean `relieved`?",
        ),
        ("shows: { cover: open }", "shows: { «cofer»: open }", "N02", "did you mean `cover`?"),
        ("until: { gasket: inspected }", "until: { gasket: «seen» }", "N03", "`gasket` has no value `seen`"),
        ("until: { hv: dissipated }", "until: { hv: «gone» }", "N03", "`hv` has no value `gone`"),
        (
            "    action: isolate",
            "    disturbs: [supply, «hvv»]\n    action: isolate",
            "N02",
            "did you mean `hv`?",
        ),
        (
            "    action: isolate",
            "    disturbs: [supply, «supply»]\n    action: isolate",
            "N20",
            "stands twice",
        ),
        (
            "    action: isolate",
            "    requires: { «hose»: 4 m }\n    action: isolate",
            "N02",
            "`hose` is a variant",
        ),
        ("retests: 1", "shows: { supply: «on» }", "N03", "`supply` has no value `on`"),
    ] {
        in_procedure(from, to, code, words);
    }
    for (from, to, code, words) in [
        ("when: { supply: live,", "when: { supply: «alive»,", "N03", "did you mean `live`?"),
        ("lost_when: { cover: open }", "lost_when: { «cower»: open }", "N02", "did you mean `cover`?"),
        ("lost_when: { cover: open }", "lost_when: [{ «cower»: open }]", "N02", "did you mean `cover`?"),
        ("{ pressure: up }]", "{ pressure: «upp» }]", "N03", "did you mean `up`?"),
        ("{ pressure: up }]", "{ «presure»: up }]", "N02", "did you mean `pressure`?"),
        ("seen_when: { cover: [loose,", "seen_when: { «cuver»: [loose,", "N02", "did you mean `cover`?"),
        ("seen_when: { cover: [loose,", "seen_when: { cover: [«lose»,", "N03", "did you mean `loose`?"),
        ("while: { supply: isolated }", "while: { «suply»: isolated }", "N02", "did you mean `supply`?"),
        ("while: { supply: isolated }", "while: { supply: «isolatd» }", "N03", "did you mean `isolated`?"),
        ("requires: { pressure: relieved,", "requires: { pressure: «none»,", "N03", "`pressure`"),
        ("leaves: { supply: isolated }, restores", "leaves: { supply: «off» }, restores", "N03", "`supply`"),
        ("safe_state: { supply: isolated,", "safe_state: { supply: «off»,", "N03", "`supply`"),
        ("restores: true", "disturbs: [«vh»]", "N02", "did you mean `hv`?"),
    ] {
        in_equipment(from, to, code, words);
    }
}

#[test]
fn variants() {
    in_procedure(
        "only: { hose: [4 m, 12 m] }",
        "only: { hose: [4 m, «12m»] }",
        "N04",
        "did you mean `12 m`?",
    );
    in_procedure("only: { hose: [4 m, 12 m] }", "only: { «hoze»: 4 m }", "N04", "did you mean `hose`?");
    in_procedure("only: { hose: [4 m, 12 m] }", "only: { «supply»: live }", "N04", "`supply` is a condition");
    in_equipment("tip: [fine, medium]", "tip: [fine, medium, «fine»]", "N20", "stands twice");
    let taken = swap(EQUIPMENT, "  hv:        {", "  tip: { values: [a, b] }\n  hv:        {");
    let taken = swap(&taken, "tip: [fine, medium]", "«tip»: [fine, medium]");
    expect(&[&taken], &[("N20", "stands under `conditions` too")]);
}

#[test]
fn declared_things() {
    for (from, to, code, words) in [
        (
            "performers: { technician: 1 }",
            "performers: { «tecnician»: 1 }",
            "N06",
            "did you mean `technician`?",
        ),
        ("by: technician\n", "by: «nobody»\n", "N06", "known here: `technician` or `supervisor`"),
        ("verified_by: supervisor", "verified_by: «superviser»", "N06", "did you mean `supervisor`?"),
        ("released_by: supervisor", "released_by: «boss»", "N06", "no role `boss`"),
        ("tools: [spanner]\nsupplies", "tools: [«spaner»]\nsupplies", "N05", "did you mean `spanner`?"),
        ("tools: [spanner]\nsupplies", "tools: [spanner, «spanner»]\nsupplies", "N20", "stands twice"),
        ("supplies: none", "supplies: [«clothe»]", "N05", "no supply `clothe`"),
        ("spares: none", "spares: [«oring»]", "N05", "no spare `oring`"),
        ("wear: [chemical-gloves]", "wear: [«gloves»]", "N05", "no piece of protective equipment `gloves`"),
        ("        tools: [spanner]", "        tools: [«hammer»]", "N05", "no tool `hammer`"),
        ("warn: [shock]", "warn: [«shok»]", "N05", "did you mean `shock`?"),
        ("    action: isolate", "    action: «isolte»", "N05", "did you mean `isolate`?"),
        ("    action: isolate", "    work: «wet»\n    action: isolate", "N05", "no type of work `wet`"),
        ("instrument: ohmmeter", "instrument: «ohmeter»", "N05", "did you mean `ohmmeter`?"),
        ("fasteners: wand-cover", "fasteners: «wand-cap»", "N05", "no group of fasteners `wand-cap`"),
    ] {
        in_procedure(from, to, code, words);
    }
    in_equipment("hazard: shock, why", "hazard: «shok», why", "N05", "did you mean `shock`?");
    in_equipment("hazard: chemical }", "hazard: «fire» }", "N05", "known here: `shock` or `chemical`");
    in_equipment(
        "wear: [chemical-gloves]",
        "wear: [«mask»]",
        "N05",
        "no piece of protective equipment `mask`",
    );
    for (from, to) in [
        ("released_by: supervisor", "released_by: «superviser»"),
        ("verified_by: supervisor", "verified_by: «superviser»"),
        ("by: technician", "by: «superviser»"),
    ] {
        in_equipment(from, to, "N06", "did you mean `supervisor`?");
    }
    in_equipment("restores: true", "work: «dry»", "N05", "known here: `open-wet-part`");
    in_equipment("restores: true", "tools: [«saw»]", "N05", "no tool `saw`");
}

#[test]
fn targets() {
    for (from, to, code, words) in [
        ("    then: done", "    then: «doen»", "N09", "did you mean `done`?"),
        ("yes: last", "yes: «lats»", "N09", "did you mean `last`?"),
        ("then: stop } }", "then: «nowhere» } }", "N09", "no step is named `nowhere`"),
        ("yes: last", "yes: «wipe»", "N09", "inside another group of steps"),
        (
            "        do: Wipe the left side.",
            "        do: Wipe the left side.\n        then: «right»",
            "N09",
            "in any order",
        ),
        ("id: last\n", "id: «look»\n", "N10", "named `look` as well"),
        ("id: wipe\n", "id: «done»\n", "N10", "cannot be named `done`"),
    ] {
        if code == "N10" && from == "id: last\n" {
            // The answer that led to `last` leads nowhere now.
            let text = swap(&swap(PROCEDURE, from, to), "yes: last", "yes: look");
            expect(&[EQUIPMENT, &text], &[(code, words)]);
        } else {
            in_procedure(from, to, code, words);
        }
    }
    // Out of a group to a list around it, and round again to an earlier step, are ways.
    let out =
        swap(PROCEDURE, "          do: Wipe the bowl.", "          do: Wipe the bowl.\n          then: last");
    let back = swap(&out, "yes: last", "yes: purge");
    expect(&[EQUIPMENT, &back], &[]);
}

#[test]
fn otherwise_and_answers() {
    for (from, to, code, words) in [
        (
            "    confirm: { pressure: relieved }\n    otherwise: stop",
            "    «confirm»: { pressure: relieved }",
            "N11",
            "when the confirmation fails",
        ),
        (
            "    measure: { what: the resistance across the strap, instrument: ohmmeter, at_most: 10 ohm, retests: 1 }\n    \
             otherwise: stop",
            "    «measure»: { what: the resistance across the strap, instrument: ohmmeter, at_most: 10 ohm, retests: 1 }",
            "N11",
            "when the reading is out of range",
        ),
        (
            "    wait: { until: { hv: dissipated }, limit: 2 min }\n    otherwise: stop",
            "    «wait»: { until: { hv: dissipated }, limit: 2 min }",
            "N11",
            "when the limit is reached",
        ),
        ("    then: done", "    «otherwise»: stop", "N11", "step `last` cannot fail"),
        (
            "why: The line runs empty. }",
            "why: The line runs empty. }\n    «otherwise»: stop",
            "N11",
            "step `purge` cannot fail",
        ),
        ("    then: done", "    «answers»: { yes: done, no: stop }", "N12", "step `last` asks nothing"),
        (
            "    answers: { yes: last, no: { shows: { cover: open }, then: stop } }",
            "    «answers»: { yes: last }",
            "N12",
            "fewer than two answers",
        ),
        (
            "    answers: { yes: last, no: { shows: { cover: open }, then: stop } }",
            "    «then»: last\n    answers: { yes: last, no: stop }",
            "N12",
            "`then` has no meaning here",
        ),
        (
            "    ask: Is the screen free of tears and deposits?\n    answers: { yes: last, no: { shows: { cover: open }, then: stop } }",
            "    «ask»: Is the screen free of tears and deposits?",
            "N12",
            "does not say where its answers lead",
        ),
    ] {
        in_procedure(from, to, code, words);
    }
    // An act is denied by whoever verifies it: its own verifier, or that of its type of work or of its action's.
    for (from, to) in [
        ("    verified_by: supervisor", "    verified_by: supervisor\n    otherwise: stop"),
        ("        work: open-wet-part", "        work: open-wet-part\n        otherwise: stop"),
        ("    then: done", "    then: done\n    verified_by: supervisor\n    otherwise: stop"),
    ] {
        expect(&[EQUIPMENT, &swap(PROCEDURE, from, to)], &[]);
    }
    let repeat = swap(PROCEDURE, "    repeat:", "    «repeat»:");
    let repeat = swap(&repeat, "      at_most: 3\n    otherwise: stop", "      at_most: 3");
    expect(&[EQUIPMENT, &repeat], &[("N11", "when the rounds are used up")]);
}

/// That nobody can tell is an answer of every look already, however it is written.
#[test]
fn what_every_look_has_already_is_no_answer_and_no_value() {
    let answers = "answers: { yes: last,";
    for word in ["cannot tell", "cannot-tell", "cannot_tell", "Cannot Tell", "can not tell", "\"can't tell\""]
    {
        let (to, words) =
            (format!("answers: {{ «{word}»: stop, yes: last,"), "every question has it already");
        in_procedure(answers, &to, "N24", words);
        let to = format!("values: [empty, rinse, product, «{word}»]");
        in_equipment("values: [empty, rinse, product]", &to, "N24", "is no value of `tank`");
    }
    for word in ["unclear", "cannot", "tell", "cannot tell yet"] {
        expect(
            &[EQUIPMENT, &swap(PROCEDURE, answers, &format!("answers: {{ {word}: stop, yes: last,"))],
            &[],
        );
    }
}

#[test]
fn groups_in_any_order() {
    let nested = "        «any_order»: [{ id: x, do: X. }, { id: y, do: Y. }]\n        only";
    in_procedure(
        "        do: Wipe the right side.\n        only",
        nested,
        "N13",
        "`right` is inside the group `around`",
    );
    let indirect = "        repeat: { steps: [{ id: g, «any_order»: [{ id: x, do: X. }, { id: y, do: Y. }] }], \
                    until: { hv: dissipated }, at_most: 2 }\n        otherwise: stop\n        only";
    in_procedure(
        "        do: Wipe the right side.\n        only",
        indirect,
        "N13",
        "`g` is inside the group `around`",
    );
    let items = |count: usize| {
        let items: Vec<String> = (0..count).map(|n| format!("{{ id: i{n}, do: X. }}")).collect();
        swap(PROCEDURE, "    action: isolate", &format!("    «any_order»: [{}]", items.join(", ")))
    };
    for count in [0, 1, 21] {
        expect(&[EQUIPMENT, &items(count)], &[("N13", "2 to 20 items")]);
    }
    for count in [2, 20] {
        expect(&[EQUIPMENT, &items(count).replace(['«', '»'], "")], &[]);
    }
}

#[test]
fn facts_of_conditions() {
    for (from, to, code, words) in [
        (
            "values: [empty, rinse, product]",
            "values: [empty, rinse, product, «rinse»]",
            "N14",
            "the value `rinse` twice",
        ),
        ("normal: tight", "normal: «tigth»", "N03", "did you mean `tight`?"),
        ("from: present,", "from: «presnt»,", "N03", "did you mean `present`?"),
        ("to: dissipated,", "to: «gone»,", "N03", "`hv` has no value `gone`"),
        ("to: dissipated,", "to: «present»,", "N14", "settles from `present` to itself"),
        ("after: 45 s", "after: «45 mm»", "N16", "a time is needed"),
        ("after: 45 s", "after: «\"45\"»", "N16", "has no unit"),
        ("lapses: 20 min", "lapses: «handover»", "N16", "after a handover everything is looked at again"),
        ("lapses: 20 min", "lapses: «hand-over»", "N16", "delete the key, or write a time"),
        ("lapses: 15 min", "lapses: «15 mm»", "N16", "`lapses` is a time"),
        ("while: { supply: isolated }", "while: { «hv»: present }", "N14", "cannot hang on `hv` itself"),
        (
            "seen_when: { cover: [loose, open] }",
            "seen_when: { «gasket»: inspected }",
            "N14",
            "hang on `gasket` itself",
        ),
        (
            "seen_when: { cover: [loose, open] }",
            "seen_when: { «hv»: dissipated }",
            "N14",
            "nobody sees `hv`, so nobody can tell when `gasket` is to be seen",
        ),
        ("seen_by: measure", "seen_by: «nobody»", "N14", "`seen_when` says how it is seen"),
        (
            "up: \"Does the gauge stand above 0?\" },",
            "up: \"Is it?\" }, seen_by: «nobody»,",
            "N14",
            "`ask` says how",
        ),
        ("lost_when: { cover: open }", "lost_when: [{ «gasket»: inspected }]", "N15", "by `gasket` itself"),
        ("up: \"Does", "«upp»: \"Does", "N03", "`pressure` has no value `upp`"),
        ("lost_when: { cover: open }", "lost_when: { «gasket»: inspected }", "N15", "by `gasket` itself"),
    ] {
        in_equipment(from, to, code, words);
    }
}

#[test]
fn figures() {
    for (from, to, code, words) in [
        ("time: 15 min", "time: «15 minuts»", "N16", "unit"),
        ("time: 15 min", "time: «a while»", "N16", "does not begin with a figure"),
        ("for: $purge-time", "for: «$purge-tim»", "N16", "did you mean `purge-time`?"),
        ("for: $purge-time", "for: «3 m»", "N16", "a time is needed"),
        ("limit: 2 min", "limit: «2»", "R13", "unit"),
        ("at_most: 10 ohm", "at_most: «10 m»", "N16", "a resistance is needed"),
        ("at_most: 10 ohm", "at_most: «$purge-time»", "N16", "a resistance is needed"),
        ("at_most: 10 ohm", "at_least: 11 ohm, at_most: «10 ohm»", "N17", "11"),
        ("for: $purge-time", "for: $purge-time, «limit»: 3 min", "N18", "no meaning without `until`"),
    ] {
        in_procedure(from, to, code, words);
    }
    in_procedure(
        "    measure: { what: the resistance across the strap, instrument: ohmmeter, at_most: 10 ohm,",
        "    «measure»: { what: the resistance across the strap, instrument: ohmmeter,",
        "N17",
        "needs a limit",
    );
    in_procedure("    wait: { for: $purge-time, why", "    «wait»: { why", "N18", "waits for nothing");
    in_procedure(
        "until: { hv: dissipated }, limit: 2 min",
        "«until»: { hv: dissipated }",
        "N18",
        "needs a limit",
    );
    in_procedure("limit: 2 min", "for: 3 min, limit: «2 min»", "N18", "shorter than the time under `for`");
    // Of two amounts only the cases of one machine are compared: no hose is both the longest and the shortest.
    let both = swap(PROCEDURE, "limit: 2 min", "for: $purge-time, limit: $purge-time");
    expect(&[EQUIPMENT, &both], &[]);
    in_equipment("unit: ohm", "unit: «ohmz»", "N16", "unit");
    in_equipment("resolution: 0.1 ohm", "resolution: «0.1 V»", "N16", "a resistance is needed");
    in_equipment("uncertainty: 0.05 ohm", "uncertainty: «0 ohm»", "N16", "more than zero");
}

#[test]
fn fasteners() {
    for (from, to, code, words) in [
        ("layout: line, count: 7,", "layout: «line»,", "N19", "has no `count`"),
        ("count: 7,", "count: 7, «rows»: 2,", "N19", "`rows` has no meaning for a line"),
        ("count: 7,", "count: «0»,", "N19", "0 fasteners"),
        ("count: 7,", "count: «4000000000»,", "N19", "200"),
        ("pitch: 45 mm", "pitch: «45 s»", "N16", "a length is needed"),
        ("pitch: 45 mm", "pitch: «0 mm»", "N19", "above zero"),
        ("torque: 1.2 N·m", "torque: «1.2 N»", "N16", "a torque is needed"),
        ("order: centre-out", "order: «crosswise»", "N19", ""),
        ("order: centre-out", "order: «authored»", "N19", "no `sequence`"),
        ("pitch: 45 mm", "«diameter»: 45 mm", "N19", "`diameter` has no meaning for a line"),
        ("layout: grid, rows: 2, columns: 3,", "layout: «free»,", "N19", "has no `positions`"),
        ("layout: grid, rows: 2,", "layout: edge, rows: «1»,", "N19", "two rows"),
        ("columns: 3, order", "columns: 3, count: «8», order", "F02", "6 places for 8 fasteners"),
        (
            "order: centre-out",
            "order: centre-out, sequence: [4, «2», 3, 5, 6, 1, 7]",
            "F01",
            "turn 2 tightens fastener 2",
        ),
        (
            "order: centre-out",
            "order: centre-out, sequence: [4, 3, 5, 2, 6, 1, «1»]",
            "F01",
            "fastener 1 twice",
        ),
        ("order: centre-out", "order: authored, sequence: [4, 3, 5, 2, 6, 1, «8»]", "F01", "fastener 8"),
        ("torque: 1.2 N·m", "torque: 1.2 N·m, stages: [60 %, «30 %», 100 %]", "F03", "30 %"),
        ("torque: 1.2 N·m", "torque: 1.2 N·m, stages: [30 %, «60 %»]", "F03", "full torque"),
        ("torque: 1.2 N·m", "torque: 1.2 N·m, stages: [«30 s», 100 %]", "N16", "needed"),
        ("torque: 1.2 N·m", "«stages»: [100 %]", "N19", "without a torque"),
        ("3, order: crosswise", "3, order: «crosswise», torque: 1.5 N·m", "F04", "no final pass"),
    ] {
        in_equipment(from, to, code, words);
    }
    // What symmetry makes equal is no fault, and a free layout is one with all its places.
    for (from, to) in [
        ("order: centre-out", "order: centre-out, sequence: [4, 5, 3, 2, 6, 7, 1]"),
        ("order: centre-out", "order: authored, sequence: [1, 2, 3, 4, 5, 6, 7]"),
        ("torque: 1.2 N·m", "torque: 1.2 N·m, stages: [30 %, 60 %, 100 %], final_pass: true"),
        ("3, order: crosswise", "3, order: crosswise, torque: 1.5 N·m, final_pass: false"),
        (
            "layout: grid, rows: 2, columns: 3, order: crosswise",
            "layout: free, count: 2, positions: [{ x: 0 mm, y: 0 mm }, { x: 20 mm, y: 5 mm }], order: circular",
        ),
    ] {
        expect(&[&swap(EQUIPMENT, from, to), PROCEDURE], &[]);
    }
    let loose = swap(EQUIPMENT, ", torque: 1.2 N·m", "");
    expect(
        &[&loose, &swap(PROCEDURE, "pass: tighten", "pass: «tighten»")],
        &[("N19", "has no torque to tighten to")],
    );
    expect(&[&loose, &swap(PROCEDURE, "pass: tighten", "pass: seat")], &[]);
}

#[test]
fn amounts() {
    for (from, to, code, words) in [
        ("method: line-purge", "method: «line-purg»", "A01", "did you mean `line-purge`?"),
        ("bore: 6 mm", "bore: 6 mm, «bor»: 6 mm", "A02", "has no input `bor`"),
        ("bore: 6 mm", "bore: «6 s»", "A02", "it has to be a length"),
        ("bore: 6 mm", "bore: «6 m»", "A03", "holds for 1 mm to 200 mm"),
        ("bore: 6 mm", "bore: «six»", "A02", "does not begin with a figure"),
        ("volumes: 3", "volumes: «300»", "A03", "volumes"),
        ("length: $hose", "length: «$hoze»", "A02", "did you mean `hose`?"),
        (
            "$tip: { fine: 0.30 L/min, medium: 0.55 L/min }",
            "«$tip»: { fine: 0.30 L/min }",
            "A04",
            "`medium` of the variant `tip` has no figure",
        ),
        (
            "$tip: { fine: 0.30 L/min, medium: 0.55 L/min }",
            "«tip»: { fine: 0.30 L/min, medium: 0.55 L/min }",
            "A02",
            "write `$tip`",
        ),
        (
            "$tip: { fine: 0.30 L/min, medium: 0.55 L/min }",
            "«$tap»: { fine: 0.30 L/min, medium: 0.55 L/min }",
            "A02",
            "did you mean `tip`?",
        ),
        (
            "{ $tip: { fine: 0.30 L/min, medium: 0.55 L/min } }",
            "«{ $tip: { fine: 1 L/min, medium: 1 L/min }, $hose: { 4 m: 1 L/min } }»",
            "A02",
            "depends on one variant",
        ),
        ("medium: 0.55 L/min }", "medium: 0.55 L/min, «coarse»: 1 L/min }", "A04", "no value `coarse`"),
        ("fine: 0.30 L/min", "fine: «0.30»", "R13", "text"),
    ] {
        in_equipment(from, to, code, words);
    }
    in_equipment("method: line-purge, bore: 6 mm,", "method: «line-purge»,", "A02", "needs the input `bore`");
    in_equipment(
        "flow: { $tip: { fine: 0.30 L/min, medium: 0.55 L/min } }",
        "flow: «{ $tip: { fine: 0.30 L, medium: 0.55 L/min } }»",
        "A02",
        "it has to be a flow",
    );
}

#[test]
fn an_amount_of_the_procedure_hides_none_of_the_equipment() {
    let named = swap(PROCEDURE, "amounts: { soak-time:", "amounts: { «purge-time»:");
    let named = swap(&named, "for: $soak-time", "for: $purge-time");
    expect(&[EQUIPMENT, &named], &[("N20", "the equipment uses the name `purge-time` already")]);
    in_procedure("length: 1 m,", "length: «1 s»,", "A02", "it has to be a length");
}
