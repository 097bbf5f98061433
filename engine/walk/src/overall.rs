//! What has to hold of all walks of a journal: what their records name is kept, and what lists tell follows from them.

use crate::compiled::CompiledCache;
use crate::entry::{self, Entry};
use crate::error::Error;
use crate::event::Event;
use crate::field::FieldRemark;
use crate::live::{Kept, check_chain, folded};
use crate::outline::Outline;
use crate::telling::{Line, Telling};
use form::Certificate;
use journal::{Storage, Summary, Told};
use std::collections::BTreeMap;

/// The walks of which a document or the certificate is not kept any more, was changed, or is of another content: they can only be left,
/// or not be read at all.
///
/// # Errors
/// That of the journal.
pub fn without_what_they_go_by(journal: &dyn Storage) -> Result<Vec<String>, Error> {
    let (mut without, mut contents, mut texts) = (Vec::new(), BTreeMap::new(), BTreeMap::new());
    for chain in journal.chains()? {
        let Some(entry) = entry::first(journal, &chain.id) else { continue };
        let mut is_without = false;
        for hash in entry.names() {
            // Most walks go by what many others do.
            if !texts.contains_key(hash) {
                texts.insert(hash.to_owned(), entry::kept(journal, hash)?.is_some());
            }
            is_without |= !texts[hash];
        }
        if let Event::Begin(begin) = entry.event
            && let Some(hash) = begin.certificate
        {
            if !contents.contains_key(&hash) {
                let kept = entry::kept(journal, &hash)?;
                let read = kept.and_then(|kept| serde_json::from_slice::<Certificate>(&kept).ok());
                contents.insert(hash.clone(), read.map(|certificate| certificate.content));
            }
            is_without |= contents[&hash].as_ref() != Some(&begin.content);
        }
        if is_without {
            without.push(chain.id);
        }
    }
    Ok(without)
}

/// The walks of which lists tell otherwise than their records: each is followed anew. Where somebody wrote the records of one with
/// another program they are among them; those whose records cannot be read are not.
///
/// # Errors
/// That of the journal.
pub fn told_otherwise(journal: &dyn Storage) -> Result<Vec<String>, Error> {
    let (mut told_otherwise, mut followed) = (Vec::new(), Followed::default());
    for chain in journal.chains()? {
        // Of what nothing is told yet the records are read.
        let Some(told) = journal.told_of(&chain.id)? else { continue };
        let Ok(now) = followed.summary(journal, &chain.id) else { continue };
        let is_same = line(&told.line) == line(&now.line) && steps(&told.notes) == steps(&now.notes);
        if !is_same || told.chain.len != chain.len {
            told_otherwise.push(chain.id);
        }
    }
    Ok(told_otherwise)
}

/// Makes lists tell of every walk that can be read and of which nothing is told yet, as in a file of an earlier program, or what was
/// told was changed.
///
/// # Errors
/// That of the journal.
pub fn catch_up(journal: &mut dyn Storage) -> Result<(), Error> {
    if journal.told(false, &mut |_| ())? {
        return Ok(());
    }
    let mut followed = Followed::default();
    for chain in journal.chains()? {
        // Of one that was longer, records are gone: that is not told away.
        let is_to_be_told = journal.told_of(&chain.id)?.is_none_or(|told| told.chain.len < chain.len);
        if is_to_be_told
            && check_chain(journal, &chain.id).is_ok()
            && let Ok(summary) = followed.summary(journal, &chain.id)
        {
            journal.tell(&chain.id, &summary)?;
        }
    }
    Ok(())
}

/// What lists would tell of a walk by its records, with what was said and found in it; every hash of its chain is computed anew.
///
/// # Errors
/// If a record cannot be read, the chain does not hold, or the journal fails.
pub fn line_by_records(journal: &dyn Storage, id: &str) -> Result<(Line, Vec<FieldRemark>), Error> {
    check_chain(journal, id)?;
    let Summary { line: told, notes, .. } = Followed::default().summary(journal, id)?;
    let unread = || Error::Record { seq: 0, what: "nothing can be told of it".to_owned() };
    line(&told).zip(serde_json::from_str(&notes).ok()).ok_or_else(unread)
}

/// What lists tell of a walk; none where it is nothing that this program wrote.
#[must_use]
pub fn line_of(told: &Told) -> Option<Line> {
    line(&told.line)
}

/// What was said and found in a walk by what lists tell.
#[must_use]
pub fn remarks_of(told: &Told) -> Option<Vec<FieldRemark>> {
    serde_json::from_str(&told.notes).ok()
}

fn line(text: &str) -> Option<Line> {
    serde_json::from_str(text).ok()
}

/// The steps of which something is told: in what words is a matter of the program.
fn steps(notes: &str) -> Option<Vec<String>> {
    let remarks: Vec<FieldRemark> = serde_json::from_str(notes).ok()?;
    Some(remarks.into_iter().map(|remark| remark.step).collect())
}

/// Walks that are followed one after the other: one of each content stays, so that the next of the same shares what it goes by.
#[derive(Default)]
struct Followed {
    cache: CompiledCache,
    last: BTreeMap<String, Kept>,
}

impl Followed {
    /// What lists are to tell of a walk by its records.
    fn summary(&mut self, journal: &dyn Storage, id: &str) -> Result<Summary, Error> {
        let entries = entry::all(journal, id)?;
        // One of format 1 is followed through its documents and not replayed.
        if let Some((_, Entry { event: Event::Begin(begin), key, .. })) = entries.first()
            && begin.is_earlier()
        {
            let events = entries.iter().skip(1).map(|(_, entry)| &entry.event);
            let mut telling = Telling::new(&begin.person);
            events.clone().for_each(|event| telling.note(event));
            return Ok(telling.summary(&Outline::of_earlier(begin, events), key.as_deref()));
        }
        let kept = folded(id, entries, None, &mut self.cache)?;
        let summary = kept.summary();
        self.last.insert(kept.walk().begin().content.clone(), kept);
        Ok(summary)
    }
}
