//! What SPIN observes: numbered events, one for each round of the repeats around a place.

/// The events of one batch; an event's number is its index.
#[derive(Default)]
pub(crate) struct Events(pub(crate) Vec<String>);

/// A place of a procedure. A repeat is a loop with a counter here, so that one place stands for all its rounds.
#[derive(Clone)]
pub(crate) struct Place {
    pub(crate) path: String,
    pub(crate) phase: String,
    /// How many rounds each repeat around it has at most.
    pub(crate) rounds: Vec<u32>,
    /// Whether it is in the look that ends the innermost of these rounds.
    pub(crate) ends_round: bool,
    pub(crate) block: Option<usize>,
}

impl Place {
    /// The place's names, one for each combination of rounds, the outermost slowest.
    fn keys(&self) -> Vec<String> {
        let mut all: Vec<Vec<u32>> = vec![Vec::new()];
        for &rounds in &self.rounds {
            let with = |before: &Vec<u32>| {
                let before = before.clone();
                (1..=rounds).map(move |round| [&before[..], &[round]].concat())
            };
            all = all.iter().flat_map(with).collect();
        }
        let key = |rounds: &Vec<u32>| match rounds.split_last() {
            Some((last, outer)) if self.ends_round => {
                let round = if self.phase == "until" { format!("until {last}") } else { self.phase.clone() };
                key(&self.path, outer, &round)
            }
            _ => key(&self.path, rounds, &self.phase),
        };
        all.iter().map(key).collect()
    }

    /// The index of the current combination of rounds, in C.
    pub(crate) fn index(&self) -> String {
        self.rounds
            .iter()
            .enumerate()
            .fold("0".to_owned(), |index, (at, rounds)| format!("({index})*{rounds}+now.r[{at}]-1"))
    }
}

/// How both sides name a place.
pub(crate) fn key(path: &str, rounds: &[u32], phase: &str) -> String {
    if path == "done" || path == "stop" { path.to_owned() } else { format!("{path} {rounds:?} {phase}") }
}

impl Events {
    /// The number of an event of the place, in C.
    pub(crate) fn one(&mut self, place: &Place, name: impl Fn(&str) -> String) -> String {
        let base = self.several(place, &[name]);
        format!("{base} + {}", place.index())
    }

    /// Events of which each round has all, in order; gives the number of the first.
    pub(crate) fn several(&mut self, place: &Place, names: &[impl Fn(&str) -> String]) -> usize {
        let base = self.0.len();
        for key in place.keys() {
            self.0.extend(names.iter().map(|name| name(&key)));
        }
        base
    }
}
