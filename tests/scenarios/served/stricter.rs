//! The officer writes something stricter into the equipment while it is served: nothing goes on that is not proved under it.

use super::device::{Device, until_said};
use super::server::Server;
use super::walker::{Walker, willing};
use crate::support::edit::{rewritten, swap};
use crate::walks::root;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

/// A folder with the equipment and two of its procedures, served; the officer writes into it.
pub(super) struct Site {
    pub(super) folder: tempfile::TempDir,
    pub(super) server: Server,
}

impl Site {
    pub(super) fn served() -> Self {
        Self::served_as(str::to_owned)
    }

    /// With the equipment written otherwise.
    pub(super) fn served_as(equipment: impl Fn(&str) -> String) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for file in ["equipment", "strainer-clean", "tip-swap"] {
            let from = root().join(format!("procedures/oskerry-22/{file}.yaml"));
            let text = std::fs::read_to_string(from).expect("a document");
            let text = if file == "equipment" { equipment(&text) } else { text };
            std::fs::write(folder.path().join(format!("{file}.yaml")), text).expect("written");
        }
        let server = Server::start(&[folder.path().to_str().expect("a path")]);
        Self { folder, server }
    }

    pub(super) fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(format!("{name}.yaml"))).expect("a document")
    }

    pub(super) fn write(&self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(format!("{name}.yaml")), text).expect("written");
    }
}

/// The high voltage takes twice as long.
fn later(equipment: &str) -> String {
    swap(equipment, "after: 45 s", "after: 90 s")
}

/// What strainer-clean does and tip-swap does not.
fn ruled(equipment: &str) -> String {
    let rule = "never:\n  bare-bowl: { when: { bowl: open, strainer: removed }, hazard: pressure-jet, why: Grit falls into the pump. }\n";
    swap(equipment, "\nnever:\n", &format!("\n{rule}"))
}

/// A walk of somebody.
pub(super) struct Walked<'w> {
    pub(super) walker: &'w mut Walker,
    pub(super) id: String,
    pub(super) keys: usize,
}

impl<'w> Walked<'w> {
    pub(super) fn begun(walker: &'w mut Walker, procedure: &str) -> Self {
        let (status, walk) = walker.begin(procedure).expect("an answer");
        assert_eq!(status, 201, "{walk}");
        let id = walk["id"].as_str().expect("a name").to_owned();
        Self { walker, id, keys: 0 }
    }

    pub(super) fn now(&mut self) -> Value {
        self.walker.get(&format!("/walks/{}", self.id)).expect("an answer").1
    }

    /// Says something that was asked of it as it stood.
    pub(super) fn say(&mut self, below: &str, mut body: Value) -> (u16, Value) {
        self.keys += 1;
        if body.get("key").is_none() {
            body["key"] = json!(format!("{}-{}", self.id, self.keys));
        }
        self.walker.call("POST", &format!("/walks/{}/{below}", self.id), &body).expect("an answer")
    }

    /// Goes on as a willing technician until a step is asked for.
    pub(super) fn until(mut self, step: &str, kind: &str) -> Self {
        for _ in 0..100 {
            let walk = self.now();
            if walk["step"]["id"] == step && walk["prompt"]["is"] == kind {
                return self;
            }
            let (below, body) = willing(&walk).expect("it has not ended");
            let (status, reply) = self.say(below, body.clone());
            assert_eq!(status, 200, "{body}: {reply}");
        }
        panic!("it never comes to {step}");
    }

    /// Leaves the machine by the way that is shown after a stop, to its end.
    pub(super) fn left(&mut self, mut stopped: Value) {
        while stopped["leaving"]["is"] != "nothing" {
            let leaving = &stopped["leaving"];
            let (say, value) = match leaving["is"].as_str() {
                Some("act") => ("left", json!("jump")),
                Some("look") => {
                    let values = leaving["choices"][0].as_array().expect("values").iter();
                    let values: Vec<&str> = values.map(|value| value.as_str().expect("a value")).collect();
                    ("leave-look", json!(values.join(" or ")))
                }
                other => panic!("{other:?}: {stopped}"),
            };
            let body = json!({ "say": say, "value": value, "position": stopped["position"] });
            let (status, next) = self.say("answers", body.clone());
            assert_eq!(status, 200, "{body}: {next}");
            stopped = next;
        }
    }

    /// Asks for the walk until what it goes by is proved or is not.
    fn awaited(&mut self, unproved: bool) -> Value {
        let asked = Instant::now();
        loop {
            let walk = self.now();
            if (walk["prompt"]["is"] == "unproved") == unproved {
                return walk;
            }
            assert!(asked.elapsed() < Duration::from_secs(20), "{walk}");
            std::thread::sleep(Duration::from_millis(100));
        }
    }
}

const WHY: &str = "What this walk goes by is not proved any more under the equipment as it stands now: ";

