//! Published sequences as procedures: the right order is proved, and every other one refuted.
//!
//! Source: 29 CFR 1910.147(d)(1) to (d)(6), order of applying energy control, and (e)(1), (e)(2)(i), (e)(3), (e)(2)(ii), order of
//! releasing it; mark: read (the verb of (d)(6) from memory). The regulation leaves construction, agriculture and maritime
//! employment out; it serves here as a published order, not as a rule for the demo machine.

use crate::{REGULATED, file};
use check::{Budget, check};
use document::{Severity, read};

/// A paragraph of the regulation as a step: its name, what it needs of those before it, and what it leaves.
struct Paragraph {
    id: &'static str,
    act: &'static str,
    requires: &'static str,
    leaves: &'static str,
}

const APPLYING: [Paragraph; 6] = [
    Paragraph { id: "d1", act: "Find out the energy.", requires: "", leaves: "energy: known" },
    Paragraph { id: "d2", act: "Shut down.", requires: "energy: known", leaves: "machine: shut-down" },
    Paragraph {
        id: "d3",
        act: "Operate the devices.",
        requires: "machine: shut-down",
        leaves: "devices: operated",
    },
    Paragraph {
        id: "d4",
        act: "Attach the locks.",
        requires: "devices: operated",
        leaves: "locks: attached",
    },
    Paragraph {
        id: "d5",
        act: "Relieve stored energy.",
        requires: "locks: attached",
        leaves: "stored: relieved",
    },
    Paragraph {
        id: "d6",
        act: "Verify the isolation.",
        requires: "stored: relieved",
        leaves: "isolation: verified",
    },
];

const RELEASING: [Paragraph; 5] = [
    Paragraph { id: "e1", act: "Inspect the area.", requires: "", leaves: "inspection: done" },
    Paragraph { id: "e2i", act: "Place the people.", requires: "inspection: done", leaves: "people: placed" },
    Paragraph {
        id: "e3",
        act: "Remove the locks.",
        requires: "people: placed",
        leaves: "locks: not-attached",
    },
    Paragraph {
        id: "e2ii",
        act: "Tell the employees.",
        requires: "locks: not-attached",
        leaves: "told: told",
    },
    Paragraph { id: "start", act: "Start the machine.", requires: "told: told", leaves: "machine: running" },
];

/// All orders of so many things, the given one first.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let shorter = orders(count - 1);
    let mut all = Vec::new();
    for at in (0..count).rev() {
        for order in &shorter {
            let mut order = order.clone();
            order.insert(at, count - 1);
            all.push(order);
        }
    }
    all
}

fn procedure(name: &str, contract: &str, steps: &[&Paragraph], last: &str) -> String {
    let mut text = format!(
        "procedure: {name}\ntitle: T\nequipment: press\nrevision: 1\npurpose: P.\nscope: S.\n\
         performers: {{ authorised-employee: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\n{contract}steps:\n"
    );
    for step in steps {
        text += &format!("  - id: {}\n    do: {}\n    leaves: {{ {} }}\n", step.id, step.act, step.leaves);
        if !step.requires.is_empty() {
            text += &format!("    requires: {{ {} }}\n", step.requires);
        }
    }
    text + last
}

/// Whether an order is proved; if not, the steps at which it fails.
fn verdict(text: &str) -> Vec<String> {
    let reading = read(&[file("equipment", REGULATED), file("procedure", text)]);
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    let report = check(reading, &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own");
    let findings = report.findings();
    let proved = findings.iter().filter(|finding| finding.severity == Severity::Error);
    proved.map(|finding| format!("{} {}", finding.code, finding.message)).collect()
}

/// Only the published order is proved; every other one is refuted.
fn only_the_first_order(name: &str, contract: &str, paragraphs: &[Paragraph], last: &str) -> usize {
    let orders = orders(paragraphs.len());
    for (at, order) in orders.iter().enumerate() {
        let steps: Vec<&Paragraph> = order.iter().map(|&at| &paragraphs[at]).collect();
        let found = verdict(&procedure(name, contract, &steps, last));
        if at == 0 {
            assert_eq!(order, &(0..paragraphs.len()).collect::<Vec<_>>());
            assert_eq!(found, Vec::<String>::new(), "the published order");
        } else {
            let ids: Vec<&str> = steps.iter().map(|step| step.id).collect();
            assert!(found.iter().any(|found| found.starts_with("P01")), "{ids:?} is not refuted: {found:?}");
        }
    }
    orders.len()
}

#[test]
fn applying_energy_control_has_one_order() {
    let contract = "requires: { machine: running, locks: not-attached, devices: not-operated, stored: present, \
                    isolation: unverified, energy: unknown }\nleaves: { isolation: verified }\n";
    let service = "  - id: service\n    work: servicing\n    do: Service the machine.\n";
    assert_eq!(only_the_first_order("apply", contract, &APPLYING, service), 720);
}

#[test]
fn releasing_energy_control_has_one_order() {
    let contract = "requires: { machine: shut-down, locks: attached, inspection: not-done, people: not-placed, \
                    told: not-told }\nleaves: { machine: running, locks: not-attached }\n";
    assert_eq!(only_the_first_order("release", contract, &RELEASING, ""), 120);
}
