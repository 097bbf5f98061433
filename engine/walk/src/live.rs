//! A walk with its journal: an event is on disk before it counts.

use crate::by_hand::why_not;
use crate::compiled::CompiledCache;
use crate::entry::{self, Entry};
use crate::error::Error;
use crate::event::{Begin, Event, FORMAT};
use crate::input::Input;
use crate::keys::Keys;
use crate::outline::Outline;
use crate::prompt::Prompt;
use crate::refusal::Refusal;
use crate::state::Walk;
use crate::telling::{Telling, token};
use document::Day;
use form::Certificate;
use journal::{Storage, Summary, Verification, together};

/// A walk between two answers, without its journal. Kept in memory it spares reading all records again.
#[derive(Clone, Debug)]
pub struct Kept {
    id: String,
    len: u64,
    /// The keys of answers that were taken.
    keys: Keys,
    /// The key it was begun under.
    begun_under: Option<String>,
    telling: Telling,
    walk: Walk,
}

/// All events of a walk with their times in milliseconds since 1970, in order.
pub type Events = Vec<(i64, Event)>;

/// A walk under way.
pub struct LiveWalk<'j> {
    kept: Kept,
    journal: &'j mut dyn Storage,
}

/// What became of an answer that carries a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// It is recorded now.
    Now(Event),
    /// It was recorded before, as this record: whoever gave it did not hear of it. Nothing is recorded twice.
    Before(u64),
}

/// A walk to be begun, and the certificate that it is to carry; none where no second program could be asked.
#[derive(Clone, Debug)]
pub struct ToBegin {
    /// How it begins. Its hash of the certificate is set where that is kept.
    pub begin: Begin,
    /// What was proved.
    pub certificate: Option<Certificate>,
}

impl From<Begin> for ToBegin {
    fn from(begin: Begin) -> Self {
        Self { begin, certificate: None }
    }
}

/// Begins a walk under a name that no other walk has.
///
/// # Errors
/// If the documents have errors, the procedure is not begun by hand ([`crate::not_by_hand`]), or the journal fails.
pub fn begin<'j>(
    journal: &'j mut dyn Storage,
    id: &str,
    wanted: impl Into<ToBegin>,
    at_ms: i64,
) -> Result<LiveWalk<'j>, Error> {
    begin_among(journal, id, wanted, None, at_ms, &mut CompiledCache::default())
}

/// The same among walks that are kept: those that began with the same documents share what they go by. By the key, where
/// one is given, [`begun_with`] finds it.
///
/// # Errors
/// As [`begin`].
pub fn begin_among<'j>(
    journal: &'j mut dyn Storage,
    id: &str,
    wanted: impl Into<ToBegin>,
    key: Option<&str>,
    at_ms: i64,
    cache: &mut CompiledCache,
) -> Result<LiveWalk<'j>, Error> {
    let ToBegin { begin, certificate } = wanted.into();
    let kept = together(journal, |journal| first_kept(journal, id, begin, certificate, key, at_ms, cache))??;
    let mut live = LiveWalk { kept, journal };
    live.goes_on(at_ms)?;
    Ok(live)
}

/// A walk with its first record, and all that this names.
fn first_kept(
    journal: &mut dyn Storage,
    id: &str,
    mut begin: Begin,
    certificate: Option<Certificate>,
    key: Option<&str>,
    at_ms: i64,
    cache: &mut CompiledCache,
) -> Result<Kept, Error> {
    if let Some(certificate) = certificate {
        let bytes = serde_json::to_vec(&certificate)
            .map_err(|error| Error::Record { seq: 0, what: error.to_string() })?;
        begin.certificate = Some(journal.keep(&bytes)?.to_string());
    }
    let telling = Telling::new(&begin.person);
    let walk = walk_by(begin, at_ms, Some(journal), cache)?;
    if let Some(why) = why_not(walk.library(), walk.machine()) {
        return Err(Error::Refused(why));
    }
    let text = entry::begun(journal, walk.begin().clone(), key)?;
    journal.begin(id, &text, at_ms)?;
    let begun_under = key.map(str::to_owned);
    let kept = Kept { id: id.to_owned(), len: 1, keys: Keys::default(), begun_under, telling, walk };
    journal.tell(id, &kept.summary())?;
    Ok(kept)
}

