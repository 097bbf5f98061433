//! What each part says.

use super::{SERVICE, all_steps, page, standing, step, try_page};
use crate::page::{Approval, CardApproval, Detail, PageError, build};
use std::collections::BTreeSet;

#[test]
fn every_target_is_the_number_of_a_step() {
    let page = page();
    let steps = all_steps(&page.steps);
    let numbers: BTreeSet<&str> = steps.iter().map(|step| step.number.as_str()).collect();
    let mut found = 0;
    for step in &steps {
        let answers = match &step.detail {
            Detail::Ask { answers } => answers.as_slice(),
            _ => &[],
        };
        for route in answers.iter().chain(&step.routes) {
            found += 1;
            match route.to.strip_prefix("go to step ") {
                Some(number) => assert!(numbers.contains(number), "{route:?}"),
                None => assert!(["stop work", "go to Restoration"].contains(&route.to.as_str()), "{route:?}"),
            }
            assert_eq!(route.stops, route.to == "stop work");
        }
    }
    assert_eq!(found, 10, "three answers and who cannot tell, four failures, two ways on");
    let Detail::Ask { answers } = &step(&page, "choose").detail else { panic!() };
    let ways: Vec<(&str, &str)> = answers.iter().map(|way| (way.when.as_str(), way.to.as_str())).collect();
    // None of the answers shows anything, and who cannot tell stops all the same.
    let stopping = ["unsure", "cannot tell"].map(|when| (when, "stop work"));
    assert_eq!(ways, [("yes", "go to step 6"), ("no", "go to step 5"), stopping[0], stopping[1]]);
}

#[test]
fn an_act_says_where_to_go_where_it_is_not_verified() {
    let text =
        SERVICE.replace("    verified_by: officer\n", "    verified_by: officer\n    otherwise: report\n");
    let page = try_page(&text).unwrap();
    let ways: Vec<(&str, &str)> =
        step(&page, "lift").routes.iter().map(|way| (way.when.as_str(), way.to.as_str())).collect();
    let report = format!("go to step {}", step(&page, "report").number);
    assert_eq!(ways, [("If whoever verifies it finds that it is not so,", report.as_str())]);
}

#[test]
fn steps_inside_steps_have_numbers_with_points() {
    let page = page();
    assert_eq!(step(&page, "rinse").number, "5.2");
    assert_eq!(step(&page, "purge").number, "7.2");
    assert_eq!(
        step(&page, "rinse").only.as_deref(),
        Some("Only for hose 12 m, and tip fine or medium. For any other, pass over this step.")
    );
    assert_eq!(step(&page, "purge").rounds, 3, "a blank for every round");
    assert!(step(&page, "adjusting").text.text().contains("“Adjust the pump” (adjust, revision 7)"));
}

#[test]
fn what_a_look_in_a_block_shows_to_be_undone_is_done_again() {
    let text = |service: &str| step(&try_page(service).unwrap(), "clean").text.text();
    assert!(!text(SERVICE).contains("again"), "no look in it");
    let with_look = SERVICE.replace(
        "      - { id: wipe, do: Wipe it.,",
        "      - { id: glance, confirm: { gauge: read }, otherwise: stop }\n      - { id: wipe, do: Wipe it.,",
    );
    assert!(text(&with_look).ends_with("take the tick of that one back and do it again, once."));
}

#[test]
fn conditions_are_asked_in_the_equipments_words() {
    let page = page();
    let asked: Vec<(&str, &str, usize)> =
        page.before.questions.iter().map(|one| (one.ask.as_str(), one.answer, one.choices.len())).collect();
    assert_eq!(
        asked,
        [
            ("Is the supply switch at 0?", "yes", 0),
            ("Tank: is one of these so?", "yes", 2),
            ("Is the lever in line with the pipe?", "no", 0),
        ]
    );
    assert_eq!(page.before.unknown, ["gauge: read or unread"]);
    // Nobody can see the voltage. The cover is opened before the supply goes on, and for that the brake must be on.
    let recorded: Vec<&str> = page.before.by_record.iter().map(|one| one.ask.as_str()).collect();
    assert_eq!(recorded, ["Is the brake on?"]);
    let Detail::Repeat { until, .. } = &step(&page, "rounds").detail else { panic!() };
    assert_eq!(until[0].ask, "Is the gauge read?");
}

#[test]
fn what_was_touched_is_looked_at_again() {
    let page = page();
    let asked: Vec<&str> = page.restoration.questions.iter().map(|one| one.ask.as_str()).collect();
    assert_eq!(asked, ["Is the supply switch at 0?"]);
    assert_eq!(page.restoration.by_record, ["high voltage: dissipated", "cover: tight"]);
    let stop = page.stop.as_ref().expect("a state to be left in");
    let looks: Vec<&str> = stop.looks.iter().map(|one| one.ask.as_str()).collect();
    assert_eq!((looks, &stop.unseen), (vec!["Is the supply switch at 0?"], &vec!["cover: tight".to_owned()]));
    assert_eq!(page.signatures, ["Technician 1", "Technician 2", "Officer"]);
}

#[test]
fn protective_equipment_is_the_procedures_and_that_of_the_work() {
    let lists = page().needs;
    let all: Vec<(&str, usize)> = lists.iter().map(|list| (list.title.as_str(), list.items.len())).collect();
    assert_eq!(all, [("Tools", 2), ("Supplies", 1), ("Spares", 0), ("Protective equipment", 2)]);
    assert_eq!(lists[3].items, ["Face shield", "Gloves, at least 0.4 mm thick"]);
}

