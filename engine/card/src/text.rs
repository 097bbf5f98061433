//! The page as plain text, 78 columns wide: for a terminal, a line printer, or a person who has no more.

mod paper;
mod pieces;
mod steps;

use crate::page::{Figure, Page};
use paper::Paper;
use pieces::{message, question, value};

/// Lays the page out.
#[must_use]
pub fn text(page: &Page) -> String {
    let mut paper = Paper::default();
    identity(&mut paper, page);
    about(&mut paper, page);
    hazards(&mut paper, page);
    before(&mut paper, page);
    figures(&mut paper, &page.figures);
    paper.heading("Steps");
    steps::steps(&mut paper, &page.steps, 0);
    end(&mut paper, page);
    paper.finish()
}

fn identity(paper: &mut Paper, page: &Page) {
    let identity = &page.identity;
    paper.title(&identity.title);
    paper.pair("Standing", &identity.standing);
    paper.pair("Procedure", &format!("{}, revision {}", identity.id, identity.revision));
    paper.pair("Effective", identity.effective.as_deref().unwrap_or("not stated"));
    paper.pair("Author", identity.author.as_deref().unwrap_or("not stated"));
    let (title, id, revision) = (&identity.equipment, &identity.equipment_id, identity.equipment_revision);
    paper.pair("Equipment", &format!("{title} ({id}, revision {revision})"));
    paper.pair("Serial number", "____________________");
    if let Some(machine) = &identity.machine {
        paper.pair("Made for", machine);
    }
    paper.pair("Content", &identity.content);
    paper.pair("Mark", &identity.mark);
    paper.gap();
    if let Some(checked) = &page.checked {
        paper.line("", checked);
    }
    paper.line("", &page.defer);
}

fn about(paper: &mut Paper, page: &Page) {
    paper.heading("About this procedure");
    paper.pair("Purpose", &page.purpose.text());
    paper.pair("Scope", &page.scope.text());
    for person in &page.people {
        let must_be = person.must_be.as_deref().map(|text| format!(": {text}")).unwrap_or_default();
        paper.pair("People", &format!("{} x {}{must_be}", person.count, person.role));
    }
    paper.pair("Time", &format!("about {}", page.time));
    paper.pair("Level of use", &page.level_of_use);
    paper.heading("Have at hand");
    for list in &page.needs {
        paper.line("", &format!("{}:", list.title));
        if list.items.is_empty() {
            paper.line("  ", "None");
        }
        for item in &list.items {
            paper.line("  [ ] ", item);
        }
    }
}

fn hazards(paper: &mut Paper, page: &Page) {
    paper.heading("Hazards");
    if page.hazards.is_empty() {
        paper.line("", "None stated");
    }
    for hazard in &page.hazards {
        paper.line("  ", &message(hazard));
    }
    if page.work.is_empty() {
        return;
    }
    paper.heading("Types of work");
    paper.line("", "A step that names a type of work needs all that stands under it here.");
    for work in &page.work {
        paper.gap();
        paper.line("", &crate::count::capital(&work.name));
        for (name, list) in [("Needs: ", &work.needs), ("Wear: ", &work.wear)] {
            let text = if list.is_empty() { "none".to_owned() } else { list.join("; ") };
            paper.line("  ", &format!("{name}{text}"));
        }
        if let Some(hazard) = &work.hazard {
            paper.line("  ", hazard);
        }
    }
}

fn before(paper: &mut Paper, page: &Page) {
    let before = &page.before;
    paper.heading("Before you start");
    if !before.variants.is_empty() {
        paper.line("", "This machine, mark one of each:");
    }
    for variant in &before.variants {
        paper.line("  ", &format!("{}:  [ ] {}", variant.name, variant.values.join("  [ ] ")));
    }
    if !before.questions.is_empty() {
        paper.line("", "Look at each. With any answer but the one shown, do not start:");
    }
    for one in &before.questions {
        question(paper, "  ", one);
    }
    if !before.unknown.is_empty() {
        paper.line("", &format!("May be one way or another at the start: {}.", before.unknown.join("; ")));
    }
    if !before.usual.is_empty() {
        paper.line("[ ] ", "All of these are so:");
        paper.listed("      ", &before.usual);
    }
}

fn figures(paper: &mut Paper, figures: &[Figure]) {
    if figures.is_empty() {
        return;
    }
    paper.heading("Figures");
    for figure in figures {
        paper.line("", &format!("{}:", crate::count::capital(&figure.name)));
        value(paper, "  ", "", &figure.value);
        let Some(working) = &figure.working else { continue };
        let inputs: Vec<String> =
            working.inputs.iter().map(|(name, given)| format!("{name}: {given}")).collect();
        paper.line("  | ", &format!("Working ({}): {}", working.method, working.formula));
        paper.line("  | ", &format!("{}.", inputs.join("; ")));
        if let Some(example) = &working.example_for {
            paper.line("  | ", &format!("For {example}:"));
        }
        for line in &working.example {
            paper.line("  |   ", line);
        }
        paper.line("  | ", &format!("Source: {}", working.source));
    }
}

fn end(paper: &mut Paper, page: &Page) {
    if page.emergency.is_some() || !page.stop.is_empty() {
        paper.heading("If something goes wrong");
    }
    if let Some(emergency) = &page.emergency {
        paper.line("", &emergency.text());
    }
    if !page.stop.is_empty() {
        paper.gap();
        paper.line("", "If work stops, leave the machine so:");
        for one in &page.stop {
            paper.line("  [ ] ", one);
        }
    }
    if !page.stop_plans.is_empty() {
        paper.gap();
        paper.line("", "If you must stop there, do this first:");
        for plan in &page.stop_plans {
            let steps = if plan.first == plan.last {
                format!("  Before step {}: ", plan.first)
            } else {
                format!("  Before steps {} to {}: ", plan.first, plan.last)
            };
            paper.line(&steps, &plan.ways.join("\n"));
        }
    }
    paper.heading("Restoration");
    paper.line("", "The machine is handed on so:");
    for one in &page.restoration.questions {
        question(paper, "  ", one);
    }
    if !page.restoration.usual.is_empty() {
        paper.line("[ ] ", "All else is as it was at the start:");
        paper.listed("      ", &page.restoration.usual);
    }
    paper.heading("Sign-off");
    paper.line("[ ] ", &page.complete);
    paper.line("[ ] ", "Work stopped at step ______ because ______________________________________");
    for role in &page.signatures {
        paper.gap();
        paper.line("", &format!("{role}: name ______________________________"));
        paper.line("  ", "signature ____________________ date ______________ time __________");
    }
    paper.heading("Map");
    paper.line("", "Every step with the steps it leads to.");
    for line in crate::map::lines(&page.map) {
        paper.line("  ", &line);
    }
    paper.gap();
    let identity = &page.identity;
    paper
        .line("", &format!("End of {}, revision {}. {}.", identity.id, identity.revision, identity.standing));
}
