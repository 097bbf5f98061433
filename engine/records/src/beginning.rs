//! Whether a walk may begin, and as what: the same in the terminal and in the browser.

use crate::due::{Out, out};
use crate::register::{Register, serial_key};
use crate::walks::Walked;
use card::page::{Approval, CardApproval, PageError, build};
use document::{Day, Library, Zone};
use std::fmt;
use walk::{Begin, Refusal};

/// Letters in a serial number at most.
const SERIAL_MAX: usize = 60;

/// What may stand among them, besides spaces.
const SERIAL_MARKS: &str = "-./_#";

/// Whether a text is a serial number. What only looks like one that the rule names, such as a Cyrillic letter or a sign that
/// turns the direction of reading, would be another machine in every list.
fn is_serial(text: &str) -> bool {
    let may_stand =
        |letter: char| letter.is_ascii_alphanumeric() || letter == ' ' || SERIAL_MARKS.contains(letter);
    text.len() <= SERIAL_MAX
        && text.chars().all(may_stand)
        && text.contains(|letter: char| letter.is_ascii_alphanumeric())
}

/// A walk that somebody wants to begin.
#[derive(Clone, Copy, Debug)]
pub struct Beginning<'a> {
    /// The procedure.
    pub procedure: &'a str,
    /// The serial number of the machine.
    pub serial: &'a str,
    /// Who walks.
    pub person: &'a str,
    /// Whether it is wanted as training.
    pub training: bool,
    /// Whether it is wanted as a rehearsal.
    pub rehearsal: bool,
    /// Why the procedure is not proved under what is written now; none where it is.
    pub not_proved: Option<&'a str>,
    /// Whether the procedure is approved that day.
    pub is_approved: bool,
}

/// Why a walk does not begin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotBegun {
    /// No machine has such a serial number.
    Serial,
    /// The procedure is not proved under what is written now: the first finding.
    NotProved(String),
    /// It requires what nobody can see: a procedure that performs it begins it.
    NotByHand(Refusal),
    /// The person may not walk it for good that day, and why.
    Lacks(String),
    /// There is no such procedure.
    NoProcedure,
    /// A step cannot be shown, and why: nobody may do work of which neither text nor warning is seen.
    NotShown(PageError),
}

impl fmt::Display for NotBegun {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Serial => write!(
                f,
                "A serial number has 1 to {SERIAL_MAX} letters of A to Z or a to z and digits; spaces and `{SERIAL_MARKS}` \
                 may stand among them."
            ),
            Self::NotProved(finding) => {
                write!(
                    f,
                    "This procedure is not proved under what is written now and cannot be begun: {finding}."
                )
            }
            Self::NotByHand(why) => why.fmt(f),
            Self::Lacks(why) => write!(f, "{why}. It can be walked for training."),
            Self::NoProcedure => f.write_str("There is no such procedure."),
            Self::NotShown(why) => write!(
                f,
                "Its steps cannot be shown: {why}. It cannot be walked until its author has mended that."
            ),
        }
    }
}

impl Beginning<'_> {
    /// Whether the walk is training: a rehearsal always is, and whatever is not approved.
    #[must_use]
    fn is_training(&self) -> bool {
        self.training || self.rehearsal || !self.is_approved
    }

    /// How the walk begins, by the documents as they stand, or why it does not. `lacks` says why the person may not walk
    /// the procedure for good that day; it is asked for real work alone.
    ///
    /// # Errors
    /// Those of `lacks`.
    pub fn begin<E>(
        &self,
        library: &Library,
        lacks: impl FnOnce() -> Result<Option<String>, E>,
    ) -> Result<Result<Begin, NotBegun>, E> {
        let &Self { procedure, serial, person, training: _, rehearsal, not_proved, is_approved: _ } = self;
        let serial = serial.trim();
        if !is_serial(serial) {
            return Ok(Err(NotBegun::Serial));
        }
        if let Some(finding) = not_proved {
            return Ok(Err(NotBegun::NotProved(finding.to_owned())));
        }
        if let Some(why) = walk::not_by_hand(library, procedure) {
            return Ok(Err(NotBegun::NotByHand(why)));
        }
        let training = self.is_training();
        if !training && let Some(why) = lacks()? {
            return Ok(Err(NotBegun::Lacks(why)));
        }
        if let Err(why) = shown(library, procedure) {
            return Ok(Err(NotBegun::NotShown(why)));
        }
        let begin = Begin::training(library, procedure, serial.to_owned(), person.to_owned());
        let begin = begin.map(|begin| Begin { training, rehearsal, ..begin });
        Ok(begin.ok_or(NotBegun::NoProcedure))
    }
}

/// Makes the page of every procedure that a walk comes through, as the walk does.
fn shown(library: &Library, procedure: &str) -> Result<(), PageError> {
    let relied_on = library.relies_on(procedure);
    let approval = CardApproval { content: String::new(), approval: Approval::Training };
    let walked = library.procedures.values().filter(|document| relied_on.contains(&document.source));
    for document in walked {
        build(library, &document.model.procedure, &approval, None)?;
    }
    Ok(())
}

/// The machines of an equipment that are out of service on a day, or that one of its machines alone: what people are told
/// before they begin. What stopped walks tell is told without a register too.
#[must_use]
pub fn out_of_service(
    register: Option<&Register>,
    zone: Zone,
    walks: &[Walked],
    on: Day,
    equipment: &str,
    serial: Option<&str>,
) -> Vec<String> {
    let is_it = |out: &Out| {
        out.equipment == equipment
            && serial.is_none_or(|serial| serial_key(&out.serial) == serial_key(serial))
    };
    let told = |Out { equipment: _, serial, since, reason, by, walk: _ }: &Out| {
        format!("{serial} since {since}: {reason} ({by})")
    };
    out(register, zone, walks, on).iter().filter(|out| is_it(out)).map(told).collect()
}