/// A name for a walk that no other has: the procedure and the day, with the first number that is free.
///
/// # Errors
/// That of the journal.
pub fn free_name(journal: &dyn Storage, procedure: &str, day: Day) -> Result<String, Error> {
    let name = |number: u64| format!("{procedure}-{day}-{number}");
    // Names are given in turn: the first free one lies between a number that is taken and one twice as high.
    let (mut taken, mut free) = (0, 1);
    while journal.is_taken(&name(free))? {
        (taken, free) = (free, free * 2);
    }
    while free - taken > 1 {
        let middle = taken + (free - taken) / 2;
        if journal.is_taken(&name(middle))? {
            taken = middle;
        } else {
            free = middle;
        }
    }
    Ok(name(free))
}

/// The walk of a procedure that was begun with a key on a day: asking once more for the same is no second walk. What
/// cannot be read is passed over.
///
/// # Errors
/// That of the journal.
pub fn begun_with(
    journal: &dyn Storage,
    procedure: &str,
    day: Day,
    key: &str,
) -> Result<Option<String>, Error> {
    let of_day = format!("{procedure}-{day}-");
    let is_it = |id: &String| {
        let is_under = || entry::first(journal, id).is_some_and(|entry| entry.key.as_deref() == Some(key));
        id.starts_with(&of_day) && is_under()
    };
    Ok(journal.begun_under(&token(procedure, key))?.into_iter().find(is_it))
}

/// Takes up a walk where its records end. The caller then gives [`Input::Resume`]: until then nothing is asked.
///
/// # Errors
/// If there is no such walk, its records do not hold together, or the journal fails.
pub fn resume<'j>(journal: &'j mut dyn Storage, id: &str) -> Result<LiveWalk<'j>, Error> {
    resume_among(journal, id, &mut CompiledCache::default())
}

/// The same among walks that are kept: those that began with the same documents share what they go by.
///
/// # Errors
/// As [`resume`].
pub fn resume_among<'j>(
    journal: &'j mut dyn Storage,
    id: &str,
    cache: &mut CompiledCache,
) -> Result<LiveWalk<'j>, Error> {
    check_chain(journal, id)?;
    Ok(folded(id, entry::all(journal, id)?, Some(journal), cache)?.live(journal))
}

/// Computes every hash of a walk's chain anew.
///
/// # Errors
/// [`Error::Broken`] if one does not hold; if there is no such walk, or the journal fails.
pub fn check_chain(journal: &dyn Storage, id: &str) -> Result<(), Error> {
    match journal.verify_chain(id)? {
        Verification::Intact { .. } => Ok(()),
        Verification::Broken(fault) => Err(Error::Broken(fault)),
    }
}

/// A walk as its records leave it, with all events and their times; every hash of its chain is computed anew.
///
/// # Errors
/// As [`check_chain`], and if a record cannot be read.
pub fn verified(journal: &dyn Storage, id: &str) -> Result<(Outline, Events), Error> {
    match as_it_stands(journal, id)? {
        (outline, events, Verification::Intact { .. }) => Ok((outline, events)),
        (_, _, Verification::Broken(fault)) => Err(Error::Broken(fault)),
    }
}

/// The same where the chain does not hold, with what is wrong with it: for whoever looks at what was changed.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn as_it_stands(journal: &dyn Storage, id: &str) -> Result<(Outline, Events, Verification), Error> {
    let verification = journal.verify_chain(id)?;
    let read = || {
        let entries = entry::all(journal, id)?;
        let events = entries.iter().map(|(at_ms, entry)| (*at_ms, entry.event.clone())).collect();
        Ok((outline(id, entries)?, events))
    };
    match (read(), verification) {
        (Ok((outline, events)), verification) => Ok((outline, events, verification)),
        // Which record was changed says more than how it cannot be read.
        (Err(_), Verification::Broken(fault)) => Err(Error::Broken(fault)),
        (Err(error), Verification::Intact { .. }) => Err(error),
    }
}

