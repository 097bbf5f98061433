//! Every step and figure can be taken from the file again, in the order of the page model.

use super::{PAPERS, card_of, cards, outside, pages};
use card::page::{Detail, Page, Question, StepBox, Stop, Value, Warning};
use std::path::Path;
use tempfile::TempDir;

/// Letters and digits alone: how lines are broken does not count.
pub(super) fn letters(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

/// What must be found, in order.
#[derive(Default)]
struct Wanted(Vec<String>);

impl Wanted {
    fn text(&mut self, text: &str) {
        self.0.push(text.to_owned());
    }

    fn all<'a>(&mut self, texts: impl IntoIterator<Item = &'a String>) {
        texts.into_iter().for_each(|text| self.text(text));
    }

    fn warning(&mut self, warning: &Warning, compact: bool) {
        self.text(warning.word.word());
        self.text(&warning.hazard);
        if !compact {
            self.text(&warning.consequence);
        }
        self.text(&warning.avoid);
    }

    fn questions(&mut self, questions: &[Question]) {
        for one in questions {
            self.text(&one.ask);
            if one.choices.is_empty() {
                self.text(one.answer);
            }
            for choice in &one.choices {
                self.text(choice);
                self.text(one.answer);
            }
            self.all(&one.hint);
        }
    }

    fn value(&mut self, value: &Value) {
        self.all(&value.one);
        for row in value.table.iter().flat_map(|table| &table.rows) {
            self.text(&row.name);
            self.all(&row.cells);
        }
    }

    fn steps(&mut self, steps: &[StepBox]) {
        for step in steps {
            self.text(&step.number);
            for alert in &step.warnings {
                self.warning(&alert.warning, alert.compact);
            }
            self.all(&step.only);
            step.note.iter().for_each(|note| self.text(&note.text()));
            self.all(
                step.by.iter().chain(&step.needs).chain(&step.work).chain(&step.wear).chain(&step.takes),
            );
            self.text(&step.text.text());
            self.detail(&step.detail);
            step.expect.iter().for_each(|expect| self.text(&expect.text()));
            let repeat = matches!(step.detail, Detail::Repeat { .. });
            self.steps(&step.inner);
            if let Detail::Repeat { until, .. } = &step.detail {
                self.questions(until);
            }
            for way in &step.routes {
                self.text(&way.when);
                self.text(&way.to);
            }
            if let (Some(role), false) = (&step.verified_by, repeat) {
                self.text(&format!("Verified by the {role}"));
            }
        }
    }

    fn detail(&mut self, detail: &Detail) {
        match detail {
            Detail::Act | Detail::AnyOrder | Detail::Perform | Detail::Repeat { .. } => {}
            Detail::Confirm { questions } => self.questions(questions),
            Detail::Measure { instrument, unit, range, uncertainty, readings } => {
                self.value(range);
                (0..*readings).for_each(|_| self.text(unit));
                self.text(instrument);
                self.all(uncertainty);
            }
            Detail::Wait { time, until, limit } => {
                time.iter().filter(|time| time.table.is_some()).for_each(|time| self.value(time));
                self.questions(until);
                limit.iter().for_each(|limit| self.value(limit));
            }
            Detail::Ask { answers } => {
                for way in answers {
                    self.text(&way.when);
                    self.text(&way.to);
                }
            }
            Detail::Hold { role } => self.text(role),
            Detail::Fasten { passes, numbering, diagram, note } => {
                for dot in &diagram.dots {
                    self.text(&dot.turn.to_string());
                    self.text(&dot.number.to_string());
                }
                self.text(numbering);
                for pass in passes {
                    self.text(&pass.label);
                    pass.order.iter().for_each(|number| self.text(&number.to_string()));
                }
                self.all(note);
            }
        }
    }

    fn stop(&mut self, stop: &Stop) {
        let Stop { how, rows, looks, unseen, whole, cannot } = stop;
        self.all(how);
        for row in rows {
            self.text(&row.at);
            self.all(row.lines.iter().map(|line| &line.text));
        }
        self.questions(looks);
        self.all(unseen);
        self.all(whole.iter().flatten().map(|line| &line.text));
        self.text(cannot);
    }

    fn page(page: &Page) -> Vec<String> {
        let mut wanted = Self::default();
        wanted.text(&page.identity.title);
        wanted.text(&page.identity.standing);
        wanted.text(&page.identity.content);
        wanted.text(&page.identity.mark);
        wanted.text(&page.defer);
        wanted.text(&page.purpose.text());
        wanted.text(&page.scope.text());
        for list in &page.needs {
            wanted.text(&list.title);
            wanted.all(&list.items);
        }
        page.hazards.iter().for_each(|hazard| wanted.warning(hazard, false));
        for work in &page.work {
            wanted.text(&work.name[1..]);
            wanted.all(work.needs.iter().chain(&work.wear).chain(&work.people).chain(&work.hazard));
        }
        for variant in &page.before.variants {
            wanted.text(&variant.name);
            wanted.all(&variant.values);
        }
        wanted.questions(&page.before.questions);
        wanted.questions(&page.before.by_record);
        wanted.all(page.before.unseen.iter().chain(&page.before.unknown));
        for figure in &page.figures {
            wanted.value(&figure.value);
            if let Some(working) = &figure.working {
                wanted.text(&working.formula);
                wanted.all(&working.example);
                wanted.text(&working.source);
            }
        }
        wanted.text(&page.looks);
        wanted.steps(&page.steps);
        page.emergency.iter().for_each(|text| wanted.text(&text.text()));
        page.stop.iter().for_each(|stop| wanted.stop(stop));
        wanted.questions(&page.restoration.questions);
        wanted.all(&page.restoration.by_record);
        wanted.text(&page.complete);
        wanted.all(&page.signatures);
        wanted.0
    }
}

