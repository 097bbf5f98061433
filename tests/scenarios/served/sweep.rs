//! The server killed again and again while technicians answer, and its records looked at each time.

use super::server::Server;
use super::trail::{Sent, Trail, Unheard, intact};
use super::walker::{Walker, willing};
use oracle::Random;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

/// Technicians who answer at once.
const WALKERS: usize = 6;
/// Answers of each while nothing is killed: how long they take is how late a server is killed at most.
const UNTROUBLED: usize = 5;

/// What a sweep saw.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) kills: usize,
    pub(crate) acknowledged: usize,
    pub(crate) unheard: Unheard,
    /// Starts that were cut short themselves.
    pub(crate) starts: usize,
    unheard_begins: usize,
}

/// What came of one technician's time: a walk that was begun, and whether a beginning was not heard of.
struct Heard {
    begun: Option<Trail>,
    unheard_begin: bool,
}

/// Kills a server at so many instants, drawn with a seed.
pub(crate) fn instants(server: &mut Server, procedure: &str, kills: usize, seed: u64) -> Tally {
    let mut numbers = Random::new(seed);
    let mut tally = Tally::default();
    let began = Instant::now();
    let mut trails = untroubled(server, procedure);
    let latest = usize::try_from(began.elapsed().as_micros()).expect("not for years");
    for _ in 0..kills {
        let walker = Walker::signed_in(server, "Tomas Reeve");
        let journal = intact(&server.journal(), &trails, tally.unheard_begins);
        let mut open: Vec<&mut Trail> = trails.iter_mut().filter(|trail| !trail.ended).collect();
        let wait = Duration::from_micros(numbers.below(latest) as u64);
        let seeds: Vec<u64> = (0..WALKERS).map(|_| numbers.next()).collect();
        let heard: Vec<Heard> = std::thread::scope(|scope| {
            let mut open = open.drain(..);
            let busy: Vec<_> = seeds
                .into_iter()
                .map(|seed| {
                    let (walker, trail) = (walker.clone(), open.next());
                    // What was not heard of is sent once more: it is taken now or was before, never both.
                    let again = trail.as_ref().and_then(|trail| unheard(trail, &journal));
                    tally.unheard.kept += usize::from(again.as_ref().is_some_and(|(_, kept)| *kept));
                    scope.spawn(move || busy(walker, trail, again, procedure, seed))
                })
                .collect();
            std::thread::sleep(wait);
            server.kill();
            busy.into_iter().map(|one| one.join().expect("no technician is misled")).collect()
        });
        tally.kills += 1;
        for one in heard {
            tally.unheard_begins += usize::from(one.unheard_begin);
            trails.extend(one.begun);
        }
        if numbers.percent(20) {
            server.spawn_again();
            std::thread::sleep(Duration::from_micros(numbers.below(60_000) as u64));
            server.kill();
            tally.kills += 1;
            tally.starts += 1;
        }
        let journal = intact(&server.journal(), &trails, tally.unheard_begins);
        tally.unheard.lost = trails.iter_mut().map(|trail| trail.check(&journal).lost).sum();
        server.start_again();
    }
    let sent = trails.iter().flat_map(|trail| &trail.sent);
    tally.acknowledged = sent.filter(|said| said.acknowledged).count();
    tally
}

/// Walks begun by as many technicians as will be there, and a few answers in each.
fn untroubled(server: &Server, procedure: &str) -> Vec<Trail> {
    let walker = Walker::signed_in(server, "Tomas Reeve");
    std::thread::scope(|scope| {
        let begun = |_| {
            let mut walker = walker.clone();
            scope.spawn(move || {
                let (_, mut walk) = walker.begin(procedure).expect("an answer");
                let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
                for _ in 0..UNTROUBLED {
                    let (below, body) = willing(&walk).expect("it has not ended");
                    walk = said(&mut walker, &mut trail, below, body).expect("an answer");
                }
                trail
            })
        };
        let begun: Vec<_> = (0..WALKERS).map(begun).collect();
        begun.into_iter().map(|one| one.join().expect("nothing goes wrong")).collect()
    })
}

/// The last answer if nobody heard what became of it, and whether it is on record.
fn unheard(trail: &Trail, journal: &journal::Journal) -> Option<(Sent, bool)> {
    let last = trail.sent.last().filter(|said| !said.acknowledged)?;
    Some((last.clone(), trail.has(journal, last.key())))
}

