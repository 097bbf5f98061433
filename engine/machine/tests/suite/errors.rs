//! What does not become a machine says why.

use oracle::{equipment, library, procedure};
use serde_json::json;

#[test]
fn what_refers_to_nothing_is_named() {
    let rig = equipment(json!({ "a": { "values": ["v0", "v1"] } }), json!({}));
    let steps = json!([{ "id": "act", "do": "Act." }]);
    let main = procedure("main", json!({}), json!({}), steps);
    let library = library(&[&rig, &main]).expect("no findings");
    let told = |library: &document::Library, name: &str| {
        machine::compile(library, &name.into()).expect_err("it does not compile").to_string()
    };
    assert_eq!(told(&library, "other"), "`other` refers to that procedure, which does not exist");
    let mut changed = library.clone();
    changed.procedures["main"].model.equipment = "rag".into();
    assert_eq!(told(&changed, "main"), "`main` refers to equipment `rag`, which does not exist");
    let mut changed = library.clone();
    changed.procedures["main"].model.requires =
        serde_json::from_value(json!({ "b": "v0" })).expect("a condition");
    assert_eq!(told(&changed, "main"), "`main` refers to condition `b`, which does not exist");
    let mut changed = library;
    changed.procedures["main"].model.requires =
        serde_json::from_value(json!({ "a": "v2" })).expect("a condition");
    assert_eq!(told(&changed, "main"), "`main` refers to value `v2`, which does not exist");
    let large = machine::CompileError::TooLarge.to_string();
    assert_eq!(large, "written out in full, the procedure has more than 1000000 places");
}
