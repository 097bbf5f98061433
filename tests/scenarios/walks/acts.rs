//! In the terminal: an act of the equipment with what is read before it, at a gate that stays shut and on the way to leave the
//! machine.

use super::program::{as_str, run, said, walking};
use crate::served::acts::{SHOWN, demanding};
use crate::support::demo;

#[test]
fn an_act_is_told_with_its_warnings_wear_people_and_figures() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    demo::site(folder.path());
    let file = folder.path().join("procedures/oskerry-22/equipment.yaml");
    let equipment = std::fs::read_to_string(&file).expect("the equipment");
    std::fs::write(&file, demanding(&equipment)).expect("written");
    // Both variants, then the looks: the charger plug is in.
    let script = "4 m\nfine\nyes\nno\nyes\nyes\nyes\nstop rain\nlive\n";
    let output = said(&run(&journal, &as_str(&walking("strainer-clean")), script));
    let (gate, leaving) = output.split_once("The walk is stopped").unwrap_or_else(|| panic!("{output}"));
    for (place, text) in [("the gate", gate), ("the way", leaving)] {
        // Lines are broken where they are too long.
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in SHOWN {
            assert!(text.contains(words), "{words:?} is not at {place}: {output}");
        }
        let [first, .., act] = SHOWN;
        assert!(text.find(first) < text.find(act), "the warning comes first: {output}");
    }
}
