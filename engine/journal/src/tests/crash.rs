//! Power cuts: the files as they stood, with the log cut or spoilt at many lengths. After reopening there are
//! whole records only, and all that were acknowledged before the cut.

use std::fs;
use std::path::PathBuf;

use super::scratch::Scratch;
use crate::{Journal, Record, Verification};

/// Bytes of a log header and of a frame header: https://www.sqlite.org/fileformat2.html#walformat (memory).
const LOG_HEADER: usize = 32;
const FRAME: usize = 24 + 4096;

/// What was acknowledged, and how long the log was then.
struct Acknowledged {
    record: Record,
    log_len: usize,
}

/// Files copied from under an open journal, as a power cut leaves them.
struct Image {
    main: Vec<u8>,
    log: Vec<u8>,
    acknowledged: Vec<Acknowledged>,
}

fn log_of(scratch: &Scratch) -> PathBuf {
    scratch.folder().join("journal.db-wal")
}

/// Two walks that take turns; one payload is longer than a page, so that a commit has many frames.
fn image() -> Image {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let mut acknowledged = Vec::new();
    for number in 0..3 {
        for chain in ["a", "b"] {
            let payload = if number == 1 { "long ".repeat(2000) } else { format!("{chain}{number}") };
            let record = match number {
                0 => journal.begin(chain, &payload, 0),
                _ => journal.append(chain, number, &payload, 0),
            };
            let log_len = fs::metadata(log_of(&scratch)).unwrap().len() as usize;
            acknowledged.push(Acknowledged { record: record.unwrap(), log_len });
        }
    }
    let image = Image {
        main: fs::read(scratch.file()).unwrap(),
        log: fs::read(log_of(&scratch)).unwrap(),
        acknowledged,
    };
    drop(journal);
    image
}

impl Image {
    /// Lengths at which to cut: every byte of the header, around every frame and frame header, and steps between.
    fn cuts(&self) -> Vec<usize> {
        let mut cuts: Vec<usize> = (0..=LOG_HEADER).chain((0..self.log.len()).step_by(509)).collect();
        for frame in (LOG_HEADER..=self.log.len()).step_by(FRAME) {
            cuts.extend([frame - 1, frame, frame + 1, frame + 23, frame + 24, frame + 25]);
        }
        cuts.retain(|cut| *cut <= self.log.len());
        cuts.sort_unstable();
        cuts.dedup();
        cuts
    }

    /// Puts the files back with another log, and checks what is found through a reading handle.
    fn recovered(&self, log: &[u8], cut: usize) -> Scratch {
        let scratch = Scratch::new();
        fs::write(scratch.file(), &self.main).unwrap();
        fs::write(log_of(&scratch), log).unwrap();
        let journal = Journal::open_existing(scratch.file()).unwrap();
        self.check(&journal, cut);
        scratch
    }

    fn check(&self, journal: &Journal, cut: usize) {
        let wanted: Vec<&Record> = self.whole(cut).collect();
        assert_eq!(
            journal.verify().unwrap(),
            Verification::Intact { records: wanted.len() as u64 },
            "log cut at {cut}"
        );
        for chain in journal.chains().unwrap() {
            let found = journal.records(&chain.id).unwrap();
            let wanted = wanted.iter().filter(|record| record.chain == chain.id);
            assert!(found.iter().eq(wanted.copied()), "log cut at {cut}: `{}`", chain.id);
        }
    }

    /// The records acknowledged when the log was no longer than `cut`.
    fn whole(&self, cut: usize) -> impl Iterator<Item = &Record> {
        self.acknowledged.iter().filter(move |it| it.log_len <= cut).map(|it| &it.record)
    }
}

#[test]
fn the_image_is_what_these_tests_take_it_for() {
    let image = image();
    // All records are in the log, none yet in the main file, and the log only grew.
    assert!(image.acknowledged.is_sorted_by(|a, b| a.log_len < b.log_len));
    assert_eq!(image.acknowledged.last().unwrap().log_len, image.log.len());
    assert_eq!((image.log.len() - LOG_HEADER) % FRAME, 0);
    assert_eq!(image.whole(0).count(), 0);
    assert!(image.cuts().len() > 150);
}

#[test]
fn files_copied_from_under_an_open_journal_hold_every_acknowledged_record() {
    let image = image();
    let scratch = image.recovered(&image.log, image.log.len());
    assert_eq!(scratch.journal().verify().unwrap(), Verification::Intact { records: 6 });
}

#[test]
fn a_log_cut_anywhere_gives_whole_records_up_to_the_cut() {
    let image = image();
    for cut in image.cuts() {
        image.recovered(&image.log[..cut], cut);
    }
}

#[test]
fn a_log_spoilt_from_anywhere_gives_whole_records_up_to_there() {
    // The length of the file reached the disk, its last blocks did not: zeros, or what was there before.
    let image = image();
    for cut in image.cuts() {
        for filler in [0x00, 0xa5] {
            let mut log = image.log.clone();
            // Inverted where it happens to be the filler already, so that every byte from the cut on is wrong.
            log[cut..].iter_mut().for_each(|byte| *byte = if *byte == filler { !filler } else { filler });
            image.recovered(&log, cut);
        }
    }
}

#[test]
fn after_a_cut_the_journal_is_written_on() {
    let image = image();
    for cut in image.cuts().into_iter().step_by(7) {
        let scratch = image.recovered(&image.log[..cut], cut);
        let mut journal = scratch.journal();
        image.check(&journal, cut);
        let known = image.whole(cut).filter(|record| record.chain == "a").count() as u64;
        let written = match known {
            0 => journal.begin("a", "after the cut", 1),
            _ => journal.append("a", known, "after the cut", 1),
        };
        assert_eq!(written.unwrap().seq, known);
        drop(journal);
        let total = image.whole(cut).count() as u64 + 1;
        assert_eq!(scratch.journal().verify().unwrap(), Verification::Intact { records: total });
    }
}