/// What lists tell of a walk; one of format 1 is followed through its documents and not replayed.
fn outline(id: &str, entries: Vec<(i64, Entry)>) -> Result<Outline, Error> {
    if let Some((_, Entry { event: Event::Begin(begin), .. })) = entries.first()
        && begin.is_earlier()
    {
        return Ok(Outline::of_earlier(begin, entries.iter().skip(1).map(|(_, entry)| &entry.event)));
    }
    Ok(Outline::of(&folded(id, entries, None, &mut CompiledCache::default())?.walk))
}

/// How a walk began, though later records of it cannot be read, without the documents that are kept beside it; nothing where that
/// cannot be read either.
#[must_use]
pub fn beginning(journal: &dyn Storage, id: &str) -> Option<Begin> {
    match entry::first(journal, id)?.event {
        Event::Begin(begin) => Some(*begin),
        _ => None,
    }
}

/// A walk as its records leave it, for reading; whether they were changed since is the question of [`check_chain`].
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn fold(journal: &dyn Storage, id: &str) -> Result<Walk, Error> {
    Ok(folded(id, entry::all(journal, id)?, None, &mut CompiledCache::default())?.walk)
}

pub(crate) fn folded(
    id: &str,
    entries: Vec<(i64, Entry)>,
    journal: Option<&dyn Storage>,
    cache: &mut CompiledCache,
) -> Result<Kept, Error> {
    let mut entries = entries.into_iter();
    let Some((at_ms, Entry { event: Event::Begin(begin), key, .. })) = entries.next() else {
        return Err(Error::Record { seq: 0, what: "it is not the beginning of a walk".to_owned() });
    };
    let telling = Telling::new(&begin.person);
    let walk = if begin.is_earlier() {
        earlier(*begin, entries.as_slice(), at_ms, cache)?
    } else {
        walk_by(*begin, at_ms, journal, cache)?
    };
    let mut kept = Kept { id: id.to_owned(), len: 1, keys: Keys::default(), begun_under: key, telling, walk };
    for (at_ms, entry) in entries {
        kept.walk.apply(&entry.event, at_ms);
        kept.telling.note(&entry.event);
        kept.keys.note(entry.key, kept.len, &entry.event);
        kept.len += 1;
    }
    Ok(kept)
}

/// A walk of format 1, to be left: nothing of it is believed.
fn earlier(
    begin: Begin,
    entries: &[(i64, Entry)],
    at_ms: i64,
    cache: &mut CompiledCache,
) -> Result<Walk, Error> {
    let outline = Outline::of_earlier(&begin, entries.iter().map(|(_, entry)| &entry.event));
    let compiled = cache.get(&begin, None)?;
    Ok(Walk::earlier(begin, compiled, outline.status, at_ms))
}

/// All events of a walk with their times, in order.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn events(journal: &dyn Storage, id: &str) -> Result<Events, Error> {
    Ok(entry::all(journal, id)?.into_iter().map(|(at_ms, entry)| (at_ms, entry.event)).collect())
}

impl Kept {
    /// What lists tell of the walk.
    pub(crate) fn summary(&self) -> Summary {
        self.telling.summary(&Outline::of(&self.walk), self.begun_under.as_deref())
    }

    /// The walk as it stood when it was kept.
    #[must_use]
    pub fn walk(&self) -> &Walk {
        &self.walk
    }

    /// How many records it had. If its journal holds another number, somebody else went on with it: take it up anew.
    #[must_use]
    pub fn records(&self) -> u64 {
        self.len
    }

    /// The number of the record, if this answer was taken under that key before. Another answer under the same key was not.
    #[must_use]
    pub fn taken(&self, input: &Input, key: &str) -> Option<u64> {
        self.keys.taken(input, key)
    }

    /// The walk with the journal that holds its records.
    #[must_use]
    pub fn live(self, journal: &mut dyn Storage) -> LiveWalk<'_> {
        LiveWalk { kept: self, journal }
    }
}

