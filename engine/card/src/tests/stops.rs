//! How the machine can be left from each step.

use super::{SERVICE, library, standing};
use crate::page::{ProofNote, build};

#[test]
fn neighbouring_steps_with_one_way_to_leave_the_machine_stand_together() {
    let stops = [("1", "Leave it."), ("2", "Leave it."), ("3", "Shut the valve."), ("4", "Leave it.")];
    let stops = stops.into_iter().map(|(number, text)| (number.to_owned(), vec![text.to_owned()])).collect();
    let proof = ProofNote { obligations: 1, stops };
    let page = build(&library(SERVICE), &"service".into(), &standing(), Some(&proof)).expect("a page");
    let told: Vec<(&str, &str, &str)> = page
        .stop_plans
        .iter()
        .map(|plan| (plan.first.as_str(), plan.last.as_str(), plan.ways[0].as_str()))
        .collect();
    assert_eq!(told, [("1", "2", "Leave it."), ("3", "3", "Shut the valve."), ("4", "4", "Leave it.")]);
    let text = crate::text::text(&page);
    assert!(text.contains("Before steps 1 to 2: Leave it."), "{text}");
    assert!(text.contains("Before step 3: Shut the valve."), "{text}");
    let html = crate::html::html(&page).expect("a card");
    assert!(html.contains("<th scope=\"row\">1 to 2</th><td><p>Leave it.</p></td>"), "{html}");
}
