//! The page as Markdown: CommonMark with tables, for a repository, a wiki or a tablet's notes.
//!
//! Nothing authored keeps a meaning as markup but line ends and the marks of lists: everything else is escaped. Ticks
//! are `[ ]` at the beginning of an item, which many readers show as boxes and which reads well without.

mod escape;
mod pieces;
mod prose;
mod sheet;
mod steps;

pub(crate) use escape::escape;
use pieces::{message, question, value};
use prose::prose;
pub(crate) use sheet::Sheet;

use crate::page::{Figure, Page, StopPlan};

/// Lays the page out.
#[must_use]
pub fn markdown(page: &Page) -> String {
    let mut sheet = Sheet::default();
    identity(&mut sheet, page);
    about(&mut sheet, page);
    hazards(&mut sheet, page);
    before(&mut sheet, page);
    figures(&mut sheet, &page.figures);
    sheet.heading("Steps");
    steps::steps(&mut sheet, &page.steps);
    wrong(&mut sheet, page);
    end(&mut sheet, page);
    sheet.finish()
}

fn identity(sheet: &mut Sheet, page: &Page) {
    let identity = &page.identity;
    sheet.title(&identity.title);
    sheet.block(&format!("**{}**", escape(&identity.standing)));
    let (title, id, revision) = (&identity.equipment, &identity.equipment_id, identity.equipment_revision);
    let mut rows = vec![
        ["Procedure".to_owned(), format!("{}, revision {}", identity.id, identity.revision)],
        ["Effective".to_owned(), identity.effective.clone().unwrap_or_else(|| "not stated".to_owned())],
        ["Author".to_owned(), identity.author.clone().unwrap_or_else(|| "not stated".to_owned())],
        ["Equipment".to_owned(), format!("{title} ({id}, revision {revision})")],
        ["Serial number".to_owned(), String::new()],
    ];
    rows.extend(identity.machine.iter().map(|machine| ["Made for".to_owned(), machine.clone()]));
    rows.push(["Content".to_owned(), identity.content.clone()]);
    rows.push(["Mark".to_owned(), identity.mark.clone()]);
    sheet.table(["Card", ""], &rows);
    if let Some(checked) = &page.checked {
        sheet.block(&escape(checked));
    }
    sheet.block(&format!("**{}**", escape(&page.defer)));
}

fn about(sheet: &mut Sheet, page: &Page) {
    sheet.heading("About this procedure");
    for (name, text) in [("Purpose", &page.purpose), ("Scope", &page.scope)] {
        sheet.block(&format!("**{name}:** {}", prose(text)));
    }
    sheet.block("**People:**");
    let person = |person: &crate::page::Person| {
        let must_be = person.must_be.as_deref().map(|text| format!(": {text}")).unwrap_or_default();
        escape(&format!("{} × {}{must_be}", person.count, person.role))
    };
    sheet.list(page.people.iter().map(person));
    sheet.block(&format!("**Time:** about {}", escape(&page.time)));
    sheet.block(&format!("**Level of use:** {}", escape(&page.level_of_use)));
    sheet.heading("Have at hand");
    for list in &page.needs {
        if list.items.is_empty() {
            sheet.block(&format!("**{}:** none", list.title));
        } else {
            sheet.block(&format!("**{}:**", list.title));
            sheet.list(list.items.iter().map(|item| format!("[ ] {}", escape(item))));
        }
    }
}

fn hazards(sheet: &mut Sheet, page: &Page) {
    sheet.heading("Hazards");
    if page.hazards.is_empty() {
        sheet.block("None stated");
    }
    for hazard in &page.hazards {
        sheet.quote(&message(hazard));
    }
    if page.work.is_empty() {
        return;
    }
    sheet.heading("Types of work");
    sheet.block("A step that names a type of work needs all that stands beside it here.");
    let text = |list: &[String]| if list.is_empty() { "none".to_owned() } else { list.join("; ") };
    let rows: Vec<[String; 4]> = page
        .work
        .iter()
        .map(|work| {
            let hazard = work.hazard.clone().unwrap_or_else(|| "none".to_owned());
            [work.name.clone(), text(&work.needs), text(&work.wear), hazard]
        })
        .collect();
    sheet.table(["Work", "Needs", "Wear", "Hazard"], &rows);
}

