//! Walks under way, with their journal behind one lock: answers are taken one after the other.

use crate::day::{clock, now_ms};
use crate::fault::Fault;
use card::page::{Approval, CardApproval, Page, build_for};
use document::Day;
use document::model::Name;
use journal::{Error as JournalError, Journal};
use records::{Footing, Judged, Stood};
use std::collections::BTreeMap;
use std::sync::Arc;
use walk::{Begin, CompiledCache, Event, Input, Kept, Refusal, Taken, ToBegin, Walk};

/// So many walks are kept in memory; the one used longest ago gives way and is read again when it is asked for. Who is at it stays known.
const KEPT_MAX: usize = 2_048;

pub(crate) struct Store {
    pub(crate) journal: Journal,
    kept: BTreeMap<String, Open>,
    /// The walks that are kept, by when they were last used.
    by_use: BTreeMap<u64, String>,
    uses: u64,
    attended: BTreeMap<String, Attended>,
    /// Where walks were when it was seen that what they go by is not proved any more.
    stood: BTreeMap<String, Stood>,
}

struct Open {
    walk: Kept,
    /// The pages of the procedures it goes through, made when first shown.
    pages: BTreeMap<String, Arc<Page>>,
    used: u64,
}

/// Who is at a walk, since this program started.
#[derive(Clone, Debug)]
struct Attended {
    person: String,
    last_ms: i64,
    /// So many records the walk had when it was last seen. With more, somebody went on with it by another program.
    records: u64,
}

/// What became of an answer.
pub(crate) enum AnswerOutcome {
    /// It is on record, now or from an earlier try.
    Recorded,
    /// It is refused.
    Refused(Refusal),
    /// The walk was elsewhere: somebody else answered first.
    Superseded,
}

/// What became of the wish to begin a walk.
pub(crate) enum BeginOutcome {
    /// The walk of that name is begun, now or by an earlier try.
    Begun(String),
    /// The same key began this walk, which is on another machine or counts otherwise.
    OtherWalk { id: String, before: Box<Begin> },
    /// It may not begin, and why.
    Refused(String),
}

impl BeginOutcome {
    /// Why it is refused that a key began another walk.
    pub(crate) fn other_walk(id: &str, before: &Begin) -> String {
        let what = match (before.training, before.rehearsal) {
            (_, true) => "as a rehearsal",
            (true, false) => "as training",
            (false, false) => "for good",
        };
        format!("The same key began {id} on {} {what}.", before.serial)
    }
}

pub(crate) fn refusal(reason: &str, opens: &str) -> Refusal {
    Refusal { reason: reason.to_owned(), opens: opens.to_owned() }
}

impl Store {
    pub(crate) fn new(journal: Journal) -> Self {
        Self {
            journal,
            kept: BTreeMap::new(),
            by_use: BTreeMap::new(),
            uses: 0,
            attended: BTreeMap::new(),
            stood: BTreeMap::new(),
        }
    }

    /// Begins a walk; it is attended by whoever begins it. The walk that the same person began with the same key is told
    /// again. `compiled` is what walks in memory share.
    pub(crate) fn begin(
        &mut self,
        wanted: ToBegin,
        key: Option<&str>,
        today: Day,
        compiled: &mut CompiledCache,
    ) -> Result<BeginOutcome, Fault> {
        let begin = &wanted.begin;
        let now = now_ms();
        if let Some(key) = key
            && let Some(id) = walk::begun_with(&self.journal, &begin.procedure, today, key)?
            && let Some((_, Event::Begin(before))) = walk::events(&self.journal, &id)?.into_iter().next()
            && before.person == begin.person
        {
            let is_same = before.serial == begin.serial
                && (before.training, before.rehearsal) == (begin.training, begin.rehearsal);
            return Ok(if is_same {
                BeginOutcome::Begun(id)
            } else {
                BeginOutcome::OtherWalk { id, before }
            });
        }
        let person = begin.person.clone();
        let (id, walk) = loop {
            let id = walk::free_name(&self.journal, &wanted.begin.procedure, today)?;
            match walk::begin_among(&mut self.journal, &id, wanted.clone(), key, now, compiled) {
                Ok(live) => break (id, live.keep()),
                // Another program took the name meanwhile.
                Err(walk::Error::Journal(JournalError::ChainExists { .. })) => {}
                Err(error) => return Err(error.into()),
            }
        };
        self.attended.insert(id.clone(), Attended { person, last_ms: now, records: walk.records() });
        self.keep(id.clone(), Open { walk, pages: BTreeMap::new(), used: 0 });
        Ok(BeginOutcome::Begun(id))
    }

    fn keep(&mut self, id: String, mut open: Open) {
        self.uses += 1;
        open.used = self.uses;
        self.forget(&id);
        if self.kept.len() >= KEPT_MAX
            && let Some((_, oldest)) = self.by_use.pop_first()
        {
            self.kept.remove(&oldest);
        }
        self.by_use.insert(open.used, id.clone());
        self.kept.insert(id, open);
    }

