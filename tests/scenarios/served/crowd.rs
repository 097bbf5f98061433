//! Many technicians answering at once, each with a walk and a sign-in of their own.

use super::server::{PEOPLE, Server};
use super::sweep::said;
use super::trail::{Trail, Unheard, intact};
use super::walker::{Walker, willing};
use oracle::Random;
use serde_json::Value;
use std::time::{Duration, Instant};

/// Answers of a crowd, each with the time until it was acknowledged.
pub(crate) struct Crowd {
    pub(crate) answers: Vec<Duration>,
    /// From the first answer to the last.
    pub(crate) whole: Duration,
}

/// One technician, signed in, at a walk.
struct Present {
    walker: Walker,
    trail: Trail,
    walk: Value,
}

/// So many technicians give so many answers each, all at once; one in twenty is sent twice, as a device does that did not
/// hear what became of it. Then the records are held against what was said.
pub(crate) fn crowd(server: &Server, procedure: &str, walkers: usize, answers: usize) -> Crowd {
    let mut present = Vec::new();
    for number in 0..walkers {
        let mut walker = Walker::signed_in(server, PEOPLE[number % 3].0);
        let (status, walk) = walker.begin(procedure).expect("an answer");
        assert_eq!(status, 201, "{walk}");
        present.push(Present { walker, trail: Trail::new(walk["id"].as_str().expect("a name")), walk });
    }
    let began = Instant::now();
    let (times, mut trails): (Vec<Vec<Duration>>, Vec<Trail>) = std::thread::scope(|scope| {
        let busy: Vec<_> = present
            .into_iter()
            .enumerate()
            .map(|(number, one)| scope.spawn(move || answered(one, answers, number as u64)))
            .collect();
        busy.into_iter().map(|one| one.join().expect("nothing goes wrong")).unzip()
    });
    let whole = began.elapsed();
    let journal = intact(&server.journal(), &trails, 0);
    for trail in &mut trails {
        assert_eq!(trail.check(&journal), Unheard::default());
        assert_eq!(trail.sent.len(), answers);
    }
    Crowd { answers: times.concat(), whole }
}

fn answered(mut one: Present, answers: usize, seed: u64) -> (Vec<Duration>, Trail) {
    let mut numbers = Random::new(seed);
    let mut times = Vec::new();
    for _ in 0..answers {
        let (below, body) = willing(&one.walk).expect("the walk is longer");
        let began = Instant::now();
        one.walk = said(&mut one.walker, &mut one.trail, below, body).expect("an answer");
        times.push(began.elapsed());
        if numbers.percent(5) {
            let last = one.trail.sent.last().expect("just sent");
            let (status, again) = one.walker.call("POST", &last.path, &last.body).expect("an answer");
            assert_eq!((status, &again["position"]), (200, &one.walk["position"]));
        }
    }
    (times, one.trail)
}
