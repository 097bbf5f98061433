//! Who sees a condition, when, what its time hangs on, and who does the work: each difference told in both directions.

use super::comparing::{compared, revision};
use crate::support::edit::swap;
use review::Class::{self, Neutral, Strengthened, Weakened};

const CHEST: &str = "\
equipment: chest
title: Chest
revision: 1
roles: { technician: Does the work., foreman: Answers for it. }
hazards: { knock: { worst: minor, certainty: could, hazard: Lid, consequence: It falls., avoid: Hold it. } }
conditions:
  seal: { values: [whole, broken], seen_by: look, seen_when: { lid: open }, keeps: true }
  lid: { values: [open, shut] }
  wind: { values: [strong, weak] }
  warmth: { values: [hot, cold], settles: { from: hot, to: cold, after: 10 min, while: none }, lost_when: { lid: open } }
never: { open-in-wind: { when: { lid: open, wind: strong }, hazard: knock, released_by: foreman } }
work: { lifting: { requires: { wind: weak }, by: foreman, people: 2, verified_by: technician } }
actions: { prop: { do: Prop the lid., leaves: { seal: broken, lid: open } } }
";

const LIFT: &str = "\
procedure: lift
title: Lift the lid
equipment: chest
revision: 1
purpose: The lid is open.
scope: The lid.
performers: { technician: 1 }
time: 1 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
requires: { wind: weak, lid: shut }
steps:
  - { id: lift, do: Lift the lid., work: lifting, leaves: { lid: open, seal: broken } }
  - { id: prop, action: prop }
";

/// What the comparison says of one edit, as class and words, in both directions.
fn told(equipment: (&str, &str), procedure: (&str, &str)) -> [Vec<(Class, &'static str)>; 2] {
    let (old, new) = (revision(procedure.0, equipment.0), revision(procedure.1, equipment.1));
    [compared(&old, &new), compared(&new, &old)].map(|comparison| {
        for change in &comparison.changes {
            let is_state = change.what.words().starts_with("state ");
            assert!(is_state || change.old.is_some() || change.new.is_some(), "`{}`", change.message);
        }
        comparison.changes.iter().map(|change| (change.class, change.what.words())).collect()
    })
}

#[test]
fn a_difference_counts_as_less_unless_it_is_surely_more() {
    for (from, to, what, classes) in [
        ("seen_by: look", "seen_by: nobody", "seeing changed", [Weakened, Weakened]),
        ("seen_by: look", "seen_by: measure", "seeing changed", [Weakened, Weakened]),
        ("seen_when: { lid: open }", "seen_when: { lid: shut }", "seeing changed", [Weakened, Weakened]),
        (", seen_when: { lid: open }", "", "seeing changed", [Weakened, Weakened]),
        (", keeps: true", "", "keeping changed", [Strengthened, Weakened]),
        ("after: 10 min", "after: 12 min", "settling time changed", [Strengthened, Weakened]),
        ("from: hot, to: cold", "from: cold, to: hot", "settling changed", [Weakened, Weakened]),
        (", while: none", "", "settling changed", [Weakened, Weakened]),
        ("while: none", "while: { lid: open }", "settling changed", [Weakened, Weakened]),
        (
            "lost_when: { lid: open }",
            "lost_when: [{ lid: open }, { wind: strong }]",
            "evidence changed",
            [Strengthened, Weakened],
        ),
        (
            "lost_when: { lid: open }",
            "lost_when: [{ lid: open, wind: strong }, { wind: weak }]",
            "evidence changed",
            [Weakened, Weakened],
        ),
        (
            "lost_when: { lid: open }",
            "lost_when: [{ lid: open }, { lid: open }]",
            "evidence changed",
            [Neutral, Neutral],
        ),
        (", released_by: foreman", "", "releasing role dropped", [Weakened, Strengthened]),
        ("released_by: foreman", "released_by: technician", "releasing role changed", [Weakened, Weakened]),
        (", by: foreman", "", "role dropped", [Weakened, Strengthened]),
        (", by: foreman", ", by: technician", "role changed", [Weakened, Weakened]),
        ("people: 2", "people: 1", "people lowered", [Weakened, Strengthened]),
        (", people: 2", "", "people lowered", [Weakened, Strengthened]),
        (", verified_by: technician", "", "verification dropped", [Weakened, Strengthened]),
        ("verified_by: technician", "verified_by: foreman", "verification changed", [Weakened, Weakened]),
        (
            "leaves: { seal: broken, lid: open }",
            "leaves: { lid: open, seal: broken }",
            "effect order changed",
            [Weakened, Weakened],
        ),
    ] {
        let [there, back] = told((CHEST, &swap(CHEST, from, to)), (LIFT, LIFT));
        assert!(there.contains(&(classes[0], what)), "{to}: {there:?}");
        let opposite = match what {
            "releasing role dropped" => "releasing role named",
            "role dropped" => "role added",
            "people lowered" => "people raised",
            "verification dropped" => "verification added",
            same => same,
        };
        assert!(back.contains(&(classes[1], opposite)), "{to}, backwards: {back:?}");
    }
    // Once something has to hold, time that always counted counts less often.
    let unsaid = swap(CHEST, ", while: none", "");
    let held = swap(CHEST, "while: none", "while: { lid: open }");
    let [there, back] = told((&unsaid, &held), (LIFT, LIFT));
    assert!(there.contains(&(Strengthened, "settling changed")), "{there:?}");
    assert!(back.contains(&(Weakened, "settling changed")), "{back:?}");
}

#[test]
fn the_order_in_which_a_step_makes_things_so_counts_and_that_of_a_promise_does_not() {
    let turned = swap(LIFT, "{ lid: open, seal: broken }", "{ seal: broken, lid: open }");
    let order = vec![(Weakened, "effect order changed")];
    assert_eq!(told((CHEST, CHEST), (LIFT, &turned)), [order.clone(), order]);
    let more = swap(LIFT, "{ lid: open, seal: broken }", "{ wind: weak, seal: broken, lid: open }");
    let [there, _] = told((CHEST, CHEST), (LIFT, &more));
    assert!(there.contains(&(Weakened, "effect order changed")), "beside what it leaves: {there:?}");
    assert!(there.contains(&(Neutral, "effect changed")), "{there:?}");
    let promise = |leaves: &str| swap(LIFT, "steps:\n", &format!("leaves: {leaves}\nsteps:\n"));
    let (one, other) = (promise("{ lid: open, seal: broken }"), promise("{ seal: broken, lid: open }"));
    assert_eq!(told((CHEST, CHEST), (&one, &other)), [Vec::new(), Vec::new()]);
}