fn before(sheet: &mut Sheet, page: &Page) {
    let before = &page.before;
    sheet.heading("Before you start");
    if !before.variants.is_empty() {
        sheet.block("This machine, mark one of each:");
        let choices = |values: &[String]| {
            values.iter().map(|value| format!("[ ] {}", escape(value))).collect::<Vec<_>>().join(" ")
        };
        let variants = before.variants.iter();
        sheet
            .list(variants.map(|variant| format!("{}: {}", escape(&variant.name), choices(&variant.values))));
    }
    if !before.questions.is_empty() {
        sheet.block("Look at each. With any answer but the one shown, do not start:");
        sheet.list(before.questions.iter().map(question));
    }
    if !before.unknown.is_empty() {
        let unknown = escape(&before.unknown.join("; "));
        sheet.block(&format!("May be one way or another at the start: {unknown}."));
    }
    if !before.usual.is_empty() {
        sheet.list([format!("[ ] All of these are so: {}", escape(&before.usual.join("; ")))]);
    }
}

fn figures(sheet: &mut Sheet, figures: &[Figure]) {
    if figures.is_empty() {
        return;
    }
    sheet.heading("Figures");
    for figure in figures {
        sheet.block(&format!("**{}**", escape(&crate::count::capital(&figure.name))));
        value(sheet, "", &figure.value);
        let Some(working) = &figure.working else { continue };
        let inputs: Vec<String> =
            working.inputs.iter().map(|(name, given)| format!("{name}: {given}")).collect();
        let mut lines = vec![
            format!("Working ({}): {}", working.method, working.formula),
            format!("{}.", inputs.join("; ")),
        ];
        lines.extend(working.example_for.iter().map(|example| format!("For {example}:")));
        lines.extend(working.example.iter().cloned());
        lines.push(format!("Source: {}", working.source));
        sheet.quote(&lines.iter().map(|line| escape(line)).collect::<Vec<_>>().join("\\\n"));
    }
}

fn wrong(sheet: &mut Sheet, page: &Page) {
    if page.emergency.is_some() || !page.stop.is_empty() {
        sheet.heading("If something goes wrong");
    }
    if let Some(emergency) = &page.emergency {
        sheet.block(&prose(emergency));
    }
    if !page.stop.is_empty() {
        sheet.block("If work stops, leave the machine so:");
        sheet.list(page.stop.iter().map(|one| format!("[ ] {}", escape(one))));
    }
    if !page.stop_plans.is_empty() {
        sheet.block("If you must stop there, do this first:");
        let row = |plan: &StopPlan| {
            let steps = if plan.first == plan.last {
                plan.first.clone()
            } else {
                format!("{} to {}", plan.first, plan.last)
            };
            [steps, plan.ways.join("\n")]
        };
        sheet.table(["Before step", "Do"], &page.stop_plans.iter().map(row).collect::<Vec<_>>());
    }
}

fn end(sheet: &mut Sheet, page: &Page) {
    sheet.heading("Restoration");
    sheet.block("The machine is handed on so:");
    sheet.list(page.restoration.questions.iter().map(question));
    if !page.restoration.usual.is_empty() {
        let usual = escape(&page.restoration.usual.join("; "));
        sheet.list([format!("[ ] All else is as it was at the start: {usual}")]);
    }
    sheet.heading("Sign-off");
    sheet.list([
        format!("[ ] {}", escape(&page.complete)),
        "[ ] Work stopped at step \\_\\_\\_\\_\\_\\_ because \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_".to_owned(),
    ]);
    let blank = String::new;
    let rows: Vec<[String; 5]> =
        page.signatures.iter().map(|role| [role.clone(), blank(), blank(), blank(), blank()]).collect();
    sheet.table(["Role", "Name", "Signature", "Date", "Time"], &rows);
    sheet.heading("Map");
    sheet.block("Every step with the steps it leads to.");
    sheet.list(crate::map::lines(&page.map).iter().map(|line| escape(line)));
    let identity = &page.identity;
    let last = format!("End of {}, revision {}. {}.", identity.id, identity.revision, identity.standing);
    sheet.block(&escape(&last));
}