/// What somebody says of the step under way is taken as long as that step lasts; then nothing is.
fn shut_after_its_step(walk: &mut Walked<'_>, step: &str) {
    let mut stands = walk.awaited(true);
    let prompt = stands["prompt"].clone();
    assert!(prompt["why"].as_str().is_some_and(|why| why.starts_with(WHY)), "{prompt}");
    let changes = json!(["high voltage at the tip settles after 90 s, before after 45 s."]);
    assert_eq!(prompt["changes"], changes, "{prompt}");
    let mut told = 0;
    while !stands["prompt"]["under_way"].is_null() {
        assert_eq!(stands["step"]["id"], step, "{stands}");
        let mut as_asked = stands.clone();
        as_asked["prompt"] = stands["prompt"]["under_way"].clone();
        let (below, body) = willing(&as_asked).expect("something is asked");
        let (status, next) = walk.say(below, body.clone());
        assert_eq!(status, 200, "{body}: {next}");
        told += 1;
        stands = next;
    }
    assert!(told > 0, "what was done is lost: {stands}");
    assert_eq!((&stands["prompt"]["is"], &stands["step"]), (&json!("unproved"), &json!(null)), "{stands}");
    let position = stands["position"].clone();
    for say in ["done", "look", "timer", "resume", "item", "variant", "reading"] {
        let body = json!({ "say": say, "value": "yes", "position": position });
        let (status, refused) = walk.say("answers", body);
        assert_eq!(status, 422, "{say}: {refused}");
        assert!(refused["reason"].as_str().is_some_and(|why| why.starts_with(WHY)), "{say}: {refused}");
    }
    // A tap by mistake is taken back even now, and what is said of the same step again is the last that is taken.
    if stands["take_back"].is_string() {
        let (status, back) = walk.say("answers", json!({ "say": "take-back", "position": position }));
        assert_eq!((status, &back["prompt"]["under_way"]["is"]), (200, &json!("act")), "{back}");
        let (status, again) = walk.say("answers", json!({ "say": "done", "position": back["position"] }));
        assert_eq!((status, &again["step"]), (200, &json!(null)), "{again}");
    }
    let page = walk.walker.device.get(&format!("/walks/{}", walk.id)).body;
    assert!(page.contains("id=\"now\">Not proved any more</h2>"), "{page}");
    assert!(page.contains("high voltage at the tip settles after 90 s"), "{page}");
    assert!(!page.contains("under-way") && !page.contains("class=\"act\""), "{page}");
    assert_eq!(walk.now()["step"], json!(null));
}

#[test]
fn walks_before_in_and_after_a_wait_that_became_too_short_are_shut_at_their_next_step() {
    let site = Site::served();
    let equipment = site.text("equipment");
    let mut walkers =
        ["Tomas Reeve", "Anneke Voss", "Gwen Adeyi"].map(|name| Walker::signed_in(&site.server, name));
    let [one, two, three] = &mut walkers;
    let mut before = Walked::begun(one, "strainer-clean").until("gloves", "act");
    let mut within = Walked::begun(two, "strainer-clean").until("decay", "wait");
    let mut after = Walked::begun(three, "strainer-clean").until("open-bowl", "act");
    site.write("equipment", &later(&equipment));
    shut_after_its_step(&mut before, "gloves");
    shut_after_its_step(&mut within, "decay");
    shut_after_its_step(&mut after, "open-bowl");

    // One stops: the way out goes by what is asked now.
    let ways = after.walker.device.get(&format!("/walks/{}/stop", after.id)).body;
    assert!(ways.contains("This way goes by the equipment as it stands now"), "{ways}");
    let (status, stopped) = after.say("stop", json!({ "reason": "The wait is too short." }));
    assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
    after.left(stopped);

    // The change is taken back: the others go on, after a pause.
    site.write("equipment", &equipment);
    for walk in [&mut before, &mut within] {
        let stands = walk.awaited(false);
        assert_eq!(stands["attends"], json!(false), "{stands}");
        let (status, refused) = walk.say("answers", json!({ "say": "done", "position": stands["position"] }));
        assert_eq!((status, &refused["reason"]), (422, &json!("You are not at this walk")), "{refused}");
        for _ in 0..300 {
            let Some((below, body)) = willing(&walk.now()) else { break };
            let (status, reply) = walk.say(below, body.clone());
            assert_eq!(status, 200, "{body}: {reply}");
        }
        assert_eq!(walk.now()["standing"], "completed");
    }
}

