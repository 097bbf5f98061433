//! What the typed document holds of who sees a condition, when, and what ends what is known of it.

use super::{EQUIPMENT, read_texts, swap};
use crate::model::{Condition, Cube, Equipment, Leaves, SeenBy, Values, While};

fn equipment(text: &str) -> Equipment {
    let reading = read_texts(&[text]);
    assert_eq!(reading.findings, Vec::new());
    let (_, document) = reading.library.equipment.into_iter().next().expect("the equipment");
    document.model
}

fn cube(of: &[(&str, &[&str])]) -> Cube {
    let values = |values: &[&str]| Values(values.iter().map(ToString::to_string).collect());
    of.iter().map(|(name, list)| ((*name).into(), values(list))).collect()
}

#[test]
fn every_key_is_read() {
    let sprayer = equipment(EQUIPMENT);
    let of = |name: &str| -> &Condition { &sprayer.conditions[name] };
    assert_eq!(of("gasket").seen_by, Some(SeenBy::Measure));
    assert_eq!(of("gasket").seen_when, cube(&[("cover", &["loose", "open"])]));
    assert_eq!(of("gasket").lost_when, [cube(&[("cover", &["open"])])]);
    let either = [cube(&[("supply", &["live"]), ("cover", &["open"])]), cube(&[("pressure", &["up"])])];
    assert_eq!(of("tank").lost_when, either);
    assert_eq!((of("tank").keeps, of("cover").keeps), (true, false));
    assert_eq!((&of("cover").seen_when, &of("cover").lost_when), (&Cube::new(), &Vec::new()));
    let holds = |sprayer: &Equipment| {
        sprayer.conditions["hv"].settles.as_ref().and_then(|settles| settles.holds.clone())
    };
    let held = holds(&sprayer).expect("a map");
    assert_eq!(held.cube(), Some(&cube(&[("supply", &["isolated"])])));
    let none = holds(&equipment(&swap(EQUIPMENT, "while: { supply: isolated }", "while: none")));
    assert_eq!(none.as_ref().map(While::cube), Some(None), "said, and nothing sustains it");
    assert_eq!(holds(&equipment(&swap(EQUIPMENT, ", while: { supply: isolated }", ""))), None, "not said");
    let work = &sprayer.work["open-wet-part"];
    let role = |role: &Option<crate::model::Name>| role.as_ref().map(ToString::to_string);
    assert_eq!(role(&work.by).as_deref(), Some("technician"));
    assert_eq!((role(&work.verified_by).as_deref(), work.people), (Some("supervisor"), Some(2)));
    assert_eq!(role(&sprayer.never["open-while-live"].released_by).as_deref(), Some("supervisor"));
}

/// Without `seen_by`: by looking where there is a question, by nobody where it settles without one, else by measuring.
#[test]
fn who_sees_it_follows_from_the_rest_where_it_is_not_said() {
    let sprayer = equipment(EQUIPMENT);
    let by = |name: &str| sprayer.conditions[name].seen_by();
    assert_eq!((by("supply"), by("hv"), by("cover")), (SeenBy::Look, SeenBy::Nobody, SeenBy::Measure));
    let asked = swap(
        EQUIPMENT,
        "hv:        { values: [present, dissipated],",
        "hv: { values: [present, dissipated], ask: Is it?,",
    );
    assert_eq!(equipment(&asked).conditions["hv"].seen_by(), SeenBy::Look, "it settles and has a question");
    for (word, means) in [("look", SeenBy::Look), ("nobody", SeenBy::Nobody), ("measure", SeenBy::Measure)] {
        let said = swap(EQUIPMENT, "hv:        {", &format!("hv: {{ seen_by: {word},"));
        assert_eq!(equipment(&said).conditions["hv"].seen_by(), means);
    }
}

#[test]
fn what_an_act_leaves_has_an_order_and_a_conjunction_has_none() {
    let one = cube(&[("supply", &["isolated"]), ("cover", &["open"])]);
    let other = cube(&[("cover", &["open"]), ("supply", &["isolated"])]);
    assert_eq!(one, other);
    assert_ne!(Leaves(one.clone()), Leaves(other));
    assert_eq!(Leaves(one.clone()), Leaves(one));
    let written =
        swap(EQUIPMENT, "leaves: { cover: open }", "leaves: { supply: live, cover: open, hv: present }");
    let names: Vec<String> =
        equipment(&written).actions["open-cover"].leaves.keys().map(ToString::to_string).collect();
    assert_eq!(names, ["supply", "cover", "hv"], "as written");
}