impl LiveWalk<'_> {
    /// The walk as it stands.
    #[must_use]
    pub fn walk(&self) -> &Walk {
        &self.kept.walk
    }

    /// The walk's name in the journal.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.kept.id
    }

    /// What is asked now.
    #[must_use]
    pub fn prompt(&self) -> Prompt {
        self.kept.walk.prompt()
    }

    /// Puts the walk aside until its next answer.
    #[must_use]
    pub fn keep(self) -> Kept {
        self.kept
    }

    /// Takes an input: it is refused with the reason, or on disk before this returns. An answer that comes when what its step
    /// needs has grown old is refused, and that is on disk.
    ///
    /// # Errors
    /// [`Error::Refused`] if the input is not taken; otherwise the journal's.
    pub fn answer(&mut self, input: &Input, now_ms: i64) -> Result<Event, Error> {
        let event = self.taken(input, now_ms)?;
        self.record(&event, None, now_ms)?;
        self.goes_on(now_ms)?;
        Ok(event)
    }

    /// The same for an answer that may be sent more than once because its sender did not hear what became of it: the
    /// key, new with every answer, tells the two apart.
    ///
    /// # Errors
    /// As [`LiveWalk::answer`].
    pub fn answer_once(&mut self, input: &Input, key: &str, now_ms: i64) -> Result<Taken, Error> {
        if let Some(seq) = self.kept.taken(input, key) {
            return Ok(Taken::Before(seq));
        }
        if self.kept.keys.is_used_up(input, key) {
            let refusal = Refusal::new(
                "This key was used for another answer",
                "Send the answer under a key of its own",
            );
            return Err(Error::Refused(refusal));
        }
        let event = self.taken(input, now_ms)?;
        self.record(&event, Some(key), now_ms)?;
        self.goes_on(now_ms)?;
        Ok(Taken::Now(event))
    }

    /// The event of an input. What the step needs and has grown old since it was shown is looked at again instead: that is on
    /// the record.
    fn taken(&mut self, input: &Input, now_ms: i64) -> Result<Event, Error> {
        let event = self.kept.walk.accept(input, now_ms).map_err(Error::Refused)?;
        if let Some((old, refusal)) = self.kept.walk.grown_old(&event, now_ms) {
            self.record(&old, None, now_ms)?;
            return Err(Error::Refused(refusal));
        }
        Ok(event)
    }

    /// What follows an event by itself is on the record, too.
    fn goes_on(&mut self, now_ms: i64) -> Result<(), Error> {
        if self.kept.walk.is_to_be_told() {
            let walk = &self.kept.walk;
            let told = Event::NeverProved { step: walk.here(), believed: walk.believed_words() };
            self.record(&told, None, now_ms)?;
        }
        self.start_due_timer(now_ms)
    }

    /// A wait starts, on the record, as soon as the walk comes to it.
    fn start_due_timer(&mut self, now_ms: i64) -> Result<(), Error> {
        if self.kept.walk.stage().timer_is_due()
            && let Ok(event) = self.kept.walk.accept(&Input::StartTimer, now_ms)
        {
            self.record(&event, None, now_ms)?;
        }
        Ok(())
    }

    /// Records an event, and what lists tell by then. The walk goes on only once both are on disk.
    fn record(&mut self, event: &Event, key: Option<&str>, now_ms: i64) -> Result<(), Error> {
        let kept = &mut self.kept;
        let (mut walk, mut telling) = (kept.walk.clone(), kept.telling.clone());
        walk.apply(event, now_ms);
        telling.note(event);
        let text = entry::written(event, key)?;
        let summary = telling.summary(&Outline::of(&walk), kept.begun_under.as_deref());
        together(self.journal, |journal| {
            journal.append(&kept.id, kept.len, &text, now_ms)?;
            journal.tell(&kept.id, &summary)
        })??;
        kept.keys.note(key.map(str::to_owned), kept.len, event);
        kept.len += 1;
        (kept.walk, kept.telling) = (walk, telling);
        Ok(())
    }
}

fn walk_by(
    begin: Begin,
    at_ms: i64,
    journal: Option<&dyn Storage>,
    cache: &mut CompiledCache,
) -> Result<Walk, Error> {
    if begin.format != FORMAT {
        return Err(Error::Unsound(format!(
            "its record format is {}, this program reads {FORMAT}",
            begin.format
        )));
    }
    let compiled = cache.get(&begin, journal)?;
    Ok(Walk::new(begin, compiled, at_ms))
}
