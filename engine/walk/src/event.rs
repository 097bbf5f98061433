//! What is recorded. Every event is one record; the walk is their fold.

use calc::quantity::Verdict;
use document::Library;
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

/// Version of the record format. In format 1 every tick was taken for the truth; such walks are read and not replayed.
pub const FORMAT: u32 = 2;

/// A document as it was when the walk began: a walk goes on with the text it began with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DocumentText {
    /// Its name.
    pub name: String,
    /// Its whole text.
    pub text: String,
}

/// The first event of every walk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Begin {
    /// Version of the record format.
    pub format: u32,
    /// The procedure.
    pub procedure: String,
    /// Its revision.
    pub revision: u32,
    /// Hash of everything that decides what a person reads and may do.
    pub content: String,
    /// The equipment.
    pub equipment: String,
    /// Serial number of the machine worked on.
    pub serial: String,
    /// Who walks.
    pub person: String,
    /// Whether the walk is training only and counts for nothing else.
    pub training: bool,
    /// Whether it is a rehearsal: the clock jumps over waits. Always training.
    pub rehearsal: bool,
    /// The hash of the certificate that it carries, which is kept beside the records; none where the program that began it knew of
    /// none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certificate: Option<String>,
    /// The documents it walks by. In the records of today's format they are named by their hashes and kept once beside them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub documents: Vec<DocumentText>,
}

impl Begin {
    /// Whether it is a walk of an earlier format: read, and never replayed.
    #[must_use]
    pub fn is_earlier(&self) -> bool {
        self.format < FORMAT
    }

    /// The beginning of a walk by the documents as they stand now, as training; `None` if the procedure is not there.
    #[must_use]
    pub fn training(library: &Library, procedure: &str, serial: String, person: String) -> Option<Self> {
        let model = &library.procedures.get(procedure)?.model;
        let sources = library.relies_on(procedure).into_iter();
        let documents = sources
            .filter_map(|id| library.sources.get(id.0 as usize))
            .map(|source| DocumentText { name: source.name.clone(), text: source.text.clone() })
            .collect();
        Some(Self {
            format: FORMAT,
            procedure: procedure.to_owned(),
            revision: model.revision,
            content: library.content_hash(procedure).unwrap_or_default(),
            equipment: model.equipment.to_string(),
            serial,
            person,
            training: true,
            rehearsal: false,
            certificate: None,
            documents,
        })
    }
}

/// What a reading was judged to be; records hold the words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ReadingVerdict {
    /// It is in its range, whatever the instrument's uncertainty.
    #[serde(rename = "within")]
    Within,
    /// It is outside.
    #[serde(rename = "outside")]
    Outside,
    /// The instrument's uncertainty leaves it open.
    #[serde(rename = "too close to tell")]
    TooCloseToTell,
}

impl ReadingVerdict {
    /// The words that people read.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Outside => "outside",
            Self::TooCloseToTell => "too close to tell",
        }
    }
}

impl From<Verdict> for ReadingVerdict {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Within => Self::Within,
            Verdict::Outside => Self::Outside,
            Verdict::TooCloseToTell => Self::TooCloseToTell,
        }
    }
}

/// What somebody who looked says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Look {
    /// It is so.
    Yes,
    /// It is not so.
    No,
    /// Nobody can tell: too dark, a lamp is broken.
    CannotTell,
}

impl Look {
    /// The words that people read.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::CannotTell => "cannot tell",
        }
    }
}

/// Why a question is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Because {
    /// It must be so before step 1.
    BeforeStart,
    /// The same, but nobody can see it then: the record of earlier work answers.
    ByRecord,
    /// Work is taken up again.
    TakenUp,
    /// It was last looked at too long ago.
    Lapsed,
    /// An act was done otherwise than written.
    Deviated,
    /// Before the work counts as done.
    BeforeDone,
    /// The step is to look at it.
    Step,
}

impl Because {
    /// In front of an event's words; nothing where the step itself looks.
    #[must_use]
    pub fn words(self) -> Option<&'static str> {
        match self {
            Self::BeforeStart => Some("before step 1"),
            Self::ByRecord => Some("before step 1, by record"),
            Self::TakenUp => Some("taken up again"),
            Self::Lapsed => Some("looked at too long ago"),
            Self::Deviated => Some("after a deviation"),
            Self::BeforeDone => Some("before done"),
            Self::Step => None,
        }
    }
}

