//! The page as plain text, 78 columns wide: for a terminal, a line printer, or a person who has no more.

mod paper;
mod pieces;
mod steps;
mod stop;

use crate::map::Map;
use crate::page::{
    Before, Figure, Identity, Listing, NOT_BY_HAND, Page, Person, Restoration, Variant, Warning, WorkType,
    Working,
};
use paper::Paper;
use pieces::{message, question, value};

/// Lays the page out.
#[must_use]
pub fn text(page: &Page) -> String {
    let Page {
        identity: what,
        checked,
        defer,
        purpose,
        scope,
        people,
        time,
        level_of_use,
        needs,
        hazards: warnings,
        work,
        before: first,
        figures: worked,
        steps: boxes,
        looks,
        stop,
        emergency,
        restoration,
        complete,
        signatures,
        map,
    } = page;
    let mut paper = Paper::default();
    identity(&mut paper, what);
    if let Some(checked) = checked {
        paper.line("", checked);
    }
    paper.line("", defer);
    paper.heading("About this procedure");
    paper.pair("Purpose", &purpose.text());
    paper.pair("Scope", &scope.text());
    people.iter().for_each(|one| person(&mut paper, one));
    paper.pair("Time", &format!("about {time}"));
    paper.pair("Level of use", level_of_use);
    at_hand(&mut paper, needs);
    hazards(&mut paper, warnings);
    types_of_work(&mut paper, work);
    before(&mut paper, first);
    figures(&mut paper, worked);
    paper.heading("Steps");
    paper.line("", looks);
    steps::steps(&mut paper, boxes, 0);
    stop::trouble(&mut paper, emergency.as_ref(), stop.as_ref());
    handed_on(&mut paper, restoration);
    sign_off(&mut paper, complete, signatures);
    ways(&mut paper, map);
    paper.line("", &format!("End of {}, revision {}. {}.", what.id, what.revision, what.standing));
    paper.finish()
}

/// Letters cannot show a square code, and the words of the standing say whether it is an approval.
fn identity(paper: &mut Paper, identity: &Identity) {
    let Identity {
        title,
        id,
        revision,
        effective,
        author,
        equipment,
        equipment_id,
        equipment_revision,
        machine,
        content,
        standing,
        approved: _,
        mark,
        code: _,
    } = identity;
    paper.title(title);
    paper.pair("Standing", standing);
    paper.pair("Procedure", &format!("{id}, revision {revision}"));
    paper.pair("Effective", effective.as_deref().unwrap_or("not stated"));
    paper.pair("Author", author.as_deref().unwrap_or("not stated"));
    paper.pair("Equipment", &format!("{equipment} ({equipment_id}, revision {equipment_revision})"));
    paper.pair("Serial number", "____________________");
    if let Some(machine) = machine {
        paper.pair("Made for", machine);
    }
    paper.pair("Content", content);
    paper.pair("Mark", mark);
    paper.gap();
}

fn person(paper: &mut Paper, person: &Person) {
    let Person { count, role, must_be } = person;
    let must_be = must_be.as_deref().map(|text| format!(": {text}")).unwrap_or_default();
    paper.pair("People", &format!("{count} x {role}{must_be}"));
}

fn at_hand(paper: &mut Paper, needs: &[Listing]) {
    paper.heading("Have at hand");
    for Listing { title, items } in needs {
        paper.line("", &format!("{title}:"));
        if items.is_empty() {
            paper.line("  ", "None");
        }
        for item in items {
            paper.line("  [ ] ", item);
        }
    }
}

fn hazards(paper: &mut Paper, hazards: &[Warning]) {
    paper.heading("Hazards");
    if hazards.is_empty() {
        paper.line("", "None stated");
    }
    for hazard in hazards {
        paper.line("  ", &message(hazard));
    }
}

fn types_of_work(paper: &mut Paper, work: &[WorkType]) {
    if work.is_empty() {
        return;
    }
    paper.heading("Types of work");
    paper.line("", "A step that names a type of work needs all that stands under it here.");
    for WorkType { name, needs, wear, people, hazard } in work {
        paper.gap();
        paper.line("", &crate::count::capital(name));
        for (name, list) in [("Needs: ", needs), ("Wear: ", wear)] {
            let text = if list.is_empty() { "none".to_owned() } else { list.join("; ") };
            paper.line("  ", &format!("{name}{text}"));
        }
        if !people.is_empty() {
            paper.line("  ", &format!("People: {}", people.join("; ")));
        }
        if let Some(hazard) = hazard {
            paper.line("  ", hazard);
        }
    }
}

fn before(paper: &mut Paper, before: &Before) {
    let Before { variants, questions, by_record, unseen, unknown } = before;
    paper.heading("Before you start");
    if !variants.is_empty() {
        paper.line("", "This machine, mark one of each:");
    }
    for Variant { name, values } in variants {
        paper.line("  ", &format!("{name}:  [ ] {}", values.join("  [ ] ")));
    }
    if !questions.is_empty() {
        paper.line("", "Look at each. With any answer but the one shown, do not start:");
    }
    for one in questions {
        question(paper, "  ", one);
    }
    if !by_record.is_empty() {
        paper.line(
            "",
            "By record: read each in the last record of this machine. With any other answer, do not start:",
        );
    }
    for one in by_record {
        question(paper, "  ", one);
    }
    if !unseen.is_empty() {
        paper.line("", &format!("{NOT_BY_HAND} {}.", unseen.join("; ")));
    }
    if !unknown.is_empty() {
        paper.line("", &format!("May be one way or another at the start: {}.", unknown.join("; ")));
    }
}

fn figures(paper: &mut Paper, figures: &[Figure]) {
    if figures.is_empty() {
        return;
    }
    paper.heading("Figures");
    for Figure { name, value: worth, working } in figures {
        paper.line("", &format!("{}:", crate::count::capital(name)));
        value(paper, "  ", "", worth);
        let Some(Working { method, formula, inputs, example_for, example, source }) = working else {
            continue;
        };
        let inputs: Vec<String> = inputs.iter().map(|(name, given)| format!("{name}: {given}")).collect();
        paper.line("  | ", &format!("Working ({method}): {formula}"));
        paper.line("  | ", &format!("{}.", inputs.join("; ")));
        if let Some(which) = example_for {
            paper.line("  | ", &format!("For {which}:"));
        }
        for line in example {
            paper.line("  |   ", line);
        }
        paper.line("  | ", &format!("Source: {source}"));
    }
}

fn handed_on(paper: &mut Paper, restoration: &Restoration) {
    let Restoration { questions, by_record } = restoration;
    paper.heading("Restoration");
    paper.line("", "The machine is handed on so. Look at each:");
    for one in questions {
        question(paper, "  ", one);
    }
    if !by_record.is_empty() {
        paper.line("", &format!("By record, and not to be looked at: {}.", by_record.join("; ")));
    }
}

fn sign_off(paper: &mut Paper, complete: &str, signatures: &[String]) {
    paper.heading("Sign-off");
    paper.line("[ ] ", complete);
    paper.line("[ ] ", "Work stopped at step ______ because ______________________________________");
    for role in signatures {
        paper.gap();
        paper.line("", &format!("{role}: name ______________________________"));
        paper.line("  ", "signature ____________________ date ______________ time __________");
    }
}

fn ways(paper: &mut Paper, map: &Map) {
    paper.heading("Map");
    paper.line("", "Every step with the steps it leads to.");
    for line in crate::map::lines(map) {
        paper.line("  ", &line);
    }
    paper.gap();
}
