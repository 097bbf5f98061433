//! The words of the terminal: what is a command wherever something is asked, and how a choice that reads like one is offered
//! and taken. The bare word stays the command, so that `stop` stops whatever an author called the values of a condition.

/// What is said where nobody can tell.
pub(super) const CANNOT_TELL: &str = "cannot tell";

/// What answers a look, an act or a wait, and is neither a name nor a remark.
const ANSWERS: [&str; 9] = ["done", "d", "yes", "y", "no", "n", CANNOT_TELL, "c", "limit"];

/// What can be said at any time.
pub(super) const HELP: &str = concat!(
    "  stop REASON     stop work\n",
    "  back            take the last answer back\n",
    "  pause           pause the walk\n",
    "  note TEXT       put a remark on the record\n",
    "  deviate REASON  do the act otherwise than written, if somebody who may allows it\n",
    "  is CHOICE       choose what reads like one of these words\n",
);

/// The same while the machine is left after a stop.
pub(super) const HELP_LEAVING: &str = concat!(
    "  done       the act was done\n",
    "  note TEXT  put a remark on the record\n",
    "Whoever goes away begins the way anew later, with `gatewright resume`.\n",
);

/// Said where a remark has no text.
pub(super) const NOTE: &str = "  Say `note TEXT`.\n";

/// What can be said wherever something is asked, with what follows the word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Command<'l> {
    Stop(&'l str),
    Note(&'l str),
    Deviate(&'l str),
    Back,
    Pause,
    Help,
}

impl<'l> Command<'l> {
    /// The command that a line is, if it is one.
    pub(super) fn read(line: &'l str) -> Option<Self> {
        let (word, rest) = split(line);
        match (word.to_ascii_lowercase().as_str(), rest) {
            ("stop", reason) => Some(Self::Stop(reason)),
            ("note", text) => Some(Self::Note(text)),
            ("deviate", reason) => Some(Self::Deviate(reason)),
            ("back", "") => Some(Self::Back),
            ("pause", "") => Some(Self::Pause),
            ("help" | "?", _) => Some(Self::Help),
            _ => None,
        }
    }

    /// The command that a text is which may begin with any word: a command alone, or a note.
    pub(super) fn read_in_text(line: &'l str) -> Option<Self> {
        let (_, rest) = split(line);
        Self::read(line).filter(|command| rest.is_empty() || matches!(command, Self::Note(_)))
    }
}

/// Who says that what is to be verified is not so.
pub(super) fn denied_by(line: &str) -> Option<&str> {
    let (word, person) = split(line);
    word.eq_ignore_ascii_case("no").then_some(person)
}

/// The first word of a line, and what follows it.
pub(super) fn split(line: &str) -> (&str, &str) {
    line.split_once(char::is_whitespace).map_or((line, ""), |(word, rest)| (word, rest.trim()))
}

/// Whether a line answers something else than who or what was found.
pub(super) fn is_answer(line: &str) -> bool {
    ANSWERS.iter().any(|answer| answer.eq_ignore_ascii_case(line))
}

/// Why a line is no name, where it is none: whoever signs by a slip of the hand has not signed.
pub(super) fn no_name(line: &str) -> Option<String> {
    let is_word = Command::read(line).is_some() || is_answer(line) || denied_by(line).is_some();
    is_word.then(|| format!("  `{line}` is a word of the walk and no name.\n"))
}

/// A choice as it is offered: what reads like a word of the walk is said with `is` before it.
fn offered(choice: &str) -> String {
    if reads_otherwise(choice) { format!("is {choice}") } else { choice.to_owned() }
}

/// What can be chosen, as it is offered.
pub(super) fn choices<T: AsRef<str>>(choices: impl IntoIterator<Item = T>) -> String {
    choices.into_iter().map(|choice| offered(choice.as_ref())).collect::<Vec<_>>().join(" / ")
}

/// The choice that a line names. Where it names none, that is for the walk to say, but not where it would tell people to say
/// what is a command here.
pub(super) fn choice(line: &str, known: &[&str]) -> Result<String, String> {
    let said = chosen(line);
    if known.contains(&said) || !known.iter().any(|known| reads_otherwise(known)) {
        return Ok(said.to_owned());
    }
    Err(format!("  `{line}` is none of these: {}.\n", choices(known)))
}

/// Several values that lead one way, as they are offered: any of them may be said alone.
pub(super) fn offered_together(values: &[String]) -> String {
    let words = values.join(" or ");
    let is_said = reads_otherwise(&words) || values.iter().any(|value| reads_otherwise(value));
    if is_said { format!("is {words}") } else { words }
}

/// The choice that a line names, with `is` before it or without.
pub(super) fn chosen(line: &str) -> &str {
    said_with_is(line).unwrap_or(line)
}

/// What a line says with `is` before it.
pub(super) fn said_with_is(line: &str) -> Option<&str> {
    let (word, rest) = split(line);
    (word.eq_ignore_ascii_case("is") && !rest.is_empty()).then_some(rest)
}

/// Whether a choice said alone would be taken for something else.
fn reads_otherwise(choice: &str) -> bool {
    let is_untold = choice.eq_ignore_ascii_case(CANNOT_TELL);
    is_untold || Command::read(choice).is_some() || said_with_is(choice).is_some()
}

#[cfg(test)]
mod tests {
    use super::{Command, choice, chosen, no_name, offered, offered_together};

    #[test]
    fn what_reads_like_a_word_of_the_walk_is_offered_with_is_and_taken_so() {
        let words = [
            "back",
            "Back",
            "stop",
            "stop the pump",
            "pause",
            "note",
            "help",
            "help wanted",
            "deviate",
            "?",
            "cannot tell",
            "is wet",
        ];
        for choice in words {
            assert_eq!(offered(choice), format!("is {choice}"));
            assert_eq!(chosen(&offered(choice)), choice, "what is offered is taken");
        }
        for choice in ["forward", "back up", "stopped", "helpless", "yes", "no", "done", "is", "isolated"] {
            assert_eq!(offered(choice), choice);
            assert_eq!(chosen(&offered(choice)), choice);
        }
        assert_eq!(choice("is back", &["back", "on"]), Ok("back".to_owned()));
        let none = choice("up", &["back", "on"]);
        assert_eq!(none, Err("  `up` is none of these: is back / on.\n".to_owned()));
        assert_eq!(choice("up", &["in", "on"]), Ok("up".to_owned()), "the walk says that it is none");
        let together = |values: [&str; 2]| offered_together(&values.map(str::to_owned));
        assert_eq!(together(["fitted", "parked"]), "fitted or parked");
        assert_eq!(together(["forward", "back"]), "is forward or back");
        assert_eq!(together(["stop", "go"]), "is stop or go");
    }

    #[test]
    fn a_text_may_begin_with_any_word_but_is_no_command_alone() {
        for line in ["stop", "back", "pause", "HELP", "deviate", "note", "note the lamp is loose"] {
            assert!(Command::read_in_text(line).is_some(), "{line}");
        }
        for line in ["Stop valve renewed.", "help came", "Back panel shut.", "Pause button renewed."] {
            assert_eq!(Command::read_in_text(line), None, "{line}");
        }
        for line in ["back", "Yes", "stop it", "no Gwen Adeyi", "No Gwen Adeyi"] {
            assert!(no_name(line).is_some(), "{line}");
        }
        for line in ["Backman", "Noa Stopford", "Gwen Adeyi"] {
            assert_eq!(no_name(line), None);
        }
    }
}