    /// Takes a walk out of memory, to be read again.
    fn forget(&mut self, id: &str) {
        if let Some(open) = self.kept.remove(id) {
            self.by_use.remove(&open.used);
        }
    }

    /// Takes a walk out of memory of which nothing came on disk that was just written; whoever is at it stays there.
    pub(crate) fn take_back(&mut self, id: &str) {
        self.forget(id);
        match (self.journal.chain_len(id), self.attended.get_mut(id)) {
            (Ok(records), Some(attended)) => attended.records = records,
            (Ok(_), None) => {}
            (Err(_), _) => _ = self.attended.remove(id),
        }
    }

    /// Whether a walk is in memory as its records stand now. If not, it is left to be read again by
    /// [`crate::app::App::walk_store`], without this store being held.
    pub(crate) fn is_current(&mut self, id: &str) -> Result<bool, Fault> {
        let records = self.journal.chain_len(id)?;
        let is_current = self.kept.get(id).is_some_and(|open| open.walk.records() == records);
        if !is_current {
            self.forget(id);
            // Who went on with it elsewhere is not whoever was at it here.
            if self.attended.get(id).is_some_and(|attended| attended.records != records) {
                self.attended.remove(id);
            }
        }
        Ok(is_current)
    }

    /// Keeps a walk that was read again.
    pub(crate) fn insert(&mut self, id: &str, walk: Kept) {
        // Two devices may have had it read at once.
        if self.kept.get(id).is_none_or(|open| open.walk.records() != walk.records()) {
            self.keep(id.to_owned(), Open { walk, pages: BTreeMap::new(), used: 0 });
        }
    }

    fn open(&mut self, id: &str) -> Result<&mut Open, Fault> {
        self.kept.get_mut(id).ok_or(Fault::NotThere)
    }

    pub(crate) fn walk(&mut self, id: &str) -> Result<&Walk, Fault> {
        Ok(self.open(id)?.walk.walk())
    }

    /// Whether this answer was taken under that key before.
    pub(crate) fn has_taken(&mut self, id: &str, input: &Input, key: &str) -> Result<bool, Fault> {
        Ok(self.open(id)?.walk.taken(input, key).is_some())
    }

    /// The page of the procedure the walk is in.
    pub(crate) fn page(&mut self, id: &str) -> Result<Arc<Page>, Fault> {
        let walk = self.open(id)?.walk.walk();
        let procedure = walk.node().procedure.to_string();
        if let Some(page) = self.kept.get(id).and_then(|open| open.pages.get(&procedure)) {
            return Ok(Arc::clone(page));
        }
        let walk = self.open(id)?.walk.walk();
        let standing = CardApproval { content: walk.begin().content.clone(), approval: Approval::Training };
        let name = Name::from(procedure.as_str());
        let page = build_for(walk.library(), &name, &standing, None, &walk.variants());
        let page = page.map_err(Fault::ours)?;
        // Until the first step, variants and figures of the label are still coming in.
        if walk.status() == walk::Status::NotStarted {
            return Ok(Arc::new(page));
        }
        // Most walks of a procedure have the same page.
        let mut others = self.kept.values().filter_map(|other| other.pages.get(&procedure));
        let page = others.find(|other| ***other == page).cloned().unwrap_or_else(|| Arc::new(page));
        self.open(id)?.pages.insert(procedure, Arc::clone(&page));
        Ok(page)
    }

    /// Whether that person is at the walk: began it, went on with it or stopped it since this program started, and was not away for
    /// as long as locks a sign-in. If so, that is noted.
    pub(crate) fn attends(&mut self, id: &str, person: &str, lock_ms: i64) -> Result<bool, Fault> {
        let now = now_ms();
        let open = self.kept.get(id).ok_or(Fault::NotThere)?;
        // Somebody else who only looks does not send away whoever is at the walk.
        let Some(attended) = self.attended.get_mut(id).filter(|attended| attended.person == person) else {
            return Ok(false);
        };
        let is_here = (0..lock_ms).contains(&(now - attended.last_ms)) && open.walk.walk().person() == person;
        if is_here {
            attended.last_ms = now;
        } else {
            self.attended.remove(id);
        }
        Ok(is_here)
    }

    /// What a walk is worth by the documents in force, of which it is known what they say of it. Once what it goes by is
    /// proved again nobody is at it: somebody waited meanwhile, and every pause is an interruption.
    pub(crate) fn footing(&mut self, id: &str, judged: &Judged) -> Result<Footing, Fault> {
        let open = self.kept.get(id).ok_or(Fault::NotThere)?;
        let walk = open.walk.walk();
        // What is over or was begun by an earlier version is not gone on with anyway.
        let goes_on = !walk.status().is_ended() && !walk.begin().is_earlier();
        if judged.unproved.is_none() || !goes_on {
            if self.stood.remove(id).is_some() && goes_on {
                self.attended.remove(id);
            }
            return Ok(Footing::Proved);
        }
        let here = Stood::of(walk);
        let stood = self.stood.entry(id.to_owned()).or_insert_with(|| here.clone());
        Ok(if *stood == here { Footing::UnderWay } else { Footing::Shut })
    }

