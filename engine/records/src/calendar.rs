//! What is due as a file for a calendar: iCalendar (RFC 5545: memory), an all-day event for each day on which something
//! falls due. It is made of the records alone: the same records give the same bytes on whatever day.

use crate::damage::{Damaged, Incomplete};
use crate::due::{Due, Item};
use document::{Day, hex};
use sha2::{Digest, Sha256};
use std::fmt;

/// Octets in a line at most, the line end left out (section 3.1).
const LINE_MAX: usize = 75;

/// Why there is no calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoCalendar {
    /// Nothing has a day, and a calendar must hold something (section 3.4).
    Empty,
    /// Walks cannot be read, and a calendar has no place where it could say so.
    Incomplete(Incomplete),
}

impl fmt::Display for NoCalendar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                f.write_str("nothing has a day on which it falls due yet: a calendar would be empty")
            }
            Self::Incomplete(incomplete) => incomplete.fmt(f),
        }
    }
}

/// The calendar; `title` gives what people call a procedure, and `damaged` are the walks that could not be counted.
///
/// Events, because calendars that only know events drop everything else without a word. What only uses decide has no
/// day before they are reached, and no event.
///
/// # Errors
/// If nothing has a day, or a walk is damaged.
pub fn calendar(
    due: &Due,
    damaged: &[Damaged],
    title: impl Fn(&str) -> String,
) -> Result<String, NoCalendar> {
    Incomplete::unless_whole(damaged).map_err(NoCalendar::Incomplete)?;
    let dated: Vec<(&Item, Day)> = due.items.iter().filter_map(|item| Some((item, item.on?))).collect();
    if dated.is_empty() {
        return Err(NoCalendar::Empty);
    }
    let mut file = String::new();
    line(&mut file, "BEGIN:VCALENDAR");
    line(&mut file, "VERSION:2.0");
    line(&mut file, "PRODID:-//Gatewright//What is due//EN");
    for (item, on) in dated {
        line(&mut file, "BEGIN:VEVENT");
        line(&mut file, &format!("UID:{}", uid(item)));
        line(&mut file, &format!("DTSTAMP:{}", stamp(item)));
        // A calendar that has the event already takes the one with the higher number (section 3.8.7.4).
        line(&mut file, &format!("SEQUENCE:{}", item.done));
        line(&mut file, &format!("DTSTART;VALUE=DATE:{}", on.to_string().replace('-', "")));
        line(
            &mut file,
            &format!("SUMMARY:{}", text(&format!("Due: {}, {}", title(&item.procedure), item.serial))),
        );
        line(&mut file, &format!("DESCRIPTION:{}", text(&why(item))));
        line(&mut file, &format!("CATEGORIES:{}", text(&item.equipment)));
        line(&mut file, "TRANSP:TRANSPARENT");
        line(&mut file, "END:VEVENT");
    }
    line(&mut file, "END:VCALENDAR");
    Ok(file)
}

/// The same for one procedure on one machine for ever, so that its event moves when the work is done.
fn uid(item: &Item) -> String {
    let named = format!("gatewright due\n{}\n{}\n{}", item.equipment, item.serial, item.procedure);
    let hash = hex(Sha256::digest(named));
    format!("{}@gatewright", hash.get(..32).unwrap_or(&hash))
}

/// When the last record was made that the day follows from; the day of the register where there is none.
fn stamp(item: &Item) -> String {
    let at = item.known_ms.map_or_else(|| format!("{}T00:00:00Z", item.since), crate::time::time);
    at.replace(['-', ':'], "")
}

fn why(item: &Item) -> String {
    let last = match &item.last {
        Some((day, walk)) => format!("Last completed on {day} ({walk})."),
        None => format!("No completed walk of it is on record; in use since {}.", item.since),
    };
    let uses = item.uses.map(|(uses, of)| format!(" {uses} of {of} uses.")).unwrap_or_default();
    format!("{}, {} {}.\n{last}{uses}", item.procedure, item.equipment, item.serial)
}

/// A value of the type TEXT (section 3.3.11). Control characters but the tab cannot stand in one.
fn text(value: &str) -> String {
    let mut escaped = String::new();
    for letter in value.chars() {
        match letter {
            '\\' | ';' | ',' => escaped.extend(['\\', letter]),
            '\n' => escaped.push_str("\\n"),
            other if other.is_control() && other != '\t' => {}
            other => escaped.push(other),
        }
    }
    escaped
}

/// A content line, folded between characters so that no line is longer than 75 octets.
fn line(file: &mut String, content: &str) {
    let mut room = LINE_MAX;
    for letter in content.chars() {
        if letter.len_utf8() > room {
            file.push_str("\r\n ");
            room = LINE_MAX - 1;
        }
        file.push(letter);
        room -= letter.len_utf8();
    }
    file.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::{LINE_MAX, line, text};

    /// RFC 5545, sections 3.1 and 3.3.11 (memory).
    #[test]
    fn lines_are_folded_between_characters_and_texts_escaped() {
        for content in ["short".to_owned(), "x".repeat(75), "x".repeat(76), "ü".repeat(200), "a😀".repeat(60)]
        {
            let mut file = String::new();
            line(&mut file, &content);
            assert!(file.ends_with("\r\n"));
            assert!(file.split("\r\n").all(|line| line.len() <= LINE_MAX), "{file}");
            assert_eq!(file.replace("\r\n ", "").trim_end(), content);
        }
        assert_eq!(text("a;b,c\\d\ne\u{7}\tf"), "a\\;b\\,c\\\\d\\ne\tf");
    }
}
