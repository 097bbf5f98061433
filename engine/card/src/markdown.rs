//! The page as Markdown: CommonMark with tables, for a repository, a wiki or a tablet's notes.
//!
//! Nothing authored keeps a meaning as markup but line ends and the marks of lists: everything else is escaped. Ticks
//! are `[ ]` at the beginning of an item, which many readers show as boxes and which reads well without.

mod escape;
mod pieces;
mod prose;
mod sheet;
mod steps;
mod stop;

pub(crate) use escape::escape;
use pieces::{message, question, value};
use prose::prose;
pub(crate) use sheet::Sheet;

use crate::map::Map;
use crate::page::{
    Before, Figure, Identity, Listing, NOT_BY_HAND, Page, Person, Restoration, Variant, Warning, WorkType,
    Working,
};

/// Lays the page out.
#[must_use]
pub fn markdown(page: &Page) -> String {
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
    let mut sheet = Sheet::default();
    identity(&mut sheet, what);
    if let Some(checked) = checked {
        sheet.block(&escape(checked));
    }
    sheet.block(&format!("**{}**", escape(defer)));
    sheet.heading("About this procedure");
    for (name, text) in [("Purpose", purpose), ("Scope", scope)] {
        sheet.block(&format!("**{name}:** {}", prose(text)));
    }
    sheet.block("**People:**");
    sheet.list(people.iter().map(person));
    sheet.block(&format!("**Time:** about {}", escape(time)));
    sheet.block(&format!("**Level of use:** {}", escape(level_of_use)));
    at_hand(&mut sheet, needs);
    hazards(&mut sheet, warnings);
    types_of_work(&mut sheet, work);
    before(&mut sheet, first);
    figures(&mut sheet, worked);
    sheet.heading("Steps");
    sheet.block(&escape(looks));
    steps::steps(&mut sheet, boxes);
    stop::trouble(&mut sheet, emergency.as_ref(), stop.as_ref());
    handed_on(&mut sheet, restoration);
    sign_off(&mut sheet, complete, signatures);
    ways(&mut sheet, map);
    let last = format!("End of {}, revision {}. {}.", what.id, what.revision, what.standing);
    sheet.block(&escape(&last));
    sheet.finish()
}

/// Letters cannot show a square code, and the words of the standing say whether it is an approval.
fn identity(sheet: &mut Sheet, identity: &Identity) {
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
    sheet.title(title);
    sheet.block(&format!("**{}**", escape(standing)));
    let mut rows = vec![
        ["Procedure".to_owned(), format!("{id}, revision {revision}")],
        ["Effective".to_owned(), effective.clone().unwrap_or_else(|| "not stated".to_owned())],
        ["Author".to_owned(), author.clone().unwrap_or_else(|| "not stated".to_owned())],
        ["Equipment".to_owned(), format!("{equipment} ({equipment_id}, revision {equipment_revision})")],
        ["Serial number".to_owned(), String::new()],
    ];
    rows.extend(machine.iter().map(|machine| ["Made for".to_owned(), machine.clone()]));
    rows.push(["Content".to_owned(), content.clone()]);
    rows.push(["Mark".to_owned(), mark.clone()]);
    sheet.table(["Card", ""], &rows);
}

fn person(person: &Person) -> String {
    let Person { count, role, must_be } = person;
    let must_be = must_be.as_deref().map(|text| format!(": {text}")).unwrap_or_default();
    escape(&format!("{count} × {role}{must_be}"))
}

fn at_hand(sheet: &mut Sheet, needs: &[Listing]) {
    sheet.heading("Have at hand");
    for Listing { title, items } in needs {
        if items.is_empty() {
            sheet.block(&format!("**{title}:** none"));
        } else {
            sheet.block(&format!("**{title}:**"));
            sheet.list(items.iter().map(|item| format!("[ ] {}", escape(item))));
        }
    }
}

fn hazards(sheet: &mut Sheet, hazards: &[Warning]) {
    sheet.heading("Hazards");
    if hazards.is_empty() {
        sheet.block("None stated");
    }
    for hazard in hazards {
        sheet.quote(&message(hazard));
    }
}