#[test]
fn every_step_and_figure_is_extracted_in_order_on_every_paper() {
    let folder = cards();
    for mut page in pages() {
        page.identity.standing = standing(&folder, &page);
        let wanted = Wanted::page(&page);
        assert!(wanted.len() > 150, "only {} texts are looked for", wanted.len());
        let identity = &page.identity;
        for (_, ending, _, side) in PAPERS {
            let path = card_of(&folder, &identity.id, ending);
            let text = outside(Path::new("pdftotext"), &["-raw", path.to_str().expect("UTF-8"), "-"]);
            let mut text = letters(&text);
            let sheets = outside(Path::new("pdfinfo"), &[path.to_str().expect("UTF-8")]);
            let sheets = sheets.lines().find_map(|line| line.strip_prefix("Pages:")).expect("pages");
            let sheets: usize = sheets.trim().parse().expect("a number");
            // The running heads stand in between; each is there once, and with all its parts.
            let count = (1..=sheets * side * side)
                .rev()
                .find(|count| text.contains(&head(&page, ending, *count, *count)));
            let count =
                count.unwrap_or_else(|| panic!("{}: the last page does not say which it is", path.display()));
            assert!(count > (sheets - 1) * side * side, "{} has too few pages", path.display());
            for number in 1..=count {
                let head = head(&page, ending, number, count);
                assert_eq!(text.matches(&head).count(), 1, "{}: head {number}", path.display());
                text = text.replacen(&head, "", 1);
            }
            let mut from = 0;
            for one in &wanted {
                let one = letters(one);
                let at = text[from..].find(&one);
                let at =
                    at.unwrap_or_else(|| panic!("`{one}` is missing or out of order in {}", path.display()));
                from += at + one.len();
            }
            let broken = text.contains("continuesonthenextpage");
            assert!(ending.contains("pocket") || !broken, "{} parts a step", path.display());
        }
    }
}

/// The standing that the first page shows, between the content in its head and the title; it comes from the approvals.
fn standing(folder: &TempDir, page: &Page) -> String {
    let path = card_of(folder, &page.identity.id, "");
    let text = letters(&outside(Path::new("pdftotext"), &["-raw", path.to_str().expect("UTF-8"), "-"]));
    let content = format!("Content{}", &page.identity.content[..16]);
    let (_, rest) = text.split_once(&content).expect("the content stands in the head");
    let (standing, _) = rest.split_once(&letters(&page.identity.title)).expect("the title follows the head");
    assert!(standing.to_lowercase().contains("approv"), "`{standing}` tells of no approval");
    standing.to_owned()
}

fn head(page: &Page, ending: &str, number: usize, count: usize) -> String {
    let identity = &page.identity;
    let effective = identity.effective.as_deref().expect("a date");
    letters(&format!(
        "{}, revision {} Page {number} of {count} Effective {effective} Content {} {}",
        identity.id,
        identity.revision,
        &identity.content[..if ending.contains("pocket") { 12 } else { 16 }],
        identity.standing
    ))
}

/// The map's words are wider on paper than those that its boxes were made for: none may be lost.
#[test]
fn the_map_ends_the_card_with_every_number_title_and_way() {
    let folder = cards();
    for page in pages() {
        let last = |ending: &str| {
            let path = card_of(&folder, &page.identity.id, ending);
            let text = outside(Path::new("pdftotext"), &["-raw", path.to_str().expect("UTF-8"), "-"]);
            let (_, map) = text.rsplit_once("\nMap\n").expect("a map");
            map.to_owned()
        };
        for ending in ["", "-letter"] {
            let map = last(ending);
            // The longest procedure's takes two sheets, every other one.
            let sheets = 1 + map.trim_end_matches('\u{c}').matches('\u{c}').count();
            let most = if page.identity.id == "battery-replacement" { 2 } else { 1 };
            assert!(sheets <= most, "{}: {sheets} sheets", page.identity.id);
            let map = letters(&map);
            for label in page.map.columns.iter().flat_map(|column| &column.labels) {
                let text = letters(&label.text);
                assert!(map.contains(&text), "`{}` is not on the map of {}", label.text, page.identity.id);
            }
        }
        // A pocket page has no room for the drawing.
        let map = last("-pocket");
        let map = letters(&map);
        for line in card::map::text(&page.map).lines() {
            let (number, ways) = line.split_once(':').expect("a number");
            let first = ways.split(';').next().map(letters).expect("a way");
            assert!(map.contains(&format!("{}{first}", letters(number))), "{line}");
        }
    }
}