#[test]
fn what_is_not_proved_any_more_is_not_begun_and_says_why() {
    let site = Site::served();
    let (equipment, strainer) = (site.text("equipment"), site.text("strainer-clean"));
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let mut old = Walked::begun(&mut walker, "strainer-clean").until("gloves", "act");
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    let csrf = device.get("/begin/strainer-clean").field("", "csrf");
    site.write("equipment", &later(&equipment));
    let told = "Not proved under what is written now: it cannot be begun";
    until_said(&mut device, "/", told);
    let page = device.get("/begin/strainer-clean").body;
    assert!(page.contains(told) && !page.contains("name=\"serial\""), "{page}");
    let finding = "needs high voltage at the tip dissipated";
    assert!(page.contains(finding), "{page}");
    for form in [&[][..], &[("training", "yes")], &[("rehearsal", "yes")]] {
        let fields = [&[("csrf", csrf.as_str()), ("serial", "OSK-0117")], form].concat();
        let refused = device.post("/begin/strainer-clean", &fields);
        assert_eq!(refused.status, 422, "{form:?}");
        assert!(
            refused.body.contains("is not proved under what is written now and cannot be begun: step"),
            "{}",
            refused.body
        );
    }
    let (status, refused) = old.walker.begin("strainer-clean").expect("an answer");
    assert_eq!(status, 422, "{refused}");
    let why = refused["reason"].as_str().expect("a reason");
    assert!(
        why.starts_with("This procedure is not proved under what is written now") && why.contains(finding),
        "{why}"
    );
    let (_, procedures) = old.walker.get("/procedures").expect("an answer");
    let of = |name: &str| {
        let mut all = procedures.as_array().expect("a list").iter();
        all.find(|one| one["name"] == name).cloned().expect("it is there")
    };
    assert_eq!(of("strainer-clean")["walkable"], json!(false), "{procedures}");
    assert!(of("strainer-clean")["not_proved"].as_str().is_some_and(|why| why.contains(finding)));

    // The trainer mends the procedure: it is begun again, and what was begun before goes by the old one.
    site.write("strainer-clean", &rewritten(&strainer, "decay", "45 s", "90 s"));
    until_said(&mut device, "/begin/strainer-clean", "name=\"serial\"");
    assert_eq!(old.awaited(true)["prompt"]["is"], "unproved");
    let mut walker = Walker::signed_in(&site.server, "Anneke Voss");
    let mut new = Walked::begun(&mut walker, "strainer-clean");
    assert_ne!(new.now()["prompt"]["is"], "unproved");
}

#[test]
fn a_procedure_that_is_still_proved_goes_on() {
    let site = Site::served();
    let equipment = site.text("equipment");
    let mut walkers = ["Tomas Reeve", "Anneke Voss"].map(|name| Walker::signed_in(&site.server, name));
    let [one, two] = &mut walkers;
    let mut refuted = Walked::begun(one, "strainer-clean").until("gloves", "act");
    let mut untouched = Walked::begun(two, "tip-swap");
    site.write("equipment", &ruled(&equipment));
    let prompt = refuted.awaited(true)["prompt"].clone();
    let rule = "A new rule: this must never be so: bare bowl. Grit falls into the pump.";
    assert!(prompt["changes"].as_array().is_some_and(|all| all.contains(&json!(rule))), "{prompt}");
    for _ in 0..20 {
        let walk = untouched.now();
        let (below, body) = willing(&walk).expect("it has not ended");
        let (status, reply) = untouched.say(below, body.clone());
        assert_eq!(status, 200, "{body}: {reply}");
    }
    assert_eq!(untouched.walker.begin("tip-swap").expect("an answer").0, 201);
}

#[test]
fn what_does_not_read_changes_nothing() {
    let site = Site::served();
    let equipment = site.text("equipment");
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let mut walk = Walked::begun(&mut walker, "strainer-clean").until("gloves", "act");
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    for broken in [
        later(&equipment).replace("conditions:", "conditions: ["),
        later(&equipment).replace("conditions:", "conditoins:"),
        String::new(),
    ] {
        site.write("equipment", &broken);
        until_said(
            &mut device,
            "/",
            "equipment.yaml` says now does not read: it stays in force as it last did.",
        );
        assert_eq!(walk.now()["prompt"]["is"], "act");
        assert!(!device.get("/").body.contains("cannot be begun"));
    }
    // A second document of the name: nobody can say which of them counts.
    site.write("equipment", &equipment);
    site.write("another", &later(&equipment));
    until_said(&mut device, "/", "Two documents have the same name: none of the changes is in force.");
    assert_eq!(walk.now()["prompt"]["is"], "act");
    std::fs::remove_file(site.folder.path().join("another.yaml")).expect("removed");
    site.write("equipment", &later(&equipment));
    walk.awaited(true);
}

/// Whoever comes after the program was started anew can stop the walk and nothing else.
#[test]
fn after_a_restart_a_walk_that_is_not_proved_any_more_is_only_stopped() {
    let mut site = Site::served();
    let equipment = site.text("equipment");
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let id = Walked::begun(&mut walker, "strainer-clean").until("gloves", "act").id;
    site.server.kill();
    site.write("equipment", &later(&equipment));
    site.server.start_again();
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let mut walk = Walked { walker: &mut walker, id, keys: 1000 };
    let stands = walk.now();
    assert_eq!(
        (&stands["prompt"]["is"], &stands["prompt"]["under_way"]),
        (&json!("unproved"), &json!(null)),
        "{stands}"
    );
    for say in ["resume", "done"] {
        let (status, refused) = walk.say("answers", json!({ "say": say, "position": stands["position"] }));
        assert_eq!(status, 422, "{refused}");
        assert!(refused["reason"].as_str().is_some_and(|why| why.starts_with(WHY)), "{say}: {refused}");
    }
    let page = walk.walker.device.get(&format!("/walks/{}", walk.id)).body;
    assert!(page.contains("Not proved any more</h2>") && !page.contains("value=\"resume\""), "{page}");
    let (status, stopped) = walk.say("stop", json!({ "reason": "The wait is too short." }));
    assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
}