fn types_of_work(sheet: &mut Sheet, work: &[WorkType]) {
    if work.is_empty() {
        return;
    }
    sheet.heading("Types of work");
    sheet.block("A step that names a type of work needs all that stands beside it here.");
    let text = |list: &[String]| if list.is_empty() { "none".to_owned() } else { list.join("; ") };
    let rows: Vec<[String; 4]> = work
        .iter()
        .map(|WorkType { name, needs, wear, people, hazard }| {
            let hazard = hazard.clone().unwrap_or_else(|| "none".to_owned());
            let people =
                if people.is_empty() { String::new() } else { format!(". People: {}", people.join("; ")) };
            [name.clone(), text(needs) + &people, text(wear), hazard]
        })
        .collect();
    sheet.table(["Work", "Needs", "Wear", "Hazard"], &rows);
}

fn before(sheet: &mut Sheet, before: &Before) {
    let Before { variants, questions, by_record, unseen, unknown } = before;
    sheet.heading("Before you start");
    if !variants.is_empty() {
        sheet.block("This machine, mark one of each:");
        let choices = |values: &[String]| {
            values.iter().map(|value| format!("[ ] {}", escape(value))).collect::<Vec<_>>().join(" ")
        };
        let line = |Variant { name, values }: &Variant| format!("{}: {}", escape(name), choices(values));
        sheet.list(variants.iter().map(line));
    }
    if !questions.is_empty() {
        sheet.block("Look at each. With any answer but the one shown, do not start:");
        sheet.list(questions.iter().map(question));
    }
    if !by_record.is_empty() {
        sheet.block(
            "By record: read each in the last record of this machine. With any other answer, do not start:",
        );
        sheet.list(by_record.iter().map(question));
    }
    if !unseen.is_empty() {
        sheet.block(&format!("{NOT_BY_HAND} {}.", escape(&unseen.join("; "))));
    }
    if !unknown.is_empty() {
        let unknown = escape(&unknown.join("; "));
        sheet.block(&format!("May be one way or another at the start: {unknown}."));
    }
}

fn figures(sheet: &mut Sheet, figures: &[Figure]) {
    if figures.is_empty() {
        return;
    }
    sheet.heading("Figures");
    for Figure { name, value: worth, working } in figures {
        sheet.block(&format!("**{}**", escape(&crate::count::capital(name))));
        value(sheet, "", worth);
        let Some(Working { method, formula, inputs, example_for, example, source }) = working else {
            continue;
        };
        let inputs: Vec<String> = inputs.iter().map(|(name, given)| format!("{name}: {given}")).collect();
        let mut lines = vec![format!("Working ({method}): {formula}"), format!("{}.", inputs.join("; "))];
        lines.extend(example_for.iter().map(|which| format!("For {which}:")));
        lines.extend(example.iter().cloned());
        lines.push(format!("Source: {source}"));
        sheet.quote(&lines.iter().map(|line| escape(line)).collect::<Vec<_>>().join("\\\n"));
    }
}

fn handed_on(sheet: &mut Sheet, restoration: &Restoration) {
    let Restoration { questions, by_record } = restoration;
    sheet.heading("Restoration");
    sheet.block("The machine is handed on so. Look at each:");
    sheet.list(questions.iter().map(question));
    if !by_record.is_empty() {
        sheet.block(&format!("By record, and not to be looked at: {}.", escape(&by_record.join("; "))));
    }
}

fn sign_off(sheet: &mut Sheet, complete: &str, signatures: &[String]) {
    sheet.heading("Sign-off");
    sheet.list([
        format!("[ ] {}", escape(complete)),
        "[ ] Work stopped at step \\_\\_\\_\\_\\_\\_ because \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_".to_owned(),
    ]);
    let blank = String::new;
    let rows: Vec<[String; 5]> =
        signatures.iter().map(|role| [role.clone(), blank(), blank(), blank(), blank()]).collect();
    sheet.table(["Role", "Name", "Signature", "Date", "Time"], &rows);
}

fn ways(sheet: &mut Sheet, map: &Map) {
    sheet.heading("Map");
    sheet.block("Every step with the steps it leads to.");
    sheet.list(crate::map::lines(map).iter().map(|line| escape(line)));
}
