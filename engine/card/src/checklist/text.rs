//! The checklist as plain text: challenge, dots, response.

use super::model::{Checklist, FULL, Item, Warned};
use crate::wrap::{hang, wrap};
use std::fmt::Write as _;

const WIDTH: usize = 78;
/// Where the number and the box end.
const LEAD: usize = 12;
/// Fewest dots between challenge and response.
const DOTS: usize = 3;

/// Lays the checklist out, 78 columns wide.
#[must_use]
pub fn text(list: &Checklist) -> String {
    let mut out = String::new();
    let identity = &list.identity;
    line(&mut out, &identity.title);
    line(&mut out, &"=".repeat(WIDTH));
    let machine = identity.machine.as_ref().map(|machine| format!(", for {machine}")).unwrap_or_default();
    line(
        &mut out,
        &format!(
            "Checklist of {}, revision {}{machine}. {}.",
            identity.id, identity.revision, identity.standing
        ),
    );
    line(&mut out, &identity.mark);
    if let Some(checked) = &list.checked {
        line(&mut out, checked);
    }
    line(&mut out, &list.defer);
    line(&mut out, &list.looks);
    line(&mut out, FULL);
    for hazard in &list.hazards {
        line(&mut out, &warned(hazard));
    }
    section(&mut out, "Before you start", &list.before);
    for (number, group) in (1..).zip(&list.groups) {
        section(&mut out, &format!("Pause point {number}"), group);
        line(&mut out, &format!("       [ ] Pause point {number} complete"));
    }
    section(&mut out, "Restoration", &list.after);
    out.push('\n');
    line(&mut out, &format!("[ ] {}", list.complete));
    line(&mut out, "Name ____________________ signature ____________________ date __________");
    out
}

fn line(out: &mut String, text: &str) {
    for line in wrap(text, WIDTH) {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "{}", line.trim_end());
    }
}

fn section(out: &mut String, title: &str, items: &[Item]) {
    out.push('\n');
    line(out, title);
    line(out, &"-".repeat(WIDTH));
    for item in items {
        one(out, item);
    }
}

fn warned(warning: &Warned) -> String {
    format!("{}{}: {}", if warning.symbol { "(!) " } else { "" }, warning.word.word(), warning.hazard)
}

fn one(out: &mut String, item: &Item) {
    if let Some(warning) = &item.warning {
        for text in hang(&" ".repeat(LEAD), &warned(warning), WIDTH) {
            line(out, &text);
        }
    }
    let lead = format!("{:>6} [ ] ", item.number);
    let room = WIDTH - LEAD;
    // The response stands on the last line of the challenge if it fits there, and on its own otherwise.
    let mut lines = wrap(&item.challenge, room);
    // Arrows as on the card in plain text.
    let wanted = item.response.replace(" → ", " -> ");
    let response = wrap(&wanted, room - DOTS - 1);
    let last = lines.pop().unwrap_or_default();
    let used = last.chars().count();
    let first = response.first().map_or(0, |text| text.chars().count());
    if response.len() == 1 && used + first + DOTS + 2 <= room {
        let dots = ".".repeat(room - used - first - 2);
        lines.push(format!("{last} {dots} {wanted}"));
    } else {
        lines.push(last);
        for text in &response {
            let dots = ".".repeat(room - text.chars().count() - 1);
            lines.push(format!("{dots} {text}"));
        }
    }
    for (at, text) in lines.iter().enumerate() {
        let before = if at == 0 { format!("{lead:<LEAD$}") } else { " ".repeat(LEAD) };
        let _ = writeln!(out, "{}", format!("{before}{text}").trim_end());
    }
}