    /// Takes an answer to what was asked at a position. `at` is the time it counts from; without one, now.
    pub(crate) fn answer(
        &mut self,
        id: &str,
        input: &Input,
        position: Option<u64>,
        key: &str,
        at: Option<i64>,
    ) -> Result<AnswerOutcome, Fault> {
        let open = self.kept.remove(id).ok_or(Fault::NotThere)?;
        self.by_use.remove(&open.used);
        let now = at.unwrap_or_else(|| clock(open.walk.walk()));
        // The first try of the same answer moved the walk: that is no disagreement.
        let moved = position.is_some_and(|position| position != open.walk.walk().position());
        let elsewhere = moved && open.walk.taken(input, key).is_none();
        let mut live = open.walk.live(&mut self.journal);
        let said = if elsewhere {
            AnswerOutcome::Superseded
        } else {
            match live.answer_once(input, key, now) {
                Ok(Taken::Now(_) | Taken::Before(_)) => AnswerOutcome::Recorded,
                Err(walk::Error::Refused(refusal)) => AnswerOutcome::Refused(refusal),
                Err(walk::Error::Journal(JournalError::Conflict { .. })) => {
                    return Ok(AnswerOutcome::Superseded);
                }
                Err(error) => {
                    // Nobody has left: with room on the disk again the same person goes on. What the disk holds by then is
                    // counted when the walk is next asked for.
                    let walk = live.keep();
                    self.keep_on(id, Open { walk, ..open });
                    return Err(error.into());
                }
            }
        };
        let walk = live.keep();
        if let (AnswerOutcome::Recorded, Input::Resume { person } | Input::StopAway { person, .. }) =
            (&said, input)
        {
            let attended = Attended { person: person.clone(), last_ms: now_ms(), records: walk.records() };
            self.attended.insert(id.to_owned(), attended);
        }
        self.keep_on(id, Open { walk, ..open });
        Ok(said)
    }

    /// Keeps a walk that was gone on with here, by whoever is at it.
    fn keep_on(&mut self, id: &str, open: Open) {
        if let Some(attended) = self.attended.get_mut(id) {
            attended.records = open.walk.records();
        }
        self.keep(id.to_owned(), open);
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{KEPT_MAX, Store};
    use document::{Day, InputFile};
    use journal::Journal;
    use walk::{Begin, CompiledCache};

    const RIG: &str = "equipment: rig\ntitle: A rig\nrevision: 1\nroles: { technician: Works on it. }\n\
        conditions:\n  lid: { values: [shut, open], ask: Is the lid shut? }\n";
    const MAIN: &str = "procedure: main\ntitle: Work\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: It.\n\
        performers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
        spares: none\nwear: none\nrequires: { lid: shut }\nsteps:\n\
        \x20 - { id: one, requires: { lid: shut }, do: Work. }\n";
    const PERSON: &str = "Tomas Reeve";

    /// With so many walks begun, in memory.
    pub(crate) fn with_walks(many: usize) -> Store {
        let file = |text: &str| InputFile { name: "a.yaml".to_owned(), bytes: text.as_bytes().to_vec() };
        let library = document::read(&[file(RIG), file(MAIN)]).library;
        let begin =
            Begin::training(&library, "main", "1".to_owned(), PERSON.to_owned()).expect("a procedure");
        let mut store = Store::new(Journal::in_memory().expect("a journal"));
        let (mut cache, day) = (CompiledCache::default(), Day::parse("2026-10-20").expect("a day"));
        for _ in 0..many {
            store.begin(begin.clone().into(), None, day, &mut cache).expect("begun");
        }
        store
    }

    /// However many walks are open, nobody has to take up again what gave way in memory alone.
    #[test]
    fn who_is_at_a_walk_stays_known_where_it_gives_way() {
        let mut store = with_walks(KEPT_MAX + 1);
        let (first, second) = ("main-2026-10-20-1", "main-2026-10-20-2");
        assert_eq!(store.kept.len(), KEPT_MAX);
        assert_eq!(store.by_use.len(), KEPT_MAX);
        assert!(!store.is_current(first).expect("it reads") && store.is_current(second).expect("it reads"));
        let read_again = |store: &mut Store| {
            let kept = walk::resume(&mut store.journal, first).expect("it reads").keep();
            store.insert(first, kept);
        };
        read_again(&mut store);
        assert!(store.is_current(first).expect("it reads"));
        assert!(store.attends(first, PERSON, 600_000).expect("it is there"));
        assert!(!store.attends(first, "Anneke Voss", 600_000).expect("it is there"));
        // Another program goes on with it, and then nobody is at it here.
        let mut live = walk::resume(&mut store.journal, first).expect("it reads");
        live.answer(&walk::Input::Note("Dark.".to_owned()), 0).expect("it is taken");
        drop(live);
        assert!(!store.is_current(first).expect("it reads"));
        read_again(&mut store);
        assert!(!store.attends(first, PERSON, 600_000).expect("it is there"));
    }
}