/// Something that happened in a walk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "kebab-case")]
pub enum Event {
    /// The walk begins.
    Begin(Box<Begin>),
    /// Which variant the machine is.
    Variant {
        /// The variant's name.
        variant: String,
        /// Its value.
        value: String,
    },
    /// A figure was read off the label of the product at hand.
    Label {
        /// The procedure whose amount needs it; none for an amount of the equipment.
        procedure: Option<String>,
        /// The amount.
        amount: String,
        /// The input of its method.
        input: String,
        /// The figure, with its unit.
        figure: String,
    },
    /// Somebody looked at a condition, or could not tell.
    Seen {
        /// The step.
        step: String,
        /// The condition.
        condition: String,
        /// The values asked for.
        values: Vec<String>,
        /// What was seen.
        answer: Look,
        /// Where it is none of them and was asked on: the value that it has.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        found: Option<String>,
        /// Why it was asked.
        because: Because,
        /// Where the record ruled that out: the values it had by the record.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        recorded: Vec<String>,
    },
    /// Of what the step asks or measures nobody could tell.
    CannotTell {
        /// The step.
        step: String,
    },
    /// Where a look kept the gate shut, something was put right. The same look follows.
    Restored {
        /// The step.
        step: String,
        /// The equipment's action.
        action: String,
        /// The condition that it puts right.
        condition: String,
    },
    /// A second person found that a step was not done, or not so.
    NotVerified {
        /// The step.
        step: String,
        /// Who.
        person: String,
        /// In which role.
        role: String,
    },
    /// After an interruption at an act: whether it had been begun.
    ActBegun {
        /// The step.
        step: String,
        /// Whether it had been, or nobody knows.
        yes: bool,
        /// Whether it had been done to its end.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        finished: bool,
    },
    /// Only in records of format 1: a condition asked before step 1, or asked again after a lapse, was confirmed.
    Confirmed {
        /// The condition.
        condition: String,
        /// The values one of which it was confirmed to have.
        values: Vec<String>,
    },
    /// Only in records of format 1: the normal values of all other conditions were confirmed together.
    NormalConfirmed {
        /// The conditions with their values.
        conditions: IndexMap<String, String>,
    },
    /// Only in records of format 1: a question of a confirming step was answered.
    Looked {
        /// The step.
        step: String,
        /// The condition.
        condition: String,
        /// The values asked for.
        values: Vec<String>,
        /// Whether it has one of them.
        yes: bool,
    },
    /// An act was done.
    Done {
        /// The step.
        step: String,
    },
    /// One fastener of a group was done.
    Fastened {
        /// The step.
        step: String,
        /// Which pass over the group, from 1.
        pass: u32,
        /// The fastener's number, from 1.
        fastener: u32,
    },
    /// After an interruption in the middle of a group, the fasteners ticked were looked at.
    TicksLooked {
        /// The step.
        step: String,
        /// Whether they are as they were left. If not, their ticks no longer count and the group is begun anew.
        yes: bool,
    },
    /// A second person verified a step.
    Verified {
        /// The step.
        step: String,
        /// Who.
        person: String,
        /// In which role.
        role: String,
    },
    /// A hold point was released.
    Released {
        /// The step.
        step: String,
        /// Who.
        person: String,
        /// In which role.
        role: String,
    },
    /// A reading was taken.
    Reading {
        /// The step.
        step: String,
        /// The reading as given, with its unit.
        reading: String,
        /// Which attempt, from 1.
        attempt: u32,
        /// What it was judged to be.
        verdict: ReadingVerdict,
    },
    /// A question was answered.
    Answered {
        /// The step.
        step: String,
        /// The answer as authored.
        answer: String,
        /// Where the record ruled out what it shows: the conditions with the values they had by the record.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        recorded: Vec<String>,
    },
    /// The next item of an any-order block was chosen.
    Chosen {
        /// The item's step.
        step: String,
    },
    /// A timer was started.
    WaitStarted {
        /// The step, or the condition that must settle again.
        step: String,
        /// How long, in milliseconds.
        millis: u64,
    },
    /// A timer ran its time.
    WaitOver {
        /// The step, or the condition that has settled again.
        step: String,
    },
    /// What was waited for did not come within the limit.
    LimitReached {
        /// The step.
        step: String,
    },
    /// What the step needs grew old while the step was shown: an answer came too late, and these are looked at first.
    GrownOld {
        /// The step.
        step: String,
        /// The conditions.
        conditions: Vec<String>,
    },
    /// What is believed at a step is nothing that was proved: the step is not shown, and work stops.
    NeverProved {
        /// The step.
        step: String,
        /// What is believed of the machine, condition by condition.
        believed: Vec<String>,
    },
    /// The last answer was a mistake. It is as if it had not been given; an act that was said to be done counts as begun.
    TakenBack {
        /// The step at which it was given.
        step: String,
        /// What was given, in words.
        what: String,
    },
    /// A remark.
    Noted {
        /// The step.
        step: String,
        /// The remark.
        text: String,
    },
    /// A photo was attached. Its bytes are kept beside the records.
    Photographed {
        /// The step.
        step: String,
        /// SHA-256 of the bytes kept, 64 hexadecimal digits.
        photo: String,
        /// What it shows.
        caption: String,
    },
    /// An act was done otherwise than written. What the step leaves is asked at once.
    Deviated {
        /// The step.
        step: String,
        /// Why, and what was done instead.
        reason: String,
        /// Who allowed it.
        person: String,
        /// In which role.
        role: String,
    },
    /// The walk pauses.
    Paused,
    /// The walk goes on, or after a stop the way to leave the machine begins anew.
    Resumed {
        /// Who walks from here.
        person: String,
        /// Whether it had not been paused: power lost, program ended.
        unannounced: bool,
    },
    /// Work is stopped.
    Stopped {
        /// Why.
        reason: String,
        /// Who, where it was somebody who was not at the walk: nothing had been looked at since.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        person: Option<String>,
    },
    /// After the stop, one act or wait of the way to leave the machine was done.
    LeavingDone {
        /// What was done, as it was shown.
        act: String,
    },
    /// After the stop, a condition that decides the way to leave the machine was looked at.
    LeavingLooked {
        /// The condition.
        condition: String,
        /// The values one of which it has; none where nobody can tell.
        values: Vec<String>,
    },
    /// After the stop, the machine was released for use again.
    Returned {
        /// Who released it.
        person: String,
        /// In which role.
        role: String,
        /// What was found and put right.
        remark: String,
    },
}