/// Times from our own worked table for this hose and these tips (derived).
#[test]
fn figures_are_given_for_every_machine_with_their_working() {
    let page = page();
    let names: Vec<&str> = page.figures.iter().map(|figure| figure.name.as_str()).collect();
    assert_eq!(names, ["purge time", "soak time"]);
    let table = page.figures[0].value.table.as_ref().unwrap();
    assert_eq!(table.columns, ["fine", "medium"]);
    let rows: Vec<(&str, Vec<&str>)> = table
        .rows
        .iter()
        .map(|row| (row.name.as_str(), row.cells.iter().map(String::as_str).collect()))
        .collect();
    assert_eq!(
        rows,
        [
            ("4 m", vec!["160 s (2 min 40 s)", "90 s (1 min 30 s)"]),
            ("12 m", vec!["295 s (4 min 55 s)", "165 s (2 min 45 s)"]),
        ]
    );
    let working = page.figures[0].working.as_ref().unwrap();
    assert!(working.inputs.contains(&("length".into(), "4 m / 12 m".into())));
    assert!(!working.source.is_empty() && !working.example.is_empty());
    let Detail::Wait { time: Some(time), .. } = &step(&page, "purge").detail else { panic!() };
    assert_eq!(time.table.as_ref(), Some(table));
    assert_eq!(page.scope.text(), "The pump, for 23 s and no longer.");
    assert_eq!(page.before.variants.len(), 2);
}

#[test]
fn a_reading_says_all_it_takes_to_judge_it() {
    let page = page();
    let Detail::Measure { instrument, unit, range, uncertainty, readings } = &step(&page, "measure").detail
    else {
        panic!()
    };
    assert_eq!((instrument.as_str(), unit.as_str(), *readings), ("Ohmmeter, shows 0.1 ohm", "ohm", 2));
    assert_eq!(range.one.as_deref(), Some("at most 2 ohm"));
    assert!(uncertainty.as_deref().unwrap().contains("0.05 ohm"));
}

/// Centre first, ends last; loosened the other way round (engine service text, read).
#[test]
fn fasteners_are_loosened_in_the_reverse_order() {
    let page = page();
    let fasten = |id: &str| match &step(&page, id).detail {
        Detail::Fasten { passes, diagram, .. } => (passes[0].order.clone(), diagram.clone()),
        other => panic!("{other:?}"),
    };
    let (tighten, drawing) = fasten("tighten");
    assert_eq!(tighten, [4, 3, 5, 2, 6, 1, 7]);
    assert_eq!(fasten("loosen").0, [7, 1, 6, 2, 5, 3, 4]);
    let turns: Vec<usize> = drawing.dots.iter().map(|dot| dot.turn).collect();
    assert_eq!(turns, [6, 4, 2, 1, 3, 5, 7]);
    for pair in drawing.dots.windows(2) {
        assert!(pair[1].x - pair[0].x > 30, "circles of radius 15 do not touch");
        assert_eq!(pair[0].y, pair[1].y);
    }
    assert!(drawing.dots.iter().all(|dot| dot.x < drawing.width && dot.y < drawing.height));
}

#[test]
fn faulty_texts_are_told_with_their_place() {
    let wrong = SERVICE
        .replace("Wipe it.", "\"Wipe it for {{ purge_tim }}.\"")
        .replace("It is light.", "It is {% raw %}.");
    let Err(PageError::Texts(faults)) = try_page(&wrong) else { panic!("no fault told") };
    let pointers: Vec<&str> = faults.iter().map(|fault| fault.pointer.as_str()).collect();
    assert_eq!(pointers, ["/steps/2/note", "/steps/4/any_order/0/do"]);
    assert!(faults[1].message.contains("did you mean `purge_time`?"), "{}", faults[1].message);
    let told = PageError::Texts(faults).to_string();
    assert!(told.contains("/steps/2/note") && told.contains("1 more"), "{told}");
}

#[test]
fn an_unknown_procedure_is_told() {
    let library = super::library(SERVICE);
    let told = build(&library, &"nothing".into(), &standing(), None).unwrap_err().to_string();
    assert!(told.contains("`nothing`"), "{told}");
}

#[test]
fn approval_is_shown_as_it_is() {
    let library = super::library(SERVICE);
    let shown = |approval| {
        let standing = CardApproval { content: "x".into(), approval };
        let page = build(&library, &"service".into(), &standing, None).unwrap();
        assert_eq!(page.checked, None, "nothing is claimed that was not proved");
        (page.identity.standing, page.identity.approved)
    };
    assert_eq!(shown(Approval::NotApproved), ("NOT APPROVED".into(), false));
    assert_eq!(shown(Approval::Training), ("FOR TRAINING ONLY, NOT APPROVED".into(), false));
    let approved = Approval::Approved {
        by: "Gwen\nAdeyi".into(),
        on: "2026-11-03".into(),
        until: "2027-11-02".into(),
        certificate: None,
    };
    assert_eq!(
        shown(approved),
        ("Approved by Gwen Adeyi on 2026-11-03, valid until 2027-11-02".into(), true)
    );
}