/// A technician answers until the server is gone.
fn busy(
    mut walker: Walker,
    trail: Option<&mut Trail>,
    again: Option<(Sent, bool)>,
    procedure: &str,
    seed: u64,
) -> Heard {
    let mut numbers = Random::new(seed);
    let mut heard = Heard { begun: None, unheard_begin: false };
    if let Some(trail) = trail {
        if let Some((said, on_record)) = again {
            let Some((status, reply)) = walker.call("POST", &said.path, &said.body) else { return heard };
            assert!(status == 200 || !on_record, "{said:?}: {status} {reply}");
            trail.sent.last_mut().expect("it was sent").acknowledged = status == 200;
        }
        if !answered(&mut walker, trail, &mut numbers) {
            return heard;
        }
    }
    // It ended, or there was none.
    match walker.begin(procedure) {
        Some((201, walk)) => {
            let Some(id) = walk["id"].as_str() else { return Heard { unheard_begin: true, ..heard } };
            let mut trail = Trail::new(id);
            answered(&mut walker, &mut trail, &mut numbers);
            heard.begun = Some(trail);
        }
        Some((status, reply)) => panic!("no walk begins: {status} {reply}"),
        None => heard.unheard_begin = true,
    }
    heard
}

/// Answers to the end of the walk; false if the server was gone before that.
fn answered(walker: &mut Walker, trail: &mut Trail, numbers: &mut Random) -> bool {
    let path = format!("/walks/{}", trail.id);
    let Some((200, mut walk)) = walker.get(&path) else { return false };
    while !walk.is_null() {
        let Some((below, mut body)) = willing(&walk) else {
            trail.ended = true;
            return true;
        };
        let note = walk["attends"] == json!(true) && numbers.percent(10);
        let below = if note { "answers" } else { below };
        if note {
            body = json!({ "say": "note", "value": format!("Seen {}", numbers.next()), "position": walk["position"] });
        }
        match said(walker, trail, below, body) {
            Some(next) => walk = next,
            None => return false,
        }
    }
    false
}

/// Says something to a walk; gives how it stands then.
pub(crate) fn said(walker: &mut Walker, trail: &mut Trail, below: &str, mut body: Value) -> Option<Value> {
    body["key"] = json!(format!("{}-{}", trail.id, trail.sent.len()));
    let path = format!("/walks/{}/{below}", trail.id);
    trail.sent.push(Sent { path: path.clone(), body: body.clone(), acknowledged: false });
    let (status, reply) = walker.call("POST", &path, &body)?;
    assert_eq!(status, 200, "{body}: {reply}");
    trail.sent.last_mut().expect("just sent").acknowledged = true;
    Some(reply)
}

/// Kills a server after every answer of a walk: the first time after none, then after one, and so on to its end.
pub(crate) fn boundaries(server: &mut Server, procedure: &str) -> usize {
    let mut trails: Vec<Trail> = Vec::new();
    loop {
        let mut walker = Walker::signed_in(server, "Tomas Reeve");
        let (status, mut walk) = walker.begin(procedure).expect("an answer");
        assert_eq!(status, 201, "{walk}");
        let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
        for _ in 0..trails.len() {
            let (below, body) = willing(&walk).expect("it went further before");
            walk = said(&mut walker, &mut trail, below, body).expect("an answer");
        }
        server.kill();
        trails.push(trail.clone());
        let journal = intact(&server.journal(), &trails, 0);
        assert_eq!(trail.check(&journal), Unheard::default());
        server.start_again();
        // It stands where it stood, and goes on.
        let mut walker = Walker::signed_in(server, "Tomas Reeve");
        let (_, mut found) = walker.get(&format!("/walks/{}", trail.id)).expect("an answer");
        if walk["ended"] == json!(true) {
            assert_eq!(found["standing"], walk["standing"]);
            return trails.len();
        }
        assert_eq!((&found["position"], &found["step"]), (&walk["position"], &walk["step"]), "{}", trail.id);
        for _ in 0..2 {
            let (below, body) = willing(&found).expect("it has not ended");
            found = said(&mut walker, &mut trail, below, body).expect("an answer");
        }
        let last = trails.len() - 1;
        trails[last] = trail;
    }
}
