//! All walks, by what lists tell of them. Where that and the records do not agree, the records count.

use crate::damage::{Damaged, readable};
use crate::walks::Walked;
use document::Zone;
use journal::{ChainSummary, Storage, Told, Verification};
use std::collections::BTreeMap;
use walk::{FieldRemark, Line};

/// In a file of so many records at most every hash is computed anew for each list. Of a longer one lists are told by what was written
/// with the records; whoever opens a walk or verifies the journal has the hashes computed.
const VERIFIED_MAX: u64 = 20_000;

/// What was read of the walks that can be relied on, and those that are damaged.
pub type Read<T> = (Vec<T>, Vec<Damaged>);

/// Something of each walk, in the order in which they were begun, and the walks that are damaged. It is made of a walk's line, and of
/// what was said and found in it where that is asked for.
///
/// # Errors
/// If the journal itself fails: then nothing is known of any walk.
fn told<T>(
    journal: &dyn Storage,
    with_remarks: bool,
    mut make: impl FnMut(ChainSummary, Line, Vec<FieldRemark>) -> T,
) -> Result<Read<T>, journal::Error> {
    if journal.head()?.len <= VERIFIED_MAX {
        return by_records(journal, with_remarks, true, make);
    }
    let (mut all, mut unread) = (Vec::new(), false);
    let is_all = every(journal, with_remarks, |told| match parts(&told, with_remarks) {
        Some((line, remarks)) => all.push(make(told.chain, line, remarks)),
        None => unread = true,
    })?;
    if is_all && !unread {
        return Ok((all, Vec::new()));
    }
    drop(all);
    by_records(journal, with_remarks, false, make)
}

/// What lists tell, and whether that is all. Damage to the file where this stands is no more than not to be told.
fn every(
    journal: &dyn Storage,
    with_remarks: bool,
    mut each: impl FnMut(Told),
) -> Result<bool, journal::Error> {
    match journal.told(with_remarks, &mut each) {
        Err(journal::Error::Corrupt { .. }) => Ok(false),
        told => told,
    }
}

fn parts(told: &Told, with_remarks: bool) -> Option<(Line, Vec<FieldRemark>)> {
    let remarks = if with_remarks { walk::remarks_of(told)? } else { Vec::new() };
    Some((walk::line_of(told)?, remarks))
}

/// The same, chain by chain.
fn by_records<T>(
    journal: &dyn Storage,
    with_remarks: bool,
    is_verified: bool,
    mut make: impl FnMut(ChainSummary, Line, Vec<FieldRemark>) -> T,
) -> Result<Read<T>, journal::Error> {
    let mut known = BTreeMap::new();
    every(journal, with_remarks, |told| _ = known.insert(told.chain.id.clone(), told))?;
    let chains = journal.chains()?;
    let (all, mut damaged) = readable(journal, &chains, |chain| {
        let told = known.remove(&chain.id).filter(|told| told.chain.len == chain.len);
        if is_verified {
            holds(journal, &chain.id)?;
        }
        let (line, remarks) = match told.and_then(|told| parts(&told, with_remarks)) {
            Some(parts) => parts,
            None => walk::line_by_records(journal, &chain.id)?,
        };
        Ok(make(chain.clone(), line, remarks))
    })?;
    // Of these not one record is left; and of others not even that is told.
    damaged.extend(known.values().map(Damaged::without_records));
    let records: u64 = chains.iter().map(|chain| chain.len).sum();
    let gone = journal.head()?.len.saturating_sub(records);
    if gone > 0 && damaged.is_empty() {
        damaged.push(Damaged::of_nobody_knows(gone));
    }
    Ok((all, damaged))
}

fn holds(journal: &dyn Storage, id: &str) -> Result<(), walk::Error> {
    match journal.verify_chain(id)? {
        Verification::Intact { .. } => Ok(()),
        Verification::Broken(fault) => Err(walk::Error::Broken(fault)),
    }
}

/// All walks in a line each, in the order in which they were begun, and those that are damaged; days are those of the site's zone.
///
/// # Errors
/// If the journal itself fails: then nothing is known of any walk.
pub fn walked(journal: &dyn Storage, zone: Zone) -> Result<Read<Walked>, journal::Error> {
    told(journal, false, |chain, line, _| Walked::new(chain, zone, line))
}

/// The same, each with what was said and found in it.
///
/// # Errors
/// If the journal itself fails: then nothing is known of any walk.
pub fn walked_with_remarks(
    journal: &dyn Storage,
    zone: Zone,
) -> Result<Read<(Walked, Vec<FieldRemark>)>, journal::Error> {
    told(journal, true, |chain, line, remarks| (Walked::new(chain, zone, line), remarks))
}

/// What became of walks that have records from that number in the file on: those that can be read, and those that are damaged. None
/// where these are too many to be followed one by one.
///
/// # Errors
/// If the journal itself fails.
pub fn walked_since(
    journal: &dyn Storage,
    len: u64,
    zone: Zone,
) -> Result<Option<Read<Walked>>, journal::Error> {
    const MOST: usize = 1_000;
    let changed = journal.chains_since(len, MOST)?;
    if changed.len() == MOST {
        return Ok(None);
    }
    let mut chains = Vec::new();
    for id in &changed {
        chains.extend(journal.told_of(id)?.map(|told| told.chain));
    }
    if chains.len() < changed.len() {
        return Ok(None);
    }
    readable(journal, &chains, |chain| {
        let told = journal.told_of(&chain.id)?.filter(|told| told.chain == *chain);
        let line = match told.and_then(|told| walk::line_of(&told)) {
            Some(line) => line,
            None => walk::line_by_records(journal, &chain.id)?.0,
        };
        Ok(Walked::new(chain.clone(), zone, line))
    })
    .map(Some)
}
