//! In a rehearsal the clock jumps over the limit of a wait as it does over the wait.

use super::program::{run, said};
use super::site::site;

const EQUIPMENT: &str = "\
equipment: drain-rig
title: Drain rig
revision: 1
roles: { technician: Trained on this rig. }
conditions:
  bowl: { values: [full, drained], ask: { drained: Is the bowl drained? } }
";

const PROCEDURE: &str = "\
procedure: drain
title: Drain the bowl
equipment: drain-rig
revision: 1
purpose: Drain it.
scope: The bowl alone.
performers: { technician: 1 }
time: 5 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
emergency: If someone gets hurt, stop the work. Call the supervisor.
effective: 2026-11-02
author: Ilse Marrow
steps:
  - { id: open, do: Open the plug. }
  - { id: drain, wait: { until: { bowl: drained }, limit: 2 min, why: It drains slowly. }, otherwise: clean }
  - { id: end, do: Shut the plug., then: done }
  - { id: clean, do: Clean the drain. }
";

#[test]
fn a_rehearsal_comes_to_the_limit_of_a_wait() {
    let folder = tempfile::tempdir().expect("a folder");
    site(folder.path(), EQUIPMENT, PROCEDURE);
    let journal = folder.path().join("records.sqlite");
    let walk = ["walk", "drain", "--training", "--rehearsal", "--person", "Anneke Voss", "--serial", "7"];
    let text = said(&run(&journal, &walk, "done\nlimit\ndone\n"));
    assert!(text.contains("> limit\n  (rehearsal: the clock jumps 2 min ahead)"), "{text}");
    assert!(text.contains("Clean the drain."), "{text}");
    assert!(text.contains("The walk is completed"), "{text}");
}
